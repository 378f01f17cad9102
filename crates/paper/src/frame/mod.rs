//! What holds the robot together: how far it gives way to a shove, what is used most, how it rings after
//! a slap, and what would stiffen it most for its weight.
//!
//! The frame is the one the file describes, or else one derived from plates, body and blade. It is held
//! at its wheels as with the brakes on: what a builder can repeat on a bench with a kitchen scale.

mod change;
mod derived;
mod described;
mod findings;
mod shove;
mod sketch;
mod slap;
mod solved;

use ::frame::{Slack, Trouble};
use robot::{Materials, Robot};

pub use change::Change;
pub use shove::{JointUse, Shove, UPWARDS};
pub use sketch::{Beam, Point, Role, Sketch, Spot, Watch};

pub use slap::{Ring, Slap};
use solved::{Corner, Solved};

use crate::Band;

/// A shove is this many times the robot's own push: an opponent pushes as hard, and comes at speed.
/// Common practice, no source.
pub const SAFETY: f64 = 2.0;
/// Least shove as a multiple of the weight, for robots that cannot push.
const LEAST_WEIGHTS: f64 = 1.0;

/// Modes that are worked out: the slap lasts long enough that higher ones hardly answer.
const MODES: usize = 6;

/// One way the frame swings by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Mode {
    /// Frequency, Hz.
    pub hz: f64,
    /// How each node moves, in the measure of the mode.
    pub shape: Vec<[f64; 3]>,
}

/// The frame worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// Nodes, beams, points, and what was taken for granted.
    pub sketch: Sketch,
    /// Each shove's force, N.
    pub shove_n: f64,
    /// All shoves.
    pub shoves: Vec<Shove>,
    /// The shove to which the frame gives way farthest: index.
    pub softest: Option<usize>,
    /// Movement of every node under that shove, m.
    pub bent: Vec<[f64; 3]>,
    /// How far it gives way there between the stiffest and the softest joints and materials, m.
    pub gives_band_m: Option<Band>,
    /// The shove that lifts the front edge farthest: index, shoves upwards left out.
    pub lifts: Option<usize>,
    /// How far it lifts it, between the stiffest and the softest, m.
    pub rise_band_m: Option<Band>,
    /// Most stress of each beam over all shoves, as a share of its strength; nothing for
    /// brackets and shafts whose sizes are made up.
    pub stress: Vec<f64>,
    /// The joint used most over all shoves, with the shove.
    pub weakest: Option<(usize, JointUse)>,
    /// Share of what that joint bears that is used, between the stiffest and the softest.
    pub weakest_band: Option<Band>,
    /// The lowest ways it swings.
    pub modes: Vec<Mode>,
    /// Lowest frequency between the softest and the stiffest, Hz; for derived frames only if it is low.
    pub first_hz_band: Option<Band>,
    /// What a slap does.
    pub slap: Option<Slap>,
    /// What would stiffen it, most for its weight first.
    pub changes: Vec<Change>,
}

/// What can be said of a robot's frame.
#[derive(Debug, Clone, PartialEq)]
pub enum Held {
    /// It was worked out.
    Frame(Box<Frame>),
    /// Parts of it move freely: these nodes.
    Loose(Sketch, Vec<String>),
    /// The file says neither what holds the robot together nor has it a plate or body of known size.
    Unknown,
}

impl Held {
    /// Works out the frame of `robot`, which pushes with `push_n`.
    #[must_use]
    pub fn of(robot: &Robot, materials: &Materials, push_n: f64) -> Self {
        let sketch = match &robot.frame {
            Some(described) => Some(described::sketch(robot, described)),
            None => derived::derive(robot, materials),
        };
        let Some(sketch) = sketch else {
            return Self::Unknown;
        };
        match Frame::of(robot, materials, sketch.clone(), push_n) {
            Ok(frame) => Self::Frame(Box::new(frame)),
            Err(trouble) => Self::Loose(sketch, loose(&trouble)),
        }
    }

    /// The frame, if it could be worked out.
    #[must_use]
    pub fn frame(&self) -> Option<&Frame> {
        match self {
            Self::Frame(f) => Some(f),
            Self::Loose(..) | Self::Unknown => None,
        }
    }
}

/// Names of what moves freely; for other troubles what they are.
fn loose(trouble: &Trouble) -> Vec<String> {
    match trouble {
        Trouble::Mechanism(m) => {
            let mut names: Vec<String> = m.loose.iter().map(|l| l.name.clone()).collect();
            names.dedup();
            names
        }
        other => vec![other.to_string()],
    }
}

