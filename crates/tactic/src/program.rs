//! The program as flat code: what the interpreter runs, and what a controller's program is written
//! from.
//!
//! Conditions and values are pieces of [`Op`]s for a stack. A condition leaves 0 or 1, a value any
//! i16; a condition is never used as a value, nor the other way round.

use crate::ast::Turn;

/// A range of operations.
pub type Code = (u16, u16);

/// Most counters, timers and `for` conditions a tactic may have.
pub const MOST: usize = 16;
/// Most gadgets a controller has outputs for.
pub const GADGETS: usize = 4;
/// What a gadget without power is sent to; otherwise 0 (its first end) to 1000 (its second).
pub const OFF: i16 = -1;
/// Deepest stack a condition may need.
pub(crate) const DEEPEST_STACK: usize = 24;

/// One operation on the stack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Op {
    /// A number.
    Push(i16),
    /// A counter.
    Counter(u8),
    /// A reading, by the order of the ports.
    Sensor(u8),
    /// The reading of a sensor that may be ignored for a while, by the order of the masks.
    Masked(u8),
    /// What a timer shows in ms, at most 32767.
    Timer(u8),
    /// Whether a `for` condition has held for long enough.
    Held(u8),
    /// Second from the top + top, saturated, as are those that follow.
    Add,
    /// Second − top.
    Sub,
    /// Second · top.
    Mul,
    /// Second ÷ top, toward zero; by zero: 0.
    Div,
    /// Third · second ÷ top, the product in 32 bits.
    Share,
    /// Whether second < top.
    Less,
    /// Whether second > top.
    More,
    /// Whether they are the same.
    Same,
    /// Whether the top is 0.
    Not,
    /// Whether neither is 0.
    And,
    /// Whether one is not 0.
    Or,
    /// Whether a die of 0 to 999 falls below the top. The only one that changes the memory, so that the
    /// order in which they are thrown counts.
    Chance,
}

/// What a step does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Act {
    /// Effort of the left and of the right side.
    Drive(Code, Code),
    /// On the spot.
    Pivot(Code, Turn),
    /// Effort of the inner and of the outer side.
    Arc(Code, Code, Turn),
    /// Both sides 0.
    Wait,
    /// Rules from index to index.
    Follow(u16, u16),
    /// Changes a counter.
    Set(u8, Code),
    /// Sets a timer to 0.
    Restart(u8),
    /// Sends a gadget so far, in per mille.
    Move(u8, Code),
    /// Takes the power off a gadget.
    Release(u8),
    /// Ignores the sensor of a mask for so many ms.
    Ignore(u8, Code),
}

impl Act {
    /// Whether it takes no time: the next step comes in the same tick.
    #[must_use]
    pub fn is_instant(self) -> bool {
        matches!(
            self,
            Self::Set(..) | Self::Restart(_) | Self::Move(..) | Self::Release(_) | Self::Ignore(..)
        )
    }
}

/// A sensor that some step ignores for a while.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mask {
    /// The sensor, by the order of the ports.
    pub sensor: u8,
    /// What it reads meanwhile.
    pub blank: i16,
}

/// A rule of a `follow`: condition (none: otherwise) and what to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rule {
    /// Its condition; none: otherwise.
    pub when: Option<Code>,
    /// What it drives.
    pub act: Act,
}

/// A step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StepCode {
    /// What it does.
    pub act: Act,
    /// How long it lasts, in ms; below 0 counts as 0.
    pub lasting: Option<Code>,
    /// What ends it early; asked only while its time is not over.
    pub until: Option<Code>,
}

/// A state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StateCode {
    /// Name.
    pub name: String,
    /// Ways out: state and condition, asked in this order until one holds.
    pub ways: Vec<(u8, Code)>,
    /// Steps.
    pub steps: Vec<StepCode>,
    /// Longest stay in ms, and the state that comes then.
    pub stay: Option<(Code, u8)>,
    /// The state that comes when all steps are done; none: they begin again.
    pub then: Option<u8>,
}

/// A reflex.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReflexCode {
    /// Name.
    pub name: String,
    /// Whether none may break into it.
    pub firm: bool,
    /// When it starts.
    pub when: Code,
    /// What ends it early; asked at every tick but the one in which it starts, before its steps.
    pub until: Option<Code>,
    /// Steps.
    pub steps: Vec<StepCode>,
    /// The state that comes when all steps are done; none: the one broken into.
    pub then: Option<u8>,
}

/// How a bout is opened: where the robot is put down and what it does first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opening {
    /// Name.
    pub name: String,
    /// Position of the switch on the robot that selects it.
    pub switch: u8,
    /// Distance behind the start line in mm.
    pub behind_mm: i16,
    /// Distance to the left of the middle in mm.
    pub aside_mm: i16,
    /// Turned to the left from pointing at the ring's centre, in tenths of a degree.
    pub facing_tenth_deg: i16,
    /// Whether the side it chooses is the left one.
    pub left_first: bool,
    /// Its first state.
    pub begin: u8,
}

