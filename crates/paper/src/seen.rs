//! What it sees of opponents of several kinds: light, dark, slanted, low; and of what is no opponent.

use glam::DVec2;
use laws::shine::{of_white, reach_of_flight, reach_of_triangulation, returned};
use quantity::maths;
use robot::{Finding, Ring, Robot, Sensor, SensorKind, Severity};
use tactic::Tactic;

use crate::eye::Eye;

/// Bearings of a contour.
const BEARINGS: u32 = 72;
/// Step of the search for the farthest place at a bearing, m.
const STEP_M: f64 = 0.01;
/// Share of infra-red light a matt black body sends back (common practice, no source: black paint and prints
/// send back 4 to 15 %).
const DARK: f64 = 0.08;
/// Share of infra-red light clothes of people send back at most (common practice, no source).
const CLOTHES: f64 = 0.8;
/// How far a slanted opponent's faces are turned or leant away, rad: 45 degrees.
const SLANT_RAD: f64 = maths::PI / 4.0;
/// Share that a slanted face mirrors: smooth printed or painted plastic (common practice, no source).
const SMOOTH: f64 = 0.5;
/// Height of a low opponent as a share of the robot's own length: a flat wedge.
const LOW_SHARE: f64 = 0.2;
/// Lengths of the robot within which a low opponent may be lost without a word: there it is met anyway.
const NEAR_LENGTHS: f64 = 2.0;
/// A beam that faces less than this far from the nose looks ahead, rad: 20 degrees.
const AHEAD_RAD: f64 = 0.35;

/// A kind of opponent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// As light as white paper, a face square to the beam, as tall as the robot itself.
    Light,
    /// The same, matt black.
    Dark,
    /// Light and smooth, all faces 45 degrees off the beam.
    Slanted,
    /// Light, a flat wedge.
    Low,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Self; 4] = [Self::Light, Self::Dark, Self::Slanted, Self::Low];

    /// Light it sends back as a share of what a white face does head-on.
    fn returned(self) -> f64 {
        match self {
            Self::Light | Self::Low => returned(0.9, 0.0, 1.0),
            Self::Dark => returned(DARK, 0.0, 1.0),
            Self::Slanted => returned(0.9, SMOOTH, maths::cos(SLANT_RAD)),
        }
    }
}

/// What is seen of a kind of opponent.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenOf {
    /// The kind.
    pub kind: Kind,
    /// How tall it is, m.
    pub height_m: f64,
    /// Farthest distance in m from the middle of the robot to that of the opponent at which it is seen, by
    /// bearing from straight ahead to the left; 0 where it is not.
    pub contour_m: Vec<f64>,
    /// Share of bearings at which it is seen half of the ring's radius away, middle to middle.
    pub bearings: f64,
    /// Share of the ring in which it is seen, the robot in its middle.
    pub of_ring: f64,
}

/// What a sensor that is read makes of what is no usual opponent.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// The sensor.
    pub sensor: String,
    /// Height of its beam over the ring, m.
    pub height_m: f64,
    /// Half of its opening angle, rad.
    pub half_rad: f64,
    /// Direction in rad, to the left.
    pub facing_rad: f64,
    /// Farthest at which it sees each kind, in the order of [`Kind::ALL`], m.
    pub farthest_m: [f64; 4],
    /// Distance in m below which a low opponent passes under its beam; 0 where it never does.
    pub low_lost_m: f64,
    /// Between which distances in m the white border comes back strongly enough to be taken for something;
    /// none if it does not.
    pub border_m: Option<[f64; 2]>,
    /// Whether from the rim it sees people who stand behind the free space.
    pub people: bool,
}

/// Sight in three dimensions.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// By kind of opponent.
    pub kinds: Vec<SeenOf>,
    /// By sensor that is read.
    pub looks: Vec<Look>,
}

/// How far a sensor sees what sends back this share of a white face's light, a face so far off the beam.
fn farthest_m(sensor: &Sensor, share: f64, slant_rad: f64) -> f64 {
    let reach = sensor.kind.sight().map_or(0.0, |(f, _)| f.si());
    match &sensor.kind {
        SensorKind::TimeOfFlight { .. } => reach * reach_of_flight(share),
        SensorKind::Ultrasonic { slant, .. } => {
            // Sound does not care for colours, but a slanted face throws it away.
            if slant_rad <= slant.si() { reach } else { 0.0 }
        }
        _ => reach * reach_of_triangulation(share),
    }
}

