//! A bout from above as SVG: the paths, where the robots stood at the key moments, a legend, and
//! loads and slips over time.
//!
//! Lengths in mm, y up as in the ring's own axes. Colours repeat what line pattern, letter and
//! number say.

use core::fmt::Write;

use bout::{Arena, Event, EventKind, Frame, Record};
use quantity::maths;
use robot::Robot;

use crate::moments::worth_telling;
use crate::strip;
use crate::text::plain;
use crate::words::event_words;

/// What is drawn.
pub(crate) struct Scene<'a> {
    pub(crate) arena: &'a Arena,
    /// By seat.
    pub(crate) robots: [&'a Robot; 2],
    pub(crate) names: &'a [String; 2],
    pub(crate) record: &'a Record,
    pub(crate) title: &'a str,
    pub(crate) footer: &'a str,
}

/// Colour, dash pattern and letter of a seat. Blue and orange stay apart for every common kind of
/// colour blindness.
pub(crate) const SEATS: [(&str, &str, &str); 2] =
    [("#2f6fb2", "none", "A"), ("#c4600c", "9 5", "B")];
/// Most moments that are numbered.
const MOST_MOMENTS: usize = 12;
/// Width of the legend as a share of the ring's.
const LEGEND: f64 = 0.74;

/// Scales of a drawing: everything follows from the ring's radius.
struct Pen {
    radius: f64,
    /// Height of small letters.
    letter: f64,
}

