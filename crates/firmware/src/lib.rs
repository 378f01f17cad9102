//! The project that goes on the controller: the same tactic, with the same decisions, bit for bit.

mod c99;
mod expression;
mod file;
mod micropython;
mod names;
mod page;
mod project;

pub use c99::c99;
pub use file::File;
pub use micropython::micropython;
pub use project::{Connection, Kind, Project, Unwritten, kind};
