//! The tactic as plain C99: one header, one file, nothing but `stdint.h` and `stdbool.h`.
//!
//! The file does the same as [`tactic::Program::tick`], in the same order, with each state and reflex
//! as functions of its own, so that a builder can read what the robot decides. Operations are those of
//! `whole.h`, which have one meaning whatever the width of an `int`.

mod frame;

use tactic::Ports;
use tactic::program::Program;

use crate::file::File;
use crate::words::Words;

/// The tactic as `tactic.h`, `tactic.c` and `whole.h`.
///
/// `tactic_start(opening, noise)` is [`Program::start`], `tactic_tick(in, now)` is [`Program::tick`] with
/// the readings in the order of the ports. The names of sensors become those of an enumeration
/// (`in_centre`).
#[must_use]
pub fn c99(program: &Program, ports: &Ports) -> Vec<File> {
    let words = Words::of(program, ports);
    vec![
        File::new("whole.h", include_str!("whole.h")),
        File::new("tactic.h", frame::header(program, &words)),
        File::new("tactic.c", frame::source(program, &words)),
    ]
}
