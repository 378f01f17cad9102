//! Places: three lengths, or words.

use quantity::{Figure, Length, Origin, parse};

use super::item::Extent;
use crate::reader::{Section, Value};

const THREE: &str = "three: at = [\"10 mm\", \"0 mm\", \"15 mm\"] (forward, left, up)";
const TWO: &str = "two: at = [\"10 mm\", \"0 mm\"] (forward, left); the height follows";
const WORDS: &str = "at = \"12 mm from front, 20 mm left, 15 mm up\" (ways: from front, from back, ahead, behind, left, right, in the middle, up)";
const EITHER: &str = "at = [\"10 mm\", \"0 mm\", \"15 mm\"] (forward, left, up) or at = \"12 mm from front, 20 mm left, 15 mm up\"";

/// A way to say where: words, axis, whether from the front or back edge, sign.
struct Way {
    words: &'static str,
    axis: usize,
    edge: f64,
    sign: f64,
}

const fn way(words: &'static str, axis: usize, edge: f64, sign: f64) -> Way {
    Way {
        words,
        axis,
        edge,
        sign,
    }
}

const WAYS: [Way; 7] = [
    way("from front", 0, 0.5, -1.0),
    way("from back", 0, -0.5, 1.0),
    way("ahead", 0, 0.0, 1.0),
    way("behind", 0, 0.0, -1.0),
    way("left", 1, 0.0, 1.0),
    way("right", 1, 0.0, -1.0),
    way("up", 2, 0.0, 1.0),
];

/// Words with the same sense that are easily written instead.
const ALMOST: [(&str, &str); 7] = [
    ("from the front", "from front"),
    ("from the back", "from back"),
    ("forward", "ahead"),
    ("backward", "behind"),
    ("to the left", "left"),
    ("to the right", "right"),
    ("above", "up"),
];

const AXES: [&str; 3] = ["how far forward", "how far left", "how high"];

/// "2 lengths".
pub(crate) fn lengths(n: usize) -> String {
    let plural = if n == 1 { "" } else { "s" };
    format!("{n} length{plural}")
}

/// Three lengths, if written.
pub(crate) fn three(section: &Section<'_>, key: &str) -> Option<[Figure<Length>; 3]> {
    let figures = section.optional_figures::<Length>(key)?;
    let n = figures.len();
    let three = <[Figure<Length>; 3]>::try_from(figures).ok();
    if three.is_none() {
        let expected =
            format!("three: {key} = [\"10 mm\", \"0 mm\", \"15 mm\"] (forward, left, up)");
        section.complain_of(key, format!("\"{key}\" has {}", lengths(n)), expected, None);
    }
    three.filter(|at| above_the_ring(section, key, at))
}

/// Notes a place below the ring.
fn above_the_ring(section: &Section<'_>, key: &str, at: &[Figure<Length>; 3]) -> bool {
    let below = at[2].si() < 0.0;
    if below {
        section.complain_of(
            key,
            format!(
                "\"{key}\" lies {} below the ring",
                quantity::show_si::<Length>(-at[2].si())
            ),
            "a height above the ring: the third length counts upward from it",
            None,
        );
    }
    !below
}

/// Reads `at`: three lengths, two where the height is given otherwise, or words.
pub(crate) fn place(
    section: &Section<'_>,
    extent: Option<&Extent>,
    height: Option<&Figure<Length>>,
) -> Option<[Figure<Length>; 3]> {
    let Some(node) = section.own("at") else {
        section.missing("at", EITHER);
        return None;
    };
    match &node.value {
        Value::Text(words) => in_words(section, words, extent, height),
        Value::List(_) => {
            let mut figures = section.optional_figures::<Length>("at")?;
            let n = figures.len();
            if let (2, Some(h)) = (n, height) {
                figures.push(h.clone());
            }
            let at = <[Figure<Length>; 3]>::try_from(figures);
            if at.is_err() {
                let expected = if height.is_some() { TWO } else { THREE };
                section.complain_of("at", format!("\"at\" has {}", lengths(n)), expected, None);
            }
            // A height that follows from something else is told there.
            at.ok()
                .filter(|at| n < 3 || above_the_ring(section, "at", at))
        }
        _ => {
            section.complain_of(
                "at",
                format!("\"at\" is {}", node.value.kind()),
                EITHER,
                None,
            );
            None
        }
    }
}

