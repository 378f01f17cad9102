//! Units, spreads and printing against exact definitions.

use proptest::prelude::*;
use quantity::{
    Angle, Charge, Energy, Length, Mass, Money, Ratio, Resistance, Speed, Temperature, Torque,
    parse, show, show_si,
};

/// What `text` is in SI.
fn si<D: quantity::Dimension>(text: &str) -> f64 {
    parse::<D>(text)
        .unwrap_or_else(|e| panic!("{text}: {e:?}"))
        .si
}

#[track_caller]
fn near(value: f64, expected: f64, tolerance: f64) {
    assert!(
        (value - expected).abs() <= tolerance,
        "{value} for {expected}"
    );
}

/// 1 in = 25.4 mm and 1 lb = 0.453 592 37 kg, exact (International yard and pound agreement 1959).
#[test]
fn mixed_units_convert_by_their_exact_definitions() {
    near(si::<Length>("5 cm") / si::<Length>("1 in"), 1.9685, 5e-5);
    near(si::<Mass>("500 g") / si::<Mass>("1 lb"), 1.102, 5e-4);
    near(si::<Mass>("3000 g") / si::<Mass>("1 lb"), 6.614, 5e-4);
    near(si::<Length>("20 cm") / si::<Length>("1 in"), 7.874, 5e-4);
    near(si::<Length>("10 cm") / si::<Length>("1 in"), 3.937, 5e-4);
    near(si::<Mass>("1.3 lb"), 0.589_67, 5e-6);
    near(si::<Mass>("125 lb"), 56.70, 5e-3);
    near(si::<Torque>("1.8 kgf.cm"), 0.176_519_7, 1e-9);
    near(si::<Torque>("10 oz in"), 0.070_615_518, 1e-9);
    near(si::<Charge>("850 mAh"), 3060.0, 1e-9);
    near(si::<Temperature>("25 degC"), 298.15, 1e-9);
    near(si::<Resistance>("0.12 ohm"), 0.12, 0.0);
    near(si::<Angle>("25 deg"), 0.436_332_312_998_582, 1e-15);
}

#[test]
fn both_spreads_are_half_widths_in_si_and_may_stand_together() {
    let p = parse::<Length>("43 +- 1 mm").unwrap();
    near(p.si, 0.043, 1e-15);
    near(p.unsure, 0.001, 1e-15);
    near(p.varies, 0.0, 0.0);
    let p = parse::<Ratio>("0.9 +- 0.05 ~ 0.1").unwrap();
    near(p.si, 0.9, 1e-15);
    near(p.unsure, 0.05, 1e-15);
    near(p.varies, 0.1, 1e-15);
    let p = parse::<Length>("43 mm ± 2 %").unwrap();
    near(p.unsure, 0.000_86, 1e-12);
    let p = parse::<Ratio>("20 % ~ 5 %").unwrap();
    near(p.varies, 0.05, 1e-12);
}

#[test]
fn a_beginners_slips_are_refused_with_the_corrected_text() {
    let instead =
        |e: Result<quantity::Parsed, quantity::NotAQuantity>| e.unwrap_err().instead.unwrap();
    assert_eq!(instead(parse::<Length>("43,5 mm")), "43.5 mm");
    assert_eq!(instead(parse::<Torque>("1.8 kg·cm")), "1.8 kgf·cm");
    assert_eq!(instead(parse::<Length>("43")), "43 mm");
    assert_eq!(instead(parse::<Length>("43 MM")), "43 mm");
    assert_eq!(instead(parse::<Length>("“43 mm”")), "43 mm");
}

#[test]
fn a_spread_in_percent_is_relative_unless_the_value_is_in_percent_itself() {
    let p = parse::<Length>("43 mm +- 5 %").unwrap();
    near(p.unsure, 0.002_15, 1e-15);
    let p = parse::<Ratio>("2 % +- 1 %").unwrap();
    near(p.si, 0.02, 1e-15);
    near(p.unsure, 0.01, 1e-15);
    let p = parse::<Money>("20 +- 10 %").unwrap();
    near(p.unsure, 2.0, 1e-15);
}

