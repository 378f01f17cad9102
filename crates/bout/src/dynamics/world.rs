//! Two robots on a ring, moved on millisecond by millisecond.

use glam::{DQuat, DVec3};
use quantity::maths;

use super::body::{self, Body};
use super::contact::{Contact, Rows, Step};
use super::drive::{self, GroupDrive};
use super::ground::{RingShape, Rolling};
use super::joint;
use super::level::{self, Level, Standing};
use super::machine::Machine;
use super::magnets::pull_down;
use super::meet::{Encounter, carry_over};
use super::power::Power;
use super::promise::{self, Promise};
use super::rebound;
use super::relief::Relief;
use super::scrub::scrub;
use super::stock::Touch;
use super::tread::{place_tread, ready_tread, roll, wheel_contacts};
use crate::arena::{Arena, Seat};
use crate::carry::Carry;
use crate::hash::StateHash;

/// Substeps of a step while robots touch or a tyre stands on the rim, where the direction of what
/// holds it changes as it goes. With one the error of impacts doubles. Where nothing can touch, or the
/// robots hardly move against each other, one a millisecond does.
const SUBSTEPS: u32 = 2;
/// Robots that touch and move against each other slower than this in m/s have one substep a
/// millisecond, with a second sweep over what is between them. Usual 0.1 to 0.5; more saves little
/// and blurs hits.
const QUIET: f64 = 0.4;
/// Sweeps over the ground contacts of a substep while nothing is between the robots. The second
/// costs a tenth of a second substep and brings the friction of all wheels to agree.
const GROUND_SWEEPS: u32 = 2;
/// Change of speed in m/s of the lighter robot within a substep from which it is a blow.
const HIT: f64 = 0.02;
/// Sweeps over the contacts between the robots in the substep of a blow: with one, the contact that
/// comes first takes too much of it and the robots jump up or turn. Blows are rare: it costs nothing.
const HIT_SWEEPS: u32 = 8;
/// Distance in m added to every margin, so that resting contacts are kept.
pub(super) const MARGIN: f64 = 1e-4;
/// Robots farther apart than this many metres of free air, and that far from the rim, may stride.
const STRIDE_CLEARANCE: f64 = 0.02;

/// Treads stay on the ring's top for the coming step if they are this many metres further from the
/// rim than they can drive in it: what a blow within the step may add.
const LEVEL_CLEARANCE: f64 = 2e-3;

/// Two robots on a ring.
#[derive(Debug, Clone)]
pub(crate) struct World {
    pub(super) ring: RingShape,
    /// How high its top is where; none: it is flat.
    pub(super) relief: Option<Relief>,
    /// Whether magnets hold on it.
    steel: bool,
    /// Gravity in m/s², straight down but for tests on a slope.
    pub(super) gravity: DVec3,
    pub(super) grip: f64,
    pub(super) machines: [Machine; 2],
    pub(super) bodies: [Body; 2],
    pub(super) drives: [Vec<GroupDrive>; 2],
    pub(super) power: [Power; 2],
    pub(super) treads: [Vec<Contact>; 2],
    pub(super) feet: [Vec<Contact>; 2],
    pub(super) feet_before: [Vec<Contact>; 2],
    pub(super) level: [Level; 2],
    /// How long the search for each robot's feet holds.
    pub(super) below: [Promise; 2],
    /// Of contacts between the robots, and of each robot's feet and treads.
    rows_between: Vec<Rows>,
    rows: [Vec<Rows>; 2],
    pub(super) encounter: Encounter,
    pub(super) touch: [Option<Touch>; 2],
    pub(super) borne: [f64; 2],
    pub(super) on_floor: [bool; 2],
    pub(super) refined: u32,
    pub(super) substep: f64,
    pub(super) effort: [[f64; 2]; 2],
    pub(super) keeps_account: bool,
    /// Work of the gadgets' motors in the last step, J.
    gadget_work: f64,
    /// Work of all motors and magnets in it, J, where the account is kept.
    pub(super) given_work: f64,
    /// Energy the last step made from nothing, as a share of what it may make, where the account is
    /// kept.
    pub(super) made: f64,
    pub(super) face: Vec<DVec3>,
    /// 1, or −1 to sweep in the order of the mirrored scene.
    pub(super) sweep: f64,
}

