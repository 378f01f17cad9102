//! The moving state of one robot.
//!
//! Chassis and wheels are one rigid composite with 6 degrees of freedom plus one spin freedom per
//! wheel group. With θ̇ a group's turning speed relative to the chassis about the axle direction
//! a, and κ = I_w/J, the spin variable s = θ̇ + κ a·ω makes the kinetic energy diagonal:
//! 2T = m v² + ω·I'ω + Σ J s², where I' is the composite's inertia less Σ I_w²/J about a.

use glam::{DMat3, DQuat, DVec2, DVec3};

use super::joint::{self, JointState, PartSide};
use super::machine::Machine;

/// Position, orientation and speeds of one robot.
#[derive(Debug, Clone)]
pub(crate) struct Body {
    /// Centre of mass in ring coordinates, m.
    pub(crate) x: DVec3,
    /// Design axes to ring axes.
    pub(crate) q: DQuat,
    /// Velocity of the centre of mass, m/s.
    pub(crate) v: DVec3,
    /// Angular velocity in ring axes, rad/s.
    pub(crate) w: DVec3,
    /// Spin variables, rad/s; behind the groups the joints' speeds, rad/s or m/s.
    pub(crate) s: Vec<f64>,
    /// Turn of each group, rad (for run-out); behind them where the joints are, rad or m.
    pub(crate) theta: Vec<f64>,
    /// What the joints do.
    pub(crate) joints: Vec<JointState>,
    /// Rotation matrix of `q`.
    pub(crate) r: DMat3,
    /// Inverse inertia in ring axes.
    pub(crate) inverse_inertia: DMat3,
    /// Axle direction (design y) in ring axes.
    pub(crate) axle: DVec3,
    /// 1/mass.
    pub(crate) inverse_mass: f64,
}

/// How a robot moves over the ground: speeds in m/s along x and y, turning in rad/s.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Over {
    x: f64,
    y: f64,
    turning: f64,
}

impl Body {
    /// How it moves over the ground now.
    pub(crate) fn over(&self) -> Over {
        Over {
            x: self.v.x,
            y: self.v.y,
            turning: self.w.z,
        }
    }

    /// At rest at the origin.
    pub(crate) fn new(machine: &Machine) -> Self {
        let n = machine.groups.len() + machine.joints.len();
        let mut body = Self {
            x: machine.centre,
            q: DQuat::IDENTITY,
            v: DVec3::ZERO,
            w: DVec3::ZERO,
            s: vec![0.0; n],
            theta: vec![0.0; n],
            joints: machine.joints.iter().map(JointState::new).collect(),
            r: DMat3::IDENTITY,
            inverse_inertia: DMat3::IDENTITY,
            axle: DVec3::Y,
            inverse_mass: 1.0 / machine.mass,
        };
        body.turn_matrices(machine);
        body
    }

    /// Brings rotation matrix, axle and inverse inertia up to date with `q`.
    pub(crate) fn turn_matrices(&mut self, machine: &Machine) {
        self.r = DMat3::from_quat(self.q);
        self.axle = self.r.y_axis;
        self.inverse_inertia = turned(&machine.inverse_inertia, &self.r);
    }

    /// A point of the body (relative to the centre of mass, design axes) in ring coordinates.
    #[inline]
    pub(crate) fn place(&self, p: DVec3) -> DVec3 {
        self.x + self.r * p
    }

    /// A point of a part as built, where the part is now, design axes.
    pub(crate) fn moved(&self, joint: Option<usize>, p: DVec3) -> DVec3 {
        match joint {
            None => p,
            Some(k) => self.joints[k].place(p, self.theta[self.spin_of(k)]),
        }
    }

    /// Index of a joint's speed among the spin variables.
    pub(crate) fn spin_of(&self, joint: usize) -> usize {
        self.s.len() - self.joints.len() + joint
    }

    /// The side of a contact where a jointed part touches.
    pub(crate) fn side(&self, joint: Option<usize>) -> Option<PartSide> {
        let joint = joint?;
        let spin = self.spin_of(joint);
        Some(PartSide {
            joint,
            spin,
            found_at: self.theta[spin],
            ..PartSide::default()
        })
    }

    /// Turning speed of a group relative to the chassis, rad/s.
    #[inline]
    pub(crate) fn wheel_speed(&self, machine: &Machine, group: usize) -> f64 {
        self.s[group] - machine.groups[group].kappa * self.pitching()
    }

    /// Turning speed of the chassis about the axle, rad/s.
    #[inline]
    pub(crate) fn pitching(&self) -> f64 {
        self.axle.dot(self.w)
    }

