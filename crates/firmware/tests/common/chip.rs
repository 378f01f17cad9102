//! A whole 8-bit chip with a project's program on it, in an emulator: hands on its pins, eyes on its lines.

use std::path::{Path, PathBuf};
use std::process::Command;

use firmware::Project;
use robot::BoardSheet;

use super::tool;

/// Whether what it takes is here; says so if not.
pub(crate) fn is_here() -> bool {
    let header = Path::new("/usr/include/simavr/sim_avr.h").exists();
    // Every one is asked, so that all that is missing is told.
    let tools = ["gcc", "avr-gcc", "make"].map(tool::is_there);
    tool::there("the header files of simavr", header) & tools.iter().all(|t| *t)
}

/// Flags of a reset in the chip's own register: power on, reset pin, brown-out, watchdog.
pub(crate) const CAUSES: [(u8, &str); 4] = [
    (1, "switching on"),
    (2, "reset button"),
    (4, "voltage too low"),
    (8, "watchdog"),
];

/// The emulator around a program.
pub(crate) struct Chip {
    harness: PathBuf,
    program: PathBuf,
    chip: String,
    clock_hz: f64,
    /// What is done and watched, as the harness takes it.
    told: Vec<String>,
    pins: Vec<(String, String, String)>,
}

/// What a run showed.
#[derive(Debug)]
pub(crate) struct Shown {
    /// When, in ms, which line, how many per mille of the time it is high; −1: not driven.
    pub(crate) changes: Vec<(f64, String, i32)>,
    /// When, and what it said over the serial line.
    pub(crate) said: Vec<(f64, String)>,
    /// Most of the stack in use, bytes.
    pub(crate) stack: u32,
}

impl Chip {
    /// The built project in `folder`; all inputs at rest: buttons let go of, start module and switches off.
    pub(crate) fn with(project: &Project, folder: &Path, board: &BoardSheet) -> Self {
        let harness = folder.join("chip");
        tool::run(
            Command::new("gcc")
                .args(["-O2", "-o"])
                .arg(&harness)
                .arg(tool::bench().join("chip.c"))
                .arg("-lsimavr"),
        );
        let pin = |name: &str| {
            let k = board.pin(name).unwrap_or_else(|| panic!("no pin {name}"));
            &board.pins[k]
        };
        let mut told = Vec::new();
        let mut pins = Vec::new();
        for c in &project.wiring {
            let p = pin(&c.pin);
            let port = p.port.trim_start_matches('P').to_owned();
            let (letter, bit) = port.split_at(1);
            let at = format!("{letter}:{bit}");
            if c.item == "driver" {
                let output = p.timer.as_deref().filter(|_| c.signal.contains("pulses"));
                let name = c.signal.replace([',', ' '], "");
                told.push(format!("watch={name}:{at}:{}", output.unwrap_or("none")));
            } else if c.item == "lamp" {
                told.push(format!("watch=lamp:{at}:none"));
            } else if c.item.starts_with("start button") || c.item.starts_with("opening switch") {
                told.push(format!("0={at}:1"));
            } else if c.item == "start module" {
                told.push(format!("0={at}:0"));
            }
            pins.push((c.item.clone(), at, p.adc.clone().unwrap_or_default()));
        }
        Self {
            harness,
            program: folder.join("robot.elf"),
            chip: board.chip.to_ascii_lowercase(),
            clock_hz: board.clock_hz,
            told,
            pins,
        }
    }

    fn pin(&self, item: &str) -> &(String, String, String) {
        let found = self.pins.iter().find(|p| p.0 == item);
        found.unwrap_or_else(|| panic!("nothing called {item}: {:?}", self.pins))
    }

    /// From `ms` on the line of `item` is high or low.
    pub(crate) fn level(mut self, ms: u32, item: &str, high: bool) -> Self {
        let at = self.pin(item).1.clone();
        self.told.push(format!("{ms}={at}:{}", u8::from(high)));
        self
    }

    /// From `ms` on there are so many millivolts at the line of `item`.
    pub(crate) fn volts(mut self, ms: u32, item: &str, mv: u32) -> Self {
        let channel = self.pin(item).2.clone();
        self.told.push(format!("{ms}=adc:{channel}:{mv}"));
        self
    }

    /// At `ms` somebody types a key.
    pub(crate) fn key(mut self, ms: u32, key: char) -> Self {
        self.told.push(format!("{ms}=key:{}", u32::from(key)));
        self
    }

    /// At `ms` the program begins to run in a circle.
    pub(crate) fn hang(mut self, ms: u32) -> Self {
        self.told.push(format!("{ms}=hang"));
        self
    }

    /// Runs until `ms` after a reset with these flags.
    pub(crate) fn runs(&self, flags: u8, ms: u32) -> Shown {
        let text = tool::run(
            Command::new(&self.harness)
                .arg(&self.program)
                .args([&self.chip, &format!("{}", self.clock_hz)])
                .args([flags.to_string(), ms.to_string()])
                .args(&self.told),
        );
        let mut shown = Shown {
            changes: Vec::new(),
            said: Vec::new(),
            stack: 0,
        };
        for line in text.lines() {
            let Some((at, rest)) = line.split_once(' ') else {
                continue;
            };
            let Ok(at) = at.parse() else { continue };
            let (what, value) = rest.split_once(' ').unwrap_or((rest, ""));
            if what == "stack" {
                shown.stack = value.parse().unwrap_or_else(|e| panic!("{line}: {e}"));
            } else if what == "says" {
                shown.said.push((at, value.to_owned()));
            } else if let Ok(share) = value.parse() {
                shown.changes.push((at, what.to_owned(), share));
            }
        }
        shown
    }
}

impl Shown {
    /// Changes of the driver's lines to something that may turn a motor.
    pub(crate) fn moves(&self) -> Vec<&(f64, String, i32)> {
        (self.changes.iter())
            .filter(|(_, line, share)| line.contains("pulses") && *share > 0)
            .collect()
    }

    /// When it moved first.
    pub(crate) fn first_move_ms(&self) -> Option<f64> {
        self.moves().first().map(|m| m.0)
    }

    /// Whether every line that makes pulses rests at the end.
    pub(crate) fn rests(&self) -> bool {
        let lines: Vec<&str> = (self.changes.iter().map(|c| c.1.as_str()))
            .filter(|l| l.contains("pulses"))
            .collect();
        !lines.is_empty()
            && lines.iter().all(|line| {
                let last = self.changes.iter().rev().find(|c| c.1 == *line);
                last.is_some_and(|c| c.2 == 0)
            })
    }

    /// When it last came to rest.
    pub(crate) fn rests_from_ms(&self) -> f64 {
        let pulses = self.changes.iter().filter(|c| c.1.contains("pulses"));
        pulses.map(|c| c.0).fold(0.0, f64::max)
    }

    /// Whether it said a line with `words` in it.
    pub(crate) fn says(&self, words: &str) -> bool {
        self.said.iter().any(|(_, s)| s.contains(words))
    }
}
