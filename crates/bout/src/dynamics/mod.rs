//! The dynamics of two robots on a ring: six degrees of freedom each, wheel spins, contacts.
//!
//! One millisecond (two while the robots are far apart):
//! 1. **Find contacts** (`ground`, `hull`, `sheet`) within a margin of what can close until the
//!    next search, and give them last time's impulses back by key.
//! 2. Two **substeps**: gravity and gyroscopic term (`body`); motors on the sagging pack (`drive`);
//!    tyre contacts afresh, gaps of the others from their body-fixed anchors; warm start; one
//!    Gauss-Seidel sweep, robot against robot first, then ground, normal before friction
//!    (`contact`); positions with the new speeds.
//!
//! Parts that move against their body (`joint`, `jointed`, `fittings`) are one freedom more each.
//!
//! The formulation is velocity-level with implicit springs; every tunable states what breaks when
//! it is changed. Sources: soft unilateral constraints as implicit spring-dampers, Catto, "Soft
//! Constraints", Game Developers Conference 2011; friction of greatest dissipation, Moreau 1988.

mod audit;
#[cfg(test)]
mod baseline;
mod bench;
mod body;
#[cfg(test)]
mod caster_checks;
#[cfg(test)]
mod chaos;
mod compile;
mod contact;
mod crossing;
mod dirt;
#[cfg(test)]
mod dirt_checks;
mod drive;
#[cfg(test)]
mod drive_tests;
mod edge;
mod feet;
mod fittings;
#[cfg(test)]
mod free_checks;
#[cfg(test)]
mod gadgetry;
mod ground;
mod hull;
mod joint;
mod jointed;
mod level;
mod machine;
mod magnets;
mod meet;
mod patch;
mod power;
mod promise;
mod rebound;
#[cfg(test)]
mod rebound_checks;
mod reference;
mod relief;
pub mod scene;
mod scrub;
mod sheet;
mod sheets;
#[cfg(test)]
mod simple;
#[cfg(test)]
mod slope_checks;
mod spinning;
mod stock;
mod tops;
#[cfg(test)]
mod track_checks;
mod tread;
#[cfg(test)]
mod vehicle_checks;
#[cfg(test)]
mod wedge_checks;
mod world;

pub(crate) use machine::Machine;
pub(crate) use relief::Relief;
pub(crate) use stock::{Pose, Touch, WheelState};
pub(crate) use world::World;
