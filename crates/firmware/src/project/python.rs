//! A project in MicroPython.

use robot::{Control, Interface, SensorKind};

use super::Source;
use super::config::Figures;
use super::lines::{Begins, Lines, Wire};
use super::sensors::{self, Written, before, word};
use crate::file::File;
use crate::page::Page;

/// All files of the project but its README.
pub(super) fn files(
    source: &Source<'_>,
    lines: &Lines,
    figures: &Figures,
    remarks: &mut Vec<String>,
) -> Vec<File> {
    let written = sensors::written(source, lines);
    remarks.extend(sensors::remarks(source, &written));
    let control = source.robot.wiring.driver.control;
    let driver = match control {
        Control::PwmDirection => include_str!("py/motors_pwm_direction.py"),
        Control::PwmTwoLines => include_str!("py/motors_pwm_two_lines.py"),
        Control::TwoPwm => include_str!("py/motors_two_pwm.py"),
    };
    let start = match figures.wait_ms {
        Some(_) => include_str!("py/start_by_delay.py"),
        None => include_str!("py/start_by_remote.py"),
    };
    let mut files = vec![
        File::new("bench.py", include_str!("py/bench.py")),
        File::new("board.py", include_str!("py/board.py")),
        File::new("chips.py", include_str!("py/chips.py")),
        File::new("main.py", include_str!("py/main.py")),
        File::new("measure.py", include_str!("py/measure.py")),
        File::new("measured.py", measured(source, lines, &written)),
        File::new("motors.py", motors(driver, control, lines)),
        File::new("robot.py", robot(source, lines, figures)),
        File::new("run.py", include_str!("py/run.py")),
        File::new("sensors.py", code(source, lines, &written)),
        File::new("start.py", start),
    ];
    files.extend(crate::micropython(source.program, source.ports));
    files.sort_by(|a, b| a.path.cmp(&b.path));
    files
}

/// `text` as a text of Python, whatever is in it.
fn quoted(text: &str) -> String {
    let mut said = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => {
                said.push('\\');
                said.push(c);
            }
            c if c.is_control() => said.push_str(&format!("\\x{:02x}", u32::from(c))),
            c => said.push(c),
        }
    }
    said + "\""
}

/// The number of a pin in MicroPython: that of its port.
fn number(wire: &Wire) -> String {
    let digits: String = (wire.pin.port.chars())
        .filter(char::is_ascii_digit)
        .collect();
    digits
}

