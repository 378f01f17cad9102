//! Looking for the opponent: ways of searching in rings of every size, and the time until it is seen.

use glam::DVec2;
use quantity::{Stream, maths};
use robot::{Finding, Place, Robot, Sensor, Severity};

use crate::Beam;
use crate::eye::Eye;

/// Put-downs that are tried: the middle of what is found is off by some 4 % of them.
const SCENES: u32 = 128;
/// Longest search that is followed, s: a search that has found nothing by then is as good as none.
const LONGEST_S: f64 = 6.0;
/// Time from one look to the next on a straight, s.
const STEP_S: f64 = 0.025;
/// Greatest turn from one look to the next, rad: about 5 degrees, less than any beam with an opponent in it.
const STEP_RAD: f64 = 0.09;
/// Share of its free turning rate at which it turns while it searches (common practice, no source: full
/// effort overshoots what it has seen).
const CALM: f64 = 0.5;
/// Diameters in m of the rings of the usual classes.
const RINGS_M: [f64; 4] = [0.1925, 0.385, 0.77, 1.54];
/// A ring smaller than this many lengths of the robot is no ring for it.
const LEAST_LENGTHS: f64 = 3.0;
/// Share of opponents that one turn on the spot must show for searching hardly to matter.
const ENOUGH: f64 = 0.9;
/// Share of opponents that one turn on the spot shows below which it is worth a word.
const TOO_FEW: f64 = 0.5;

/// A way of searching.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pattern {
    /// Stands still and waits.
    Stand,
    /// Turns once round on the spot.
    Turn,
    /// Straight on; at the border it turns to somewhere else.
    Straight,
    /// In widening bows, a reach apart; at the border as above.
    Spiral,
}

impl Pattern {
    /// Every way.
    pub const ALL: [Self; 4] = [Self::Stand, Self::Turn, Self::Straight, Self::Spiral];
}

/// How a way of searching does in a ring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Found {
    /// The way.
    pub pattern: Pattern,
    /// Share of opponents it finds.
    pub share: f64,
    /// Time in s within which it has found half of all opponents; none if it does not.
    pub half_s: Option<f64>,
    /// The same of nine in ten.
    pub most_s: Option<f64>,
}

/// A ring.
#[derive(Debug, Clone, PartialEq)]
pub struct RingSearch {
    /// Its diameter in m.
    pub diameter_m: f64,
    /// Whether it is that of the robot's class.
    pub ours: bool,
    /// Share of pairs of places that are within reach of each other, size left aside.
    pub within_reach: f64,
    /// Every way of searching.
    pub ways: Vec<Found>,
}

impl RingSearch {
    /// How this way does.
    #[must_use]
    pub fn way(&self, pattern: Pattern) -> Option<&Found> {
        self.ways.iter().find(|w| w.pattern == pattern)
    }

    /// Whether one turn on the spot shows nearly every opponent, so that how it searches hardly matters.
    #[must_use]
    pub fn hardly_matters(&self) -> bool {
        self.way(Pattern::Turn).is_some_and(|w| w.share >= ENOUGH)
    }
}

/// Searching.
#[derive(Debug, Clone, PartialEq)]
pub struct Search {
    /// Farthest any distance sensor that is read sees a light body, m.
    pub reach_m: f64,
    /// Turning rate while it searches, rad/s.
    pub turns_rad_s: f64,
    /// Whether its sensors and its loop, not its drive, hold that: faster, it has turned past an opponent
    /// before it acts on what it saw, half of the beam with the opponent in it.
    pub held_by_readings: bool,
    /// Speed while it searches, m/s.
    pub speed_m_s: f64,
    /// Rings of every size that fit it, by size.
    pub rings: Vec<RingSearch>,
}

/// What searches.
#[derive(Debug, Clone)]
struct Seeker {
    eyes: Vec<Eye>,
    radius_m: f64,
    turns_rad_s: f64,
    speed_m_s: f64,
    reach_m: f64,
}

#[derive(Debug, Clone, Copy)]
struct Pose {
    at: DVec2,
    heading: f64,
}

impl Seeker {
    /// Whether an eye meets an opponent, a disc as large as the robot, at `target`.
    fn sees(&self, pose: Pose, target: DVec2) -> bool {
        let ahead = DVec2::new(maths::cos(pose.heading), maths::sin(pose.heading));
        let middle = DVec2::new(ahead.x, -ahead.y).rotate(target - pose.at);
        self.eyes.iter().any(|e| e.meets(middle, self.radius_m))
    }

