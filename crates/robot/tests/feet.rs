//! Feet as they are read: slides and balls, written out or from the parts box.

use quantity::Draws;
use robot::{Issue, PartsBox, Robot};

/// The whole robot of the other tests with one more foot.
fn on_foot(foot: &str) -> Result<Robot, Vec<Issue>> {
    let text = include_str!("whole.toml");
    let (head, tail) = text.split_once("[blade]").expect("a blade");
    let text = format!(
        "{head}[[skid]]\nname = \"foot\"\nat = [\"-40 mm\", \"0 mm\"]\n{foot}\n\n[blade]{tail}"
    );
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    robot::read("whole.toml", &text, &parts, &|_| Some(String::new()))
}

#[test]
fn a_ball_drags_by_rolling_and_a_slide_by_friction() {
    for (foot, drag) in [
        ("part = \"slide-foot\"", 0.2),
        ("part = \"ball-foot-16\"", 0.05),
        ("mass = \"3 g\"\nfriction = 0.3", 0.3),
        ("mass = \"3 g\"\ntype = \"ball\"", 0.08),
        // Stuck: it would rather slide.
        (
            "mass = \"3 g\"\ntype = \"ball\"\nrolling = 0.4\nfriction = 0.3",
            0.3,
        ),
    ] {
        let robot = on_foot(foot).unwrap_or_else(|e| panic!("{foot}: {e:#?}"));
        let drags = robot.skids[0].drag(&Draws::nominal());
        assert!((drags - drag).abs() < 1e-12, "{foot}: {drags}");
    }
}

#[test]
fn what_a_foot_cannot_be_is_told() {
    for (foot, told) in [
        (
            "mass = \"3 g\"\nrolling = 0.1",
            "a foot that slides does not roll",
        ),
        ("mass = \"3 g\"\ntype = \"bal\"", "bal"),
    ] {
        let issues = on_foot(foot).expect_err("it is wrong");
        assert!(issues.iter().any(|i| i.what.contains(told)), "{issues:#?}");
    }
}
