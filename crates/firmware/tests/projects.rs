//! Every board's project builds without being edited, with warnings as errors, and fits; what cannot be
//! wired is refused.

mod common;

use common::projects::{board, boards, built, can_build, class, project, size};
use common::shipped::{self, Shipped};
use firmware::{Kind, Project, Unwritten, kind};

/// The demo with its distance sensors taken from another part of the box.
fn with_eyes(part: &str) -> Shipped {
    shipped::robot("demo", |t| t.replace("ir-range-400", part))
}

/// The demo with further sensors, `more-0` and so on.
fn with_more(parts: &[(&str, &str)]) -> Shipped {
    let named: Vec<_> = (parts.iter().enumerate())
        .map(|(k, (part, keys))| (format!("more-{k}"), *part, *keys))
        .collect();
    with_named(&named)
}

/// The demo with further sensors: name, part, other keys.
fn with_named(parts: &[(String, &str, &str)]) -> Shipped {
    shipped::robot("demo", |mut t| {
        for (name, part, keys) in parts {
            t.push_str(&format!(
                "\n[[sensor]]\nname = \"{name}\"\npart = \"{part}\"\nat = [\"0 mm\", \"0 mm\", \"30 mm\"]\n{keys}\n"
            ));
        }
        t
    })
}

/// The demo with a driver that is told otherwise.
fn with_driver(keys: &str) -> Shipped {
    let driver = "part = \"driver-small\"\n";
    shipped::robot("demo", |t| t.replace(driver, &format!("{driver}{keys}\n")))
}

/// The demo with a blade that a servo lifts.
fn with_lifter() -> Shipped {
    let lifter = "[[gadget]]\nname = \"lifter\"\ntype = \"lifter\"\npart = \"servo-9g\"\nmoves = \"blade\"\n\
                  at = [\"2 mm\", \"0 mm\", \"22 mm\"]\nhinge = [\"17 mm\", \"0 mm\", \"13 mm\"]\n\
                  travel = \"35 deg\"\n\n[battery]\n";
    shipped::robot("demo", |t| {
        let driven = "tip-height = \"0 mm\"\nmount = \"driven\"";
        t.replace("[battery]\n", lifter)
            .replace("tip-height = \"0 mm\"", driven)
    })
}

/// Robots that together have every kind of sensor, driver and gadget.
fn robots() -> Vec<(&'static str, Shipped)> {
    let side = ("encoder-360", "side = \"left\"");
    let other = ("encoder-360", "side = \"right\"");
    vec![
        ("demo", with_driver("")),
        ("sound", with_eyes("ultrasonic-module")),
        ("light", with_eyes("tof-1200")),
        ("near", with_eyes("proximity-module")),
        (
            "moving",
            with_more(&[
                ("tilt-sensor", ""),
                ("gyro", ""),
                ("bumper-switch", "facing = \"180 deg\""),
            ]),
        ),
        (
            "counting",
            with_more(&[side, other, ("current-sensor", "side = \"left\"")]),
        ),
        ("two-lines", with_driver("control = \"pwm-two-lines\"")),
        ("two-pulses", with_driver("control = \"two-pwm\"")),
        ("lifter", with_lifter()),
        ("crowbar", shipped::robot("mini/crowbar", |t| t)),
    ]
}

#[test]
fn every_kind_of_robot_builds_for_every_board_and_fits() {
    let mini = class("mini");
    for board in boards() {
        let Some(kind) = kind(&board) else {
            panic!("no project for {}", board.name);
        };
        if !can_build(kind) {
            continue;
        }
        let mut built_here = 0;
        for (name, robot) in robots() {
            let made = Project::of(
                &robot.robot,
                &mini,
                &robot.tactic,
                &robot.program,
                &robot.ports,
                &board,
            );
            let project = match made {
                Ok(project) => project,
                // No board has pins for everything, and then says for what.
                Err(Unwritten(why)) => {
                    assert!(
                        why.iter()
                            .all(|w| w.contains("no pin left") || w.contains("measures on")),
                        "{name}: {why:?}"
                    );
                    continue;
                }
            };
            built_here += 1;
            let at = built(&format!("{name}-{}", board.name), &project);
            let Some((flash, ram)) = size(project.kind, &at) else {
                continue;
            };
            let of = format!("{name} on {}: {flash} and {ram} bytes", board.name);
            assert!(flash < 12 * 1024, "{of}");
            assert!(ram < 1024, "{of}");
            // What the README says beforehand.
            let said = project.size.expect("it is in C");
            let misses = f64::from(said.flash_bytes) / f64::from(flash) - 1.0;
            assert!(misses.abs() < 0.1, "{of}, said {said:?}");
            assert!(said.ram_bytes.abs_diff(ram) <= 24, "{of}, said {said:?}");
        }
        let least = if board.name == "rp2040" { 3 } else { 7 };
        assert!(built_here >= least, "{}: {built_here}", board.name);
    }
}

