//! Whole bouts: how much is simulated in a second of processor time, and what a second thread adds.

use std::collections::BTreeMap;
use std::sync::Mutex;
use std::sync::atomic::AtomicBool;
use std::time::Instant;

use cpu_time::{ProcessTime, ThreadTime};
use runner::Runner;
use study::{Pit, Task, plan};

use super::table::Mark;
use crate::{field, pit};

/// Bouts of every pairing of the mini field on one core.
const PER_PAIRING: u32 = 6;
/// Repeats of the timing on one core.
const REPEATS: usize = 5;
/// Bouts on one and on two threads.
const SHARED: u32 = 1500;
/// Others may take this share of the machine while the clock on the wall is still believed.
const QUIET: f64 = 0.03;

/// What whole bouts came to.
#[derive(Debug, Clone)]
pub(super) struct Bouts {
    bouts: usize,
    /// Simulated seconds in each second of processor time: the median and the best repeat.
    median: f64,
    best: f64,
    /// Speed of two threads over one: by the clock on the wall, and by the processor time of the
    /// busier thread.
    wall: f64,
    processor: f64,
    /// Share of the machine that others took meanwhile, where it can be told.
    others: Option<f64>,
}

/// Busy time of the whole machine so far in s; Linux counts in hundredths.
fn machine_s() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/stat").ok()?;
    let numbers = text.lines().next()?.split_whitespace().skip(1);
    let counts: Vec<f64> = numbers.filter_map(|n| n.parse().ok()).collect();
    // User, nice, system; then idle and waiting; then interrupts and what the host took.
    let busy = counts
        .iter()
        .enumerate()
        .filter(|(k, _)| ![3, 4, 8, 9].contains(k));
    Some(busy.map(|(_, n)| n).sum::<f64>() / 100.0)
}

/// One run of all tasks on `threads`: wall time, processor time of the busiest thread, and share
/// of the machine that others took.
fn on(threads: usize, pit: &Pit, tasks: &[Task]) -> Result<(f64, f64, Option<f64>), String> {
    let runner = Runner::new(Some(threads)).map_err(|e| e.to_string())?;
    let busy: Mutex<BTreeMap<String, f64>> = Mutex::new(BTreeMap::new());
    let fight = |task: Task| {
        let start = ThreadTime::now();
        let fought = pit.fight(task);
        let used = start.elapsed().as_secs_f64();
        let thread = format!("{:?}", std::thread::current().id());
        *busy.lock().expect("no panic").entry(thread).or_default() += used;
        fought
    };
    #[allow(
        clippy::disallowed_methods,
        reason = "this measures how long bouts take; no bout sees the clock"
    )]
    let (start, own, machine) = (Instant::now(), ProcessTime::now(), machine_s());
    runner.run(tasks, &fight, &|_, _| {}, &AtomicBool::new(false));
    let wall = start.elapsed().as_secs_f64();
    let own = own.elapsed().as_secs_f64();
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let others = machine_s()
        .zip(machine)
        .map(|(after, before)| ((after - before - own) / (wall * cores as f64)).max(0.0));
    let busiest = busy.into_inner().expect("no panic");
    let busiest = busiest.into_values().fold(0.0, f64::max);
    Ok((wall, busiest, others))
}

/// Fights the mini field against itself.
///
/// # Errors
/// When no threads can be started.
pub(super) fn measure() -> Result<Bouts, String> {
    let robots = field("mini");
    let pits: Vec<Pit> = robots.iter().map(|r| pit("mini", 91, r, &robots)).collect();
    let total = PER_PAIRING * u32::try_from(robots.len()).unwrap_or(1);
    let tasks = plan(0, robots.len(), total);
    let mut rates = Vec::new();
    for _ in 0..REPEATS {
        let start = ThreadTime::now();
        let simulated: f64 = pits
            .iter()
            .flat_map(|p| tasks.iter().map(|t| f64::from(p.fight(*t).time_s)))
            .sum();
        rates.push(simulated / start.elapsed().as_secs_f64());
    }
    rates.sort_by(f64::total_cmp);
    let shared = plan(0, robots.len(), SHARED);
    let (wall_one, busy_one, others_one) = on(1, &pits[0], &shared)?;
    let (wall_two, busy_two, others_two) = on(2, &pits[0], &shared)?;
    Ok(Bouts {
        bouts: tasks.len() * pits.len(),
        median: rates[REPEATS / 2],
        best: rates[REPEATS - 1],
        wall: wall_one / wall_two,
        processor: busy_one / busy_two,
        others: others_one.zip(others_two).map(|(a, b)| a.max(b)),
    })
}

impl Bouts {
    fn quiet(&self) -> bool {
        self.others.is_some_and(|o| o < QUIET)
    }

    /// Its figures and where they should be.
    pub(super) fn marks(&self) -> [Mark; 2] {
        let threads = if self.quiet() {
            self.wall
        } else {
            self.processor
        };
        let unit = "simulated s per processor s";
        [
            Mark::least(
                "Whole bouts, one core",
                unit,
                Some(self.median),
                300.0,
                Some(500.0),
            ),
            Mark::least("Two threads over one", "", Some(threads), 1.9, None),
        ]
    }

    /// In words.
    pub(super) fn words(&self) -> String {
        let others = self.others.map_or_else(
            || "an unknown share".into(),
            |o| format!("{:.0} %", 100.0 * o),
        );
        let counts = if self.quiet() {
            "the clock on the wall counts"
        } else {
            "the machine was not quiet, so the processor time counts"
        };
        format!(
            "{} whole bouts of the mini field against itself, with sensing, tactic and judging, \
             from the first permitted motion: median {:.0}, best {:.0} simulated s per second of \
             processor time of one core. Two threads over one, {SHARED} bouts: {:.2} by the clock on \
             the wall, {:.2} by the processor time of the busier thread. Others took {others} of \
             the machine meanwhile: {counts}.",
            self.bouts, self.median, self.best, self.wall, self.processor
        )
    }
}
