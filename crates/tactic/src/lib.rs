//! The robot's program: a small language of reflexes, states and timers; parse, check, run.

mod ports;

pub use ports::{Port, PortKind, Ports};

/// A compiled program bound to a robot's ports.
#[derive(Debug, Clone)]
pub struct Program;
