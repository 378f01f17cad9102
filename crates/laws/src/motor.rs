//! The straight line of a brushed DC motor.
//!
//! Torque T = T_s(V/V₀) − (T_s/ω₀)ω, current I = g V − b ω with g = I_s/V₀ and
//! b = (I_s − I₀)/ω₀: the data-sheet line through standstill (T_s, I_s) and free running (ω₀, I₀),
//! all at voltage V₀. With a resistance R_d in series V falls by R_d·I:
//! I = (gV − bω)/(1 + gR_d). Behind a gear of ratio N and efficiency η: T_w = NηT, ω = Nω_w.
//! Assumes a constant magnet and no saturation; see any motor handbook, e.g. maxon, "Key
//! information" (from memory).

use quantity::Draws;
use robot::{Driver, Motor};

/// What a data sheet says of a motor at its output shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sheet {
    /// Voltage V₀ at which the rest holds, V.
    pub rated_v: f64,
    /// Free speed ω₀, rad/s.
    pub free_rad_s: f64,
    /// Free current I₀, A.
    pub free_a: f64,
    /// Standstill torque T_s, N·m.
    pub stall_nm: f64,
    /// Standstill current I_s, A.
    pub stall_a: f64,
}

/// A motor's line at the wheel: torque = `nm_per_v`·V − `nm_s`·ω, current = `a_per_v`·V − `a_s`·ω.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// N·m per volt at the driver's input.
    pub nm_per_v: f64,
    /// N·m·s/rad.
    pub nm_s: f64,
    /// A per volt.
    pub a_per_v: f64,
    /// A·s/rad.
    pub a_s: f64,
    /// N·m at the wheel per A: what a current limit leaves.
    pub nm_per_a: f64,
}

impl Sheet {
    /// The line at the wheel behind a driver of resistance `series_ohm` and a further gear of
    /// `ratio` (above 1: slower) and `efficiency`.
    #[must_use]
    pub fn line(&self, series_ohm: f64, ratio: f64, efficiency: f64) -> Line {
        let g = self.stall_a / self.rated_v;
        let b = (self.stall_a - self.free_a).max(0.0) / self.free_rad_s;
        let loaded = 1.0 + g * series_ohm;
        let per_volt = self.stall_nm / self.rated_v;
        let damping = self.stall_nm / self.free_rad_s - per_volt * series_ohm * b / loaded;
        Line {
            nm_per_v: per_volt / loaded * ratio * efficiency,
            nm_s: damping.max(0.0) * ratio * ratio * efficiency,
            a_per_v: g / loaded,
            a_s: b / loaded * ratio,
            nm_per_a: self.stall_nm / self.stall_a * ratio * efficiency,
        }
    }

    /// Greatest mechanical power in W: a quarter of T_s·ω₀, at half speed and half torque.
    #[must_use]
    pub fn most_power_w(&self) -> f64 {
        0.25 * self.stall_nm * self.free_rad_s
    }
}

/// The line at the wheel of a robot's motor behind its driver and further gear, as drawn.
#[must_use]
pub fn line_of(motor: &Motor, driver: &Driver, draws: &Draws) -> Line {
    let name = &motor.item.name;
    let sheet = Sheet {
        rated_v: draws.of(&motor.rated_voltage, name).max(1e-3),
        free_rad_s: draws.of(&motor.no_load_speed, name).max(1e-3),
        free_a: draws.of(&motor.no_load_current, name),
        stall_nm: draws.of(&motor.stall_torque, name),
        stall_a: draws.of(&motor.stall_current, name).max(1e-6),
    };
    sheet.line(
        draws.of(&driver.resistance, name),
        draws.of(&motor.gear_ratio, name).max(1e-6),
        draws.of(&motor.gear_efficiency, name).clamp(0.0, 1.0),
    )
}

/// A motor by its constants: winding resistance R in Ω, K in N·m/A = V·s/rad, free current I₀ in A.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constants {
    /// R, Ω.
    pub resistance_ohm: f64,
    /// K, N·m/A.
    pub k_nm_per_a: f64,
    /// I₀, A.
    pub free_a: f64,
}