impl World {
    /// Both robots at the ring's centre and at rest; put them down before anything else.
    /// `ring_grip`: grip of this ring today relative to clean painted board.
    pub(crate) fn new(arena: &Arena, machines: [Machine; 2], ring_grip: f64) -> Self {
        let bodies = [Body::new(&machines[0]), Body::new(&machines[1])];
        let treads = [0, 1].map(|i: usize| wheel_contacts(i, &machines[i]));
        let drives = [0, 1].map(|i: usize| vec![GroupDrive::default(); machines[i].groups.len()]);
        let encounter = Encounter::new(&machines);
        let power = [Power::new(&machines[0]), Power::new(&machines[1])];
        Self {
            ring: RingShape {
                radius: 0.5 * arena.ring.diameter_m,
                height: arena.ring.height_m,
            },
            relief: None,
            steel: arena.ring.surface.is_steel(),
            gravity: DVec3::new(0.0, 0.0, -arena.gravity),
            grip: ring_grip,
            machines,
            bodies,
            drives,
            power,
            treads,
            feet: [Vec::with_capacity(32), Vec::with_capacity(32)],
            feet_before: [Vec::with_capacity(32), Vec::with_capacity(32)],
            level: [Level::default(), Level::default()],
            below: [Promise::default(); 2],
            rows_between: Vec::with_capacity(64),
            rows: [Vec::with_capacity(64), Vec::with_capacity(64)],
            encounter,
            touch: [None; 2],
            borne: [0.0; 2],
            on_floor: [false; 2],
            refined: 1,
            substep: 5e-4,
            effort: [[0.0; 2]; 2],
            keeps_account: cfg!(debug_assertions),
            gadget_work: 0.0,
            given_work: 0.0,
            made: 0.0,
            face: Vec::with_capacity(16),
            sweep: 1.0,
        }
    }

    /// Sweeps contacts in the order of the mirrored scene. Gauss-Seidel depends on the order: only
    /// so does the mirrored scene give the mirrored result.
    pub(crate) fn mirror_sweeps(&mut self) {
        self.sweep = -1.0;
    }

    /// Makes the ring's top uneven; before anybody is put down.
    pub(crate) fn lay(&mut self, relief: Option<Relief>) {
        self.relief = relief;
    }

    /// Lets a robot start as warm, as empty and as dirty as `carry` says.
    pub(crate) fn carry(&mut self, seat: Seat, carry: &Carry) {
        self.machines[seat].carry_dirt(&carry.tyres_m);
        self.power[seat].carry(&mut self.machines[seat], carry.used_c, &carry.motors);
    }

    /// Pack and motors of a seat.
    pub(crate) fn power(&self, seat: Seat) -> &Power {
        &self.power[seat]
    }

    /// Puts a robot down at rest with its design origin over (x, y) and its nose at `heading`.
    pub(crate) fn put_down(&mut self, seat: Seat, x_m: f64, y_m: f64, heading_rad: f64) {
        let machine = &self.machines[seat];
        let body = &mut self.bodies[seat];
        let half = 0.5 * heading_rad;
        *body = Body::new(machine);
        body.q = DQuat::from_xyzw(0.0, 0.0, maths::sin(half), maths::cos(half));
        body.turn_matrices(machine);
        let up = self.relief.as_ref().map_or(0.0, Relief::highest);
        body.x = DVec3::new(x_m, y_m, up) + body.r * machine.centre;
        self.treads[seat] = wheel_contacts(seat, machine);
        self.drives[seat].fill(GroupDrive::default());
        self.encounter = Encounter::new(&self.machines);
        self.feet_before[seat].clear();
        self.feet[seat].clear();
        self.below[seat].end();
        self.touch = [None; 2];
        self.borne = [0.0; 2];
        self.on_floor = [false; 2];
    }

    /// Sends the gadgets of a robot: per mille of their way to the second end, or below 0: nowhere.
    pub(crate) fn send(&mut self, seat: Seat, gadgets: &[i16]) {
        let joints = &self.machines[seat].joints;
        for (joint, state) in joints.iter().zip(&mut self.bodies[seat].joints) {
            let Some(motor) = &joint.motor else { continue };
            let to = gadgets.get(motor.output).copied().unwrap_or(-1);
            state.goal = if to < 0 {
                joint::OFF
            } else {
                f64::from(to) / 1000.0 * joint.way
            };
        }
    }

