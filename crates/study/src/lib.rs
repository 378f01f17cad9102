//! Many bouts: which to fight and what they mean.
//!
//! A study describes work as a list of independent, keyed [`Task`]s and folds what came of them;
//! who fights them, and in which order, is the runner's business and changes nothing. The
//! statistics take the results as they are, so they are tested on worlds whose truth is known.

mod interval;
mod pit;
pub mod spar;
mod task;
pub mod unknowns;
pub mod whatif;

pub use interval::{Estimate, bouts_for, exact, paired_difference, wilson, z_of};
pub use pit::{Entrant, Pit};
pub use task::{Fought, Task, Verdict, plan};
