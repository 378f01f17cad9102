//! The robots of a bout's picture: where they stood at the start, when it was decided and at the end.

use core::fmt::Write;

use bout::Frame;
use quantity::maths;
use robot::Robot;

use crate::picture::{Pen, SEATS, Scene, spot, words};

/// How far the picture reaches from the ring's centre to each side, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Sides {
    pub(crate) left: f64,
    pub(crate) right: f64,
    pub(crate) top: f64,
    pub(crate) bottom: f64,
}

impl Sides {
    /// As far as the bodies drawn reach, at least `least` to each side.
    pub(crate) fn of(scene: &Scene<'_>, least: f64) -> Self {
        let mut sides = Self {
            left: least,
            right: least,
            top: least,
            bottom: least,
        };
        for seat in 0..2 {
            for f in shown(scene, seat).into_iter().flatten() {
                for (_, corners) in pieces(scene.robots[seat], f) {
                    corners.iter().for_each(|c| sides.hold(*c));
                }
            }
        }
        sides
    }

    fn hold(&mut self, (x, y): (f64, f64)) {
        self.left = self.left.max(-x);
        self.right = self.right.max(x);
        self.top = self.top.max(-y);
        self.bottom = self.bottom.max(y);
    }

    /// With `more` to each side.
    pub(crate) fn wider(self, more: f64) -> Self {
        Self {
            left: self.left + more,
            right: self.right + more,
            top: self.top + more,
            bottom: self.bottom + more,
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

/// What is seen of a robot from above: whether it is the blade, and its corners.
fn pieces(robot: &Robot, f: &Frame) -> Vec<(bool, Vec<(f64, f64)>)> {
    let mut all: Vec<(bool, Vec<(f64, f64)>)> = (robot.hull.iter())
        .map(|piece| {
            let corner = |c: &[f64; 2]| placed(f, [c[0], c[1], piece.from.si()]);
            (false, piece.outline.iter().map(corner).collect())
        })
        .collect();
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
        let corners = corners.map(|c| placed(f, [c[0], c[1], 0.0]));
        all.push((true, corners.to_vec()));
    }
    all
}

/// The frames shown: at the start, at the deciding moment and at the end.
fn shown<'a>(scene: &Scene<'a>, seat: usize) -> [Option<&'a Frame>; 3] {
    let frames = &scene.record.frames[seat];
    let decided = scene.record.outcome.decided_s;
    let then = frames.iter().find(|f| f.time_s >= decided);
    [frames.first(), then, frames.last()]
}

/// Where the letters of both robots stand: in their middle at the end.
pub(crate) fn letters(scene: &Scene<'_>) -> Vec<(f64, f64)> {
    let last = |seat: usize| shown(scene, seat)[2].map(|f| placed(f, [0.0; 3]));
    (0..2).filter_map(last).collect()
}

/// Draws one robot at each of its moments: pale, and solid with its letter at the end.
pub(crate) fn draw(out: &mut String, scene: &Scene<'_>, seat: usize, pen: &Pen) {
    let [first, then, last] = shown(scene, seat);
    for (frame, solid) in [(first, false), (then, false), (last, true)] {
        if let Some(f) = frame {
            outline(out, scene.robots[seat], f, seat, solid, pen);
        }
    }
}

fn outline(out: &mut String, robot: &Robot, f: &Frame, seat: usize, solid: bool, pen: &Pen) {
    let (colour, letter) = SEATS[seat];
    let opacity = if solid { 0.8 } else { 0.25 };
    let width = pen.radius / 150.0;
    for (blade, corners) in pieces(robot, f) {
        let points: Vec<String> = (corners.iter())
            .map(|(x, y)| format!("{x:.1},{y:.1}"))
            .collect();
        let (fill, stroke) = if blade {
            ("#d9d9d9", colour)
        } else {
            (colour, "#fff")
        };
        let _ = writeln!(
            out,
            r#"<polygon points="{}" fill="{fill}" fill-opacity="{opacity}" stroke="{stroke}" stroke-width="{width:.1}"/>"#,
            points.join(" ")
        );
    }
    if solid {
        let (x, y) = placed(f, [0.0, 0.0, 0.0]);
        let size = 1.4 * pen.letter;
        words(out, x, y + 0.35 * size, size, "#fff", "middle", letter);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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

    #[test]
    fn the_picture_is_as_wide_as_what_lies_beside_the_ring() {
        let mut sides = Sides {
            left: 400.0,
            right: 400.0,
            top: 400.0,
            bottom: 400.0,
        };
        for corner in [(480.0, 10.0), (-20.0, -450.0), (-399.0, 0.0)] {
            sides.hold(corner);
        }
        let held = |left, right, top, bottom| Sides {
            left,
            right,
            top,
            bottom,
        };
        assert_eq!(sides, held(400.0, 480.0, 450.0, 400.0));
        assert_eq!(sides.wider(5.0), held(405.0, 485.0, 455.0, 405.0));
    }
}