    /// Cuts every substep into `parts`.
    pub(crate) fn refine(&mut self, parts: u32) {
        self.refined = parts.max(1);
    }

    /// Moves on by `ms` milliseconds (1, or 2 where [`World::may_stride`]) at constant effort
    /// (per robot: left, right, −1 to 1).
    pub(crate) fn advance(&mut self, ms: u32, effort: [[f64; 2]; 2]) {
        let span = f64::from(ms) * 1e-3;
        self.effort = effort;
        self.find(span);
        let apart = self.encounter.contacts().is_empty();
        let jointed = self.machines.iter().any(|m| !m.joints.is_empty());
        let on_rim = self.treads.iter().flatten().any(Contact::is_tread_on_rim);
        let quiet = !apart && !jointed && !on_rim && self.encounter.is_quiet(QUIET);
        let one_each = (apart && !on_rim) || quiet;
        let parts = if one_each { ms } else { SUBSTEPS };
        let parts = parts * self.refined;
        let h = span / f64::from(parts);
        let scale = h / self.substep;
        self.substep = h;
        (self.gadget_work, self.given_work) = (0.0, 0.0);
        let opened = self.keeps_account.then(|| self.open_account());
        let before = if rebound::may_hit(self.encounter.contacts()) {
            rebound::motion(&self.machines, &self.bodies)
        } else {
            0.0
        };
        for k in 0..parts {
            let scale = if k == 0 { scale } else { 1.0 };
            self.one_substep(Step { h, scale }, quiet);
        }
        for (machine, body) in self.machines.iter_mut().zip(&self.bodies) {
            if machine.gathers_dirt {
                machine.gather_dirt(body, span);
            }
        }
        rebound::spring_apart(
            self.encounter.contacts_mut(),
            &self.rows_between,
            &self.machines,
            &mut self.bodies,
            before + self.gadget_work.max(0.0),
        );
        if let Some(opened) = opened {
            self.given_work += self.gadget_work;
            self.made = self.close_account(&opened, span);
            debug_assert!(
                self.made <= 1.0 || !self.finite(),
                "a step made {} times the energy it may",
                self.made
            );
        }
        self.take_stock(h);
        for (power, machine) in self.power.iter_mut().zip(&mut self.machines) {
            power.settle(machine, span);
        }
    }

    pub(super) fn find(&mut self, span: f64) {
        // Impulses are those of the last substep: with its length they say the load.
        let h = self.substep;
        for i in 0..2 {
            let body = &self.bodies[i];
            for (contact, wheel) in self.treads[i].iter_mut().zip(&self.machines[i].wheels) {
                ready_tread(contact, wheel, body, self.grip, h);
                if contact.offset < 0.0 {
                    contact.work_off(span);
                }
            }
        }
        for i in 0..2 {
            let (machine, body) = (&self.machines[i], &self.bodies[i]);
            let pace = promise::downward(machine, body, self.gravity, span);
            let holds = self.below[i].holds(pace, span) && self.level[i].on;
            if holds && self.is_well_inside(i, span) {
                for c in &mut self.feet[i] {
                    c.go_on(&self.bodies, span);
                }
                continue;
            }
            for c in &mut self.feet[i] {
                c.measure(&self.bodies);
            }
            std::mem::swap(&mut self.feet[i], &mut self.feet_before[i]);
            self.feet[i].clear();
            let way = self.below[i].renew() + MARGIN;
            let margin = way + self.relief.as_ref().map_or(0.0, Relief::highest);
            self.find_feet(i, margin);
            carry_over(&mut self.feet[i], &self.feet_before[i], span);
            in_sweep_order(&mut self.feet[i], self.sweep);
            self.level[i].on = self.relief.is_none() && self.stands_level(i, span);
            let (feet, treads) = (self.feet[i].len(), self.treads[i].len());
            self.level[i].ready(feet, treads);
            self.rows[i].resize(feet + treads, Rows::default());
        }
        let (machines, bodies) = (&self.machines, &self.bodies);
        if self.encounter.find(machines, bodies, span, self.grip, h) {
            let between = self.encounter.contacts_mut();
            in_sweep_order(between, self.sweep);
            self.rows_between.clear();
            self.rows_between.resize(between.len(), Rows::default());
        }
    }

