//! The wiring in words and as a picture says what the analysis found.

use super::WiringPlan;
use crate::setting::Setting;
use crate::text::Layout;

fn plan(robot: &str) -> WiringPlan {
    WiringPlan::of(&Setting::load(robot, None, None).unwrap_or_else(|e| panic!("{e:#?}")))
}

/// The demo with a change to its wiring.
fn changed(change: impl Fn(&mut robot::Wiring)) -> WiringPlan {
    let mut setting = Setting::load("demo", None, None).unwrap_or_else(|e| panic!("{e:#?}"));
    change(&mut setting.robot.wiring);
    WiringPlan::of(&setting)
}

/// What stands in the picture, text by text, with the places.
fn words(svg: &str) -> Vec<(f64, f64, String)> {
    let number = |tag: &str, key: &str| -> f64 {
        let rest = tag.split(&format!("{key}=\"")).nth(1).unwrap_or_default();
        let end = rest.find('"').unwrap_or(0);
        rest[..end].parse().unwrap_or(f64::NAN)
    };
    let texts = svg.split("<text ").skip(1);
    texts
        .filter_map(|t| {
            let (tag, rest) = t.split_once('>')?;
            let (words, _) = rest.split_once("</text>")?;
            Some((number(tag, "x"), number(tag, "y"), words.to_owned()))
        })
        .collect()
}

#[test]
fn every_pin_and_wire_stands_in_text_and_picture() {
    for robot in [
        "demo",
        "mini/bellows",
        "mega/derrick",
        "nano/tick",
        "mini/bumble",
    ] {
        let plan = plan(robot);
        let (text, svg) = (plan.text(Layout::default()), plan.svg());
        let drawn = words(&svg);
        for p in &plan.power.pins {
            let pin = p.pin.as_ref().unwrap_or_else(|| panic!("{robot}: {p:?}"));
            assert!(
                drawn.iter().any(|(.., w)| w == pin),
                "{robot}: no {pin} in the picture"
            );
            assert!(
                text.contains(&format!("   {pin} ")),
                "{robot}: no {pin} in the text"
            );
            assert!(text.contains(&p.item), "{robot}: no {} in the text", p.item);
        }
        for w in &plan.power.wires {
            assert!(
                drawn.iter().any(|(.., t)| t.contains(&w.wire)),
                "{robot}: {w:?}"
            );
        }
        let fuse = plan.power.fuse.as_ref().expect("one is big enough");
        let rating = quantity::show_si::<quantity::Current>(fuse.rating_a);
        assert!(drawn.iter().any(|(.., w)| *w == rating) && text.contains(&rating));
    }
}

#[test]
fn no_two_texts_of_the_picture_stand_at_one_place() {
    for robot in ["demo", "mini/bellows", "mega/derrick", "nano/tick"] {
        let drawn = words(&plan(robot).svg());
        for (k, (x, y, w)) in drawn.iter().enumerate() {
            assert!((0.0..=480.0).contains(x), "{robot}: {w} at {x}");
            for (u, v, other) in &drawn[..k] {
                let apart = (x - u).abs() > 16.0 || (y - v).abs() > 9.0;
                assert!(apart, "{robot}: \"{w}\" over \"{other}\"");
            }
        }
    }
}

#[test]
fn a_proposal_says_that_it_is_one() {
    let text = plan("demo").text(Layout::default());
    assert!(
        text.contains("A proposal for the board atmega328p, a guess from the part"),
        "{text}"
    );
    assert!(plan("demo").svg().contains("stroke-dasharray=\"5 3\""));
    let named = changed(|w| w.sheet_stated = true).text(Layout::default());
    assert!(named.contains("A proposal for the board atmega328p.") && !named.contains("guess"));
}

#[test]
fn a_board_nobody_knows_gets_no_pins_and_says_how_to_name_it() {
    let plan = changed(|w| w.sheet = None);
    let text = plan.text(Layout::default());
    assert!(
        text.contains("ringwright boards") && !text.contains("A proposal"),
        "{text}"
    );
    assert!(plan.svg().contains("the robot file does not say"));
    assert!(plan.power.start_wait_s.is_none() && plan.power.fed_at.is_none());
}

#[test]
fn lithium_brings_its_cautions_and_nickel_does_not() {
    let text = plan("mini/bellows").text(Layout::default());
    for part in [
        "Charge to 8.4 V",
        "Stop at about 6 V",
        "Fuse the lead",
        "responsible adult",
    ] {
        assert!(text.contains(part), "{part}");
    }
    assert!(!plan("demo").text(Layout::default()).contains("lithium"));
}

#[test]
fn names_of_a_file_cannot_break_the_picture() {
    let mut setting = Setting::load("demo", None, None).unwrap_or_else(|e| panic!("{e:#?}"));
    setting.robot.name = "<b>&\u{1b}".into();
    let svg = WiringPlan::of(&setting).svg();
    assert!(svg.contains("Wiring of &lt;b&gt;&amp;\u{fffd}") && !svg.contains("<b>"));
}
