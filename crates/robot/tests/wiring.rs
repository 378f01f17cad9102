//! Pins, wires and fuse as the robot file says them.

use robot::{Control, ExtraKind, Gauge, Interface, Issue, PartsBox, Robot};

fn reading(change: impl Fn(&str) -> String) -> Result<Robot, Vec<Issue>> {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let text = change(&shelf::file("robots/demo.toml").expect("the demo"));
    robot::read("demo.toml", &text, &parts, &|_| Some(String::new()))
}

fn read(change: impl Fn(&str) -> String) -> Robot {
    reading(change).unwrap_or_else(|e| panic!("{e:#?}"))
}

/// The demo with lines added below the headers named.
fn with<'a>(lines: &'a [(&'a str, &'a str)]) -> impl Fn(&str) -> String + 'a {
    move |text| {
        let mut text = text.to_owned();
        for (header, line) in lines {
            assert!(text.contains(header), "{header}");
            text = text.replacen(header, &format!("{header}\n{line}"), 1);
        }
        text
    }
}

#[test]
fn a_robot_that_says_nothing_has_the_sheet_of_its_part_as_a_guess() {
    let w = read(str::to_owned).wiring;
    let sheet = w.sheet.as_ref().expect("that of the part");
    assert_eq!((sheet.name.as_str(), w.sheet_stated), ("atmega328p", false));
    assert!(!w.names_pins() && w.extras.is_empty() && w.harness.fuse.is_none());
    let lead = w.lead("edge-left").expect("a sensor has wires");
    assert_eq!((lead.interface, lead.signal_v), (Interface::Analogue, None));
    let range = w.lead("centre").expect("a sensor has wires");
    assert_eq!(range.signal_v, Some(3.2), "the part says so");
    assert!(!range.signal_stated);
}

#[test]
fn what_the_file_says_is_there() {
    let w = read(with(&[
        ("[board]", "board = \"stm32f103\"\nfed-at = \"5v\""),
        ("[driver]", "control = \"pwm-two-lines\"\npins-left = [\"PA8\", \"PB12\", \"PB13\"]\npull-down = true\nenable-pin = \"pb15\""),
        ("name = \"centre\"", "pin = \"pa0\"\nsignal = \"3.1 V\""),
        ("[battery]", "cells = 4\n"),
        ("tactic = \"demo.tactic\"", "\n[wiring]\nbattery-wire = \"22 AWG\"\nmotor-wire = \"0.25 mm²\"\nmotor-length = \"80 mm\"\nfuse = \"3 A\"\nfuse-type = \"resettable\"\n\n[[wire]]\nname = \"go\"\ntype = \"start-module\"\npin = \"PB5\"\n"),
    ]))
    .wiring;
    assert!(w.sheet_stated && w.names_pins());
    assert_eq!(w.fed_at.as_deref(), Some("5V"), "as the board calls it");
    let pins: Vec<&str> = w.driver.left.iter().map(|p| p.pin.as_str()).collect();
    assert_eq!(
        (w.driver.control, pins),
        (Control::PwmTwoLines, vec!["PA8", "PB12", "PB13"])
    );
    assert_eq!(
        w.driver.enable.as_ref().map(|p| p.pin.as_str()),
        Some("PB15")
    );
    let lead = w.lead("centre").expect("it has wires");
    assert_eq!(
        (lead.pins[0].pin.as_str(), lead.signal_v),
        ("PA0", Some(3.1))
    );
    assert_eq!(
        (w.cells, w.extras[0].kind),
        (Some(4), ExtraKind::StartModule)
    );
    let h = &w.harness;
    assert_eq!(
        h.battery_wire.as_ref().map(|s| s.gauge),
        Some(Gauge::Awg(22))
    );
    assert!(
        matches!(h.motor_wire.as_ref().map(|s| s.gauge), Some(Gauge::AreaM2(a)) if (a - 2.5e-7).abs() < 1e-15)
    );
    assert!(
        h.fuse_resets
            && h.fuse
                .as_ref()
                .is_some_and(|f| (f.si() - 3.0).abs() < 1e-12)
    );
}

/// What is said of one wrong line.
fn told(header: &str, line: &str) -> String {
    let board = ("[board]", "board = \"atmega328p\"");
    let other = header != "[board]";
    let lines: Vec<(&str, &str)> = [(header, line)]
        .into_iter()
        .chain(other.then_some(board))
        .collect();
    let issues = reading(with(&lines)).expect_err(line);
    let all: Vec<String> = issues
        .iter()
        .map(|i| {
            format!(
                "{} | {} | {}",
                i.what,
                i.expected,
                i.suggestion.clone().unwrap_or_default()
            )
        })
        .collect();
    all.join("\n")
}

#[test]
fn a_wrong_wire_is_told_with_what_was_expected() {
    let centre = "name = \"centre\"";
    for (header, line, parts) in [
        (
            "[board]",
            "board = \"atmega328\"",
            ["no board \"atmega328\"", "board = \"atmega328p\""],
        ),
        (
            "[board]",
            "fed-at = \"VNI\"",
            ["is not fed at \"VNI\"", "fed-at = \"VIN\""],
        ),
        (
            centre,
            "pin = \"D3\"",
            ["atmega328p has no pin \"D3\"", "pin = \"3\""],
        ),
        (
            centre,
            "pin = 3",
            ["\"pin\" is a bare number", "pin = \"3\""],
        ),
        (
            centre,
            "pins = [\"3\", \"4\"]",
            ["\"pins\" names 2 pins", "1, in the order"],
        ),
        (
            centre,
            "interface = \"i2c\"\npin = \"3\"",
            ["this sensor has 2 lines", "first data (SDA)"],
        ),
        (
            centre,
            "interface = \"analog\"",
            ["\"analog\" is not a known interface", "\"analogue\""],
        ),
        (
            centre,
            "enable-pin = \"3\"",
            ["only a sensor on a bus", "no such line"],
        ),
        (centre, "signal = \"-1 V\"", ["signal", "above zero"]),
        (
            "[driver]",
            "pins-left = [\"3\"]",
            ["\"pins-left\" names 1 pins", "2, in the order"],
        ),
        (
            "[driver]",
            "control = \"pwm\"",
            ["\"pwm\" is not a known control", "pwm-direction"],
        ),
        (
            "tactic = \"demo.tactic\"",
            "[wiring]\nbattery-wire = \"22\"",
            ["\"22\" is no size of a wire", "battery-wire = \"22 AWG\""],
        ),
        (
            "tactic = \"demo.tactic\"",
            "[wiring]\nfuze = \"2 A\"",
            ["unknown key \"fuze\"", "fuse = \"2 A\""],
        ),
        (
            "tactic = \"demo.tactic\"",
            "[[wire]]\nname = \"x\"\ntype = \"buton\"",
            ["\"buton\" is not a known type", "type = \"button\""],
        ),
        (
            "[battery]",
            "cells = 0",
            ["\"cells\" is 0", "a whole number from 1 to 30"],
        ),
    ] {
        let told = told(header, line);
        for part in parts {
            assert!(told.contains(part), "{line}: no {part} in\n{told}");
        }
    }
}

#[test]
fn pins_of_a_board_nobody_knows_are_taken_as_they_are() {
    let w = read(|text| {
        let text = text.replace("part = \"board-beginner\"", "mass = \"9 g\"\n");
        with(&[("name = \"centre\"", "pin = \"X99\"")])(&text)
    })
    .wiring;
    assert!(w.sheet.is_none());
    assert_eq!(
        w.lead("centre").map(|l| l.pins[0].pin.as_str()),
        Some("X99")
    );
}
