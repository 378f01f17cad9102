//! Stopping at the border: way needed against speed, the way there is, and where the time goes.

use super::canvas::{Canvas, Fill, INK, LETTER, MARGIN, PAPER, Pen, WIDTH};
use super::chart::{Chart, Series};
use crate::check::Examined;

/// Points of the curve.
const POINTS: u32 = 40;
/// Height of the bar of times, units.
const BAR: f64 = 18.0;

/// Draws it.
pub(super) fn picture(e: &Examined<'_>) -> Option<String> {
    let edge = e.paper.edge.as_ref()?;
    let way = edge
        .forward
        .as_ref()
        .filter(|w| w.deceleration_m_s2 > 0.01)?;
    let stops = edge.reached_m_s <= way.safe_m_s;
    let title = format!("{}: stopping at the border", e.setting.robot.name);
    let subtitle = format!(
        "From the moment \"{}\" is over the white it has {:.0} mm. It stops in that from {:.2} m/s or less; a charge \
         of its program reaches {:.2} m/s{}.",
        way.sensor,
        1e3 * way.distance_m,
        way.safe_m_s,
        edge.reached_m_s,
        if stops { "" } else { ": too fast" }
    );
    let mut canvas = Canvas::new(&title, &subtitle);
    let most = (1.25 * way.safe_m_s)
        .max(1.1 * edge.reached_m_s)
        .min(3.0 * way.safe_m_s.max(0.1));
    let curve = |of: &dyn Fn(f64) -> f64| -> Vec<(f64, f64)> {
        (0..=POINTS)
            .map(|k| most * f64::from(k) / f64::from(POINTS))
            .map(|v| (v, 1e3 * of(v)))
            .collect()
    };
    let needed = |v: f64| laws::braking::stopping_m(v, way.delay_s, way.deceleration_m_s2);
    let chart = Chart {
        x: "speed in m/s".into(),
        y: "way in mm".into(),
        series: vec![
            Series {
                label: "needed".into(),
                points: curve(&needed),
            },
            Series {
                label: "reacting".into(),
                points: curve(&|v| v * way.delay_s),
            },
        ],
        limits: vec![(1e3 * way.distance_m, "there is".into())],
        from_zero: true,
    };
    let frame = chart.draw(&mut canvas);
    let marks = [
        (way.safe_m_s, Fill::Plain(PAPER), "the most it stops from"),
        (edge.reached_m_s, Fill::Plain(INK), "what it reaches"),
    ];
    for (v, fill, words) in marks {
        if v > most {
            continue;
        }
        canvas.circle(
            frame.place((v, 1e3 * needed(v))),
            4.5,
            fill,
            Pen::solid(INK, 1.6),
        );
        canvas.legend_mark(fill, &format!("{words}: {v:.2} m/s"));
    }
    if edge.reached_m_s > most {
        canvas.paragraph(&format!(
            "At the {:.2} m/s it reaches, the curve is far off this sheet.",
            edge.reached_m_s
        ));
    }
    times(&mut canvas, way, edge.reached_m_s.min(way.safe_m_s));
    Some(canvas.finish())
}

/// Where the time of a stop at `v` goes, as one bar.
fn times(canvas: &mut Canvas, way: &paper::Way, v: f64) {
    let braking_s = v / way.deceleration_m_s2;
    let pieces = [
        (
            "waiting for the next look",
            way.between_looks_s,
            Fill::Dotted,
        ),
        (
            "sensor and driver",
            (way.delay_s - way.between_looks_s).max(0.0),
            Fill::Crossed,
        ),
        ("braking", braking_s, Fill::Rising),
    ];
    let all: f64 = pieces.iter().map(|p| p.1).sum();
    canvas.y += 0.6 * LETTER;
    canvas.paragraph(&format!(
        "Where the {:.0} ms of a stop from {v:.2} m/s go, at worst:",
        1e3 * all
    ));
    canvas.y += 4.0;
    let (top, room) = (canvas.y, WIDTH - 2.0 * MARGIN);
    let mut x = MARGIN;
    for (_, s, fill) in &pieces {
        let wide = room * s / all.max(1e-9);
        canvas.rect([x, top, wide, BAR], *fill, Pen::solid(INK, 1.0));
        x += wide;
    }
    canvas.y = top + BAR + 4.0;
    for (word, s, fill) in pieces {
        canvas.legend_area(
            fill,
            Pen::solid(INK, 1.0),
            &format!("{word}: {:.1} ms", 1e3 * s),
        );
    }
}
