//! Numbers over numbers: axes with units, and lines told apart by dash, mark and a word at their end.

use super::canvas::{Canvas, FAINT, Fill, LETTER, MARGIN, Pen, WIDTH};
use super::ticks::Scale;
use super::words::{self, Anchor};

/// Height of a chart's field, units.
const HEIGHT: f64 = 210.0;
/// Steps wanted along the two axes.
const STEPS: usize = 5;
/// Room over a limit for its words, as a share of its height.
const ABOVE: f64 = 0.08;
/// Marks along a line, so that lines are told apart without colour.
const MARKS: usize = 6;

/// One line.
#[derive(Debug, Clone)]
pub(crate) struct Series {
    /// What it is, in a word or two: stands at its end.
    pub(crate) label: String,
    /// Its points in the axes' units.
    pub(crate) points: Vec<(f64, f64)>,
}

/// A chart: what it shows along both axes, with units.
#[derive(Debug, Clone)]
pub(crate) struct Chart {
    /// Words along the lower axis, with the unit.
    pub(crate) x: String,
    /// Words along the left axis, with the unit.
    pub(crate) y: String,
    /// The lines.
    pub(crate) series: Vec<Series>,
    /// Heights worth a thin line of their own, with their words: limits.
    pub(crate) limits: Vec<(f64, String)>,
    /// Whether both axes begin at nothing.
    pub(crate) from_zero: bool,
}

/// Where the numbers of a drawn chart lie on the sheet.
#[derive(Debug, Clone)]
pub(crate) struct Frame {
    left: f64,
    top: f64,
    width: f64,
    x: Scale,
    y: Scale,
}

impl Frame {
    /// The place of a point of the axes.
    pub(crate) fn place(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (
            self.left + self.width * self.x.share(x),
            self.top + HEIGHT * (1.0 - self.y.share(y)),
        )
    }
}

impl Chart {
    /// Draws it below everything so far, over the whole width, and tells where its numbers lie.
    pub(crate) fn draw(&self, canvas: &mut Canvas) -> Frame {
        let frame = self.frame(canvas.y + 1.2 * LETTER);
        self.axes(canvas, &frame);
        for (height, text) in &self.limits {
            let ((x0, y), (x1, _)) = (
                frame.place((frame.x.low, *height)),
                frame.place((frame.x.high, *height)),
            );
            canvas.line((x0, y), (x1, y), Pen::solid(FAINT, 1.2).dashed("1 3"));
            // Words keep inside the field.
            let above = y - 4.0 - LETTER > frame.top;
            let baseline = if above { y - 4.0 } else { y + 1.1 * LETTER };
            canvas.text_over(x0 + 6.0, baseline, Anchor::Start, text);
        }
        for (k, series) in self.series.iter().enumerate() {
            let points: Vec<(f64, f64)> = (series.points.iter())
                .filter(|p| p.0.is_finite() && p.1.is_finite())
                .map(|p| frame.place(*p))
                .collect();
            canvas.polyline(&points, Pen::of_series(k));
            let every = (points.len() / MARKS).max(1);
            for point in points.iter().skip(every / 2).step_by(every) {
                canvas.mark(*point, k);
            }
        }
        self.labels(canvas, &frame);
        canvas.y = frame.top + HEIGHT + 3.4 * LETTER;
        frame
    }

    fn frame(&self, top: f64) -> Frame {
        let all = || self.series.iter().flat_map(|s| s.points.iter());
        let ends = |values: &mut dyn Iterator<Item = f64>| {
            let start = if self.from_zero {
                (0.0, 0.0)
            } else {
                (f64::INFINITY, f64::NEG_INFINITY)
            };
            values
                .filter(|v| v.is_finite())
                .fold(start, |(low, high), v| (low.min(v), high.max(v)))
        };
        let (x_low, x_high) = ends(&mut all().map(|p| p.0));
        // Room for the words above a limit.
        let limits = self.limits.iter().map(|l| l.0 + ABOVE * l.0.abs());
        let (y_low, y_high) = ends(&mut all().map(|p| p.1).chain(limits));
        let (x, y) = (
            Scale::of(x_low, x_high, STEPS),
            Scale::of(y_low, y_high, STEPS),
        );
        let widest = (y.ticks.iter())
            .map(|t| words::width(&y.label(*t), LETTER))
            .fold(0.0, f64::max);
        let ends = (self.series.iter())
            .map(|s| words::width(&s.label, LETTER))
            .fold(0.0, f64::max);
        let left = MARGIN + 1.6 * LETTER + widest + 4.0;
        let right = (WIDTH - MARGIN - ends - 8.0).max(0.55 * WIDTH);
        let width = right - left;
        Frame {
            left,
            top,
            width,
            x,
            y,
        }
    }

