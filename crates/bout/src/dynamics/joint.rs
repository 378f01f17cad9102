//! Jointed parts: hinged, sprung and driven blades, lifters, jacks, flaps, arms.
//!
//! Each is one freedom of its own beside the body's six: an angle q about an axis fixed in the
//! body, or a way q along one. A unit impulse in direction d at a point of the part moves q̇ by
//! c/J with c = (axis × ρ)·d, ρ from the hinge to the point, or c = axis·d. The forces of the part
//! itself (spring, motor line, damping) are implicit in time and sit in J_e = J + h·D + h²·k, so
//! that a frame of any stiffness is stable.
//!
//! A part that lies against a stop, or is held by its gear, is taken as rigid for the substep: with
//! so little mass beside two robots, a sweep would only slowly find what stop and contact share.
//! Whether it is held is decided from what its contacts carried in the substep before.
//!
//! The mass matrix is taken as diagonal: what moves weighs and turns with the body at its rest
//! place, and the body does not feel it start and stop. Off by the share m_part/m_robot of its speed.
//! Its weight counts where it is.

use glam::DVec3;
use quantity::maths;

use super::body::Body;
use super::contact::{Contact, Step};
use super::machine::Machine;

/// A stop this near, in rad or m, is reached.
const AT_STOP: f64 = 1e-9;
/// Sweeps of a substep where a robot has joints. One leaves light parts between two robots behind by
/// some ten milliseconds; more than four bring nothing that shows.
pub(crate) const SWEEPS: u32 = 4;
/// What a gadget without power is sent to.
pub(crate) const OFF: f64 = f64::NEG_INFINITY;

/// A freedom of a part against the body. Positions relative to the centre of mass, design axes.
#[derive(Debug, Clone)]
pub(crate) struct Joint {
    /// A point of the axis.
    pub(crate) hinge: DVec3,
    /// Unit axis: of the turn, or the way the part slides.
    pub(crate) axis: DVec3,
    /// Whether it slides.
    pub(crate) slides: bool,
    /// J: the part about the axis plus the reflected rotor in kg·m², or kg where it slides.
    pub(crate) inertia: f64,
    /// Mass of what moves in kg.
    pub(crate) mass: f64,
    /// From the hinge to the centre of that mass, as built.
    pub(crate) lever: DVec3,
    /// Where its second end is, in rad or m; the first, as built, is 0.
    pub(crate) way: f64,
    /// Stops, in rad or m.
    pub(crate) stops: [f64; 2],
    /// Stiffness of its spring in N·m/rad or N/m.
    pub(crate) spring: f64,
    /// Where the spring is slack.
    pub(crate) slack: f64,
    /// Its own damping in N·m·s/rad or N·s/m.
    pub(crate) damping: f64,
    /// Torque (force) the gear holds without current.
    pub(crate) holds: f64,
    /// The motor.
    pub(crate) motor: Option<JointMotor>,
}

/// The motor of a joint, seen at the joint: torque = `torque_per_volt`·u·V − `damping`·q̇.
#[derive(Debug, Clone)]
pub(crate) struct JointMotor {
    /// Which of the gadgets the program sends.
    pub(crate) output: usize,
    /// N·m (N) per volt at full effort.
    pub(crate) torque_per_volt: f64,
    /// N·m·s/rad (N·s/m).
    pub(crate) damping: f64,
    /// A per volt.
    pub(crate) current_per_volt: f64,
    /// A·s/rad (A·s/m).
    pub(crate) current_per_speed: f64,
    /// It drives at full effort until this near its goal, and less from there on.
    pub(crate) band: f64,
}

/// What one joint does.
#[derive(Debug, Clone)]
pub(crate) struct JointState {
    /// Where it is sent, in rad or m; [`OFF`]: nowhere.
    pub(crate) goal: f64,
    /// 1/J_e, or 0 while it is held.
    pub(crate) response: f64,
    /// What its contacts carried in the last substep, N·m·s (N·s).
    pub(crate) load: f64,
    /// Sense of the motion that friction of the gear brakes, or 0.
    braked: f64,
    /// Torque of the motor at standstill in this substep and what speed takes off it.
    drive: [f64; 2],
    hinge: DVec3,
    axis: DVec3,
    slides: bool,
}

/// The jointed part on one side of a contact.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct PartSide {
    /// Index of the joint.
    pub(crate) joint: usize,
    /// Index of its speed among the body's spin variables.
    pub(crate) spin: usize,
    /// Where it was when the contact was found.
    pub(crate) found_at: f64,
    /// What a unit impulse normal, along and across does to it.
    pub(crate) c: [f64; 3],
    /// 1/J_e in this substep.
    pub(crate) response: f64,
}

impl JointState {
    /// At rest as built.
    pub(crate) fn new(joint: &Joint) -> Self {
        Self {
            goal: if joint.motor.is_some() { 0.0 } else { OFF },
            response: 0.0,
            load: 0.0,
            braked: 0.0,
            drive: [0.0; 2],
            hinge: joint.hinge,
            axis: joint.axis,
            slides: joint.slides,
        }
    }

    /// A point of the part as built, moved by `q`.
    pub(crate) fn place(&self, p: DVec3, q: f64) -> DVec3 {
        if self.slides {
            return p + q * self.axis;
        }
        self.hinge + turned(p - self.hinge, self.axis, q)
    }

    /// Velocity of a point of the part per unit of joint speed, design axes.
    pub(crate) fn way(&self, p: DVec3) -> DVec3 {
        if self.slides {
            self.axis
        } else {
            self.axis.cross(p - self.hinge)
        }
    }
}