/// What the program asks of the drive, per mille of full effort on each side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Drive {
    /// Left side, −1000 to 1000.
    pub left: i16,
    /// Right side, −1000 to 1000.
    pub right: i16,
}

impl Memory {
    /// Where it stands: the state, the step of the state or reflex, and the reflex that runs.
    #[must_use]
    pub fn stands(&self) -> (u8, u8, Option<u8>) {
        (self.state, self.step, self.reflex)
    }

    /// Where each gadget is sent, in the order of the ports: per mille of its way from its first
    /// end to its second, or [`OFF`].
    #[must_use]
    pub fn gadgets(&self) -> [i16; GADGETS] {
        self.gadgets
    }
}

/// A compiled program, bound to a robot's ports.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Program {
    /// All operations; a [`Code`] is a range of them.
    pub ops: Vec<Op>,
    /// All rules of `follow` steps.
    pub rules: Vec<Rule>,
    /// States.
    pub states: Vec<StateCode>,
    /// Reflexes, the first before the others.
    pub reflexes: Vec<ReflexCode>,
    /// Openings, at least one.
    pub openings: Vec<Opening>,
    /// `for` conditions: what must hold, and for how long in ms.
    pub holds: Vec<(Code, Code)>,
    /// What tells that the opponent is on the left, on the right.
    pub remember: [Option<Code>; 2],
    /// What the counters begin with.
    pub counters: Vec<i16>,
    /// Sensors that some step ignores for a while.
    pub masks: Vec<Mask>,
}

/// Everything the program remembers between ticks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Memory {
    pub(crate) state: u8,
    pub(crate) step: u8,
    pub(crate) reflex: Option<u8>,
    pub(crate) state_since: u16,
    pub(crate) step_since: u16,
    pub(crate) seen_left: bool,
    pub(crate) chosen_left: bool,
    pub(crate) held: u16,
    pub(crate) noise: u16,
    pub(crate) hold_since: [u16; MOST],
    pub(crate) timer_since: [u16; MOST],
    pub(crate) ignored: u16,
    pub(crate) ignored_since: [u16; MOST],
    pub(crate) ignored_for: [u16; MOST],
    pub(crate) counters: [i16; MOST],
    pub(crate) drive: Drive,
    pub(crate) gadgets: [i16; GADGETS],
    pub(crate) fresh: bool,
}

impl Program {
    /// How many timers it has that matter: those asked or restarted, and all before them.
    #[must_use]
    pub fn timer_count(&self) -> usize {
        let asked = self.ops.iter().map(|op| match op {
            Op::Timer(k) => usize::from(*k) + 1,
            _ => 0,
        });
        let restarted = self.steps().map(|s| match s.act {
            Act::Restart(k) => usize::from(k) + 1,
            _ => 0,
        });
        asked.chain(restarted).max().unwrap_or(0)
    }

    /// If a `follow` has its first rule at `at`: where its rules end.
    #[must_use]
    pub fn follow_from(&self, at: usize) -> Option<usize> {
        self.steps().find_map(|s| match s.act {
            Act::Follow(from, to) if usize::from(from) == at && from < to => Some(usize::from(to)),
            _ => None,
        })
    }

    fn steps(&self) -> impl Iterator<Item = &StepCode> {
        let blocks =
            (self.states.iter().map(|s| &s.steps)).chain(self.reflexes.iter().map(|r| &r.steps));
        blocks.flatten()
    }

    /// Its openings, at least one.
    #[must_use]
    pub fn openings(&self) -> &[Opening] {
        &self.openings
    }

    /// Memory at the start signal. `noise` seeds its own random generator; an opening that does
    /// not exist plays the first.
    #[must_use]
    pub fn start(&self, opening: usize, noise: u16) -> Memory {
        let opening = self.openings.get(opening).unwrap_or(&self.openings[0]);
        let mut counters = [0; MOST];
        counters[..self.counters.len()].copy_from_slice(&self.counters);
        Memory {
            state: opening.begin,
            step: 0,
            reflex: None,
            state_since: 0,
            step_since: 0,
            seen_left: opening.left_first,
            chosen_left: opening.left_first,
            held: 0,
            // Zero is the one value an xorshift generator never leaves.
            noise: if noise == 0 { 0x5EED } else { noise },
            hold_since: [0; MOST],
            timer_since: [0; MOST],
            ignored: 0,
            ignored_since: [0; MOST],
            ignored_for: [0; MOST],
            counters,
            drive: Drive::default(),
            gadgets: [0; GADGETS],
            fresh: true,
        }
    }

    /// What it is doing: the name of the running reflex, else of the state.
    #[must_use]
    pub fn doing(&self, memory: &Memory) -> &str {
        match memory.reflex {
            Some(r) => &self.reflexes[usize::from(r)].name,
            None => &self.states[usize::from(memory.state)].name,
        }
    }
}
