//! A bout in which a process of the user's own decides for the robot.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use quantity::Time;
use runner::drive::{About, Ended, Failure, LONGEST_LINE, NotLaunched, Own, PROTOCOL, What};
use serde::Serialize;

use crate::setting::{Trouble, quoted};
use crate::text::{Ink, Sheet};

/// Least and longest time for an answer in s.
const LIMITS_S: [f64; 2] = [0.001, 60.0];

/// The process that is to drive.
#[derive(Debug, Clone)]
pub struct Drive {
    /// What starts it, as a line for a shell.
    command: String,
    limit_ms: u64,
    stop: Arc<AtomicBool>,
}

impl Drive {
    /// `command` with `limit` for each answer, such as `200 ms`. Once `stop` is set the bout is broken off.
    ///
    /// # Errors
    /// When `limit` is no time or out of any sense.
    pub fn asked(command: &str, limit: &str, stop: Arc<AtomicBool>) -> Result<Self, Trouble> {
        let wrong = |what: &str, expected: &str| {
            Trouble::Call(format!("--drive-limit: {what}; expected {expected}."))
        };
        let range = "a time from 1 ms to 60 s, such as \"200 ms\"";
        let read = quantity::parse::<Time>(limit).map_err(|e| wrong(&e.what, range))?;
        let [least, most] = LIMITS_S;
        if read.unsure > 0.0 || read.varies > 0.0 || !(least..=most).contains(&read.si) {
            return Err(wrong(&format!("\"{limit}\" cannot be one"), range));
        }
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "checked against the range above"
        )]
        let limit_ms = (read.si * 1000.0).round() as u64;
        Ok(Self {
            command: command.to_owned(),
            limit_ms,
            stop,
        })
    }

    /// Starts it.
    pub(crate) fn launch(&self, about: About) -> Result<Own, Trouble> {
        let stop = Arc::clone(&self.stop);
        Own::launch(&self.command, self.limit_ms, about, stop).map_err(|e| {
            let command = quoted(&self.command);
            Trouble::Call(match e {
                NotLaunched::Unclear => format!(
                    "--drive {command}: a quotation mark is not closed. The command is split into words \
                     as a shell does, but no shell runs it."
                ),
                NotLaunched::Empty => "--drive: there is no command in it.".into(),
                NotLaunched::Refused(program, why) => format!(
                    "--drive {command}: \"{program}\" cannot be started: {why}. No shell runs it: a program \
                     in this folder is written ./NAME, and what needs a shell sh -c '…'."
                ),
            })
        })
    }

    /// The options that mean the same again.
    pub(crate) fn options(&self) -> String {
        format!(
            " --drive {} --drive-limit {}ms",
            quoted(&self.command),
            self.limit_ms
        )
    }

    /// What is to be said of it after the bout.
    pub(crate) fn told(&self, ended: Ended) -> Driven {
        Driven {
            protocol: PROTOCOL.into(),
            command: self.command.clone(),
            limit_ms: self.limit_ms,
            stopped: ended.failure.as_ref().map(|f| &f.what) == Some(&What::Stopped),
            failure: ended.failure.map(DriveFailure::of),
            last_words: ended.last_words,
        }
    }
}

/// Who drove in place of the robot's program.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Driven {
    /// Version of the lines that were exchanged: `ringwright/drive/1`.
    pub protocol: String,
    /// The command that was run.
    pub command: String,
    /// Time it had for each answer in ms.
    pub limit_ms: u64,
    /// How it failed; left out if it did not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub failure: Option<DriveFailure>,
    /// The last lines it wrote to its standard error.
    pub last_words: Vec<String>,
    #[serde(skip)]
    #[schemars(skip)]
    pub(crate) stopped: bool,
}

/// How it failed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct DriveFailure {
    /// What, by its stable name: late, ended, closed, wrong-answer, endless-line, unasked, unreadable or
    /// stopped.
    pub what: String,
    /// The same in words.
    pub words: String,
    /// The look that was not answered, the first is 1; 0: it never got ready.
    pub look: u64,
    /// Time of that look in ms from the first one since the last start.
    pub at_ms: u32,
    /// The line that was no answer, shortened; left out if there was none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<String>,
    /// Everything wrong with that line.
    pub complaints: Vec<String>,
}

impl DriveFailure {
    fn of(failure: Failure) -> Self {
        let mut line = None;
        let mut complaints = Vec::new();
        let (what, words) = match failure.what {
            What::Late(ms) => ("late", format!("did not answer within {ms} ms")),
            What::Ended(how) => ("ended", format!("ended {how}")),
            What::Closed => ("closed", "closed its standard output".into()),
            What::Wrong {
                line: written,
                complaints: all,
            } => {
                line = Some(written);
                complaints = all;
                ("wrong-answer", "wrote a line that is no answer".into())
            }
            What::Endless => {
                let kb = LONGEST_LINE / 1024;
                let words = format!("wrote more than {kb} kB without the end of a line");
                ("endless-line", words)
            }
            What::Unasked(written) => {
                line = Some(written);
                ("unasked", "wrote a line before it was asked".into())
            }
            What::Unreadable(why) => ("unreadable", format!("could not be read any more: {why}")),
            What::Stopped => ("stopped", "was stopped by the user".into()),
        };
        Self {
            what: what.into(),
            words,
            look: failure.answered.map_or(0, |n| n + 1),
            at_ms: failure.ms,
            line,
            complaints,
        }
    }

    /// When it was.
    fn moment(&self) -> String {
        if self.look == 0 {
            "before it was ready".into()
        } else {
            format!("at look {} ({} ms)", self.look, self.at_ms)
        }
    }
}

impl Driven {
    /// The end of the bout in a sentence, if it failed. `name` is the robot's.
    pub(crate) fn ends(&self, name: &str) -> Option<String> {
        let failure = self.failure.as_ref()?;
        Some(format!(
            "The program that drove {name} {} {}. {name} stood without orders, and the bout counts for nobody.",
            failure.words,
            failure.moment()
        ))
    }

    /// What it wrote that was no answer, and its last words.
    pub(crate) fn write(&self, s: &mut Sheet) {
        if let Some(failure) = &self.failure {
            if let Some(line) = &failure.line {
                s.paragraph(&format!("The line: {line}"));
            }
            for complaint in &failure.complaints {
                s.point("-", complaint);
            }
        }
        if self.last_words.is_empty() {
            return;
        }
        s.heading("What the program wrote to its standard error, last");
        s.verbatim(&self.last_words.join("\n"));
    }

    /// Who drove, as small print.
    pub(crate) fn by(&self, name: &str, s: &mut Sheet) {
        s.small(&format!("{name} driven by: {}", self.command));
    }

    /// How the end is to be shown.
    pub(crate) fn ink(&self) -> Ink {
        if self.failure.is_some() {
            Ink::Bad
        } else {
            Ink::Strong
        }
    }
}
