//! Gadgets and blade mounts: what reads, and what is told when it does not.

use robot::{Issue, Mount, Moved, PartsBox, Robot, Travel};

fn reading(change: impl Fn(String) -> String) -> Result<Robot, Vec<Issue>> {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let text = change(shelf::file("robots/demo.toml").expect("it is there"));
    let lookup = |name: &str| shelf::file(&format!("robots/{name}"));
    robot::read("demo.toml", &text, &parts, &lookup)
}

const LIFTER: &str = "\n[[gadget]]\nname = \"lifter\"\npart = \"servo-9g\"\ntype = \"lifter\"\n\
                      moves = \"blade\"\nhinge = [\"10 mm\", \"0 mm\", \"15 mm\"]\n\
                      at = [\"0 mm\", \"0 mm\", \"15 mm\"]\ntravel = \"40 deg\"\n";

fn driven(text: &str) -> String {
    text.replace(
        "tip-height = \"0 mm\"",
        "tip-height = \"0 mm\"\nmount = \"driven\"",
    )
}

#[test]
fn a_lifter_from_the_parts_box_moves_the_blade() {
    let robot = reading(|t| driven(&t) + LIFTER).unwrap_or_else(|e| panic!("{e:#?}"));
    let lifter = &robot.gadgets[0];
    assert_eq!(lifter.moved, Moved::Blade);
    assert_eq!(lifter.ends, ["down", "up"]);
    let Travel::Turn(travel) = &lifter.travel else {
        panic!("{lifter:?}")
    };
    assert!((travel.si().to_degrees() - 40.0).abs() < 1e-9);
    let drive = lifter.drive.as_ref().expect("a servo");
    assert!(
        (drive.stall_torque.si() - 0.156_906_4).abs() < 1e-9,
        "1.6 kgf cm"
    );
    let plain = reading(|t| t).unwrap_or_else(|e| panic!("{e:#?}"));
    let mass = |r: &Robot| r.items().map(|i| i.mass.si()).sum::<f64>();
    assert!(
        (mass(&robot) - mass(&plain) - 9e-3).abs() < 1e-12,
        "it weighs"
    );
}

#[test]
fn a_robot_without_gadgets_has_a_fixed_rigid_blade() {
    let robot = reading(|t| t).unwrap_or_else(|e| panic!("{e:#?}"));
    let mount = robot.blade.map(|b| b.mount);
    assert_eq!(
        mount,
        Some(Mount::Fixed {
            tip_stiffness: None
        })
    );
    assert!(robot.gadgets.is_empty());
}

#[track_caller]
fn told(change: impl Fn(String) -> String, what: &str) -> Issue {
    let issues = reading(change).expect_err("something is wrong");
    assert_eq!(issues.len(), 1, "{issues:#?}");
    assert_eq!(issues[0].what, what, "{issues:#?}");
    issues[0].clone()
}

#[test]
fn lifter_and_driven_blade_need_each_other() {
    told(driven_only, "nothing moves the driven blade");
    told(
        |t| t + LIFTER,
        "\"lifter\" moves a blade that is not driven",
    );
    told(
        |t| driven(&t) + LIFTER + &LIFTER.replace("\"lifter\"\npart", "\"second\"\npart"),
        "\"lifter\" moves the blade already",
    );
}

fn driven_only(text: String) -> String {
    driven(&text)
}

#[test]
fn a_key_of_another_kind_is_told_and_not_ignored() {
    let issue = told(
        |t| {
            t.replace(
                "tip-height = \"0 mm\"",
                "tip-height = \"0 mm\"\npreload = \"1 N\"",
            )
        },
        "\"preload\" has no meaning for a fixed blade",
    );
    assert_eq!(issue.suggestion.as_deref(), Some("mount = \"sprung\""));
    told(
        |t| driven(&t) + LIFTER + "foot = [\"0 mm\", \"0 mm\", \"3 mm\"]\n",
        "\"foot\" has no meaning here",
    );
    told(
        |t| driven(&t) + LIFTER + "droop = \"1 mm\"\n",
        "\"droop\" has no meaning here",
    );
}

#[test]
fn names_a_tactic_cannot_call_and_wrong_ends_are_told() {
    let issue = told(
        |t| driven(&t) + &LIFTER.replace("name = \"lifter\"", "name = \"my lifter\""),
        "\"my lifter\" is no name a tactic can call",
    );
    assert_eq!(issue.suggestion.as_deref(), Some("name = \"my-lifter\""));
    told(
        |t| driven(&t) + LIFTER + "ends = [\"up\", \"up\"]\n",
        "these are no names of two ends",
    );
    told(
        |t| driven(&t) + &LIFTER.replace("40 deg", "-40 deg"),
        "a travel of -40° makes no lifter",
    );
}

#[test]
fn every_figure_of_a_gadget_is_listed_once() {
    let robot = reading(|t| driven(&t) + LIFTER).unwrap_or_else(|e| panic!("{e:#?}"));
    let paths: Vec<String> = robot.figures().into_iter().map(|f| f.path).collect();
    for path in [
        "parts/servo-9g/holds",
        "parts/servo-9g/stall-torque",
        "gadget/lifter/travel",
        "gadget/lifter/hinge/0",
    ] {
        assert_eq!(
            paths.iter().filter(|p| *p == path).count(),
            1,
            "{path}: {paths:?}"
        );
    }
}
