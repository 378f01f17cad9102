//! Printing: answers to stdout, trouble and progress to stderr.

use std::io::{IsTerminal, Write};
use std::process::ExitCode;

use report::{DEFAULT_WIDTH, Layout, Trouble};

/// Layout for stdout: as wide as the terminal, colours only on one that wants them.
pub(crate) fn layout() -> Layout {
    let terminal = std::io::stdout().is_terminal();
    Layout {
        width: width(terminal),
        colour: terminal && std::env::var_os("NO_COLOR").is_none(),
        program: program(),
    }
}

/// How the user calls the program: through cargo in a clone, else by its name.
fn program() -> &'static str {
    match (std::env::var_os("CARGO"), cfg!(debug_assertions)) {
        (Some(_), false) => "cargo run --release --",
        (Some(_), true) => "cargo run --",
        (None, _) => report::PROGRAM,
    }
}

fn width(terminal: bool) -> usize {
    if !terminal {
        return DEFAULT_WIDTH;
    }
    terminal_size::terminal_size().map_or(DEFAULT_WIDTH, |(w, _)| usize::from(w.0))
}

/// Prints an answer. A reader that went away (a pager that was closed) is no error of ours.
pub(crate) fn answer(text: &str) {
    let mut out = std::io::stdout().lock();
    let _ = out.write_all(text.as_bytes());
    let _ = out.flush();
}

/// Prints a remark to stderr.
pub(crate) fn remark(text: &str) {
    let mut out = std::io::stderr().lock();
    let _ = writeln!(out, "{}", text.trim_end());
}

/// Prints trouble and gives its exit status.
pub(crate) fn trouble(trouble: &Trouble) -> ExitCode {
    let terminal = std::io::stderr().is_terminal();
    let layout = Layout {
        colour: terminal && std::env::var_os("NO_COLOR").is_none(),
        ..layout()
    };
    remark(&report::trouble(trouble, layout));
    ExitCode::from(2)
}
