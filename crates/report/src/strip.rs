//! Loads and slips of a bout over time, drawn below its picture.
//!
//! Both robots share each chart; line patterns say the same as colours.

use core::fmt::Write;

use bout::Frame;

use crate::picture::{SEATS, Scene, dash, words};

/// Height of one chart as a share of the ring's radius.
const CHART: f64 = 0.30;
/// Room for the heading over a chart and the numbers below it, in small letters.
const HEADING: f64 = 2.2;
/// Lines of numbers on the time axis, about.
const TIME_TICKS: f64 = 8.0;

/// What a chart shows of a frame.
type Value = fn(&Frame, &[bool]) -> f64;

/// Where the charts go, in the picture's mm.
pub(crate) struct Place {
    pub(crate) left: f64,
    pub(crate) top: f64,
    pub(crate) width: f64,
    pub(crate) radius: f64,
    pub(crate) letter: f64,
}

impl Place {
    /// Height that all charts take.
    pub(crate) fn height(&self) -> f64 {
        2.0 * (CHART * self.radius + HEADING * self.letter) + 3.0 * self.letter
    }
}

/// Load on the driven tyres in N.
fn load_n(frame: &Frame, driven: &[bool]) -> f64 {
    on(frame, driven).map(|w| w.load_n).sum()
}

/// Speed of the driven treads over the ground in m/s, each weighted with its load.
fn slip_m_s(frame: &Frame, driven: &[bool]) -> f64 {
    let (mut sum, mut load) = (0.0, 0.0);
    for w in on(frame, driven) {
        sum += w.load_n * quantity::maths::hypot(w.slip_m_s[0], w.slip_m_s[1]);
        load += w.load_n;
    }
    if load > 0.0 { sum / load } else { 0.0 }
}

fn on<'a>(frame: &'a Frame, driven: &'a [bool]) -> impl Iterator<Item = &'a bout::WheelFrame> {
    let is = |k: usize| driven.get(k).copied().unwrap_or(true);
    frame
        .wheels
        .iter()
        .enumerate()
        .filter(move |(k, _)| is(*k))
        .map(|(_, w)| w)
}

/// A round number of at least `least`: 1, 2, 3 or 5 times a power of ten, from a thousandth on.
fn round_up(least: f64) -> f64 {
    // Whole thousandths, for sums of tenths are no round numbers.
    let mut step: u64 = 1;
    loop {
        for k in [1, 2, 3, 5] {
            let round = (k * step) as f64 / 1000.0;
            if round >= least || step > 1_000_000_000_000 {
                return round;
            }
        }
        step *= 10;
    }
}

/// Draws both charts.
pub(crate) fn draw(out: &mut String, scene: &Scene<'_>, place: &Place) {
    let driven = [0, 1].map(|i: usize| -> Vec<bool> {
        let robot = &scene.robots[i];
        let treads = robot.treads().enumerate();
        treads.map(|(k, _)| robot.tread_is_driven(k)).collect()
    });
    let end = scene.record.simulated_s.max(1e-3);
    let charts: [(&str, Value); 2] = [
        ("Load on the driven tyres, N", load_n),
        ("Slip of the driven tyres, m/s", slip_m_s),
    ];
    let mut top = place.top;
    for (heading, value) in charts {
        top += HEADING * place.letter;
        chart(out, scene, place, top, heading, end, |seat, frame| {
            value(frame, &driven[seat])
        });
        top += CHART * place.radius;
    }
    time_axis(out, place, top, end);
}

