//! Reflexes that never start because of those before them, and states that are never left.

mod common;

use common::{Bench, NOTHING, parsed};
use proptest::prelude::*;
use proptest::sample::select;
use robot::Severity;

/// Findings on the second of two reflexes.
#[track_caller]
fn behind(first: &str, second: &str) -> Option<&'static str> {
    let text = format!(
        "constant border-level = 40 %\nconstant close = 10 cm\ncounter n = 0\ntimer t\n\
         reflex r when {first} {{\n}}\nreflex s when {second} {{\n}}\nstate a {{\n wait\n}}\n"
    );
    let found = parsed(&text).findings();
    assert!(found.len() < 2, "{found:?}");
    found.first().map(|f| f.name)
}

#[test]
fn a_narrower_condition_behind_a_wider_one_is_found_and_the_other_way_round_is_not() {
    for (wide, narrow) in [
        ("bumper touched", "bumper touched and near sees"),
        ("bumper touched", "near sees and (bumper touched and n > 3)"),
        ("bumper touched or near sees", "near sees"),
        ("bumper touched or near sees", "near sees or bumper touched"),
        ("centre sees within 15 cm", "centre sees within close"),
        ("centre sees", "centre sees within close"),
        ("centre sees", "centre sees beyond n"),
        ("centre sees beyond 5 cm", "centre sees beyond 6 cm"),
        ("tilt above 40", "tilt above 50"),
        ("tilt above 40", "tilt > 40 + 5"),
        ("tilt below 50", "40 > tilt"),
        ("n < 4", "n = 3"),
        ("not n = 5", "n = 3"),
        ("not n > 5", "n < 3"),
        ("not centre sees within close", "not centre sees"),
        ("not (n > 5 and n > 9)", "not n > 5"),
        ("edge-left on border", "edge-left above 70 %"),
        ("edge-left above 0", "edge-left on border"),
        ("t over 1 s", "t over 2 s"),
        ("near sees", "near sees for 50 ms"),
        ("near sees for 50 ms", "near sees for 50 ms and n = 1"),
        ("near sees", "near sees and chance 5 %"),
    ] {
        let found = behind(wide, narrow);
        assert_eq!(found, Some("reflex-hidden"), "{narrow} behind {wide}");
    }
    for (first, second) in [
        ("bumper touched and near sees", "bumper touched"),
        ("near sees", "near sees or bumper touched"),
        ("centre sees within close", "centre sees within 15 cm"),
        ("centre sees beyond 6 cm", "centre sees within 7 cm"),
        ("tilt above 50", "tilt above 40"),
        ("n = 3", "n < 4"),
        // What sees nothing reads 32767, which is within that.
        ("centre sees", "centre sees within 32767"),
        ("centre sees", "centre sees within n"),
        ("n > 3", "tilt > 3 and n > 2"),
        ("edge-left on border", "edge-left above 30 %"),
        ("near sees for 50 ms", "near sees"),
        ("near sees for 50 ms", "near sees for 60 ms and n = 1"),
        ("chance 50 %", "chance 50 % and near sees"),
        ("chance 50 %", "chance 40 %"),
        ("chance 50 %", "chance 50 % for 20 ms"),
    ] {
        assert_eq!(behind(first, second), None, "{second} behind {first}");
    }
}

#[test]
fn equal_conditions_are_told_as_such_and_only_once() {
    assert_eq!(behind("near sees", "near sees"), Some("reflex-shadowed"));
    assert_eq!(
        behind("near sees", "not not near sees"),
        Some("reflex-hidden")
    );
}

#[test]
fn two_reflexes_together_hide_an_or_and_both_are_named() {
    let text = "reflex l when near sees {\n}\nreflex r when bumper touched {\n}\n\
                reflex s when bumper touched or near sees and tilt above 3 {\n}\nstate a {\n wait\n}\n";
    let found = parsed(text).findings();
    assert_eq!(found[0].name, "reflex-hidden");
    assert!(found[0].why.contains("\"l\" or \"r\""), "{found:?}");
    assert_eq!(found[0].place.as_ref().map(|p| p.line), Some(5));
}

