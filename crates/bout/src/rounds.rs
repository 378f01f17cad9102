//! Rounds folded into a match.

use quantity::Stream;

use crate::arena::{Arena, Seat};
use crate::carry::Carry;
use crate::fight::{Setup, fight_set_up};
use crate::pilot::Side;
use crate::record::Outcome;
use crate::{Fighter, Wanted};

/// A match between two sides: bouts until one has the points the class asks for.
///
/// A won bout is a point; a tie is none. Sides, not seats: the sides may change seats between
/// bouts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Match {
    to_win: u32,
    points: [u32; 2],
    bouts: u32,
}

impl Match {
    /// A match to `to_win` points in which no bout has been fought. 0 counts as 1.
    #[must_use]
    pub fn to(to_win: u32) -> Self {
        Self {
            to_win: to_win.max(1),
            points: [0; 2],
            bouts: 0,
        }
    }

    /// The match after one more bout; once it is decided, bouts change nothing.
    #[must_use]
    pub fn after(self, winner: Option<usize>) -> Self {
        if self.winner().is_some() {
            return self;
        }
        let mut points = self.points;
        if let Some(p) = winner.and_then(|w| points.get_mut(w)) {
            *p += 1;
        }
        Self {
            points,
            bouts: self.bouts + 1,
            ..self
        }
    }

    /// The side that has the points, if one has.
    #[must_use]
    pub fn winner(&self) -> Option<usize> {
        self.points.iter().position(|&p| p >= self.to_win)
    }

    /// The side that is ahead, if one is.
    #[must_use]
    pub fn leader(&self) -> Option<usize> {
        match self.points {
            [a, b] if a > b => Some(0),
            [a, b] if b > a => Some(1),
            _ => None,
        }
    }

    /// Points of both sides.
    #[must_use]
    pub fn points(&self) -> [u32; 2] {
        self.points
    }

    /// Bouts fought, ties included.
    #[must_use]
    pub fn bouts(&self) -> u32 {
        self.bouts
    }
}

/// One round of a match.
#[derive(Debug, Clone, PartialEq)]
pub struct Round {
    /// How it ended and why.
    pub outcome: Outcome,
    /// Time from the first permitted motion in s.
    pub time_s: f64,
    /// Whether it is the extra round of a level match.
    pub extra: bool,
    /// What both sides brought into it.
    pub brought: [Carry; 2],
}

/// A match fought to its end.
#[derive(Debug, Clone, PartialEq)]
pub struct MatchRecord {
    /// Its rounds in order.
    pub rounds: Vec<Round>,
    /// Points of both sides.
    pub points: [u32; 2],
    /// Warnings of both sides that have not yet cost a round.
    pub warnings: [u32; 2],
    /// The winner; none when it is level at its end.
    pub winner: Option<Seat>,
    /// What both sides take from it, right after the last round.
    pub carry: [Carry; 2],
}

/// Fights a match: rounds with fresh draws each until one side has the points, the rounds or the
/// time are used up, and then an extra round if it is level and the class has one. The time that
/// is left bounds each round; warnings are carried from round to round, and so are warm motors, the
/// charge that is gone and the dirt on the tyres, beginning with what the fighters bring. Motors cool
/// during the class's pause and the still time before the start; nobody charges or wipes within a
/// match, and what a waiting board draws is left out. Where robots are put down
/// in turn, the sides take turns at being second; where the class says which way to face, it goes
/// by the number of the round, and begins again for the extra one (`OSHWDem` revision 7, art. 7).
///
/// `draws` must stand for (seed, opponent, match).
#[must_use]
pub fn fight_match(arena: &Arena, fighters: [Fighter<'_>; 2], draws: Stream) -> MatchRecord {
    let sides = [0, 1].map(|i: Seat| Side {
        robot: fighters[i].robot,
        pilot: &fighters[i],
    });
    match_of(arena, sides, draws)
}

/// The same for any pilots.
pub(crate) fn match_of(arena: &Arena, sides: [Side<'_>; 2], draws: Stream) -> MatchRecord {
    let rules = &arena.match_rules;
    let mut score = Match::to(rules.points);
    let mut record = MatchRecord {
        rounds: Vec::new(),
        points: [0; 2],
        warnings: [0; 2],
        winner: None,
        carry: sides.map(|s| s.pilot.carry().cloned().unwrap_or_default()),
    };
    let first_second: Seat = usize::from(draws.named("places second").uniform() >= 0.5);
    let mut left_s = rules.time_s;
    let mut number = 0;
    loop {
        let extra = number >= rules.rounds || left_s <= 0.0;
        let longest_s = if extra {
            rules.extension_s
        } else {
            left_s.min(arena.longest_s)
        };
        if extra && (score.leader().is_some() || longest_s <= 0.0) {
            break;
        }
        let brought = if number == 0 {
            record.carry.clone()
        } else {
            let rest_s = rules.pause_s + arena.start_delay_s;
            [0, 1].map(|i: Seat| record.carry[i].rested(sides[i].robot, rest_s))
        };
        let setup = Setup {
            round: Some(if extra { 0 } else { number }),
            second: Some((first_second + usize::from(!number.is_multiple_of(2))) % 2),
            warnings: record.warnings,
            longest_s: Some(longest_s),
            carry: Some(&brought),
        };
        let key = draws.named("round").numbered(u64::from(number));
        let fought = fight_set_up(arena, sides, key, Wanted::default(), setup);
        score = score.after(fought.winner());
        record.warnings = fought.warnings;
        left_s -= fought.simulated_s;
        record.carry = fought.carry;
        record.rounds.push(Round {
            outcome: fought.outcome,
            time_s: fought.simulated_s,
            extra,
            brought,
        });
        number += 1;
        if extra || score.winner().is_some() {
            break;
        }
    }
    record.points = score.points();
    record.winner = score.leader();
    record
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn best_of_three_ends_with_the_second_win() {
        let fold = |bouts: &[Option<usize>]| bouts.iter().fold(Match::to(2), |m, &w| m.after(w));
        assert_eq!(fold(&[]).winner(), None);
        assert_eq!(fold(&[Some(0), Some(1)]).winner(), None);
        assert_eq!(fold(&[Some(0), Some(1), Some(1)]).winner(), Some(1));
        assert_eq!(fold(&[Some(0), None, None, Some(0)]).winner(), Some(0));
        let over = fold(&[Some(0), Some(0), Some(1), Some(1), Some(1)]);
        assert_eq!(
            (over.winner(), over.points(), over.bouts()),
            (Some(0), [2, 0], 2)
        );
        assert_eq!(fold(&[None, Some(1)]).leader(), Some(1));
        assert_eq!(fold(&[Some(0), Some(1)]).leader(), None);
    }

    #[test]
    fn a_best_of_three_is_won_with_the_binomial_chance() {
        // p²(3 − 2p) over all sequences of three bouts, p = 1/2: each counts 1/8.
        let mut won = 0;
        for mask in 0..8_usize {
            let m = (0..3).fold(Match::to(2), |m, k| m.after(Some((mask >> k) & 1)));
            won += m.winner().expect("three bouts decide");
        }
        assert_eq!(won, 4);
    }
}
