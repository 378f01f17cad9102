//! Facts of the trade as whole bouts of robots that differ in one thing.
//!
//! All sayings here are common practice, no source. Each test fights at a fixed seed and believes a
//! difference only when its 99 % interval leaves out nothing at all; measured figures stand beside
//! the assertions. Where the model does not agree with a saying, the comment says which is wrong;
//! `docs/bout.md` gathers what came of it.

#![allow(clippy::print_stdout, reason = "figures to look at when a test fails")]

mod blade;
mod pushing;
mod sensing;
mod under;
mod weight;
mod workshop;
