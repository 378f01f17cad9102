//! Looking over the interpreter's shoulder: each decision of a tick, as it is made.

use crate::program::Memory;

/// Why a step is over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Over {
    /// It takes no time.
    Instant,
    /// Its time is over.
    Time,
    /// Its `until` holds.
    Until,
}

/// What is decided, told before it is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Event {
    /// The opponent is on this side.
    Seen { left: bool },
    /// The reflex at this place starts.
    Reflex(usize),
    /// The running reflex is released.
    Released,
    /// The running reflex has done its steps, or is released.
    ReflexDone,
    /// The state has lasted its longest stay.
    Stay,
    /// The way out at this place is taken.
    Way(usize),
    /// The state has done its steps and leads on.
    Then,
    /// The state has done its steps and begins again.
    Again,
    /// The step at which the memory stands is over; one that takes no time has been done.
    Passed(Over),
    /// The rule at this place of the `follow` at which the memory stands is done.
    Rule(usize),
}

/// The moment of a decision.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Moment<'m> {
    /// What is remembered.
    pub(crate) memory: &'m Memory,
    /// The die as it was before the condition that decided was asked.
    pub(crate) noise: u16,
    /// The readings in the order of the ports.
    pub(crate) readings: &'m [i16],
    /// The clock in ms, which wraps.
    pub(crate) now: u16,
}

/// Somebody who is told of each decision.
pub(crate) trait Watch {
    /// Takes note.
    fn told(&mut self, event: Event, moment: Moment<'_>);
}

/// Nobody.
impl Watch for () {
    #[inline]
    fn told(&mut self, _: Event, _: Moment<'_>) {}
}
