//! Frames of beams in space: how far they give, where they are stressed most, how they ring.
//!
//! It knows nothing of robots. A [`Frame`] is nodes, members between them, lumps of mass, and how
//! nodes are held. [`Frame::solve`] gives deflections, forces and stresses under loads,
//! [`Frame::modes`] the lowest natural modes, and [`Modes::tap`] the response to a short blow.
//!
//! SI throughout. Deflections are small: the stiffness is that of the undeformed frame, and
//! nothing buckles. Everything is a function of its arguments, to the bit.

#![allow(
    clippy::needless_range_loop,
    reason = "one index often runs over several arrays, as in the formulas"
)]

mod assembly;
mod axes;
mod beam;
mod check;
#[cfg(test)]
mod dense_checks;
mod forces;
mod jacobi;
mod ldl;
mod model;
mod modes;
mod order;
mod play;
mod section;
mod sparse;
mod statics;
mod tap;
mod trouble;

pub use axes::{Axes, UP};
pub use forces::{Joint, Stress, Worked};
pub use model::{
    Capacity, End, Frame, Hold, Link, Load, Lump, Material, Member, Node, RIGID, fixed, free,
    pinned,
};
pub use modes::{Mode, Modes, Slack};
pub use section::{Outline, Rim, Section};
pub use statics::Solution;
pub use tap::{Heard, Point, Tap};
pub use trouble::{Flaw, Loose, Mechanism, Of, Trouble};
