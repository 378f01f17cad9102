//! The project that goes on the controller: the same tactic, with the same decisions, bit for bit.

mod blocks;
mod c99;
mod cycles;
mod dialect;
mod expression;
mod file;
mod micropython;
mod names;
mod page;
mod project;
mod words;
mod writer;

pub use c99::c99;
pub use cycles::most_cycles;
pub use file::File;
pub use micropython::micropython;
pub use project::{Connection, Kind, Project, Size, Unwritten, kind};
