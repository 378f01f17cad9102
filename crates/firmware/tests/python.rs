//! A whole project in MicroPython, with made-up pins and a made-up clock, from reset to stop.

mod common;

use std::path::PathBuf;
use std::process::Command;

use common::projects::{board, built, can_build, class, classes, project};
use common::shipped::{self, Shipped};
use common::tool;
use firmware::{Kind, Project};
use rules::{Class, Start};

/// Keys as their numbers in ASCII.
const KEY_N: i32 = 110;
const KEY_R: i32 = 114;
const KEY_T: i32 = 116;

/// The project on an ESP32, and which of its pins is whose.
struct Bench {
    project: Project,
    folder: PathBuf,
    robot: Shipped,
    ports: Vec<(String, String)>,
}

impl Bench {
    fn of(class: &Class, name: &str) -> Self {
        let robot = shipped::robot("demo", |t| t);
        let board = board("esp32");
        let project = project(&robot, class, &board);
        let folder = built(name, &project);
        let ports = (project.wiring.iter())
            .map(|c| {
                let number = c.port.chars().filter(char::is_ascii_digit).collect();
                (format!("{} {}", c.item, c.signal), number)
            })
            .collect();
        Self {
            project,
            folder,
            robot,
            ports,
        }
    }

    /// Number of the pin of a line.
    fn pin(&self, line: &str) -> &str {
        let found = self.ports.iter().find(|(l, _)| l.starts_with(line));
        &found
            .unwrap_or_else(|| panic!("no {line}: {:?}", self.project.wiring))
            .1
    }

    /// What changes until `ms`: when, which pin, how many per mille; and what it says.
    fn runs(
        &self,
        cause: &str,
        ms: u32,
        told: &[(u32, &str, i32)],
    ) -> (Vec<(u32, String, i32)>, Vec<String>) {
        let mut command = Command::new("micropython");
        command
            .arg(tool::bench().join("hands.py"))
            .arg(&self.folder)
            .arg(cause)
            .arg(ms.to_string());
        for sensor in &self.robot.robot.sensors {
            let black = sensor.item.name.starts_with("edge");
            let level = if black { 60_000 } else { 1000 };
            command.arg(format!("0={}={level}", self.pin(&sensor.item.name)));
        }
        for (at, line, value) in told {
            let pin = if *line == "key" {
                "key"
            } else {
                self.pin(line)
            };
            command.arg(format!("{at}={pin}={value}"));
        }
        let text = tool::run(&mut command);
        let (mut changes, mut said) = (Vec::new(), Vec::new());
        for line in text.lines() {
            let parts: Vec<&str> = line.split(' ').collect();
            let parsed = match parts[..] {
                [at, what, share] => at
                    .parse()
                    .ok()
                    .zip(share.parse().ok())
                    .map(|(a, s)| (a, what.to_owned(), s)),
                _ => None,
            };
            match parsed {
                Some(change) => changes.push(change),
                None => said.push(line.to_owned()),
            }
        }
        (changes, said)
    }

    /// When the motors' pulses were more than nothing.
    fn moves(&self, changes: &[(u32, String, i32)]) -> Vec<(u32, i32)> {
        let pulses = ["driver pulses, left", "driver pulses, right"].map(|l| self.pin(l));
        (changes.iter())
            .filter(|c| pulses.contains(&c.1.as_str()))
            .map(|c| (c.0, c.2))
            .collect()
    }
}

fn first(moves: &[(u32, i32)]) -> Option<u32> {
    moves.iter().find(|m| m.1 > 0).map(|m| m.0)
}

