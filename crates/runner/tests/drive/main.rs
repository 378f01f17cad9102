//! A process of the user's own drives the robot.

mod bench;
mod document;
mod failing;
mod same;
