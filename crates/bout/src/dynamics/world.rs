//! Two robots on a ring, moved on millisecond by millisecond.

use glam::{DMat3, DQuat, DVec3};
use laws::tyre::grip_at_load;
use quantity::maths;

use super::body::Body;
use super::contact::{Contact, Tread, WORLD, tangents};
use super::drive::{self, GroupDrive};
use super::ground::{self, RingShape, Rolling};
use super::machine::{Machine, WheelNumbers};
use super::meet::{Encounter, carry_over};
use crate::arena::{Arena, Seat};
use crate::hash::StateHash;

/// Substeps per search for contacts. One is a third cheaper and doubles the error of impacts.
const SUBSTEPS: u32 = 2;
/// Distance in m added to every margin, so that resting contacts are kept.
const MARGIN: f64 = 1e-4;
/// Robots farther apart than this many metres of free air, and that far from the rim, may stride.
const STRIDE_CLEARANCE: f64 = 0.02;
/// Stiffness of a foot (skid, blade edge, hull corner) on the ground, as the frequency in Hz of a
/// quarter of the robot on it. Lower lets blades sink into the ring, higher needs shorter steps.
const FOOT_HZ: f64 = 120.0;
/// Damping ratio of a foot.
const FOOT_DAMPING: f64 = 1.0;
/// A driven wheel below this share of its free speed at the effort given counts as stalled.
const STALLED_SHARE: f64 = 0.1;

/// Where a robot is and how it moves.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pose {
    /// Design origin in ring coordinates, m.
    pub(crate) origin: DVec3,
    /// Design axes to ring axes.
    pub(crate) rotation: DMat3,
    /// The same as a quaternion.
    pub(crate) quaternion: DQuat,
    /// Velocity of the design origin, m/s.
    pub(crate) velocity: DVec3,
    /// Angular velocity in ring axes, rad/s.
    pub(crate) spin: DVec3,
}

/// What a wheel is doing.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct WheelState {
    /// Load in N, from ring and opponent together.
    pub(crate) load_n: f64,
    /// Slip along its rolling direction, m/s.
    pub(crate) slip_along_m_s: f64,
    /// Slip across, m/s.
    pub(crate) slip_across_m_s: f64,
    /// Whether the tread slides.
    pub(crate) sliding: bool,
    /// Whether a motor turns it.
    pub(crate) driven: bool,
    /// Turning speed, rad/s.
    pub(crate) speed_rad_s: f64,
}

/// What the opponent does to a robot by touch.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Touch {
    /// Mean contact point in the design frame, m.
    pub(crate) at_body: DVec3,
    /// Total force on the robot in its own axes, N.
    pub(crate) push_body: DVec3,
}

/// Two robots on a ring.
#[derive(Debug, Clone)]
pub(crate) struct World {
    ring: RingShape,
    gravity: f64,
    grip: f64,
    pub(super) machines: [Machine; 2],
    pub(super) bodies: [Body; 2],
    drives: [Vec<GroupDrive>; 2],
    treads: [Vec<Contact>; 2],
    wheel_states: [Vec<WheelState>; 2],
    feet: Vec<Contact>,
    feet_before: Vec<Contact>,
    encounter: Encounter,
    touch: [Option<Touch>; 2],
    borne: [f64; 2],
    on_floor: [bool; 2],
    substep: f64,
    effort: [[f64; 2]; 2],
    motor_work: f64,
    face: Vec<DVec3>,
    /// 1, or −1 to sweep in the order of the mirrored scene.
    sweep: f64,
}

impl World {
    /// Both robots at the ring's centre and at rest; put them down before anything else.
    /// `ring_grip`: grip of this ring today relative to clean painted board.
    pub(crate) fn new(arena: &Arena, machines: [Machine; 2], ring_grip: f64) -> Self {
        let bodies = [Body::new(&machines[0]), Body::new(&machines[1])];
        let treads = [0, 1].map(|i: usize| wheel_contacts(i, &machines[i]));
        let drives = [0, 1].map(|i: usize| vec![GroupDrive::default(); machines[i].groups.len()]);
        let state = |w: &WheelNumbers| WheelState {
            driven: w.driven,
            ..WheelState::default()
        };
        let wheel_states = [0, 1].map(|i: usize| machines[i].wheels.iter().map(state).collect());
        let encounter = Encounter::new(&machines);
        Self {
            ring: RingShape {
                radius: 0.5 * arena.ring.diameter_m,
                height: arena.ring.height_m,
            },
            gravity: arena.gravity,
            grip: ring_grip,
            machines,
            bodies,
            drives,
            treads,
            wheel_states,
            feet: Vec::with_capacity(64),
            feet_before: Vec::with_capacity(64),
            encounter,
            touch: [None; 2],
            borne: [0.0; 2],
            on_floor: [false; 2],
            substep: 5e-4,
            effort: [[0.0; 2]; 2],
            motor_work: 0.0,
            face: Vec::with_capacity(16),
            sweep: 1.0,
        }
    }

