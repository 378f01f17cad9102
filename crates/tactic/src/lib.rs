//! The robot's program: a small language of reflexes, states and timers; parse, check, run.
//!
//! A [`Tactic`] is read from text, [`compile`]d against a robot's [`Ports`] into a [`Program`],
//! and run tick by tick with a [`Memory`]. The language has one meaning everywhere, written down
//! in `docs/tactic-language.md`: the same program must decide the same bits in the simulation and
//! on a small controller.

mod ast;
mod bend;
mod blind;
mod charges;
mod check;
mod compile;
mod crawl;
mod explain;
mod findings;
mod format;
mod grammar;
mod implies;
mod influence;
mod lex;
mod limits;
mod log;
mod names;
mod outline;
mod parted;
mod ports;
pub mod program;
mod reads;
mod searching;
mod tactic;
mod tick;
mod toward;
mod walk;
mod watch;

pub use ast::Turn;
pub use blind::{Blind, Driven, Leg, STOPS_MS, Unheeded};
pub use charges::Charge;
pub use compile::compile;
pub use explain::{Decided, Explained, Explainer};
pub use format::format;
pub use influence::{Influence, Span, influence};
pub use outline::{OpeningOutline, Outline, ReflexOutline, StateOutline, StepOutline, WayOutline};
pub use parted::{Fact, Stands};
pub use ports::{GadgetPort, Port, PortKind, Ports, Rolling};
pub use program::{Drive, GADGETS, Memory, OFF, Opening, Program};
pub use reads::{GadgetOrder, OpeningPlace};
pub use tactic::{Constant, Tactic, parse};
pub use toward::{Astray, Looks, Stray};