    /// Time in s until the opponent is seen; none if it is not within the longest search.
    fn search(&self, pattern: Pattern, radius_m: f64, key: Stream) -> Option<f64> {
        let room = (radius_m - self.radius_m).max(1e-3);
        let point = |name: &str, k: u64| {
            let key = key.named(name).numbered(k);
            let out = room * key.named("out").uniform().sqrt();
            let bearing = maths::TAU * key.named("bearing").uniform();
            out * DVec2::new(maths::cos(bearing), maths::sin(bearing))
        };
        let target = point("target", 0);
        // Somewhere that does not touch it.
        let apart = |p: &DVec2| p.distance(target) >= 2.0 * self.radius_m;
        let at = (0..8)
            .map(|k| point("own", k))
            .find(apart)
            .unwrap_or(-target);
        let mut pose = Pose {
            at,
            heading: maths::TAU * key.named("heading").uniform(),
        };
        if self.sees(pose, target) {
            return Some(0.0);
        }
        match pattern {
            Pattern::Stand => None,
            Pattern::Turn => self.turn(&mut pose, maths::TAU, target),
            Pattern::Straight => self.roam(pose, room, target, None, key),
            Pattern::Spiral => self.roam(pose, room, target, Some(self.reach_m), key),
        }
    }

    /// Turns by `by`, looking; the time until it sees, else none and the pose is turned.
    fn turn(&self, pose: &mut Pose, by: f64, target: DVec2) -> Option<f64> {
        if self.turns_rad_s <= 0.0 {
            return None;
        }
        let steps = (by.abs() / STEP_RAD).ceil().max(1.0);
        let step = by / steps;
        let mut turned = 0.0;
        while turned < steps {
            turned += 1.0;
            pose.heading += step;
            if self.sees(*pose, target) {
                return Some(turned * step.abs() / self.turns_rad_s);
            }
        }
        None
    }

    /// Drives about: straight on or in bows that widen by `pitch_m` a turn, and at the border turns to
    /// within 60 degrees of the middle.
    fn roam(
        &self,
        mut pose: Pose,
        room: f64,
        target: DVec2,
        mut pitch_m: Option<f64>,
        key: Stream,
    ) -> Option<f64> {
        if self.speed_m_s <= 0.0 {
            return None;
        }
        let (mut time, mut bounces, mut bow) = (0.0, 0_u64, 0.5 * self.radius_m);
        while time < LONGEST_S {
            let mut step_s = STEP_S;
            if let Some(pitch) = pitch_m {
                let rate = (self.speed_m_s / bow).min(self.turns_rad_s);
                step_s = step_s.min(STEP_RAD / rate.max(1e-6));
                pose.heading += rate * step_s;
                bow += pitch * rate * step_s / maths::TAU;
            }
            let ahead = DVec2::new(maths::cos(pose.heading), maths::sin(pose.heading));
            let next = pose.at + ahead * (self.speed_m_s * step_s);
            if next.length() > room && next.dot(ahead) > 0.0 {
                // Away from the border, and no bows any more.
                pitch_m = None;
                let aside = key.named("bounce").numbered(bounces).uniform() - 0.5;
                bounces += 1;
                let inward = maths::atan2(-pose.at.y, -pose.at.x) + aside * maths::TAU / 3.0;
                let by = maths::wrap_angle(inward - pose.heading);
                if let Some(s) = self.turn(&mut pose, by, target) {
                    return (time + s <= LONGEST_S).then_some(time + s);
                }
                if self.turns_rad_s <= 0.0 {
                    return None;
                }
                time += by.abs() / self.turns_rad_s;
                continue;
            }
            pose.at = next;
            time += step_s;
            if self.sees(pose, target) {
                return Some(time);
            }
        }
        None
    }

    fn way(&self, pattern: Pattern, radius_m: f64, scenes: u32) -> Found {
        let stream = Stream::root(0).named("search");
        let mut times: Vec<f64> = (0..scenes)
            .filter_map(|k| self.search(pattern, radius_m, stream.numbered(u64::from(k))))
            .collect();
        times.sort_by(f64::total_cmp);
        let within = |tenths: usize| times.get(scenes as usize * tenths / 10).copied();
        Found {
            pattern,
            share: times.len() as f64 / f64::from(scenes),
            half_s: within(5),
            most_s: within(9),
        }
    }
}

