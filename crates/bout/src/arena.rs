//! What a rule class means for a single bout.

use robot::Ring;

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
