//! Something by direction around the robot, as seen from above: ahead is up, left is left.

use quantity::maths;

use super::canvas::{Canvas, FAINT, Fill, LETTER, MARGIN, Pen, WIDTH};
use super::ticks::Scale;
use super::words::Anchor;

/// A round field with rings for a number that grows outward.
#[derive(Debug, Clone)]
pub(crate) struct Polar {
    centre: (f64, f64),
    radius: f64,
    /// What the rings stand for.
    pub(crate) scale: Scale,
}

impl Polar {
    /// Draws the empty field below everything so far, from nothing in the middle to at least `most`
    /// at the rim, the rings labelled with `unit`.
    pub(crate) fn new(canvas: &mut Canvas, most: f64, unit: &str) -> Self {
        let radius = 0.36 * WIDTH;
        let top = canvas.y + 1.8 * LETTER;
        let field = Self {
            centre: (0.5 * WIDTH, top + radius),
            radius,
            scale: Scale::of(0.0, most, 4),
        };
        let thin = Pen::solid("#c9c6bf", 0.8);
        let (x, y) = field.centre;
        canvas.circle(
            field.centre,
            radius,
            Fill::Plain("#ffffff"),
            Pen::solid(FAINT, 1.0),
        );
        for tick in &field.scale.ticks {
            canvas.circle(
                field.centre,
                radius * field.scale.share(*tick),
                Fill::Empty,
                thin,
            );
        }
        for k in 0..8 {
            let rim = field.place(maths::PI / 4.0 * f64::from(k), field.scale.high);
            canvas.line(field.centre, rim, thin);
        }
        canvas.text(x, y - radius - 0.5 * LETTER, Anchor::Middle, "ahead");
        canvas.text(x, y + radius + 1.2 * LETTER, Anchor::Middle, "behind");
        canvas.text(x - radius - 5.0, y + 4.0, Anchor::End, "left");
        canvas.text(x + radius + 5.0, y + 4.0, Anchor::Start, "right");
        canvas.y = y + radius + 1.8 * LETTER;
        let unit = if unit.is_empty() {
            String::new()
        } else {
            format!(" {unit}")
        };
        for tick in field.scale.ticks.iter().skip(1) {
            let (tx, ty) = field.place(-0.39, *tick);
            let label = format!("{}{unit}", field.scale.label(*tick));
            canvas.text_over(tx, ty + 0.35 * LETTER, Anchor::Middle, &label);
        }
        field
    }

    /// The place of `distance` in direction `bearing` (radians; 0 ahead, positive to the left).
    pub(crate) fn place(&self, bearing: f64, distance: f64) -> (f64, f64) {
        let r = self.radius * self.scale.share(distance).clamp(0.0, 1.0);
        (
            self.centre.0 - r * maths::sin(bearing),
            self.centre.1 - r * maths::cos(bearing),
        )
    }

    /// A closed line around, through (bearing, distance) in order of bearing.
    pub(crate) fn ring(&self, canvas: &mut Canvas, points: &[(f64, f64)], fill: Fill, pen: Pen) {
        let corners: Vec<(f64, f64)> = points.iter().map(|(b, d)| self.place(*b, *d)).collect();
        canvas.polygon(&corners, fill, pen);
    }

    /// A sector between two bearings and two distances.
    pub(crate) fn sector(
        &self,
        canvas: &mut Canvas,
        (from, to): (f64, f64),
        (near, far): (f64, f64),
        fill: Fill,
        pen: Pen,
    ) {
        // A step for every three degrees.
        let steps = (((to - from).abs() / 0.052).ceil()).clamp(1.0, 120.0);
        let mut corners = Vec::new();
        let mut k = 0.0;
        while k <= steps {
            corners.push(self.place(from + (to - from) * k / steps, far));
            k += 1.0;
        }
        k = steps;
        while k >= 0.0 {
            corners.push(self.place(from + (to - from) * k / steps, near));
            k -= 1.0;
        }
        canvas.polygon(&corners, fill, pen);
    }

    /// Words at a place of the field.
    pub(crate) fn label(&self, canvas: &mut Canvas, bearing: f64, distance: f64, text: &str) {
        let (x, y) = self.place(bearing, distance);
        let half = 0.5 * super::words::width(text, LETTER);
        let x = x.clamp(MARGIN + half, WIDTH - MARGIN - half);
        canvas.text_over(x, y + 0.35 * LETTER, Anchor::Middle, text);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ahead_is_up_and_left_is_left() {
        let mut canvas = Canvas::new("Title", "");
        let field = Polar::new(&mut canvas, 400.0, "mm");
        let ahead = field.place(0.0, 400.0);
        let left = field.place(0.5 * maths::PI, 400.0);
        assert!(ahead.1 < field.centre.1 && (ahead.0 - field.centre.0).abs() < 1e-9);
        assert!(left.0 < field.centre.0 && (left.1 - field.centre.1).abs() < 1e-9);
    }
}
