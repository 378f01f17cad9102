//! Outlines of hull pieces: corners, or a box.

use quantity::{Figure, Length};

use super::drive::positive;
use super::place::lengths;
use crate::reader::{Node, Section, Value};

/// Most corners an outline may have.
const MOST_CORNERS: usize = 16;
/// Smallest turn at a corner, as the product of both sides in m² times the sine of the angle.
const STRAIGHT_M2: f64 = 1e-12;

const CORNER: &str = "two lengths: [\"49 mm\", \"-48 mm\"] (forward, left)";

/// The corners of a box.
pub(super) fn box_outline(x: f64, y: f64, length: f64, width: f64) -> Vec<[f64; 2]> {
    let (l, w) = (0.5 * length, 0.5 * width);
    vec![
        [x + l, y - w],
        [x + l, y + w],
        [x - l, y + w],
        [x - l, y - w],
    ]
}

/// `outline` as a list of corners, or a box by `length`, `width` and, if not in the middle, `at`.
pub(super) fn outline(section: &Section<'_>) -> Option<Vec<[f64; 2]>> {
    let Some(node) = section.own("outline") else {
        return a_box(section);
    };
    for key in ["length", "width", "at"] {
        if section.own(key).is_some() {
            let what = format!("\"{key}\" besides an outline");
            section.complain_of(key, what, "either an outline or length, width and at", None);
        }
    }
    let Value::List(corners) = &node.value else {
        let what = format!("\"outline\" is {}", node.value.kind());
        let expected = "a list of corners: [[\"49 mm\", \"-48 mm\"], [\"49 mm\", \"48 mm\"], …]";
        section.complain_of("outline", what, expected, None);
        return None;
    };
    // All corners are looked at before any is missed.
    let points: Vec<_> = corners.iter().map(|c| corner(section, c)).collect();
    let points = points.into_iter().collect::<Option<Vec<_>>>()?;
    if points.len() < 3 || points.len() > MOST_CORNERS {
        let what = format!("an outline of {} corners", points.len());
        let expected = format!("3 to {MOST_CORNERS} corners");
        section.complain_of("outline", what, expected, None);
        return None;
    }
    if convex_counter_clockwise(&points) {
        return Some(points);
    }
    let reversed: Vec<_> = points.iter().rev().copied().collect();
    if convex_counter_clockwise(&reversed) {
        let written: Vec<&str> = (corners.iter().rev())
            .map(|c| section.document().written(&c.span))
            .collect();
        let suggestion = format!("outline = [{}]", written.join(", "));
        let what = "the corners of this outline go clockwise";
        let expected = "corners counter-clockwise, seen from above";
        section.complain_of("outline", what, expected, Some(suggestion));
    } else {
        let what = "this outline has a dent, a straight corner or crosses itself";
        let expected =
            "a convex outline; make other shapes of several [[hull]] pieces, each convex";
        section.complain_of("outline", what, expected, None);
    }
    None
}

fn a_box(section: &Section<'_>) -> Option<Vec<[f64; 2]>> {
    let length = section.figure::<Length>("length");
    let width = section.figure::<Length>("width");
    positive(section, "length", length.as_ref().map(Figure::si));
    positive(section, "width", width.as_ref().map(Figure::si));
    let at = section.optional_figures::<Length>("at");
    let middle = match &at {
        None if section.own("at").is_some() => return None,
        None => [0.0; 2],
        Some(at) => {
            let [x, y] = at.as_slice() else {
                let what = format!("\"at\" has {}", lengths(at.len()));
                let expected =
                    "two: at = [\"10 mm\", \"0 mm\"] (forward, left); from and to say how high";
                section.complain_of("at", what, expected, None);
                return None;
            };
            [x.si(), y.si()]
        }
    };
    Some(box_outline(middle[0], middle[1], length?.si(), width?.si()))
}

fn corner(section: &Section<'_>, node: &Node) -> Option<[f64; 2]> {
    let document = section.document();
    let refuse = |what: String| document.log(&node.span, what, CORNER, None);
    let Value::List(numbers) = &node.value else {
        refuse(format!("a corner that is {}", node.value.kind()));
        return None;
    };
    let [x, y] = numbers.as_slice() else {
        refuse(format!("a corner of {}", lengths(numbers.len())));
        return None;
    };
    let read = |n: &Node| crate::reader::length(n, document);
    let (x, y) = (read(x), read(y));
    Some([x?, y?])
}

/// Whether every corner lies to the left of every side it is not on.
fn convex_counter_clockwise(points: &[[f64; 2]]) -> bool {
    let n = points.len();
    (0..n).all(|i| {
        let [a, b] = [points[i], points[(i + 1) % n]];
        (2..n).all(|k| {
            let c = points[(i + k) % n];
            (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) > STRAIGHT_M2
        })
    })
}

#[cfg(test)]
mod tests {
    use super::convex_counter_clockwise;

    #[test]
    fn only_convex_outlines_that_go_once_round_to_the_left_pass() {
        let square = [[0.1, -0.1], [0.1, 0.1], [-0.1, 0.1], [-0.1, -0.1]];
        assert!(convex_counter_clockwise(&square));
        let mut clockwise = square;
        clockwise.reverse();
        assert!(!convex_counter_clockwise(&clockwise));
        let bow_tie = [square[0], square[2], square[1], square[3]];
        assert!(!convex_counter_clockwise(&bow_tie));
        // A pentagram turns left at every corner, but goes round twice.
        let five = [0.0_f64, 1.0, 2.0, 3.0, 4.0].map(|k| {
            let a = quantity::maths::TAU * 2.0 * k / 5.0;
            [quantity::maths::cos(a), quantity::maths::sin(a)]
        });
        assert!(!convex_counter_clockwise(&five));
        let straight = [[0.1, -0.1], [0.1, 0.0], [0.1, 0.1], [-0.1, 0.1]];
        assert!(!convex_counter_clockwise(&straight));
    }
}
