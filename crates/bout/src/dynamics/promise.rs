//! How long a search for contacts holds.
//!
//! A search that looks `way` metres further than the bodies can touch has found all that can touch
//! until they have moved that far against each other; and anchors fixed to the bodies stay the
//! right ones as long as that way is short. Most of a bout is slow: robots that push each other
//! hardly move against each other at all, and need a search only every few milliseconds.

use glam::DVec3;

use super::body::Body;
use super::machine::Machine;

/// A search lasts for so much motion in m of one body against the other. Usual 0.1 to 0.5 mm: more
/// saves searches but lets the points of contact lag behind where they should be.
pub(super) const WAY: f64 = 3e-4;
/// And for so much turning of either in rad: normals stand still until the next search.
pub(super) const TURN: f64 = 5e-3;
/// And for so many steps: grip under load and given overlaps are looked at afresh then.
const STEPS: u32 = 10;

/// How fast bodies use up a promise: m/s and rad/s.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Pace {
    pub(super) speed: f64,
    pub(super) turning: f64,
}

/// What is left of the last search.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Promise {
    way: f64,
    turn: f64,
    steps: u32,
    pace: Pace,
    span: f64,
}

impl Promise {
    /// Whether the last search still holds for a step of `span` seconds that begins at `pace`.
    pub(super) fn holds(&mut self, pace: Pace, span: f64) -> bool {
        // The step before began at one pace and ended at another.
        self.way -= self.span * self.pace.speed.max(pace.speed);
        self.turn -= self.span * self.pace.turning.max(pace.turning);
        (self.pace, self.span) = (pace, span);
        self.steps = self.steps.saturating_sub(1);
        self.steps > 0 && self.way >= span * pace.speed && self.turn >= span * pace.turning
    }

    /// Way in m that a search now has to look ahead.
    pub(super) fn renew(&mut self) -> f64 {
        self.way = WAY.max(self.span * self.pace.speed);
        self.turn = TURN.max(self.span * self.pace.turning);
        self.steps = STEPS;
        self.way
    }

    /// Speed at the start of the present step, m/s.
    pub(super) fn speed(&self) -> f64 {
        self.pace.speed
    }

    /// Ends it: the next step searches.
    pub(super) fn end(&mut self) {
        self.steps = 0;
    }
}

/// How fast any point of one robot can move against the other robot, and how fast either turns.
pub(super) fn between(machines: &[Machine; 2], bodies: &[Body; 2]) -> Pace {
    let [a, b] = bodies;
    // Seen from `b`: how fast the middle of `a` goes, and how it turns about it.
    let carried = b.v + b.w.cross(a.x - b.x);
    let speed = (a.v - carried).length() + machines[0].reach * (a.w - b.w).length();
    let parts = machines.iter().zip(bodies).map(|(m, b)| parts(m, b));
    Pace {
        speed: speed + parts.sum::<f64>(),
        turning: a.w.length_squared().max(b.w.length_squared()).sqrt(),
    }
}

/// How fast the lower side of a robot can come down on level ground.
pub(super) fn downward(machine: &Machine, body: &Body, gravity: DVec3, span: f64) -> Pace {
    let tilting = body.w.truncate().length();
    Pace {
        speed: body.v.z.abs()
            + machine.reach * tilting
            + gravity.length() * span
            + parts(machine, body),
        turning: tilting,
    }
}

/// How fast a robot's jointed parts can move against it, m/s.
fn parts(machine: &Machine, body: &Body) -> f64 {
    let speeds = &body.s[machine.groups.len()..];
    let fastest = machine.joints.iter().zip(speeds).map(|(joint, s)| {
        let arm = if joint.slides {
            1.0
        } else {
            2.0 * machine.reach
        };
        arm * s.abs()
    });
    fastest.fold(0.0, f64::max)
}