fn look(sensor: &Sensor, ring: &Ring, low_m: f64) -> Option<Look> {
    let (farthest, opening) = sensor.kind.sight()?;
    let height_m = sensor.item.at[2].si();
    let half_rad = (0.5 * opening.si()).clamp(0.0, maths::FRAC_PI_2);
    let tan = maths::tan(half_rad).max(1e-9);
    let slant = |k| if k == Kind::Slanted { SLANT_RAD } else { 0.0 };
    let reach = farthest.si();
    let is_light = !matches!(sensor.kind, SensorKind::Ultrasonic { .. });
    // The lower edge of the beam meets the ring from here on; there the border is lit at a grazing angle.
    let meets_m = height_m / tan;
    let shows = |d: &f64| {
        let grazing = maths::sin(maths::atan2(height_m, *d));
        maths::hypot(*d, height_m)
            <= farthest_m(sensor, returned(ring.border_reflectance, 0.0, grazing), 0.0)
    };
    let steps = (reach.min(ring.diameter_m) / STEP_M)
        .floor()
        .clamp(0.0, 1e4);
    let mut border_m: Option<[f64; 2]> = None;
    let mut d = STEP_M;
    while is_light && d <= steps * STEP_M {
        if d >= meets_m && shows(&d) {
            border_m = Some([border_m.map_or(d, |b| b[0]), d]);
        }
        d += STEP_M;
    }
    Some(Look {
        sensor: sensor.item.name.clone(),
        height_m,
        half_rad,
        facing_rad: sensor.facing.si(),
        farthest_m: Kind::ALL.map(|k| farthest_m(sensor, k.returned(), slant(k))),
        low_lost_m: ((height_m - low_m) / tan).max(0.0),
        border_m,
        people: farthest_m(sensor, of_white(CLOTHES), 0.0) > ring.hall.free_space_m,
    })
}

impl Seen {
    /// What `robot` sees in `ring` with the sensors its program reads.
    ///
    /// Light falls as 1/d² and comes back as the face is bright and turned (Lambert); a beam is a level cone.
    /// The opponent is round, as wide as the robot. Misses and noise are left aside: where it is seen, it is
    /// seen most of the time.
    #[must_use]
    pub fn of(robot: &Robot, read: &[String], ring: &Ring) -> Self {
        let sees = |s: &&Sensor| s.kind.sight().is_some() && read.contains(&s.item.name);
        let sensors: Vec<&Sensor> = robot.sensors.iter().filter(sees).collect();
        let top = robot.hull.iter().map(|p| p.to.si()).fold(0.0, f64::max);
        let low_m = LOW_SHARE * robot.footprint().length();
        let looks: Vec<Look> = (sensors.iter())
            .filter_map(|s| look(s, ring, low_m))
            .collect();
        let radius_m = 0.5 * robot.footprint().width();
        let kinds = Kind::ALL.into_iter().enumerate().map(|(k, kind)| {
            let height_m = if kind == Kind::Low { low_m } else { top };
            let eyes: Vec<Eye> = (sensors.iter().zip(&looks))
                .filter_map(|(s, l)| {
                    let over = (l.height_m - height_m) / maths::tan(l.half_rad).max(1e-9);
                    let (near, far) = (over.max(0.0), l.farthest_m[k]);
                    Some(Eye::of(s)?.between(near, far)).filter(|_| near < far)
                })
                .collect();
            seen_of(kind, height_m, &eyes, radius_m, 0.5 * ring.diameter_m)
        });
        Self {
            kinds: kinds.collect(),
            looks,
        }
    }

    /// What is seen of this kind.
    #[must_use]
    pub fn kind(&self, kind: Kind) -> Option<&SeenOf> {
        self.kinds.iter().find(|k| k.kind == kind)
    }

    /// What is to be said about it.
    pub(crate) fn findings(&self, robot: &Robot, tactic: &Tactic) -> Vec<Finding> {
        let place = |l: &Look| {
            let mut sensors = robot.sensors.iter();
            let sensor = sensors.find(|s| s.item.name == l.sensor);
            sensor.map(|s| s.item.place.clone())
        };
        let mut found: Vec<Finding> = self.over_low(robot, place).into_iter().collect();
        for l in self.looks.iter().filter(|l| l.people) {
            if tactic.measures_with(&l.sensor) {
                continue;
            }
            found.push(Finding {
                name: "sees-people",
                severity: Severity::Note,
                what: format!(
                    "\"{}\" may take people around the ring for the opponent.",
                    l.sensor
                ),
                why: format!(
                    "It sees light clothes from {:.1} m, further than people stand from the rim, and the program \
                     asks only whether it sees something, not how far.",
                    l.farthest_m[0]
                ),
                mend: format!(
                    "Ask for what is in the ring: `{} sees within …`, with no more than the ring's diameter.",
                    l.sensor
                ),
                place: place(l),
            });
        }
        found
    }

