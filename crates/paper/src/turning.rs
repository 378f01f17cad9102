//! Turning on the spot: what it takes to grind over the ring, and what the motors have for it.

use robot::{Finding, Robot, Severity};

use crate::footing::{SupportKind, first_driven};
use crate::{Footing, Support};

/// Share of what the motors can do from which turning on the spot is said to be hard: what is left
/// decides how quick it is (common practice, no source).
const HARD: f64 = 0.8;
/// Halvings of the search for the point it turns about.
const STEPS: u32 = 60;

/// Turning on the spot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turning {
    /// x in m of the point it turns about: where that takes least.
    pub about_x_m: f64,
    /// Moment of all that scrubs, N·m.
    pub scrub_nm: f64,
    /// Moment that both sides at full effort against each other give at standstill, as far as the
    /// tyres hold, N·m.
    pub drive_nm: f64,
    /// Force in N with which each side has to drive.
    pub side_n: f64,
    /// Torque in N·m at the shaft that the weakest side has to bring.
    pub shaft_nm: f64,
}

/// What one side's motors and tyres give.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pull {
    /// Force at the rims at standstill, N.
    pub(crate) force_n: f64,
    /// How far left it acts, m.
    pub(crate) y_m: f64,
    /// Way of the rim for a radian of the shaft, m.
    pub(crate) lever_m: f64,
}

/// Moment in N·m of a support against turning about the point `x_m` in the middle.
fn scrub_nm(s: &Support, grip: f64, x_m: f64) -> f64 {
    let ahead = s.at_m.x - x_m;
    match s.kind {
        SupportKind::Skid(_) | SupportKind::Blade | SupportKind::Body => {
            s.friction * s.load_n * s.at_m.truncate().distance(glam::DVec2::new(x_m, 0.0))
        }
        _ => laws::scrub::tread_nm(grip, s.load_n, ahead, s.width_m),
    }
}

impl Turning {
    /// What turning takes of a robot that stands so and gets these pulls; `grip` is the grip of a
    /// support while it slides across.
    pub(crate) fn of(footing: &Footing, grip: impl Fn(&Support) -> f64, pulls: &[Pull]) -> Self {
        let standing: Vec<(&Support, f64)> = (footing.supports.iter())
            .filter(|s| s.load_n > 0.0)
            .map(|s| (s, grip(s)))
            .collect();
        let moment = |x: f64| -> f64 { standing.iter().map(|(s, g)| scrub_nm(s, *g, x)).sum() };
        let xs = || standing.iter().map(|s| s.0.at_m.x);
        // The sum is convex: a third of the way from either end leaves the least one inside.
        let (mut low, mut high) = (
            xs().fold(f64::INFINITY, f64::min),
            xs().fold(f64::NEG_INFINITY, f64::max),
        );
        for _ in 0..STEPS {
            let third = (high - low) / 3.0;
            if moment(low + third) <= moment(high - third) {
                high -= third;
            } else {
                low += third;
            }
        }
        let about_x_m = 0.5 * (low + high);
        let scrub = moment(about_x_m);
        let arms: f64 = pulls.iter().map(|p| p.y_m.abs()).sum();
        let side_n = if arms > 0.0 { scrub / arms } else { 0.0 };
        Self {
            about_x_m,
            scrub_nm: scrub,
            drive_nm: pulls.iter().map(|p| p.force_n * p.y_m.abs()).sum(),
            side_n,
            shaft_nm: pulls.iter().map(|p| side_n * p.lever_m).fold(0.0, f64::max),
        }
    }

    /// Share of what the drive gives that scrubbing takes; above 1 it does not turn.
    #[must_use]
    pub fn share(&self) -> f64 {
        self.scrub_nm / self.drive_nm.max(1e-12)
    }

