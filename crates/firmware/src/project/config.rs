//! What the fixed files ask of this robot: `robot.h`.

use core::fmt::Write as _;

use paper::power::{EMPTY_V, FULL_V};
use robot::{Control, Robot};
use rules::Start;

use super::Source;
use super::chip::Kind;
use super::lines::Lines;
use super::names::quoted;
use super::trace::Trace;
use crate::page::Page;

/// Share of its voltage without load at which a pack that is not lithium is told as low: a nickel cell at
/// 1.15 V where 1.25 V is usual. Common practice, no source.
const LOW_SHARE: f64 = 0.92;
/// Voltage over its end of discharging, V a cell, at which a lithium pack is told as low: it stands here, and
/// sags under load. Common practice, no source.
const LITHIUM_OVER_V: f64 = 0.5;
/// How much fuller than its nominal voltage a pack may be that is not lithium: nickel cells just charged.
/// Common practice, no source.
const FULLEST: f64 = 1.2;

/// The times and voltages of a project.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Figures {
    /// Time from look to look in ms.
    pub(super) tick_ms: u32,
    /// Time to stand after the button in ms; none: a remote starts it.
    pub(super) wait_ms: Option<u32>,
    /// Resistors: the upper one is this less one times the lower.
    pub(super) parts: u32,
    /// Voltage of the pack below which it is low, V.
    pub(super) low_v: f64,
    /// Voltage of the pack when full, V.
    pub(super) full_v: f64,
    /// Voltage at a measuring pin that reads full scale, mV.
    pub(super) full_mv: u32,
    /// What full scale reads.
    pub(super) most: u32,
    /// Bits a second of the serial line.
    pub(super) baud: u32,
    /// Characters that wait for the serial line.
    pub(super) says: usize,
    /// The table of a bout.
    pub(super) trace: Trace,
}

fn up(x: f64) -> u32 {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "milliseconds and small ratios, above zero"
    )]
    let n = x.max(0.0).ceil().min(1e9) as u32;
    n
}

/// Full and low voltage of the pack of `robot` in V.
fn pack_v(robot: &Robot) -> (f64, f64) {
    let volts = robot.battery.voltage.si();
    let lithium = robot.battery.chemistry.to_lowercase().starts_with("li");
    if !lithium {
        return (volts * FULLEST, volts * LOW_SHARE);
    }
    let cells = robot
        .wiring
        .cells
        .map_or_else(|| (volts / FULL_V).round().max(1.0), f64::from);
    (cells * FULL_V, cells * (EMPTY_V + LITHIUM_OVER_V))
}

impl Figures {
    pub(super) fn of(source: &Source<'_>, lines: &Lines, kind: Kind) -> Self {
        let trace = Trace::of(source);
        let sheet = &lines.sheet;
        let tick_ms = up(source.robot.board.loop_time.si() * 1000.0 - 0.5).max(1);
        let wait_ms = match source.class.bout.start.value {
            Start::Delay { still_s } => {
                // A look more, so that the last of the delay is over when the first effort comes.
                let wait = laws::clock::safe_wait_s(still_s, sheet.clock_off) * 1000.0;
                Some(up(wait) + tick_ms)
            }
            Start::Remote { .. } => None,
        };
        let (full_v, low_v) = pack_v(source.robot);
        // The nRF52833 measures against a voltage of its own.
        let (full_mv, most) = match kind {
            Kind::Nrf52833 => (3600, 4095),
            _ => (
                up(sheet.adc_full_v * 1000.0 - 0.5),
                (1 << sheet.adc_bits.min(16)) - 1,
            ),
        };
        // Rates that the chip makes exactly, but the slowest at 16 MHz (2 % off, which receivers take).
        let rates: &[u32] = match kind {
            Kind::Avr if sheet.clock_hz < 12e6 => &[57_600, 500_000, 1_000_000],
            _ => &[115_200, 500_000, 1_000_000],
        };
        // The head of the trace, its remarks and a row may come at once.
        let says = (trace.head.len() + 40 + trace.longest)
            .next_power_of_two()
            .clamp(128, 256);
        Self {
            tick_ms,
            wait_ms,
            parts: up(full_v / (f64::from(full_mv) / 1000.0)).max(1),
            low_v,
            full_v,
            full_mv,
            most,
            baud: trace.rate(rates, tick_ms),
            says,
            trace,
        }
    }
}

