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

    /// Whether it acts outside of everything that could carry it: seen from where it acts, all springs lie
    /// within less than half a turn, so the outermost on one side has all others on the other.
    fn is_outside(&self, springs: &[Spring]) -> bool {
        let way = |s: &Spring| s.at.truncate() - self.centre;
        springs.iter().map(way).any(|outermost| {
            springs.iter().map(way).all(|w| {
                let turn = outermost.perp_dot(w);
                turn > 0.0 || (turn == 0.0 && outermost.dot(w) > 0.0)
            })
        })
    }

    /// Loads in N of `springs` under it, and how far in m it sinks as (d, a, b) of d + a·x + b·y. None if it acts outside of what could carry it.
    ///
    /// A wheel's stiffness is weight ÷ (n·`SQUEEZE_M`), n counting the springs in wheels. With the
    /// ground at rest they are squeezed by d + a·x + b·y − z; the three unknowns follow from the
    /// balance of force and of both moments, by Newton's method on the set of springs in touch, no step
    /// going further than the energy falls (it is convex, so the solution is the only one).
    pub(crate) fn on(&self, springs: &[Spring]) -> Option<(Vec<f64>, DVec3)> {
        let deepest = springs.iter().map(|s| s.at.z).fold(0.0, f64::max);
        // From all springs well squeezed, so that none is left out at the start.
        self.on_from(springs, DVec3::new(deepest + SQUEEZE_M, 0.0, 0.0))
    }

    /// The same, searched from how far it sank under a load much like this one.
    pub(crate) fn on_from(&self, springs: &[Spring], start: DVec3) -> Option<(Vec<f64>, DVec3)> {
        if springs.len() < 3 || self.weight_n <= 0.0 || self.is_outside(springs) {
            return None;
        }
        let wheels: f64 = springs.iter().map(|s| s.stiffness).sum();
        let stiffness = self.weight_n / (wheels * SQUEEZE_M);
        let row = |p: &DVec3| DVec3::new(1.0, p.x, p.y);
        let aim = self.whole_n * DVec3::new(1.0, self.centre.x, self.centre.y);
        let mut plane = start;
        let squeeze = |s: &Spring, plane: DVec3| plane.dot(row(&s.at)) - s.at.z;
        // The slope of the energy along a way: how much more the springs push there than they should.
        let slope = |plane: DVec3, way: DVec3| {
            let pushes: f64 = (springs.iter())
                .map(|s| s.stiffness * squeeze(s, plane).max(0.0) * row(&s.at).dot(way))
                .sum();
            stiffness * pushes - aim.dot(way)
        };
        for _ in 0..100 {
            // A little of itself, so that two wheels on one axle alone do not leave it singular.
            let some = 1e-6 * stiffness;
            let mut matrix = DMat3::from_diagonal(DVec3::new(some, 1e-3 * some, 1e-3 * some));
            let mut force = DVec3::ZERO;
            for s in springs {
                let r = row(&s.at);
                let squeezed = squeeze(s, plane);
                if squeezed > 0.0 {
                    let k = stiffness * s.stiffness;
                    matrix += DMat3::from_cols(r * r.x, r * r.y, r * r.z) * k;
                    force += r * (k * squeezed);
                }
            }
            let off = aim - force;
            if off.abs().max_element() <= 1e-9 * self.whole_n {
                let push = |s: &Spring| (stiffness * s.stiffness * squeeze(s, plane)).max(0.0);
                return Some((springs.iter().map(push).collect(), plane));
            }
            let step = matrix.inverse() * off;
            if !step.is_finite() {
                return None;
            }
            plane += step * share_of(|share| slope(plane + step * share, step));
        }
        None
    }
}

/// Share of a step at which the energy along it is least, or all of it where that is no further down.
///
/// Where springs come into touch on the way a whole step goes too far, and the next one back again, for
/// ever. `slope` rises along the step, from below zero; it is halved until nine tenths of it are gone.
fn share_of(slope: impl Fn(f64) -> f64) -> f64 {
    let whole = slope(1.0);
    if whole <= 0.0 {
        return 1.0;
    }
    let good = -0.1 * slope(0.0);
    if whole <= good {
        return 1.0;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        let there = slope(middle);
        if there.abs() <= good {
            return middle;
        }
        if there > 0.0 {
            high = middle;
        } else {
            low = middle;
        }
    }
    0.5 * (low + high)
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

    #[test]
    fn from_wherever_it_begins_it_comes_to_the_same() {
        let spring = |p: [f64; 3]| Spring {
            at: DVec3::from_array(p),
            stiffness: 1.0,
        };
        let springs = [
            spring([0.06, 0.05, 0.0]),
            spring([0.06, -0.05, 0.002]),
            spring([-0.06, 0.05, 0.0]),
            spring([-0.06, -0.05, 0.0]),
        ];
        let load = Load::of_weight(29.4, DVec2::new(0.012, -0.008));
        let (cold, plane) = load.on(&springs).expect("it stands");
        let lifted = DVec3::new(-0.01, 0.1, -0.2);
        for start in [plane, lifted, DVec3::ZERO] {
            let (warm, _) = load.on_from(&springs, start).expect("it stands");
            for (w, c) in warm.iter().zip(&cold) {
                // Each balances to 1e-9 of the load.
                assert!((w - c).abs() < 1e-6 * 29.4, "{warm:?} {cold:?}");
            }
        }
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

    /// Any weight inside of what stands under it finds its balance, whatever the feet's heights: Newton's
    /// steps at full length would go back and forth between two sets of feet in one case of five.
    #[test]
    fn every_weight_inside_its_feet_finds_its_balance() {
        let key = quantity::Stream::root(7);
        for k in 0..2000 {
            let key = key.numbered(k);
            let number = |name: &str, j: u64| key.named(name).numbered(j).uniform() - 0.5;
            let foot = |j| DVec3::new(number("x", j), number("y", j), 0.04 * number("z", j).abs());
            let n = 4 + k % 6;
            let feet: Vec<DVec3> = (0..n)
                .map(|j| foot(j) * DVec3::new(0.2, 0.2, 1.0))
                .collect();
            let shares: Vec<f64> = (0..n).map(|j| 0.1 + number("w", j).abs()).collect();
            let all: f64 = shares.iter().sum();
            let centre = (feet.iter().zip(&shares))
                .map(|(f, w)| f.truncate() * (w / all))
                .fold(DVec2::ZERO, |a, b| a + b);
            let loads = loads(5.0, centre, &feet).unwrap_or_else(|| panic!("case {k}"));
            near(loads.iter().sum(), 5.0);
        }
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