impl Search {
    /// Searching of `robot` with the sensors its program reads, in the ring of its class and in those of the
    /// other usual sizes. `spin_rad_s` is its free turning rate, `speed_m_s` what it may drive.
    ///
    /// Assumed: the opponent stands still anywhere, is as large as the robot and light; a sensor sees whatever
    /// is in its beam at once. So these are the ways compared with each other, not a forecast.
    #[must_use]
    pub fn of(
        robot: &Robot,
        beams: &[Beam],
        diameter_m: f64,
        spin_rad_s: f64,
        speed_m_s: f64,
    ) -> Self {
        let read = |s: &&Sensor| beams.iter().any(|b| b.read && b.sensor == s.item.name);
        let mut eyes = Vec::new();
        let mut by_readings = f64::INFINITY;
        let radius_m = 0.5 * robot.footprint().width();
        for s in robot.sensors.iter().filter(read) {
            let (Some(eye), Some((_, opening))) = (Eye::of(s), s.kind.sight()) else {
                continue;
            };
            let seen = laws::view::half_angle_rad(radius_m, eye.farthest_m);
            eyes.push(eye);
            let wide = opening.si().abs() + 2.0 * seen;
            let late_s = s.latency.si()
                + 1.0 / s.rate.si().max(1e-3)
                + robot.board.loop_time.si()
                + robot.board.output_delay.si();
            by_readings = by_readings.min(0.5 * wide / late_s);
        }
        let reach_m = eyes.iter().map(|e| e.farthest_m).fold(0.0, f64::max);
        let calm = CALM * spin_rad_s;
        let seeker = Seeker {
            eyes,
            radius_m,
            turns_rad_s: calm.min(by_readings),
            speed_m_s,
            reach_m,
        };
        let length = robot.footprint().length();
        let same = |d: f64| (d / diameter_m - 1.0).abs() < 0.05;
        let mut sizes: Vec<f64> = RINGS_M
            .into_iter()
            .filter(|d| !same(*d) && *d >= LEAST_LENGTHS * length)
            .collect();
        sizes.push(diameter_m);
        sizes.sort_by(f64::total_cmp);
        let ring = |d: f64| RingSearch {
            diameter_m: d,
            ours: d.to_bits() == diameter_m.to_bits(),
            within_reach: laws::search::share_within(reach_m, 0.5 * d),
            ways: Pattern::ALL
                .map(|p| seeker.way(p, 0.5 * d, SCENES))
                .to_vec(),
        };
        Self {
            reach_m,
            turns_rad_s: seeker.turns_rad_s,
            held_by_readings: by_readings < calm,
            speed_m_s,
            rings: sizes.into_iter().map(ring).collect(),
        }
    }

    /// The ring of its class.
    #[must_use]
    pub fn ours(&self) -> Option<&RingSearch> {
        self.rings.iter().find(|r| r.ours)
    }