/// `v` turned by `angle` about the unit `axis` (Rodrigues).
fn turned(v: DVec3, axis: DVec3, angle: f64) -> DVec3 {
    let (sin, cos) = (maths::sin(angle), maths::cos(angle));
    v * cos + axis.cross(v) * sin + axis * (axis.dot(v) * (1.0 - cos))
}

impl Joint {
    /// Centre of its moving mass at `q`, from where it is as built.
    fn shift(&self, q: f64) -> DVec3 {
        if self.slides {
            q * self.axis
        } else {
            turned(self.lever, self.axis, q) - self.lever
        }
    }
}

/// Effort of the motor of a joint at `q` sent to `goal`, −1 to 1.
fn effort(motor: &JointMotor, goal: f64, q: f64) -> f64 {
    if goal == OFF {
        return 0.0;
    }
    ((goal - q) / motor.band).clamp(-1.0, 1.0)
}

/// What the joints' motors ask of the pack: Σ u·b·q̇ and Σ g·u², as the wheels' motors do.
pub(crate) fn demand(machine: &Machine, body: &Body) -> [f64; 2] {
    let groups = machine.groups.len();
    let mut asked = [0.0; 2];
    for (k, (joint, state)) in machine.joints.iter().zip(&body.joints).enumerate() {
        let Some(m) = &joint.motor else { continue };
        let u = effort(m, state.goal, body.theta[groups + k]);
        asked[0] += u * m.current_per_speed * body.s[groups + k];
        asked[1] += m.current_per_volt * u * u;
    }
    asked
}

/// Readies the joints for a substep and gives them the speed they have without contacts.
pub(crate) fn begin(
    machine: &Machine,
    body: &mut Body,
    volts: f64,
    gravity: DVec3,
    Step { h, scale }: Step,
) {
    let down = body.r.transpose() * gravity;
    let groups = machine.groups.len();
    for (k, joint) in machine.joints.iter().enumerate() {
        let (q, s) = (body.theta[groups + k], body.s[groups + k]);
        let state = &mut body.joints[k];
        let mut torque = -joint.spring * (q - joint.slack);
        let shift = joint.shift(q);
        let weight = joint.mass * down;
        torque += if joint.slides {
            joint.axis.dot(weight)
        } else {
            joint.axis.dot((joint.lever + shift).cross(weight))
        };
        let mut inertia = joint.inertia + h * joint.damping + h * h * joint.spring;
        let mut motor = 0.0;
        state.drive = [0.0; 2];
        if let (Some(m), true) = (&joint.motor, state.goal != OFF) {
            let u = effort(m, state.goal, q);
            motor = m.torque_per_volt * u * volts;
            inertia += h * m.damping;
            if u.abs() < 1.0 {
                // Near its goal it is a spring, which has to be as implicit as any.
                inertia += h * h * m.torque_per_volt * volts.max(0.0) / m.band;
            }
            state.drive = [motor, m.damping];
        }
        let free = joint.inertia * s + h * (torque + motor);
        let loaded = free + scale * state.load;
        let stopped = (q <= joint.stops[0] + AT_STOP && loaded <= 0.0)
            || (q >= joint.stops[1] - AT_STOP && loaded >= 0.0);
        // A gear that holds does so against what drives it back, not against its motor.
        let braked = if loaded > 0.0 { 1.0 } else { -1.0 };
        let brake = if motor * braked > 0.0 {
            0.0
        } else {
            h * joint.holds
        };
        let held = stopped || loaded.abs() <= brake;
        state.braked = if held || brake <= 0.0 { 0.0 } else { braked };
        state.response = if held { 0.0 } else { 1.0 / inertia };
        body.s[groups + k] = if held {
            0.0
        } else {
            (free - braked * brake) / inertia
        };
        // Its weight where it is, not where the composite has it.
        let moved = body.r * shift;
        let twist = moved.cross(joint.mass * gravity);
        body.w += h * (body.inverse_inertia * twist);
    }
}

/// Ends a substep of both robots. `contacts` are those that may lie on parts. Returns the motors'
/// work in J.
pub(super) fn finish<'c>(
    machines: &[Machine; 2],
    bodies: &mut [Body; 2],
    contacts: impl Iterator<Item = &'c Contact>,
    h: f64,
) -> f64 {
    for state in bodies.iter_mut().flat_map(|b| &mut b.joints) {
        state.load = 0.0;
    }
    for c in contacts {
        c.load_joints(bodies);
    }
    let [one, two] = bodies;
    end(&machines[0], one, h) + end(&machines[1], two, h)
}

/// Ends a substep: no part passes its stops, and friction of a gear turns nothing back. Returns the
/// motors' work in J.
fn end(machine: &Machine, body: &mut Body, h: f64) -> f64 {
    let groups = machine.groups.len();
    let mut work = 0.0;
    for (k, joint) in machine.joints.iter().enumerate() {
        let (q, state) = (body.theta[groups + k], &body.joints[k]);
        let s = &mut body.s[groups + k];
        if state.braked * *s < 0.0 {
            *s = 0.0;
        }
        let [least, most] = joint.stops.map(|stop| (stop - q) / h);
        *s = s.max(least.min(0.0)).min(most.max(0.0));
        work += (state.drive[0] - state.drive[1] * *s) * *s * h;
    }
    work
}

/// Energy of the joints' motion, springs and shifted weights in J.
pub(crate) fn energy(machine: &Machine, body: &Body, gravity: DVec3) -> f64 {
    let groups = machine.groups.len();
    let of = |(k, joint): (usize, &Joint)| {
        let (q, s) = (body.theta[groups + k], body.s[groups + k]);
        let stretch = q - joint.slack;
        let raised = -gravity.dot(body.r * joint.shift(q));
        0.5 * (joint.inertia * s * s + joint.spring * stretch * stretch) + joint.mass * raised
    };
    machine.joints.iter().enumerate().map(of).sum()
}
