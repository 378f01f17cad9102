//! `sensors.c` and `measured.h`: the sensors, each a small function, and what only the builder can measure.

use robot::{Interface, SensorKind};

use super::Source;
use super::lines::Lines;
use super::sensors::{Written, before, blank, word};
use crate::page::Page;

/// Lines of `sensors.c`.
pub(super) fn code(source: &Source<'_>, lines: &Lines, written: &[Written]) -> String {
    let sensors = &source.robot.sensors;
    let functions: Vec<String> = (0..sensors.len())
        .map(|k| format!("read_{}", word(lines, k).to_lowercase()))
        .collect();
    let mut page = Page::default();
    page.lines([
        "/* Each sensor a small function. A sensor of your own goes where it says YOUR OWN: whatever it",
        " * takes, the function gives the reading that its remark names, and it does not wait. */",
        "#include \"sensors.h\"",
        "",
        "#include \"board.h\"",
        "#include \"chips.h\"",
        "#include \"measure.h\"",
        "#include \"measured.h\"",
        "#include \"robot.h\"",
        "#include \"watch.h\"",
        "",
    ]);
    let eyes = count(source, lines, Interface::I2c, true);
    if eyes > 0 {
        page.line(format!("static struct eye eyes[{eyes}];"));
        page.line("");
    }
    let encoders = count(source, lines, Interface::TwoLines, false);
    if encoders > 0 {
        page.lines(include_str!("c/wheels.c").lines());
        page.line("");
    }
    for ((sensor, function), w) in sensors.iter().zip(&functions).zip(written) {
        // A remark ends where the robot's own text would end it.
        let name = sensor.item.name.replace("*/", "* /").replace("/*", "/ *");
        let name: String = name.chars().filter(|c| !c.is_control()).collect();
        page.line(format!("/* {name}: {}. YOUR OWN sensor? Here. */", w.about));
        page.line(format!("static int16_t {function}(void)"));
        page.block("{", "}", |page| page.lines(&w.body));
        page.line("");
    }
    begin(&mut page, source, lines, eyes);
    page.line("void sensors_start(void)");
    page.block("{", "}", |page| {
        if encoders > 0 {
            page.line("wheels_start();");
        }
    });
    page.line("");
    page.line("int16_t sensor_read(uint8_t k)");
    page.block("{", "}", |page| {
        chosen(page, &functions, "0", |_, f| Some(format!("{f}()")));
    });
    page.line("");
    page.lines([
        "void sensors_read(int16_t readings[TACTIC_INPUTS])",
        "{",
        "    for (uint8_t k = 0; k < TACTIC_INPUTS; k++) {",
        "        readings[k] = sensor_read(k);",
        "    }",
        "}",
        "",
        "bool sensor_sees_nothing(uint8_t k, int16_t reading)",
    ]);
    page.block("{", "}", |page| {
        page.line("(void)reading;");
        chosen(page, &functions, "false", |k, _| {
            let far = blank(&sensors[k].kind) == "SEES_NOTHING";
            far.then(|| "reading == SEES_NOTHING".into())
        });
    });
    page.line("");
    border(&mut page, source, lines, &functions);
    gadgets(&mut page, lines);
    page.finish()
}

fn count(source: &Source<'_>, lines: &Lines, like: Interface, tof: bool) -> usize {
    before(
        lines,
        &source.robot.sensors,
        source.robot.sensors.len(),
        like,
        tof,
    )
}

/// `switch (k)` over all sensors; those for which `said` gives nothing go to `other`.
fn chosen(
    page: &mut Page,
    functions: &[String],
    other: &str,
    said: impl Fn(usize, &str) -> Option<String>,
) {
    page.block("switch (k) {", "}", |page| {
        for (k, f) in functions.iter().enumerate() {
            if let Some(said) = said(k, f) {
                page.line(format!("case {k}:"));
                page.line(format!("    return {said};"));
            }
        }
        page.line("default:");
        page.line(format!("    return {other};"));
    });
}

