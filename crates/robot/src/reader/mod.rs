//! A small walker over TOML that reports everything wrong at once, with its place.
//!
//! Robot files, parts and rule classes are all read with it. A [`Document`] is parsed once (going
//! on after syntax errors); a [`Section`] is asked for what it should hold and notes in the
//! document's log whatever is missing, misspelt, of the wrong kind or never asked for.

mod figure;
mod known;
mod section;
mod sense;
mod syntax;
mod tree;
mod words;

pub(crate) use figure::length;
pub use section::Section;
pub use tree::{Document, Key, Node, Value};
pub use words::nearest;
