//! A tactic as a tree.

use core::ops::Range;

/// A name as written, with its place. Equal names are the same word, wherever they stand.
#[derive(Debug, Clone)]
pub(crate) struct Name {
    pub(crate) word: String,
    pub(crate) span: Range<usize>,
}

impl PartialEq for Name {
    fn eq(&self, other: &Self) -> bool {
        self.word == other.word
    }
}

impl Eq for Name {}

/// A value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Expr {
    Value(i16),
    Name(Name),
    /// +, −, *, /.
    Two(char, Box<Self>, Box<Self>),
    /// a·b/c with the product in 32 bits.
    Share(Box<Self>, Box<Self>, Box<Self>),
}

/// Where something is written, in bytes. Places never make two things differ: the same words mean the
/// same wherever they stand.
#[derive(Debug, Clone, Default)]
pub(crate) struct Written(pub(crate) Range<usize>);

impl PartialEq for Written {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Eq for Written {}

/// A condition, and where it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Cond {
    pub(crate) ask: Ask,
    pub(crate) written: Written,
}

/// What a condition asks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Ask {
    Sees(Name),
    Within(Name, Expr),
    Beyond(Name, Expr),
    OnBorder(Name),
    Touched(Name),
    Above(Name, Expr),
    Below(Name, Expr),
    Over(Name, Expr),
    Compare(char, Expr, Expr),
    Chance(Expr),
    Not(Box<Cond>),
    And(Box<Cond>, Box<Cond>),
    Or(Box<Cond>, Box<Cond>),
    For(Box<Cond>, Expr),
}

/// A side to turn to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// To the left.
    Left,
    /// To the right.
    Right,
    /// Toward the side where the opponent was seen last.
    Seen,
    /// Away from it.
    Unseen,
    /// Toward the opening's side.
    Chosen,
    /// Away from it.
    Unchosen,
}

/// What a step does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Action {
    Drive(Expr, Expr),
    Pivot(Expr, Turn),
    Arc(Expr, Expr, Turn),
    /// Radius of the middle of the robot in mm, angle in tenths of a degree, effort of the outer side.
    Bend(Expr, Expr, Turn, Expr),
    Wait,
    Follow(Vec<(Option<Cond>, Self)>),
    Set(Name, Expr),
    Restart(Name),
    /// Sends a gadget to one of its ends (a bare name) or so far on its way, in per mille.
    Move(Name, Expr),
    /// Takes the power off a gadget.
    Release(Name),
    /// Reads a sensor as if nothing were there, for so long.
    Ignore(Name, Expr),
}

impl Action {
    /// Whether it takes no time: the next step comes in the same tick.
    pub(crate) fn is_instant(&self) -> bool {
        matches!(
            self,
            Self::Set(..) | Self::Restart(_) | Self::Move(..) | Self::Release(_) | Self::Ignore(..)
        )
    }
}

/// One step of a state or reflex.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Step {
    pub(crate) action: Action,
    pub(crate) lasting: Option<Expr>,
    pub(crate) until: Option<Cond>,
    pub(crate) written: Written,
}

/// The longest stay in a state, and where it leads.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Stay {
    pub(crate) time: Expr,
    pub(crate) to: Name,
    pub(crate) written: Written,
}

/// A state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct State {
    pub(crate) name: Name,
    pub(crate) ways: Vec<(Name, Cond)>,
    pub(crate) steps: Vec<Step>,
    pub(crate) stay: Option<Stay>,
    pub(crate) then: Option<Name>,
}

/// A reflex.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Reflex {
    pub(crate) name: Name,
    pub(crate) firm: bool,
    pub(crate) when: Cond,
    /// What ends it early.
    pub(crate) until: Option<Cond>,
    pub(crate) steps: Vec<Step>,
    pub(crate) then: Option<Name>,
}

/// An opening as written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct OpeningText {
    pub(crate) name: Name,
    pub(crate) switch: Option<i16>,
    pub(crate) behind: i16,
    pub(crate) aside: i16,
    pub(crate) facing: i16,
    pub(crate) left_first: bool,
    pub(crate) begin: Option<Name>,
}

impl OpeningText {
    /// Position of the switch, of the opening at `place` in the file.
    pub(crate) fn switch(&self, place: usize) -> u8 {
        let switch = self.switch.and_then(|s| u8::try_from(s).ok());
        switch.or_else(|| u8::try_from(place).ok()).unwrap_or(0)
    }
}

/// A named constant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ConstantText {
    pub(crate) name: Name,
    pub(crate) value: i16,
    pub(crate) least: i16,
    pub(crate) most: i16,
}

/// A whole tactic.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Tree {
    pub(crate) constants: Vec<ConstantText>,
    pub(crate) counters: Vec<(Name, i16)>,
    pub(crate) timers: Vec<Name>,
    pub(crate) remember_left: Option<Cond>,
    pub(crate) remember_right: Option<Cond>,
    pub(crate) openings: Vec<OpeningText>,
    pub(crate) reflexes: Vec<Reflex>,
    pub(crate) states: Vec<State>,
}