/// `robot.h`.
pub(super) fn header(source: &Source<'_>, lines: &Lines, f: &Figures) -> String {
    let trace = &f.trace;
    let mut page = Page::default();
    page.lines([
        "/* What this robot is: written from its file, its class and the board. */",
        "#ifndef ROBOT_H",
        "#define ROBOT_H",
        "",
        "#include \"tactic.h\"",
        "",
        "/* Lines to the board's pins; README.md has them as a table. */",
    ]);
    page.block("enum line {", "};", |page| {
        for wire in &lines.wires {
            page.line(format!("{},", wire.name));
        }
        page.line("LINES");
    });
    let flag = |on: bool| u32::from(on).to_string();
    let low_mv = up(f.low_v * 1000.0 - 0.5).to_string();
    let wait = f.wait_ms.unwrap_or(0).to_string();
    let border = source.tactic.border_level().to_string();
    let head = quoted(&format!("{}\n", trace.head));
    let defined = [
        ("ROBOT_NAME", quoted(&source.robot.name)),
        ("ROBOT_TICK_MS", f.tick_ms.to_string()),
        ("ROBOT_WAIT_MS", wait),
        ("ROBOT_HAS_LAMP", flag(lines.lamp)),
        (
            "ROBOT_BATTERY_PARTS",
            if lines.battery { f.parts } else { 0 }.to_string(),
        ),
        ("ROBOT_BATTERY_LOW_MV", low_mv),
        ("ROBOT_BORDER_LEVEL", border),
        ("ROBOT_SERIAL", flag(lines.serial)),
        ("ROBOT_BAUD", format!("{}", f.baud)),
        ("ROBOT_SAYS", f.says.to_string()),
        ("ROBOT_TRACE_HEAD", head),
        (
            "ROBOT_TRACE_ROOM",
            trace.longest.min(f.says - 1).to_string(),
        ),
        ("BOARD_FULL_MV", format!("{}u", f.full_mv)),
        ("BOARD_MEASURED_MOST", format!("{}u", f.most)),
        ("ROBOT_GADGETS", source.ports.gadgets.len().to_string()),
    ];
    page.line("");
    for (name, value) in defined {
        page.line(format!("#define {name} {value}"));
    }
    if !lines.gadgets.is_empty() {
        page.line(format!(
            "#define GADGET_LINES {{ {} }}",
            lines.gadgets.join(", ")
        ));
    }
    page.line(format!("#define ROBOT_SWITCHES {}", lines.switches));
    if lines.switches > 0 {
        let switches: Vec<String> = (1..=lines.switches)
            .map(|k| format!("LINE_SWITCH_{k}"))
            .collect();
        page.line(format!(
            "#define ROBOT_SWITCH_LINES {{ {} }}",
            switches.join(", ")
        ));
    }
    for (name, first, second) in [("ENCODER", "_a", "_b"), ("ECHO", "_trigger", "_echo")] {
        let pairs: Vec<String> = (lines.sensors.iter())
            .filter(|s| lines.has(&format!("{s}{first}")))
            .map(|s| format!("{{ {s}{first}, {s}{second} }}"))
            .collect();
        let plural = if name == "ECHO" {
            "ROBOT_ECHOES"
        } else {
            "ROBOT_ENCODERS"
        };
        page.line(format!("#define {plural} {}", pairs.len()));
        if !pairs.is_empty() {
            page.line(format!(
                "#define ROBOT_{name}_LINES {{ {} }}",
                pairs.join(", ")
            ));
        }
    }
    page.lines(["", "#endif"]);
    page.finish()
}

/// The lines of `motors_drive` and `motors_off`, behind the driver's own file.
pub(super) fn motors(control: Control, enable: bool) -> String {
    let names = |side: &str| {
        let words: &[&str] = match control {
            Control::PwmDirection => &["PULSES", "DIRECTION"],
            Control::PwmTwoLines => &["PULSES", "FORWARD", "BACKWARD"],
            Control::TwoPwm => &["FORWARD", "BACKWARD"],
        };
        let lines: Vec<String> = words.iter().map(|w| format!("LINE_{side}_{w}")).collect();
        lines.join(", ")
    };
    let mut text = String::new();
    let _ = writeln!(text, "\nvoid motors_drive(int16_t left, int16_t right)\n{{");
    if enable {
        text.push_str("    board_put(LINE_ENABLE, true);\n");
    }
    let (l, r) = (names("LEFT"), names("RIGHT"));
    let _ = writeln!(text, "    side({l}, left);\n    side({r}, right);\n}}");
    let _ = writeln!(
        text,
        "\nvoid motors_off(void)\n{{\n    side({l}, 0);\n    side({r}, 0);"
    );
    if enable {
        text.push_str("    board_put(LINE_ENABLE, false);\n");
    }
    text.push_str("}\n");
    text
}
