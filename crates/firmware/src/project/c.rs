//! A project in C99: what is the same for every robot, and what is written for this one.

use robot::Control;

use super::Source;
use super::chip::{Kind, avr, nrf52833, stm32f103};
use super::config::{Figures, header, motors};
use super::lines::Lines;
use super::{names, sensors, sensors_c};
use crate::file::File;

/// Files that are the same for every robot.
const SAME: [(&str, &str); 26] = [
    ("bench.c", include_str!("c/bench.c")),
    ("bench.h", include_str!("c/bench.h")),
    ("board.h", include_str!("c/board.h")),
    ("bus.c", include_str!("c/bus.c")),
    ("bus.h", include_str!("c/bus.h")),
    ("chips.c", include_str!("c/chips.c")),
    ("chips.h", include_str!("c/chips.h")),
    ("main.c", include_str!("c/main.c")),
    ("measure.c", include_str!("c/measure.c")),
    ("measure.h", include_str!("c/measure.h")),
    ("motors.h", include_str!("c/motors.h")),
    ("names.h", include_str!("c/names.h")),
    ("openings.c", include_str!("c/openings.c")),
    ("run.c", include_str!("c/run.c")),
    ("run.h", include_str!("c/run.h")),
    ("say.c", include_str!("c/say.c")),
    ("say.h", include_str!("c/say.h")),
    ("sensors.h", include_str!("c/sensors.h")),
    ("serial.c", include_str!("c/serial.c")),
    ("serial.h", include_str!("c/serial.h")),
    ("start.h", include_str!("c/start.h")),
    ("text.h", include_str!("c/text.h")),
    ("trace.c", include_str!("c/trace.c")),
    ("trace.h", include_str!("c/trace.h")),
    ("watch.c", include_str!("c/watch.c")),
    ("watch.h", include_str!("c/watch.h")),
];

/// All files of the project but its README.
pub(super) fn files(
    source: &Source<'_>,
    lines: &Lines,
    kind: Kind,
    figures: &Figures,
    remarks: &mut Vec<String>,
) -> Vec<File> {
    remarks.extend(figures.trace.remark(figures.says));
    let mut files: Vec<File> = SAME.iter().map(|(n, t)| File::new(*n, *t)).collect();
    files.push(File::new("robot.h", header(source, lines, figures)));
    let written = sensors::written(source, lines);
    remarks.extend(sensors::remarks(source, &written));
    let code = sensors_c::code(source, lines, &written);
    files.push(File::new("sensors.c", code));
    let measured = sensors_c::measured(source, lines, &written);
    files.push(File::new("measured.h", measured));
    files.push(File::new("names.c", names::file(source)));
    files.push(File::new(
        "start.c",
        match figures.wait_ms {
            Some(_) => include_str!("c/start_by_delay.c"),
            None => include_str!("c/start_by_remote.c"),
        },
    ));
    let control = source.robot.wiring.driver.control;
    let driver = match control {
        Control::PwmDirection => include_str!("c/motors_pwm_direction.c"),
        Control::PwmTwoLines => include_str!("c/motors_pwm_two_lines.c"),
        Control::TwoPwm => include_str!("c/motors_two_pwm.c"),
    };
    files.push(File::new(
        "motors.c",
        format!("{driver}{}", motors(control, lines.enable)),
    ));
    files.push(File::new("pins.h", pins(source, lines, kind)));
    files.extend(board(lines, kind));
    files.extend(crate::c99(source.program, source.ports));
    files.sort_by(|a, b| a.path.cmp(&b.path));
    files
}

/// `pins.h`: the row of each line as `board.c` knows it.
fn pins(source: &Source<'_>, lines: &Lines, kind: Kind) -> String {
    let gadgets = !source.ports.gadgets.is_empty();
    let mut output = 0;
    let rows: Vec<String> = (lines.wires.iter())
        .map(|wire| match kind {
            Kind::Stm32f103 => stm32f103::row(wire),
            Kind::Nrf52833 => {
                let own = wire.pulses.then_some(output);
                output += usize::from(wire.pulses);
                nrf52833::row(wire, own)
            }
            Kind::Avr | Kind::MicroPython => avr::row(wire, gadgets),
        })
        .collect();
    let mut text = String::from(
        "/* Pins of the lines, in their order in robot.h. */\n#ifndef PINS_H\n#define PINS_H\n\n#define PINS \\\n    { \\\n",
    );
    for (row, wire) in rows.iter().zip(&lines.wires) {
        text.push_str(&format!("        {row}, /* {} */ \\\n", wire.name));
    }
    text.push_str("    }\n");
    if let (Kind::Nrf52833, Some([tx, rx])) = (kind, &lines.sheet.serial) {
        let [tx, rx] = [tx, rx].map(|p| nrf52833::number(p));
        text.push_str(&format!(
            "#define SERIAL_TX {tx}u\n#define SERIAL_RX {rx}u\n"
        ));
    }
    text + "\n#endif\n"
}

/// The chip's own files.
fn board(lines: &Lines, kind: Kind) -> Vec<File> {
    let sheet = &lines.sheet;
    let common = include_str!("c/common.mk");
    let clock = sheet.clock_hz.round();
    match kind {
        Kind::Avr | Kind::MicroPython => {
            let mcu = sheet.chip.to_ascii_lowercase();
            let loader = if mcu == "atmega32u4" {
                "avr109"
            } else {
                "arduino"
            };
            let own = (include_str!("c/avr.mk").replace("@MCU@", &mcu))
                .replace("@CLOCK@", &format!("{clock}"))
                .replace("@LOADER@", loader);
            vec![
                File::new("board.c", include_str!("c/board_avr.c")),
                File::new(
                    "Makefile",
                    own + &common.replace("@SECTIONS@", "-R .eeprom"),
                ),
            ]
        }
        Kind::Stm32f103 => cortex(
            include_str!("c/board_stm32f103.c"),
            ["cortex-m3", "st-flash --format ihex write robot.hex"],
            ["0x08000000", "", ""],
            sheet,
        ),
        Kind::Nrf52833 => cortex(
            include_str!("c/board_nrf52833.c"),
            ["cortex-m4", "cp robot.hex $(PORT)"],
            [
                "0x00000000",
                "    settings (r) : ORIGIN = 0x1000120C, LENGTH = 4\n",
                "    .settings : { KEEP(*(.settings)) } > settings\n",
            ],
            sheet,
        ),
    }
}

fn cortex(
    board: &str,
    [cpu, load]: [&str; 2],
    [flash_at, more, sections]: [&str; 3],
    sheet: &robot::BoardSheet,
) -> Vec<File> {
    let own = (include_str!("c/cortex.mk").replace("@CPU@", cpu)).replace("@LOAD@", load);
    let common = include_str!("c/common.mk").replace("@SECTIONS@ ", "");
    let script = (include_str!("c/cortex.ld").replace("@FLASH_AT@", flash_at))
        .replace("@FLASH@", &sheet.flash_bytes.to_string())
        .replace("@RAM@", &sheet.ram_bytes.to_string())
        .replace("@MORE@", more)
        .replace("@SECTIONS@", sections);
    vec![
        File::new("board.c", board),
        File::new("begin.c", include_str!("c/cortex.c")),
        File::new("board.ld", script),
        File::new("Makefile", own + &common),
    ]
}
