//! Every wheel with every motor: push against the time of a charge, and the line of those worth having.

use super::canvas::{Canvas, FAINT, Fill, INK, LETTER, PAPER, Pen};
use super::chart::{Chart, Series};
use super::words::Anchor;
use crate::check::Examined;

/// Charges this many times as long as the quickest are left out: they squeeze the others together.
const SLOWEST: f64 = 3.0;

/// Draws it.
pub(super) fn picture(e: &Examined<'_>) -> Option<String> {
    let (drive, all) = (e.paper.drive.as_ref()?, &e.paper.pairs);
    let quickest = all.first()?.charge_s;
    let ours = all.iter().find(|p| p.ours);
    let most = (SLOWEST * quickest).max(ours.map_or(0.0, |p| 1.1 * p.charge_s));
    let shown: Vec<_> = all.iter().filter(|p| p.charge_s <= most).collect();
    if shown.len() < 3 {
        return None;
    }
    // A staircase: what can be had by that time, on to the end of the sheet.
    let best: Vec<_> = shown.iter().filter(|p| p.best_trade).collect();
    let mut front: Vec<(f64, f64)> = Vec::new();
    let least = shown.iter().map(|p| p.push_n).fold(f64::INFINITY, f64::min);
    front.extend(best.first().map(|p| (p.charge_s, least)));
    for p in &best {
        if let Some(last) = front.last().copied() {
            front.push((p.charge_s, last.1));
        }
        front.push((p.charge_s, p.push_n));
    }
    if let Some(last) = front.last().copied() {
        let end = shown.iter().map(|p| p.charge_s).fold(0.0, f64::max);
        front.push((end, last.1));
    }
    let title = format!(
        "{}: wheels and motors from the parts box",
        e.setting.robot.name
    );
    let subtitle = format!(
        "Each mark is a wheel with a motor. Further left: quicker over the first {:.0} mm. Higher up: a harder \
         push. The line is the best that can be had by then.",
        1e3 * drive.charge_m
    );
    let mut canvas = Canvas::new(&title, &subtitle);
    let chart = Chart {
        x: format!("time for the first {:.0} mm in s", 1e3 * drive.charge_m),
        y: "push in N".into(),
        series: vec![Series {
            label: "best".into(),
            points: front,
        }],
        limits: Vec::new(),
        from_zero: false,
    };
    let frame = chart.draw(&mut canvas);
    for p in &shown {
        let at = frame.place((p.charge_s, p.push_n));
        if p.grip_ends_it() {
            canvas.circle(at, 3.0, Fill::Plain(INK), Pen::solid(INK, 0.8));
        } else {
            canvas.circle(at, 3.4, Fill::Plain(PAPER), Pen::solid(INK, 1.2));
        }
    }
    if let Some(p) = ours {
        let at = frame.place((p.charge_s, p.push_n));
        canvas.circle(at, 8.0, Fill::Empty, Pen::solid(INK, 2.0));
        canvas.text_over(at.0 + 11.0, at.1 + 0.35 * LETTER, Anchor::Start, "yours");
    }
    canvas.legend_mark(
        Fill::Plain(INK),
        "the tyres slide first: a smaller wheel pushes no harder",
    );
    canvas.legend_mark(
        Fill::Plain(PAPER),
        "the motors stall first: a smaller wheel pushes harder",
    );
    let left = all.len() - shown.len();
    if left > 0 {
        canvas.y += 1.3 * LETTER;
        let words = format!("{left} slower pairs are not shown.");
        canvas.text_of(
            super::canvas::MARGIN,
            canvas.y,
            LETTER,
            FAINT,
            Anchor::Start,
            &words,
        );
    }
    Some(canvas.finish())
}
