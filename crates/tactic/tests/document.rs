//! The document of the language: its examples read, and do what it says they do.

mod common;

use common::{Bench, NOTHING, parsed};

const DOCUMENT: &str = include_str!("../../../docs/tactic-language.md");

fn examples() -> Vec<(usize, &'static str)> {
    let mut examples = Vec::new();
    let mut rest = DOCUMENT;
    while let Some((_, from)) = rest.split_once("```tactic\n") {
        let (example, behind) = from.split_once("\n```").expect("the block ends");
        let line = DOCUMENT[..DOCUMENT.len() - from.len()].lines().count();
        examples.push((line, example));
        rest = behind;
    }
    examples
}

#[test]
fn every_example_reads_without_an_issue_or_a_finding() {
    let examples = examples();
    assert!(examples.len() >= 4, "{}", examples.len());
    for (line, example) in examples {
        let tactic = tactic::parse("tactic-language.md", example)
            .unwrap_or_else(|e| panic!("block at line {line}: {e:#?}"));
        assert_eq!(tactic.findings(), [], "block at line {line}");
    }
}

#[test]
fn the_limits_are_named() {
    // Their sizes are shown in errors.rs, arithmetic.rs and running.rs.
    for text in [
        "32767",
        "65.536 s",
        "16 counters, 16 timers, 16 `for`",
        "255 states",
    ] {
        assert!(DOCUMENT.replace('\n', " ").contains(text), "{text}");
    }
}

/// The worked example with the bench's names for the edge sensors.
fn worked() -> String {
    let (_, worked) = examples().pop().expect("the worked example comes last");
    worked
        .replace("edge-left on", "edge-front-left on")
        .replace("edge-right on", "edge-front-right on")
}

#[test]
fn the_worked_example_swings_hunts_and_searches() {
    assert_eq!(parsed(&worked()).opening_names().len(), 2);
    let mut bench = Bench::new(&worked());
    assert_eq!(bench.drives(15), [(600, 1000); 15], "150 ms in to the left");
    bench.set("left", 120);
    assert_eq!(bench.tick(), (-300, 1000));
    assert_eq!(bench.doing(), "hunt");
    bench.set("left", NOTHING);
    assert_eq!(bench.doings(6).last().map(String::as_str), Some("search"));
    assert_eq!(bench.tick(), (-600, 600), "toward where it was seen last");
    bench.set("edge-front-left", 900);
    assert_eq!(bench.tick(), (-1000, -1000));
    assert_eq!(bench.doing(), "edge-left");
}

#[test]
fn the_worked_example_tries_something_else_the_third_time() {
    let mut bench = Bench::new(&worked());
    bench.set("centre", 20);
    // 8 s of pushing without getting anywhere.
    let doings = bench.doings(800);
    let mut changes: Vec<&str> = doings.iter().map(String::as_str).collect();
    changes.dedup();
    let first = changes.iter().position(|d| *d == "surprise");
    let tries = changes[..first.expect("it tries something else")]
        .iter()
        .filter(|d| **d == "again")
        .count();
    assert!((1..=3).contains(&tries), "{changes:?}");
}