    /// What is to be said about it.
    pub(crate) fn findings(&self, robot: &Robot) -> Option<Finding> {
        if self.share() < HARD {
            return None;
        }
        let what = if self.share() < 1.0 {
            format!(
                "Turning on the spot takes {:.0} % of what the drive can do.",
                100.0 * self.share()
            )
        } else {
            "It cannot turn on the spot.".into()
        };
        Some(Finding {
            name: "hard-to-turn",
            severity: Severity::Warning,
            what,
            why: format!(
                "Wheels and tracks ahead of the point it turns about and behind it slide sideways: \
                 that holds with {:.3} N·m. Motors and tyres turn it with {:.3} N·m.",
                self.scrub_nm, self.drive_nm
            ),
            mend: "Bring wheels or the ends of the tracks nearer together lengthwise, or further \
                   apart sideways; put a sliding foot for one pair of wheels; gear the motors down."
                .into(),
            place: first_driven(robot),
        })
    }
}

#[cfg(test)]
mod tests {
    use glam::{DMat3, DVec3};
    use quantity::maths::STANDARD_GRAVITY as G;

    use super::*;

    #[track_caller]
    fn near(value: f64, expected: f64) {
        assert!(
            (value - expected).abs() <= 1e-3 * expected.abs(),
            "{value} for {expected}"
        );
    }

    fn standing(supports: &[(SupportKind, [f64; 2], f64)]) -> Footing {
        let support = |&(kind, [x, y], load_n): &(SupportKind, [f64; 2], f64)| Support {
            kind,
            name: String::new(),
            at_m: DVec3::new(x, y, 0.0),
            friction: 0.8,
            stiffness: 1.0,
            width_m: 0.0,
            load_n,
        };
        Footing {
            mass_kg: 3.0,
            centre_m: DVec3::ZERO,
            inertia_kg_m2: DMat3::IDENTITY,
            surface: robot::Surface::default(),
            pulls: Vec::new(),
            supports: supports.iter().map(support).collect(),
            driven_share: 1.0,
            front_lifts_m_s2: f64::INFINITY,
            rolls_back_m_s2: f64::INFINITY,
            tips_sideways_rad: [1.0; 2],
        }
    }

    fn side(y_m: f64, force_n: f64) -> Pull {
        Pull {
            force_n,
            y_m,
            lever_m: 0.02,
        }
    }

    /// 3 kg on four wheels at the ends of 150 mm, 160 mm apart, μ 0.8: μ W L/2 = 1.7652 N·m, so each
    /// side has to drive with that over 160 mm.
    #[test]
    fn four_corner_wheels_scrub_over_half_their_length() {
        let wheel = |x, y| (SupportKind::DrivenWheel(0), [x, y], 3.0 * G / 4.0);
        let four = standing(&[
            wheel(0.075, 0.08),
            wheel(0.075, -0.08),
            wheel(-0.075, 0.08),
            wheel(-0.075, -0.08),
        ]);
        let t = Turning::of(&four, |s| s.friction, &[side(0.08, 9.0), side(-0.08, 9.0)]);
        near(t.scrub_nm, 1.7652);
        near(t.side_n, 1.7652 / 0.16);
        near(t.shaft_nm, 1.7652 / 0.16 * 0.02);
        near(t.drive_nm, 1.44);
        // It takes more than both sides have.
        assert!(t.share() > 1.0);
    }

    /// Two wheels and a foot: about the axle, where only the foot slides, if that takes least.
    #[test]
    fn it_turns_about_the_point_that_takes_least() {
        let robot = standing(&[
            (SupportKind::DrivenWheel(0), [-0.01, 0.04], 2.0),
            (SupportKind::DrivenWheel(1), [-0.01, -0.04], 2.0),
            (SupportKind::Skid(0), [0.04, 0.0], 1.0),
        ]);
        let t = Turning::of(&robot, |s| s.friction, &[]);
        near(t.about_x_m, -0.01);
        near(t.scrub_nm, 0.8 * 1.0 * 0.05);
    }
}
