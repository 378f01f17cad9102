//! Whole bouts, and the robots and programs that tests of this crate share.

mod bouts;
pub(crate) mod scenery;
