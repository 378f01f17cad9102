//! Numbers beside places, with a line to each place, that never cover each other.

use quantity::maths;

use super::canvas::{Canvas, Fill, INK, LETTER, MARGIN, Pen, WIDTH};

/// Least distance of two numbers from each other, units.
const APART: f64 = 1.9 * LETTER;

/// A number and the place it belongs to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Callout {
    /// The number.
    pub(crate) number: usize,
    /// The place on the sheet.
    pub(crate) at: (f64, f64),
}

/// Where the numbers go: outside `bounds` (left, top, right, bottom) on the side nearest to their
/// place, in order along that side.
pub(crate) fn spots(callouts: &[Callout], bounds: [f64; 4], free: f64) -> Vec<(f64, f64)> {
    let [left, top, right, bottom] = bounds;
    let middle = (0.5 * (left + right), 0.5 * (top + bottom));
    let mut taken: Vec<(f64, f64)> = Vec::new();
    for c in callouts {
        let (dx, dy) = (c.at.0 - middle.0, c.at.1 - middle.1);
        let length = maths::hypot(dx, dy);
        // What lies in the middle goes out at the upper left.
        let (ux, uy) = if length < 1e-6 {
            (-0.7, -0.7)
        } else {
            (dx / length, dy / length)
        };
        let half = (0.5 * (right - left) + free, 0.5 * (bottom - top) + free);
        // Out to the rim of the field around the robot.
        let out = (half.0 / ux.abs().max(1e-9)).min(half.1 / uy.abs().max(1e-9));
        let start = (middle.0 + out * ux, middle.1 + out * uy);
        let clear =
            |p: &(f64, f64)| (taken.iter()).all(|t| maths::hypot(t.0 - p.0, t.1 - p.1) >= APART);
        let spot = along_rim(start, middle, half).find(clear);
        taken.push(spot.unwrap_or(start));
    }
    taken
}

/// Places along the rim of a rectangle, from `start` outward to both sides.
fn along_rim(
    start: (f64, f64),
    middle: (f64, f64),
    half: (f64, f64),
) -> impl Iterator<Item = (f64, f64)> {
    let angle = maths::atan2(start.1 - middle.1, start.0 - middle.0);
    (0..72).map(move |k| {
        let sign = if k % 2 == 0 { 1.0 } else { -1.0 };
        let a = angle + sign * f64::from((k + 1) / 2) * maths::PI / 36.0;
        let (ux, uy) = (maths::cos(a), maths::sin(a));
        let out = (half.0 / ux.abs().max(1e-9)).min(half.1 / uy.abs().max(1e-9));
        (
            (middle.0 + out * ux).clamp(MARGIN + LETTER, WIDTH - MARGIN - LETTER),
            middle.1 + out * uy,
        )
    })
}

/// Draws them around a view with those bounds.
pub(crate) fn draw(canvas: &mut Canvas, callouts: &[Callout], bounds: [f64; 4], free: f64) {
    let spots = spots(callouts, bounds, free);
    for (c, spot) in callouts.iter().zip(&spots) {
        canvas.line(*spot, c.at, Pen::solid("#ffffff", 3.0));
        canvas.line(*spot, c.at, Pen::solid(INK, 1.0));
        canvas.circle(c.at, 2.5, Fill::Plain(INK), Pen::solid("#ffffff", 1.0));
    }
    for (c, spot) in callouts.iter().zip(&spots) {
        canvas.number(*spot, c.number);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_at_one_place_lie_apart_and_outside() {
        let callouts: Vec<Callout> = (1..=9)
            .map(|number| Callout {
                number,
                at: (200.0, 150.0),
            })
            .collect();
        let bounds = [100.0, 100.0, 300.0, 200.0];
        let spots = spots(&callouts, bounds, 20.0);
        for (k, a) in spots.iter().enumerate() {
            assert!(
                a.0 < 100.0 || a.0 > 300.0 || a.1 < 100.0 || a.1 > 200.0,
                "{a:?}"
            );
            for b in &spots[k + 1..] {
                assert!(maths::hypot(a.0 - b.0, a.1 - b.1) >= APART - 1e-9);
            }
        }
    }
}
