//! Who gets under whom, and what it does to both: odds by heights of edges, shares of weight, the
//! wedge.

use glam::DVec2;
use quantity::HALF_WIDTH_95;
use quantity::maths::{self, STANDARD_GRAVITY};
use robot::{Blade, Finding, Mount, Robot, Severity};

use crate::bearing::Spring;
use crate::{Drive, Footing, Support, SupportKind};

/// Supports this near to the rearmost one, m, share its load: what lengths are off by.
const SAME_PLACE_M: f64 = 0.002;
/// Rises in m of the upper robot's front at which the balance is told.
const RISES_M: [f64; 4] = [0.001, 0.003, 0.010, 0.020];
/// Odds of getting under a plain blade below which it is said that ours is too high.
const LEAST_ODDS: f64 = 0.10;

/// What stands against us, by its lowest edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Foe {
    /// A robot like itself.
    Itself,
    /// A fine edge, ground and set close.
    Fine,
    /// A plain sheet, screwed on with some care.
    Plain,
    /// A thick or high sheet.
    Rough,
    /// No blade: the body's lower edge.
    NoBlade,
}

impl Foe {
    /// All of them, the finest edge first.
    pub const ALL: [Self; 5] = [
        Self::Itself,
        Self::Fine,
        Self::Plain,
        Self::Rough,
        Self::NoBlade,
    ];

    /// Height in m of the top of its edge and what it may be off by (19 to 1); of a robot without a blade
    /// the height of its body over the ring. Common practice, no source: the blades of the parts box
    /// set 0 to 1 mm over the ring lie between them.
    const fn typical_m(self) -> Option<[f64; 2]> {
        match self {
            Self::Itself => None,
            Self::Fine => Some([0.4e-3, 0.2e-3]),
            Self::Plain => Some([1.0e-3, 0.5e-3]),
            Self::Rough => Some([2.0e-3, 0.8e-3]),
            Self::NoBlade => Some([4.0e-3, 1.5e-3]),
        }
    }
}

/// A height that is not known exactly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Height {
    /// Its middle, m.
    pub mean_m: f64,
    /// Its standard deviation, m.
    pub sigma_m: f64,
}

impl Height {
    fn pair(self) -> [f64; 2] {
        [self.mean_m, self.sigma_m]
    }

    /// Half of the range it is in 19 times of 20, m.
    #[must_use]
    pub fn half_width_m(&self) -> f64 {
        HALF_WIDTH_95 * self.sigma_m
    }
}

/// Two robots nose to nose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meeting {
    /// Whom it meets.
    pub foe: Foe,
    /// The top of their edge, or their body's lower edge where they have no blade.
    pub theirs: Height,
    /// Odds that our blade gets under them.
    pub under: f64,
    /// Odds that theirs gets under us.
    pub over: f64,
}

/// Two robots like this one, one with its front on the other's blade.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carried {
    /// How far the upper one's front is raised, m.
    pub rise_m: f64,
    /// What the lower one carries of it, N.
    pub carried_n: f64,
    /// What is left of the upper one's push, N.
    pub upper_push_n: f64,
    /// Push of the lower one, N.
    pub lower_push_n: f64,
}

/// What it takes to drive the blade under a robot like this one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wedge {
    /// Slope of the blade, rad.
    pub angle_rad: f64,
    /// Friction of its face.
    pub friction: f64,
    /// Load on the face, N.
    pub load_n: f64,
    /// Force it takes, N; infinite where no force does.
    pub needed_n: f64,
    /// Steepest slope that the push still drives under, rad; below zero: none.
    pub steepest_rad: f64,
}

/// Getting under.
#[derive(Debug, Clone, PartialEq)]
pub struct Under {
    /// The top of our blade's edge over the ring; none without a blade.
    pub edge: Option<Height>,
    /// Our body's lower edge over the ring.
    pub body: Option<Height>,
    /// Against what it meets.
    pub meetings: Vec<Meeting>,
    /// Push of either before they touch, N.
    pub push_n: f64,
    /// Weight, N.
    pub weight_n: f64,
    /// By how far the upper one's front is raised.
    pub carried: Vec<Carried>,
    /// Driving the blade under.
    pub wedge: Option<Wedge>,
}

fn sigma(spreads: [f64; 2]) -> f64 {
    maths::hypot(spreads[0], spreads[1]) / HALF_WIDTH_95
}

