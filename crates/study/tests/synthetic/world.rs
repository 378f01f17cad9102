//! A made-up world: opponents with known chances, changes with known effects on the same draws.

use bout::Cause;
use quantity::Stream;
use study::{Fought, Task, Verdict};

/// Repetitions of every study.
pub(crate) const STUDIES: u32 = 1000;

/// Standard deviations allowed between a counted share or mean and what is expected of it: a test
/// that is right fails by chance once in a thousand such comparisons (3.29 for a normal). The
/// seeds are fixed, so a test that passes once passes always.
pub(crate) const DEVIATIONS: f64 = 3.29;

/// What a change does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Change {
    /// Added to the chance of winning against every opponent.
    pub(crate) effect: f64,
    /// Share of bouts that the change makes go another way altogether, as a shove that lands a
    /// millimetre further left does: their luck is drawn anew.
    pub(crate) ripple: f64,
}

impl Change {
    /// The check among the changes.
    pub(crate) const NOTHING: Self = Self {
        effect: 0.0,
        ripple: 0.0,
    };
}

/// The world.
#[derive(Debug, Clone)]
pub(crate) struct World {
    /// Opponents' names and our chance of winning against each.
    pub(crate) field: Vec<(&'static str, f64)>,
    /// Chance of a tie against anyone.
    pub(crate) ties: f64,
    /// Chance that a simulation fails.
    pub(crate) fails: f64,
    /// What each variant is changed by; variant 0 is the robot as it is.
    pub(crate) changes: Vec<Change>,
}

impl World {
    /// Six opponents from hard to easy, ties, no failures, and only the robot as it is.
    pub(crate) fn six() -> Self {
        Self {
            field: vec![
                ("anvil", 0.15),
                ("brook", 0.30),
                ("cedar", 0.42),
                ("dune", 0.50),
                ("ember", 0.62),
                ("flint", 0.80),
            ],
            ties: 0.08,
            fails: 0.0,
            changes: vec![Change::NOTHING],
        }
    }

    /// The same with changes.
    pub(crate) fn with(changes: &[Change]) -> Self {
        let mut world = Self::six();
        world.changes.extend_from_slice(changes);
        world
    }

    /// Fights a bout: a function of its key and the variant alone.
    pub(crate) fn fight(&self, seed: u64, task: Task) -> Fought {
        let (name, chance) = self.field[task.opponent];
        let change = self.changes[task.variant];
        let key = task.key(seed, name);
        let own = key.named("variant").numbered(number(task.variant));
        let anew = own.named("ripple").uniform() < change.ripple;
        let luck = if anew { own } else { key }.named("luck").uniform();
        let win = chance + change.effect;
        let verdict = if self.fails > 0.0 && own.named("fails").uniform() < self.fails {
            Verdict::Failed
        } else if luck < win {
            Verdict::Win
        } else if luck < win + self.ties {
            Verdict::Tie
        } else {
            Verdict::Loss
        };
        told(key, verdict)
    }

    /// Fights all of `tasks`.
    pub(crate) fn fight_all(&self, seed: u64, tasks: &[Task]) -> Vec<Option<Fought>> {
        tasks.iter().map(|t| Some(self.fight(seed, *t))).collect()
    }

    /// Our chance of winning against the field, equal shares of bouts with each.
    pub(crate) fn truth(&self) -> f64 {
        self.field.iter().map(|o| o.1).sum::<f64>() / self.field.len() as f64
    }
}

/// An index as a number of a stream.
pub(crate) fn number(index: usize) -> u64 {
    u64::try_from(index).expect("indices are small")
}

/// A bout's result with the odds and ends that a real one has.
pub(crate) fn told(key: Stream, verdict: Verdict) -> Fought {
    let causes = [
        Cause::PushedTyresSlid,
        Cause::EdgeSeenTooLate,
        Cause::TakenFromSide,
    ];
    let pick = key.named("cause").uniform() * causes.len() as f64;
    let cause = (0_u8..).zip(causes).find(|(k, _)| pick < f64::from(k + 1));
    let quarters = (1.0 + 80.0 * key.named("time").uniform()).floor();
    #[allow(
        clippy::cast_possible_truncation,
        reason = "whole quarters of a second are exact"
    )]
    let time_s = (0.25 * quarters) as f32;
    Fought {
        verdict,
        cause: match verdict {
            Verdict::Tie => Cause::TimedOut,
            Verdict::Failed => Cause::NotFinite,
            Verdict::Win | Verdict::Loss => cause.map_or(Cause::Stuck, |c| c.1),
        },
        time_s,
        left_at: matches!(verdict, Verdict::Win | Verdict::Loss).then_some(1.0),
        state_hash: key.key(),
    }
}

/// Standard deviation of a share counted over `n` when its expectation is `p`.
pub(crate) fn deviation(p: f64, n: f64) -> f64 {
    (p * (1.0 - p) / n).sqrt()
}

/// Mean and standard error of it.
pub(crate) fn mean(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let squares: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum();
    (mean, (squares / (n - 1.0) / n).sqrt())
}