    /// One substep. `quiet`: the robots touch and hardly move against each other.
    pub(super) fn one_substep(&mut self, step: Step, quiet: bool) {
        let h = step.h;
        let (machines, bodies) = (&self.machines, &mut self.bodies);
        let before = [bodies[0].over(), bodies[1].over()];
        let mut pulled = [[DVec3::ZERO; 2]; 2];
        for i in 0..2 {
            drive::motor_lines(
                &machines[i],
                &mut self.power[i],
                &bodies[i],
                self.effort[i],
                h,
                &mut self.drives[i],
            );
            bodies[i].fall(&machines[i], self.gravity, h);
            if self.steel && !machines[i].magnets.is_empty() {
                pulled[i] = pull_down(&machines[i], &mut bodies[i], self.ring, h);
            }
            drive::spin_up(&machines[i], &mut bodies[i], &mut self.drives[i], step);
            roll(&machines[i], &mut bodies[i], &self.treads[i]);
            scrub(&machines[i], &mut bodies[i], &self.treads[i]);
            if !machines[i].joints.is_empty() {
                joint::begin(
                    &machines[i],
                    &mut bodies[i],
                    self.power[i].volts,
                    self.gravity,
                    step,
                );
            }
        }
        // In rest against each other, rows hold as long as the search does.
        let keep = quiet && (step.scale - 1.0).abs() < 1e-9;
        let between = self.encounter.contacts_mut();
        for (c, rows) in between.iter_mut().zip(&mut self.rows_between) {
            c.measure(bodies);
            c.begin(machines, bodies, &self.drives, rows, step, keep);
        }
        for i in 0..2 {
            let (feet, treads) = (&mut self.feet[i], &mut self.treads[i]);
            let level = &mut self.level[i];
            if level.on {
                let (machine, body, drive) = (&machines[i], &mut bodies[i], &self.drives[i]);
                level.begin(machine, body, drive, feet, treads, step);
                continue;
            }
            let rolling = Rolling::about(bodies[i].axle);
            for (contact, wheel) in treads.iter_mut().zip(&machines[i].wheels) {
                let at = place_tread(contact, wheel, &bodies[i], &rolling, self.ring);
                contact.touch_down(&at, &bodies[i]);
                if let Some(relief) = &self.relief {
                    relief.lift_tread(contact, wheel, &bodies[i]);
                }
            }
            for c in feet.iter_mut() {
                c.measure(bodies);
            }
            for (c, rows) in feet.iter_mut().chain(treads).zip(&mut self.rows[i]) {
                c.begin(machines, bodies, &self.drives, rows, step, false);
            }
        }
        let apart = between.is_empty();
        let sweeps = if apart { GROUND_SWEEPS } else { 1 };
        let jointed = self.machines.iter().any(|m| !m.joints.is_empty());
        for _ in 0..if jointed { joint::SWEEPS } else { 1 } {
            self.sweep_between(h);
            for i in (0..2).filter(|i| self.power[*i].rubs) {
                drive::drag(
                    &self.machines[i],
                    &mut self.bodies[i],
                    &mut self.drives[i],
                    h,
                );
            }
            self.sweep_ground(sweeps, h);
        }
        if quiet {
            self.sweep_between(h);
        }
        let (machines, bodies) = (&self.machines, &mut self.bodies);
        if jointed {
            let loaded = self
                .encounter
                .contacts()
                .iter()
                .chain(self.feet.iter().flatten());
            self.gadget_work += joint::finish(machines, bodies, loaded, h);
        }
        for i in (0..2).filter(|_| self.keeps_account) {
            let [force, moment] = pulled[i];
            let pulling = h * (force.dot(bodies[i].v) + moment.dot(bodies[i].w));
            let turning = drive::motor_work(&machines[i], &bodies[i], &self.drives[i], h);
            self.given_work += pulling + turning;
        }
        for i in 0..2 {
            let before = (apart && self.level[i].on).then_some(before[i]);
            bodies[i].drift(&machines[i], h, before);
        }
        if !apart && self.level.iter().all(|l| l.on) {
            // Together they move with the mean as well; against each other with the new speeds,
            // on which the gaps between them count.
            let late = body::common_change(machines, bodies, &before);
            for b in bodies {
                b.x -= (0.5 * h * late).extend(0.0);
            }
        }
    }

