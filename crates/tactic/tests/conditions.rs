//! What can be asked, and of what.

mod common;

use common::{Bench, NOTHING};

/// Whether `cond` holds in the first tick with these readings.
#[track_caller]
fn holds(cond: &str, readings: &[(&str, i16)]) -> bool {
    let text = format!(
        "counter n = 3\nconstant limit = 150 mm\nstate a {{\n go b when {cond}\n wait\n}}\nstate b {{\n wait\n}}\n"
    );
    let mut bench = Bench::new(&text);
    for (sensor, reading) in readings {
        bench.set(sensor, *reading);
    }
    bench.tick();
    bench.doing() == "b"
}

#[test]
fn a_distance_sensor_sees_within_and_beyond_a_distance() {
    let at = |d| [("centre", d)];
    assert!(holds("centre sees", &at(0)));
    assert!(!holds("centre sees", &at(NOTHING)));
    assert!(
        holds("centre sees within limit", &at(150)),
        "the end counts as within"
    );
    assert!(!holds("centre sees within limit", &at(151)));
    assert!(!holds("centre sees within limit", &at(NOTHING)));
    assert!(holds("centre sees beyond limit", &at(151)));
    assert!(!holds("centre sees beyond limit", &at(150)));
    assert!(
        !holds("centre sees beyond limit", &at(NOTHING)),
        "nothing is not far"
    );
}

#[test]
fn the_border_is_what_is_whiter_than_half_or_the_level_of_the_tactic() {
    let at = |r| [("edge-front-left", r)];
    assert!(!holds("edge-front-left on border", &at(500)));
    assert!(holds("edge-front-left on border", &at(501)));
    let text = "constant border-level = 30 %\nstate a {\n go b when edge-front-left on border\n wait\n}\nstate b {\n wait\n}\n";
    for (reading, doing) in [(300, "a"), (301, "b")] {
        let mut bench = Bench::new(text);
        bench.set("edge-front-left", reading);
        bench.tick();
        assert_eq!(bench.doing(), doing, "{reading}");
    }
}

#[test]
fn contact_tilt_and_raw_readings_can_be_asked_for() {
    assert!(holds("bumper touched", &[("bumper", 1)]));
    assert!(!holds("bumper touched", &[("bumper", 0)]));
    assert!(holds("tilt above 4 deg", &[("tilt", 41)]));
    assert!(!holds("tilt above 4 deg", &[("tilt", 40)]));
    assert!(holds("tilt below -4 deg", &[("tilt", -41)]));
    assert!(!holds("tilt below -4 deg", &[("tilt", -40)]));
    assert!(holds(
        "edge-front-left below 20 %",
        &[("edge-front-left", 199)]
    ));
    assert!(holds("centre < left", &[("centre", 100)]));
}

#[test]
fn a_proximity_sensor_sees_or_not() {
    assert!(holds("near sees", &[("near", 1)]));
    assert!(!holds("near sees", &[("near", 0)]));
    assert!(holds("not near sees", &[("near", 0)]));
}

#[test]
fn turning_rolling_and_current_can_be_asked_for_in_their_units() {
    assert!(holds("gyro above 200 deg", &[("gyro", 2001)]));
    assert!(!holds("gyro above 200 deg", &[("gyro", 2000)]));
    assert!(holds("gyro below -90 deg", &[("gyro", -901)]));
    assert!(holds("wheels-left below 50 mm", &[("wheels-left", 49)]));
    assert!(!holds("wheels-left below 50 mm", &[("wheels-left", 50)]));
    assert!(holds("amps-left above 1.2 A", &[("amps-left", 1201)]));
    assert!(!holds("amps-left above 1200 mA", &[("amps-left", 1200)]));
}

#[test]
fn and_binds_tighter_than_or_and_not_tighter_than_both() {
    assert!(holds("n = 3 or n = 4 and n = 5", &[]));
    assert!(!holds("(n = 3 or n = 4) and n = 5", &[]));
    assert!(holds("not n = 4 and n = 3", &[]));
    assert!(!holds("not (n = 4 or n = 3)", &[]));
    assert!(holds("not not n = 3", &[]));
}