impl Constants {
    /// Its data sheet at `volts`: ω₀ = (V − I₀R)/K, I_s = V/R, T_s = K(I_s − I₀).
    #[must_use]
    pub fn sheet(&self, volts: f64) -> Sheet {
        let stall_a = volts / self.resistance_ohm;
        Sheet {
            rated_v: volts,
            free_rad_s: (volts - self.free_a * self.resistance_ohm) / self.k_nm_per_a,
            free_a: self.free_a,
            stall_nm: self.k_nm_per_a * (stall_a - self.free_a),
            stall_a,
        }
    }

    /// Best efficiency (1 − √(I₀/I_s))² and the current √(I₀I_s) at which it is reached (maxon,
    /// Formulae Handbook, J. Braun; from memory).
    #[must_use]
    pub fn best_efficiency(&self, volts: f64) -> (f64, f64) {
        let stall_a = volts / self.resistance_ohm;
        let root = 1.0 - (self.free_a / stall_a).sqrt();
        (root * root, (self.free_a * stall_a).sqrt())
    }
}

/// Whether torque constant (N·m/A) and speed constant (V·s/rad) of a data sheet contradict each
/// other by more than `tolerance`: in SI they are one number, or energy would not be conserved.
#[must_use]
pub fn constants_disagree(k_torque: f64, k_speed: f64, tolerance: f64) -> bool {
    (k_torque / k_speed - 1.0).abs() > tolerance
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    const RPM: f64 = core::f64::consts::PI / 30.0;

    /// lancet.mit.edu/motor/motors3.html and motors4.html, "D.C. Motor Torque/Speed Curve": two
    /// gear motors; half-speed, half-torque points printed there, powers computed.
    #[test]
    fn most_power_is_at_half_speed_and_half_torque() {
        for (rpm, nm, watt) in [(600.0, 0.325, 5.105), (3750.0, 0.0722, 7.088)] {
            let s = Sheet {
                rated_v: 12.0,
                free_rad_s: rpm * RPM,
                free_a: 0.0,
                stall_nm: nm,
                stall_a: 1.0,
            };
            near(s.most_power_w(), watt, 1e-3);
        }
    }

    /// Exercise "Permanent Magnet DC Motor …" found at store.perpetualshade.com/juntos/45751752;
    /// answers computed. Its Ke of 12 V per 1000 rpm contradicts its Kt by 4.5 %.
    #[test]
    fn a_contradiction_between_the_constants_is_noticed() {
        let (kt, ke) = (0.12, 12.0 / (1000.0 * RPM));
        near(10.0 / ke / RPM, 833.3, 1e-3);
        let s = Constants {
            resistance_ohm: 1.5,
            k_nm_per_a: kt,
            free_a: 0.0,
        }
        .sheet(10.0);
        near(s.stall_a, 6.667, 1e-3);
        near(s.stall_nm, 0.800, 1e-3);
        let amps = 0.6 / kt;
        near(amps, 5.0, 1e-3);
        near((10.0 - 1.5 * amps) / ke / RPM, 208.3, 1e-3);
        assert!(constants_disagree(kt, ke, 0.02));
        assert!(!constants_disagree(kt, 0.1195, 0.02));
    }

    /// maxon, Formulae Handbook (from memory); confirmed by brute-force maximisation.
    #[test]
    fn best_efficiency_has_its_closed_form() {
        let m = Constants {
            resistance_ohm: 2.4,
            k_nm_per_a: 0.0105,
            free_a: 0.12,
        };
        let s = m.sheet(12.0);
        near(s.free_rad_s / RPM, 10_652.0, 1e-3);
        near(s.stall_a, 5.0, 1e-3);
        near(s.stall_nm, 0.051_24, 1e-3);
        let (eta, amps) = m.best_efficiency(12.0);
        near(eta, 0.7142, 1e-3);
        near(amps, 0.7746, 1e-3);
        let speed = (12.0 - 2.4 * amps) / 0.0105;
        near(speed / RPM, 9223.0, 1e-3);
        near(0.0105 * (amps - 0.12), 6.873e-3, 1e-3);
        let power = |i: f64| (12.0 - 2.4 * i) / 0.0105 * 0.0105 * (i - 0.12);
        near(power(2.56), 14.289, 1e-3);
    }
}
