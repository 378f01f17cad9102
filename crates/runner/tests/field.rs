//! The robots that come with the program: legal, sound enough to fight, none a dummy.

#![allow(clippy::print_stdout, reason = "figures to look at when a test fails")]

use std::sync::atomic::AtomicBool;

use robot::{PartsBox, Robot};
use rules::{Class, Classes};
use runner::Runner;
use study::{Entrant, Pit, Verdict, plan, spar};

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

#[test]
fn every_robot_is_legal_in_its_class_and_its_program_fits_it() {
    let mut wrong = Vec::new();
    for name in ["mini", "mega", "micro", "nano"] {
        let class = class(name);
        let robots = field(name);
        let least = if name.starts_with("m") && name != "micro" {
            6
        } else {
            3
        };
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

/// Win shares of everyone against everyone, row against column.
fn league(name: &str, bouts: u32) -> (Vec<String>, Vec<Vec<[f64; 2]>>) {
    let robots = field(name);
    let entrants: Vec<Entrant> = robots
        .iter()
        .map(|r| Entrant::of_robot(r).unwrap_or_else(|e| panic!("{e:#?}")))
        .collect();
    let runner = Runner::new(None).expect("threads start");
    let mut table = Vec::new();
    for us in &entrants {
        let pit = Pit {
            arena: bout::Arena::of(&class(name)),
            seed: 5,
            ours: vec![us.clone()],
            field: entrants.clone(),
        };
        let n = u32::try_from(entrants.len()).unwrap_or(1);
        let tasks = plan(0, entrants.len(), bouts * n);
        let results = runner.run(
            &tasks,
            &|t| pit.fight(t),
            &|_, _| {},
            &AtomicBool::new(false),
        );
        assert!(
            results
                .iter()
                .flatten()
                .all(|f| f.verdict != Verdict::Failed)
        );
        let record = spar::fold(&tasks, &results, entrants.len());
        let causes: Vec<String> = record
            .losses
            .iter()
            .chain(&record.ties)
            .map(|c| format!("{:?} {}", c.cause, c.count))
            .collect();
        println!(
            "{:10} mean {:.1} s  {}",
            us.robot.name,
            record.simulated_s / f64::from(record.total.bouts()),
            causes.join(", ")
        );
        let share = |t: &spar::Tally| {
            [
                f64::from(t.wins) / f64::from(t.bouts()),
                f64::from(t.losses) / f64::from(t.bouts()),
            ]
        };
        table.push(record.per_opponent.iter().map(share).collect());
    }
    (robots.into_iter().map(|r| r.name).collect(), table)
}

fn show(names: &[String], table: &[Vec<[f64; 2]>]) {
    for (name, row) in names.iter().zip(table) {
        let cells: Vec<String> = row
            .iter()
            .map(|s| format!("{:3.0}/{:3.0}", 100.0 * s[0], 100.0 * s[1]))
            .collect();
        println!("{name:10} {}", cells.join(" "));
    }
}

#[test]
fn each_opponent_loses_at_least_15_per_cent_against_some_other() {
    for name in ["mini", "mega"] {
        let (names, table) = league(name, 60);
        show(&names, &table);
        for (i, row) in table.iter().enumerate() {
            let worst = (0..row.len())
                .filter(|j| *j != i)
                .map(|j| row[j][1])
                .fold(0.0, f64::max);
            assert!(worst >= 0.15, "{} loses at most {worst:.2}", names[i]);
        }
    }
}
