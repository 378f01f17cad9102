//! Running up from standstill: tyres first, motors after.

use quantity::maths;

/// A straight drive line: force falls from `stall_n` at rest to nothing at `free_m_s`; the tyres
/// hold at most `grip_n`; `mass_kg` counts reflected inertia, `body_kg` does not.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drive {
    /// Force of the motors at standstill, N.
    pub stall_n: f64,
    /// Speed without load, m/s.
    pub free_m_s: f64,
    /// What the tyres hold, N.
    pub grip_n: f64,
    /// Mass with the rotors' share, kg.
    pub mass_kg: f64,
    /// Mass without, kg: what accelerates while the tyres slip.
    pub body_kg: f64,
}

/// Time, distance and speed at a moment of a run-up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// s.
    pub time_s: f64,
    /// m.
    pub distance_m: f64,
    /// m/s.
    pub speed_m_s: f64,
}

/// Apparent mass in kg of rotors: J·N²/r² each.
#[must_use]
pub fn rotor_mass_kg(rotor_kg_m2: f64, ratio: f64, wheel_radius_m: f64, motors: f64) -> f64 {
    motors * rotor_kg_m2 * ratio * ratio / (wheel_radius_m * wheel_radius_m)
}

impl Drive {
    /// The moment when the tyres stop slipping (at once, if they never slip). While they slip the
    /// body accelerates by grip over its own mass, whatever the rotors weigh.
    #[must_use]
    pub fn hooks_up(&self) -> Moment {
        if self.stall_n <= self.grip_n || self.stall_n <= 0.0 {
            return Moment {
                time_s: 0.0,
                distance_m: 0.0,
                speed_m_s: 0.0,
            };
        }
        let speed = self.free_m_s * (1.0 - self.grip_n / self.stall_n);
        let acceleration = self.grip_n / self.body_kg;
        Moment {
            time_s: speed / acceleration,
            distance_m: speed * speed / (2.0 * acceleration),
            speed_m_s: speed,
        }
    }

    /// Time constant in s of the part that follows: τ = m v₀/F₀.
    #[must_use]
    pub fn time_constant_s(&self) -> f64 {
        self.mass_kg * self.free_m_s / self.stall_n
    }

    /// Where it is `time_s` after the start.
    #[must_use]
    pub fn after(&self, time_s: f64) -> Moment {
        let hook = self.hooks_up();
        if time_s <= hook.time_s {
            let a = self.grip_n / self.body_kg;
            return Moment {
                time_s,
                distance_m: 0.5 * a * time_s * time_s,
                speed_m_s: a * time_s,
            };
        }
        let (t, tau) = (time_s - hook.time_s, self.time_constant_s());
        let fade = maths::exp(-t / tau);
        let missing = self.free_m_s - hook.speed_m_s;
        Moment {
            time_s,
            distance_m: hook.distance_m + self.free_m_s * t - missing * tau * (1.0 - fade),
            speed_m_s: self.free_m_s - missing * fade,
        }
    }

    /// The moment at which it has reached `speed_m_s`; none: it never does.
    #[must_use]
    pub fn at_speed(&self, speed_m_s: f64) -> Option<Moment> {
        if speed_m_s >= self.free_m_s {
            return None;
        }
        let hook = self.hooks_up();
        let time_s = if speed_m_s <= hook.speed_m_s {
            speed_m_s.max(0.0) * self.body_kg / self.grip_n
        } else {
            let missing = (self.free_m_s - hook.speed_m_s) / (self.free_m_s - speed_m_s);
            hook.time_s + self.time_constant_s() * maths::ln(missing)
        };
        time_s.is_finite().then(|| self.after(time_s))
    }

    /// When it has covered `distance_m`, by bisection to a microsecond.
    #[must_use]
    pub fn covers(&self, distance_m: f64) -> Moment {
        let (mut low, mut high) = (0.0, 1.0);
        while self.after(high).distance_m < distance_m && high < 1e4 {
            high *= 2.0;
        }
        while high - low > 1e-6 {
            let middle = 0.5 * (low + high);
            if self.after(middle).distance_m < distance_m {
                low = middle;
            } else {
                high = middle;
            }
        }
        self.after(0.5 * (low + high))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motor::Constants;
    use crate::near::near;
    use quantity::maths::STANDARD_GRAVITY as G;

    /// Two motors V = 6 V, R = 4 Ω, K = 0.005, I₀ = 0.05 A, gear 10:1 of efficiency 0.75 (on force
    /// only), 0.5 kg on driven wheels, μ = 0.8.
    fn drive(radius: f64) -> Drive {
        let s = Constants {
            resistance_ohm: 4.0,
            k_nm_per_a: 0.005,
            free_a: 0.05,
        }
        .sheet(6.0);
        near(s.stall_nm, 7.25e-3, 1e-9);
        Drive {
            stall_n: 2.0 * s.stall_nm * 10.0 * 0.75 / radius,
            free_m_s: s.free_rad_s / 10.0 * radius,
            grip_n: 0.8 * 0.5 * G,
            mass_kg: 0.5,
            body_kg: 0.5,
        }
    }

    /// Computed from the model above.
    #[test]
    fn the_wheels_slip_before_the_motors_stall() {
        let d = drive(0.016);
        near(d.stall_n, 6.797, 2e-3);
        near(d.grip_n, 3.923, 2e-3);
        near(d.free_m_s, 1.856, 2e-3);
        let torque_each = d.grip_n * 0.016 / (2.0 * 10.0 * 0.75);
        near(torque_each / 0.005 + 0.05, 0.8868, 2e-3);
    }

    /// Computed two ways: closed form and scipy 1.17.1 `solve_ivp` agree to 1e-6.
    #[test]
    fn a_traction_limited_start_is_followed_by_an_exponential() {
        let d = drive(0.016);
        let hook = d.hooks_up();
        near(hook.speed_m_s, 0.7849, 5e-3);
        near(hook.time_s, 0.1000, 5e-3);
        near(hook.distance_m, 39.26e-3, 5e-3);
        near(d.time_constant_s(), 0.136_53, 5e-3);
        let m = d.after(0.3394);
        near(m.speed_m_s, 1.670, 5e-3);
        near(m.distance_m, 0.3625, 5e-3);
        let m = d.covers(0.300);
        near(m.time_s, 0.3013, 5e-3);
        near(m.speed_m_s, 1.611, 5e-3);
    }

    /// J N²/r², ideal gear.
    #[test]
    fn rotors_add_apparent_mass_but_not_while_slipping() {
        near(rotor_mass_kg(1.0e-7, 10.0, 0.016, 2.0), 0.0781, 5e-3);
        let heavy = Drive {
            mass_kg: 0.5781,
            ..drive(0.016)
        };
        near(heavy.after(0.05).speed_m_s, 0.8 * G * 0.05, 1e-9);
    }

    /// Force ∝ 1/r, speed ∝ r, their product constant: smaller wheels push harder and are slower,
    /// but only until the tyres slip.
    #[test]
    fn wheel_size_trades_force_for_speed() {
        let expected = [
            (0.010, 10.875, 1.160),
            (0.016, 6.797, 1.856),
            (0.024, 4.531, 2.784),
        ];
        for (radius, force, speed) in expected {
            let d = drive(radius);
            near(d.stall_n, force, 1e-3);
            near(d.free_m_s, speed, 1e-3);
            near(d.stall_n * d.free_m_s, 12.615, 1e-3);
            near(d.grip_n, 3.923, 1e-3);
        }
    }
}
