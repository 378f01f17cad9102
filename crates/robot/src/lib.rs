//! What is built: parts, robot, ring, findings, and reading the file that says so.
//!
//! A robot file is read once into a [`Robot`], the design in the builder's words: everything with
//! a unit is a [`quantity::Figure`] in SI, every component remembers its place in the file.
//! Axes: x forward, y left, z up, origin on the ring under the middle of the footprint, angles
//! counter-clockwise (the sense of ISO 8855 and REP 103).

mod boards;
mod faults;
mod figures;
mod finding;
mod footprint;
mod frame;
mod gadget;
mod issue;
mod magnet;
mod mass;
mod material;
mod model;
mod parts_box;
mod read;
pub mod reader;
mod ring;
mod swap;
mod track;
mod typical;
mod wiring;

pub use boards::{AtReset, BoardSheet, Boards, Can, Feed, FeedKind, Pin, Strap};
pub use faults::{Fault, Faults};
pub use figures::FigureLine;
pub use finding::{Finding, Severity};
pub use footprint::Footprint;
pub use frame::{Bar, Described, End, Hang, JointKind, Member, Node};
pub use gadget::{Gadget, GadgetDrive, GadgetKind, Mount, Moved, Plate, Play, Travel};
pub use issue::{Issue, Place};
pub use magnet::Magnet;
pub use mass::MassProperties;
pub use material::{Material, Materials};
pub use model::*;
pub use parts_box::{Entry, PartsBox};
pub use read::read;
pub use ring::{Hall, Ring, Surface};
pub use track::{Patch, Track};
pub use wiring::{
    Control, DriverLines, Extra, ExtraKind, Gauge, Harness, Interface, Lead, PinWord, WireSize,
    Wiring,
};