/// `robot.py`.
fn robot(source: &Source<'_>, lines: &Lines, f: &Figures) -> String {
    let mut page = Page::default();
    page.line("# What this robot is: written from its file, its class and the board.");
    page.line("from micropython import const");
    page.line("");
    page.line("# Lines to the board's pins, and what each is set to first; README.md has them as a table.");
    for (k, wire) in lines.wires.iter().enumerate() {
        page.line(format!("{} = const({k})", wire.name));
    }
    page.block("LINES = (", ")", |page| {
        for wire in &lines.wires {
            // As in board.py.
            let begins = match wire.begins {
                Begins::OutLow => 0,
                Begins::In => 1,
                Begins::PulledUp
                    if wire.name.ends_with("_data") || wire.name.ends_with("_clock") =>
                {
                    5
                }
                Begins::PulledUp => 2,
                Begins::PulledDown => 3,
                Begins::Measures => 4,
            };
            page.line(format!("({}, {begins}),  # {}", number(wire), wire.name));
        }
    });
    page.line("");
    for name in ["LINE_LAMP", "LINE_BATTERY"] {
        if !lines.has(name) {
            page.line(format!("{name} = None"));
        }
    }
    let list = |names: &[String]| {
        let comma = if names.len() == 1 { "," } else { "" };
        format!("({}{comma})", names.join(", "))
    };
    let names = |of: &mut dyn Iterator<Item = &str>| list(&of.map(quoted).collect::<Vec<_>>());
    let switches: Vec<String> = (1..=lines.switches)
        .map(|k| format!("LINE_SWITCH_{k}"))
        .collect();
    let (program, ports) = (source.program, source.ports);
    let low_mv = (f.low_v * 1000.0).round();
    let defined = [
        ("NAME", quoted(&source.robot.name)),
        ("TICK_MS", f.tick_ms.to_string()),
        ("WAIT_MS", f.wait_ms.unwrap_or(0).to_string()),
        ("HAS_LAMP", if lines.lamp { "True" } else { "False" }.into()),
        (
            "BATTERY_PARTS",
            if lines.battery { f.parts } else { 0 }.to_string(),
        ),
        ("BATTERY_LOW_MV", format!("{low_mv}")),
        ("BORDER_LEVEL", source.tactic.border_level().to_string()),
        ("FULL_MV", f.full_mv.to_string()),
        // What `read_u16` gives at full scale.
        ("MEASURED_TO", "65535".into()),
        ("SWITCH_LINES", list(&switches)),
        ("GADGET_LINES", list(&lines.gadgets)),
        ("TRACE_HEAD", quoted(&f.trace.head)),
        (
            "SENSORS",
            names(&mut ports.inputs.iter().map(|p| p.name.as_str())),
        ),
        (
            "GADGETS",
            names(&mut ports.gadgets.iter().map(|g| g.name.as_str())),
        ),
        (
            "STATES",
            names(&mut program.states.iter().map(|s| s.name.as_str())),
        ),
        (
            "REFLEXES",
            names(&mut program.reflexes.iter().map(|r| r.name.as_str())),
        ),
        (
            "OPENINGS",
            names(&mut program.openings.iter().map(|o| o.name.as_str())),
        ),
    ];
    for (name, value) in defined {
        page.line(format!("{name} = {value}"));
    }
    page.finish()
}

/// `motors.py`.
fn motors(driver: &str, control: Control, lines: &Lines) -> String {
    let words: &[&str] = match control {
        Control::PwmDirection => &["PULSES", "DIRECTION"],
        Control::PwmTwoLines => &["PULSES", "FORWARD", "BACKWARD"],
        Control::TwoPwm => &["FORWARD", "BACKWARD"],
    };
    let side = |side: &str| {
        let lines: Vec<String> = words
            .iter()
            .map(|w| format!("robot.LINE_{side}_{w}"))
            .collect();
        lines.join(", ")
    };
    let enable = |on: &str| {
        if lines.enable {
            format!("    board.put(robot.LINE_ENABLE, {on})\n")
        } else {
            String::new()
        }
    };
    let (l, r) = (side("LEFT"), side("RIGHT"));
    let (on, off) = (enable("True"), enable("False"));
    format!(
        "import board\nimport robot\n\n\n{driver}\n\n# Efforts in per mille of all the driver can give, -1000 to 1000.\n\
         def drive(left, right):\n{on}    _side({l}, left)\n    _side({r}, right)\n\n\n\
         # No effort, and the driver asleep where it can be.\n\
         def off():\n    _side({l}, 0)\n    _side({r}, 0)\n{off}"
    )
}

/// `measured.py`.
fn measured(source: &Source<'_>, lines: &Lines, written: &[Written]) -> String {
    let mut page = Page::default();
    page.lines([
        "# What only you can measure, on your robot: the one file to edit. `s` and `b` on the serial line say",
        "# what the sensors read; README.md says how to go about it.",
    ]);
    for (name, value, what) in written.iter().flat_map(|w| &w.constants) {
        page.line(format!("# {what}"));
        page.line(format!("{name} = {value}"));
    }
    for (name, port) in lines.gadgets.iter().zip(&source.ports.gadgets) {
        for (end, tail, us) in [
            (&port.ends[0], "FIRST", 1000),
            (&port.ends[1], "SECOND", 2000),
        ] {
            page.line(format!(
                "# pulse in microseconds that sends it to {}",
                quoted(end)
            ));
            page.line(format!("{name}_{tail}_US = {us}"));
        }
    }
    page.finish()
}