    fn axes(&self, canvas: &mut Canvas, frame: &Frame) {
        let thin = Pen::solid("#c9c6bf", 0.8);
        let field = [frame.left, frame.top, frame.width, HEIGHT];
        canvas.rect(field, Fill::Plain("#ffffff"), Pen::solid(FAINT, 1.0));
        let foot = frame.top + HEIGHT;
        let mut clear = f64::NEG_INFINITY;
        for tick in &frame.x.ticks {
            let (x, _) = frame.place((*tick, frame.y.low));
            canvas.line((x, frame.top), (x, foot), thin);
            let label = frame.x.label(*tick);
            let half = 0.5 * words::width(&label, LETTER);
            if x - half > clear {
                canvas.text(x, foot + 1.2 * LETTER, Anchor::Middle, &label);
                clear = x + half + 4.0;
            }
        }
        for tick in &frame.y.ticks {
            let (_, y) = frame.place((frame.x.low, *tick));
            canvas.line((frame.left, y), (frame.left + frame.width, y), thin);
            let label = frame.y.label(*tick);
            canvas.text(frame.left - 4.0, y + 0.35 * LETTER, Anchor::End, &label);
        }
        let middle = frame.left + 0.5 * frame.width;
        canvas.text(middle, foot + 2.6 * LETTER, Anchor::Middle, &self.x);
        canvas.text_up(MARGIN + LETTER, frame.top + 0.5 * HEIGHT, &self.y);
    }

    /// The words at the ends of the lines, moved apart where they would cover each other.
    fn labels(&self, canvas: &mut Canvas, frame: &Frame) {
        let mut ends: Vec<((f64, f64), usize)> = (self.series.iter().enumerate())
            .filter_map(|(k, s)| {
                let last = s.points.iter().rev().find(|p| p.1.is_finite())?;
                Some((frame.place(*last), k))
            })
            .collect();
        ends.sort_by(|a, b| a.0.1.total_cmp(&b.0.1));
        let places: Vec<f64> = ends.iter().map(|e| e.0.1).collect();
        let places = apart(&places, 1.25 * LETTER, frame.top + HEIGHT);
        let x = frame.left + frame.width;
        for ((end, k), place) in ends.into_iter().zip(places) {
            let pen = Pen::solid(super::canvas::PENS[k % 5].0, 0.8).dashed("2 2");
            // From where the line ends, which may be short of the field's end.
            canvas.line(end, (x + 6.0, place), pen);
            let text = &self.series[k].label;
            canvas.text(x + 8.0, place + 0.35 * LETTER, Anchor::Start, text);
        }
    }
}

/// `places` in rising order, moved so that they lie at least `gap` apart and none beyond `end`.
pub(crate) fn apart(places: &[f64], gap: f64, end: f64) -> Vec<f64> {
    let mut moved: Vec<f64> = Vec::new();
    for p in places {
        let least = moved.last().map_or(*p, |l| l + gap);
        moved.push(p.max(least));
    }
    let mut most = end;
    for p in moved.iter_mut().rev() {
        *p = p.min(most);
        most = *p - gap;
    }
    moved
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_at_the_ends_never_cover_each_other() {
        let moved = apart(&[10.0, 11.0, 12.0, 95.0, 99.0], 15.0, 100.0);
        assert!(
            moved.windows(2).all(|w| w[1] - w[0] >= 15.0 - 1e-9),
            "{moved:?}"
        );
        assert!(moved[4] <= 100.0);
    }

    #[test]
    fn a_point_lies_where_the_axes_say() {
        let chart = Chart {
            x: "time in s".into(),
            y: "push in N".into(),
            series: vec![Series {
                label: "one".into(),
                points: vec![(0.0, 0.0), (1.0, 10.0)],
            }],
            limits: Vec::new(),
            from_zero: true,
        };
        let mut canvas = Canvas::new("Title", "");
        let frame = chart.draw(&mut canvas);
        let ((x0, y0), (x1, y1)) = (frame.place((0.0, 0.0)), frame.place((1.0, 10.0)));
        assert!(x1 > x0 && (y0 - y1 - HEIGHT).abs() < 1e-9);
        let svg = canvas.finish();
        assert!(svg.contains("time in s") && svg.contains("push in N") && svg.contains(">one<"));
    }
}
