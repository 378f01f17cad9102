//! Whole bouts, and the robots and programs that tests of this crate share.

mod bouts;
mod endings;
pub(crate) mod scenery;
mod staging;