    /// Gravity and the gyroscopic term over `h`: ω += h I'⁻¹(h-free torque), torque = −ω × L with
    /// L = I'ω + Σ I_w s a. Explicit: its energy error is of order (h ω)² of the spin energy.
    pub(crate) fn fall(&mut self, machine: &Machine, gravity: DVec3, h: f64) {
        self.v += gravity * h;
        let local = self.r.transpose() * self.w;
        let mut momentum = machine.inertia * local;
        for (g, s) in machine.groups.iter().zip(&self.s) {
            momentum.y += g.own_inertia * s;
        }
        let change = machine.inverse_inertia * momentum.cross(local);
        self.w += h * (self.r * change);
    }

    /// Moves on over `h`. Heights and tilts go with the speeds as they are now: gaps of contacts
    /// count on it. `before` holds the speeds at the start of the substep where nothing can touch
    /// but the ground: the mean of old and new then moves it over the ground and turns it, without
    /// which it would always arrive half a substep early.
    pub(crate) fn drift(&mut self, machine: &Machine, h: f64, before: Option<Over>) {
        let (mut v, mut w) = (self.v, self.w);
        if let Some(b) = before {
            (v.x, v.y) = (0.5 * (v.x + b.x), 0.5 * (v.y + b.y));
            w.z = 0.5 * (w.z + b.turning);
        }
        self.x += h * v;
        let half = 0.5 * h * w;
        let turn = DQuat::from_xyzw(half.x, half.y, half.z, 0.0) * self.q;
        let q = DQuat::from_xyzw(
            self.q.x + turn.x,
            self.q.y + turn.y,
            self.q.z + turn.z,
            self.q.w + turn.w,
        );
        // Plain arithmetic instead of a library call: the bits must not depend on the target.
        let length = (q.x * q.x + q.y * q.y + q.z * q.z + q.w * q.w).sqrt();
        self.q = q * (1.0 / length);
        let pitching = self.pitching();
        for ((theta, s), g) in self.theta.iter_mut().zip(&self.s).zip(&machine.groups) {
            *theta += h * (s - g.kappa * pitching);
        }
        for i in machine.groups.len()..self.s.len() {
            self.theta[i] += h * self.s[i];
        }
        self.turn_matrices(machine);
    }

    /// Kinetic energy plus that of height, −m g·x, in J.
    pub(crate) fn energy(&self, machine: &Machine, gravity: DVec3) -> f64 {
        let local = self.r.transpose() * self.w;
        let spin: f64 = machine
            .groups
            .iter()
            .zip(&self.s)
            .map(|(g, s)| g.inertia * s * s)
            .sum();
        0.5 * (machine.mass * self.v.length_squared() + local.dot(machine.inertia * local) + spin)
            - machine.mass * gravity.dot(self.x)
            + joint::energy(machine, self, gravity)
    }

    /// Whether every number is finite.
    pub(crate) fn finite(&self) -> bool {
        // A sum is finite only where all it is made of is: one test instead of twenty.
        let moving = (self.x + self.v + self.w).element_sum() + self.q.x + self.q.y;
        (moving + self.q.z + self.q.w + self.s.iter().sum::<f64>()).is_finite()
    }
}

/// Change in m/s of the speed over the ground of both robots' common centre of mass since `before`.
pub(crate) fn common_change(
    machines: &[Machine; 2],
    bodies: &[Body; 2],
    before: &[Over; 2],
) -> DVec2 {
    let change = |i: usize| {
        let (v, b) = (bodies[i].v, before[i]);
        machines[i].mass * DVec2::new(v.x - b.x, v.y - b.y)
    };
    (change(0) + change(1)) / (machines[0].mass + machines[1].mass)
}

/// R M Rᵀ of a symmetric `m`: six entries, the other three are theirs.
fn turned(m: &DMat3, r: &DMat3) -> DMat3 {
    let half = *r * *m;
    let row = |i: usize| DVec3::new(half.x_axis[i], half.y_axis[i], half.z_axis[i]);
    let column = |i: usize| DVec3::new(r.x_axis[i], r.y_axis[i], r.z_axis[i]);
    let [x, y, z] = [row(0), row(1), row(2)];
    let [a, b, c] = [column(0), column(1), column(2)];
    let (xy, xz, yz) = (x.dot(b), x.dot(c), y.dot(c));
    DMat3::from_cols(
        DVec3::new(x.dot(a), xy, xz),
        DVec3::new(xy, y.dot(b), yz),
        DVec3::new(xz, yz, z.dot(c)),
    )
}
