//! One bout: bodies, wheels, contacts, sensing, judging; from two designs to a record.

mod arena;
mod carry;
mod cause;
mod control;
mod dynamics;
mod faults;
mod fight;
mod grounds;
mod hand;
mod hash;
mod judge;
mod out;
mod pilot;
mod placing;
mod progress;
mod record;
mod rounds;
mod sense;
#[cfg(test)]
mod tests;
mod trail;
mod watch;

pub use arena::{Arena, Judging, MatchRules, PlacingRule, Seat};
pub use carry::Carry;
pub use control::{Beginning, Controller, Driver, Orders};
pub use dynamics::scene;
pub use fight::{fight, fight_driven, fight_refined};
pub use grounds::{Ground, Grounds, Measure};
pub use record::{Cause, End, Event, EventKind, Frame, Outcome, Record, WheelFrame};
pub use rounds::{Match, MatchRecord, Round, fight_match};

/// One side of a bout: what was built and what it runs.
#[derive(Debug, Clone)]
pub struct Fighter<'a> {
    /// The robot.
    pub robot: &'a robot::Robot,
    /// Its program, bound to this robot's sensors.
    pub program: &'a tactic::Program,
    /// Which opening it plays.
    pub opening: usize,
    /// What it brings from earlier rounds of the day; none: cold and as full as its file says.
    pub carry: Option<&'a Carry>,
}

/// What is asked of a bout besides its outcome.
#[derive(Debug, Clone, Copy, Default)]
pub struct Wanted {
    /// Keep poses, loads and slips at the frame rate.
    pub frames: bool,
    /// Keep the list of events.
    pub events: bool,
}