/// `sensors_begin`: sleepers are woken one after the other, each to an address of its own.
fn begin(page: &mut Page, source: &Source<'_>, lines: &Lines, eyes: usize) {
    let sensors = &source.robot.sensors;
    if eyes > 0 {
        page.lines([
            "/* A chip of this kind takes a millisecond to wake. */",
            "static void wait(uint8_t ms)",
            "{",
            "    const uint32_t from = board_ms();",
            "    while (board_ms() - from <= ms) {",
            "    }",
            "}",
            "",
        ]);
    }
    page.line("void sensors_begin(void)");
    page.block("{", "}", |page| {
        let mut mover: Option<&str> = None;
        for (k, sensor) in sensors.iter().enumerate() {
            if lines.interfaces[k] != Interface::I2c {
                continue;
            }
            let line = &lines.sensors[k];
            match sensor.kind {
                SensorKind::TimeOfFlight { .. } => {
                    let eye = before(lines, sensors, k, Interface::I2c, true);
                    let wake = format!("{line}_wake");
                    if lines.has(&wake) {
                        page.line(format!("board_put({wake}, true);"));
                    }
                    page.line("wait(2);");
                    page.line(format!(
                        "eye_begin(&eyes[{eye}], {line}_data, {line}_clock, EYE_FIRST_ADDRESS + {});",
                        eye + 1
                    ));
                }
                SensorKind::Tilt { .. } | SensorKind::TurnRate { .. } if mover.is_none() => {
                    mover = Some(line);
                    page.line(format!("mover_begin({line}_data, {line}_clock);"));
                }
                _ => {}
            }
        }
    });
    page.line("");
}

/// Head of a function, what it gives for other sensors, what for a border sensor.
type Question<'q> = (&'q str, &'q str, &'q dyn Fn(usize) -> String);

/// What the border aid asks.
fn border(page: &mut Page, source: &Source<'_>, lines: &Lines, functions: &[String]) {
    let sensors = &source.robot.sensors;
    let down = |k: usize| {
        let reflectance = matches!(sensors[k].kind, SensorKind::Reflectance { .. });
        reflectance && lines.interfaces[k] == Interface::Analogue
    };
    let questions: [Question<'_>; 4] = [
        ("bool sensor_is_border(uint8_t k)", "false", &|_| {
            "true".into()
        }),
        ("uint16_t sensor_raw(uint8_t k)", "0", &|k| {
            format!("measured_share({})", lines.sensors[k])
        }),
        ("bool sensor_black_is_more(uint8_t k)", "false", &|k| {
            let word = word(lines, k);
            format!("{word}_BLACK > {word}_WHITE")
        }),
        (
            "int16_t sensor_brightness(uint8_t k, uint16_t raw)",
            "0",
            &|k| {
                let word = word(lines, k);
                format!("brightness(raw, {word}_BLACK, {word}_WHITE)")
            },
        ),
    ];
    for (head, other, said) in questions {
        page.line(head);
        page.block("{", "}", |page| {
            if head.contains("raw)") {
                page.line("(void)raw;");
            }
            chosen(page, functions, other, |k, _| down(k).then(|| said(k)));
        });
        page.line("");
    }
}

fn gadgets(page: &mut Page, lines: &Lines) {
    page.line("uint16_t gadget_us(uint8_t k, int16_t order)");
    page.block("{", "}", |page| {
        page.block("if (order < 0) {", "}", |page| page.line("return 0;"));
        page.block("switch (k) {", "}", |page| {
            for (k, name) in lines.gadgets.iter().enumerate() {
                page.line(format!("case {k}:"));
                page.line(format!(
                    "    return (uint16_t)({name}_FIRST_US + ((int32_t){name}_SECOND_US - {name}_FIRST_US) * order / 1000);"
                ));
            }
            page.line("default:");
            page.line("    return 0;");
        });
    });
}

/// Lines of `measured.h`.
pub(super) fn measured(source: &Source<'_>, lines: &Lines, written: &[Written]) -> String {
    let mut page = Page::default();
    page.lines([
        "/* What only you can measure, on your robot: the one file to edit. `s` and `b` on the serial line say",
        " * what the sensors read; README.md says how to go about it. */",
        "#ifndef MEASURED_H",
        "#define MEASURED_H",
        "",
    ]);
    let constants = written.iter().flat_map(|w| &w.constants);
    for (name, value, what) in constants {
        page.line(format!("/* {what} */"));
        page.line(format!("#define {name} {value}"));
    }
    for (name, port) in lines.gadgets.iter().zip(&source.ports.gadgets) {
        for (end, tail, us) in [
            (&port.ends[0], "FIRST", 1000),
            (&port.ends[1], "SECOND", 2000),
        ] {
            let end: String = end
                .chars()
                .filter(|c| c.is_alphanumeric() || "-_ ".contains(*c))
                .collect();
            page.line(format!(
                "/* pulse in microseconds that sends it to \"{end}\" */"
            ));
            page.line(format!("#define {name}_{tail}_US {us}"));
        }
    }
    page.lines(["", "#endif"]);
    page.finish()
}