impl Frame {
    fn of(
        robot: &Robot,
        materials: &Materials,
        sketch: Sketch,
        push_n: f64,
    ) -> Result<Self, Trouble> {
        let mass_kg: f64 = robot.items().map(|i| i.mass.si()).sum();
        let weight_n = quantity::maths::STANDARD_GRAVITY * mass_kg;
        let shove_n = (SAFETY * push_n).max(LEAST_WEIGHTS * weight_n);
        let cases = shove::cases(&sketch);
        let pushes: Vec<_> = (cases.iter())
            .map(|c| shove::push_of(&sketch, c, shove_n))
            .collect();
        let solved = Solved::of(&sketch, Corner::Nominal);
        let answers = solved.push(&pushes)?;
        let shoves: Vec<Shove> = (cases.iter().zip(&answers))
            .map(|(c, a)| shove::shove(&sketch, c, shove_n, a))
            .collect();
        let most = |number: &dyn Fn(&Shove) -> Option<f64>| {
            (shoves.iter().enumerate())
                .filter_map(|(k, s)| number(s).map(|x| (k, x)))
                .max_by(|a, b| a.1.total_cmp(&b.1))
                .map(|m| m.0)
        };
        let softest = most(&|s| Some(s.gives_m));
        let lifts = most(&|s| s.tip_rises_m.filter(|_| s.way != UPWARDS));
        let by_joint = most(&|s| s.joint.map(|j| j.share()));
        // Only the shoves that matter are worked out at the corners of the spreads.
        let chosen: Vec<usize> = [softest, lifts, by_joint].into_iter().flatten().collect();
        let corners = [Corner::Soft, Corner::Stiff].map(|c| Solved::of(&sketch, c));
        let again = |s: &Solved| -> Result<Vec<Shove>, Trouble> {
            let pushes: Vec<_> = chosen.iter().map(|k| pushes[*k]).collect();
            let answers = s.push(&pushes)?;
            Ok((chosen.iter().zip(&answers))
                .map(|(k, a)| shove::shove(&sketch, &cases[*k], shove_n, a))
                .collect())
        };
        let [soft, stiff] = [again(&corners[0])?, again(&corners[1])?];
        let band = |number: &dyn Fn(&Shove) -> Option<f64>, k: usize| {
            let at = chosen.iter().position(|c| *c == k)?;
            let [a, b] = [number(&soft[at])?, number(&stiff[at])?];
            Some(Band {
                low: a.min(b),
                high: a.max(b),
            })
        };
        let mut stress = vec![0.0_f64; sketch.beams.len()];
        for a in &answers {
            for ((most, s), b) in stress.iter_mut().zip(&a.stress_share).zip(&sketch.beams) {
                if !b.role.made_up() {
                    *most = most.max(*s);
                }
            }
        }
        let changes = softest.map_or_else(Vec::new, |k| {
            change::changes(
                &sketch,
                materials,
                &cases[k],
                shove_n,
                &shoves[k],
                &answers[k],
            )
        });
        let modes = solved.beams.modes(MODES, Slack::TakenUp)?;
        // Twice more the work of the modes, only where it decides or where the frame is the user's own.
        let lowest = modes.first_hz().unwrap_or(f64::INFINITY);
        let hz = if !sketch.derived || lowest < 1.5 * findings::LOW_HZ {
            let first = |s: &Solved| s.beams.modes(1, Slack::TakenUp).ok()?.first_hz();
            first(&corners[0]).zip(first(&corners[1]))
        } else {
            None
        };
        Ok(Self {
            first_hz_band: hz.map(|(a, b)| Band {
                low: a.min(b),
                high: a.max(b),
            }),
            slap: slap::slap(&sketch, &modes, mass_kg),
            modes: (modes.modes.into_iter())
                .map(|m| Mode {
                    hz: m.frequency_hz,
                    shape: m.shape.into_iter().map(|u| [u[0], u[1], u[2]]).collect(),
                })
                .collect(),
            gives_band_m: softest.and_then(|k| band(&|s| Some(s.gives_m), k)),
            rise_band_m: lifts.and_then(|k| band(&|s| s.tip_rises_m, k)),
            weakest_band: by_joint.and_then(|k| band(&|s| s.joint.map(|j| j.share()), k)),
            weakest: by_joint.and_then(|k| shoves[k].joint.map(|j| (k, j))),
            bent: softest.map_or_else(Vec::new, |k| {
                (answers[k].moves.iter())
                    .map(|u| [u[0], u[1], u[2]])
                    .collect()
            }),
            sketch,
            shove_n,
            shoves,
            softest,
            lifts,
            stress,
            changes,
        })
    }

    /// Stiffness of the blade's edge against being lifted at its middle, N/m; none without a blade in the
    /// frame. What a fixed blade's `tip-stiffness` in the robot file means.
    #[must_use]
    pub fn tip_stiffness_n_m(&self) -> Option<f64> {
        let middle = |s: &&Shove| s.way == UPWARDS && self.sketch.points[s.point].middle;
        let s = self.shoves.iter().find(middle)?;
        (s.gives_m > 0.0).then(|| self.shove_n / s.gives_m)
    }
}
