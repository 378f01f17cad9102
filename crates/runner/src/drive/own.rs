//! A process as the driver of a robot.

use std::cell::RefCell;
use std::io::{Read, Write};
use std::process::ExitStatus;
use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

use bout::{Beginning, Controller, Driver, End, Orders, Record, Seat};
use serde::Serialize;
use tactic::GADGETS;

use super::about::{About, line};
use super::answer;
use super::failure::{Failure, What};
use super::line::shown;
use super::link::Link;
use super::process::{NotLaunched, Process};

/// How long it may take to get ready.
const READY: Duration = Duration::from_secs(5);
/// How long it may go on after the end of the bout.
const FAREWELL: Duration = Duration::from_secs(1);
/// How long it is waited for its end once it has closed its output: long enough, also on a crowded machine, to
/// say how it ended.
const EXIT: Duration = Duration::from_secs(1);

/// A process that drives a robot through one bout.
#[derive(Debug)]
pub struct Own {
    talk: Rc<RefCell<Talk>>,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ended {
    /// How it failed, if it did.
    pub failure: Option<Failure>,
    /// The last lines of its standard error.
    pub last_words: Vec<String>,
}

/// The talk with the process.
#[derive(Debug)]
struct Talk {
    about: About,
    limit: Duration,
    link: Link,
    process: Option<Process>,
    /// Looks that were answered; none: it is not ready.
    answered: Option<u64>,
    failure: Option<Failure>,
}

/// The last line.
#[derive(Serialize)]
struct LastLine {
    end: &'static str,
    time_s: f64,
}

impl Own {
    /// Starts `command`, with the rights of whoever runs this program. `limit_ms` is the time for each
    /// answer. Once `stop` is set, the bout is abandoned.
    ///
    /// # Errors
    /// When it cannot be started.
    pub fn launch(
        command: &str,
        limit_ms: u64,
        about: About,
        stop: Arc<AtomicBool>,
    ) -> Result<Self, NotLaunched> {
        let (process, input, output) = Process::launch(command)?;
        let link = match (input, output) {
            (Some(input), Some(output)) => Link::over(input, output, stop),
            // Never seen: both were asked for.
            _ => Link::over(std::io::sink(), std::io::empty(), stop),
        };
        Ok(Self::new(about, limit_ms, link, Some(process)))
    }

    /// The same for something that reads `input` and writes `output` without being a process.
    #[must_use]
    pub fn over(
        input: impl Write + Send + 'static,
        output: impl Read + Send + 'static,
        limit_ms: u64,
        about: About,
    ) -> Self {
        let link = Link::over(input, output, Arc::new(AtomicBool::new(false)));
        Self::new(about, limit_ms, link, None)
    }

    fn new(about: About, limit_ms: u64, link: Link, process: Option<Process>) -> Self {
        let talk = Talk {
            about,
            limit: Duration::from_millis(limit_ms),
            link,
            process,
            answered: None,
            failure: None,
        };
        Self {
            talk: Rc::new(RefCell::new(talk)),
        }
    }

    /// Tells it how the bout that it drove from `seat` went, and ends it.
    #[must_use]
    pub fn ended(self, record: &Record, seat: Seat) -> Ended {
        let mut talk = self.talk.borrow_mut();
        if talk.failure.is_none() {
            talk.link.tell(line(&LastLine {
                end: how(record.outcome.end, seat),
                time_s: record.outcome.time_s,
            }));
        }
        talk.part();
        Ended {
            failure: talk.failure.clone(),
            last_words: (talk.process.as_ref()).map_or_else(Vec::new, Process::last_words),
        }
    }
}

/// How a bout went for a seat.
fn how(end: End, seat: Seat) -> &'static str {
    match end {
        End::Out { loser } | End::Ruled { loser } if loser == seat => "lost",
        End::Out { .. } | End::Ruled { .. } => "won",
        End::Tie => "tie",
        End::NotFinite | End::Abandoned { .. } => "failed",
    }
}

impl Driver for Own {
    fn start(&self, beginning: Beginning) -> Box<dyn Controller> {
        self.talk.borrow_mut().start(beginning);
        Box::new(Turn {
            talk: Rc::clone(&self.talk),
            gadgets: [0; GADGETS],
        })
    }
}

/// The process from one start to the next.
#[derive(Debug)]
struct Turn {
    talk: Rc<RefCell<Talk>>,
    /// Where the gadgets were sent last.
    gadgets: [i16; GADGETS],
}

impl Controller for Turn {
    fn run(&mut self, readings: &[i16], elapsed_ms: u32) -> Option<Orders> {
        let mut talk = self.talk.borrow_mut();
        let orders = talk.look(readings, elapsed_ms, self.gadgets)?;
        self.gadgets = orders.gadgets;
        Some(orders)
    }
}

impl Talk {
    fn start(&mut self, beginning: Beginning) {
        let Beginning { opening, dice } = beginning;
        if self.failure.is_some() {
            return;
        }
        if self.answered.is_some() {
            self.link.tell(self.about.again(opening, dice));
            return;
        }
        let ready = self
            .link
            .greet(self.about.first(opening, dice), READY)
            .and_then(|line| answer::ready(&line).map_err(|c| wrong(&line, c)));
        match ready {
            Ok(()) => self.answered = Some(0),
            Err(what) => self.fail(what, 0),
        }
    }

    fn look(&mut self, readings: &[i16], ms: u32, gadgets: [i16; GADGETS]) -> Option<Orders> {
        if self.failure.is_some() {
            return None;
        }
        let orders = self
            .link
            .ask(self.about.look(readings, ms), self.limit)
            .and_then(|line| {
                answer::orders(&line, self.about.ports(), gadgets).map_err(|c| wrong(&line, c))
            });
        match orders {
            Ok(orders) => {
                self.answered = self.answered.map(|n| n + 1);
                Some(orders)
            }
            Err(what) => {
                self.fail(what, ms);
                None
            }
        }
    }

    /// Notes a failure. Who answers no more may have ended.
    fn fail(&mut self, what: What, ms: u32) {
        let ended = match (&what, &mut self.process) {
            (What::Closed, Some(process)) => process.ends_within(EXIT),
            (What::Late(_), Some(process)) => process.ends_within(Duration::ZERO),
            _ => false,
        };
        let status = (self.process.as_mut())
            .filter(|_| ended)
            .and_then(Process::put_away);
        self.failure = Some(Failure {
            what: status.map_or(what, |s| What::Ended(words(s))),
            answered: self.answered,
            ms,
        });
    }

    /// Closes the pipe and sees to it that nobody is left; who has failed gets no time for it.
    fn part(&mut self) {
        self.link.close();
        if let Some(process) = &mut self.process {
            let mut left = if self.failure.is_some() {
                Duration::ZERO
            } else {
                FAREWELL
            };
            let slice = Duration::from_millis(5);
            while !left.is_zero() && !process.ends_within(Duration::ZERO) {
                // What it writes now is for nobody, but must not hold it up.
                if self.link.drain(slice) {
                    process.ends_within(slice);
                }
                left = left.saturating_sub(slice);
            }
            process.put_away();
        }
    }
}

fn wrong(line: &[u8], complaints: Vec<String>) -> What {
    What::Wrong {
        line: shown(line),
        complaints,
    }
}

/// How a process ended.
fn words(status: ExitStatus) -> String {
    match status.code() {
        Some(code) => format!("with exit status {code}"),
        None => format!("by {status}"),
    }
}