/// The top of a blade's edge over the ring.
///
/// Height and thickness of the edge with their spreads; a hinged or sprung sheet sinks by its droop,
/// to the ring at most; a fixed one goes up and down with wheels out of round, by a sine of the
/// run-out (σ = e/√2), unless it stands on its edge.
fn edge(robot: &Robot, blade: &Blade) -> Height {
    let tip = [blade.tip_height.unsure(), blade.tip_height.varies()];
    let thick = sigma([blade.edge.unsure(), blade.edge.varies()]);
    let (tip_m, tip_sigma) = match &blade.mount {
        Mount::Hinged(play) | Mount::Sprung { play, .. } => {
            let left = blade.tip_height.si() - play.droop.si();
            if left > 0.0 {
                let droop = sigma([play.droop.unsure(), play.droop.varies()]);
                (left, maths::hypot(sigma(tip), droop))
            } else {
                (0.0, 0.0)
            }
        }
        Mount::Fixed { .. } | Mount::Driven if blade.tip_height.si() > 0.0 => {
            let run_out = robot.wheels.iter().map(|w| w.run_out.si());
            let wobble = run_out.fold(0.0, f64::max) * core::f64::consts::FRAC_1_SQRT_2;
            (blade.tip_height.si(), maths::hypot(sigma(tip), wobble))
        }
        Mount::Fixed { .. } | Mount::Driven => (blade.tip_height.si(), sigma(tip)),
    };
    Height {
        mean_m: tip_m + blade.edge.si(),
        sigma_m: maths::hypot(tip_sigma, thick),
    }
}

/// Where a robot like this touches another that comes under its front: x of its foremost low edge, m.
fn front_x_m(robot: &Robot) -> Option<f64> {
    let hull = robot.hull.iter().flat_map(|p| &p.outline).map(|c| c[0]);
    let blade = robot.blade.iter().map(|b| b.tip_x.si());
    hull.chain(blade).max_by(f64::total_cmp)
}

/// A robot with its front raised: weight, base from the rear contact, and who carries the rest.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Raised {
    /// Weight, N.
    pub(crate) weight_n: f64,
    /// From the rear contact to the front, m.
    pub(crate) base_m: f64,
    /// From the rear contact to the centre of mass, m.
    pub(crate) from_rear_m: f64,
    /// Height of the centre of mass, m.
    pub(crate) height_m: f64,
    /// Share of the load on the rear contact that stands on driven wheels.
    driven: f64,
}

impl Raised {
    /// How this robot stands when its front is raised: on the rearmost of what carries it.
    pub(crate) fn of(robot: &Robot, footing: &Footing) -> Option<Self> {
        let standing = || footing.supports.iter().filter(|s| s.load_n > 0.0);
        let rear = (standing().map(|s| s.at_m.x)).fold(f64::INFINITY, f64::min);
        let base_m = front_x_m(robot)? - rear;
        let from_rear_m = footing.centre_m.x - rear;
        if base_m <= 0.0 || from_rear_m <= 0.0 {
            return None;
        }
        let last = || standing().filter(|s| s.at_m.x <= rear + SAME_PLACE_M);
        let all: f64 = last().map(|s| s.load_n).sum();
        let driven: f64 = (last().filter(|s| s.kind.is_driven()))
            .map(|s| s.load_n)
            .sum();
        Some(Self {
            weight_n: footing.mass_kg * STANDARD_GRAVITY,
            base_m,
            from_rear_m,
            height_m: footing.centre_m.z,
            driven: driven / all.max(1e-12),
        })
    }

    /// Load in N at its front, raised by `rise_m`.
    pub(crate) fn front_n(&self, rise_m: f64) -> f64 {
        laws::transfer::raised_front_load_n(
            self.weight_n,
            self.base_m,
            self.from_rear_m,
            self.height_m,
            rise_m.min(0.9 * self.base_m),
        )
        .max(0.0)
    }
}

/// Load in N on driven wheels with `more_n` added at `at`.
fn driven_with_n(footing: &Footing, more_n: f64, at: DVec2) -> Option<f64> {
    let mut load = footing.load(|_| true);
    let whole_n = load.whole_n + more_n;
    load.centre += (at - load.centre) * (more_n / whole_n);
    load.whole_n = whole_n;
    let springs: Vec<Spring> = footing.supports.iter().map(Support::spring).collect();
    let (loads, _) = load.on(&springs)?;
    let driven = footing.supports.iter().zip(&loads);
    Some(
        driven
            .filter(|(s, _)| s.kind.is_driven())
            .map(|(_, n)| n)
            .sum(),
    )
}

