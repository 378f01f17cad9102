//! From a board file to its sheet.

use quantity::{Current, Dimension, Frequency, Ratio, Voltage};

use super::sheet::{AtReset, BoardSheet, Can, Feed, FeedKind, Pin, Strap};
use crate::reader::{Document, Section, nearest};

/// Most bytes of memory a sheet may claim: beyond any small controller.
const MOST_BYTES: f64 = 1e9;

/// Reads the board file `file`; `known` are sheets it may take its pins from (`like = "NAME"`).
/// Whatever is wrong stays in the document's log.
pub(super) fn sheet(document: &Document, name: &str, known: &[&BoardSheet]) -> Option<BoardSheet> {
    let root = document.root();
    let title = root.text("title");
    let about = root.optional_text("about").unwrap_or_default();
    let chip = root.text("chip");
    let like = root.optional_text("like").and_then(|like| {
        let found = known.iter().copied().find(|s| s.name == like);
        if found.is_none() {
            let near = nearest(&like, known.iter().map(|s| s.name.as_str()));
            root.complain_of(
                "like",
                format!("no board \"{like}\" to take the pins from"),
                "the name of a board that has pins of its own",
                near.map(|n| format!("like = \"{n}\"")),
            );
        }
        found
    });
    let logic_v = above_zero::<Voltage>(&root, "logic");
    let clock_hz = above_zero::<Frequency>(&root, "clock");
    let clock_off = root.figure::<Ratio>("clock-off").map(|f| f.si());
    if clock_off.is_some_and(|x| !(0.0..0.5).contains(&x)) {
        root.complain_of(
            "clock-off",
            "a clock that is so far off is none",
            "a share from 0 % to 50 %, such as \"0.5 %\"",
            None,
        );
    }
    let word_bits = whole(&root, "word-bits", 64.0);
    let flash_bytes = whole(&root, "flash-bytes", MOST_BYTES);
    let ram_bytes = whole(&root, "ram-bytes", MOST_BYTES);
    let adc_bits = whole(&root, "adc-bits", 32.0);
    let adc_full_v = above_zero::<Voltage>(&root, "adc-full");
    let pin_a = above_zero::<Current>(&root, "pin-current");
    let pins_a = above_zero::<Current>(&root, "pins-current");
    let stands_v = above_zero::<Voltage>(&root, "stands");
    let high_v = above_zero::<Voltage>(&root, "high-from");
    let least_v = above_zero::<Voltage>(&root, "least");
    let brown_out_v = above_zero::<Voltage>(&root, "brown-out");
    let sources = root.optional_texts("sources").unwrap_or_default();
    if sources.is_empty() {
        root.missing(
            "sources",
            "sources = [\"the data sheet these figures are from\"]",
        );
    }
    let serial = serial(&root);
    let feeds: Option<Vec<Feed>> = root.tables("feed").into_iter().map(feed).collect();
    if feeds.as_ref().is_some_and(Vec::is_empty) {
        root.missing_section("[feed]", ": a pin through which the board is fed");
    }
    let own: Vec<Option<Pin>> = root.tables("pin").into_iter().map(pin).collect();
    no_pin_twice(&root, &own);
    let own: Option<Vec<Pin>> = own.into_iter().collect();
    let pins = own.map(|own| match like {
        Some(like) if own.is_empty() => like.pins.clone(),
        _ => own,
    });
    if pins.as_ref().is_some_and(Vec::is_empty) {
        root.missing_section("[pin]", ": what can be wired");
    }
    root.finish();
    Some(BoardSheet {
        name: name.to_owned(),
        title: title?,
        about,
        chip: chip?,
        logic_v: logic_v?,
        clock_hz: clock_hz?,
        clock_off: clock_off?,
        word_bits: word_bits?,
        flash_bytes: flash_bytes?,
        ram_bytes: ram_bytes?,
        adc_bits: adc_bits?,
        adc_full_v: adc_full_v?,
        pin_a: pin_a?,
        pins_a: pins_a?,
        stands_v: stands_v?,
        high_v: high_v?,
        least_v: least_v?,
        brown_out_v: brown_out_v?,
        feeds: feeds?,
        pins: pins?,
        sources,
        serial,
    })
}

/// The two ports of the serial line.
fn serial(root: &Section<'_>) -> Option<[String; 2]> {
    let ports = root.optional_texts("serial")?;
    let n = ports.len();
    let both = <[String; 2]>::try_from(ports).ok();
    if both.is_none() {
        let expected = "the port out and the port in, such as serial = [\"PD1\", \"PD0\"]";
        root.complain_of(
            "serial",
            format!("\"serial\" has {n} ports"),
            expected,
            None,
        );
    }
    both
}

/// A figure above zero, SI.
fn above_zero<D: Dimension>(section: &Section<'_>, key: &str) -> Option<f64> {
    let si = section.figure::<D>(key)?.si();
    if si > 0.0 {
        return Some(si);
    }
    let what = format!("\"{key}\" is not above zero");
    section.complain_of(key, what, "a value above zero", None);
    None
}

