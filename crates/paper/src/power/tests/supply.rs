//! Wires, fuse, the controller's supply, charge and lithium.

use robot::Severity;

use super::*;
use crate::power::Stalled;

#[test]
fn a_thin_wire_and_a_wrong_fuse_are_told() {
    let wiring = |lines: &str| found(&[(TOP, &format!("[wiring]\n{lines}\n"))]);
    // Two motors at their driver's limit draw some 1.3 A.
    let f = one(&wiring("battery-wire = \"32 AWG\""), "wire-thin");
    assert!(
        f.severity == Severity::Warning && f.mend.contains("26 AWG"),
        "{f:?}"
    );
    let f = one(
        &wiring("motor-wire = \"24 AWG\"\nmotor-length = \"20 m\""),
        "wire-thin",
    );
    assert!(f.what.contains("loses"), "{f:?}");
    assert!(
        wiring("battery-wire = \"22 AWG\"\nmotor-wire = \"0.25 mm2\"\nfuse = \"2 A\"").is_empty()
    );
    let f = one(&wiring("fuse = \"0.5 A\""), "fuse-too-small");
    assert!(f.mend.contains("Take 2 A"), "{f:?}");
    let f = one(
        &wiring("battery-wire = \"26 AWG\"\nfuse = \"10 A\""),
        "fuse-too-big",
    );
    assert!(f.what.contains("does not guard"), "{f:?}");
    // 4.8 V behind 0.15 Ω give 32 A into a short: not enough for 20 A.
    let f = one(&wiring("fuse = \"20 A\""), "fuse-too-big");
    assert!(
        f.what.contains("cannot open") && f.what.contains("32 A"),
        "{f:?}"
    );
}

#[test]
fn a_proposed_fuse_lies_between_the_current_and_what_its_wire_carries() {
    for class in ["mini", "mega", "micro"] {
        let b = bench(class);
        for (file, text) in shelf::files(&format!("robots/{class}")) {
            if file.ends_with(".toml") {
                let p = b.power(&b.read(&text));
                let fuse = p.fuse.expect("one is big enough");
                assert!(fuse.rating_a >= p.stalled.pack_a, "{file}");
                assert!(fuse.rating_a <= p.branches[0].carries_a, "{file}: {fuse:?}");
                assert!(fuse.short_a > 2.0 * fuse.rating_a, "{file}: {fuse:?}");
            }
        }
    }
}

#[test]
fn a_board_that_resets_when_everything_stalls() {
    // Nothing is said where the pack stays well above.
    assert!(found(&[("[board]", "brown-out = \"3.0 V\"")]).is_empty());
    let resistance = ("[battery]", "resistance = \"1.2 ohm\"");
    let (robot, power) = demo(&[resistance, ("[board]", "brown-out = \"4.4 V\"")]);
    let all = power.findings(&robot);
    let f = one(&all, "browns-out");
    assert_eq!(f.severity, Severity::Fault, "{:?}", power.supply);
    assert!(f.why.contains("U0 - R·I"), "{f:?}");
    // Between the ends of the band it is a warning or a note.
    let v = power.supply.stalled_v;
    let near = format!("brown-out = \"{:.3} V\"", v + 0.01);
    let f = one(&found(&[resistance, ("[board]", &near)]), "browns-out");
    assert_eq!(f.severity, Severity::Warning);
    let near = format!("brown-out = \"{:.3} V\"", v - 0.05);
    let f = one(&found(&[resistance, ("[board]", &near)]), "browns-out");
    assert_eq!(f.severity, Severity::Note);
}

#[test]
fn a_pack_that_is_too_much_for_the_board() {
    let pack = ("[battery]", "voltage = \"12.4 V\"");
    let f = one(
        &found(&[pack, ("[board]", "board = \"rp2040\"")]),
        "board-overfed",
    );
    assert!(
        f.severity == Severity::Fault && f.mend.contains("regulator"),
        "{f:?}"
    );
    let pack = ("[battery]", "voltage = \"8.2 V\"");
    let fed = ("[board]", "board = \"atmega328p\"\nfed-at = \"5V\"");
    let f = one(&found(&[pack, fed]), "board-overfed");
    assert!(f.mend.contains("VIN"), "{f:?}");
    assert!(!names(&found(&[pack, BOARD])).contains(&"board-overfed"));
}

#[test]
fn a_linear_regulator_with_much_to_burn() {
    // (11.4 - 5) V at 0.15 A and more.
    let pack = ("[battery]", "voltage = \"11.4 V\"");
    let thirsty = ("[board]", "board = \"atmega328p\"\ncurrent = \"120 mA\"");
    let f = one(&found(&[pack, thirsty]), "regulator-hot");
    assert!(
        f.severity == Severity::Warning && f.why.contains("- 5 V"),
        "{f:?}"
    );
    assert!(
        !names(&found(&[("[battery]", "voltage = \"7.4 V\""), BOARD])).contains(&"regulator-hot")
    );
}