    /// Sweeps contacts in the order of the mirrored scene. Gauss-Seidel depends on the order: only
    /// so does the mirrored scene give the mirrored result.
    pub(crate) fn mirror_sweeps(&mut self) {
        self.sweep = -1.0;
    }

    /// Puts a robot down at rest with its design origin over (x, y) and its nose at `heading`.
    pub(crate) fn put_down(&mut self, seat: Seat, x_m: f64, y_m: f64, heading_rad: f64) {
        let machine = &self.machines[seat];
        let body = &mut self.bodies[seat];
        let half = 0.5 * heading_rad;
        *body = Body::new(machine);
        body.q = DQuat::from_xyzw(0.0, 0.0, maths::sin(half), maths::cos(half));
        body.turn_matrices(machine);
        body.x = DVec3::new(x_m, y_m, 0.0) + body.r * machine.centre;
        self.treads[seat] = wheel_contacts(seat, machine);
        self.encounter = Encounter::new(&self.machines);
        self.feet_before.clear();
        self.feet.clear();
        self.touch = [None; 2];
        self.borne = [0.0; 2];
        self.on_floor = [false; 2];
    }

    /// Moves on by `ms` milliseconds (1, or 2 where [`World::may_stride`]) at constant effort
    /// (per robot: left, right, −1 to 1).
    pub(crate) fn advance(&mut self, ms: u32, effort: [[f64; 2]; 2]) {
        let span = f64::from(ms) * 1e-3;
        let h = span / f64::from(SUBSTEPS);
        let scale = h / self.substep;
        self.substep = h;
        self.effort = effort;
        self.find(span, h);
        self.motor_work = 0.0;
        for k in 0..SUBSTEPS {
            self.one_substep(h, if k == 0 { scale } else { 1.0 });
        }
        for c in self
            .encounter
            .contacts_mut()
            .iter_mut()
            .chain(self.feet.iter_mut())
        {
            c.measure(&self.bodies);
        }
        self.take_stock(h);
    }

    fn find(&mut self, span: f64, h: f64) {
        for i in 0..2 {
            let body = &self.bodies[i];
            for (contact, wheel) in self.treads[i].iter_mut().zip(&self.machines[i].wheels) {
                ready_tread(contact, wheel, body, self.grip, h);
            }
        }
        std::mem::swap(&mut self.feet, &mut self.feet_before);
        self.feet.clear();
        for i in 0..2 {
            self.find_feet(i, span);
        }
        carry_over(&mut self.feet, &self.feet_before, span);
        in_sweep_order(&mut self.feet, self.sweep);
        self.encounter
            .find(&self.machines, &self.bodies, span, self.grip, h);
        in_sweep_order(self.encounter.contacts_mut(), self.sweep);
    }

    /// Feet on ring top and floor, and lower faces across the rim.
    fn find_feet(&mut self, i: usize, span: f64) {
        let body = &self.bodies[i];
        let machine = &self.machines[i];
        let speed = body.v.z.abs() + machine.reach * body.w.length();
        let margin = span * (speed + self.gravity * span) + MARGIN;
        let robot = u32::try_from(i).unwrap_or(0) << 27;
        let quarter = 0.25 * machine.mass;
        let omega = maths::TAU * FOOT_HZ;
        let (stiffness, damping) = (
            quarter * omega * omega,
            2.0 * FOOT_DAMPING * quarter * omega,
        );
        let at_rim = body.x.truncate().length() + machine.reach > self.ring.radius;
        let row = DVec3::new(body.r.x_axis.z, body.r.y_axis.z, body.r.z_axis.z);
        for (k, foot) in machine.feet.iter().enumerate() {
            if !at_rim && body.x.z + row.dot(foot.at) > margin {
                continue;
            }
            let key = 0x1000_0000 | robot | u32::try_from(k).unwrap_or(0);
            if let Some(mut c) = ground::foot_on_ground(key, i, body, foot.at, self.ring, margin) {
                c.stiffness = stiffness;
                c.damping = damping;
                c.grip_peak = foot.friction;
                c.grip_sliding = foot.friction;
                self.feet.push(c);
            }
        }
        if !at_rim {
            return;
        }
        let inverse = body.r.transpose();
        let up = body.r.z_axis;
        let feet = &mut self.feet;
        let ring = self.ring;
        let mut face_contacts = |face: &[DVec3], up: DVec3, piece: u32, friction: f64| {
            ground::face_on_rim(face, up, ring, margin, |k, p, rim, gap| {
                let key = 0x2000_0000 | robot | (piece << 8) | u32::try_from(k).unwrap_or(0);
                let mut c = Contact::new(key, i, WORLD, up);
                c.anchor_a = inverse * (p - body.x);
                c.anchor_b = rim;
                c.gap = gap;
                c.stiffness = stiffness;
                c.damping = damping;
                c.grip_peak = friction;
                c.grip_sliding = friction;
                feet.push(c);
            });
        };
        for (piece, prism) in machine.hull.iter().enumerate() {
            ground::lower_face(body, &prism.outline, prism.low, &mut self.face);
            let piece = u32::try_from(piece).unwrap_or(0);
            face_contacts(&self.face, up, piece, prism.friction);
        }
        if let Some(sheet) = &machine.sheet {
            // Counter-clockwise from above: tip right, tip left, back left, back right.
            let face = [1, 0, 3, 2].map(|k: usize| body.place(sheet.corners[k]));
            face_contacts(&face, body.r * sheet.normal, 0xff, sheet.friction);
        }
    }

