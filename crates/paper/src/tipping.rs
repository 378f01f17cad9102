//! Which way it tips how easily: slope and acceleration at every bearing, and its clearance.

use glam::DVec2;
use quantity::maths::{self, STANDARD_GRAVITY};
use robot::{Finding, Robot, Severity};

use crate::footing::first_driven;
use crate::{Drive, Footing, Support};

/// Bearings at which it is worked out.
const BEARINGS: u32 = 72;
/// Bearings this far from straight ahead and straight back count as sideways, rad: 45 degrees.
const SIDEWAYS_RAD: f64 = maths::PI / 4.0;

/// How it tips toward one bearing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tip {
    /// Where to, rad, to the left.
    pub bearing_rad: f64,
    /// Acceleration in m/s², as of a shove at the height of its centre of mass, above which the supports on
    /// the other side lift.
    pub lifts_m_s2: f64,
    /// Above which it goes over everything that can stand on the ring, its body's corners included.
    pub over_m_s2: f64,
}

impl Tip {
    /// Slope in rad of a board on which it goes over toward this bearing. Magnets left aside.
    #[must_use]
    pub fn slope_rad(&self) -> f64 {
        maths::atan(self.over_m_s2 / STANDARD_GRAVITY)
    }
}

/// Tipping.
#[derive(Debug, Clone, PartialEq)]
pub struct Tipping {
    /// All round, from straight ahead to the left.
    pub tips: Vec<Tip>,
    /// What it stands on: corners of the outline of its loaded supports, x and y in m.
    pub base_m: Vec<DVec2>,
    /// Its centre of mass seen from above, m.
    pub centre_m: DVec2,
    /// The lowest thing that does not stand on the ring, and how high it is, m.
    pub clearance: Option<(String, f64)>,
}

/// Corners of the convex outline of points, counter-clockwise (Andrew's monotone chain).
fn outline(points: impl Iterator<Item = (DVec2, f64)>) -> Vec<(DVec2, f64)> {
    let mut all: Vec<(DVec2, f64)> = points.collect();
    all.sort_by(|a, b| a.0.x.total_cmp(&b.0.x).then(a.0.y.total_cmp(&b.0.y)));
    let turn = |a: DVec2, b: DVec2, c: DVec2| (b - a).perp_dot(c - a);
    let half = |points: &mut dyn Iterator<Item = &(DVec2, f64)>| {
        let mut chain: Vec<(DVec2, f64)> = Vec::new();
        for p in points {
            while chain.len() >= 2
                && turn(chain[chain.len() - 2].0, chain[chain.len() - 1].0, p.0) <= 0.0
            {
                chain.pop();
            }
            chain.push(*p);
        }
        chain.pop();
        chain
    };
    let mut lower = half(&mut all.iter());
    lower.extend(half(&mut all.iter().rev()));
    lower
}

/// How far from `from` along the unit vector `along` the outline ends, and how high its edge is there; zero
/// where it begins outside.
fn to_edge(outline: &[(DVec2, f64)], from: DVec2, along: DVec2) -> (f64, f64) {
    let mut found = (f64::INFINITY, 0.0);
    for (k, &(a, low)) in outline.iter().enumerate() {
        let (b, high) = outline[(k + 1) % outline.len()];
        let side = b - a;
        // Outward of a counter-clockwise outline is to the right of its sides.
        let closing = side.perp_dot(along);
        if closing >= 0.0 {
            continue;
        }
        let way = side.perp_dot(a - from) / closing;
        let along_side = (from + along * way - a).dot(side) / side.length_squared().max(1e-18);
        if way < found.0 {
            found = (way, low + (high - low) * along_side.clamp(0.0, 1.0));
        }
    }
    (found.0.max(0.0), found.1)
}

impl Tipping {
    /// How a robot that stands so tips.
    ///
    /// Supports as rigid points: the centre of mass r from the edge of its base and h above it lifts the far
    /// side at a = g r/h; magnets press where they are and count as weight with no inertia (moment balance).
    /// Assumed: it has not sunk on that side before.
    #[must_use]
    pub fn of(footing: &Footing) -> Self {
        let point = |s: &Support| (s.at_m.truncate(), s.at_m.z);
        let standing = footing.supports.iter().filter(|s| s.load_n > 0.0);
        let base = outline(standing.map(point));
        let everything = outline(footing.supports.iter().map(point));
        let load = footing.load(|_| true);
        let pressed = load.whole_n / load.weight_n;
        let height = footing.centre_m.z;
        let at = |outline: &[(DVec2, f64)], along: DVec2| {
            let (way, low) = to_edge(outline, load.centre, along);
            STANDARD_GRAVITY * laws::tilt::tips_at_g(pressed * way, (height - low).max(1e-6))
        };
        let tips = (0..BEARINGS).map(|k| {
            let bearing_rad = maths::TAU * f64::from(k) / f64::from(BEARINGS);
            let along = DVec2::new(maths::cos(bearing_rad), maths::sin(bearing_rad));
            let lifts_m_s2 = at(&base, along);
            Tip {
                bearing_rad: maths::wrap_angle(bearing_rad),
                lifts_m_s2,
                over_m_s2: at(&everything, along).max(lifts_m_s2),
            }
        });
        let hangs = footing.supports.iter().filter(|s| s.load_n <= 0.0);
        Self {
            tips: tips.collect(),
            base_m: base.iter().map(|b| b.0).collect(),
            centre_m: footing.centre_m.truncate(),
            clearance: hangs
                .min_by(|a, b| a.at_m.z.total_cmp(&b.at_m.z))
                .map(|s| (s.name.clone(), s.at_m.z)),
        }
    }

