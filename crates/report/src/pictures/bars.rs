//! Bars beside each other, each with what it may be off by and its number written out.

use super::canvas::{Canvas, FAINT, Fill, INK, LETTER, MARGIN, Pen, WIDTH};
use super::words::{self, Anchor};

/// From one bar to the next, units.
const STEP: f64 = 24.0;
/// Height of a bar, units.
const THICK: f64 = 14.0;

/// One bar.
#[derive(Debug, Clone)]
pub(crate) struct Bar {
    /// What it is.
    pub(crate) label: String,
    /// Its length in the unit of the picture.
    pub(crate) value: f64,
    /// From where to where it may be, nineteen times of twenty.
    pub(crate) spread: Option<(f64, f64)>,
    /// The number with its unit, as it is written at the end.
    pub(crate) shown: String,
    /// How it is filled: hatching tells groups apart.
    pub(crate) fill: Fill,
}

/// Draws the bars below everything so far, all to one scale from nothing; a `limit` is a line across
/// all of them with its words above.
pub(crate) fn draw(canvas: &mut Canvas, bars: &[Bar], limit: Option<(f64, &str)>) {
    let widest = |of: &dyn Fn(&Bar) -> f64| bars.iter().map(of).fold(0.0, f64::max);
    let names = widest(&|b| words::width(&b.label, LETTER)).min(0.42 * WIDTH);
    let numbers = widest(&|b| words::width(&b.shown, LETTER));
    let left = MARGIN + names + 6.0;
    let room = WIDTH - MARGIN - numbers - 10.0 - left;
    let most =
        widest(&|b| b.spread.map_or(b.value, |s| s.1.max(b.value))).max(limit.map_or(0.0, |l| l.0));
    let at = |x: f64| left + room * (x.max(0.0) / most.max(1e-12)).min(1.0);
    let top = canvas.y + if limit.is_some() { 1.6 * LETTER } else { 4.0 };
    for (k, bar) in bars.iter().enumerate() {
        let y = top + STEP * (k as f64 + 0.5);
        let label = words::fitted(&bar.label, names + 2.0, LETTER);
        let first = y + 0.35 * LETTER - 0.5 * 1.05 * LETTER * (label.len() as f64 - 1.0);
        for (l, line) in label.iter().enumerate() {
            let baseline = first + 1.05 * LETTER * l as f64;
            canvas.text(left - 6.0, baseline, Anchor::End, line);
        }
        let end = at(bar.value);
        let area = [left, y - 0.5 * THICK, end - left, THICK];
        canvas.rect(area, bar.fill, Pen::solid(INK, 1.0));
        let mut reach = end;
        if let Some((low, high)) = bar.spread {
            let (a, b) = (at(low), at(high));
            let pen = Pen::solid(INK, 1.6);
            canvas.line((a, y), (b, y), pen);
            for x in [a, b] {
                canvas.line((x, y - 5.0), (x, y + 5.0), pen);
            }
            reach = reach.max(b);
        }
        canvas.text(reach + 6.0, y + 0.35 * LETTER, Anchor::Start, &bar.shown);
    }
    let foot = top + STEP * bars.len() as f64;
    canvas.line((left, top), (left, foot), Pen::solid(INK, 1.2));
    if let Some((value, text)) = limit {
        let x = at(value);
        let pen = Pen::solid(FAINT, 1.4).dashed("4 3");
        canvas.line((x, top - 2.0), (x, foot), pen);
        let half = 0.5 * words::width(text, LETTER);
        let x = x.min(WIDTH - MARGIN - half).max(MARGIN + half);
        canvas.text(x, top - 5.0, Anchor::Middle, text);
    }
    canvas.y = foot + 0.5 * LETTER;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_bar_has_its_number_and_none_is_wider_than_the_sheet() {
        let bar = |value: f64| Bar {
            label: format!("bar of {value}"),
            value,
            spread: Some((0.8 * value, 1.3 * value)),
            shown: format!("{value} N"),
            fill: Fill::Rising,
        };
        let mut canvas = Canvas::new("Title", "");
        draw(&mut canvas, &[bar(1.0), bar(7.0)], Some((5.0, "limit")));
        let svg = canvas.finish();
        assert!(svg.contains(">1 N<") && svg.contains(">7 N<") && svg.contains(">limit<"));
        let right = (svg.match_indices("x2=\""))
            .filter_map(|(at, _)| svg[at + 4..].split('"').next()?.parse::<f64>().ok());
        assert!(right.fold(0.0, f64::max) < WIDTH);
    }
}