    fn one_substep(&mut self, h: f64, scale: f64) {
        let (machines, bodies) = (&self.machines, &mut self.bodies);
        for i in 0..2 {
            drive::motor_lines(
                &machines[i],
                &bodies[i],
                self.effort[i],
                h,
                &mut self.drives[i],
            );
            bodies[i].fall(&machines[i], self.gravity, h);
            drive::spin_up(&machines[i], &mut bodies[i], &self.drives[i], h);
            roll(&machines[i], &mut bodies[i], &self.treads[i]);
        }
        for i in 0..2 {
            let rolling = Rolling::about(bodies[i].axle);
            for (contact, wheel) in self.treads[i].iter_mut().zip(&machines[i].wheels) {
                place_tread(contact, wheel, &bodies[i], &rolling, self.ring);
            }
        }
        let between = self.encounter.contacts_mut();
        for c in between.iter_mut().chain(self.feet.iter_mut()) {
            c.measure(bodies);
            c.begin(machines, bodies, &self.drives, h, scale);
        }
        for c in self.treads.iter_mut().flatten() {
            c.begin(machines, bodies, &self.drives, h, scale);
        }
        for c in between.iter_mut().chain(self.feet.iter_mut()) {
            c.solve(machines, bodies, &self.drives, h);
        }
        for c in self.treads.iter_mut().flatten() {
            c.solve(machines, bodies, &self.drives, h);
        }
        for i in 0..2 {
            self.motor_work += drive::motor_work(&machines[i], &bodies[i], &self.drives[i], h);
        }
        for i in 0..2 {
            bodies[i].drift(&machines[i], h);
        }
    }

    /// Notes what others ask for: loads, slips, touch, who bears whom, who is out.
    fn take_stock(&mut self, h: f64) {
        for i in 0..2 {
            for (k, c) in self.treads[i].iter_mut().enumerate() {
                let state = &mut self.wheel_states[i][k];
                let wheel = &self.machines[i].wheels[k];
                state.load_n = c.impulse[0] / h;
                state.sliding = c.sliding && c.impulse[0] > 0.0;
                state.speed_rad_s = self.bodies[i].wheel_speed(&self.machines[i], wheel.group);
                if c.impulse[0] > 0.0 {
                    c.note_slip(&self.bodies);
                    [state.slip_along_m_s, state.slip_across_m_s] = c.slip;
                } else {
                    (state.slip_along_m_s, state.slip_across_m_s) = (0.0, 0.0);
                }
            }
        }
        let mut force = [DVec3::ZERO; 2];
        let mut weight = [0.0; 2];
        let mut place = [DVec3::ZERO; 2];
        for c in self.encounter.contacts() {
            let f = c.force(h);
            let size = f.length();
            for (robot, f, anchor) in [(c.a, f, c.anchor_a), (c.b, -f, c.anchor_b)] {
                force[robot] += f;
                weight[robot] += size;
                place[robot] += size * anchor;
            }
            if let (Some(t), true) = (c.tread, c.impulse[0] > 0.0) {
                let state = &mut self.wheel_states[c.a][t.wheel];
                state.load_n += c.impulse[0] / h;
                state.sliding |= c.sliding;
            }
        }
        for i in 0..2 {
            let body = &self.bodies[i];
            let machine = &self.machines[i];
            self.borne[i] = force[i].z / (machine.mass * self.gravity.max(1e-9));
            self.touch[i] = (weight[i] > 1e-6).then(|| Touch {
                at_body: place[i] / weight[i] + machine.centre,
                push_body: body.r.transpose() * force[i],
            });
            let beyond = body.x.truncate().length() + machine.reach > self.ring.radius;
            let level = 1e-3 - self.ring.height;
            self.on_floor[i] = beyond
                && (self.feet.iter().any(|c| {
                    c.a == i && body.place(c.anchor_a).z < level && c.anchor_b.z < 0.5 * level
                }) || self.treads[i].iter().any(|c| body.x.z + c.arm_a.z < level));
        }
    }

