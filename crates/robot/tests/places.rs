//! Places as a builder says them.

use robot::{Item, PartsBox};

/// The first part of the robot, put at `at`.
fn part_at(at: &str) -> Item {
    let text = include_str!("whole.toml").replace("[\"0 mm\", \"0 mm\", \"8 mm\"]", at);
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let robot = robot::read("r.toml", &text, &parts, &|_| Some(String::new()))
        .unwrap_or_else(|e| panic!("{e:#?}"));
    robot.parts[0].clone()
}

#[track_caller]
fn is_at_mm(at: &str, expected: [f64; 3]) {
    let found = part_at(at).at.map(|a| 1e3 * a.si());
    for (f, e) in found.iter().zip(expected) {
        assert!((f - e).abs() < 1e-9, "{at}: {found:?}, not {expected:?}");
    }
}

/// The robot is 98 mm long: its front is 49 mm ahead of the middle.
#[test]
fn words_and_numbers_say_the_same_place() {
    is_at_mm("[\"10 mm\", \"-20 mm\", \"1.5 cm\"]", [10.0, -20.0, 15.0]);
    is_at_mm(
        "\"39 mm from front, 20 mm right, 15 mm up\"",
        [10.0, -20.0, 15.0],
    );
    is_at_mm(
        "\"59 mm from back, 20 mm right, 15 mm up\"",
        [10.0, -20.0, 15.0],
    );
    is_at_mm("\"15 mm up, 10 mm ahead, 20 mm left\"", [10.0, 20.0, 15.0]);
    is_at_mm(
        "\"10 mm behind, in the middle, 15 mm up\"",
        [-10.0, 0.0, 15.0],
    );
    is_at_mm("\"10 mm behind, 15 mm up\"", [-10.0, 0.0, 15.0]);
}

#[test]
fn a_place_in_words_keeps_its_spreads() {
    let part = part_at("\"39 +- 1 mm from front, 20 ~ 2 mm right, 15 mm up\"");
    assert!((part.at[0].unsure() - 1e-3).abs() < 1e-12);
    assert!((part.at[1].varies() - 2e-3).abs() < 1e-12);
    assert!(part.at[2].unsure().abs() < 1e-12);
}

#[test]
fn a_wheel_stands_on_the_ring_when_its_height_is_left_out() {
    let text = include_str!("whole.toml");
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    for at in ["[\"-12 mm\", \"43 mm\"]", "\"12 mm behind, 43 mm left\""] {
        let text = text.replace("[\"-12 mm\", \"43 mm\"]", at);
        let robot = robot::read("r.toml", &text, &parts, &|_| Some(String::new()))
            .unwrap_or_else(|e| panic!("{e:#?}"));
        let wheel = &robot.wheels[0];
        let places = wheel.item.at.each_ref().map(|a| 1e3 * a.si());
        assert!((places[0] + 12.0).abs() < 1e-9 && (places[1] - 43.0).abs() < 1e-9);
        assert!(
            (places[2] - 1e3 * wheel.radius.si()).abs() < 1e-9,
            "{places:?}"
        );
    }
}
