//! What it sees from the middle of the ring: light, dark and low opponents, by bearing.

use paper::Kind;
use quantity::maths;

use super::canvas::{Canvas, FAINT, Fill, INK, Pen};
use super::polar::Polar;
use crate::check::{Examined, kind_word};

/// Draws it.
pub(super) fn picture(e: &Examined<'_>) -> Option<String> {
    let seen = &e.paper.seen;
    if seen.looks.is_empty() {
        return None;
    }
    let radius_m = 0.5 * e.setting.class.ring().diameter_m;
    let farthest = (seen.kinds.iter())
        .flat_map(|k| k.contour_m.iter().copied())
        .fold(0.0, f64::max);
    let light = seen.kind(Kind::Light)?;
    let title = format!("{}: what it sees", e.setting.robot.name);
    let subtitle = format!(
        "Seen from above, the robot in the middle. An opponent is seen where its middle is inside a line. From the \
         middle of the ring it sees a light one in {:.0} % of the ring, a dark one in {:.0} %.",
        100.0 * light.of_ring,
        100.0 * seen.kind(Kind::Dark)?.of_ring
    );
    let mut canvas = Canvas::new(&title, &subtitle);
    let most = 1e3 * farthest.clamp(radius_m, 1.6 * radius_m);
    let field = Polar::new(&mut canvas, most, "mm");
    let rim: Vec<(f64, f64)> = (0..72)
        .map(|k| (maths::TAU * f64::from(k) / 72.0, 1e3 * radius_m))
        .collect();
    let rim_pen = Pen::solid(FAINT, 3.0);
    field.ring(&mut canvas, &rim, Fill::Empty, rim_pen);
    let shown = [
        (Kind::Light, Fill::Dotted, 0),
        (Kind::Dark, Fill::Rising, 1),
        (Kind::Low, Fill::Empty, 2),
    ];
    for (kind, fill, pen) in shown {
        let contour = &seen.kind(kind)?.contour_m;
        let n = contour.len().max(1) as f64;
        let points: Vec<(f64, f64)> = (contour.iter().enumerate())
            .map(|(k, m)| (maths::TAU * k as f64 / n, (1e3 * m).min(field.scale.high)))
            .collect();
        field.ring(&mut canvas, &points, fill, Pen::of_series(pen));
    }
    // The numbers again, over what is drawn.
    for tick in field.scale.ticks.iter().skip(1) {
        let words = format!("{} mm", field.scale.label(*tick));
        field.label(&mut canvas, -0.39, *tick, &words);
    }
    canvas.circle(
        field.place(0.0, 0.0),
        4.0,
        Fill::Plain(INK),
        Pen::solid(INK, 1.0),
    );
    for (kind, fill, pen) in shown {
        let k = seen.kind(kind)?;
        let words = format!("{}, {:.0} mm high", kind_word(kind), 1e3 * k.height_m);
        if fill == Fill::Empty {
            canvas.legend_line(Pen::of_series(pen), &words);
        } else {
            canvas.legend_area(fill, Pen::of_series(pen), &words);
        }
    }
    canvas.legend_line(rim_pen, "rim of the ring");
    Some(canvas.finish())
}
