//! How fast whole bouts are fought, sensing, programs and judging included.
//!
//! `cargo bench -p runner` prints divan's table, where an item is a simulated millisecond (so
//! "Kitem/s" reads as simulated seconds per second), and then simulated seconds per second of
//! processor time, which a busy machine disturbs less. Simulated time counts from the first
//! permitted motion.

#![allow(clippy::print_stdout, reason = "a benchmark prints what it measured")]

use std::sync::atomic::AtomicBool;
use std::time::Instant;

use cpu_time::{ProcessTime, ThreadTime};
use divan::Bencher;
use divan::counter::ItemsCount;
use robot::{PartsBox, Robot};
use rules::Classes;
use runner::Runner;
use study::{Entrant, Fought, Pit, Task};

/// Opponents of the demo robot.
const MINI: [&str; 6] = [
    "mini/anvil",
    "mini/badger",
    "mini/bumble",
    "mini/lapwing",
    "mini/magpie",
    "mini/whirligig",
];
/// Bouts of one timed run: sides alternate, so an even number.
const BOUTS: u32 = 24;
/// Runs of which the best counts.
const RUNS: usize = 7;
/// Bouts of one timed run on several threads.
const MANY: u32 = 600;

fn main() {
    divan::main();
    // Run as a test the benchmarks are only to work.
    if std::env::args().any(|a| a == "--bench") {
        table();
    }
}

fn entrant(robot: &Robot) -> Entrant {
    Entrant::of_robot(robot).unwrap_or_else(|e| panic!("{e:#?}"))
}

/// `ours` against one opponent in `class`.
fn pit(class: &str, ours: &str, theirs: &str) -> Pit {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let class = classes.find(class).unwrap_or_else(|e| panic!("{e:?}"));
    let load =
        |name: &str| entrant(&store::load_robot(name, &parts).unwrap_or_else(|e| panic!("{e:#?}")));
    Pit {
        arena: bout::Arena::of(class),
        seed: 1,
        ours: vec![load(ours)],
        field: vec![load(theirs)],
    }
}

fn tasks(bouts: u32) -> Vec<Task> {
    study::plan(0, 1, bouts)
}

fn simulated_s<'a>(fought: impl IntoIterator<Item = &'a Fought>) -> f64 {
    fought.into_iter().map(|f| f64::from(f.time_s)).sum()
}

fn fight_all(pit: &Pit, bouts: u32) -> Vec<Fought> {
    tasks(bouts).into_iter().map(|t| pit.fight(t)).collect()
}

fn bench(bencher: Bencher<'_, '_>, pit: &Pit) {
    let milliseconds = (1e3 * simulated_s(&fight_all(pit, BOUTS))).round();
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "some ten thousand"
    )]
    let items = ItemsCount::new(milliseconds as u64);
    bencher.counter(items).bench_local(|| fight_all(pit, BOUTS));
}

/// The demo robot against each opponent of its class.
#[divan::bench(args = MINI, sample_count = 5, sample_size = 1)]
fn mini(bencher: Bencher<'_, '_>, theirs: &str) {
    bench(bencher, &pit("mini", "demo", theirs));
}

/// Two robots of the heavy class.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn mega(bencher: Bencher<'_, '_>) {
    bench(bencher, &pit("mega", "mega/mastiff", "mega/otter"));
}

/// Best simulated seconds per second of processor time.
fn per_cpu_second(pit: &Pit) -> f64 {
    let mut best: f64 = 0.0;
    for _ in 0..RUNS {
        let start = ThreadTime::now();
        let simulated = simulated_s(&fight_all(pit, BOUTS));
        best = best.max(simulated / start.elapsed().as_secs_f64());
    }
    best
}

/// Simulated seconds per second, the best of several runs.
#[derive(Clone, Copy, Default)]
struct Speed {
    by_the_clock: f64,
    per_cpu: f64,
}

/// Speeds of `runners`, measured in turns so that what else the machine does meets all alike.
fn speeds<const N: usize>(pit: &Pit, runners: [&Runner; N]) -> [Speed; N] {
    let tasks = tasks(MANY);
    let mut best = [Speed::default(); N];
    for _ in 0..RUNS {
        for (best, runner) in best.iter_mut().zip(runners) {
            #[allow(clippy::disallowed_methods, reason = "a benchmark has a clock")]
            let (clock, cpu) = (Instant::now(), ProcessTime::now());
            let fight = |t| pit.fight(t);
            let fought = runner.run(&tasks, &fight, &|_, _| {}, &AtomicBool::new(false));
            let (clock, cpu) = (clock.elapsed(), cpu.elapsed());
            let simulated = simulated_s(fought.iter().flatten());
            best.by_the_clock = best.by_the_clock.max(simulated / clock.as_secs_f64());
            best.per_cpu = best.per_cpu.max(simulated / cpu.as_secs_f64());
        }
    }
    best
}

fn table() {
    println!(
        "Simulated seconds per second of processor time, best of {RUNS} runs of {BOUTS} bouts"
    );
    let mut lowest = f64::INFINITY;
    for theirs in MINI {
        let speed = per_cpu_second(&pit("mini", "demo", theirs));
        lowest = lowest.min(speed);
        println!("  demo against {theirs:20} {speed:6.0}");
    }
    println!("  lowest of these {:17} {lowest:6.0}", "");
    let speed = per_cpu_second(&pit("mega", "mega/mastiff", "mega/otter"));
    println!("  mega/mastiff against mega/otter    {speed:6.0}");
    let runner = |n| Runner::new(Some(n)).expect("threads start");
    let (one, two) = (runner(1), runner(2));
    let [one, two] = speeds(&pit("mini", "demo", MINI[0]), [&one, &two]);
    println!(
        "On two threads, best of {RUNS} runs of {MANY} bouts against {}",
        MINI[0]
    );
    let ratio = two.by_the_clock / one.by_the_clock;
    println!(
        "  by the clock {:.0} instead of {:.0}: {ratio:.2} times",
        two.by_the_clock, one.by_the_clock
    );
    // Without cores of its own a second thread cannot show by the clock what it is worth.
    let idle = 2.0 * two.per_cpu / one.per_cpu;
    println!(
        "  per second of processor time {:.0} instead of {:.0}: {idle:.2} times on two idle cores",
        two.per_cpu, one.per_cpu
    );
}