#[test]
fn long_chains_are_given_up_instead_of_waited_for() {
    let chain = |word: &str, by: i32| {
        let links: Vec<String> = (0..38).map(|k| format!("n = {}", (k + 1) * by)).collect();
        links.join(&format!(" {word} "))
    };
    // No part of the one implies a part of the other.
    let found = behind(&chain("or", -2), &chain("and", 2));
    assert_eq!(found, None);
}

fn kept(states: &str) -> Vec<(&'static str, Severity)> {
    let found = parsed(states).findings();
    found.into_iter().map(|f| (f.name, f.severity)).collect()
}

#[test]
fn a_state_that_drives_and_is_never_left_is_found() {
    let with = |b: &str| {
        kept(&format!(
            "state a {{\n go b when near sees\n wait\n}}\nstate b {{\n{b}\n}}\n"
        ))
    };
    let blind = vec![("state-without-exit", Severity::Warning)];
    assert_eq!(with("drive 50 % 50 %"), blind);
    assert_eq!(with("pivot 50 % left for 1 s"), blind);
    assert_eq!(
        with("go b when near sees\n drive 20 % 20 %"),
        blind,
        "a way to itself"
    );
    assert_eq!(
        with("drive 20 % 20 % for 9 ms\n then b"),
        blind,
        "round and round"
    );
    let looks = vec![("state-without-exit", Severity::Note)];
    assert_eq!(
        with("follow {\n near sees: drive 20 % 20 %\n otherwise: wait\n}"),
        looks
    );
    assert_eq!(with("wait"), []);
    assert_eq!(with("drive 0 0"), []);
    assert_eq!(with("go a when near sees\n drive 20 % 20 %"), []);
    assert_eq!(with("stay 1 s then a\n drive 20 % 20 %"), []);
    assert_eq!(with("drive 20 % 20 % for 9 ms\n then a"), []);
    assert_eq!(
        kept("state b {\n drive 20 % 20 %\n}\n"),
        [],
        "it is the only one"
    );
    let reflex = |to: &str| {
        kept(&format!(
            "reflex r when bumper touched {{\n then {to}\n}}\nstate a {{\n go b when near sees\n wait\n}}\n\
             state b {{\n drive 20 % 20 %\n}}\n"
        ))
    };
    assert_eq!(reflex("a"), [], "a reflex leads out");
    assert_eq!(reflex("b"), blind, "back to where it is");
}

#[test]
fn no_program_in_the_box_has_a_hidden_reflex_or_a_state_without_exit() {
    let files = shelf::files("robots/tactics").into_iter().map(|f| f.0);
    let mut seen = 0;
    for file in files.chain(["robots/demo.tactic".to_owned()]) {
        let text = shelf::file(&file).expect("it is there");
        assert_eq!(parsed(&text).findings(), [], "{file}");
        seen += 1;
    }
    assert!(seen > 10, "{seen}");
}

/// A small condition over a few readings and few limits, so that one often implies another.
fn condition() -> impl Strategy<Value = String> {
    let leaf = select(
        &[
            "centre sees",
            "centre sees within 2",
            "centre sees within 4",
            "centre sees within 32767",
            "centre sees within n",
            "centre sees beyond 1",
            "centre sees beyond 3",
            "centre sees beyond n",
            "centre above 3",
            "centre < left",
            "edge-front-left on border",
            "edge-front-left above 2",
            "edge-front-left below 4",
            "bumper touched",
            "bumper > 1",
            "near sees",
            "n < 3",
            "2 < n",
            "n = 2",
            "n > 4",
            "t over 20 ms",
            "t over 40 ms",
            "chance 40 %",
        ][..],
    )
    .prop_map(str::to_owned);
    leaf.prop_recursive(3, 10, 2, |inner| {
        let two = (inner.clone(), inner.clone());
        prop_oneof![
            two.clone().prop_map(|(a, b)| format!("({a} and {b})")),
            two.prop_map(|(a, b)| format!("({a} or {b})")),
            inner.clone().prop_map(|c| format!("not {c}")),
            (inner, select(vec![10, 20, 30])).prop_map(|(c, t)| format!("({c} for {t} ms)")),
        ]
    })
}

