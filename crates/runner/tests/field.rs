//! The robots that come with the program: legal, sound but for what beginners do wrong, of all styles,
//! none a dummy and none above all others.

#![allow(clippy::print_stdout, reason = "figures to look at when a test fails")]

use std::sync::atomic::AtomicBool;

use robot::{PartsBox, Robot, Severity, Style};
use rules::{Class, Classes};
use runner::Runner;
use study::{Entrant, Pit, Verdict, plan};

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

fn field(name: &str) -> Vec<Robot> {
    store::field(name, &parts(), None).unwrap_or_else(|e| panic!("{e:#?}"))
}

/// The fields and how many robots each has at least.
const FIELDS: [(&str, usize); 4] = [("mini", 10), ("mega", 10), ("micro", 5), ("nano", 5)];

/// Beginners' robots and the mistakes they are there for.
const MISTAKES: [(&str, &[&str]); 8] = [
    ("Bumble", &["no-edge-sensor-behind", "mass-unused"]),
    ("Whirligig", &["no-edge-sensor-behind", "light-on-wheels"]),
    (
        "Steeple",
        &[
            "edge-too-fast",
            "motors-stall-first",
            "sensor-never-read",
            "no-edge-sensor-behind",
            "mass-unused",
        ],
    ),
    ("Tumbler", &["no-edge-sensor-behind", "mass-unused"]),
    ("Teetotum", &["no-edge-sensor-behind", "mass-unused"]),
    (
        "Maypole",
        &[
            "edge-too-fast",
            "sensor-never-read",
            "no-edge-sensor-behind",
        ],
    ),
    ("Wren", &["no-edge-sensor-behind"]),
    ("Mote", &["no-edge-sensor-behind"]),
];

/// What only beginners get wrong.
const ONLY_BEGINNERS: [&str; 7] = [
    "folds-back",
    "light-on-wheels",
    "motors-stall-first",
    "no-edge-sensor-ahead",
    "no-edge-sensor-behind",
    "rests-on-body",
    "sensor-never-read",
];

