//! Units mistaken by a thousand, masses and sizes that no thing has, motors that give more than they
//! take: refused, with the right figure where it can be guessed.

use robot::{Issue, PartsBox};

/// What is wrong in `robots/demo.toml` with `from` written as `to`.
#[track_caller]
fn issues(from: &str, to: &str) -> Vec<Issue> {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let text = shelf::file("robots/demo.toml").expect("it is there");
    assert!(text.contains(from), "{from}");
    let text = text.replacen(from, to, 1);
    let lookup = |name: &str| shelf::file(&format!("robots/{name}"));
    match robot::read("demo.toml", &text, &parts, &lookup) {
        Ok(_) => Vec::new(),
        Err(issues) => issues,
    }
}

#[test]
fn a_thousandfold_slip_gets_the_right_figure_with_its_spread() {
    for (right, wrong) in [
        ("length = \"98 mm\"", "length = \"98 m\""),
        ("length = \"62 mm\"", "length = \"0.062 mm\""),
        ("tip-x = \"49 mm\"", "tip-x = \"49000 mm\""),
        (
            "at = [\"6 mm\", \"0 mm\", \"17 mm\"]",
            "at = [\"6 mm\", \"0 mm\", \"17000 mm\"]",
        ),
    ] {
        let found = issues(right, wrong);
        // The unit is kept: 98 m becomes 0.098 m.
        let mended = |i: &Issue| {
            let line = i.suggestion.clone().unwrap_or_default();
            line == right || line == "length = \"0.098 m\""
        };
        assert!(found.iter().any(mended), "{wrong}: {found:#?}");
    }
    let found = issues(
        "tip-height = \"0 mm\"",
        "tip-height = \"0.3 +- 0.1 ~ 0.1 m\"",
    );
    let line = found[0].suggestion.as_deref();
    assert_eq!(line, Some("tip-height = \"0.0003 +- 0.1 ~ 0.1 m\""));
}

#[test]
fn a_part_weighed_a_thousand_times_as_heavy_is_compared_with_the_parts_box() {
    let found = issues(
        "part = \"board-beginner\"",
        "part = \"board-beginner\"\nmass = \"9.5 kg\"",
    );
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(
        found[0].what.contains("the part's own is 11 g"),
        "{found:#?}"
    );
    assert_eq!(found[0].suggestion.as_deref(), Some("mass = \"0.0095 kg\""));
    // Nine times as heavy may be another one.
    let fine = issues(
        "part = \"board-beginner\"",
        "part = \"board-beginner\"\nmass = \"99 g\"",
    );
    assert!(fine.is_empty(), "{fine:#?}");
}

#[test]
fn nothing_weighs_nothing_and_nothing_is_denser_than_metal_or_lighter_than_air() {
    let board = "part = \"board-beginner\"";
    let with = |lines: &str| issues(board, &format!("{board}\n{lines}"));
    assert!(with("mass = \"0 g\"")[0].what.contains("not above zero"));
    let size = "size = [\"50 mm\", \"40 mm\", \"10 mm\"]";
    assert!(with(size).is_empty());
    let flat = with("size = [\"5 mm\", \"0.04 mm\", \"1 mm\"]");
    assert!(flat[0].what.contains("denser than any metal"), "{flat:#?}");
    // 11 g in 0.73 m³ is 15 g a cubic metre; air has 1.2 kg.
    let thin = with("size = [\"900 mm\", \"900 mm\", \"900 mm\"]");
    assert!(thin[0].what.contains("lighter than air"), "{thin:#?}");
}

#[test]
fn a_motor_that_gives_more_than_it_takes_is_refused() {
    let motor = "part = \"gearmotor-small-1000\"";
    let with = |lines: &str| issues(motor, &format!("{motor}\n{lines}"));
    // 45 mN·m at 1000 rpm is 4.7 W, 6 V × 0.8 A 4.8 W.
    assert!(with("stall-torque = \"50 +- 5 mN.m\"").is_empty());
    let kilo = with("stall-torque = \"4.5 +- 0.5 N.m\"");
    assert!(
        kilo[0]
            .what
            .contains("471 W, voltage × stall current 4.8 W"),
        "{kilo:#?}"
    );
    let milli = with("stall-current = \"8 mA\"");
    assert!(
        milli.iter().any(|i| i.what.contains("stall torque")),
        "{milli:#?}"
    );
}

#[test]
fn nothing_lies_below_the_ring() {
    let found = issues(
        "at = [\"6 mm\", \"0 mm\", \"17 mm\"]",
        "at = [\"6 mm\", \"0 mm\", \"-17 mm\"]",
    );
    assert_eq!(found[0].what, "\"at\" lies 17 mm below the ring");
    let found = issues("from = \"4 mm\"", "from = \"-4 mm\"");
    assert!(found[0].what.contains("below the ring"), "{found:#?}");
}