    /// What is to be said about it: a program that searches on the spot, at `place` in it, although that leaves
    /// many opponents unseen.
    pub(crate) fn findings(&self, place: Option<Place>) -> Option<Finding> {
        let place = place?;
        let ring = self.ours()?;
        let turn = ring.way(Pattern::Turn)?;
        if self.reach_m <= 0.0 || turn.share >= TOO_FEW {
            return None;
        }
        let roam = [Pattern::Straight, Pattern::Spiral]
            .into_iter()
            .filter_map(|p| ring.way(p))
            .max_by(|a, b| a.share.total_cmp(&b.share))?;
        let within = roam
            .half_s
            .map_or(String::new(), |s| format!(", half of all within {s:.1} s"));
        Some(Finding {
            name: "search-must-drive",
            severity: Severity::Warning,
            what: format!(
                "The program searches on the spot, and one turn there shows {:.0} % of opponents in this ring: \
                 to find the others it has to drive.",
                100.0 * turn.share
            ),
            why: format!(
                "Its sensors reach {:.0} mm and the ring is {:.0} mm wide: two random places are within reach \
                 of each other in {:.0} of 100 cases.",
                1e3 * self.reach_m,
                1e3 * ring.diameter_m,
                100.0 * ring.within_reach
            ),
            mend: format!(
                "Let the program drive while it searches: {} at {:.2} m/s it finds {:.0} % within {LONGEST_S:.0} \
                 s{within}. Or take a sensor that reaches further.",
                match roam.pattern {
                    Pattern::Spiral => "in widening bows",
                    _ => "straight on and away from the border",
                },
                self.speed_m_s,
                100.0 * roam.share
            ),
            place: Some(place),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A seeker of next to no size with one beam from its middle, a turn a second.
    fn seeker(opening_deg: f64, reach_m: f64) -> Seeker {
        Seeker {
            eyes: vec![Eye::new(
                DVec2::ZERO,
                0.0,
                opening_deg.to_radians(),
                reach_m,
            )],
            radius_m: 1e-4,
            turns_rad_s: maths::TAU,
            speed_m_s: 0.5,
            reach_m,
        }
    }

    const MANY: u32 = 3000;

    fn mean_wait(s: &Seeker) -> f64 {
        let stream = Stream::root(1);
        let times: Vec<f64> = (0..u64::from(MANY))
            .filter_map(|k| s.search(Pattern::Turn, 0.385, stream.numbered(k)))
            .collect();
        assert_eq!(times.len(), MANY as usize, "everybody is found");
        times.iter().sum::<f64>() / times.len() as f64
    }

    /// A thin beam waits T/2, one of 30° T(1 − β/2π)²/2 = 0.4201 s (closed form). Steps of 5° see half a step
    /// late, 7 ms; the standard error is 5 ms.
    #[test]
    fn a_turn_on_the_spot_takes_as_long_as_the_closed_form_says() {
        for (opening, expected) in [(6.0, 0.4835), (30.0, 0.4201)] {
            let exact = laws::search::mean_wait_s(1.0, f64::to_radians(opening));
            assert!((exact - expected).abs() < 1e-4, "{exact}");
            let counted = mean_wait(&seeker(opening, 1.0));
            assert!(
                (counted - expected).abs() < 0.02,
                "{counted} for {expected}"
            );
        }
    }

    /// Whoever is within reach is seen in a turn, nobody else: 61.67 % on 154 cm with 0.8 m, all on 77 cm
    /// (disc line picking). Standard error 0.9 %.
    #[test]
    fn one_turn_shows_who_is_within_reach() {
        for (radius, expected) in [(0.77, 0.6167), (0.385, 1.0)] {
            let found = seeker(30.0, 0.8).way(Pattern::Turn, radius, MANY);
            assert!((found.share - expected).abs() < 0.03, "{found:?}");
        }
    }

    /// Common practice says that the search matters in a large ring and hardly in a small one: with 0.4 m of
    /// reach one turn shows everybody on 38.5 cm; on 154 cm a fifth, and driving finds clearly more.
    #[test]
    fn how_it_searches_matters_in_a_large_ring_and_hardly_in_a_small_one() {
        let s = seeker(30.0, 0.4);
        let share = |p, radius| s.way(p, radius, 500).share;
        assert!(share(Pattern::Turn, 0.1925) > 0.999);
        assert!(share(Pattern::Straight, 0.1925) > 0.99);
        let (turn, roam) = (share(Pattern::Turn, 0.77), share(Pattern::Straight, 0.77));
        assert!(turn < 0.25 && roam > 1.3 * turn, "{turn} {roam}");
    }

    /// A random sweep finds 1 − e^(−wvt/A) (Koopman). Straight lines between far places of the rim are a
    /// little better than wholly random ones. Sweep 0.3 m wide at 0.5 m/s on 154 cm for 6 s: 38 %.
    #[test]
    fn straight_lines_find_about_as_much_as_a_random_sweep() {
        let mut s = seeker(180.0, 0.15);
        s.turns_rad_s = 100.0;
        let area = maths::PI * 0.77 * 0.77;
        let expected = laws::search::found_by_chance(area, 0.3, 0.5, LONGEST_S);
        assert!((expected - 0.383).abs() < 2e-3, "{expected}");
        let counted = s.way(Pattern::Straight, 0.77, MANY).share;
        assert!(
            (0.9..1.35).contains(&(counted / expected)),
            "{counted} for {expected}"
        );
    }

    #[test]
    fn who_cannot_turn_or_drive_finds_only_who_stands_before_it() {
        let mut s = seeker(30.0, 1.0);
        (s.turns_rad_s, s.speed_m_s) = (0.0, 0.0);
        for p in Pattern::ALL {
            let share = s.way(p, 0.385, MANY).share;
            assert!((share - 30.0 / 360.0).abs() < 0.02, "{p:?} {share}");
        }
    }
}
