//! What is built: parts, robot, ring, findings, and reading the file that says so.
//!
//! A robot file is read once into a [`Robot`], the design in the builder's words: everything with
//! a unit is a [`quantity::Figure`] in SI, every component remembers its place in the file.
//! Axes: x forward, y left, z up, origin on the ring under the middle of the footprint, angles
//! counter-clockwise (the sense of ISO 8855 and REP 103).

mod finding;
mod issue;
mod model;
mod ring;

pub use finding::{Finding, Severity};
pub use issue::{Issue, Place};
pub use model::*;
pub use ring::Ring;
