//! What a bout of a study is, and what is kept of it.

use bout::Cause;
use quantity::Stream;

/// One bout to fight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Task {
    /// Which of our versions fights: 0 is the robot as it is.
    pub variant: usize,
    /// Index of the opponent in the field.
    pub opponent: usize,
    /// Number of the bout against this opponent.
    pub bout: u32,
}

impl Task {
    /// Key of the bout's draws. The variant is not part of it: a change is tried on the draws of
    /// the robot as it is. Nor is the opponent's index: a field may grow.
    #[must_use]
    pub fn key(self, seed: u64, opponent: &str) -> Stream {
        Stream::root(seed)
            .named(opponent)
            .numbered(u64::from(self.bout))
    }

    /// Which seat we take: sides alternate, and so does who was put down second.
    #[must_use]
    pub fn seat(self) -> usize {
        usize::from(!self.bout.is_multiple_of(2))
    }
}

/// How a bout went, from our side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// The opponent was out first.
    Win,
    /// We were out first.
    Loss,
    /// Nobody won.
    Tie,
    /// The simulation failed: counted, never scored.
    Failed,
}

/// What is kept of a bout: small, so that memory stays flat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fought {
    /// How it went.
    pub verdict: Verdict,
    /// Why it ended so.
    pub cause: Cause,
    /// Length in s.
    pub time_s: f32,
    /// Direction in rad in which the loser left the ring, if one did.
    pub left_at: Option<f32>,
    /// Hash of the whole moving state.
    pub state_hash: u64,
}

/// The bouts of a record: `total` spread over `opponents`, all with the first of them first, so
/// that any prefix is nearly even.
#[must_use]
pub fn plan(variant: usize, opponents: usize, total: u32) -> Vec<Task> {
    let n = u32::try_from(opponents).unwrap_or(u32::MAX).max(1);
    (0..if opponents == 0 { 0 } else { total })
        .map(|k| Task {
            variant,
            opponent: usize::try_from(k % n).unwrap_or(0),
            bout: k / n,
        })
        .collect()
}
