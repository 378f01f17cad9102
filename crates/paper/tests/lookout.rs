//! Edge sensors held against the program's level, and the search for the opponent.

use paper::{Paper, Pattern, examine};
use quantity::Figure;
use robot::{PartsBox, Robot, SensorKind, Severity};
use rules::Classes;

fn demo(edits: &[(&str, &str)]) -> Robot {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let text = shelf::file("robots/demo.toml").expect("it is there");
    let tactic = shelf::file("robots/demo.tactic").expect("it is there");
    let tactic = edits.iter().fold(tactic, |t, (from, to)| {
        assert!(t.contains(from), "{from}");
        t.replace(from, to)
    });
    robot::read("demo.toml", &text, &parts, &|_: &str| Some(tactic.clone()))
        .unwrap_or_else(|e| panic!("{e:#?}"))
}

fn paper(robot: &Robot, class: &str) -> Paper {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let tactic =
        tactic::parse("demo.tactic", &robot.tactic.text).unwrap_or_else(|e| panic!("{e:#?}"));
    examine(
        robot,
        classes.find(class).expect("it is there"),
        &tactic,
        &parts,
    )
}

fn severity(p: &Paper, name: &str) -> Option<Severity> {
    let found: Vec<_> = p.findings.iter().filter(|f| f.name == name).collect();
    assert!(found.len() <= 1, "{name} is said {} times", found.len());
    found.first().map(|f| f.severity)
}

/// 3 mm up with a fading height of 5 ± 2 mm a border of 0.8 reads 59 %, and less than 50 % where the fading
/// height is below 3.9 mm: 1.1 of its standard deviations of 1.02 mm, 14 of 100; dirt makes that more.
#[test]
fn half_of_full_scale_is_too_much_to_ask_of_many_sensors_three_millimetres_up() {
    let p = paper(&demo(&[]), "mini");
    assert_eq!(p.thresholds.len(), 1, "both sensors read alike");
    let t = &p.thresholds[0];
    assert!((t.border.reads - 0.594).abs() < 2e-3, "{t:?}");
    assert!((0.15..0.35).contains(&t.misses), "{t:?}");
    assert!(t.off.reads < 0.05 && t.lifted.reads < 0.1);
    assert_eq!(severity(&p, "edge-threshold"), Some(Severity::Warning));
}

#[test]
fn a_level_half_way_between_ring_and_border_mends_it() {
    let mended = demo(&[(
        "constant cruise = 100 %",
        "constant border-level = 25 %\nconstant cruise = 100 %",
    )]);
    let p = paper(&mended, "mini");
    assert_eq!(severity(&p, "edge-threshold"), None);
    assert!(p.thresholds[0].misses < 1e-3 && p.thresholds[0].alarms < 1e-3);
}

#[test]
fn sensors_too_high_to_see_the_border_at_all_are_a_fault() {
    let mut high = demo(&[]);
    for s in &mut high.sensors {
        if matches!(s.kind, SensorKind::Reflectance { .. }) {
            s.item.at[2] = s.item.at[2].clone().with_si(0.012);
        }
    }
    let p = paper(&high, "mini");
    assert_eq!(severity(&p, "edge-threshold"), Some(Severity::Fault));
}

/// A level in the noise of the plain ring sees borders everywhere.
#[test]
fn a_level_below_what_the_ring_reads_is_a_fault_as_well() {
    let nervous = demo(&[(
        "constant cruise = 100 %",
        "constant border-level = 3 %\nconstant cruise = 100 %",
    )]);
    let p = paper(&nervous, "mini");
    assert_eq!(severity(&p, "edge-threshold"), Some(Severity::Fault));
    assert!(p.thresholds[0].alarms > 0.5);
}

fn with_reach(m: f64) -> Robot {
    let mut robot = demo(&[]);
    for s in &mut robot.sensors {
        if let SensorKind::Range { farthest, .. } = &mut s.kind {
            *farthest = Figure::derived(m, "farthest");
        }
    }
    robot
}

/// On 77 cm 0.8 m of reach hold everybody and 0.15 m hold 13 % of pairs of places (disc line picking).
#[test]
fn only_a_short_sighted_robot_is_told_to_drive_while_it_searches() {
    let far = paper(&with_reach(0.8), "mini");
    assert_eq!(severity(&far, "search-must-drive"), None);
    assert!(far.search.ours().expect("it has a ring").hardly_matters());
    let near = paper(&with_reach(0.15), "mini");
    assert_eq!(severity(&near, "search-must-drive"), Some(Severity::Note));
    let ring = near.search.ours().expect("it has a ring");
    assert!(
        (ring.within_reach - 0.13).abs() < 0.01,
        "{}",
        ring.within_reach
    );
    let share = |p| ring.way(p).expect("it was tried").share;
    assert!(share(Pattern::Stand) < share(Pattern::Turn));
    assert!(share(Pattern::Turn) < share(Pattern::Straight));
}
