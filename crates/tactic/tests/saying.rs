//! What a tactic says of itself without running: sensors it reads, efforts, constants, findings.

mod common;

use common::{Bench, parsed};
use tactic::Tactic;

/// Greatest effort driven forward, whatever is in front.
fn most_forward(t: &Tactic) -> i16 {
    let charges = t.forward_charges(-1);
    charges.iter().map(|c| c.effort).max().unwrap_or(0)
}

const A: &str = "state a {\n wait\n}\n";

#[test]
fn only_sensors_that_can_change_something_are_read() {
    let tactic = parsed(
        "constant near = 50\ncounter n = 0\nremember left when flank-left sees\nreflex r when edge on border for delay {\n drive gain 1 for 10 ms until bumper touched\n}\nstate a {\n go a when centre sees within near and n > far\n stay wait-sensor then a\n drive n 1 for 10 ms\n}\nstate lost {\n go a when ghost sees\n drive phantom 1\n}\n",
    );
    assert_eq!(
        tactic.sensors_read(),
        [
            "bumper",
            "centre",
            "delay",
            "edge",
            "far",
            "gain",
            "wait-sensor"
        ]
    );
    let turning = "remember left when flank-left sees\nstate a {\n pivot 1 seen\n}\n";
    assert_eq!(parsed(turning).sensors_read(), ["flank-left"]);
    let turning = "remember right when flank-left sees\nstate a {\n follow {\n  otherwise: arc 1 1 unseen\n }\n}\n";
    assert_eq!(parsed(turning).sensors_read(), ["flank-left"]);
}

#[test]
fn the_greatest_efforts_are_means_of_both_sides() {
    let efforts = |line: &str| {
        let t = parsed(&format!(
            "constant c = 80 %\ncounter n = 0\nstate a {{\n {line}\n}}\n"
        ));
        (most_forward(&t), t.most_effort_backward())
    };
    assert_eq!(efforts("drive 60 % 40 %"), (500, 0));
    assert_eq!(efforts("drive -60 % -40 %"), (0, 500));
    assert_eq!(efforts("drive c c for 9 ms\n drive -c -c / 2"), (800, 600));
    assert_eq!(efforts("arc 20 % 100 % seen"), (600, 0));
    assert_eq!(efforts("pivot 100 % left"), (0, 0));
    assert_eq!(efforts("wait"), (0, 0));
    assert_eq!(efforts("drive 5000 5000"), (1000, 0), "no more than full");
    assert_eq!(
        efforts("drive share(c, 1, 2) c * 1"),
        (600, 0),
        "worked out as in a tick"
    );
    assert_eq!(
        efforts("drive n 0"),
        (500, 500),
        "a counter may be anything"
    );
    assert_eq!(efforts("follow {\n  centre sees: drive c c\n }"), (800, 0));
}

#[test]
fn the_sides_it_drives_are_known() {
    let driven =
        |line: &str| parsed(&format!("counter n = 0\nstate a {{\n {line}\n}}\n")).sides_driven();
    assert_eq!(driven("drive 10 0"), [true, false]);
    assert_eq!(driven("drive 0 n"), [false, true]);
    assert_eq!(driven("pivot 10 left"), [true, true]);
    assert_eq!(driven("pivot 0 left"), [false, false]);
    assert_eq!(driven("arc 0 10 left"), [true, true]);
    assert_eq!(driven("wait"), [false, false]);
}

#[test]
fn constants_can_be_changed_within_their_range() {
    let tactic = parsed(
        "constant cruise = 10 % from 5 % to 20 %\nconstant fixed = 3\nstate a {\n drive cruise fixed\n}\n",
    );
    let all = tactic.constants();
    assert_eq!(
        (
            all[0].name.as_str(),
            all[0].value,
            all[0].least,
            all[0].most
        ),
        ("cruise", 100, 50, 200)
    );
    assert_eq!((all[1].least, all[1].most), (3, 3));
    let faster = tactic.with_constant("cruise", 200).expect("in range");
    assert_eq!(most_forward(&faster), 101);
    let program = tactic::compile(&faster, &common::ports()).expect("it fits");
    let drive = program.tick(&mut program.start(0, 1), &[], 0);
    assert_eq!(drive.left, 200);
    assert!(tactic.with_constant("cruise", 201).is_none());
    assert!(tactic.with_constant("cruise", 49).is_none());
    assert!(tactic.with_constant("nothing", 1).is_none());
}

#[test]
fn opening_names_come_in_file_order() {
    let tactic = parsed(&format!("opening z {{\n}}\nopening b {{\n}}\n{A}"));
    assert_eq!(tactic.opening_names(), ["z", "b"]);
    assert_eq!(tactic.file(), "test.tactic");
}

#[test]
fn states_nothing_leads_to_are_found() {
    let text = "opening o {\n begin b\n}\nreflex r when 1 = 1 {\n then d\n}\nstate a {\n then b\n}\nstate b {\n stay 1 s then c\n wait\n}\nstate c {\n go b when 1 = 1\n wait\n}\nstate d {\n wait\n}\nstate e {\n then a\n}\n";
    let findings = parsed(text).findings();
    let told: Vec<_> = findings
        .iter()
        .map(|f| (f.name, f.place.as_ref().map_or(0, |p| p.line)))
        .collect();
    assert_eq!(told, [("state-unreachable", 7), ("state-unreachable", 21)]);
    assert!(findings[0].what.contains("\"a\""));
    assert_eq!(parsed(A).findings(), []);
}

#[test]
fn a_reflex_behind_one_with_the_same_condition_is_found() {
    let reflexes = |first: &str, second: &str| {
        let text = format!("reflex r when {first} {{\n}}\nreflex s when {second} {{\n}}\n{A}");
        parsed(&text).findings()
    };
    let found = reflexes("left sees within 5 cm", "left sees  within 50 mm");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].name, "reflex-shadowed");
    assert_eq!(found[0].place.as_ref().map(|p| p.line), Some(3));
    assert!(found[0].why.contains("\"r\""));
    assert_eq!(reflexes("left sees", "right sees"), []);
    assert_eq!(
        reflexes("chance 50 %", "chance 50 %"),
        [],
        "luck may pass the first over"
    );
}

#[test]
fn what_is_shadowed_never_starts_and_what_is_unreachable_is_never_entered() {
    let text = "reflex r when left sees {\n drive 1 1 for 10 ms\n}\nreflex s when left sees {\n drive 2 2 for 10 ms\n}\nstate a {\n drive 3 3\n}\nstate b {\n then a\n}\n";
    let mut bench = Bench::new(text);
    for k in 0..200 {
        bench.set("left", if k % 7 < 3 { 40 } else { common::NOTHING });
        bench.tick();
        assert!(["r", "a"].contains(&bench.doing()));
    }
}