#[test]
fn every_robot_is_legal_in_its_class_and_its_program_fits_it() {
    let mut wrong = Vec::new();
    for (name, least) in FIELDS {
        let class = class(name);
        let robots = field(name);
        assert!(robots.len() >= least, "{name} has {}", robots.len());
        for robot in robots {
            let inspection = rules::inspect(&robot, &class);
            let mass = 1e3 * robot.mass_properties(&quantity::Draws::nominal()).mass_kg;
            println!(
                "{name} {} {mass:.1} g legal {}",
                robot.name,
                inspection.legal()
            );
            if !inspection.legal() {
                wrong.push(format!("{}: {:#?}", robot.name, inspection.findings));
            }
            if let Err(e) = Entrant::of_robot(&robot) {
                wrong.push(format!("{}: {e:#?}", robot.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn each_style_is_there_and_in_the_big_fields_in_two_builds_with_different_tactics() {
    for (name, least) in FIELDS {
        let robots = field(name);
        let builds = if least >= 10 { 2 } else { 1 };
        for style in [Style::Pusher, Style::Dodger, Style::Trickster] {
            let beginner = |r: &Robot| MISTAKES.iter().any(|(n, _)| *n == r.name);
            let mut tactics: Vec<&str> = robots
                .iter()
                .filter(|r| r.style == style && !beginner(r))
                .map(|r| r.tactic.text.as_str())
                .collect();
            tactics.sort_unstable();
            tactics.dedup();
            assert!(tactics.len() >= builds, "{name} {style:?}");
        }
    }
}

#[test]
fn beginners_make_their_mistakes_and_the_others_none() {
    let mut wrong = Vec::new();
    let mut met = 0;
    for (name, _) in FIELDS {
        let class = class(name);
        for robot in field(name) {
            let tactic = tactic::parse(&robot.tactic.file, &robot.tactic.text)
                .unwrap_or_else(|e| panic!("{e:#?}"));
            let findings = paper::examine(&robot, &class, &tactic, &parts()).findings;
            let mistakes = MISTAKES.iter().find(|(n, _)| *n == robot.name);
            met += usize::from(mistakes.is_some());
            let mistakes = mistakes.map_or(&[][..], |(_, m)| m);
            for m in mistakes {
                if !findings.iter().any(|f| f.name == *m) {
                    wrong.push(format!("{} does not show {m}", robot.name));
                }
            }
            for f in &findings {
                let serious = f.severity == Severity::Fault || ONLY_BEGINNERS.contains(&f.name);
                if serious && !mistakes.contains(&f.name) {
                    wrong.push(format!("{}: {} {}", robot.name, f.name, f.why));
                }
            }
        }
    }
    assert_eq!(met, MISTAKES.len(), "a beginner's robot is gone");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Wins, losses and bouts of everyone against everyone, row against column; each pair meets once.
fn league(name: &str, bouts: u32) -> (Vec<String>, Vec<Vec<[f64; 3]>>) {
    let robots = field(name);
    let entrants: Vec<Entrant> = robots
        .iter()
        .map(|r| Entrant::of_robot(r).unwrap_or_else(|e| panic!("{e:#?}")))
        .collect();
    let runner = Runner::new(None).expect("threads start");
    let mut table = vec![vec![[0.0; 3]; robots.len()]; robots.len()];
    for (i, us) in entrants.iter().enumerate() {
        let others = &entrants[i + 1..];
        let pit = Pit {
            arena: bout::Arena::of(&class(name)),
            seed: 5,
            ours: vec![us.clone()],
            field: others.to_vec(),
        };
        let tasks = plan(
            0,
            others.len(),
            bouts * u32::try_from(others.len()).unwrap_or(0),
        );
        let results = runner.run(
            &tasks,
            &|t| pit.fight(t),
            &|_, _| {},
            &AtomicBool::new(false),
        );
        for (task, fought) in tasks.iter().zip(results.iter().flatten()) {
            let j = i + 1 + task.opponent;
            let [won, lost] = match fought.verdict {
                Verdict::Win => [1.0, 0.0],
                Verdict::Loss => [0.0, 1.0],
                Verdict::Tie => [0.0, 0.0],
                Verdict::Failed => panic!("a bout failed"),
            };
            for (row, column, [w, l]) in [(i, j, [won, lost]), (j, i, [lost, won])] {
                let cell: &mut [f64; 3] = &mut table[row][column];
                *cell = [cell[0] + w, cell[1] + l, cell[2] + 1.0];
            }
        }
    }
    (robots.into_iter().map(|r| r.name).collect(), table)
}

/// Bouts of each pair: with 10 the share of a row of ten pairs is known to about 10 points.
const BOUTS: u32 = 10;
/// The greatest share of all its bouts that a robot of the field may win. `validation league`, with
/// twenty times the bouts, gives at most 70 %: see docs/field.md.
const MOST: f64 = 0.8;

#[test]
fn nobody_wins_four_fifths_and_each_loses_at_least_15_per_cent_against_some_other() {
    for (name, _) in FIELDS {
        let (names, table) = league(name, BOUTS);
        for (i, row) in table.iter().enumerate() {
            let all = row.iter().fold([0.0; 2], |a, c| [a[0] + c[0], a[1] + c[2]]);
            let share = all[0] / all[1];
            let worst = (0..row.len())
                .filter(|j| *j != i)
                .map(|j| row[j][1] / row[j][2])
                .fold(0.0, f64::max);
            println!("{name} {:10} wins {share:.2}, loses {worst:.2}", names[i]);
            assert!(share <= MOST, "{} wins {share:.2}", names[i]);
            assert!(worst >= 0.15, "{} loses at most {worst:.2}", names[i]);
        }
    }
}
