//! The reference scene in this solver, in MuJoCo and in Rapier, side by side.

mod bouts;
mod cases;
mod cost;
mod mujoco;
mod ours;
mod pairings;
mod rapier;
mod setup;
mod table;
mod wild;

use std::path::{Path, PathBuf};
use std::process::Command;

use cases::Accuracy;
use setup::{Sample, Setup};
use table::{Row, Table};

pub use ours::scramble;

/// Something that can run the scene.
trait Engine {
    /// Its name and version.
    fn name(&self) -> String;

    /// What of it was set, in words.
    fn settings(&self) -> String;

    /// Settles, gives all motors full effort, and notes the state every `every_s` seconds, from
    /// the start on.
    ///
    /// # Errors
    /// What went wrong, in words.
    fn trace(&self, setup: &Setup, seconds: f64, every_s: f64) -> Result<Vec<Sample>, String>;

    /// A command that runs the script `passes` times from the start and prints the processor
    /// seconds of each pass.
    ///
    /// # Errors
    /// What went wrong, in words.
    fn scramble(&self, passes: u32) -> Result<Command, String>;
}

/// What is asked for.
#[derive(Debug, Clone, Copy, Default)]
pub struct Wanted {
    /// Only the cost of the scramble, and only against MuJoCo's lean setting.
    pub quick: bool,
    /// Only the eight pairings.
    pub pairings: bool,
    /// Put the table into `engines/table.md`.
    pub write: bool,
}

/// The folder with what the engines are given.
fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("engines")
}

/// The script of the scramble: a row for every 10 ms with the efforts of the left and right side
/// of the first robot, then of the second.
fn script() -> PathBuf {
    folder().join("script.csv")
}

/// How busy the machine is, in words: timings suffer where others use it.
fn load() -> String {
    let average = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    let average: Vec<&str> = average.split(' ').take(3).collect();
    let cores = std::thread::available_parallelism().map_or(0, usize::from);
    format!(
        "Load average of the machine over 1, 5 and 15 minutes: {}; {cores} cores.",
        average.join(", ")
    )
}

/// What a program printed.
fn output(command: &mut Command) -> Result<String, String> {
    let program = command.get_program().to_string_lossy().into_owned();
    let done = command
        .output()
        .map_err(|e| format!("{program} does not start: {e}"))?;
    if done.status.success() {
        Ok(String::from_utf8_lossy(&done.stdout).into_owned())
    } else {
        let said = String::from_utf8_lossy(&done.stderr);
        Err(format!("{program} failed: {}", said.trim()))
    }
}

/// The eight pairings in all engines, as a section; all settings of MuJoCo and Rapier have to have the order
/// of ours.
fn paired(engines: &[Box<dyn Engine>], table: &mut Table) -> String {
    let mut found = Vec::new();
    for e in engines {
        let name = [e.name(), e.settings()];
        eprintln!("{}, {}: eight pairings", name[0], name[1]);
        if let Some(pushed) = table.caught(pairings::measure(e.as_ref())) {
            found.push((name, pushed));
        }
    }
    let engines = ["MuJoCo", "Rapier"];
    let there = |name: &&str| found.iter().any(|f| f.0[0].starts_with(name));
    let swaps = found.iter().map(|f| pairings::swapped(&found[0].1, &f.1));
    let swaps = engines.iter().all(there).then(|| swaps.sum::<usize>());
    table.mark([table::Mark::most(
        "Eight pairings, neighbours in another order",
        "",
        swaps.map(|n| n as f64),
        0.0,
        None,
    )]);
    pairings::section(&found)
}

/// Runs all engines, prints the table, and says whether every target is met.
///
/// # Errors
/// When the table cannot be written.
pub fn run(wanted: Wanted) -> Result<bool, String> {
    let scratch = std::env::temp_dir().join(format!("engines-{}", std::process::id()));
    std::fs::create_dir_all(&scratch).map_err(|e| format!("{}: {e}", scratch.display()))?;
    let mut table = Table::default();
    let mut engines: Vec<Box<dyn Engine>> = vec![Box::new(ours::Ours)];
    match mujoco::Program::build(&scratch) {
        Ok(program) => engines.extend(
            mujoco::SETTINGS
                .iter()
                .map(|s| Box::new(program.with(*s)) as Box<dyn Engine>),
        ),
        Err(e) => table.absent(e),
    }
    if !wanted.quick {
        match rapier::Program::build(&scratch) {
            Ok(program) => engines.extend(
                rapier::SETTINGS
                    .iter()
                    .map(|s| Box::new(program.with(*s)) as Box<dyn Engine>),
            ),
            Err(e) => table.absent(e),
        }
    }
    if wanted.quick {
        engines.truncate(2);
    }
    if !wanted.quick {
        table.pairings = paired(&engines, &mut table);
    }
    if wanted.pairings {
        let _ = std::fs::remove_dir_all(&scratch);
        println!("{}", table.pairings);
        if wanted.write {
            let path = folder().join("table.md");
            let wrong = |e: std::io::Error| format!("{}: {e}", path.display());
            let whole = std::fs::read_to_string(&path).map_err(wrong)?;
            let before = whole.split(pairings::HEADING).next().unwrap_or_default();
            std::fs::write(&path, before.to_owned() + &table.pairings).map_err(wrong)?;
        }
        return Ok(table.all_met());
    }
    let accuracy: Vec<Result<Accuracy, String>> = engines
        .iter()
        .map(|e| {
            eprintln!("{}, {}: cases A to C", e.name(), e.settings());
            cases::measure(e.as_ref())
        })
        .collect();
    eprintln!("case D, the cost of the scramble");
    let costs = cost::measure(&engines, &mut table);
    for ((engine, accuracy), cost) in engines.iter().zip(accuracy).zip(costs) {
        let accuracy = table.caught(accuracy);
        table.rows.push(Row {
            name: engine.name(),
            settings: engine.settings(),
            accuracy,
            cost,
        });
    }
    table.mark_scene();
    if !wanted.quick {
        eprintln!("whole bouts");
        let bouts = table.caught(bouts::measure());
        if let Some(b) = &bouts {
            table.mark(b.marks());
            table.notes.push(b.words());
        }
        eprintln!("wild bouts");
        let wild = wild::measure();
        table.mark(wild.marks());
        table.notes.push(wild.words());
    }
    let _ = std::fs::remove_dir_all(&scratch);
    let text = table.text();
    println!("{text}");
    if wanted.write {
        let path = folder().join("table.md");
        std::fs::write(&path, text).map_err(|e| format!("{}: {e}", path.display()))?;
    }
    Ok(table.all_met())
}
