//! Machines that run a written tactic, and what the bench says on each.

use std::path::Path;
use std::process::Command;

use tactic::{Ports, Program};

use super::{bench, tool};

/// Where a written tactic runs.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Machine {
    /// C99 on this machine, an `int` of 32 bits, with arithmetic that C leaves open ending the program.
    Host,
    /// C99 on an ATmega328P in an emulator, an `int` of 16 bits.
    Avr,
    /// C99 on a Cortex-M3 in an emulator.
    Cortex,
    /// MicroPython on this machine.
    MicroPython,
}

/// For all of C: warnings are errors, but those about conditions that can never hold, which a tactic may
/// ask.
const WARNINGS: [&str; 11] = [
    "-std=c99",
    "-Wall",
    "-Wextra",
    "-Wconversion",
    "-Wshadow",
    "-Wstrict-prototypes",
    "-Wmissing-prototypes",
    "-pedantic",
    "-Werror",
    "-Wno-type-limits",
    "-Wno-tautological-compare",
];

/// What the bench said, and what it measured.
#[derive(Debug)]
pub(crate) struct Heard {
    /// The folded numbers.
    pub(crate) folds: Vec<String>,
    /// Most cycles of a look, where they are counted.
    pub(crate) cycles: Option<u32>,
    /// Most of the stack in use in bytes, where it is measured.
    pub(crate) stack: Option<u32>,
}

impl Machine {
    /// Whether what it takes is here; says so if not.
    pub(crate) fn is_here(self) -> bool {
        let needed: &[&str] = match self {
            Self::Host => &["gcc"],
            Self::Avr => &["avr-gcc", "simavr"],
            Self::Cortex => &["arm-none-eabi-gcc", "qemu-system-arm"],
            Self::MicroPython => &["micropython"],
        };
        needed.iter().all(|program| tool::is_there(program))
    }

    /// Builds the tactic and runs the bench with it.
    pub(crate) fn hears(
        self,
        name: &str,
        ports: &Ports,
        program: &Program,
        seed: u32,
        blocks: usize,
    ) -> Heard {
        let files = match self {
            Self::MicroPython => firmware::micropython(program, ports),
            Self::Host | Self::Avr | Self::Cortex => firmware::c99(program, ports),
        };
        let at = tool::folder(&format!("{self:?}-{name}"), &files);
        let elf = at.join("bench");
        let text = match self {
            Self::Host => {
                self.build(&at, seed, blocks);
                tool::run(Command::new(elf).args([seed.to_string(), blocks.to_string()]))
            }
            Self::Avr => {
                self.build(&at, seed, blocks);
                let mut simavr = Command::new("simavr");
                tool::run(simavr.args(["-m", "atmega328p", "-f", "16000000"]).arg(elf))
            }
            Self::Cortex => {
                self.build(&at, seed, blocks);
                let mut qemu = Command::new("qemu-system-arm");
                let semihosting = "enable=on,target=native";
                tool::run(
                    qemu.args(["-M", "mps2-an385", "-display", "none"])
                        .args(["-monitor", "none", "-serial", "none"])
                        .args(["-semihosting-config", semihosting, "-kernel"])
                        .arg(elf),
                )
            }
            Self::MicroPython => {
                let mut python = Command::new("micropython");
                tool::run(python.arg(tool::bench().join("bench.py")).arg(&at).args([
                    seed.to_string(),
                    blocks.to_string(),
                    ports.inputs.len().to_string(),
                ]))
            }
        };
        heard(&text)
    }

    fn build(self, at: &Path, seed: u32, blocks: usize) {
        let beside = tool::bench();
        let (compiler, own, flags): (_, _, &[&str]) = match self {
            Self::Avr => (
                "avr-gcc",
                "avr.c",
                &["-Os", "-mmcu=atmega328p", "-DBENCH_TICK=timed_tick"],
            ),
            Self::Cortex => (
                "arm-none-eabi-gcc",
                "cortex.c",
                &[
                    "-Os",
                    "-mcpu=cortex-m3",
                    "-mthumb",
                    "-nostdlib",
                    "-ffreestanding",
                ],
            ),
            Self::Host | Self::MicroPython => (
                "gcc",
                "host.c",
                &["-O1", "-fsanitize=undefined", "-fno-sanitize-recover=all"],
            ),
        };
        let mut command = Command::new(compiler);
        command
            .args(WARNINGS)
            .args(flags)
            .arg(format!("-DBENCH_SEED={seed}UL"))
            .arg(format!("-DBENCH_BLOCKS={blocks}"))
            .arg("-I")
            .arg(at)
            .arg("-I")
            .arg(&beside)
            .arg("-o")
            .arg(at.join("bench"))
            .arg(at.join("tactic.c"))
            .args([beside.join("bench.c"), beside.join(own)]);
        if matches!(self, Self::Cortex) {
            command.arg("-T").arg(beside.join("cortex.ld")).arg("-lgcc");
        }
        tool::run(&mut command);
    }
}

/// Reads what the bench says; the emulator of the 8-bit board colours it and adds to it.
fn heard(text: &str) -> Heard {
    let mut plain = String::new();
    let mut coloured = false;
    for c in text.chars() {
        match c {
            '\u{1b}' => coloured = true,
            'm' if coloured => coloured = false,
            _ if coloured => {}
            _ => plain.push(c),
        }
    }
    let mut heard = Heard {
        folds: Vec::new(),
        cycles: None,
        stack: None,
    };
    for line in plain.lines() {
        let line = line.trim().trim_end_matches('.');
        let after = |word| line.strip_prefix(word).and_then(|n| n.parse().ok());
        if let Some(n) = after("cycles ") {
            heard.cycles = Some(n);
        } else if let Some(n) = after("stack ") {
            heard.stack = Some(n);
        } else if line.len() == 8 && line.chars().all(|c| c.is_ascii_hexdigit()) {
            heard.folds.push(line.to_owned());
        }
    }
    heard
}

/// Runs the bench on `machine` and holds what it says against the interpreter.
#[track_caller]
pub(crate) fn same(
    machine: Machine,
    name: &str,
    ports: &Ports,
    program: &Program,
    seed: u32,
    blocks: usize,
) -> Heard {
    let heard = machine.hears(name, ports, program, seed, blocks);
    let ours = bench::says(program, ports, seed, blocks);
    let wrong = (ours.iter().zip(&heard.folds)).position(|(a, b)| a != b);
    assert_eq!(
        wrong, None,
        "{machine:?} {name}: the first block of 256 looks in which it decides otherwise"
    );
    assert_eq!(heard.folds.len(), ours.len(), "{machine:?} {name}");
    heard
}
