//! Robots on tracks on paper.

use paper::{Paper, SupportKind, examine};
use robot::{PartsBox, Robot};
use rules::Classes;

/// The demo robot on two tracks with these changes, its blade taken off the ring.
fn tracked(changes: &str, y_mm: u32) -> (Robot, Paper) {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let demo = shelf::file("robots/demo.toml").expect("it is there");
    let (head, rest) = demo.split_once("[[wheel]]").expect("wheels");
    let (_, tail) = rest.split_once("[blade]").expect("a blade");
    let track = |side: &str, sign: &str| {
        format!(
            "[[track]]\nname = \"{side} track\"\npart = \"track-22-silicone\"\n\
             motor = \"{side} motor\"\nat = [\"0 mm\", \"{sign}{y_mm} mm\"]\n{changes}\n\n"
        )
    };
    let tail = tail.replace("tip-height = \"0 mm\"", "tip-height = \"1 mm\"");
    let (left, right) = (track("left", ""), track("right", "-"));
    let text = format!("{head}{left}{right}[blade]{tail}");
    let lookup = |name: &str| shelf::file(&format!("robots/{name}"));
    let robot =
        robot::read("demo.toml", &text, &parts, &lookup).unwrap_or_else(|e| panic!("{e:#?}"));
    let tactic = tactic::parse(&robot.tactic.file, &robot.tactic.text).expect("it reads");
    let paper = examine(
        &robot,
        classes.find("mini").expect("it is there"),
        &tactic,
        &parts,
    );
    (robot, paper)
}

#[test]
fn all_of_the_weight_stands_on_the_patches_and_grips() {
    let (robot, paper) = tracked("", 41);
    let (footing, drive) = (
        paper.footing.expect("it stands"),
        paper.drive.expect("it drives"),
    );
    assert!(
        (footing.driven_share - 1.0).abs() < 1e-9,
        "{}",
        footing.driven_share
    );
    let on = |k: usize| -> f64 {
        let of = footing
            .supports
            .iter()
            .filter(|s| s.kind == SupportKind::DrivenTrack(k));
        of.map(|s| s.load_n).sum()
    };
    let weight = footing.mass_kg * quantity::maths::STANDARD_GRAVITY;
    assert!((on(0) + on(1) - weight).abs() < 1e-6 * weight);
    // What grip there is follows from load and compound alone; uneven loads cost a little of it.
    let whole = robot.tracks[0].tyre.grip_peak.si() * weight;
    assert!(
        drive.grip_n < 1.01 * whole && drive.grip_n > 0.9 * whole,
        "{}",
        drive.grip_n
    );
    assert!(drive.push_n > 0.0 && drive.charge_s.is_finite());
}

#[test]
fn a_longer_track_is_harder_to_turn_and_pushes_the_same() {
    let (_, short) = tracked("ground-length = \"30 mm\"", 41);
    let (_, long) = tracked("ground-length = \"60 mm\"", 41);
    let of = |p: &Paper| {
        let d = p.drive.as_ref().expect("it drives");
        (d.motors_push_n, d.turning.expect("both sides are driven"))
    };
    let ((push_short, turn_short), (push_long, turn_long)) = (of(&short), of(&long));
    assert!((push_long / push_short - 1.0).abs() < 1e-9);
    // Twice the length, nearly twice the moment: the width of the belts counts a little.
    let more = turn_long.scrub_nm / turn_short.scrub_nm;
    assert!((1.7..2.1).contains(&more), "{more}");
    assert!((turn_long.shaft_nm / turn_long.side_n - 0.011).abs() < 1e-9);
}

#[test]
fn tracks_too_long_for_their_distance_are_told() {
    let told = |p: &Paper| {
        p.findings
            .iter()
            .any(|f| f.name == "hard-to-turn" && f.place.is_some())
    };
    assert!(!told(&tracked("ground-length = \"30 mm\"", 41).1));
    assert!(told(&tracked("ground-length = \"70 mm\"", 15).1));
}
