//! Compares the README's excerpts with what the program says, or rewrites them.
//!
//! `excerpts PROGRAM` compares; `excerpts PROGRAM --write` rewrites. Run through `.ci/excerpts`,
//! which builds the program first.

use std::process::{Command, ExitCode};

use house::excerpt::{EXCERPTS, Excerpt, cut, with};

/// Most lines shown of a difference.
const MOST_LINES: usize = 12;

fn excerpt(program: &str, what: &Excerpt) -> Result<String, String> {
    let call = format!("{program} {}", what.call.join(" "));
    let ran = Command::new(program)
        .args(what.call)
        .current_dir(house::root())
        .output()
        .map_err(|e| format!("{call}: {e}"))?;
    // 0 and 1 are answers (yes and no); anything else is a failure.
    if !matches!(ran.status.code(), Some(0 | 1)) {
        return Err(format!(
            "{call}: {}\n{}",
            ran.status,
            String::from_utf8_lossy(&ran.stderr)
        ));
    }
    let output = String::from_utf8(ran.stdout).map_err(|e| format!("{call}: {e}"))?;
    cut(&output, what.shown).map_err(|e| format!("{call}: {e}"))
}

fn difference(old: &str, new: &str) -> String {
    let lines = old
        .lines()
        .zip(new.lines())
        .filter(|(a, b)| a != b)
        .take(MOST_LINES);
    lines
        .map(|(a, b)| format!("  README   {a}\n  program  {b}\n"))
        .collect()
}

fn run(program: &str, write: bool) -> Result<String, String> {
    let old = house::read("README.md");
    let mut new = old.clone();
    for what in &EXCERPTS {
        new = with(&new, what.name, &excerpt(program, what)?)?;
    }
    if old == new {
        Ok("The README's excerpts are what the program says.".into())
    } else if write {
        std::fs::write(house::root().join("README.md"), &new)
            .map_err(|e| format!("README.md: {e}"))?;
        Ok("Rewrote the README's excerpts.".into())
    } else {
        let shown = difference(&old, &new);
        Err(format!(
            "The README's excerpts differ; .ci/excerpts --write rewrites them.\n{shown}"
        ))
    }
}

#[allow(clippy::print_stdout, clippy::print_stderr, reason = "it is a command")]
fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let (flags, programs): (Vec<&String>, Vec<&String>) =
        words.iter().partition(|w| w.starts_with("--"));
    let write = flags.iter().any(|f| *f == "--write");
    let [program] = programs[..] else {
        eprintln!("usage: excerpts PROGRAM [--write]");
        return ExitCode::from(2);
    };
    if flags.len() > usize::from(write) {
        eprintln!("usage: excerpts PROGRAM [--write]");
        return ExitCode::from(2);
    }
    match run(program, write) {
        Ok(said) => {
            println!("{said}");
            ExitCode::SUCCESS
        }
        Err(wrong) => {
            eprintln!("{wrong}");
            ExitCode::from(1)
        }
    }
}
