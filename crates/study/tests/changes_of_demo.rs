//! The changes tried on the robot the program shows first.

use std::collections::BTreeSet;

use bout::Cause;
use robot::PartsBox;
use rules::{Class, Classes};
use study::spar::{CauseCount, Record};
use study::whatif::{Change, Design, candidates};
use study::{Entrant, Task};

/// As many changes as the report tries at most.
const MOST: usize = 12;

fn parts() -> PartsBox {
    PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"))
}

fn class(name: &str) -> Class {
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    classes
        .find(name)
        .unwrap_or_else(|e| panic!("{e:?}"))
        .clone()
}

fn design(file: &str) -> Design {
    let text = shelf::file(file).expect("it is on the shelf");
    let tactics = |name: &str| {
        shelf::file(&format!("robots/{name}"))
            .or_else(|| shelf::file(&format!("robots/tactics/{name}")))
    };
    let robot = robot::read(file, &text, &parts(), &tactics).unwrap_or_else(|e| panic!("{e:#?}"));
    let tactic =
        tactic::parse(&robot.tactic.file, &robot.tactic.text).unwrap_or_else(|e| panic!("{e:#?}"));
    Design {
        robot,
        tactic,
        opening: 0,
    }
}

/// A record whose losses have these causes, ten of each.
fn lost_by(causes: &[Cause]) -> Record {
    let example = Task {
        variant: 0,
        opponent: 0,
        bout: 0,
    };
    let count = |cause: &Cause| CauseCount {
        cause: *cause,
        count: 10,
        example,
    };
    Record {
        losses: causes.iter().map(count).collect(),
        ..Record::default()
    }
}

/// Records of every single cause, of none and of all.
fn records() -> Vec<(String, Record)> {
    let mut records: Vec<(String, Record)> = (Cause::ALL.iter())
        .map(|c| (format!("{c:?}"), lost_by(&[*c])))
        .collect();
    records.push(("nothing lost".into(), lost_by(&[])));
    records.push(("all causes".into(), lost_by(&Cause::ALL)));
    records
}

fn check(file: &str, class: &Class, why: &str, record: &Record, most: usize) -> Vec<Change> {
    let base = design(file);
    let changes = candidates(&base, class, &parts(), record, most);
    let legal = rules::inspect(&base.robot, class).legal();
    assert_eq!(changes[0].name, "do-nothing", "{why}");
    assert_eq!(changes[0].design.robot, base.robot);
    assert_eq!(changes[0].design.tactic.text(), base.tactic.text());
    assert_eq!(changes[0].design.opening, base.opening);
    assert!(changes.len() <= most + 1, "{why}");
    let names: BTreeSet<&str> = changes.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(names.len(), changes.len(), "{why}: {names:?}");
    for change in &changes {
        let told = format!("{file}, {why}, {}", change.name);
        let inspection = rules::inspect(&change.design.robot, class);
        assert!(
            !legal || inspection.legal(),
            "{told}: {:#?}",
            inspection.findings
        );
        if let Err(e) = Entrant::of_design(&change.design) {
            panic!("{told}: {e:#?}");
        }
        assert!((0.0..=1.0).contains(&change.speaks_to), "{told}");
        assert!(!change.what.is_empty());
        let words = change.name.chars();
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        assert!(words.clone().all(plain), "{told}: not a plain name");
    }
    let order: Vec<f64> = changes[1..].iter().map(|c| c.speaks_to).collect();
    assert!(order.is_sorted_by(|a, b| a >= b), "{why}: {order:?}");
    changes
}

#[test]
fn the_demo_robot_gets_at_least_six_changes_whatever_it_loses_by() {
    let class = class("mini");
    for (why, record) in records() {
        let changes = check("robots/demo.toml", &class, &why, &record, MOST);
        let names: Vec<&str> = changes.iter().map(|c| c.name.as_str()).collect();
        println!("{why}: {}", names.join(" "));
        assert!(changes.len() > 6, "{why}: {}", changes.len() - 1);
    }
}