/// `sensors.py`.
fn code(source: &Source<'_>, lines: &Lines, written: &[Written]) -> String {
    let sensors = &source.robot.sensors;
    let mut page = Page::default();
    page.lines([
        "# Each sensor a small function. A sensor of your own goes where it says YOUR OWN: whatever it takes, the",
        "# function gives the reading that its remark names, and it does not wait.",
        "import board",
        "import chips",
        "import measured as m",
        "from measure import NOTHING, brightness, triangulated_mm",
        "from robot import *",
        "",
        "eyes = []",
        "encoders = []",
        "echoes = []",
        "mover = None",
        "",
    ]);
    let functions: Vec<String> = (0..sensors.len())
        .map(|k| format!("read_{}", word(lines, k).to_lowercase()))
        .collect();
    for ((sensor, function), w) in sensors.iter().zip(&functions).zip(written) {
        let name: String = sensor
            .item
            .name
            .chars()
            .filter(|c| !c.is_control())
            .collect();
        page.line("");
        page.line(format!("# {name}: {}. YOUR OWN sensor? Here.", w.about));
        page.line(format!("def {function}():"));
        page.line(format!("    return {}", w.python));
        page.line("");
    }
    page.line("");
    page.line(format!(
        "READ = ({})",
        functions
            .iter()
            .map(|f| format!("{f},"))
            .collect::<Vec<_>>()
            .join(" ")
    ));
    page.lines(["", "", "def begin():", "    global mover"]);
    for (k, sensor) in sensors.iter().enumerate() {
        let line = &lines.sensors[k];
        let made = match (&sensor.kind, lines.interfaces[k]) {
            (SensorKind::TimeOfFlight { .. }, Interface::I2c) => {
                let eye = before(lines, sensors, k, Interface::I2c, true);
                let wake = format!("{line}_wake");
                let wake = if lines.has(&wake) {
                    wake
                } else {
                    "None".into()
                };
                format!(
                    "eyes.append(chips.Eye({line}_data, {line}_clock, {wake}, {}))",
                    0x2A + eye
                )
            }
            (SensorKind::Tilt { .. } | SensorKind::TurnRate { .. }, Interface::I2c) => {
                format!("mover = mover or chips.Mover({line}_data, {line}_clock)")
            }
            (SensorKind::WheelSpeed { .. }, Interface::TwoLines) => {
                format!("encoders.append(chips.Encoder({line}_a, {line}_b))")
            }
            (SensorKind::Ultrasonic { .. }, Interface::TriggerEcho) => {
                format!("echoes.append(chips.Echo({line}_trigger, {line}_echo))")
            }
            _ => continue,
        };
        page.line(format!("    {made}"));
    }
    page.lines([
        "",
        "",
        "# At the start of a bout: what was counted before is forgotten.",
        "def start():",
        "    for encoder in encoders:",
        "        encoder.start()",
        "",
        "",
        "# All readings, in the order of the tactic.",
        "def read_all():",
        "    return [read() for read in READ]",
        "",
        "",
        "# For the border aid: number, what it measures, and what it does over black and over white.",
        "def border():",
    ]);
    let down: Vec<String> = (0..sensors.len())
        .filter(|k| {
            let reflectance = matches!(sensors[*k].kind, SensorKind::Reflectance { .. });
            reflectance && lines.interfaces[*k] == Interface::Analogue
        })
        .map(|k| {
            let (line, word) = (&lines.sensors[k], word(lines, k));
            format!("({k}, board.measured_share({line}), m.{word}_BLACK, m.{word}_WHITE)")
        })
        .collect();
    page.line(format!("    return [{}]", down.join(", ")));
    page.lines([
        "",
        "",
        "# Length of the pulse that sends gadget `k` where `order` says, in microseconds; 0: no power.",
        "def gadget_us(k, order):",
    ]);
    let ends: Vec<String> = (lines.gadgets.iter())
        .map(|g| format!("(m.{g}_FIRST_US, m.{g}_SECOND_US),"))
        .collect();
    page.lines([
        "    if order < 0:".to_owned(),
        "        return 0".to_owned(),
        format!("    first, second = ({})[k]", ends.join(" ")),
        "    return first + (second - first) * order // 1000".to_owned(),
    ]);
    page.finish()
}
