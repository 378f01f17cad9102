//! Faults that strike in a bout: which, when and what.

use quantity::{Draws, Stream};
use robot::{Fault, Robot};

use crate::control::whole_ms;

/// Time in s over which a fault of a bout is evenly spread, from the first permitted motion. Most
/// bouts are over sooner, and are then spared: common practice, no source. Longer makes stated
/// rates count for less.
const SPREAD_S: f64 = 10.0;

/// Radius of a bare rim as a share of the wheel's with its tyre. Tyres of small wheels are a tenth to
/// a quarter of the radius thick; common practice, no source.
pub(crate) const RIM_RADIUS: f64 = 0.85;

/// Grip of a bare rim of hard plastic or metal on painted board, about that of a skid; common
/// practice, no source.
pub(crate) const RIM_GRIP: f64 = 0.25;

/// Mass in kg that a dropped screw takes with it where the file does not say: an M3 screw of 10 mm
/// has 0.7 g (computed from its volume of 90 mm³ of steel), with its nut and luck 1 ± 1 g.
const SCREW_KG: f64 = 0.001;
const SCREW_VARIES_KG: f64 = 0.001;

/// A fault that will strike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Strike {
    /// When, in ms from the first permitted motion.
    pub(crate) at_ms: u32,
    /// What.
    pub(crate) fault: Fault,
    /// Which of several (wheel, channel, sensor): evenly from 0 to 1.
    pub(crate) which: f64,
}

/// The faults of one robot in one bout, the next first.
#[derive(Debug, Default)]
pub(crate) struct Strikes {
    /// The last strikes first.
    left: Vec<Strike>,
    /// Rate of moving early, for every start.
    false_start: f64,
    key: Option<Stream>,
    /// Mass of a dropped screw in kg.
    pub(crate) screw_kg: f64,
}

impl Strikes {
    /// What strikes `robot` in the bout of `key`. Each fault has a key of its own, so stating one
    /// more leaves the others as they are.
    pub(crate) fn drawn(robot: &Robot, draws: &Draws, key: Stream) -> Self {
        if robot.faults.is_empty() {
            return Self::default();
        }
        let key = key.named("faults");
        let mut left = Vec::new();
        let mut false_start = 0.0;
        for (fault, rate) in &robot.faults.rates {
            let rate = draws.of(rate, "faults");
            if *fault == Fault::FalseStart {
                false_start = rate;
                continue;
            }
            let key = key.named(fault.word());
            if key.named("whether").uniform() < rate {
                left.push(Strike {
                    at_ms: whole_ms(1000.0 * SPREAD_S * key.named("when").uniform()),
                    fault: *fault,
                    which: key.named("which").uniform(),
                });
            }
        }
        left.sort_by_key(|s| core::cmp::Reverse((s.at_ms, s.fault)));
        let screw_kg = match &robot.faults.screw_mass {
            Some(mass) => draws.of(mass, "faults"),
            None => SCREW_KG + SCREW_VARIES_KG * draws.normal("faults/screw mass"),
        };
        Self {
            left,
            false_start,
            key: Some(key),
            screw_kg: screw_kg.max(0.0),
        }
    }

    /// Whether it moves early at its start numbered `start`.
    pub(crate) fn starts_early(&self, start: u32) -> bool {
        self.false_start > 0.0
            && self.key.is_some_and(|key| {
                key.named("false-start")
                    .numbered(u64::from(start))
                    .uniform()
                    < self.false_start
            })
    }

    /// When the next one strikes; the end of time when none does.
    pub(crate) fn next_ms(&self) -> u32 {
        self.left.last().map_or(u32::MAX, |s| s.at_ms)
    }

    /// The one that is due at `now_ms`.
    pub(crate) fn due(&mut self, now_ms: u32) -> Option<Strike> {
        if self.next_ms() > now_ms {
            return None;
        }
        self.left.pop()
    }
}

/// One of `count` things, by an even draw from 0 to 1.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "from 0 to below the count"
)]
pub(crate) fn pick(which: f64, count: usize) -> usize {
    ((which * count as f64) as usize).min(count.saturating_sub(1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tests::scenery;
    use quantity::Figure;

    fn faulty(rates: &[(Fault, f64)]) -> Robot {
        let mut r = scenery::pusher("faulty");
        r.faults.rates = rates
            .iter()
            .map(|(f, x)| (*f, Figure::derived(*x, f.word())))
            .collect();
        r
    }

    fn strikes(robot: &Robot, k: u64) -> Vec<Strike> {
        let mut s = Strikes::drawn(robot, &Draws::nominal(), Stream::root(5).numbered(k));
        std::iter::from_fn(|| s.due(u32::MAX - 1)).collect()
    }

    #[test]
    fn faults_strike_at_their_rate_evenly_over_ten_seconds() {
        let robot = faulty(&[(Fault::LostTyre, 0.2)]);
        let n = 5000;
        let all: Vec<Strike> = (0..n).flat_map(|k| strikes(&robot, k)).collect();
        // Standard error 0.0057 for the rate, 0.0091 for the share in the first half.
        let share = all.len() as f64 / n as f64;
        assert!((share - 0.2).abs() < 0.02, "{share}");
        let early = all.iter().filter(|s| s.at_ms < 5000).count() as f64 / all.len() as f64;
        assert!((early - 0.5).abs() < 0.05, "{early}");
        assert!(all.iter().all(|s| s.at_ms < 10_000));
    }

    #[test]
    fn a_fault_more_leaves_the_others_alone_and_they_come_in_order() {
        let one = faulty(&[(Fault::LostTyre, 0.5)]);
        let two = faulty(&[(Fault::LoosePlug, 0.5), (Fault::LostTyre, 0.5)]);
        let mut both = 0;
        for k in 0..200 {
            let (a, b) = (strikes(&one, k), strikes(&two, k));
            let tyres: Vec<Strike> = (b.iter().copied())
                .filter(|s| s.fault == Fault::LostTyre)
                .collect();
            assert_eq!(a, tyres);
            assert!(b.windows(2).all(|w| w[0].at_ms <= w[1].at_ms));
            both += usize::from(b.len() == 2);
        }
        assert!(both > 20, "{both}");
    }

    #[test]
    fn every_start_may_be_early_by_itself() {
        let robot = faulty(&[(Fault::FalseStart, 0.5)]);
        let early = |start| {
            (0..400)
                .map(|k| Strikes::drawn(&robot, &Draws::nominal(), Stream::root(6).numbered(k)))
                .map(|s| s.starts_early(start))
                .collect::<Vec<bool>>()
        };
        let (first, second) = (early(0), early(1));
        let count = |v: &[bool]| v.iter().filter(|x| **x).count();
        // Standard error 10.
        assert!((160..=240).contains(&count(&first)) && (160..=240).contains(&count(&second)));
        assert_ne!(first, second);
        assert!(!Strikes::default().starts_early(0));
    }
}
