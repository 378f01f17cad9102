//! Shoves: the frame is held at its wheels and pushed at one point after the other.

use robot::JointKind;

use super::sketch::{Point, Role, Sketch, Watch};
use super::solved::Answer;

/// The way of a push that lifts.
pub const UPWARDS: &str = "upwards";

/// One push at one point in one direction.
#[derive(Debug, Clone, PartialEq)]
pub struct Shove {
    /// Index of the point.
    pub point: usize,
    /// Which way, in words.
    pub way: &'static str,
    /// Force on the frame, N.
    pub force_n: [f64; 3],
    /// How far the point gives way in the direction of the force, m.
    pub gives_m: f64,
    /// How far the middle of the front edge rises, m; none without a blade in the frame.
    pub tip_rises_m: Option<f64>,
    /// The sensor that moves farthest, with how far, m, and how far it turns, rad.
    pub sensor: Option<(usize, f64, f64)>,
    /// How far a wheel leans out of its plane at most, rad.
    pub wheel_leans: f64,
    /// The beam stressed most, with its stress as a share of its strength.
    pub stress: (usize, f64),
    /// The joint used most, with the moment it takes and the one it bears, N·m: beam, end.
    pub joint: Option<JointUse>,
}

/// How much of what a joint bears is asked of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointUse {
    /// The beam.
    pub beam: usize,
    /// Which end.
    pub end: usize,
    /// Bending moment it takes, N·m.
    pub takes_nm: f64,
    /// Bending moment it bears, N·m.
    pub bears_nm: f64,
}

impl JointUse {
    /// Share of what it bears.
    #[must_use]
    pub fn share(&self) -> f64 {
        self.takes_nm / self.bears_nm
    }
}

/// A load case: point, words, direction.
pub(super) struct Case {
    pub(super) point: usize,
    pub(super) way: &'static str,
    pub(super) direction: [f64; 3],
}

/// Every point inwards and sideways, the front edge upwards too.
pub(super) fn cases(sketch: &Sketch) -> Vec<Case> {
    let mut all = Vec::new();
    for (point, p) in sketch.points.iter().enumerate() {
        if p.watch != Watch::Bumper {
            continue;
        }
        let inward = p.outward.map(|x| -x);
        let sideways = [-p.outward[1], p.outward[0], 0.0];
        let mut add = |way, direction| {
            all.push(Case {
                point,
                way,
                direction,
            });
        };
        add("straight in", inward);
        add("from the side", sideways);
        if is_tip(sketch, p) {
            add(UPWARDS, [0.0, 0.0, 1.0]);
        }
    }
    all
}

/// Whether a bumper point is on the front edge of the blade.
pub(super) fn is_tip(sketch: &Sketch, p: &Point) -> bool {
    (sketch.points.iter()).any(|o| o.watch == Watch::Tip && o.name == p.name)
}

/// Where a point goes when its node moves by `u` (three ways, three turns).
pub(super) fn moved(sketch: &Sketch, p: &Point, u: &[f64; 6]) -> [f64; 3] {
    let at = sketch.nodes[p.node].at;
    let r = [0, 1, 2].map(|k: usize| p.at[k] - at[k]);
    [
        u[0] + u[4] * r[2] - u[5] * r[1],
        u[1] + u[5] * r[0] - u[3] * r[2],
        u[2] + u[3] * r[1] - u[4] * r[0],
    ]
}

/// Force and moment on the node of `p` from a force at `p`.
pub(super) fn load(sketch: &Sketch, p: &Point, force: [f64; 3]) -> [f64; 6] {
    let at = sketch.nodes[p.node].at;
    let r = [0, 1, 2].map(|k: usize| p.at[k] - at[k]);
    let f = force;
    [
        f[0],
        f[1],
        f[2],
        r[1] * f[2] - r[2] * f[1],
        r[2] * f[0] - r[0] * f[2],
        r[0] * f[1] - r[1] * f[0],
    ]
}

/// What the push of a case is on its node.
pub(super) fn push_of(sketch: &Sketch, case: &Case, force_n: f64) -> (usize, [f64; 6]) {
    let p = &sketch.points[case.point];
    (p.node, load(sketch, p, case.direction.map(|x| force_n * x)))
}

/// How far the point of a case gives way in the direction of its push, m.
pub(super) fn gives(sketch: &Sketch, case: &Case, answer: &Answer) -> f64 {
    let p = &sketch.points[case.point];
    let goes = moved(sketch, p, &answer.moves[p.node]);
    (0..3).map(|k| goes[k] * case.direction[k]).sum()
}

/// What a push of `force_n` newtons did.
pub(super) fn shove(sketch: &Sketch, case: &Case, force_n: f64, answer: &Answer) -> Shove {
    Shove {
        point: case.point,
        way: case.way,
        force_n: case.direction.map(|x| force_n * x),
        gives_m: gives(sketch, case, answer),
        tip_rises_m: tip_rise(sketch, answer),
        sensor: farthest_sensor(sketch, answer),
        wheel_leans: lean(sketch, answer),
        stress: (answer.stress_share.iter().copied().enumerate())
            .filter(|(k, _)| !sketch.beams[*k].role.made_up())
            .fold((0, 0.0), |most, s| if s.1 > most.1 { s } else { most }),
        joint: hardest_joint(sketch, answer),
    }
}

fn tip_rise(sketch: &Sketch, answer: &Answer) -> Option<f64> {
    (sketch.points.iter())
        .filter(|p| p.watch == Watch::Tip)
        .map(|p| moved(sketch, p, &answer.moves[p.node])[2])
        .max_by(f64::total_cmp)
}

fn farthest_sensor(sketch: &Sketch, answer: &Answer) -> Option<(usize, f64, f64)> {
    let length = |v: [f64; 3]| super::sketch::distance(v, [0.0; 3]);
    (sketch.points.iter().enumerate())
        .filter(|(_, p)| p.watch == Watch::Sensor)
        .map(|(k, p)| {
            let u = answer.moves[p.node];
            (k, length(moved(sketch, p, &u)), length([u[3], u[4], u[5]]))
        })
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

/// A wheel held at its hub leans as its bearing does: the turn about the x axis of held nodes' beams.
fn lean(sketch: &Sketch, answer: &Answer) -> f64 {
    (sketch.beams.iter())
        .filter(|b| b.role == Role::Shaft)
        .map(|b| answer.moves[b.nodes[0]][3].abs())
        .fold(0.0, f64::max)
}

fn hardest_joint(sketch: &Sketch, answer: &Answer) -> Option<JointUse> {
    let mut most: Option<JointUse> = None;
    for (beam, b) in sketch.beams.iter().enumerate() {
        for end in 0..2 {
            if b.role.made_up() {
                continue;
            }
            if b.ends[end].kind == JointKind::OnePiece && b.ends[end].bears.is_none() {
                continue;
            }
            let used = JointUse {
                beam,
                end,
                takes_nm: answer.joints[beam][end].0,
                bears_nm: answer.joints[beam][end].1,
            };
            if most.is_none_or(|m| used.share() > m.share()) {
                most = Some(used);
            }
        }
    }
    most
}
