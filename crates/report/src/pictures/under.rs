//! Who gets under whom: two edges from the side, much enlarged, with the odds beside them.

use paper::{Height, Meeting};

use super::bars::{self, Bar};
use super::canvas::{BODY, Canvas, Fill, INK, LETTER, MARGIN, Pen, WIDTH};
use super::words::Anchor;
use crate::check::{Examined, foe_word, odds_words};

/// Units for a metre of height: 1 mm is 9 units.
const UP: f64 = 9_000.0;
/// Heights beyond this are drawn there, m.
const MOST_M: f64 = 0.0045;
/// Height of one row above its ring line, units.
const ROW: f64 = 64.0;
/// From the place of meeting to the back of either sheet, units.
const BACK: f64 = 92.0;
/// Share of meetings above which a row names only who gets under.
const ALL_BUT_SURE: f64 = 0.995;
/// Where the edges meet.
const MEET: f64 = MARGIN + BACK + 6.0;
/// Gap between the edges, units.
const GAP: f64 = 14.0;
/// The bar of the odds: left end and width.
const BAR: (f64, f64) = (262.0, WIDTH - MARGIN - 262.0);

/// Draws it.
pub(super) fn picture(e: &Examined<'_>) -> Option<String> {
    let under = e.paper.under.as_ref()?;
    let title = format!("{}: who gets under whom", e.setting.robot.name);
    let subtitle = under.edge.map_or_else(
        || "It has no blade: it gets under nobody; others get under its body.".to_owned(),
        |h| {
            format!(
                "From the side, heights much enlarged: ours on the left, its edge {:.2} ± {:.2} mm over the ring. The \
                 lower of two edges gets under; the upright strokes say where each is in 19 of 20 meetings.",
                1e3 * h.mean_m,
                1e3 * h.half_width_m()
            )
        },
    );
    let mut canvas = Canvas::new(&title, &subtitle);
    let ours = under.edge.or(under.body)?;
    for m in &under.meetings {
        row(&mut canvas, m, ours, under.edge.is_some());
    }
    canvas.y += 0.6 * LETTER;
    let pen = Pen::solid(INK, 1.0);
    canvas.legend_area(Fill::Rising, pen, "ours gets under");
    canvas.legend_area(Fill::Dotted, pen, "theirs gets under");
    canvas.legend_area(
        Fill::Plain("#ffffff"),
        pen,
        "neither: there is no blade to get under with",
    );
    balance(&mut canvas, under);
    Some(canvas.finish())
}

fn row(canvas: &mut Canvas, m: &Meeting, ours: Height, bladed: bool) {
    canvas.y += ROW;
    let ring = canvas.y;
    let up = |m: f64| ring - UP * m.clamp(0.0, MOST_M);
    canvas.line(
        (MARGIN, ring),
        (2.0 * MEET + GAP - MARGIN, ring),
        Pen::solid(INK, 1.6),
    );
    canvas.rect(
        [MARGIN, ring + 0.8, 2.0 * (MEET - MARGIN) + GAP, 4.0],
        Fill::Rising,
        Pen::solid("none", 0.1),
    );
    let theirs_bladed = m.foe != paper::Foe::NoBlade && (bladed || m.foe != paper::Foe::Itself);
    side(canvas, MEET, -1.0, ours, bladed, up);
    side(canvas, MEET + GAP, 1.0, m.theirs, theirs_bladed, up);
    let name = match m.foe {
        paper::Foe::Itself => "against one like itself".to_owned(),
        foe => format!("against: {}", foe_word(foe)),
    };
    let (left, wide) = BAR;
    let top = ring - 0.5 * ROW;
    canvas.text(left, top - 6.0, Anchor::Start, &name);
    let pen = Pen::solid(INK, 1.0);
    canvas.rect([left, top, wide, 14.0], Fill::Plain("#ffffff"), pen);
    for (from, share, fill) in [
        (0.0, m.under, Fill::Rising),
        (1.0 - m.over, m.over, Fill::Dotted),
    ] {
        if share > 0.004 {
            canvas.rect([left + wide * from, top, wide * share, 14.0], fill, pen);
        }
    }
    // Where one is all but sure, the other needs no words.
    let odds = if m.under > ALL_BUT_SURE {
        format!("ours {}", odds_words(m.under))
    } else if m.over > ALL_BUT_SURE {
        format!("theirs {}", odds_words(m.over))
    } else {
        format!(
            "ours {} · theirs {}",
            odds_words(m.under),
            odds_words(m.over)
        )
    };
    canvas.text(left, top + 14.0 + 1.2 * LETTER, Anchor::Start, &odds);
    canvas.y = ring + 12.0;
}

/// A sheet that rises from its edge at `x` away to one side, or the body's wall over its gap.
fn side(
    canvas: &mut Canvas,
    x: f64,
    way: f64,
    height: Height,
    bladed: bool,
    up: impl Fn(f64) -> f64,
) {
    let top = up(height.mean_m);
    let pen = Pen::solid(INK, 1.4);
    let corners = if bladed {
        // The edge with its thickness below; the sheet rises by 0.3 of the way, as drawn.
        let rise = 0.32 * BACK;
        vec![
            (x, top),
            (x + way * BACK, top - rise),
            (x + way * BACK, top - rise + 6.0),
            (x, (top + 4.0).min(up(0.0))),
        ]
    } else {
        vec![
            (x, top),
            (x, top - 14.0),
            (x + way * BACK, top - 14.0),
            (x + way * BACK, top),
        ]
    };
    canvas.polygon(&corners, Fill::Plain(BODY), pen);
    let half = height.half_width_m();
    let (low, high) = (up(height.mean_m - half), up(height.mean_m + half));
    let at = x - way * 5.0;
    canvas.line((at, low), (at, high), Pen::solid(INK, 1.8));
    for y in [low, high] {
        canvas.line((at - 2.5, y), (at + 2.5, y), Pen::solid(INK, 1.8));
    }
}

/// Push before and after, as bars.
fn balance(canvas: &mut Canvas, under: &paper::Under) {
    let Some(c) = under.carried.iter().rfind(|c| c.rise_m < 0.0035) else {
        return;
    };
    canvas.y += 0.6 * LETTER;
    canvas.paragraph(&format!(
        "Two robots like it, the upper one's front raised by {:.0} mm: {:.2} N of its {:.2} N stand on the lower one. \
         Push:",
        1e3 * c.rise_m,
        c.carried_n,
        under.weight_n
    ));
    let bar = |label: &str, n: f64, fill: Fill| Bar {
        label: label.to_owned(),
        value: n,
        spread: None,
        shown: format!("{n:.2} N"),
        fill,
    };
    let bars = [
        bar("before", under.push_n, Fill::Plain(BODY)),
        bar("lower one", c.lower_push_n, Fill::Rising),
        bar("upper one", c.upper_push_n, Fill::Dotted),
    ];
    bars::draw(canvas, &bars, None);
}
