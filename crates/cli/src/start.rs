//! `start`: the six questions on a terminal, the answer, and the files.

use std::io::{BufRead, IsTerminal};
use std::path::Path;
use std::process::ExitCode;

use report::{Classes, QUESTIONS, StartNames, StyleFirst, Trouble, Wishes, json, quoted};

use crate::call::{Call, StudyArgs, WishArgs};
use crate::commands::{STOPPED, say};
use crate::{screen, study};

/// Stem of the files where none are written: commands are shown with it.
const STEM: &str = "my-robot";

/// What to write, and as what.
#[derive(Clone, Copy)]
pub(crate) struct Wanted<'a> {
    pub(crate) style: Option<&'a str>,
    pub(crate) name: Option<&'a str>,
    pub(crate) out: Option<&'a Path>,
}

/// Asks what the call leaves open, answers, and writes the files if the call names one.
pub(crate) fn run(
    call: &Call,
    wishes: &WishArgs,
    wanted: Wanted<'_>,
    args: &StudyArgs,
) -> Result<ExitCode, Trouble> {
    let home = call.home.as_deref();
    let (parts, classes) = report::library(home)?;
    // Whatever makes writing fail is told before anybody waits for bouts.
    let stem = wanted.out.map_or(Ok(STEM), stem)?;
    if let Some(out) = wanted.out {
        nothing_there(out)?;
    }
    let answers = answers(wishes.answers(), &classes)?;
    let wishes = Wishes::of(&answers, &classes)?;
    let names = StartNames {
        robot: wanted.name.unwrap_or(stem),
        stem,
    };
    let numbers = [args.seed, args.bouts.into()];
    let mut done = study::run(args, call.quiet, |work| {
        StyleFirst::of(&wishes, names, parts, home, numbers, work)
    })?;
    done.answer.timing = done.timing(args, done.answer.simulated_s());
    let answer = &done.answer;
    let files = answer.files(wanted.style)?;
    say(call, || json(answer), |l| answer.text(l));
    if let Some(out) = wanted.out {
        let [robot, program] = &files;
        let written = write(out, [robot, program])?;
        // JSON stays alone on stdout.
        if call.json {
            screen::remark(&written);
        } else {
            screen::answer(&format!("\n{written}"));
        }
    }
    Ok(ExitCode::from(if done.stopped { STOPPED } else { 0 }))
}

/// The answers of the call, and those of the person at the terminal to what it leaves open.
fn answers(given: [Option<String>; 6], classes: &Classes) -> Result<[String; 6], Trouble> {
    let open: Vec<&str> = (QUESTIONS.iter().zip(&given))
        .filter_map(|(q, a)| a.is_none().then_some(q.option))
        .collect();
    let somebody = std::io::stdin().is_terminal() && std::io::stderr().is_terminal();
    if !(open.is_empty() || somebody) {
        let told: Vec<String> = (QUESTIONS.iter())
            .filter(|q| open.contains(&q.option))
            .map(|q| format!("--{} is missing: {} ({}).", q.option, q.ask, q.answers))
            .collect();
        return Err(Trouble::Call(format!(
            "Nobody can be asked here, for this is no terminal.\n{}",
            told.join("\n")
        )));
    }
    let mut all = QUESTIONS.map(|_| String::new());
    for ((slot, given), question) in all.iter_mut().zip(given).zip(&QUESTIONS) {
        *slot = match given {
            Some(answer) => answer,
            None => ask(question, classes)?,
        };
    }
    Ok(all)
}

/// Asks one question until it is answered.
fn ask(question: &report::Question, classes: &Classes) -> Result<String, Trouble> {
    loop {
        screen::remark(&format!(
            "{}\n   {}; return for {}",
            question.ask, question.answers, question.usual
        ));
        let mut line = String::new();
        let read = std::io::stdin().lock().read_line(&mut line);
        if !matches!(read, Ok(n) if n > 0) {
            return Err(Trouble::Call("The questions were not answered.".into()));
        }
        let answer = line.trim();
        let answer = if answer.is_empty() {
            question.usual
        } else {
            answer
        };
        match question.check(answer, classes) {
            Ok(()) => return Ok(answer.to_owned()),
            Err(wrong) => screen::remark(&wrong),
        }
    }
}

/// Name of a file without its ending.
pub(crate) fn stem(out: &Path) -> Result<&str, Trouble> {
    out.file_stem()
        .and_then(|s| s.to_str())
        .ok_or_else(|| Trouble::Call(format!("\"{}\" is no name for a file.", out.display())))
}

/// Both or none: a robot file without its program would not read.
fn nothing_there(out: &Path) -> Result<(), Trouble> {
    let there = ["toml", "tactic"].map(|e| out.with_extension(e));
    match there.iter().find(|p| p.exists()) {
        Some(path) => Err(Trouble::Call(format!(
            "There is a file {} already; nothing was written.",
            path.display()
        ))),
        None => Ok(()),
    }
}

/// Writes robot file and program and says so.
pub(crate) fn write(out: &Path, texts: [&str; 2]) -> Result<String, Trouble> {
    nothing_there(out)?;
    let [robot, program] = ["toml", "tactic"].map(|e| out.with_extension(e));
    for (path, text) in [&robot, &program].iter().zip(texts) {
        store::write_new(path, text).map_err(store::LoadError::from)?;
    }
    Ok(format!(
        "Wrote {} and {}. Ask next:\n   {} report {}\n",
        robot.display(),
        program.display(),
        screen::layout().program,
        quoted(&robot.display().to_string())
    ))
}