#[test]
fn comparisons_are_strict() {
    for (cond, yes) in [
        ("n > 2", true),
        ("n > 3", false),
        ("n < 4", true),
        ("n < 3", false),
        ("n = 3", true),
        ("n = 2", false),
    ] {
        assert_eq!(holds(cond, &[]), yes, "{cond}");
    }
}

#[test]
fn for_asks_that_it_has_held_since_the_last_tick_it_did_not() {
    let text = "state a {\n go b when centre sees for 30 ms\n wait\n}\nstate b {\n go a when not centre sees\n wait\n}\n";
    let mut bench = Bench::new(text);
    // Ticks at 0 and 10 ms see nothing; 20 and 30 ms see; 40 ms does not; then it sees for good.
    for (seen, doing) in [
        (false, "a"),
        (false, "a"),
        (true, "a"),
        (true, "a"),
        (false, "a"),
        (true, "a"),
        (true, "a"),
        (true, "b"),
        (true, "b"),
        (false, "a"),
        (true, "a"),
    ] {
        let now = bench.now;
        bench.set("centre", if seen { 100 } else { NOTHING });
        bench.tick();
        assert_eq!(bench.doing(), doing, "{now} ms");
    }
}

#[test]
fn for_belongs_to_the_one_condition_before_it() {
    let text = "state a {\n go b when left sees and centre sees for 20 ms\n wait\n}\nstate b {\n wait\n}\n";
    let mut bench = Bench::new(text);
    bench.set("centre", 100);
    bench.doings(4);
    bench.set("left", 100);
    bench.tick();
    assert_eq!(bench.doing(), "b", "left need not have seen for long");
}

#[test]
fn for_goes_on_holding_past_the_turn_of_the_clock() {
    let text = "timer t\nstate a {\n go b when centre sees for 20 ms and left sees\n wait\n}\nstate b {\n wait\n}\n";
    let mut bench = Bench::new(text);
    bench.set("centre", 100);
    // 70 s: the 16-bit clock has turned over.
    bench.doings(7000);
    bench.set("left", 100);
    bench.tick();
    assert_eq!(bench.doing(), "b");
}

#[test]
fn chance_is_per_mille_of_the_looks_and_repeats_with_its_stream() {
    let text = "counter n = 0\nreflex luck when chance 25 % {\n set n = n + 1\n}\nstate a {\n drive n n\n}\n";
    let count = |noise: u16| {
        let mut bench = Bench::with(text, 0, noise, 0);
        bench.drives(1000)
    };
    let first = count(17);
    assert_eq!(first, count(17), "the same stream");
    assert_ne!(first, count(18), "another stream");
    assert_ne!(count(0), vec![(0, 0); 1000], "a stream of zero runs too");
    // 1000 looks at one in four: 250, standard deviation 13.7; five of them.
    let (left, _) = first[999];
    assert!((181..=319).contains(&left), "{left}");
    for (chance, all) in [("0 %", 0), ("100 %", 1000), ("-5 %", 0)] {
        let text = text.replace("25 %", chance);
        let mut bench = Bench::with(&text, 0, 9, 0);
        assert_eq!(bench.drives(1000)[999].0, all, "{chance}");
    }
}

#[test]
fn chance_uses_all_of_its_period() {
    // A run of 65535 looks of xorshift 7, 9, 8 visits every value but zero once, so that the
    // number of times below 500 of 1000 is fixed: 65 full thousands and 0..=534 below the last,
    // less the one zero.
    let text = "counter n = 0\ncounter k = 0\nreflex luck when chance 50 % {\n set n = n + 1\n set k = k + n / 1000\n set n = n - n / 1000 * 1000\n}\nstate a {\n drive k n\n}\n";
    let mut bench = Bench::with(text, 0, 1, 0);
    let last = bench.drives(65535)[65534];
    let below = (1..=65535_u32).filter(|v| v % 1000 < 500).count();
    let counted = i32::from(last.0) * 1000 + i32::from(last.1);
    assert_eq!(usize::try_from(counted), Ok(below));
}