fn escaped(words: &str) -> String {
    plain(words)
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

/// The picture.
pub(crate) fn svg(scene: &Scene<'_>) -> String {
    let ring = &scene.arena.ring;
    let radius = 500.0 * ring.diameter_m;
    let pen = Pen {
        radius,
        letter: radius / 22.0,
    };
    let margin = 0.2 * radius;
    let (left, top) = (-radius - margin, -radius - 1.7 * margin);
    let width = 2.0 * (radius + margin) + 2.0 * radius * LEGEND;
    // Robots that have left the ring lie outside it: the words below keep off.
    let foot = radius + 1.7 * margin;
    let strip = strip::Place {
        left: left + 0.4 * margin,
        top: foot + 0.15 * margin,
        width: width - 0.8 * margin - 4.0 * pen.letter,
        radius,
        letter: pen.letter,
    };
    let height = foot - top + 0.15 * margin + strip.height();
    let mut out = String::new();
    let title = escaped(scene.title);
    let _ = writeln!(
        out,
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="{left:.1} {top:.1} {width:.1} {height:.1}" font-family="sans-serif" role="img">"#
    );
    let _ = writeln!(out, "<title>{title}</title>");
    let _ = writeln!(out, "<desc>{}</desc>", escaped(scene.footer));
    let _ = writeln!(
        out,
        r##"<rect x="{left:.1}" y="{top:.1}" width="{width:.1}" height="{height:.1}" fill="#f7f5f0"/>"##
    );
    words(
        &mut out,
        left + 0.4 * margin,
        top + 0.75 * margin,
        1.7 * pen.letter,
        "#222",
        "start",
        scene.title,
    );
    draw_ring(&mut out, scene, &pen);
    let moments = moments(&scene.record.events);
    for seat in 0..2 {
        path(&mut out, scene, seat, &pen);
    }
    for seat in 0..2 {
        bodies(&mut out, scene, seat, &pen);
    }
    let marks = spread(&moments, &pen);
    for (k, ((_, e), at)) in moments.iter().zip(&marks).enumerate() {
        mark(&mut out, k + 1, e, *at, &pen);
    }
    legend(&mut out, scene, &moments, radius + 0.9 * margin, &pen);
    words(
        &mut out,
        left + 0.4 * margin,
        foot,
        pen.letter,
        "#444",
        "start",
        scene.footer,
    );
    strip::draw(&mut out, scene, &strip);
    out.push_str("</svg>\n");
    out
}

pub(crate) fn words(
    out: &mut String,
    x: f64,
    y: f64,
    size: f64,
    fill: &str,
    anchor: &str,
    text: &str,
) {
    let _ = writeln!(
        out,
        r#"<text x="{x:.1}" y="{y:.1}" font-size="{size:.1}" fill="{fill}" text-anchor="{anchor}">{}</text>"#,
        escaped(text)
    );
}

fn draw_ring(out: &mut String, scene: &Scene<'_>, pen: &Pen) {
    let ring = &scene.arena.ring;
    let (r, border) = (pen.radius, 1e3 * ring.border_m);
    let _ = writeln!(
        out,
        r##"<circle r="{r:.1}" fill="#ffffff" stroke="#999" stroke-width="{:.2}"/><circle r="{:.1}" fill="#33363b"/>"##,
        r / 250.0,
        r - border
    );
    // Start lines are as long as they are apart from the centre, twice (their inner gap).
    let (line, half) = (1e3 * ring.start_line_m, 1e3 * ring.start_line_m);
    for x in [-line, line] {
        let _ = writeln!(
            out,
            r##"<line x1="{x:.1}" y1="{:.1}" x2="{x:.1}" y2="{half:.1}" stroke="#8a6a4f" stroke-width="{:.1}"/>"##,
            -half,
            r / 38.5
        );
    }
}

/// A point of the ring in the picture's mm.
fn spot(x: f64, y: f64) -> (f64, f64) {
    (1e3 * x, -1e3 * y)
}

fn path(out: &mut String, scene: &Scene<'_>, seat: usize, pen: &Pen) {
    let (colour, dash, _) = SEATS[seat];
    let frames = &scene.record.frames[seat];
    let points: Vec<String> = frames
        .iter()
        .map(|f| {
            let (x, y) = spot(f.position[0], f.position[1]);
            format!("{x:.1},{y:.1}")
        })
        .collect();
    let _ = writeln!(
        out,
        r#"<polyline points="{}" fill="none" stroke="{colour}" stroke-width="{:.1}" stroke-dasharray="{dash}" stroke-linejoin="round"/>"#,
        points.join(" "),
        pen.radius / 90.0
    );
    // A dot every quarter of a second: far apart is fast.
    let mut next = 0.25;
    for f in frames {
        if f.time_s + 1e-9 >= next {
            let (x, y) = spot(f.position[0], f.position[1]);
            let _ = writeln!(
                out,
                r#"<circle cx="{x:.1}" cy="{y:.1}" r="{:.1}" fill="{colour}"/>"#,
                pen.radius / 60.0
            );
            next += 0.25;
        }
    }
}

/// A point of the robot turned and moved as in a frame, seen from above.
fn placed(f: &Frame, p: [f64; 3]) -> (f64, f64) {
    let [x, y, z, w] = f.orientation;
    // v + 2w(q × v) + 2 q × (q × v)
    let c = [
        y * p[2] - z * p[1],
        z * p[0] - x * p[2],
        x * p[1] - y * p[0],
    ];
    let d = [y * c[2] - z * c[1], z * c[0] - x * c[2]];
    spot(
        f.position[0] + p[0] + 2.0 * (w * c[0] + d[0]),
        f.position[1] + p[1] + 2.0 * (w * c[1] + d[1]),
    )
}

fn outline(out: &mut String, robot: &Robot, f: &Frame, seat: usize, solid: bool, pen: &Pen) {
    let (colour, _, letter) = SEATS[seat];
    let opacity = if solid { 0.8 } else { 0.25 };
    let stroke = pen.radius / 150.0;
    for piece in &robot.hull {
        let points: Vec<String> = piece
            .outline
            .iter()
            .map(|c| {
                let (x, y) = placed(f, [c[0], c[1], piece.from.si()]);
                format!("{x:.1},{y:.1}")
            })
            .collect();
        let _ = writeln!(
            out,
            r##"<polygon points="{}" fill="{colour}" fill-opacity="{opacity}" stroke="#fff" stroke-width="{stroke:.1}"/>"##,
            points.join(" ")
        );
    }
    if let Some(b) = &robot.blade {
        let half = 0.5 * b.width.si();
        let run = b.length.si() * maths::cos(b.angle.si());
        let (x, y) = (b.tip_x.si(), b.tip_y.si());
        let corners = [
            [x, y + half],
            [x, y - half],
            [x - run, y - half],
            [x - run, y + half],
        ];
        let points: Vec<String> = corners
            .iter()
            .map(|c| {
                let (x, y) = placed(f, [c[0], c[1], 0.0]);
                format!("{x:.1},{y:.1}")
            })
            .collect();
        let _ = writeln!(
            out,
            r##"<polygon points="{}" fill="#d9d9d9" fill-opacity="{opacity}" stroke="{colour}" stroke-width="{stroke:.1}"/>"##,
            points.join(" ")
        );
    }
    if solid {
        let (x, y) = placed(f, [0.0, 0.0, 0.0]);
        words(
            out,
            x,
            y + 0.5 * pen.letter,
            1.4 * pen.letter,
            "#fff",
            "middle",
            letter,
        );
    }
}

/// Where the robot stood at the start (pale), at the deciding moment and at the end.
fn bodies(out: &mut String, scene: &Scene<'_>, seat: usize, pen: &Pen) {
    let frames = &scene.record.frames[seat];
    let robot = scene.robots[seat];
    let (Some(first), Some(last)) = (frames.first(), frames.last()) else {
        return;
    };
    outline(out, robot, first, seat, false, pen);
    let decided = scene.record.outcome.decided_s;
    if let Some(f) = frames.iter().find(|f| f.time_s >= decided) {
        outline(out, robot, f, seat, false, pen);
    }
    outline(out, robot, last, seat, true, pen);
}

/// The moments worth a number, in order of time, with their place in the list of events.
fn moments(events: &[Event]) -> Vec<(usize, &Event)> {
    let rank = |kind: EventKind| match kind {
        EventKind::Start => None,
        EventKind::Decided
        | EventKind::Out
        | EventKind::Ruled
        | EventKind::Restart
        | EventKind::FalseStart
        | EventKind::LostTyre
        | EventKind::LoosePlug
        | EventKind::DeadSensor
        | EventKind::ControllerReset
        | EventKind::BrownOut
        | EventKind::DroppedScrew => Some(0),
        EventKind::Hit | EventKind::Lifted => Some(1),
        EventKind::Saw | EventKind::Edge => Some(2),
        EventKind::Slipped | EventKind::SetDown | EventKind::Lost | EventKind::Gripped => Some(3),
    };
    let mut all: Vec<(u8, usize, &Event)> = worth_telling(events)
        .into_iter()
        .enumerate()
        .filter_map(|(k, e)| Some((rank(e.kind)?, k, e)))
        .collect();
    all.sort_by_key(|m| (m.0, m.1));
    all.truncate(MOST_MOMENTS);
    all.sort_by_key(|m| m.1);
    all.into_iter().map(|(_, k, e)| (k, e)).collect()
}

/// Where the marks go: at their place, moved apart where they would cover each other.
fn spread(moments: &[(usize, &Event)], pen: &Pen) -> Vec<(f64, f64)> {
    let mut marks: Vec<(f64, f64)> = Vec::new();
    let apart = 2.3 * pen.letter;
    for (_, e) in moments {
        let (x0, y0) = spot(e.at[0], e.at[1]);
        let mut at = (x0, y0);
        // Rings of eight places around, nearest first.
        'search: for ring in 0..8 {
            for k in 0..8 {
                let turn = maths::PI / 4.0 * f64::from(k);
                let far = apart * f64::from(ring);
                let trial = (x0 + far * maths::cos(turn), y0 + far * maths::sin(turn));
                let free = |m: &(f64, f64)| maths::hypot(m.0 - trial.0, m.1 - trial.1) >= apart;
                if marks.iter().all(free) {
                    at = trial;
                    break 'search;
                }
            }
        }
        marks.push(at);
    }
    marks
}

