//! Single changes tried on the same draws as the robot as it is.

mod body;
mod changes;
mod drive;
mod fresh;
mod magnets;
mod play;
mod program;
mod tracks;

use crate::interval::{Estimate, paired_difference, z_of};
use crate::task::{Fought, Task, Verdict};

pub use changes::{Change, Design, candidates};
pub use fresh::fresh_seed;

/// Confidence of the changes' intervals taken together.
pub const FAMILY_LEVEL: f64 = 0.95;

/// What a change came to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effect {
    /// Pairs of bouts on the same draws.
    pub pairs: u32,
    /// Bouts won only with the change.
    pub gained: u32,
    /// Bouts won only without it.
    pub lost: u32,
    /// Change of the win rate. All intervals of a study hold together at [`FAMILY_LEVEL`]: each is
    /// widened for the number of changes tried (Bonferroni).
    pub win_rate_change: Estimate,
}

impl Effect {
    /// Whether the interval is on the better side of nothing.
    #[must_use]
    pub fn clearly_better(&self) -> bool {
        self.win_rate_change.low > 0.0
    }

    /// Whether the interval is on the worse side of nothing.
    #[must_use]
    pub fn clearly_worse(&self) -> bool {
        self.win_rate_change.high < 0.0
    }
}

/// Compares a change with the robot as it is, pair by pair. `tried` is the number of changes whose
/// intervals must hold together. Pairs with a bout missing or failed are left out.
#[must_use]
pub fn effect(base: &[Option<Fought>], changed: &[Option<Fought>], tried: usize) -> Effect {
    let (mut pairs, mut gained, mut lost) = (0, 0, 0);
    for (b, c) in base.iter().zip(changed) {
        let (Some(b), Some(c)) = (b, c) else { continue };
        if b.verdict == Verdict::Failed || c.verdict == Verdict::Failed {
            continue;
        }
        pairs += 1;
        match (b.verdict == Verdict::Win, c.verdict == Verdict::Win) {
            (false, true) => gained += 1,
            (true, false) => lost += 1,
            _ => {}
        }
    }
    let tried = u32::try_from(tried.max(1)).unwrap_or(u32::MAX);
    let z = z_of(1.0 - (1.0 - FAMILY_LEVEL) / f64::from(tried));
    Effect {
        pairs,
        gained,
        lost,
        win_rate_change: paired_difference(gained, lost, pairs, z),
    }
}

/// The bouts of a change: the record's first `pairs` bouts, fought by variant `variant`.
#[must_use]
pub fn pairs_of(record: &[Task], variant: usize, pairs: usize) -> Vec<Task> {
    record
        .iter()
        .take(pairs)
        .map(|t| Task { variant, ..*t })
        .collect()
}
