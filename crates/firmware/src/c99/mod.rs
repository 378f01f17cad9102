//! The tactic as plain C99: one header, one file, nothing but `stdint.h` and `stdbool.h`.
//!
//! The file does the same as [`tactic::Program::tick`], in the same order, with each state and reflex
//! as functions of its own, so that a builder can read what the robot decides. Operations are those of
//! `whole.h`, which have one meaning whatever the width of an `int`.

mod blocks;
mod frame;

use tactic::program::{Code, Program};
use tactic::{Ports, Turn};

use crate::expression::{Dialect, Said, constant, said};
use crate::file::File;
use crate::names::named;
use crate::page::Page;

const C: Dialect = Dialect {
    and: " && ",
    or: " || ",
    not: "!",
    reading: ["in[", "]"],
    counter: ["m.counter[", "]"],
    own: "",
    keep: ["const bool ", ";"],
    least: "INT16_MIN",
};

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

/// Names of everything in the written program.
struct Words {
    inputs: Vec<String>,
    gadgets: Vec<String>,
    states: Vec<String>,
    reflexes: Vec<String>,
    openings: Vec<String>,
}

impl Words {
    fn of(program: &Program, ports: &Ports) -> Self {
        Self {
            inputs: named("in", ports.inputs.iter().map(|p| p.name.as_str())),
            gadgets: named("gadget", ports.gadgets.iter().map(|g| g.name.as_str())),
            states: named("state", program.states.iter().map(|s| s.name.as_str())),
            reflexes: named("reflex", program.reflexes.iter().map(|r| r.name.as_str())),
            openings: named("opening", program.openings.iter().map(|o| o.name.as_str())),
        }
    }
}

/// Writes the functions of states and reflexes.
struct Writer<'p> {
    program: &'p Program,
    words: &'p Words,
    page: Page,
    /// Throws of the die so far in the function at hand.
    thrown: usize,
}

impl Writer<'_> {
    fn said(&mut self, code: Code) -> Said {
        said(self.program, code, &C, &self.words.inputs, &mut self.thrown)
    }

    /// A value without a throw of the die in it: values have none.
    fn value(&mut self, code: Code) -> String {
        self.said(code).value
    }

    fn effort(&mut self, code: Code) -> String {
        match constant(self.program, code) {
            Some(v) => v.clamp(-1000, 1000).to_string(),
            None => format!("effort({})", self.value(code)),
        }
    }

    fn time(&mut self, code: Code) -> String {
        match constant(self.program, code) {
            Some(v) => v.max(0).to_string(),
            None => format!("ms({})", self.value(code)),
        }
    }

    /// `if (condition) {`, what `then` writes, `}`; the throws of the die before it.
    fn when(&mut self, code: Code, then: impl FnOnce(&mut Self)) {
        let said = self.said(code);
        self.page.lines(&said.before);
        self.block(format!("if ({}) {{", said.value), "}", then);
    }

    fn block(&mut self, line: impl AsRef<str>, end: &str, inner: impl FnOnce(&mut Self)) {
        let mut page = core::mem::take(&mut self.page);
        page.block(line, end, |page| {
            core::mem::swap(&mut self.page, page);
            inner(self);
            core::mem::swap(&mut self.page, page);
        });
        self.page = page;
    }

    /// A function with an empty line behind it.
    fn function(&mut self, head: &str, inner: impl FnOnce(&mut Self)) {
        self.thrown = 0;
        self.page.line(head);
        self.block("{", "}", inner);
        self.page.line("");
    }
}

/// Whether it turns to the left, as an expression.
fn to_left(turn: Turn) -> &'static str {
    match turn {
        Turn::Left => "true",
        Turn::Right => "false",
        Turn::Seen => "m.seen_left",
        Turn::Unseen => "!m.seen_left",
        Turn::Chosen => "m.chosen_left",
        Turn::Unchosen => "!m.chosen_left",
    }
}
