//! Checks of the house itself: what the compiler and the lints cannot see.
//!
//! The readers here take text and give back what it says; the tests of this crate hold the whole
//! repository against it. Nothing else depends on this crate, and it depends on none of the others.

mod code;
mod documents;
pub mod excerpt;
mod manifest;
mod picture;
mod tree;

pub use code::{Code, group_members};
pub use documents::{looks_like_a_path, mentioned};
pub use manifest::{Manifest, NotAManifest};
pub use picture::floors;
pub use tree::{files, read, root};