/// A whole number above zero.
fn whole(section: &Section<'_>, key: &str, most: f64) -> Option<u32> {
    if !section.has(key) {
        section.missing(key, &format!("a whole number such as {key} = 32"));
        return None;
    }
    let n = section.optional_number(key)?;
    if n.fract() != 0.0 || n < 1.0 || n > most {
        let what = format!("\"{key}\" is {n}");
        section.complain_of(key, what, format!("a whole number from 1 to {most}"), None);
        return None;
    }
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole and within bounds by the check above"
    )]
    Some(n as u32)
}

fn feed(section: Section<'_>) -> Option<Feed> {
    let name = section.text("name");
    let kind = section
        .choice("kind", &["straight", "linear", "switching"])
        .map(|word| match word.as_str() {
            "straight" => FeedKind::Straight,
            "linear" => FeedKind::Linear,
            _ => FeedKind::Switching,
        });
    let least_v = above_zero::<Voltage>(&section, "least");
    let most_v = above_zero::<Voltage>(&section, "most");
    if let (Some(least), Some(most)) = (least_v, most_v)
        && least > most
    {
        section.complain_of(
            "least",
            "the least is above the most",
            "least below most",
            None,
        );
    }
    let drop_v = section
        .optional_figure::<Voltage>("drop-out")
        .map(|f| f.si());
    let most_a = section
        .optional_figure::<Current>("most-current")
        .map(|f| f.si());
    section.finish();
    Some(Feed {
        name: name?,
        kind: kind?,
        least_v: least_v?,
        most_v: most_v?,
        drop_v: drop_v.unwrap_or(0.0),
        most_a,
    })
}

/// `io` stands for what nearly every pin can do.
const IO: [Can; 3] = [Can::In, Can::Out, Can::PullUp];

fn pin(section: Section<'_>) -> Option<Pin> {
    let name = section.text("name");
    let port = section.text("port");
    let mut can = Vec::new();
    let words = section.optional_texts("can");
    if words.is_none() && !section.has("can") {
        section.missing("can", "what it can do, such as can = [\"io\", \"pwm\"]");
    }
    for word in words.iter().flatten() {
        if word == "io" {
            can.extend(IO);
            continue;
        }
        if let Some((_, what)) = Can::ALL.iter().find(|(w, _)| w == word) {
            can.push(*what);
            continue;
        }
        let known = || Can::ALL.iter().map(|(w, _)| *w).chain(["io"]);
        let all: Vec<&str> = known().collect();
        section.complain_of(
            "can",
            format!("a pin cannot \"{word}\""),
            format!("some of {}", all.join(", ")),
            nearest(word, known()).map(|w| format!("\"{w}\"")),
        );
    }
    can.sort_unstable();
    can.dedup();
    let words = AtReset::ALL.map(|(w, _)| w);
    let at_reset = if section.has("at-reset") {
        let said = section.choice("at-reset", &words);
        said.and_then(|word| AtReset::ALL.iter().find(|(w, _)| *w == word))
            .map(|(_, r)| *r)
    } else {
        Some(AtReset::Floats)
    };
    let strap = (section.has("strap"))
        .then(|| section.choice("strap", &["low", "high"]))
        .flatten()
        .map(|word| {
            if word == "low" {
                Strap::Low
            } else {
                Strap::High
            }
        });
    let (adc, bus) = (section.optional_text("adc"), section.optional_text("bus"));
    let on_a_bus = can.contains(&Can::Sda) || can.contains(&Can::Scl);
    for (needs, key, given) in [
        (can.contains(&Can::Adc), "adc", adc.is_some()),
        (on_a_bus, "bus", bus.is_some()),
    ] {
        if needs && !given {
            section.missing(key, &format!("{key} = \"…\", as the data sheet calls it"));
        }
    }
    let timer = section.optional_text("timer");
    let stands_v = section.optional_figure::<Voltage>("stands").map(|f| f.si());
    let [shared, reserved, note, adc_note] =
        ["shared", "reserved", "note", "adc-note"].map(|key| section.optional_text(key));
    section.finish();
    Some(Pin {
        name: name?,
        port: port?,
        can,
        adc,
        adc_note,
        timer,
        bus,
        at_reset: at_reset?,
        strap,
        stands_v,
        shared,
        reserved,
        note,
    })
}

fn no_pin_twice(root: &Section<'_>, pins: &[Option<Pin>]) {
    let names: Vec<&str> = pins.iter().flatten().map(|p| p.name.as_str()).collect();
    for (k, name) in names.iter().enumerate() {
        if names[..k].iter().any(|n| n.eq_ignore_ascii_case(name)) {
            let what = format!("two pins are called \"{name}\"");
            root.complain_of("pin", what, "a name of its own for each pin", None);
        }
    }
}