    /// Whether both robots are so far from each other and from the rim that steps of two
    /// milliseconds lose nothing: a function of the state alone.
    pub(crate) fn may_stride(&self) -> bool {
        let apart = self.bodies[0].x.distance(self.bodies[1].x);
        let reach = self.machines[0].reach + self.machines[1].reach;
        if apart < reach + STRIDE_CLEARANCE {
            return false;
        }
        (0..2).all(|i| {
            let b = &self.bodies[i];
            b.x.truncate().length() + self.machines[i].reach + STRIDE_CLEARANCE < self.ring.radius
        })
    }

    /// Pose of the design frame.
    pub(crate) fn pose(&self, seat: Seat) -> Pose {
        let b = &self.bodies[seat];
        let arm = b.r * self.machines[seat].centre;
        Pose {
            origin: b.x - arm,
            rotation: b.r,
            quaternion: b.q,
            velocity: b.v - b.w.cross(arm),
            spin: b.w,
        }
    }

    /// Wheels in file order.
    pub(crate) fn wheels(&self, seat: Seat) -> &[WheelState] {
        &self.wheel_states[seat]
    }

    /// The machine of a seat.
    pub(crate) fn machine(&self, seat: Seat) -> &Machine {
        &self.machines[seat]
    }

    /// Whether motors given at least half effort hardly turn.
    pub(crate) fn motors_stalled(&self, seat: Seat) -> bool {
        let machine = &self.machines[seat];
        let mut stalled = false;
        for m in &machine.motors {
            let u = self.effort[seat][m.channel];
            if u.abs() < 0.5 {
                continue;
            }
            let free = m.torque_per_volt * u * machine.pack.voltage / m.damping.max(1e-12);
            let speed = self.bodies[seat].wheel_speed(machine, m.group);
            if speed / free > STALLED_SHARE {
                return false;
            }
            stalled = true;
        }
        stalled
    }

    /// Share of a robot's weight that the opponent bears (negative: it is pressed down).
    pub(crate) fn borne_by_opponent(&self, seat: Seat) -> f64 {
        self.borne[seat]
    }

    /// What the opponent does to it by touch.
    pub(crate) fn touch(&self, seat: Seat) -> Option<Touch> {
        self.touch[seat]
    }

    /// Whether it touches the floor outside.
    pub(crate) fn on_floor(&self, seat: Seat) -> bool {
        self.on_floor[seat]
    }

    /// Whether every number of the state is finite.
    pub(crate) fn finite(&self) -> bool {
        self.bodies.iter().all(Body::finite)
    }

    /// Energy of both robots and of all contact springs, and the motors' work since the last call
    /// of `advance` began, in J.
    #[cfg(test)]
    pub(crate) fn energy(&self) -> (f64, f64) {
        let bodies: f64 = (0..2)
            .map(|i| self.bodies[i].energy(&self.machines[i], self.gravity))
            .sum();
        let contacts = self.encounter.contacts().iter().chain(&self.feet);
        let springs: f64 = contacts.map(Contact::spring_energy).sum();
        let treads: f64 = (0..2)
            .flat_map(|i| {
                self.treads[i]
                    .iter()
                    .zip(&self.machines[i].wheels)
                    .map(move |p| (i, p))
            })
            .map(|(i, (c, w))| {
                let mut c = c.clone();
                let rolling = Rolling::about(self.bodies[i].axle);
                place_tread(&mut c, w, &self.bodies[i], &rolling, self.ring);
                c.spring_energy()
            })
            .sum();
        (bodies + springs + treads, self.motor_work)
    }

    /// Deepest overlap of any contact between the robots, given overlaps included, in m.
    #[cfg(test)]
    pub(crate) fn depth(&self) -> f64 {
        self.encounter
            .contacts()
            .iter()
            .map(|c| -c.gap)
            .fold(0.0, f64::max)
    }