impl Under {
    /// Getting under, of a robot that stands and drives so.
    ///
    /// The lower of two edges, thickness included, gets under where they meet (the same rule as in a
    /// bout); the balance is statics with the load at the place on the blade that is as high as the
    /// upper one is raised. Left out: friction on the face, sinking under the load beyond what wheels
    /// give, and unevenness of the ring, which both meet alike.
    #[must_use]
    pub fn of(robot: &Robot, footing: &Footing, drive: &Drive) -> Self {
        let ours = robot.blade.as_ref().map(|b| edge(robot, b));
        let body = (robot.hull.iter())
            .min_by(|a, b| a.from.si().total_cmp(&b.from.si()))
            .map(|p| Height {
                mean_m: p.from.si(),
                sigma_m: sigma([p.from.unsure(), p.from.varies()]),
            });
        let meetings = Foe::ALL
            .into_iter()
            .filter_map(|foe| Meeting::of(foe, ours, body))
            .collect();
        let raised = Raised::of(robot, footing);
        Self {
            edge: ours,
            body,
            meetings,
            push_n: drive.push_n,
            weight_n: footing.mass_kg * STANDARD_GRAVITY,
            carried: raised.map_or(Vec::new(), |r| carried(robot, footing, drive, &r)),
            wedge: raised
                .zip(robot.blade.as_ref())
                .map(|(r, blade)| Wedge::of(blade, r.front_n(0.0), drive.push_n)),
        }
    }

    /// The meeting with `foe`.
    #[must_use]
    pub fn with(&self, foe: Foe) -> Option<&Meeting> {
        self.meetings.iter().find(|m| m.foe == foe)
    }

    /// What is to be said about it.
    pub(crate) fn findings(&self, robot: &Robot) -> Vec<Finding> {
        let Some(blade) = &robot.blade else {
            return Vec::new();
        };
        let place = || Some(blade.item.place.clone());
        let mut found = Vec::new();
        let plain = self.with(Foe::Plain).zip(self.edge);
        if let Some((m, edge)) = plain.filter(|(m, _)| m.under < LEAST_ODDS) {
            found.push(Finding {
                name: "blade-too-high",
                severity: Severity::Warning,
                what: format!(
                    "Its blade gets under a plain blade about {:.0} times in 100.",
                    100.0 * m.under
                ),
                why: format!(
                    "The top of its edge is {:.1} ± {:.1} mm over the ring (height + thickness), that of a plain \
                     blade {:.1} ± {:.1} mm: the lower one gets under, and heights vary.",
                    1e3 * edge.mean_m,
                    1e3 * edge.half_width_m(),
                    1e3 * m.theirs.mean_m,
                    1e3 * m.theirs.half_width_m()
                ),
                mend: format!(
                    "Set it lower or take a thinner edge: {:.1} mm less makes the odds even. Cover the edge when \
                     you handle it.",
                    1e3 * (edge.mean_m - m.theirs.mean_m)
                ),
                place: place(),
            });
        }
        let steep = self.wedge.filter(|w| w.needed_n > self.push_n);
        if let Some(w) = steep {
            let needs = if w.needed_n.is_finite() {
                format!("takes {:.2} N", w.needed_n)
            } else {
                "takes more than any force".to_owned()
            };
            let mend = if w.steepest_rad > 0.0 {
                format!(
                    "Lay the blade flatter: up to {:.0}° its push would do.",
                    w.steepest_rad.to_degrees()
                )
            } else {
                "More push first: no slope helps, the friction of the blade alone holds it back."
                    .into()
            };
            found.push(Finding {
                name: "blade-too-steep",
                severity: Severity::Warning,
                what: format!(
                    "Its blade is too steep to be pushed under a robot of its own weight: that {needs}, and it \
                     pushes {:.2} N.",
                    self.push_n
                ),
                why: format!(
                    "A load of {:.2} N on a face of {:.0}° with friction {:.2} takes load × tan(slope + friction \
                     angle).",
                    w.load_n,
                    w.angle_rad.to_degrees(),
                    w.friction
                ),
                mend,
                place: place(),
            });
        }
        found
    }
}

impl Meeting {
    fn of(foe: Foe, ours: Option<Height>, body: Option<Height>) -> Option<Self> {
        let low = |h: [f64; 2]| Height {
            mean_m: h[0],
            sigma_m: h[1] / HALF_WIDTH_95,
        };
        let theirs = match foe.typical_m() {
            Some(h) => low(h),
            None => ours.or(body)?,
        };
        let bladed = foe != Foe::NoBlade && !(foe == Foe::Itself && ours.is_none());
        let under = ours.map_or(0.0, |h| laws::odds::smaller(h.pair(), theirs.pair()));
        let over = match (bladed, ours, body) {
            (false, ..) => 0.0,
            (true, Some(_), _) => 1.0 - under,
            (true, None, Some(b)) => laws::odds::smaller(theirs.pair(), b.pair()),
            (true, None, None) => 1.0,
        };
        Some(Self {
            foe,
            theirs,
            under,
            over,
        })
    }
}

