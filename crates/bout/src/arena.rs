//! What a rule class means for a single bout.

use quantity::maths::STANDARD_GRAVITY;
use robot::Ring;
use rules::Class;

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
    /// Whether it may face any way.
    pub any_facing: bool,
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
    /// Times the judge puts both back before the bout is a tie.
    pub restarts: u32,
    /// Longest the bout may last from the first permitted motion, in s, restarts included.
    pub longest_s: f64,
    /// Where robots may be put down.
    pub placing: PlacingRule,
}

impl Arena {
    /// The arena of a class, at standard gravity. A rulebook bounds placing by a line and by the
    /// ring; the ring itself is seen to by the robot's own outline when it is put down.
    #[must_use]
    pub fn of(class: &Class) -> Self {
        let ring = class.ring();
        let rim_m = ring.diameter_m / 2.0;
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
                aside_m: rim_m,
                any_facing: class.ring.placing.value.any_facing,
            },
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
        for class in classes.iter() {
            let arena = Arena::of(class);
            assert!(
                arena.placing.to_middle_m > arena.placing.from_middle_m,
                "{}",
                class.name
            );
        }
    }
}
