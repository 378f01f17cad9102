//! The user's files.
//!
//! Reads robots, classes, boards and parts from disk, falling back on those that come with the program,
//! and writes new files without ever replacing one. Functions of paths only: nothing is cached, no
//! folder is looked for that the caller did not name. A user's folder (`home`) holds the same
//! subfolders as the program's own shelf: `parts/`, `materials/`, `boards/`, `classes/`, `robots/FIELD/`.

mod class;
mod error;
mod folder;
mod home;
mod robot;
mod text;

pub use class::load_class;
pub use error::{FileError, LoadError, Problem};
pub use folder::write_folder;
pub use home::{classes, field, field_names, has_field, parts};
pub use robot::{load_robot, robot_names};
pub use text::{MOST_BYTES, read_text, write_new};
