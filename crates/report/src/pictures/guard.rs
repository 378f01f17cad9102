//! What can be reached from outside: bearings all round, heights as rings.

use paper::Guard;
use paper::guard::{BEARINGS, HEIGHTS, PROBES_M, bearing};
use quantity::maths;

use super::canvas::{Canvas, FAINT, Fill, INK, Pen};
use super::polar::Polar;
use crate::check::{Examined, kind_of_thing};

/// Most things that are numbered.
const MOST_NAMED: usize = 9;

/// How a place is filled by the largest probe that reaches something there.
fn fill(largest: Option<usize>) -> Option<Fill> {
    Some(match largest? {
        0 => Fill::Dotted,
        1 | 2 => Fill::Rising,
        _ => Fill::Crossed,
    })
}

/// The largest probe that reaches something at this height and bearing.
fn largest(guard: &Guard, height: usize, b: usize) -> Option<usize> {
    (0..PROBES_M.len())
        .rev()
        .find(|p| guard.reached(*p, height, b).is_some())
}

/// Draws it.
pub(super) fn picture(e: &Examined<'_>) -> Option<String> {
    let guard = &e.paper.guard;
    let top_m = e.setting.robot.footprint().top;
    if top_m <= 0.0 {
        return None;
    }
    let open =
        (0..HEIGHTS * BEARINGS).filter(|k| largest(guard, k / BEARINGS, k % BEARINGS).is_some());
    let share = open.count() as f64 / (HEIGHTS * BEARINGS) as f64;
    let title = format!("{}: what can be reached from outside", e.setting.robot.name);
    let subtitle = format!(
        "Looking down: bearings go round, the ring's top is the middle, and outward is higher. White is guarded. \
         {:.0} % of all is open.",
        100.0 * share
    );
    let mut canvas = Canvas::new(&title, &subtitle);
    let field = Polar::new(&mut canvas, 1e3 * top_m, "mm");
    let step = maths::TAU / BEARINGS as f64;
    let pen = Pen::solid(INK, 0.6);
    let hair = Pen::solid(FAINT, 0.3);
    let band = 1e3 * top_m / HEIGHTS as f64;
    for h in 0..HEIGHTS {
        let (low, high) = (band * h as f64, band * (h + 1) as f64);
        let cell = |b: usize| fill(largest(guard, h, b % BEARINGS));
        // Bearings in a row that look alike are one sector; the first begins where one ends.
        let start = (0..BEARINGS)
            .find(|b| cell(*b) != cell(b + BEARINGS - 1))
            .unwrap_or(0);
        let mut b = 0;
        while b < BEARINGS {
            let here = cell(start + b);
            let run = (b..BEARINGS)
                .take_while(|k| cell(start + k) == here)
                .count();
            if let Some(fill) = here {
                let from = bearing(start + b) - 0.5 * step;
                let to = from + step * run as f64;
                field.sector(&mut canvas, (from, to), (low, high), fill, hair);
            }
            b += run;
        }
    }
    // The numbers again, over what is drawn.
    for tick in field.scale.ticks.iter().skip(1) {
        let words = format!("{} mm", field.scale.label(*tick));
        field.label(&mut canvas, -0.39, *tick, &words);
    }
    let mut named: Vec<_> = (guard.things.iter())
        .filter(|t| t.largest_m.is_some())
        .collect();
    named.sort_by(|a, b| (b.largest_m.unwrap_or(0.0)).total_cmp(&a.largest_m.unwrap_or(0.0)));
    named.truncate(MOST_NAMED);
    for (k, thing) in named.iter().enumerate() {
        let Some(([low, high], b)) = thing.heights_m.zip(thing.bearing_rad) else {
            continue;
        };
        canvas.number(field.place(b, 500.0 * (low + high)), k + 1);
    }
    let areas = [
        (
            Fill::Crossed,
            "a ball of 20 mm reaches something: a bumper, two fingers",
        ),
        (
            Fill::Rising,
            "one of 6 or 10 mm does: a finger, the corner of a blade",
        ),
        (Fill::Dotted, "only one of 3 mm does: a wire, a thin blade"),
    ];
    for (fill, words) in areas {
        canvas.legend_area(fill, pen, words);
    }
    canvas.y += 6.0;
    for (k, thing) in named.iter().enumerate() {
        let what = format!(
            "\"{}\" ({}), by up to {:.0} mm",
            thing.name,
            kind_of_thing(thing.kind),
            1e3 * thing.largest_m.unwrap_or(0.0)
        );
        canvas.numbered(k + 1, &what);
    }
    if named.is_empty() {
        canvas.paragraph("Nothing is reached: the outline is closed at every height.");
    }
    Some(canvas.finish())
}