    /// Mixes the whole moving state into `hash`.
    pub(crate) fn hash(&self, hash: &mut StateHash) {
        for b in &self.bodies {
            for v in [b.x, b.v, b.w] {
                hash.numbers(&v.to_array());
            }
            hash.numbers(&b.q.to_array());
            hash.numbers(&b.s);
        }
    }
}

/// Orders contacts by kind, then from the left of the robot that is pushed to its right.
fn in_sweep_order(contacts: &mut [Contact], sweep: f64) {
    let order = |c: &Contact| (c.key >> 28, c.a, c.b);
    contacts.sort_by(|p, q| {
        order(p)
            .cmp(&order(q))
            .then((sweep * q.anchor_a.y).total_cmp(&(sweep * p.anchor_a.y)))
            .then(p.anchor_a.x.total_cmp(&q.anchor_a.x))
            .then(p.anchor_a.z.total_cmp(&q.anchor_a.z))
    });
}

/// One contact per wheel, without history.
fn wheel_contacts(robot: usize, machine: &Machine) -> Vec<Contact> {
    machine
        .wheels
        .iter()
        .enumerate()
        .map(|(k, w)| {
            let mut c = Contact::new(0, robot, WORLD, DVec3::Z);
            c.tread = Some(Tread {
                wheel: k,
                group: w.group,
                radius: w.radius,
            });
            c.stiffness = w.stiffness;
            c.damping = w.damping;
            c
        })
        .collect()
}

/// Load changes by this share before the grip that goes with it is worked out afresh; in between
/// its slope there serves, which is off by less than 0.1 % for every exponent up to 1/3.
const SAME_LOAD: f64 = 0.06;

/// What of a tread holds for the whole search: its radius at this turn, its grip at this load.
fn ready_tread(contact: &mut Contact, wheel: &WheelNumbers, body: &Body, grip: f64, h: f64) {
    if wheel.run_out > 0.0
        && let Some(t) = &mut contact.tread
    {
        let turn = body.theta[wheel.group] + wheel.run_out_phase;
        t.radius = wheel.radius + wheel.run_out * maths::cos(turn);
    }
    let load = (contact.impulse[0] / h).max(0.02 * wheel.reference_load);
    let change = load / contact.grip_load - 1.0;
    if change.abs() > SAME_LOAD || contact.grip_load <= 0.0 {
        contact.grip_load = load;
        let share = grip_at_load(1.0, load, wheel.reference_load, wheel.load_exponent);
        contact.grip_share = share;
        contact.grip_peak = wheel.grip_peak * grip * share;
        contact.grip_sliding = wheel.grip_sliding * grip * share;
    } else {
        // d(N⁻ⁿ)/dN · N = −n N⁻ⁿ.
        let share = grip * contact.grip_share * (1.0 - wheel.load_exponent * change);
        contact.grip_peak = wheel.grip_peak * share;
        contact.grip_sliding = wheel.grip_sliding * share;
    }
}

/// Brings a wheel's ground contact up to date with the pose.
fn place_tread(
    contact: &mut Contact,
    wheel: &WheelNumbers,
    body: &Body,
    rolling: &Rolling,
    ring: RingShape,
) {
    let radius = contact.tread.map_or(wheel.radius, |t| t.radius);
    let centre = body.place(wheel.centre);
    let touch = ground::tread_on_ground(centre, rolling, radius, ring);
    contact.gap = touch.gap;
    contact.normal = touch.normal;
    (contact.along, contact.across) = (rolling.along, rolling.across);
    if touch.normal.z < 1.0 {
        let along = body.axle.cross(touch.normal);
        let length = along.length();
        if length > 1e-6 {
            contact.along = along * (1.0 / length);
            contact.across = touch.normal.cross(contact.along);
        } else {
            (contact.along, contact.across) = tangents(touch.normal);
        }
    }
    contact.arm_a = touch.point - body.x;
}

/// Rolling resistance: a torque of c·N·r against each wheel's turning, never more than stops it.
fn roll(machine: &Machine, body: &mut Body, treads: &[Contact]) {
    let mut felt = 0.0;
    for (c, w) in treads.iter().zip(&machine.wheels) {
        if c.impulse[0] <= 0.0 {
            continue;
        }
        let group = &machine.groups[w.group];
        let speed = body.wheel_speed(machine, w.group);
        let most = group.inertia * speed.abs();
        let impulse = (w.rolling * c.impulse[0] * w.radius).min(most);
        let signed = -impulse.copysign(speed);
        body.s[w.group] += signed / group.inertia;
        // The ground turns the wheel in space, not against the chassis: (1 − κ) is felt there.
        felt += (1.0 - group.kappa) * signed;
    }
    body.w += body.inverse_inertia * (felt * body.axle);
}