#[test]
fn every_change_differs_from_the_robot_as_it_is() {
    let class = class("mini");
    let record = lost_by(&Cause::ALL);
    let base = design("robots/demo.toml");
    for change in &check("robots/demo.toml", &class, "all", &record, 100)[1..] {
        let d = &change.design;
        // The values of constants stand beside the text, not in it.
        let values = |t: &tactic::Tactic| t.constants().iter().map(|c| c.value).collect::<Vec<_>>();
        let same = d.robot == base.robot
            && d.tactic.text() == base.tactic.text()
            && values(&d.tactic) == values(&base.tactic)
            && d.opening == base.opening;
        assert!(!same, "{} changes nothing", change.name);
    }
}

#[test]
fn changes_that_speak_to_the_losses_come_first() {
    let class = class("mini");
    let first = |causes: &[Cause]| {
        let changes = check("robots/demo.toml", &class, "first", &lost_by(causes), MOST);
        changes[1..]
            .iter()
            .filter(|c| c.speaks_to > 0.0)
            .map(|c| c.name.clone())
            .collect::<BTreeSet<_>>()
    };
    let reversed = first(&[Cause::ReversedOut]);
    assert!(reversed.contains("edge-sensors-behind"), "{reversed:?}");
    let late = first(&[Cause::EdgeSeenTooLate]);
    assert!(late.contains("edge-sensors-forward"), "{late:?}");
    let blind = first(&[Cause::NeverSaw]);
    assert!(blind.contains("read-right"), "{blind:?}");
    let slid = first(&[Cause::PushedTyresSlid]);
    assert!(slid.contains("wheel-60-urethane"), "{slid:?}");
    let stalled = first(&[Cause::PushedMotorsStalled]);
    assert!(stalled.contains("stiffer-pack"), "{stalled:?}");
}

/// An edge that counts as sharp cuts hands: it is never proposed where the class says what is safe.
#[test]
fn no_change_makes_the_blade_count_as_sharp() {
    let class = class("mini");
    for change in check(
        "robots/demo.toml",
        &class,
        "all",
        &lost_by(&Cause::ALL),
        100,
    ) {
        let findings = rules::inspect(&change.design.robot, &class).findings;
        let sharp = findings.iter().any(|f| f.name == "sharp-edge");
        assert!(!sharp, "{}", change.name);
        if change.name == "finer-blade-edge" {
            assert!(change.what.contains("keep it covered"), "{}", change.what);
        }
    }
}

#[test]
fn every_robot_that_comes_with_the_program_can_be_changed() {
    for name in ["mini", "mega", "micro", "nano"] {
        let class = class(name);
        for (file, _) in shelf::files(&format!("robots/{name}")) {
            let changes = check(&file, &class, "all causes", &lost_by(&Cause::ALL), MOST);
            println!("{file}: {}", changes.len() - 1);
            assert!(changes.len() > 3, "{file}");
        }
    }
}

/// Tracks are tried shorter, longer and in a grippier compound where there is one; magnets nearer to a
/// ring of steel, and on no other.
#[test]
fn tracks_and_magnets_have_changes_of_their_own() {
    let names = |file: &str, class_name: &str| -> Vec<String> {
        let record = lost_by(&[Cause::TakenFromSide, Cause::PushedTyresSlid]);
        let changes = check(file, &class(class_name), "tracks", &record, 40);
        changes.into_iter().map(|c| c.name).collect()
    };
    let has = |all: &[String], name: &str| all.iter().any(|n| n == name);
    let tracked = names("robots/mega/bulwark.toml", "mega");
    for name in ["shorter-tracks", "longer-tracks", "clean-tyres"] {
        assert!(has(&tracked, name), "{name} of {tracked:?}");
    }
    assert!(!has(&tracked, "magnets-nearer"));
    let steel = names("robots/mega/limpet.toml", "mega-steel");
    assert!(
        has(&steel, "magnets-nearer") && !has(&steel, "longer-tracks"),
        "{steel:?}"
    );
    let board = names("robots/mega/limpet.toml", "mega");
    assert!(!has(&board, "magnets-nearer"), "{board:?}");
}