#[test]
fn a_share_half_in_percent_is_refused_with_both_ways_it_can_be_meant() {
    for (text, percent, bare) in [
        ("2 +- 1 %", "2 % +- 1 %", "2 +- 0.02"),
        ("0.9 +- 5 %", "0.9 % +- 5 %", "0.9 +- 0.045"),
        (
            "0.9 ± 5 % ~ 0.1",
            "0.9 % +- 5 % ~ 0.1 %",
            "0.9 +- 0.045 ~ 0.1",
        ),
        ("2 % ~ 0.01", "2 % ~ 0.01 %", "0.02 ~ 0.01"),
    ] {
        let e = parse::<Ratio>(text).unwrap_err();
        assert_eq!(e.what, format!("\"{text}\" can be read in two ways"));
        let offered = format!("\"{percent}\" or \"{bare}\"");
        assert!(e.expected.ends_with(&offered), "{}", e.expected);
        for form in [percent, bare] {
            assert!(parse::<Ratio>(form).is_ok(), "{form}");
        }
    }
    let e = parse::<Ratio>("0.9 +- 1 mm").unwrap_err();
    assert!(e.what.contains("is a length"), "{}", e.what);
}

#[test]
fn a_plus_between_two_numbers_is_told_to_be_a_spread() {
    for (text, right) in [
        ("4 mm + 1 mm", "4 mm +- 1 mm"),
        ("4 + 1 mm", "4 +- 1 mm"),
        ("4mm+1mm", "4mm+-1mm"),
        ("4 mm + 10 %", "4 mm +- 10 %"),
        ("4 mm +− 1 mm", "4 mm +- 1 mm"),
    ] {
        let e = parse::<Length>(text).unwrap_err();
        assert_eq!(e.instead.as_deref(), Some(right), "{e:?}");
    }
    let e = parse::<Length>("4 mm + 1 mm").unwrap_err();
    assert_eq!(e.what, "\"4 mm + 1 mm\" has a + where +- is meant");
    near(si::<Length>("4e+0 mm"), 0.004, 1e-15);
    near(si::<Length>("+4 mm +- +1 mm"), 0.004, 1e-15);
}

#[test]
fn torque_and_energy_never_mix() {
    let e = parse::<Torque>("3 J").unwrap_err();
    assert_eq!(e.what, "\"3 J\" is an energy");
    assert!(
        parse::<Energy>("3 N m")
            .unwrap_err()
            .what
            .contains("is a torque")
    );
    assert!(
        parse::<Length>("43 g")
            .unwrap_err()
            .what
            .contains("is a mass")
    );
}

/// Space before the unit and before %, none before the degree sign, "N·m", upright symbols (BIPM SI
/// brochure, section 5.4; NIST SP 811, section 7.2).
#[test]
fn numbers_are_printed_as_the_si_brochure_writes_them() {
    assert_eq!(show_si::<Length>(0.043), "43 mm");
    assert_eq!(show_si::<Mass>(0.438), "438 g");
    assert_eq!(show_si::<Torque>(0.0123), "12.3 mN·m");
    assert_eq!(show_si::<Angle>(0.436_332_312_998_582), "25°");
    assert_eq!(show_si::<Temperature>(303.35), "30.2 °C");
    assert_eq!(show_si::<Speed>(1.2), "1.2 m/s");
    assert_eq!(show::<Mass>(0.9996, 3), "1 kg");
    assert_eq!(show_si::<Length>(0.0), "0 mm");
}

proptest! {
    #[test]
    fn no_text_makes_the_parser_panic(text in "\\PC{0,24}") {
        let _ = parse::<Length>(&text);
        let _ = parse::<Ratio>(&text);
        let _ = parse::<Temperature>(&text);
    }

    #[test]
    fn what_is_printed_reads_back_within_its_digits(x in 1e-4_f64..50.0) {
        let back = si::<Length>(&show::<Length>(x, 6));
        prop_assert!((back / x - 1.0).abs() < 1e-4, "{} {back}", show::<Length>(x, 6));
    }
}
