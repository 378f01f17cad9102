//! Sensors ignored for a while, reflexes released, veering and bends: the tables of
//! `docs/tactic-language.md`, case by case.

mod common;

use common::{Bench, NOTHING, ports};
use robot::Issue;
use tactic::{compile, parse};

fn refused(text: &str) -> Vec<Issue> {
    match parse("t.tactic", text) {
        Err(issues) => issues,
        Ok(read) => match compile(&read, &ports()) {
            Err(issues) => issues,
            Ok(_) => panic!("it was taken: {text}"),
        },
    }
}

#[test]
fn an_ignored_sensor_is_blank_everywhere_from_the_step_on_until_its_time_is_over() {
    let text = "reflex back when edge-front-left on border {\n  ignore edge-front-left for 30 ms\n  drive -50 % -50 % for 10 ms\n}\n\
                state a {\n  follow {\n    edge-front-left on border: drive 1 1\n    otherwise: drive 2 2\n  }\n}\n";
    let mut bench = Bench::new(text);
    bench.set("edge-front-left", 900);
    // Ticks of 10 ms: one of backing, then blank, then the reflex anew at 30 ms.
    assert_eq!(
        bench.drives(4),
        [(-500, -500), (2, 2), (2, 2), (-500, -500)]
    );
    bench.set("edge-front-left", 0);
    assert_eq!(bench.drives(2), [(2, 2), (2, 2)]);
}

#[test]
fn a_distance_sensor_that_is_ignored_sees_nothing_and_again_in_the_same_tick() {
    let text = "counter n = 0\nstate a {\n  set n = centre\n  ignore centre for 20 ms\n  drive n centre for 10 ms\n  \
                drive n centre\n}\n";
    let mut bench = Bench::new(text);
    bench.set("centre", 120);
    // 32767 stops at full effort; the counter was read before.
    assert_eq!(bench.drives(3), [(120, 1000), (120, 1000), (120, 120)]);
}

#[test]
fn a_second_ignore_begins_anew_and_none_is_none() {
    let text = "state a {\n  ignore edge-front-left for 1 s\n  drive edge-front-left 0 for 10 ms\n  ignore edge-front-left for 20 ms\n  \
                drive edge-front-left 0 for 30 ms\n  ignore edge-front-left for 0 ms\n  drive edge-front-left 0\n}\n";
    let mut bench = Bench::new(text);
    bench.set("edge-front-left", 700);
    assert_eq!(
        bench.drives(5),
        [(0, 0), (0, 0), (0, 0), (700, 0), (700, 0)]
    );
}

#[test]
fn a_release_ends_a_reflex_but_not_in_the_tick_in_which_it_starts() {
    let text = "reflex back when edge-front-left on border until centre sees {\n  drive -1 -1 for 50 ms\n  drive -2 -2 for 50 ms\n  then b\n}\n\
                state a {\n  drive 1 1\n}\nstate b {\n  drive 2 2\n}\n";
    let mut bench = Bench::new(text);
    bench.set("edge-front-left", 900);
    bench.set("centre", 100);
    // It starts although what releases it holds, and is over at the next tick.
    assert_eq!(bench.tick(), (-1, -1));
    bench.set("edge-front-left", 0);
    assert_eq!(bench.tick(), (2, 2));
    let mut bench = Bench::new(text);
    bench.set("edge-front-left", 900);
    bench.tick();
    bench.set("edge-front-left", 0);
    assert_eq!(bench.drives(7)[6], (-2, -2));
    bench.set("centre", 100);
    assert_eq!(bench.tick(), (2, 2));
}

#[test]
fn veering_is_advance_less_and_more_the_turn_and_stops_at_full_effort() {
    let drive = |step: &str| Bench::new(&format!("state a {{\n  {step}\n}}\n")).tick();
    assert_eq!(drive("veer 60 % 20 % left"), (400, 800));
    assert_eq!(drive("veer 60 % 20 % right"), (800, 400));
    assert_eq!(drive("veer 90 % 30 % left"), (600, 1000));
    assert_eq!(drive("veer -50 % 10 % left"), (-600, -400));
    // The sum is worked out in 32 bits and stopped at 16 before it is an effort.
    assert_eq!(drive("veer 32767 32767 left"), (0, 1000));
    let mut rules = Bench::new(
        "state a {\n  follow {\n    centre sees: veer 1 1 left\n    otherwise: veer 2 1 right\n  }\n}\n",
    );
    assert_eq!(rules.tick(), (3, 1));
    rules.set("centre", 100);
    assert_eq!(rules.tick(), (0, 2));
    rules.set("centre", NOTHING);
    assert_eq!(rules.tick(), (3, 1));
}

/// The bench's robot: wheels 80 mm apart, 1 m/s.
#[test]
fn a_curve_lasts_as_long_as_its_angle_takes() {
    let text = "constant wide = 120 mm\nstate a {\n  bend wide 90 deg left at 100 %\n  wait\n}\n";
    let mut bench = Bench::new(text);
    // 251 ms: 26 ticks of 10 ms.
    let drives = bench.drives(27);
    assert!(drives[..26].iter().all(|d| *d == (500, 1000)), "{drives:?}");
    assert_eq!(drives[26], (0, 0));
    let ended = "state a {\n  bend 120 mm 90 deg right at -50 % until centre sees\n  wait\n}\n";
    let mut bench = Bench::new(ended);
    assert_eq!(bench.tick(), (-500, -250));
    bench.set("centre", 100);
    assert_eq!(bench.tick(), (0, 0));
    // In a reflex it ends by itself.
    let reflex = "reflex r when edge-front-left on border {\n  bend 0 mm 45 deg left at 100 %\n}\nstate a {\n  wait\n}\n";
    let mut bench = Bench::new(reflex);
    bench.set("edge-front-left", 900);
    assert_eq!(bench.tick(), (-1000, 1000));
}

#[test]
fn what_cannot_be_ignored_or_driven_is_refused_with_what_was_expected() {
    let one = |step: &str, expected: &str| {
        let text = format!("counter n = 1\nstate a {{\n  {step}\n  wait\n}}\n");
        let issues = refused(&text);
        let found = issues.iter().any(|i| i.expected.contains(expected));
        assert!(found, "{step}: {issues:#?}");
    };
    one("ignore nobody for 20 ms", "one of the robot's sensors");
    one("ignore centre", "for");
    one("bend 120 mm 90 deg left", "at");
    one(
        "bend 120 mm 90 deg left at 50 % for 1 s",
        "as long as its angle takes",
    );
    one("bend n 90 deg left at 50 %", "numbers and constants");
    one("bend 120 mm 0 deg left at 50 %", "an angle above 0");
    one("bend -120 mm 90 deg left at 50 %", "a radius of 0 or more");
    one("bend 120 mm 90 deg left at 0 %", "an effort other than 0");
    one("bend 3000 mm 300 deg left at 1", "32.767 s");
    let mut tracked = ports();
    tracked.rolling = None;
    let text = "state a {\n  bend 120 mm 90 deg left at 50 %\n}\n";
    let read = parse("t.tactic", text).expect("it reads");
    let issues = compile(&read, &tracked).expect_err("it does not roll");
    assert!(issues[0].expected.contains("on both sides"), "{issues:#?}");
}
