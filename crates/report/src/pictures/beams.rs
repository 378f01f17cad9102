//! Beams from the side: from where on a low opponent is seen.

use paper::{Kind, Look};
use quantity::maths;

use super::canvas::{BODY, Canvas, FAINT, Fill, INK, LETTER, MARGIN, Pen, WIDTH};
use super::words::Anchor;
use crate::check::Examined;

/// Height of the strip, units.
const TALL: f64 = 150.0;

/// Draws it: the sensor ahead that sees a low opponent from nearest.
pub(super) fn picture(e: &Examined<'_>) -> Option<String> {
    let seen = &e.paper.seen;
    let ahead = seen.looks.iter().filter(|l| l.facing_rad.abs() < 0.35);
    let look = ahead.min_by(|a, b| a.low_lost_m.total_cmp(&b.low_lost_m))?;
    let low_m = seen.kind(Kind::Low)?.height_m;
    let robot = &e.setting.robot;
    let front_m = robot.footprint().x[1];
    let eye_m = robot
        .sensors
        .iter()
        .find(|s| s.item.name == look.sensor)?
        .item
        .at[0]
        .si();
    let title = format!("{}: beams and a low opponent", robot.name);
    let subtitle = if look.low_lost_m > front_m - eye_m {
        format!(
            "Seen from the side. A wedge {:.0} mm high is lost nearer than {:.0} mm from \"{}\": it passes under the \
             beam.",
            1e3 * low_m,
            1e3 * look.low_lost_m,
            look.sensor
        )
    } else {
        format!(
            "Seen from the side. A wedge {:.0} mm high stays in the beam of \"{}\" until the robots touch.",
            1e3 * low_m,
            look.sensor
        )
    };
    let mut canvas = Canvas::new(&title, &subtitle);
    strip(&mut canvas, e, look, low_m, eye_m);
    Some(canvas.finish())
}

fn strip(canvas: &mut Canvas, e: &Examined<'_>, look: &Look, low_m: f64, eye_m: f64) {
    let robot = &e.setting.robot;
    let [back_m, front_m] = robot.footprint().x;
    let top_m = robot
        .hull
        .iter()
        .map(|p| p.to.si())
        .fold(look.height_m, f64::max);
    let reach_m = look.farthest_m[0];
    // Heights are drawn at the scale of lengths, unless that leaves too little to see.
    let across = (WIDTH - 2.0 * MARGIN) / (eye_m + reach_m - back_m);
    let up = across.max(0.5 * TALL / top_m).min(TALL / top_m);
    let ground = canvas.y + TALL + 4.0;
    let at = |x: f64, z: f64| (MARGIN + (x - back_m) * across, ground - z * up);
    let (tan, end) = (maths::tan(look.half_rad), eye_m + reach_m);
    let lens = at(eye_m, look.height_m);
    let corner = |sense: f64| {
        let z = look.height_m + sense * tan * reach_m;
        // Cut where it leaves the strip.
        let cut = z.clamp(0.0, TALL / up);
        let share = if (z - look.height_m).abs() > 1e-9 {
            (cut - look.height_m) / (z - look.height_m)
        } else {
            1.0
        };
        (at(eye_m + share * reach_m, cut), at(end, cut))
    };
    let ((upper, upper_end), (lower, lower_end)) = (corner(1.0), corner(-1.0));
    canvas.polygon(
        &[lens, upper, upper_end, lower_end, lower],
        Fill::Dotted,
        Pen::of_series(0),
    );
    for p in &robot.hull {
        let xs = || p.outline.iter().map(|c| c[0]);
        let (a, b) = (
            xs().fold(f64::INFINITY, f64::min),
            xs().fold(f64::NEG_INFINITY, f64::max),
        );
        let ((x0, y0), (x1, y1)) = (at(a, p.to.si()), at(b, p.from.si()));
        canvas.rect(
            [x0, y0, x1 - x0, y1 - y0],
            Fill::Plain(BODY),
            Pen::solid(INK, 1.2),
        );
    }
    if let Some(b) = &robot.blade {
        let (tip, low, angle) = (b.tip_x.si(), b.tip_height.si(), b.angle.si());
        let (run, rise) = (
            b.length.si() * maths::cos(angle),
            b.length.si() * maths::sin(angle),
        );
        let corners = [at(tip, low), at(tip - run, low + rise), at(tip - run, low)];
        canvas.polygon(&corners, Fill::Plain(BODY), Pen::solid(INK, 1.2));
    }
    let mast = at(eye_m, 0.0);
    canvas.line(
        lens,
        (mast.0, mast.1 - 3.0),
        Pen::solid(FAINT, 1.0).dashed("2 2"),
    );
    canvas.circle(lens, 3.5, Fill::Plain(INK), Pen::solid(INK, 1.0));
    // The wedge stands where it is just seen, or right before the robot.
    let seen_from = (eye_m + look.low_lost_m).max(front_m);
    let tip = at(seen_from, low_m);
    let long = 0.06 * (end - back_m);
    canvas.polygon(
        &[
            at(seen_from, 0.0),
            tip,
            at(seen_from + long, low_m),
            at(seen_from + long, 0.0),
        ],
        Fill::Rising,
        Pen::solid(INK, 1.4),
    );
    canvas.line(at(back_m, 0.0), at(end, 0.0), Pen::solid(INK, 2.0));
    canvas.y = ground + 1.4 * LETTER;
    let (lost, y) = (at(seen_from, 0.0).0, ground + 9.0);
    if lost - at(front_m, 0.0).0 > 20.0 {
        canvas.line((at(front_m, 0.0).0, y), (lost, y), Pen::solid(FAINT, 1.2));
        let middle = 0.5 * (at(front_m, 0.0).0 + lost);
        canvas.text_over(middle, y + 1.1 * LETTER, Anchor::Middle, "not seen here");
        canvas.y += LETTER;
    }
    canvas.legend_area(
        Fill::Dotted,
        Pen::of_series(0),
        &format!(
            "beam: {:.0} mm up, {:.0}° to each side, {:.0} mm far",
            1e3 * look.height_m,
            look.half_rad.to_degrees(),
            1e3 * reach_m
        ),
    );
    canvas.legend_area(
        Fill::Rising,
        Pen::solid(INK, 1.4),
        &format!("opponent, {:.0} mm high", 1e3 * low_m),
    );
    if (up / across - 1.0).abs() > 0.05 {
        canvas.paragraph(&format!(
            "Heights are drawn {:.1} times as large as lengths.",
            up / across
        ));
    }
}