    /// The bearing it goes over most easily to.
    #[must_use]
    pub fn weakest(&self) -> Option<&Tip> {
        (self.tips.iter()).min_by(|a, b| a.over_m_s2.total_cmp(&b.over_m_s2))
    }

    /// What is to be said about it: that it goes over sideways before its tyres slide.
    pub(crate) fn findings(
        &self,
        robot: &Robot,
        footing: &Footing,
        drive: &Drive,
    ) -> Option<Finding> {
        let sideways = |t: &&Tip| {
            let b = t.bearing_rad.abs();
            (SIDEWAYS_RAD..=maths::PI - SIDEWAYS_RAD).contains(&b)
        };
        let worst = (self.tips.iter().filter(sideways))
            .min_by(|a, b| a.over_m_s2.total_cmp(&b.over_m_s2))?;
        let holds_m_s2 = drive.grip_n / footing.mass_kg;
        if worst.over_m_s2 >= holds_m_s2 {
            return None;
        }
        let side = if worst.bearing_rad > 0.0 {
            "left"
        } else {
            "right"
        };
        let height = footing.centre_m.z;
        Some(Finding {
            name: "tips-before-it-slides",
            severity: Severity::Warning,
            what: format!(
                "A shove from the side rolls it over to the {side} before its tyres let it slide away."
            ),
            why: format!(
                "Its centre of mass is {:.0} mm up and {:.0} mm from the edge of what it stands on: it goes \
                 over at {:.1} m/s² (g × distance ÷ height), and the tyres hold it up to {:.1} m/s² (grip ÷ \
                 mass).",
                1e3 * height,
                1e3 * height * worst.over_m_s2 / STANDARD_GRAVITY,
                worst.over_m_s2,
                holds_m_s2
            ),
            mend: format!(
                "Bring heavy parts down, or the wheels further apart: {:.0} mm of height or {:.0} mm of width \
                 to each side would do.",
                1e3 * height * (1.0 - worst.over_m_s2 / holds_m_s2),
                1e3 * height * (holds_m_s2 - worst.over_m_s2) / STANDARD_GRAVITY
            ),
            place: first_driven(robot),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(half_x: f64, half_y: f64) -> Vec<(DVec2, f64)> {
        let corner = |x: f64, y: f64| (DVec2::new(x * half_x, y * half_y), 0.0);
        outline(
            [
                corner(1.0, 1.0),
                corner(-1.0, 1.0),
                corner(0.0, 0.0),
                corner(1.0, -1.0),
                corner(-1.0, -1.0),
            ]
            .into_iter(),
        )
    }

    #[test]
    fn the_outline_leaves_out_what_is_inside() {
        assert_eq!(square(0.06, 0.05).len(), 4);
    }

    /// 160 mm of track, centre of mass 30 mm up: 80/30 = 2.667 g to the side, 69.44°; a block of 80 mm and
    /// 120 mm of height tips at 33.69° (closed form).
    #[test]
    fn it_tips_over_the_edge_of_its_base() {
        let base = square(0.06, 0.08);
        let (way, low) = to_edge(&base, DVec2::ZERO, DVec2::Y);
        assert!((way - 0.08).abs() < 1e-12 && low.abs() < 1e-12);
        let g = laws::tilt::tips_at_g(way, 0.030);
        assert!((g - 2.667).abs() < 1e-3);
        let tip = |over_g: f64| Tip {
            bearing_rad: 0.0,
            lifts_m_s2: 0.0,
            over_m_s2: over_g * STANDARD_GRAVITY,
        };
        assert!((tip(g).slope_rad().to_degrees() - 69.44).abs() < 0.01);
        let block = to_edge(&square(0.04, 0.04), DVec2::ZERO, DVec2::X).0;
        let slope = tip(block / 0.060).slope_rad().to_degrees();
        assert!((slope - 33.69).abs() < 0.01, "{slope}");
        // Over a corner it takes more.
        let aslant = to_edge(&base, DVec2::ZERO, DVec2::new(0.6, 0.8)).0;
        assert!((aslant - 0.1).abs() < 1e-12, "{aslant}");
        // From outside there is nothing left.
        assert!(to_edge(&base, DVec2::new(0.0, 0.09), DVec2::Y).0.abs() < 1e-12);
    }
}