    /// Every beam that looks ahead passes over a low opponent that is well away.
    fn over_low(
        &self,
        robot: &Robot,
        place: impl Fn(&Look) -> Option<robot::Place>,
    ) -> Option<Finding> {
        let length = robot.footprint().length();
        let ahead = self.looks.iter().filter(|l| l.facing_rad.abs() < AHEAD_RAD);
        let best = ahead.min_by(|a, b| a.low_lost_m.total_cmp(&b.low_lost_m))?;
        if best.low_lost_m <= NEAR_LENGTHS * length {
            return None;
        }
        let low = self.kind(Kind::Low)?.height_m;
        Some(Finding {
            name: "beam-over-low",
            severity: Severity::Warning,
            what: format!(
                "An opponent {:.0} mm high passes under its beams nearer than {:.0} mm.",
                1e3 * low,
                1e3 * best.low_lost_m
            ),
            why: format!(
                "\"{}\", the best of those that look ahead, is {:.0} mm up and opens {:.0}° to each side: its \
                 beam comes down to {:.0} mm at (height − {:.0} mm) ÷ tan {:.0}°.",
                best.sensor,
                1e3 * best.height_m,
                best.half_rad.to_degrees(),
                1e3 * low,
                1e3 * low,
                best.half_rad.to_degrees()
            ),
            mend: format!(
                "Set a sensor that looks ahead no higher than {:.0} mm, or take one with a wider beam.",
                1e3 * (low + NEAR_LENGTHS * length * maths::tan(best.half_rad))
            ),
            place: place(best),
        })
    }
}

fn seen_of(kind: Kind, height_m: f64, eyes: &[Eye], radius_m: f64, ring_m: f64) -> SeenOf {
    let most = (eyes.iter())
        .map(|e| e.farthest_m + radius_m + e.at.length())
        .fold(0.0, f64::max);
    let (mut area, mut bearings) = (0.0, 0.0);
    let mid_m = (0.5 * ring_m).max(2.0 * radius_m);
    let contour_m: Vec<f64> = (0..BEARINGS)
        .map(|k| {
            let bearing = maths::TAU * f64::from(k) / f64::from(BEARINGS);
            let along = DVec2::new(maths::cos(bearing), maths::sin(bearing));
            // From where they nearly touch.
            let mut d = 2.0 * radius_m;
            let (mut farthest, mut weight) = (0.0, 0.0);
            while d <= most {
                if eyes.iter().any(|e| e.meets(along * d, radius_m)) {
                    farthest = d;
                    if d <= ring_m {
                        weight += d * STEP_M;
                    }
                }
                d += STEP_M;
            }
            bearings += f64::from(u8::from(
                eyes.iter().any(|e| e.meets(along * mid_m, radius_m)),
            ));
            area += weight;
            farthest
        })
        .collect();
    let whole = 0.5 * (ring_m * ring_m - 4.0 * radius_m * radius_m).max(1e-9);
    SeenOf {
        kind,
        height_m,
        contour_m,
        bearings: bearings / f64::from(BEARINGS),
        of_ring: (area / (f64::from(BEARINGS) * whole)).min(1.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn degrees(found: &SeenOf) -> f64 {
        360.0 * found.bearings
    }

    fn eye(facing_deg: f64, opening_deg: f64, farthest_m: f64) -> Eye {
        Eye::new(
            DVec2::ZERO,
            facing_deg.to_radians(),
            opening_deg.to_radians(),
            farthest_m,
        )
    }

    /// Three beams of 25° cover 75° of the horizon (exact), a thin opponent's own width left aside; bearings
    /// are 5° apart.
    #[test]
    fn three_beams_see_a_thin_opponent_in_three_stretches() {
        let eyes = [-45.0, 0.0, 45.0].map(|deg| eye(deg, 25.0, 0.5));
        let found = seen_of(Kind::Light, 0.05, &eyes, 1e-4, 0.385);
        assert!(
            (degrees(&found) - 75.0).abs() <= 10.0,
            "{}",
            degrees(&found)
        );
        assert!((found.contour_m[0] - 0.5).abs() <= STEP_M);
        assert!(found.contour_m[36] == 0.0, "nothing behind");
    }

    /// A wide beam all round sees the whole ring within its reach: (0.3/0.385)² of it.
    #[test]
    fn the_share_of_the_ring_is_an_area() {
        let eyes = [0.0, 180.0].map(|deg| eye(deg, 180.0, 0.3));
        let found = seen_of(Kind::Light, 0.05, &eyes, 1e-4, 0.385);
        let expected = 0.3 * 0.3 / (0.385 * 0.385);
        assert!((found.of_ring - expected).abs() < 0.03, "{}", found.of_ring);
    }

    /// Triangulation sees black of 8 % from √(0.08/0.9) = 30 % as far, timed light from 55 %.
    #[test]
    fn dark_and_slanted_opponents_are_seen_from_less_far() {
        let dark = Kind::Dark.returned();
        assert!((reach_of_triangulation(dark) - 0.298).abs() < 1e-3);
        assert!((reach_of_flight(dark) - 0.546).abs() < 1e-3);
        let slanted = Kind::Slanted.returned();
        assert!(dark < slanted && slanted < 0.5);
    }
}
