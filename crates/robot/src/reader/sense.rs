//! Figures beyond all sense for a robot: most often a unit mistaken by a thousand.
//!
//! Ranges are as wide as anybody could need, from the smallest class to the largest; they are common
//! practice, no source. A figure a thousand times too large or too small mostly falls outside, and the
//! right one is suggested.

use core::ops::Range;

use quantity::Dimension;

use super::tree::{Document, Node};

/// Kind of quantity, keys, least and most in SI. Zero is let pass: who needs more than zero says so.
type Known = (&'static str, &'static [&'static str], [f64; 2]);

const SENSE: [Known; 25] = [
    (
        "length",
        &["length", "width", "height", "ground-length"],
        [3e-4, 1.0],
    ),
    ("length", &["diameter"], [1e-3, 0.5]),
    ("length", &["tip-x", "tip-y", "from", "to"], [5e-5, 1.0]),
    ("length", &["tip-height"], [1e-6, 0.2]),
    ("length", &["edge"], [1e-6, 0.01]),
    ("length", &["run-out"], [1e-6, 0.01]),
    ("length", &["gap", "reach"], [1e-5, 0.1]),
    ("length", &["droop", "lift"], [1e-5, 0.1]),
    ("length", &["pinion-radius"], [5e-4, 0.1]),
    ("length", &["farthest"], [5e-3, 10.0]),
    ("length", &["nearest"], [5e-4, 2.0]),
    ("length", &["spot", "fading-height"], [1e-4, 0.1]),
    ("length", &["dirt-length", "since-cleaned"], [0.1, 10_000.0]),
    // The lightest sensor is some hundredths of a gram, the heaviest class three kilograms.
    ("mass", &["mass", "moving-mass"], [1e-5, 10.0]),
    (
        "voltage",
        &["rated-voltage", "voltage", "brown-out"],
        [0.5, 100.0],
    ),
    ("turning speed", &["no-load-speed"], [0.1, 5000.0]),
    (
        "current",
        &["stall-current", "current-limit"],
        [5e-3, 300.0],
    ),
    ("current", &["current", "no-load-current"], [1e-6, 30.0]),
    ("charge", &["capacity"], [18.0, 360_000.0]),
    ("resistance", &["resistance"], [2e-4, 100.0]),
    ("time", &["loop-time"], [1e-5, 1.0]),
    (
        "time",
        &["latency", "output-delay", "time-budget", "dead-time"],
        [1e-7, 60.0],
    ),
    ("frequency", &["rate"], [0.2, 200_000.0]),
    // Lists.
    ("length", &["at", "hinge", "foot"], [1e-4, 1.0]),
    ("length", &["size"], [2e-5, 1.0]),
];

/// Keys of these that may well be below zero: places.
const SIGNED: [&str; 6] = ["at", "hinge", "foot", "tip-x", "tip-y", "tip-height"];
/// What lies below the ring is told where it is read.
const TOLD_ELSEWHERE: [&str; 3] = ["from", "to", "gap"];

/// A part's figure written anew may differ from the part's own this many times.
const UNLIKE: f64 = 300.0;

/// What a key may hold.
fn range<D: Dimension>(key: &str) -> Option<[f64; 2]> {
    let known = SENSE.iter().find(|k| k.0 == D::NAME && k.1.contains(&key));
    known.map(|k| k.2)
}

/// Notes a figure beyond all sense; true where there was one.
pub(super) fn refuse<D: Dimension>(key: &str, si: f64, node: &Node, document: &Document) -> bool {
    let Some([least, most]) = range::<D>(key) else {
        return false;
    };
    if si < 0.0 && !SIGNED.contains(&key) && !TOLD_ELSEWHERE.contains(&key) {
        document.log(
            &node.span,
            format!("\"{key}\" is below zero"),
            "a value above zero",
            times(document, &node.span, -1.0),
        );
        return true;
    }
    let inside = |x: f64| x == 0.0 || (least..=most).contains(&x.abs());
    if inside(si) {
        return false;
    }
    let suggestion = [1e-3, 1e3]
        .into_iter()
        .find(|by| inside(si * by))
        .and_then(|by| times(document, &node.span, by));
    let show = |x: f64| quantity::show::<D>(x, 2);
    document.log(
        &node.span,
        format!(
            "\"{key}\" is {}: beyond all sense for a robot",
            quantity::show_si::<D>(si)
        ),
        format!("a {} from {} to {}", D::NAME, show(least), show(most)),
        suggestion,
    );
    true
}

/// Notes a figure that is a thousand times that of the part it stands for, or a thousandth; true where
/// there was one.
pub(super) fn unlike<D: Dimension>(
    key: &str,
    [si, part]: [f64; 2],
    node: &Node,
    document: &Document,
) -> bool {
    let ratio = (si / part).abs();
    // Delays depend on the program as much as on the part.
    if D::NAME == "time"
        || !ratio.is_finite()
        || ratio == 0.0
        || (1.0 / UNLIKE..=UNLIKE).contains(&ratio)
    {
        return false;
    }
    let by = if ratio > 1.0 { 1e-3 } else { 1e3 };
    let own = quantity::show_si::<D>(part);
    document.log(
        &node.span,
        format!(
            "\"{key}\" is {}, but the part's own is {own}",
            quantity::show_si::<D>(si)
        ),
        format!("about {own}, or a part of another size"),
        times(document, &node.span, by),
    );
    true
}

/// The line with the number at the beginning of what is written times `by`.
fn times(document: &Document, span: &Range<usize>, by: f64) -> Option<String> {
    let written = document.written(span);
    let start = written.find(|c: char| c == '-' || c.is_ascii_digit())?;
    let rest = &written[start..];
    let end = rest
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .unwrap_or(rest.len());
    let number: f64 = rest[..end].parse().ok()?;
    // Six digits: 0.062 times 1000 is not quite 62 in binary.
    let number: f64 = format!("{:.5e}", number * by).parse().ok()?;
    let right = format!("{}{number}{}", &written[..start], &rest[end..]);
    Some(document.corrected(span, &right))
}
