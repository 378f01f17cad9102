//! One bout: bodies, wheels, contacts, sensing, judging; from two designs to a record.

mod arena;
mod cause;
mod control;
mod dynamics;
mod fight;
mod hash;
mod judge;
mod pilot;
mod placing;
mod record;
mod sense;
#[cfg(test)]
mod tests;
mod watch;

pub use arena::{Arena, PlacingRule, Seat};
pub use dynamics::scene;
pub use fight::{fight, fight_refined};
pub use judge::Match;
pub use record::{Cause, End, Event, EventKind, Frame, Outcome, Record, WheelFrame};

/// One side of a bout: what was built and what it runs.
#[derive(Debug, Clone)]
pub struct Fighter<'a> {
    /// The robot.
    pub robot: &'a robot::Robot,
    /// Its program, bound to this robot's sensors.
    pub program: &'a tactic::Program,
    /// Which opening it plays.
    pub opening: usize,
}

/// What is asked of a bout besides its outcome.
#[derive(Debug, Clone, Copy, Default)]
pub struct Wanted {
    /// Keep poses, loads and slips at the frame rate.
    pub frames: bool,
    /// Keep the list of events.
    pub events: bool,
}
