//! Parts of a project that need no chip, held against arithmetic and against a made-up chip on the bus.

mod common;

use std::process::Command;

use common::projects::{board, class, project};
use common::{shipped, tool};

#[test]
fn angles_encoders_buses_and_readings_come_out_right() {
    if !tool::is_there("gcc") {
        return;
    }
    let robot = shipped::robot("demo", |t| {
        t + "\n[[sensor]]\nname = \"more-0\"\npart = \"encoder-360\"\nside = \"left\"\nat = [\"0 mm\", \"0 mm\", \"30 mm\"]\n"
    });
    let made = project(&robot, &class("mini"), &board("stm32f103"));
    let at = tool::folder("parts", &made.files);
    let of_project = ["measure.c", "watch.c", "bus.c", "chips.c"].map(|f| at.join(f));
    let flags = [
        "-std=c99",
        "-O1",
        "-fsanitize=undefined",
        "-fno-sanitize-recover=all",
    ];
    tool::run(
        Command::new("gcc")
            .args(flags)
            .arg("-I")
            .arg(&at)
            .arg("-o")
            .arg(at.join("parts"))
            .arg(tool::bench().join("parts.c"))
            .args(of_project),
    );
    let said = tool::run(&mut Command::new(at.join("parts")));
    let numbers =
        |line: &str| -> Vec<i32> { line.split(' ').filter_map(|w| w.parse().ok()).collect() };
    let mut angles = 0;
    for line in said.lines().filter(|l| l.starts_with("angle")) {
        let n = numbers(line);
        let exact = quantity::maths::atan2(n[0].into(), n[1].into()).to_degrees() * 10.0;
        // 0.3 degrees of the approximation, a tenth of rounding.
        assert!((exact - f64::from(n[2])).abs() < 4.0, "{line}: {exact}");
        angles += 1;
    }
    assert_eq!(angles, 181);
    let line = |what: &str| {
        let found = said.lines().find(|l| l.starts_with(what));
        found.unwrap_or_else(|| panic!("{what}: {said}"))
    };
    let edges = numbers(line("edges"));
    assert!(edges[0] > 200);
    assert_eq!(edges[0], edges[1], "every edge, forward and backward");
    assert_eq!(line("works"), "works 1 address 42 ranges 2");
    assert_eq!(line("mm"), "mm 300 cleared 1", "0x012C");
    assert_eq!(line("old"), "old 300", "no new reading");
    assert_eq!(
        line("nothing"),
        "nothing 65535",
        "8190 mm and more is nothing"
    );
    assert_eq!(line("gone"), "gone 65535");
    assert_eq!(
        line("held"),
        "held 0",
        "a bus that is held is told, not waited for"
    );
    // atan(1/3) is 18.43 degrees; 3280 counts at 16.4 a degree a second are 200.
    let moving = numbers(line("tilt"));
    assert!((moving[0] - 184).abs() <= 4, "{moving:?}");
    assert_eq!(moving[1], -2000);
    assert_eq!(line("brightness"), "brightness 500 0 1000 250");
    assert_eq!(line("distance"), "distance 50 32767 32767");
}