#[test]
fn a_delay_is_waited_out_and_a_press_stops_it() {
    if !can_build(Kind::MicroPython) {
        return;
    }
    let bench = Bench::of(&class("mini"), "python-delay");
    for cause in ["hand", "watchdog"] {
        let (changes, _) = bench.runs(cause, 2000, &[(0, "start button", 1)]);
        assert_eq!(first(&bench.moves(&changes)), None, "{changes:?}");
    }
    let told = [
        (0, "start button", 1),
        (1000, "start button", 0),
        (1200, "start button", 1),
        (7000, "start button", 0),
        (7100, "start button", 1),
    ];
    let (changes, said) = bench.runs("hand", 8000, &told);
    let moves = bench.moves(&changes);
    let moved = first(&moves).expect("it moves");
    assert!((6000..6055).contains(&moved), "{moved}");
    let last = moves.last().expect("it moved");
    assert!((7000..7060).contains(&last.0) && last.1 == 0, "{last:?}");
    assert!(said.iter().any(|s| s.contains("late looks: 0")), "{said:?}");
    let watched = changes
        .iter()
        .find(|c| c.1 == "watchdog")
        .expect("it is watched");
    assert!(watched.0 <= moved);
}

#[test]
fn a_remote_starts_it_and_stops_it_for_good() {
    if !can_build(Kind::MicroPython) {
        return;
    }
    let is_remote = |c: &Class| matches!(c.bout.start.value, Start::Remote { .. });
    let remote = classes()
        .into_iter()
        .find(is_remote)
        .expect("a class with a remote");
    let bench = Bench::of(&remote, "python-remote");
    let told = [
        (1000, "start module", 1),
        (1500, "start module", 0),
        (2000, "start module", 1),
    ];
    let (changes, _) = bench.runs("hand", 3000, &told);
    let moves = bench.moves(&changes);
    let moved = first(&moves).expect("it moves");
    assert!((1000..1035).contains(&moved), "{moved}");
    assert!(moves.iter().all(|m| m.0 < 1540), "{moves:?}");
    // High since before: by hand it does not count, after the watchdog it goes on.
    for (cause, goes) in [("hand", false), ("watchdog", true)] {
        let (changes, _) = bench.runs(cause, 1000, &[(0, "start module", 1)]);
        assert_eq!(first(&bench.moves(&changes)).is_some(), goes, "{cause}");
    }
}

#[test]
fn a_bout_decides_what_the_interpreter_decides_and_the_bench_asks_before_it_moves() {
    if !can_build(Kind::MicroPython) {
        return;
    }
    let bench = Bench::of(&class("mini"), "python-bout");
    let mut told = vec![
        (0, "start button", 1),
        (100, "key", KEY_T),
        (300, "key", KEY_N),
        (400, "key", KEY_R),
        (500, "start button", 0),
        (600, "start button", 1),
    ];
    for (k, level) in [(0, 30_000), (1, 5000), (2, 40_000), (3, 900)] {
        told.push((6000 + 400 * k, "centre", level));
        told.push((6150 + 400 * k, "left", 41_000 - level));
    }
    told.extend([(7000, "edge-left", 3000), (7060, "edge-left", 60_000)]);
    let (changes, said) = bench.runs("hand", 8500, &told);
    assert!(
        first(&bench.moves(&changes)).is_some_and(|ms| ms > 5500),
        "{changes:?}"
    );
    let noise = said
        .iter()
        .find_map(|s| s.strip_prefix("# noise "))
        .expect("it says");
    let program = &bench.robot.program;
    let mut memory = program.start(0, noise.parse().expect("a number"));
    let mut rows = 0;
    let mut reflexes = 0;
    for line in said
        .iter()
        .filter(|s| s.starts_with(|c: char| c.is_ascii_digit()))
    {
        let row: Vec<&str> = line.split(',').collect();
        let n = |k: usize| {
            row[k]
                .parse::<i16>()
                .unwrap_or_else(|e| panic!("{line}: {e}"))
        };
        let readings: Vec<i16> = (1..=5).map(n).collect();
        let now = row[0].parse().expect("a short bout");
        let drive = program.tick(&mut memory, &readings, now);
        assert_eq!([drive.left, drive.right], [n(6), n(7)], "{line}");
        rows += 1;
        reflexes += usize::from(memory.stands().2.is_some());
    }
    assert!(
        rows > 250 && reflexes > 10,
        "{rows} rows, {reflexes} in reflexes"
    );
}
