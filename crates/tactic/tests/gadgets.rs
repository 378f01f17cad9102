//! Gadgets: sent to their ends by name, staying there, wrong names.

mod common;

use common::{Bench, parsed, ports};
use tactic::{GadgetOrder, OFF};

/// Where the bench's lifter is sent after each of the next ticks.
fn sent(bench: &mut Bench, ticks: usize) -> Vec<i16> {
    let mut sent = Vec::new();
    for _ in 0..ticks {
        bench.tick();
        sent.push(bench.memory.gadgets()[0]);
    }
    sent
}

#[test]
fn a_gadget_goes_where_it_is_sent_and_stays_there_whatever_comes() {
    let mut bench = Bench::new(
        "reflex back when bumper touched {\n  drive -100 % -100 % for 20 ms\n}\n\
         state a {\n  drive 50 % 50 % for 20 ms\n  lifter to up\n  drive 100 % 100 % for 20 ms\n  \
         lifter to 35 %\n  then b\n}\nstate b {\n  wait for 20 ms\n  lifter off\n  wait\n}\n",
    );
    assert_eq!(bench.memory.gadgets()[0], 0, "it starts at its first end");
    // The order takes no time: the tick that gives it drives on.
    assert_eq!(sent(&mut bench, 2), [0, 0]);
    assert_eq!(bench.tick(), (1000, 1000));
    assert_eq!(bench.memory.gadgets()[0], 1000);
    bench.set("bumper", 1);
    assert_eq!(bench.tick(), (-1000, -1000));
    assert_eq!(bench.memory.gadgets()[0], 1000, "through a reflex");
    bench.set("bumper", 0);
    assert_eq!(sent(&mut bench, 4), [1000, 1000, 1000, 1000]);
    assert_eq!(sent(&mut bench, 6), [1000, 350, 350, OFF, OFF, OFF]);
}

#[test]
fn a_reflex_may_send_a_gadget_without_a_time() {
    let mut bench = Bench::new(
        "constant half = 50 % from 0 % to 100 %\n\
         reflex lift when bumper touched {\n  lifter to half\n  drive 0 0 for 10 ms\n}\n\
         state a {\n  drive 1 % 1 %\n}\n",
    );
    assert_eq!(sent(&mut bench, 1), [0]);
    bench.set("bumper", 1);
    assert_eq!(sent(&mut bench, 1), [500]);
}

#[test]
fn a_share_beyond_the_ends_stops_at_them() {
    let mut bench = Bench::new(
        "counter n = 0\nstate a {\n  set n = n + 700\n  lifter to n\n  wait for 10 ms\n}\n",
    );
    assert_eq!(sent(&mut bench, 3), [700, 1000, 1000]);
}

#[test]
fn a_new_start_forgets_where_it_was_sent() {
    let mut bench = Bench::new("state a {\n  lifter to up\n  wait\n}\n");
    assert_eq!(sent(&mut bench, 1), [1000]);
    assert_eq!(bench.program.start(0, 1).gadgets()[0], 0);
}

fn wrong(text: &str) -> Vec<(u32, String, Option<String>)> {
    let issues = tactic::compile(&parsed(text), &ports()).expect_err("it does not fit");
    let told = |i: robot::Issue| (i.place.line, i.what, i.suggestion);
    issues.into_iter().map(told).collect()
}

#[test]
fn unknown_gadgets_and_ends_are_told_with_the_nearest_word() {
    let issues = wrong("state a {\n  liter to up\n  lifter to upp\n  jack off\n  wait\n}\n");
    let expected = [
        (2, "the robot has no gadget \"liter\"", Some("lifter")),
        (3, "\"lifter\" has no end \"upp\"", Some("up")),
        (4, "the robot has no gadget \"jack\"", None),
    ];
    assert_eq!(issues.len(), expected.len(), "{issues:#?}");
    for ((line, what, suggestion), (l, w, s)) in issues.iter().zip(expected) {
        assert_eq!((*line, what.as_str(), suggestion.as_deref()), (l, w, s));
    }
}

#[test]
fn a_constant_with_the_name_of_an_end_is_an_error() {
    let issues = wrong("constant up = 3\nstate a {\n  drive up up\n}\n");
    assert_eq!(issues[0].0, 1);
    assert_eq!(issues[0].1, "\"up\" is an end of \"lifter\" too");
}

#[test]
fn a_misspelt_step_is_still_a_misspelt_step() {
    let text = "state a {\n  drve 100 % 100 %\n  lifter two up\n}\n";
    let issues = tactic::parse("t.tactic", text).expect_err("misspelt");
    let whats: Vec<&str> = issues.iter().map(|i| i.what.as_str()).collect();
    assert_eq!(
        whats,
        ["\"drve\" is not a step", "\"lifter\" is not a step"]
    );
    assert_eq!(issues[0].suggestion.as_deref(), Some("drive"));
}

#[test]
fn orders_are_listed_with_their_ends_and_shares() {
    let t = parsed(
        "constant half = 50 %\nstate a {\n  lifter to up\n  lifter to half\n  lifter off\n  wait\n}\n",
    );
    let order = |end: Option<&str>, share| GadgetOrder {
        gadget: "lifter".into(),
        end: end.map(str::to_owned),
        share,
    };
    assert_eq!(
        t.gadget_orders(),
        [order(Some("up"), None), order(None, Some(500))]
    );
    assert!(t.sensors_read().is_empty(), "ends are no sensors");
}
