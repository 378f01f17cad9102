//! The record against a field: how often it wins, why it loses, where it leaves the ring.

use bout::Cause;
use quantity::maths;

use crate::interval::{Estimate, wilson, z_of};
use crate::task::{Fought, Task, Verdict};

/// Confidence of every interval of a record.
pub const LEVEL: f64 = 0.95;

/// Wins, losses and ties of some bouts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tally {
    /// Bouts won.
    pub wins: u32,
    /// Bouts lost.
    pub losses: u32,
    /// Bouts nobody won.
    pub ties: u32,
    /// Bouts whose simulation failed: not counted in any rate.
    pub failed: u32,
}

impl Tally {
    /// Adds a bout.
    pub fn add(&mut self, verdict: Verdict) {
        match verdict {
            Verdict::Win => self.wins += 1,
            Verdict::Loss => self.losses += 1,
            Verdict::Tie => self.ties += 1,
            Verdict::Failed => self.failed += 1,
        }
    }

    /// Bouts that count.
    #[must_use]
    pub fn bouts(&self) -> u32 {
        self.wins + self.losses + self.ties
    }

    /// Wins ÷ bouts with its Wilson interval. Over several opponents with equal bouts each this is
    /// a little wide: it ignores that the opponents' shares were fixed.
    #[must_use]
    pub fn win_rate(&self) -> Estimate {
        wilson(self.wins, self.bouts(), z_of(LEVEL))
    }
}

/// A cause of losses with its count and the first bout to look at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CauseCount {
    /// The cause.
    pub cause: Cause,
    /// Losses it ended.
    pub count: u32,
    /// An example.
    pub example: Task,
}

/// A record.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Record {
    /// All bouts.
    pub total: Tally,
    /// By opponent, in field order.
    pub per_opponent: Vec<Tally>,
    /// Causes of the losses, most frequent first.
    pub losses: Vec<CauseCount>,
    /// Causes of the ties, most frequent first.
    pub ties: Vec<CauseCount>,
    /// Lost bouts by where we left the ring: eight directions, the first along +x, then to the left.
    pub left_at: [u32; 8],
    /// Simulated seconds.
    pub simulated_s: f64,
}

/// Folds results, in the order of the tasks: who finished first does not matter. Bouts not fought
/// are left out, so a study cut short folds as well.
#[must_use]
pub fn fold(tasks: &[Task], results: &[Option<Fought>], opponents: usize) -> Record {
    let mut record = Record {
        per_opponent: vec![Tally::default(); opponents],
        ..Record::default()
    };
    for (task, fought) in tasks.iter().zip(results) {
        let Some(fought) = fought else { continue };
        record.total.add(fought.verdict);
        if let Some(t) = record.per_opponent.get_mut(task.opponent) {
            t.add(fought.verdict);
        }
        record.simulated_s += f64::from(fought.time_s);
        match fought.verdict {
            Verdict::Loss => {
                count(&mut record.losses, fought.cause, *task);
                if let Some(angle) = fought.left_at {
                    record.left_at[sector(f64::from(angle))] += 1;
                }
            }
            Verdict::Tie => count(&mut record.ties, fought.cause, *task),
            Verdict::Win | Verdict::Failed => {}
        }
    }
    for list in [&mut record.losses, &mut record.ties] {
        list.sort_by(|a, b| b.count.cmp(&a.count).then(a.cause.cmp(&b.cause)));
    }
    record
}

fn count(list: &mut Vec<CauseCount>, cause: Cause, task: Task) {
    match list.iter_mut().find(|c| c.cause == cause) {
        Some(c) => c.count += 1,
        None => list.push(CauseCount {
            cause,
            count: 1,
            example: task,
        }),
    }
}

/// One of eight directions, each 45° wide and centred on its own.
fn sector(angle_rad: f64) -> usize {
    let turned = (maths::wrap_angle(angle_rad) / (maths::PI / 4.0)).round();
    (0_u8..8)
        .find(|k| (turned - f64::from(*k)).rem_euclid(8.0) < 0.5)
        .map_or(0, usize::from)
}

/// Chance of winning a match to two points by independent bouts with these shares of wins and
/// losses (ties are fought again): first to two of decided bouts.
#[must_use]
pub fn best_of_three(wins: f64, losses: f64) -> f64 {
    let decided = wins + losses;
    if decided <= 0.0 {
        return 0.0;
    }
    let p = wins / decided;
    p * p * (3.0 - 2.0 * p)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn directions_are_counted_from_the_x_axis_to_the_left() {
        assert_eq!(
            [0.0, 0.7, 1.6, 3.1, -3.1, -1.6, -0.4].map(sector),
            [0, 1, 2, 4, 4, 6, 7]
        );
    }

    /// p²(3 − 2p): chance of two wins before two losses.
    #[test]
    fn even_robots_win_half_their_matches() {
        assert!((best_of_three(0.3, 0.3) - 0.5).abs() < 1e-12);
        assert!((best_of_three(0.6, 0.4) - 0.648).abs() < 1e-12);
    }
}
