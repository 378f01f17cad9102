//! Running a study: threads, progress, Ctrl-C, the time it took.

use std::io::IsTerminal;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

use cpu_time::ProcessTime;
use indicatif::{ProgressBar, ProgressStyle};
use report::{Timing, Trouble, Work};
use runner::Runner;

use crate::call::StudyArgs;

/// What a study came to besides its answer.
pub(crate) struct Done<T> {
    pub(crate) answer: T,
    wall_s: f64,
    cpu_s: f64,
    pub(crate) stopped: bool,
}

impl<T> Done<T> {
    /// Time used, if the call asks for it.
    pub(crate) fn timing(&self, args: &StudyArgs, simulated_s: f64) -> Option<Timing> {
        args.timing.then_some(Timing {
            wall_s: self.wall_s,
            cpu_s: self.cpu_s,
            simulated_s,
        })
    }
}

/// Runs `study` with the call's threads. Ctrl-C lets the bouts under way end and the answer be
/// partial; a second one ends the program at once.
pub(crate) fn run<T>(
    args: &StudyArgs,
    quiet: bool,
    study: impl FnOnce(&Work<'_>) -> Result<T, Trouble>,
) -> Result<Done<T>, Trouble> {
    let runner = Runner::new(args.threads.map(usize::from))
        .map_err(|e| Trouble::Call(format!("The threads could not be started: {e}.")))?;
    let stop = asked_to_stop("end the program without an answer");
    let bar = bar(quiet);
    let progress = |stage: &str, done: usize, all: usize| {
        // Far more bouts end in a second than a terminal can show.
        if done.is_multiple_of(8) || done == all {
            bar.set_length(u64::try_from(all).unwrap_or(0));
            bar.set_position(u64::try_from(done).unwrap_or(0));
            bar.set_message(stage.to_owned());
        }
    };
    #[allow(
        clippy::disallowed_methods,
        reason = "the command line tells how long it took"
    )]
    let (wall, cpu) = (Instant::now(), ProcessTime::now());
    let answer = study(&Work {
        runner: &runner,
        progress: &progress,
        stop: &stop,
    });
    bar.finish_and_clear();
    Ok(Done {
        answer: answer?,
        wall_s: wall.elapsed().as_secs_f64(),
        cpu_s: cpu.elapsed().as_secs_f64(),
        stopped: stop.load(Ordering::Relaxed),
    })
}

/// Set once the user asks to stop with Ctrl-C; a second time ends the program at once. Where it cannot
/// be heard, the user is told what it will do `otherwise`.
pub(crate) fn asked_to_stop(otherwise: &str) -> Arc<AtomicBool> {
    let stop = Arc::new(AtomicBool::new(false));
    let asked = stop.clone();
    let handler = ctrlc::set_handler(move || {
        if asked.swap(true, Ordering::Relaxed) {
            #[allow(clippy::exit, reason = "the user asked twice")]
            std::process::exit(130);
        }
    });
    if let Err(e) = handler {
        crate::screen::remark(&format!("Ctrl-C will {otherwise}: {e}."));
    }
    stop
}

fn bar(quiet: bool) -> ProgressBar {
    if quiet || !std::io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(0);
    if let Ok(style) = ProgressStyle::with_template("{msg:>18} {bar:32} {pos}/{len} bouts {eta}") {
        bar.set_style(style);
    }
    bar
}
