//! How big a project in C becomes and how long its longest look takes, before it is built.

use robot::SensorKind;
use tactic::Program;
use tactic::program::Op;

use super::Source;
use super::chip::Kind;
use super::config::Figures;
use super::lines::Lines;
use crate::cycles::most_cycles;

/// Size and time of a project in C.
///
/// Program and memory are estimates, a sum of shares of what the robot has and the tactic says: fitted to
/// projects of 48 robots on four boards built by avr-gcc 5.4 and arm-none-eabi-gcc 12.2 with `-Os`, of which
/// they miss the program by 7 % and the memory by 10 bytes at most.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Size {
    /// Program memory, about, bytes.
    pub flash_bytes: u32,
    /// Memory for what it remembers, about, bytes.
    pub ram_bytes: u32,
    /// Stack in use at most, bytes; none: not known for that chip.
    pub stack_bytes: Option<u32>,
    /// Cycles that the program takes for a look at most; none: not counted for that chip.
    pub look_cycles: Option<u32>,
}

/// The most of the stack in use on an emulated ATmega328P was 114 bytes with the tactics in the box, and
/// tactics can be invented that take 24 more; some to spare.
const STACK_8_BIT: u32 = 160;

/// Bytes for each of something.
struct Shares {
    /// Whatever the robot.
    whole: u32,
    /// If there is a sensor of that kind: by an angle of light, by time of light, by time of sound, wheels
    /// that count, tilt or turning.
    kinds: [u32; 5],
    gadgets: u32,
    switches: u32,
    each_sensor: u32,
    /// Of the tactic: itself, steps, states, reflexes, `for` conditions, masks, counters, readings, sums and
    /// products, dice.
    tactic: [u32; 10],
}

const FLASH_8_BIT: Shares = Shares {
    whole: 5864,
    kinds: [271, 1035, 514, 251, 660],
    gadgets: 563,
    switches: 0,
    each_sensor: 62,
    tactic: [208, 54, 13, 11, 61, 12, 67, 14, 20, 55],
};

const FLASH_32_BIT: Shares = Shares {
    whole: 4841,
    kinds: [184, 820, 342, 90, 443],
    gadgets: 461,
    switches: 159,
    each_sensor: 53,
    tactic: [89, 42, 24, 15, 35, 0, 36, 11, 7, 37],
};

impl Size {
    /// Of a project; none: it is not in C.
    pub(super) fn of(source: &Source<'_>, lines: &Lines, f: &Figures, kind: Kind) -> Option<Self> {
        let shares = match kind {
            Kind::Avr => &FLASH_8_BIT,
            Kind::Stm32f103 | Kind::Nrf52833 => &FLASH_32_BIT,
            Kind::MicroPython => return None,
        };
        let small = kind == Kind::Avr;
        Some(Self {
            flash_bytes: flash(source, lines, shares),
            ram_bytes: ram(source, lines, f, small),
            stack_bytes: small.then_some(STACK_8_BIT),
            look_cycles: small.then(|| most_cycles(source.program)),
        })
    }
}

fn number(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

/// How many sensors there are of each kind that takes code or memory of its own.
fn kinds(source: &Source<'_>) -> [u32; 5] {
    let mut found = [0; 5];
    for s in &source.robot.sensors {
        let at = match s.kind {
            SensorKind::Range { .. } => 0,
            SensorKind::TimeOfFlight { .. } => 1,
            SensorKind::Ultrasonic { .. } => 2,
            SensorKind::WheelSpeed { .. } => 3,
            SensorKind::Tilt { .. } | SensorKind::TurnRate { .. } => 4,
            _ => continue,
        };
        found[at] += 1;
    }
    found
}

fn flash(source: &Source<'_>, lines: &Lines, shares: &Shares) -> u32 {
    let there = |n: usize, bytes: u32| if n > 0 { bytes } else { 0 };
    let kinds = kinds(source).into_iter().zip(shares.kinds);
    let sensors: u32 = kinds.map(|(n, bytes)| if n > 0 { bytes } else { 0 }).sum();
    let tactic = counted(source.program).into_iter().zip(shares.tactic);
    let tactic: u32 = tactic.map(|(n, bytes)| n * bytes).sum();
    shares.whole
        + sensors
        + there(source.ports.gadgets.len(), shares.gadgets)
        + there(lines.switches, shares.switches)
        + number(source.ports.inputs.len()) * shares.each_sensor
        + tactic
}

/// What is counted of a tactic, as [`Shares`] has it.
fn counted(program: &Program) -> [u32; 10] {
    let ops = |is: &dyn Fn(&Op) -> bool| number(program.ops.iter().filter(|o| is(o)).count());
    let steps = program.states.iter().map(|s| s.steps.len());
    let steps = steps.chain(program.reflexes.iter().map(|r| r.steps.len()));
    [
        1,
        number(steps.sum()),
        number(program.states.len()),
        number(program.reflexes.len()),
        number(program.holds.len()),
        number(program.masks.len()),
        number(program.counters.len()),
        ops(&|o| matches!(o, Op::Sensor(_) | Op::Masked(_))),
        ops(&|o| matches!(o, Op::Add | Op::Sub | Op::Mul)),
        ops(&|o| matches!(o, Op::Chance)),
    ]
}

/// Memory of the project but the stack: what waits for the serial line, what the tactic remembers, each line,
/// name and sensor.
fn ram(source: &Source<'_>, lines: &Lines, f: &Figures, small: bool) -> u32 {
    let (program, ports) = (source.program, source.ports);
    let names = ports.inputs.len()
        + ports.gadgets.len()
        + program.states.len()
        + program.reflexes.len()
        + program.openings.len();
    let tactic = 24
        + 11 * program.holds.len() / 5
        + 5 * program.masks.len()
        + 2 * (program.counters.len() + ports.gadgets.len());
    let [_, eyes, echoes, wheels, _] = kinds(source);
    let counting = 6 * eyes + 11 * echoes + 8 * wheels;
    // On 8 bits tables of pins and of names lie in memory too.
    let own = if small {
        43 + 31 * names / 10 + 15 * lines.wires.len() / 2 + ports.inputs.len()
    } else {
        88 + 7 * ports.inputs.len() / 2 + if ports.gadgets.is_empty() { 0 } else { 7 }
    };
    number(f.says + tactic + own) + counting
}