fn chart(
    out: &mut String,
    scene: &Scene<'_>,
    place: &Place,
    top: f64,
    heading: &str,
    end: f64,
    value: impl Fn(usize, &Frame) -> f64,
) {
    let (left, width, height) = (place.left, place.width, CHART * place.radius);
    let frames = &scene.record.frames;
    let mut values: Vec<f64> = (0..2)
        .flat_map(|seat| frames[seat].iter().map(move |f| (seat, f)))
        .map(|(seat, f)| value(seat, f))
        .collect();
    values.sort_by(f64::total_cmp);
    // A hit of a few milliseconds must not flatten all the rest: it may stand out at the top.
    let share = values.len() * 49 / 50;
    let most = values.get(share).copied().unwrap_or(0.0);
    let scale = round_up(most.max(0.1));
    let cut = if values.last().is_some_and(|v| *v > scale) {
        " (short peaks are cut off)"
    } else {
        ""
    };
    words(
        out,
        left,
        top - 0.5 * place.letter,
        place.letter,
        "#222",
        "start",
        &format!("{heading}{cut}"),
    );
    let _ = writeln!(
        out,
        r##"<rect x="{left:.1}" y="{top:.1}" width="{width:.1}" height="{height:.1}" fill="#fff" stroke="#999" stroke-width="{:.2}"/>"##,
        0.08 * place.letter
    );
    for share in [0.0, 0.5, 1.0] {
        let y = top + (1.0 - share) * height;
        words(
            out,
            left + width + 0.4 * place.letter,
            y + 0.35 * place.letter,
            0.85 * place.letter,
            "#444",
            "start",
            &format!("{}", share * scale),
        );
        rule(out, [left, y, left + width, y], place);
    }
    for t in times(end) {
        let x = left + width * t / end;
        rule(out, [x, top, x, top + height], place);
    }
    for (seat, (colour, _)) in SEATS.into_iter().enumerate() {
        let dash = dash(seat, place.letter);
        let points: Vec<String> = frames[seat]
            .iter()
            .map(|f| {
                let x = left + width * (f.time_s / end).min(1.0);
                let y = top + height * (1.0 - (value(seat, f) / scale).min(1.0));
                format!("{x:.1},{y:.1}")
            })
            .collect();
        let _ = writeln!(
            out,
            r#"<polyline points="{}" fill="none" stroke="{colour}" stroke-width="{:.2}" stroke-dasharray="{dash}" stroke-linejoin="round"/>"#,
            points.join(" "),
            0.2 * place.letter
        );
    }
    let decided = left + width * (scene.record.outcome.decided_s / end).min(1.0);
    let _ = writeln!(
        out,
        r##"<line x1="{decided:.1}" y1="{top:.1}" x2="{decided:.1}" y2="{:.1}" stroke="#222" stroke-width="{:.2}" stroke-dasharray="{:.2}"/>"##,
        top + height,
        0.12 * place.letter,
        0.2 * place.letter
    );
    let near_end = decided > left + 0.85 * width;
    let (aside, anchor) = if near_end {
        (-0.3, "end")
    } else {
        (0.3, "start")
    };
    // The white edge keeps it readable over the lines.
    let _ = writeln!(
        out,
        r##"<text x="{:.1}" y="{:.1}" font-size="{:.1}" fill="#222" stroke="#fff" stroke-width="{:.1}" paint-order="stroke" text-anchor="{anchor}">decided</text>"##,
        decided + aside * place.letter,
        top + 1.0 * place.letter,
        0.85 * place.letter,
        0.25 * place.letter
    );
}

/// A thin line of the grid.
fn rule(out: &mut String, [x1, y1, x2, y2]: [f64; 4], place: &Place) {
    let _ = writeln!(
        out,
        r##"<line x1="{x1:.1}" y1="{y1:.1}" x2="{x2:.1}" y2="{y2:.1}" stroke="#ddd" stroke-width="{:.2}"/>"##,
        0.06 * place.letter
    );
}

/// The times with a number on the axis, s.
fn times(end: f64) -> impl Iterator<Item = f64> {
    let step = round_up(end / TIME_TICKS);
    let all = (0_u32..).map(move |k| f64::from(k) * step);
    all.take_while(move |t| *t <= end + 1e-9)
}

fn time_axis(out: &mut String, place: &Place, top: f64, end: f64) {
    for t in times(end) {
        words(
            out,
            place.left + place.width * t / end,
            top + 1.2 * place.letter,
            0.85 * place.letter,
            "#444",
            "middle",
            &format!("{}", (1e3 * t).round() / 1e3),
        );
    }
    words(
        out,
        place.left + place.width,
        top + 2.4 * place.letter,
        0.85 * place.letter,
        "#444",
        "end",
        "time in s from the first permitted motion",
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use bout::WheelFrame;

    fn frame(wheels: &[(f64, [f64; 2])]) -> Frame {
        Frame {
            time_s: 0.0,
            position: [0.0; 3],
            orientation: [0.0, 0.0, 0.0, 1.0],
            effort: [0.0; 2],
            wheels: wheels
                .iter()
                .map(|&(load_n, slip_m_s)| WheelFrame { load_n, slip_m_s })
                .collect(),
        }
    }

    #[test]
    fn slip_is_weighted_with_load_and_free_wheels_do_not_count() {
        let f = frame(&[(3.0, [0.3, 0.4]), (1.0, [0.1, 0.0]), (9.0, [5.0, 0.0])]);
        let driven = [true, true, false];
        assert!((load_n(&f, &driven) - 4.0).abs() < 1e-12);
        assert!((slip_m_s(&f, &driven) - (3.0 * 0.5 + 0.1) / 4.0).abs() < 1e-12);
        assert!(slip_m_s(&frame(&[(0.0, [1.0, 0.0])]), &[true]).abs() < 1e-12);
    }

    #[test]
    fn scales_end_on_round_numbers_that_hold_all() {
        for (least, round) in [
            (0.1, 0.1),
            (0.11, 0.2),
            (3.7, 5.0),
            (7.0, 10.0),
            (21.0, 30.0),
            (0.25, 0.3),
        ] {
            let shown = format!("{}", round_up(least));
            assert_eq!(shown, format!("{round}"), "{least}");
        }
    }
}
