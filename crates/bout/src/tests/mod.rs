//! Whole bouts, and the robots and programs that tests of this crate share.

mod bouts;
mod causes;
mod driving;
mod endings;
mod faults;
mod gadgets;
mod judging;
mod kinds;
pub(crate) mod scenery;
mod sensing;
mod staging;
mod wear;
