//! What a rule class means for a single bout and for a match.

use quantity::maths::STANDARD_GRAVITY;
use robot::Ring;
use rules::{Class, EarlyStart, Facing, Limit, OutWhen, Start, Undecided};

/// Which of the two robots: seat 0 starts at negative x, seat 1 at positive x.
pub type Seat = usize;

/// Where robots may be put down.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacingRule {
    /// No part of the robot nearer to the middle line than this, in m.
    pub from_middle_m: f64,
    /// Farthest the centre of the robot may be from the middle line, in m.
    pub to_middle_m: f64,
    /// Farthest it may stand aside of the line through both start lines, in m.
    pub aside_m: f64,
    /// Which way it faces.
    pub facing: Facing,
    /// Whether one side puts its robot down first and the other may answer with another of its
    /// openings.
    pub in_turn: bool,
}

/// What the judge says to what happens in a bout.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judging {
    /// When a robot is out.
    pub out: OutWhen,
    /// Whether a robot that has fallen over loses.
    pub fallen_loses: bool,
    /// Mass a robot may drop; more loses. None: no matter.
    pub dropped: Option<Limit>,
    /// What moving before the signal costs.
    pub early_start: EarlyStart,
    /// Warnings that lose a round.
    pub warnings: u32,
    /// Time in s within which a robot must have moved where a remote starts both.
    pub move_within_s: Option<f64>,
    /// Whether, of two robots that stand still apart, the one that stood first loses.
    pub stood_first_loses: bool,
    /// What becomes of a bout in which nobody gets anywhere.
    pub stuck: Undecided,
    /// What becomes of a bout whose time is up.
    pub time_up: Undecided,
}

/// How rounds add up to a match.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MatchRules {
    /// Points that win it.
    pub points: u32,
    /// Most rounds before it is extended.
    pub rounds: u32,
    /// Time in s of all rounds together, pauses left out.
    pub time_s: f64,
    /// Longest extra round in s where it is level; 0: none.
    pub extension_s: f64,
    /// Pause between two rounds in s.
    pub pause_s: f64,
}

/// What one bout needs to know of the class. All figures in SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Arena {
    /// The ring.
    pub ring: Ring,
    /// Gravity in m/s².
    pub gravity: f64,
    /// Motionless time after the signal in s; 0 where a remote starts both.
    pub start_delay_s: f64,
    /// Time without progress after which the judge puts both back, in s.
    pub no_progress_s: f64,
    /// Times the judge puts both back before the bout is over.
    pub restarts: u32,
    /// Longest the bout may last from the first permitted motion, in s, restarts included.
    pub longest_s: f64,
    /// Where robots may be put down.
    pub placing: PlacingRule,
    /// What the judge says.
    pub judging: Judging,
    /// How rounds add up to a match.
    pub match_rules: MatchRules,
}

impl Arena {
    /// Whether a remote starts both; else each has a button and counts the delay itself.
    #[must_use]
    pub fn has_remote(&self) -> bool {
        self.start_delay_s <= 0.0
    }

    /// The arena of a class, at standard gravity. A rulebook bounds placing by a line and by the
    /// ring; the ring itself is seen to by the robot's own outline when it is put down.
    #[must_use]
    pub fn of(class: &Class) -> Self {
        let ring = class.ring();
        let rim_m = ring.diameter_m / 2.0;
        let placing = &class.ring.placing.value;
        Self {
            ring,
            gravity: STANDARD_GRAVITY,
            start_delay_s: class.start_delay_s(),
            no_progress_s: class.bout.no_progress_s.value,
            restarts: class.bout.restarts.value,
            longest_s: class.bout.longest_s.value,
            placing: PlacingRule {
                from_middle_m: class.placing_from_middle_m(),
                to_middle_m: rim_m,
                aside_m: if placing.aside { rim_m } else { 0.0 },
                facing: placing.facing,
                in_turn: placing.in_turn,
            },
            judging: Judging::of(class),
            match_rules: MatchRules::of(class),
        }
    }
}

impl Judging {
    fn of(class: &Class) -> Self {
        let j = &class.judging;
        Self {
            out: j.out.value,
            fallen_loses: j.fallen.value,
            dropped: j.dropped.value.then_some(class.robot.dropped_kg.value),
            early_start: j.early_start.value,
            warnings: j.warnings.value,
            move_within_s: match class.bout.start.value {
                Start::Delay { .. } => None,
                Start::Remote { move_within_s } => Some(move_within_s),
            },
            stood_first_loses: j.stood_first.value,
            stuck: j.stuck.value,
            time_up: j.time_up.value,
        }
    }
}

impl Default for Judging {
    /// Only the floor decides; nothing drops, nobody moves early, a bout nobody wins is a tie.
    fn default() -> Self {
        Self {
            out: OutWhen::Floor,
            fallen_loses: false,
            dropped: None,
            early_start: EarlyStart::Round,
            warnings: 2,
            move_within_s: None,
            stood_first_loses: false,
            stuck: Undecided::Tie,
            time_up: Undecided::Tie,
        }
    }
}

impl MatchRules {
    fn of(class: &Class) -> Self {
        Self {
            points: class.bout.points.value,
            rounds: class.judging.rounds.value,
            time_s: class.bout.match_s.value,
            extension_s: class.judging.extension_s.value,
            pause_s: class.bout.pause_s.value,
        }
    }
}

impl Default for MatchRules {
    /// Two points in at most three rounds within three minutes, half a minute between them.
    fn default() -> Self {
        Self {
            points: 2,
            rounds: 3,
            time_s: 180.0,
            extension_s: 0.0,
            pause_s: 30.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mini_class_becomes_its_ring_times_and_lines() {
        let classes = rules::Classes::built_in().expect("they read");
        let mini = Arena::of(classes.find("mini").expect("it is built in"));
        // Ring 770 mm, border 25 mm, start lines 50 mm from the centre, five still seconds:
        // RobotChallenge rules table; DPRG Mini-Sumo rules, draft of 2001-06-03.
        assert!((mini.ring.diameter_m - 0.77).abs() < 1e-12);
        assert!((mini.ring.border_m - 0.025).abs() < 1e-12);
        assert!((mini.ring.start_line_m - 0.05).abs() < 1e-12);
        assert!((mini.start_delay_s - 5.0).abs() < 1e-12);
        assert!(mini.no_progress_s > 0.0 && mini.longest_s > mini.no_progress_s);
        assert!(mini.placing.from_middle_m <= mini.ring.start_line_m);
        assert!((mini.gravity - 9.80665).abs() < 1e-12);
        // OSHWDem Minisumo 2015, art. 5.2 and 7.
        assert!(mini.judging.dropped.is_some_and(|d| !d.allows(0.005)));
        assert_eq!((mini.match_rules.points, mini.match_rules.rounds), (2, 3));
        for class in classes.iter() {
            let arena = Arena::of(class);
            assert!(
                arena.placing.to_middle_m > arena.placing.from_middle_m,
                "{}",
                class.name
            );
            assert_eq!(arena.judging.move_within_s.is_some(), arena.has_remote());
        }
    }
}
