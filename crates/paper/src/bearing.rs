//! A rigid body on springs: what each support carries.
//!
//! A spring can only push, so a support that would be pulled lifts off. Small tilts: heights change
//! linearly over the plan.

use glam::{DMat3, DVec2, DVec3};

/// How far in m the robot's weight squeezes wheels that share it evenly: a tyre on which the robot
/// bobs at 60 Hz (g/ω²), as in the bout. It decides which nearly touching corner shares in.
const SQUEEZE_M: f64 = 6.9e-5;

/// A support.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Spring {
    /// x, y, and height above level ground, in m.
    pub(crate) at: DVec3,
    /// Stiffness as a multiple of a wheel's.
    pub(crate) stiffness: f64,
}

/// What presses a body down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Load {
    /// Its weight in N, to which the springs are made.
    pub(crate) weight_n: f64,
    /// All that presses it down, weight included, in N.
    pub(crate) whole_n: f64,
    /// Where the line of action of all that passes.
    pub(crate) centre: DVec2,
}

impl Load {
    /// Nothing but a weight.
    pub(crate) fn of_weight(weight_n: f64, centre: DVec2) -> Self {
        Self {
            weight_n,
            whole_n: weight_n,
            centre,
        }
    }

    /// Loads in N of `springs` under it, and how far in m it sinks as (d, a, b) of d + a·x + b·y. None if it acts outside of what could carry it.
    ///
    /// A wheel's stiffness is weight ÷ (n·`SQUEEZE_M`), n counting the springs in wheels. With the
    /// ground at rest they are squeezed by d + a·x + b·y − z; the three unknowns follow from the
    /// balance of force and of both moments, by Newton's method on the set of springs in touch (the
    /// energy is convex, so the solution is the only one).
    pub(crate) fn on(&self, springs: &[Spring]) -> Option<(Vec<f64>, DVec3)> {
        if springs.len() < 3 || self.weight_n <= 0.0 {
            return None;
        }
        let wheels: f64 = springs.iter().map(|s| s.stiffness).sum();
        let stiffness = self.weight_n / (wheels * SQUEEZE_M);
        let row = |p: &DVec3| DVec3::new(1.0, p.x, p.y);
        let aim = self.whole_n * DVec3::new(1.0, self.centre.x, self.centre.y);
        let deepest = springs.iter().map(|s| s.at.z).fold(0.0, f64::max);
        // From all springs well squeezed, so that none is left out at the start.
        let mut plane = DVec3::new(deepest + SQUEEZE_M, 0.0, 0.0);
        for _ in 0..100 {
            // A little of itself, so that two wheels on one axle alone do not leave it singular.
            let some = 1e-6 * stiffness;
            let mut matrix = DMat3::from_diagonal(DVec3::new(some, 1e-3 * some, 1e-3 * some));
            let mut force = DVec3::ZERO;
            for s in springs {
                let r = row(&s.at);
                let squeeze = plane.dot(r) - s.at.z;
                if squeeze > 0.0 {
                    let k = stiffness * s.stiffness;
                    matrix += DMat3::from_cols(r * r.x, r * r.y, r * r.z) * k;
                    force += r * (k * squeeze);
                }
            }
            let off = aim - force;
            let step = matrix.inverse() * off;
            if !step.is_finite() {
                return None;
            }
            plane += step;
            if off.abs().max_element() <= 1e-9 * self.whole_n {
                let push = |s: &Spring| {
                    (stiffness * s.stiffness * (plane.dot(row(&s.at)) - s.at.z)).max(0.0)
                };
                return Some((springs.iter().map(push).collect(), plane));
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use quantity::maths::STANDARD_GRAVITY;

    use super::*;

    fn loads(weight_n: f64, centre: DVec2, at: &[DVec3]) -> Option<Vec<f64>> {
        let spring = |at: &DVec3| Spring {
            at: *at,
            stiffness: 1.0,
        };
        let springs: Vec<Spring> = at.iter().map(spring).collect();
        Some(Load::of_weight(weight_n, centre).on(&springs)?.0)
    }

    #[track_caller]
    fn near(value: f64, expected: f64) {
        assert!(
            (value - expected).abs() <= 1e-3 * expected.abs(),
            "{value} for {expected}"
        );
    }

    fn at(points: &[[f64; 2]]) -> Vec<DVec3> {
        points.iter().map(|p| DVec3::new(p[0], p[1], 0.0)).collect()
    }

    /// A robot on two wheels whose blade is past the rim leans on the rim with the blade's face, 25° steep,
    /// while its body is 4 mm up and does not touch: the moments say how much wheels and rim carry.
    #[test]
    fn feet_far_above_the_others_are_found() {
        for k in 0..14 {
            let x = 0.0485 - 1e-3 * f64::from(k);
            let feet = [
                DVec3::new(-0.012, 0.043, 0.0),
                DVec3::new(-0.012, -0.043, 0.0),
                DVec3::new(0.013, 0.048, 0.004),
                DVec3::new(0.013, -0.048, 0.004),
                DVec3::new(-0.049, 0.048, 0.004),
                DVec3::new(-0.049, -0.048, 0.004),
                DVec3::new(x, 0.048, 0.466 * (0.049 - x)),
                DVec3::new(x, -0.048, 0.466 * (0.049 - x)),
            ];
            for centre in [0.004, 0.008, 0.012] {
                let n = loads(4.3, DVec2::new(centre, 0.0), &feet).expect("it stands");
                near(n[6] + n[7], 4.3 * (centre + 0.012) / (x + 0.012));
            }
        }
    }

    /// 3 kg on four equal springs at (±60, ±50) mm, centre of mass at (12, −8) mm: the
    /// minimum-norm solution of the three balance equations (worked independently).
    #[test]
    fn four_equal_springs_share_as_the_balance_says() {
        let wheels = at(&[[0.06, 0.05], [0.06, -0.05], [-0.06, 0.05], [-0.06, -0.05]]);
        let n = loads(3.0 * STANDARD_GRAVITY, DVec2::new(0.012, -0.008), &wheels).unwrap();
        for (n, expected) in n.iter().zip([7.649, 10.003, 4.707, 7.061]) {
            near(*n, expected);
        }
        near(n.iter().sum(), 29.420);
    }

    /// The same on three contacts: statics alone decides.
    #[test]
    fn three_contacts_carry_what_statics_says() {
        let feet = at(&[[0.06, 0.05], [0.06, -0.05], [-0.06, 0.0]]);
        let n = loads(3.0 * STANDARD_GRAVITY, DVec2::new(0.012, -0.008), &feet).unwrap();
        for (n, expected) in n.iter().zip([6.472, 11.180, 11.768]) {
            near(*n, expected);
        }
    }

    #[test]
    fn a_spring_that_would_pull_lifts_off_and_the_rest_balance() {
        let wheels = at(&[[0.06, 0.05], [0.06, -0.05], [-0.06, 0.05], [-0.06, -0.05]]);
        let centre = DVec2::new(0.055, 0.03);
        let n = loads(10.0, centre, &wheels).unwrap();
        assert!(n.iter().all(|n| *n >= 0.0));
        assert!(n[3] == 0.0, "{n:?}");
        near(n.iter().sum(), 10.0);
        let moment: DVec3 = n.iter().zip(&wheels).map(|(n, p)| *n * *p).sum();
        near(moment.x, 10.0 * centre.x);
        near(moment.y, 10.0 * centre.y);
    }

    #[test]
    fn a_weight_outside_its_supports_has_no_footing() {
        let feet = at(&[[0.06, 0.05], [0.06, -0.05], [-0.06, 0.0]]);
        assert_eq!(loads(10.0, DVec2::new(0.07, 0.0), &feet), None);
        assert_eq!(loads(10.0, DVec2::new(0.0, 0.0), &feet[..2]), None);
    }

    #[test]
    fn a_corner_well_above_the_ring_carries_nothing() {
        let mut feet = at(&[[0.06, 0.05], [0.06, -0.05], [-0.06, 0.0]]);
        feet.push(DVec3::new(0.0, 0.0, 0.004));
        let n = loads(10.0, DVec2::new(0.0, 0.0), &feet).unwrap();
        assert!(n[3] == 0.0, "{n:?}");
    }

    /// Trapezoidal shares: under a weight in the middle a track of five patches bears evenly.
    #[test]
    fn springs_bear_as_they_are_stiff() {
        let at = |x, y, stiffness| Spring {
            at: DVec3::new(x, y, 0.0),
            stiffness,
        };
        let side = |y| {
            [
                at(0.04, y, 0.25),
                at(0.02, y, 0.5),
                at(0.0, y, 0.5),
                at(-0.02, y, 0.5),
                at(-0.04, y, 0.25),
            ]
        };
        let springs: Vec<Spring> = side(0.05).into_iter().chain(side(-0.05)).collect();
        let n = Load::of_weight(8.0, DVec2::ZERO).on(&springs).unwrap().0;
        for (load, spring) in n.iter().zip(&springs) {
            near(*load, 2.0 * spring.stiffness);
        }
    }
}
