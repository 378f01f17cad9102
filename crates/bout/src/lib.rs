//! One bout: bodies, wheels, contacts, sensing, judging; from two designs to a record.

mod arena;
mod record;

pub use arena::{Arena, PlacingRule, Seat};
pub use record::{Cause, End, Event, EventKind, Frame, Outcome, Record, WheelFrame};

use quantity::Stream;

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

/// Fights one bout. `draws` must stand for (seed, opponent, bout); the seats are keyed inside.
/// Seat 0 starts on the side of negative x. The same inputs give the same bits.
#[must_use]
pub fn fight(arena: &Arena, fighters: [Fighter<'_>; 2], draws: Stream, wanted: Wanted) -> Record {
    let _ = (arena, fighters, draws, wanted);
    unimplemented!()
}
