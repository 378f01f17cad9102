//! Times in which a tactic does not act on an edge sensor, as arithmetic on its text.

use tactic::Driven::{Anyhow, Otherwise, With};
use tactic::{Blind, Driven, Rolling, Unheeded};

fn blind(text: &str) -> Vec<Blind> {
    let tactic = tactic::parse("t.tactic", text).unwrap_or_else(|e| panic!("{e:#?}"));
    let rolling = Rolling {
        apart_mm: 80,
        full_mm_s: 1000,
    };
    tactic.blind(&["edge".into(), "rear".into()], Some(rolling))
}

fn one(text: &str) -> Blind {
    let mut all = blind(text);
    assert_eq!(all.len(), 1, "{all:#?}");
    all.remove(0)
}

fn legs(b: &Blind, k: usize) -> Vec<(Driven, Option<u16>)> {
    b.legs[k].iter().map(|l| (l.driven, l.ms)).collect()
}

/// A reflex with these steps, and a state that searches.
fn reflex(steps: &str) -> String {
    format!(
        "reflex edge-seen when edge on border {{\n{steps}\n}}\nstate go-on {{\n  drive 60 % 60 %\n}}\n"
    )
}

#[test]
fn what_comes_behind_the_step_uses_up_its_time() {
    let b = one(&reflex(
        "  drive -100 % -100 % for 120 ms\n  ignore edge for 400 ms\n  pivot 80 % left for 150 ms\n  \
         drive 50 % 50 % for 100 ms",
    ));
    assert_eq!(b.why, Unheeded::Ignored);
    assert_eq!((b.ms, b.place.line), (Some(400), 3));
    assert_eq!(
        legs(&b, 0),
        [
            (Otherwise, Some(150)),
            (With(500), Some(100)),
            (Anyhow, Some(150))
        ]
    );
    assert_eq!(legs(&b, 1)[0], (Otherwise, Some(150)));
    assert_eq!(b.on_the_move, [false, true], "it has just backed off");
}

#[test]
fn what_may_be_over_early_uses_up_nothing() {
    let until = one(&reflex(
        "  ignore edge for 200 ms\n  pivot 80 % left for 150 ms until rear on border",
    ));
    assert_eq!(legs(&until, 0), [(Anyhow, Some(200))]);
    assert_eq!(until.on_the_move, [true, true], "it comes as it drove");
    let state = one(
        "reflex e when edge on border {\n  drive -1 -1 for 1 ms\n}\nstate a {\n  go b when centre sees\n  \
         wait for 500 ms\n  ignore edge for 200 ms\n  wait for 150 ms\n}\nstate b {\n  drive 500 500\n}\n",
    );
    assert_eq!(legs(&state, 0), [(Anyhow, Some(200))]);
    assert!(!state.on_the_move[0], "it stood for half a second");
}

#[test]
fn a_bend_lasts_as_long_as_its_angle_takes() {
    // The outer side at 1 m/s over a quarter of a turn of radius 160 mm: 251 ms.
    let b = one(&reflex(
        "  ignore edge for 400 ms\n  bend 120 mm 90 deg left at -100 %",
    ));
    assert_eq!(
        legs(&b, 0),
        [(Otherwise, Some(251)), (Anyhow, Some(149))],
        "{b:?}"
    );
}

#[test]
fn a_state_that_ignores_anew_before_it_looks_is_blind_for_ever() {
    let text = |ms: u32| {
        format!(
            "reflex e when edge on border {{\n  drive -1 -1 for 1 ms\n}}\nstate a {{\n  ignore edge for \
             {ms} ms\n  drive 40 % 40 % for 90 ms\n  pivot 50 % left for 60 ms\n}}\n"
        )
    };
    let b = one(&text(150));
    assert_eq!(b.ms, None);
    assert_eq!(legs(&b, 0), [(With(400), None)]);
    assert_eq!(one(&text(149)).ms, Some(149));
    let once = text(150).replace("left for 60 ms", "left for 60 ms\n  then a");
    assert_eq!(
        one(&once).ms,
        Some(150),
        "`then` begins it again, but says so"
    );
}

#[test]
fn lasting_is_the_shortest_that_any_reflex_asks() {
    let b =
        one("reflex e when edge on border for 40 ms {\n  wait for 1 ms\n}\nstate a {\n  wait\n}\n");
    assert_eq!((b.why, b.ms), (Unheeded::Lasting, Some(40)));
    let quick = "reflex e when edge on border for 40 ms {\n  wait for 1 ms\n}\n\
                 reflex q when edge on border {\n  wait for 1 ms\n}\nstate a {\n  wait\n}\n";
    assert_eq!(blind(quick), []);
}

#[test]
fn a_reflex_before_that_of_the_border_is_in_its_way_and_one_behind_is_not() {
    let edge = "reflex e when edge on border {\n  drive -1 -1 for 100 ms\n}\n";
    let ram = "reflex ram when centre sees {\n  drive 100 % 100 % for 200 ms\n}\n";
    let state = "state a {\n  wait\n}\n";
    let b = one(&format!("{ram}{edge}{state}"));
    assert_eq!(b.why, Unheeded::Behind("ram".into()));
    assert_eq!((b.ms, legs(&b, 0)), (None, vec![(With(1000), None)]));
    assert_eq!(legs(&b, 1), [], "it does not back off");
    assert_eq!(blind(&format!("{edge}{ram}{state}")), []);
    let firm = ram.replace("ram when", "ram firm when");
    let b = one(&format!("{edge}{firm}{state}"));
    assert_eq!(b.why, Unheeded::Firm("ram".into()));
    assert_eq!(
        (b.ms, legs(&b, 0)),
        (Some(200), vec![(With(1000), Some(200))])
    );
    // The border lets go of it, it is about the border itself, or it takes no time.
    let until = ram.replace("sees {", "sees until edge on border {");
    assert_eq!(blind(&format!("{until}{edge}{state}")), []);
    let rear = ram.replace("centre sees", "rear on border");
    assert_eq!(blind(&format!("{rear}{edge}{state}")), []);
    let quick = "timer t\nreflex r when centre sees {\n  restart t\n}\n";
    assert_eq!(blind(&format!("{quick}{edge}{state}")), []);
}

#[test]
fn a_sensor_that_only_some_states_ask_is_not_acted_on_in_the_others() {
    let text = "state a {\n  go b when edge on border\n  drive 50 % 50 %\n}\nstate b {\n  drive -50 % \
                -50 % for 200 ms\n  drive 70 % 90 % for 100 ms\n  then a\n}\nstate lost {\n  drive 1 1\n}\n";
    let b = one(text);
    assert_eq!(b.why, Unheeded::NotIn("b".into()));
    assert_eq!((b.ms, b.place.line), (Some(300), 5));
    assert_eq!(legs(&b, 0), [(With(800), Some(300))]);
    assert_eq!(legs(&b, 1), [(With(500), Some(300))]);
}
