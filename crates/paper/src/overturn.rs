//! Landing on a foot while the nose sinks: does the body come back, or go on over it?

use quantity::maths;

/// A body that turns over a foot, nose down.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Turning {
    /// How far its centre of mass is behind the foot with all wheels down, m.
    pub(crate) behind_m: f64,
    /// How far it is above the foot then, m.
    pub(crate) above_m: f64,
    /// Its inertia about the axis across, through the centre of mass, over its mass, m².
    pub(crate) gyration_m2: f64,
    /// How far the nose has sunk, rad.
    pub(crate) tilt: f64,
    /// Angle between the foot's whole force, which brakes, and the vertical, rad.
    pub(crate) brakes: f64,
}

/// Most rate of turning in rad/s from which it comes back: 0 where it goes over from rest.
///
/// The foot carries the weight, so its braking force is tan ψ of that. With the centre of mass r away
/// and φ behind the vertical of the foot, the moment per mass that brings it back is
/// g r (sin φ − tan ψ cos φ) = g r sin(φ − ψ)/cos ψ; it vanishes at φ = ψ. The foot slides, so the
/// centre of mass moves up and down only with the turning: ½ω²(k² + r² sin² φ) is the energy, and
/// ω² = 2 g r (1 − cos(φ − ψ))/(cos ψ (k² + r² sin² φ)). Energy balance of a rigid body, derived here.
/// Assumed: landing takes no turning away.
pub(crate) fn most_rad_s(t: &Turning) -> f64 {
    let r2 = t.behind_m * t.behind_m + t.above_m * t.above_m;
    let behind = maths::atan2(t.behind_m, t.above_m) - t.tilt;
    let left = behind - t.brakes;
    if left.is_nan() || left <= 0.0 {
        return 0.0;
    }
    let sideways = maths::sin(behind);
    let barrier = maths::STANDARD_GRAVITY * r2.sqrt() * (1.0 - maths::cos(left));
    (2.0 * barrier / (maths::cos(t.brakes) * (t.gyration_m2 + r2 * sideways * sideways))).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn box_on_its_front(brakes: f64) -> Turning {
        Turning {
            behind_m: 0.03,
            above_m: 0.04,
            gyration_m2: 0.0,
            tilt: 0.0,
            brakes,
        }
    }

    /// A mass point 30 mm behind and 40 mm above a foot without friction must be lifted from 40 mm to
    /// 50 mm: ½ω²·0.03² = g·0.01, 14.76 rad/s.
    #[test]
    fn without_friction_it_must_be_lifted_over_the_foot() {
        let most = most_rad_s(&box_on_its_front(0.0));
        assert!((most - 14.763).abs() < 1e-3, "{most}");
    }

    /// Friction of 30/40 holds the force through the centre of mass: it goes over from rest.
    #[test]
    fn friction_through_the_centre_of_mass_takes_it_over() {
        let angle = maths::atan2(0.03, 0.04);
        assert!(most_rad_s(&box_on_its_front(angle)) < 1e-6);
        assert!(most_rad_s(&box_on_its_front(0.9 * angle)) > 0.5);
        let sunk = Turning {
            tilt: 0.2,
            ..box_on_its_front(0.9 * angle)
        };
        assert!(most_rad_s(&sunk) < 1e-6);
    }
}