/// A place as a builder says it.
fn in_words(
    section: &Section<'_>,
    words: &str,
    extent: Option<&Extent>,
    height: Option<&Figure<Length>>,
) -> Option<[Figure<Length>; 3]> {
    let path = |axis: usize| format!("{}/at/{axis}", section.path());
    let length = extent.map_or(0.0, |e| e.size[0].si());
    let better = |right: &str| {
        section.own("at").map(|n| {
            let right = format!("\"{right}\"");
            section.document().corrected(&n.span, &right)
        })
    };
    if let Some(right) = with_decimal_points(words) {
        let what = "\"at\" has a decimal comma; a point is expected";
        section.complain_of("at", what, WORDS, better(&right));
        return None;
    }
    let mut at: [Option<Figure<Length>>; 3] = [None, None, height.cloned()];
    let mut said = [false; 3];
    for phrase in words.split(',').map(str::trim) {
        let right = |w: &str, instead: &str| better(&words.replace(w, instead));
        let middle = phrase == "in the middle";
        let found = WAYS.iter().find(|w| phrase.ends_with(w.words));
        let almost = ALMOST.iter().find(|a| phrase.ends_with(a.0));
        let (axis, figure) = match (found, almost) {
            _ if middle => (1, Figure::new(0.0, Origin::Stated, &path(1))),
            (_, Some((written, meant))) => {
                let what = format!("\"{phrase}\" is not a place");
                section.complain_of("at", what, WORDS, right(written, meant));
                return None;
            }
            (None, None) => {
                section.complain_of("at", format!("\"{phrase}\" is not a place"), WORDS, None);
                return None;
            }
            (Some(w), None) => match parse::<Length>(phrase[..phrase.len() - w.words.len()].trim())
            {
                Ok(p) => {
                    let si = w.edge * length + w.sign * p.si;
                    let figure = Figure::new(si, Origin::Stated, &path(w.axis));
                    (w.axis, figure.with_spread(p.unsure, p.varies))
                }
                Err(e) => {
                    let instead = e.instead.map(|i| format!("{i} {}", w.words));
                    let suggestion = instead.and_then(|i| right(phrase, &i));
                    section.complain_of("at", e.what, e.expected, suggestion);
                    return None;
                }
            },
        };
        if said[axis] {
            let what = format!("\"at\" says twice {}", AXES[axis]);
            section.complain_of("at", what, WORDS, None);
            return None;
        }
        said[axis] = true;
        at[axis] = Some(figure);
    }
    // Nobody says "in the middle" of what is in the middle; the rest must be said.
    let [x, y, z] = at;
    let y = y.unwrap_or_else(|| Figure::new(0.0, Origin::Stated, &path(1)));
    for (figure, axis) in [(&x, 0), (&z, 2)] {
        if figure.is_none() {
            let what = format!("\"at\" does not say {}", AXES[axis]);
            section.complain_of("at", what, WORDS, None);
        }
    }
    Some([x?, y, z?])
}

/// The text with points for commas between digits, if there are any.
fn with_decimal_points(words: &str) -> Option<String> {
    let mut bytes = words.as_bytes().to_vec();
    let mut changed = false;
    for i in 1..bytes.len().saturating_sub(1) {
        if bytes[i] == b',' && bytes[i - 1].is_ascii_digit() && bytes[i + 1].is_ascii_digit() {
            bytes[i] = b'.';
            changed = true;
        }
    }
    String::from_utf8(bytes).ok().filter(|_| changed)
}
