//! What is said of a gadget the program does not use, and nothing of one it does.

use robot::{PartsBox, Severity};
use rules::Classes;

const LIFTER: &str = "\n[[gadget]]\nname = \"lifter\"\npart = \"servo-9g\"\ntype = \"lifter\"\n\
                      moves = \"blade\"\nhinge = [\"10 mm\", \"0 mm\", \"15 mm\"]\n\
                      at = [\"0 mm\", \"0 mm\", \"15 mm\"]\ntravel = \"40 deg\"\n";

/// Findings about gadgets of the demo robot with a lifter, its tactic changed by `orders`: lines
/// that come first in its state `hunt`, and lines of a state of their own.
fn findings(hunting: &str, resting: &str) -> Vec<(&'static str, Severity)> {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let text = shelf::file("robots/demo.toml")
        .expect("it is there")
        .replace(
            "tip-height = \"0 mm\"",
            "tip-height = \"0 mm\"\nmount = \"driven\"",
        );
    let program = format!(
        "reflex back when edge-left on border {{\n{resting}\n  drive -100 % -100 % for 90 ms\n}}\n\
         state hunt {{\n{hunting}\n  drive 50 % 50 %\n}}\n"
    );
    let lookup = |_: &str| Some(program.clone());
    let robot = robot::read("demo.toml", &(text + LIFTER), &parts, &lookup)
        .unwrap_or_else(|e| panic!("{e:#?}"));
    let tactic = tactic::parse("t.tactic", &program).unwrap_or_else(|e| panic!("{e:#?}"));
    let class = classes.find("mini").expect("it is there");
    let paper = paper::examine(&robot, class, &tactic, &parts);
    let of_gadgets = paper
        .findings
        .iter()
        .filter(|f| f.name.starts_with("gadget"));
    of_gadgets.map(|f| (f.name, f.severity)).collect()
}

#[test]
fn a_gadget_that_is_never_sent_away_from_its_start_is_found() {
    let never = [("gadget-never-moved", Severity::Warning)];
    assert_eq!(findings("", ""), never);
    assert_eq!(findings("  lifter to down", "  lifter off"), never);
}

#[test]
fn a_gadget_that_never_comes_back_is_noted() {
    let once = [("gadget-one-way", Severity::Note)];
    assert_eq!(findings("  lifter to up", ""), once);
    assert_eq!(findings("  lifter to up", "  lifter to 100 %"), once);
}

#[test]
fn a_gadget_that_goes_and_comes_back_is_no_finding() {
    assert_eq!(findings("  lifter to up", "  lifter to down"), []);
    assert_eq!(findings("  lifter to 80 %", "  lifter to 30 %"), []);
}