/// Two conditions, the second often made of the first.
fn pair() -> impl Strategy<Value = (String, String)> {
    (condition(), condition(), 0..6).prop_map(|(a, b, how)| match how {
        0 => (a.clone(), format!("({a} and {b})")),
        1 => (format!("({a} or {b})"), b),
        2 => (a.clone(), format!("(({b} and {a}) for 20 ms)")),
        3 => (format!("not ({a} and {b})"), format!("not {b}")),
        _ => (a, b),
    })
}

/// What only the second reflex drives.
const MARK: i16 = 77;

/// Ticks in which the second reflex starts or runs, on readings from a small range.
fn starts(text: &str, readings: &[[i16; 6]]) -> usize {
    let mut bench = Bench::new(text);
    let mut count = 0;
    for &[centre, left, edge, bumper, near, n] in readings {
        bench.set("centre", if centre == 6 { NOTHING } else { centre });
        bench.set("left", if left == 6 { NOTHING } else { left });
        bench.set("edge-front-left", edge);
        bench.set("bumper", bumper / 2);
        bench.set("near", near / 4);
        bench.set("tilt", n);
        count += usize::from(bench.tick().0 == MARK);
    }
    count
}

fn with_reflexes(first: &str, second: &str, kind: usize) -> String {
    // Whatever the first is like: gone at once, long, firm, released, leading elsewhere.
    let (firm, until, steps) = [
        ("", "", ""),
        ("", "", " drive 20 % 20 % for 20 ms\n"),
        (" firm", "", " drive 20 % 20 % for 30 ms\n"),
        ("", " until bumper touched", " drive 20 % 20 % for 50 ms\n"),
        ("", "", " drive 20 % 20 % for 10 ms\n then a\n"),
    ][kind];
    format!(
        "constant border-level = 3\ncounter n = 0\ntimer t\n\
         reflex r{firm} when {first}{until} {{\n{steps}}}\n\
         reflex s when {second} {{\n drive {MARK} {MARK} for 10 ms\n}}\n\
         reflex u when near sees {{\n drive 2 2 for 30 ms\n}}\n\
         state a {{\n set n = tilt\n wait for 50 ms\n restart t\n}}\n"
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, ..ProptestConfig::default() })]

    #[test]
    fn what_is_said_never_to_start_never_starts(
        (first, second) in pair(),
        kind in 0_usize..5,
        readings in prop::collection::vec(prop::array::uniform6(0_i16..7), 60),
    ) {
        let text = with_reflexes(&first, &second, kind);
        let found = parsed(&text).findings();
        let said = found.iter().any(|f| f.what.contains("\"s\""));
        if said {
            prop_assert_eq!(starts(&text, &readings), 0, "{}", text);
        }
    }
}

/// The test above would see a wrong yes: reflexes of which nothing is said do start, and those of which
/// it is said would, stood they first.
#[test]
fn the_readings_of_the_test_start_reflexes_and_the_pairs_are_often_hidden() {
    use proptest::strategy::ValueTree;
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let made = (
        pair(),
        prop::collection::vec(prop::array::uniform6(0_i16..7), 60),
    );
    let (mut hidden, mut first_instead, mut open, mut started) = (0, 0, 0, 0);
    for _ in 0..600 {
        let ((first, second), readings) = made.new_tree(&mut runner).expect("a tree").current();
        let text = with_reflexes(&first, &second, 0);
        let said = (parsed(&text).findings().iter()).any(|f| f.what.contains("\"s\""));
        if said {
            hidden += 1;
            let alone = with_reflexes("n > 1000", &second, 0);
            first_instead += usize::from(starts(&alone, &readings) > 0);
        } else {
            open += 1;
            started += usize::from(starts(&text, &readings) > 0);
        }
    }
    println!("{first_instead} of {hidden} hidden, {started} of {open} others start");
    assert!(
        hidden > 100 && first_instead * 3 > hidden,
        "{first_instead} of {hidden}"
    );
    assert!(open > 100 && started * 3 > open, "{started} of {open}");
}