/// tk233.gitbook.io, "LiPo Safety" (read there; firm but for the end of discharging, on which sources
/// disagree): 4.20 V full, 3.8 V to store, 3.0 V under load as the end, 1C.
#[test]
fn a_lithium_pack_brings_its_limits_and_cautions() {
    let b = bench("mini");
    let text = shelf::file("robots/mini/anvil.toml").expect("it is there");
    let robot = b.read(&text);
    let power = b.power(&robot);
    let l = power.lithium.expect("it has a lithium pack");
    assert_eq!((l.cells, l.cells_stated), (2, false));
    for (is, should) in [
        (l.full_v, 8.4),
        (l.store_v, 7.6),
        (l.empty_v, 6.0),
        (l.charge_a, 0.3),
        (l.energy_j, 8.2 * 0.3 * 3600.0),
    ] {
        assert!((is - should).abs() < 1e-9, "{is} for {should}");
    }
    let f = one(&power.findings(&robot), "lithium-pack");
    assert_eq!(f.severity, Severity::Note);
    for part in [
        "8.4 V",
        "300 mA",
        "about 6 V",
        "7.6 V",
        "fire-resistant",
        "adult",
        "event's rules",
    ] {
        assert!(f.mend.contains(part), "{part}: {}", f.mend);
    }
    assert!(demo(&[]).1.lithium.is_none(), "the demo runs on NiMH");
}

#[test]
fn a_shove_that_pulls_a_lithium_pack_below_its_end_is_told() {
    let lipo = "chemistry = \"LiPo\"\nvoltage = \"3.9 V\"\nresistance = \"1.5 ohm\"";
    let f = one(&found(&[("[battery]", lipo)]), "lithium-too-low");
    assert!(
        f.severity == Severity::Warning && f.why.contains("3 V in all"),
        "{f:?}"
    );
    let strong = "chemistry = \"LiPo\"\nvoltage = \"3.9 V\"\nresistance = \"0.05 ohm\"";
    assert_eq!(names(&found(&[("[battery]", strong)])), ["lithium-pack"]);
}

/// 7.4 V behind 0.080 Ω and two motors of 0.6 Ω that nothing limits: 9.737 A each, 19.47 A and 5.842 V
/// (I = V/(R + n·R_b), computed), with nothing else drawn.
#[test]
fn two_stalled_motors_sag_as_computed() {
    let mut text = shelf::file("robots/demo.toml").expect("the demo");
    for (header, line) in [
        (
            "[battery]",
            "voltage = \"7.4 V\"\nresistance = \"0.080 ohm\"",
        ),
        (
            "[driver]",
            "current-limit = \"100 A\"\nresistance = \"0 ohm\"",
        ),
        ("[board]", "current = \"0 mA\""),
    ] {
        text = text.replacen(header, &format!("{header}\n{line}"), 1);
    }
    for name in ["left motor", "right motor"] {
        let header = format!("name = \"{name}\"");
        let line = "rated-voltage = \"6 V\"\nstall-current = \"10 A\"";
        text = text.replacen(&header, &format!("{header}\n{line}"), 1);
    }
    let sensors = text.find("[[sensor]]").expect("it has some");
    text.truncate(sensors);
    let robot = bench("mini").read(&text);
    let s = Stalled::of(&robot, 0.0, &quantity::Draws::nominal());
    for (is, should) in [(s.motors_a[0], 9.737), (s.pack_a, 19.47), (s.volts, 5.842)] {
        assert!((is - should).abs() < 1e-3 * should, "{is} for {should}");
    }
    // With 40 mΩ of wire in the lead it is as with 0.120 Ω inside.
    let s = Stalled::of(&robot, 0.040, &quantity::Draws::nominal());
    assert!(
        (s.volts - 7.4 / (1.0 + 0.120 * 2.0 / 0.6)).abs() < 1e-9,
        "{}",
        s.volts
    );
}

#[test]
fn a_charge_is_counted_in_rounds_and_matches() {
    let (robot, power) = demo(&[]);
    let e = power.endurance;
    let rounds = e.rounds.expect("a round takes something");
    // A fifth stays in the pack.
    let all = 0.8 * robot.battery.capacity.si();
    assert!((rounds * e.round_c - all).abs() < 1e-9 * all);
    assert!((e.matches.expect("likewise") * f64::from(e.rounds_of_match) - rounds).abs() < 1e-9);
    let (_, small) = demo(&[("[battery]", "capacity = \"200 mAh\"")]);
    assert!(small.endurance.rounds.expect("likewise") < 0.11 * rounds);
}

#[test]
fn a_charge_that_does_not_last_a_match_is_told() {
    let f = one(
        &found(&[("[battery]", "capacity = \"8 mAh\"")]),
        "pack-runs-out",
    );
    assert!(
        f.severity == Severity::Warning && f.mend.contains("mAh"),
        "{f:?}"
    );
    assert!(found(&[("[battery]", "capacity = \"80 mAh\"")]).is_empty());
}

#[test]
fn sensors_that_take_more_than_the_regulator_gives() {
    let stm = (
        "[board]",
        "board = \"stm32f103\"\nfed-at = \"5V\"\ncurrent = \"250 mA\"",
    );
    let f = one(&found(&[stm]), "regulator-hot");
    assert!(f.what.contains("300 mA"), "{f:?}");
    let modest = ("[board]", "board = \"stm32f103\"\nfed-at = \"5V\"");
    assert!(found(&[modest]).is_empty());
}

/// 5/(1 - 0.005) = 5.025 s on a board whose resonator is within half a per cent.
#[test]
fn the_start_delay_to_program_makes_up_for_a_fast_clock() {
    let (rule, wait) = demo(&[])
        .1
        .start_wait_s
        .expect("the board is guessed, the class has a delay");
    assert!(
        (rule - 5.0).abs() < 1e-12 && (wait - 5.0 / 0.995).abs() < 1e-9,
        "{wait}"
    );
}