impl Wedge {
    fn of(blade: &Blade, load_n: f64, push_n: f64) -> Self {
        let (angle_rad, friction) = (blade.angle.si(), blade.friction.si());
        Self {
            angle_rad,
            friction,
            load_n,
            needed_n: load_n * laws::wedge::push_per_load(angle_rad, friction),
            steepest_rad: laws::wedge::steepest_rad(push_n, load_n, friction),
        }
    }
}

fn carried(robot: &Robot, footing: &Footing, drive: &Drive, raised: &Raised) -> Vec<Carried> {
    let Some(blade) = &robot.blade else {
        return Vec::new();
    };
    let per_load = 1.0 / footing.driven_load_n().max(1e-12);
    // As on the level: what the motors give if the tyres hold that, else what sliding tyres give.
    let push = |load_n: f64| {
        let load = (load_n * per_load).max(0.0) + 0.0;
        if drive.motors_push_n > drive.grip_n * load {
            drive.sliding_n * load
        } else {
            drive.motors_push_n
        }
    };
    let tall = blade.length.si() * maths::sin(blade.angle.si());
    RISES_M
        .into_iter()
        .filter(|rise| *rise < tall)
        .filter_map(|rise_m| {
            let carried_n = raised.front_n(rise_m);
            let back = rise_m / maths::tan(blade.angle.si());
            let at = DVec2::new(blade.tip_x.si() - back, blade.tip_y.si());
            let driven_n = driven_with_n(footing, carried_n, at)?;
            Some(Carried {
                rise_m,
                carried_n,
                upper_push_n: push(raised.driven * (raised.weight_n - carried_n)),
                lower_push_n: push(driven_n),
            })
        })
        .collect()
}

/// x in m of the foremost thing besides the blade that carries it, or could if it sank forward.
pub(crate) fn foremost_x_m(footing: &Footing) -> Option<f64> {
    let others = || (footing.supports.iter()).filter(|s| s.kind != SupportKind::Blade);
    let most =
        |all: &mut dyn Iterator<Item = &Support>| all.map(|s| s.at_m.x).max_by(f64::total_cmp);
    let loaded = most(&mut others().filter(|s| s.load_n > 0.0))?;
    if loaded > footing.centre_m.x {
        return Some(loaded);
    }
    most(&mut others())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn height(mean: f64, half: f64) -> Option<Height> {
        Some(Height {
            mean_m: mean,
            sigma_m: half / HALF_WIDTH_95,
        })
    }

    #[test]
    fn against_itself_the_odds_are_even() {
        let m = Meeting::of(Foe::Itself, height(5e-4, 1e-4), height(4e-3, 0.0)).expect("a meeting");
        assert!((m.under - 0.5).abs() < 1e-12 && (m.over - 0.5).abs() < 1e-12);
    }

    /// 1.0 ± 0.5 mm against 0.5 ± 0.1 mm: 0.5 mm in √(0.5² + 0.1²)/1.96 = 0.26 mm, 1.92 σ: 97.3 %.
    #[test]
    fn a_lower_edge_gets_under_more_often() {
        let m = Meeting::of(Foe::Plain, height(5e-4, 1e-4), None).expect("a meeting");
        assert!((m.under - 0.973).abs() < 2e-3, "{}", m.under);
    }

    #[test]
    fn who_has_no_blade_gets_under_nobody() {
        let without = Meeting::of(Foe::Plain, None, height(4e-3, 1e-3)).expect("a meeting");
        assert!(without.under <= 0.0 && without.over > 0.99);
        let them = Meeting::of(Foe::NoBlade, height(5e-4, 1e-4), None).expect("a meeting");
        assert!(them.under > 0.99 && them.over <= 0.0);
    }

    /// Statics of a robot of 3 kg, base 120 mm, centre of mass mid-way and 30 mm high (computed): raised by
    /// 3 mm its front carries 14.526 N.
    #[test]
    fn a_raised_front_carries_what_statics_says() {
        let raised = Raised {
            weight_n: 3.0 * STANDARD_GRAVITY,
            base_m: 0.12,
            from_rear_m: 0.06,
            height_m: 0.03,
            driven: 1.0,
        };
        assert!((raised.front_n(0.003) - 14.526).abs() < 1e-2);
    }
}