fn mark(out: &mut String, number: usize, e: &Event, at: (f64, f64), pen: &Pen) {
    let colour = SEATS[e.seat].0;
    let (x, y) = spot(e.at[0], e.at[1]);
    let r = 1.05 * pen.letter;
    let _ = writeln!(
        out,
        r##"<line x1="{x:.1}" y1="{y:.1}" x2="{:.1}" y2="{:.1}" stroke="#fff" stroke-width="{:.1}"/><circle cx="{:.1}" cy="{:.1}" r="{r:.1}" fill="#fff" stroke="{colour}" stroke-width="{:.1}"/>"##,
        at.0,
        at.1,
        0.15 * pen.letter,
        at.0,
        at.1,
        0.25 * pen.letter
    );
    let size = 1.15 * pen.letter;
    words(
        out,
        at.0,
        at.1 + 0.4 * size,
        size,
        "#222",
        "middle",
        &number.to_string(),
    );
}

fn legend(out: &mut String, scene: &Scene<'_>, moments: &[(usize, &Event)], x: f64, pen: &Pen) {
    let line = 1.75 * pen.letter;
    let mut y = -pen.radius + line;
    for (seat, (colour, dash, letter)) in SEATS.into_iter().enumerate() {
        let _ = writeln!(
            out,
            r#"<line x1="{x:.1}" y1="{:.1}" x2="{:.1}" y2="{:.1}" stroke="{colour}" stroke-width="{:.1}" stroke-dasharray="{dash}"/>"#,
            y - 0.35 * pen.letter,
            x + 3.0 * pen.letter,
            y - 0.35 * pen.letter,
            pen.radius / 90.0
        );
        let name = format!("{letter}  {}", scene.names[seat]);
        words(
            out,
            x + 3.6 * pen.letter,
            y,
            1.2 * pen.letter,
            "#222",
            "start",
            &name,
        );
        y += line;
    }
    let dots = "dots a quarter of a second apart; pale: at the start and when it was decided";
    for l in broken(dots, 46) {
        words(out, x, y, 0.85 * pen.letter, "#555", "start", &l);
        y += 0.7 * line;
    }
    y += 0.4 * line;
    for (k, (_, e)) in moments.iter().enumerate() {
        let text = format!(
            "{}  {:.2} s  {} {}",
            k + 1,
            e.time_s,
            SEATS[e.seat].2,
            event_words(e.kind)
        );
        for (n, l) in broken(&text, 44).into_iter().enumerate() {
            let indent = if n == 0 { 0.0 } else { 1.6 * pen.letter };
            words(
                out,
                x + indent,
                y,
                0.95 * pen.letter,
                SEATS[e.seat].0,
                "start",
                &l,
            );
            y += 0.8 * line;
        }
    }
}

/// Text in lines of at most `width` letters.
fn broken(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = vec![String::new()];
    for word in text.split(' ') {
        let last = lines.len() - 1;
        if !lines[last].is_empty() && lines[last].chars().count() + 1 + word.chars().count() > width
        {
            lines.push(word.to_owned());
        } else {
            if !lines[last].is_empty() {
                lines[last].push(' ');
            }
            lines[last].push_str(word);
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_file_says_cannot_break_out_of_the_picture() {
        assert_eq!(
            escaped("<script>&\"\u{7}"),
            "&lt;script&gt;&amp;&quot;\u{fffd}"
        );
    }

    #[test]
    fn a_quarter_turn_moves_the_nose_to_the_left() {
        let s = maths::sin(maths::PI / 4.0);
        let f = Frame {
            time_s: 0.0,
            position: [0.1, 0.0, 0.0],
            orientation: [0.0, 0.0, s, s],
            effort: [0.0; 2],
            wheels: Vec::new(),
        };
        let (x, y) = placed(&f, [0.05, 0.0, 0.0]);
        assert!(
            (x - 100.0).abs() < 1e-9 && (y + 50.0).abs() < 1e-9,
            "{x} {y}"
        );
    }
}
