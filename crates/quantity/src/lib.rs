//! Numbers with units and spreads, the keyed random streams that draw them, and the one maths
//! module.
//!
//! Everything inside the workspace is SI; a unit exists only where a person writes or reads a
//! number. A [`Figure`] is a number from a file together with how well it is known and how much
//! it varies; a [`Draws`] turns figures into plain `f64` for one imagined robot.

mod dimension;
mod draw;
mod figure;
pub mod maths;
mod normal;
mod parse;
mod show;
mod stream;

pub use dimension::*;
pub use draw::Draws;
pub use figure::{Figure, Origin};
pub use normal::{HALF_WIDTH_95, normal_below};
pub use parse::{NotAQuantity, Parsed, parse};
pub use show::{show, show_si};
pub use stream::Stream;