    /// One sweep over the contacts between the robots, more if it finds a blow.
    fn sweep_between(&mut self, h: f64) {
        let (machines, bodies) = (&self.machines, &mut self.bodies);
        let between = self.encounter.contacts_mut();
        let mut gained = 0.0;
        for (c, rows) in between.iter_mut().zip(&mut self.rows_between) {
            gained += c.solve(machines, bodies, &self.drives, rows, h);
        }
        // Also in the substep after it, which begins with the blow's impulses and takes them back.
        if gained.abs() > HIT * machines[0].mass.min(machines[1].mass) {
            for _ in 1..HIT_SWEEPS {
                for (c, rows) in between.iter_mut().zip(&mut self.rows_between) {
                    c.solve(machines, bodies, &self.drives, rows, h);
                }
            }
        }
    }

    /// Sweeps over the ground contacts of both robots.
    fn sweep_ground(&mut self, sweeps: u32, h: f64) {
        let machines = &self.machines;
        let [one, two] = &mut self.bodies;
        let [level_one, level_two] = &mut self.level;
        let [feet_one, feet_two] = &mut self.feet;
        let [treads_one, treads_two] = &mut self.treads;
        let ([m_one, m_two], [d_one, d_two]) = (machines, &self.drives);
        let standing = [
            Standing::new(level_one, m_one, one, d_one, feet_one, treads_one),
            Standing::new(level_two, m_two, two, d_two, feet_two, treads_two),
        ];
        level::sweep(standing, sweeps, h);
        for i in (0..2).filter(|i| !self.level[*i].on) {
            let (feet, treads) = (&mut self.feet[i], &mut self.treads[i]);
            for _ in 0..sweeps {
                let ground = feet.iter_mut().chain(treads.iter_mut());
                for (c, rows) in ground.zip(&mut self.rows[i]) {
                    c.solve(machines, &mut self.bodies, &self.drives, rows, h);
                }
            }
        }
    }

    /// Whether all ground contacts of a robot are sure to be on level ground for `span`: no tread
    /// near the rim, no lower face across it.
    fn stands_level(&self, i: usize, span: f64) -> bool {
        let (machine, body) = (&self.machines[i], &self.bodies[i]);
        let rim = self.level_rim(i, span);
        if self.is_well_inside(i, span) {
            return self.feet[i].iter().all(|c| !c.jointed);
        }
        machine.joints.is_empty()
            && self.feet[i].iter().all(|c| c.normal == DVec3::Z)
            && machine
                .wheels
                .iter()
                .all(|w| body.place(w.centre).truncate().length() + w.radius + w.run_out < rim)
    }

    /// Whether a robot is so far from the rim that no part of it can get there within `span`.
    fn is_well_inside(&self, i: usize, span: f64) -> bool {
        let out = self.bodies[i].x.truncate().length() + self.machines[i].reach;
        out < self.level_rim(i, span)
    }

    /// Distance from the middle within which the ring is sure to be level for `span`.
    fn level_rim(&self, i: usize, span: f64) -> f64 {
        self.ring.radius - span * self.bodies[i].v.length() - LEVEL_CLEARANCE
    }

    /// Whether both robots are so far from each other and from the rim that steps of two
    /// milliseconds lose nothing: a function of the state alone.
    pub(crate) fn may_stride(&self) -> bool {
        let apart = self.bodies[0].x.distance(self.bodies[1].x);
        let reach = self.machines[0].reach + self.machines[1].reach;
        if apart < reach + STRIDE_CLEARANCE || self.relief.is_some() {
            return false;
        }
        (0..2).all(|i| {
            let b = &self.bodies[i];
            b.x.truncate().length() + self.machines[i].reach + STRIDE_CLEARANCE < self.ring.radius
        })
    }

    /// Whether every number of the state is finite.
    pub(crate) fn finite(&self) -> bool {
        self.bodies.iter().all(Body::finite)
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
