//! The program as flat code.

use crate::ast::Turn;

/// A range of operations.
pub(crate) type Code = (u16, u16);

/// Most counters, timers and `for` conditions a tactic may have.
pub(crate) const MOST: usize = 16;
/// Most gadgets a controller has outputs for.
pub const GADGETS: usize = 4;
/// What a gadget without power is sent to; otherwise 0 (its first end) to 1000 (its second).
pub const OFF: i16 = -1;
/// Deepest stack a condition may need.
pub(crate) const DEEPEST_STACK: usize = 24;

/// One operation on the stack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Op {
    Push(i16),
    Counter(u8),
    Sensor(u8),
    Timer(u8),
    Held(u8),
    Add,
    Sub,
    Mul,
    Div,
    Share,
    Less,
    More,
    Same,
    Not,
    And,
    Or,
    Chance,
}

/// What a step does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    Drive(Code, Code),
    Pivot(Code, Turn),
    Arc(Code, Code, Turn),
    Wait,
    /// Rules from index to index.
    Follow(u16, u16),
    Set(u8, Code),
    Restart(u8),
    /// Sends a gadget so far, in per mille.
    Move(u8, Code),
    Release(u8),
}

impl Act {
    /// Whether it takes no time: the next step comes in the same tick.
    pub(crate) fn is_instant(self) -> bool {
        matches!(
            self,
            Self::Set(..) | Self::Restart(_) | Self::Move(..) | Self::Release(_)
        )
    }
}

/// A rule of a `follow`: condition (none: otherwise) and what to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Rule {
    pub(crate) when: Option<Code>,
    pub(crate) act: Act,
}

/// A step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct StepCode {
    pub(crate) act: Act,
    pub(crate) lasting: Option<Code>,
    pub(crate) until: Option<Code>,
}

/// A state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct StateCode {
    pub(crate) name: String,
    pub(crate) ways: Vec<(u8, Code)>,
    pub(crate) steps: Vec<StepCode>,
    pub(crate) stay: Option<(Code, u8)>,
    pub(crate) then: Option<u8>,
}

/// A reflex.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ReflexCode {
    pub(crate) name: String,
    pub(crate) firm: bool,
    pub(crate) when: Code,
    pub(crate) steps: Vec<StepCode>,
    pub(crate) then: Option<u8>,
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
    pub(crate) left_first: bool,
    pub(crate) begin: u8,
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
    pub(crate) ops: Vec<Op>,
    pub(crate) rules: Vec<Rule>,
    pub(crate) states: Vec<StateCode>,
    pub(crate) reflexes: Vec<ReflexCode>,
    pub(crate) openings: Vec<Opening>,
    pub(crate) holds: Vec<(Code, Code)>,
    pub(crate) remember: [Option<Code>; 2],
    pub(crate) counters: Vec<i16>,
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
    pub(crate) counters: [i16; MOST],
    pub(crate) drive: Drive,
    pub(crate) gadgets: [i16; GADGETS],
    pub(crate) fresh: bool,
}

impl Program {
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
