//! The parts box that comes with the program.

use robot::PartsBox;

#[test]
fn the_parts_box_reads_without_a_complaint() {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    assert!(parts.entries().len() >= 40, "{}", parts.entries().len());
    for kind in [
        "part", "motor", "wheel", "track", "skid", "magnet", "blade", "gadget", "battery",
        "driver", "board", "sensor",
    ] {
        assert!(parts.entries().iter().any(|e| e.kind == kind), "no {kind}");
    }
}

#[test]
fn wheels_come_in_four_sizes_and_three_compounds() {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    for size in [22, 34, 42, 60] {
        for compound in ["rubber", "silicone", "urethane"] {
            assert!(parts.find(&format!("wheel-{size}-{compound}")).is_some());
        }
    }
}

#[test]
fn what_is_wrong_in_a_part_is_told_by_the_robot_that_uses_it() {
    let mut files = shelf::files("parts");
    let own =
        "[plate-steel-98]\nkind = \"part\"\ntitle = \"mine\"\nmass = \"20 g\"\nsize = \"5 mm\"\n";
    files.push(("my-parts.toml".into(), own.into()));
    let parts = PartsBox::read(&files).unwrap_or_else(|e| panic!("{e:#?}"));
    let text = include_str!("whole.toml");
    let lookup = |_: &str| Some(String::new());
    // Asked twice: what the first time found does not hide from the second.
    for _ in 0..2 {
        let issues =
            robot::read("whole.toml", text, &parts, &lookup).expect_err("a size is a list");
        assert_eq!(issues.len(), 1, "{issues:#?}");
        assert_eq!(
            (&*issues[0].place.file, issues[0].place.line),
            ("my-parts.toml", 5)
        );
    }
}
