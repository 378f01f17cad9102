//! A bout from above as SVG: the paths, where the robots stood at the key moments, a legend, and
//! loads and slips over time.
//!
//! Lengths in mm, y up as in the ring's own axes. Colours repeat what line pattern, letter and
//! number say.

use core::fmt::Write;

use bout::{Arena, Event, EventKind, Record};
use quantity::maths;
use robot::Robot;

use crate::bodies::{self, Sides};
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

/// Colour and letter of a seat. Blue and orange stay apart for every common kind of colour blindness.
pub(crate) const SEATS: [(&str, &str); 2] = [("#2f6fb2", "A"), ("#c4600c", "B")];
/// Most moments that are numbered.
const MOST_MOMENTS: usize = 12;
/// Letters in a line of the footer: what the narrowest picture holds.
const FOOTER: usize = 120;
/// Width of the legend as a share of the ring's.
const LEGEND: f64 = 0.74;

/// Scales of a drawing: everything follows from the ring's radius.
pub(crate) struct Pen {
    pub(crate) radius: f64,
    /// Height of small letters.
    pub(crate) letter: f64,
}

/// Dash pattern of a seat's lines where small letters are `letter` high.
pub(crate) fn dash(seat: usize, letter: f64) -> String {
    if seat == 0 {
        "none".to_owned()
    } else {
        format!("{:.2} {:.2}", 0.5 * letter, 0.3 * letter)
    }
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
    let gap = 0.08 * radius;
    // Robots that have left the ring lie outside it: words keep off.
    let sides = Sides::of(scene, radius + gap).wider(2.0 * pen.letter);
    let title_height = 0.26 * radius;
    let legend_left = sides.right + 0.5 * gap;
    let (left, top) = (-sides.left, -sides.top - title_height);
    let width = legend_left + 2.0 * radius * LEGEND - left;
    let footer = broken(scene.footer, FOOTER);
    let foot = sides.bottom + 2.0 * pen.letter;
    let foot_height = 1.4 * pen.letter * footer.len() as f64;
    let strip = strip::Place {
        left: left + gap,
        top: foot + foot_height,
        width: width - 2.0 * gap - 3.0 * pen.letter,
        radius,
        letter: pen.letter,
    };
    let height = foot + foot_height - top + strip.height();
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
        left + gap,
        top + 0.16 * radius,
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
        bodies::draw(&mut out, scene, seat, &pen);
    }
    let marks = spread(&moments, bodies::letters(scene), &pen);
    for (k, ((_, e), at)) in moments.iter().zip(&marks).enumerate() {
        mark(&mut out, k + 1, e, *at, &pen);
    }
    legend(&mut out, scene, &moments, legend_left, &pen);
    for (k, line) in footer.iter().enumerate() {
        let y = foot + 1.4 * pen.letter * k as f64;
        words(&mut out, left + gap, y, pen.letter, "#444", "start", line);
    }
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
pub(crate) fn spot(x: f64, y: f64) -> (f64, f64) {
    (1e3 * x, -1e3 * y)
}

fn path(out: &mut String, scene: &Scene<'_>, seat: usize, pen: &Pen) {
    let (colour, dash) = (SEATS[seat].0, dash(seat, pen.letter));
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

/// Where the marks go: at their place, moved apart where they would cover each other or one of the
/// `kept_free` places.
fn spread(moments: &[(usize, &Event)], kept_free: Vec<(f64, f64)>, pen: &Pen) -> Vec<(f64, f64)> {
    let kept = kept_free.len();
    let mut marks = kept_free;
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
    marks.split_off(kept)
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
    for (seat, (colour, letter)) in SEATS.into_iter().enumerate() {
        let dash = dash(seat, pen.letter);
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
        let (colour, letter) = SEATS[e.seat];
        let columns = [
            (1.4, "end", (k + 1).to_string()),
            (5.2, "end", format!("{:.2} s", e.time_s)),
            (5.8, "start", letter.to_owned()),
        ];
        let size = 0.95 * pen.letter;
        for (column, anchor, text) in columns {
            words(out, x + column * pen.letter, y, size, colour, anchor, &text);
        }
        for l in broken(event_words(e.kind), 36) {
            words(out, x + 7.0 * pen.letter, y, size, colour, "start", &l);
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
}
