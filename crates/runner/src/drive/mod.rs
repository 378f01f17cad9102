//! A process of the user's own that drives a robot in lockstep: one line of JSON a look, there and back.
//!
//! `docs/own-program.md` describes the lines. Whatever the process does (ends, sleeps, writes garbage or
//! without end), the bout goes on or is abandoned within the time limit; nothing it writes can block or
//! fill the memory.

mod about;
mod answer;
mod failure;
mod line;
mod link;
mod own;
mod process;
mod tail;

pub use about::{About, PROTOCOL};
pub use failure::{Failure, What};
pub use line::LONGEST_LINE;
pub use own::{Ended, Own};
pub use process::NotLaunched;