#[test]
fn what_cannot_be_wired_is_refused_with_every_line() {
    let demo = with_driver("");
    let (mini, board) = (class("mini"), board("rp2040"));
    let of = |robot: &Shipped, board| {
        Project::of(
            &robot.robot,
            &mini,
            &robot.tactic,
            &robot.program,
            &robot.ports,
            board,
        )
    };
    let Err(Unwritten(why)) = of(&demo, &board) else {
        panic!("three pins measure, five sensors are to be measured");
    };
    assert_eq!(why.len(), 3, "{why:?}");
    assert!(why[0].contains("edge-left") && why[1].contains("edge-right"));
    assert!(why[2].contains("digital"), "what to do: {why:?}");
    let mut strange = board.clone();
    strange.chip = "Z80".into();
    let Err(Unwritten(why)) = of(&demo, &strange) else {
        panic!("there is none for that chip");
    };
    assert!(why[0].contains("Z80") && why[0].contains("ATmega328P"));
}

#[test]
fn the_wiring_table_has_every_line_once_and_the_readme_says_it() {
    let demo = with_driver("");
    let project = project(&demo, &class("mini"), &board("atmega328p"));
    let mut pins: Vec<&str> = project.wiring.iter().map(|c| c.pin.as_str()).collect();
    pins.sort_unstable();
    pins.dedup();
    assert_eq!(
        pins.len(),
        project.wiring.len(),
        "no pin twice: {:?}",
        project.wiring
    );
    let readme = &project
        .files
        .iter()
        .find(|f| f.path == "README.md")
        .expect("it has one")
        .text;
    for c in &project.wiring {
        let row = format!("| {} | {} | {} |", c.item, c.signal, c.pin);
        assert!(readme.contains(&row), "{row}\n{readme}");
    }
    for word in ["Wheels up", "Power last", "Eye protection", "5.04 s"] {
        assert!(readme.contains(word), "{word}");
    }
    assert!(
        project
            .wiring
            .iter()
            .all(|c| !["0", "1"].contains(&c.pin.as_str())),
        "the serial line is kept"
    );
}

#[test]
fn a_driver_keeps_its_enable_line_on_a_board_it_is_not_wired_for() {
    let wired = with_driver("enable-pin = \"7\"");
    for name in ["atmega328p", "stm32f103"] {
        let project = project(&wired, &class("mini"), &board(name));
        let enable = project.wiring.iter().find(|c| c.signal == "enable");
        assert!(enable.is_some(), "{name}: {:?}", project.wiring);
        if can_build(project.kind) {
            built(&format!("enable-{name}"), &project);
        }
    }
}

#[test]
fn names_that_look_like_the_lines_of_another_stay_apart() {
    let alike = with_named(&[
        ("wheel".into(), "encoder-360", "side = \"left\""),
        ("wheel-a".into(), "bumper-switch", "facing = \"180 deg\""),
    ]);
    let project = project(&alike, &class("mini"), &board("atmega328p"));
    if can_build(project.kind) {
        built("alike", &project);
    }
}

#[test]
fn hostile_names_stay_names() {
    let hostile = shipped::robot("demo", |t| {
        t.replace("Pebble\"", "Pe\\\\\\\"bble */ ??/ |\"")
            .replace("name = \"right\"", "name = \"höhe\"")
    });
    // The tactic reads no such sensor; only the names matter.
    let project = project(&hostile, &class("mini"), &board("atmega328p"));
    if can_build(Kind::Avr) {
        built("hostile", &project);
    }
}
