//! A robot that stands on level ground, solved in its own level axes.
//!
//! Most contacts of a bout are tyres and feet on the flat ring. There the normal is z and the
//! friction directions are level, so in axes x along the rolling direction, y across it and z up
//! every moment arm has a zero in a known place, and all contacts of a robot share one inverse
//! inertia in these axes. A visit takes a third of the arithmetic of [`Contact::solve`], and the
//! robot's speeds stay in registers from contact to contact. The law of the contact is the same
//! code ([`Contact::press`], [`Contact::rub`]).

use glam::{DVec2, DVec3};

use super::body::Body;
use super::contact::{Contact, Spring, Step};
use super::drive::GroupDrive;
use super::ground::Rolling;
use super::machine::{Machine, SpinGroup};
use super::patch::Patch;

/// The ground contacts of one robot while it stands on level ground.
#[derive(Debug, Clone, Default)]
pub(super) struct Level {
    /// Whether it does, as far as this millisecond's search can tell.
    pub(super) on: bool,
    frame: Frame,
    /// For which tilt and step the rows were worked out.
    holds: Option<Held>,
    feet: Vec<Row>,
    treads: Vec<Row>,
}

/// Rows turn with the robot. They hold as long as it leans as it did, for steps of one length.
#[derive(Debug, Clone, Copy)]
struct Held {
    /// Share of the design's x and y axes that points up.
    tilt: [f64; 2],
    h: f64,
}

/// Rows are worked out afresh once the robot leans otherwise by this in rad: 50 µm at an arm of
/// 0.1 m. More lets loads lag behind, less works them out more often.
const SAME_TILT: f64 = 5e-5;
/// And those of a wheel once its radius has changed by this in m.
const SAME_RADIUS: f64 = 5e-6;

/// Level axes of a robot and its response in them.
#[derive(Debug, Clone, Copy, Default)]
struct Frame {
    /// Rolling direction in ring axes.
    along: DVec2,
    /// Axle: across and up (none of it lies along).
    axle: [f64; 2],
    inverse_mass: f64,
    inverse_inertia: Symmetric,
}

/// A symmetric matrix.
#[derive(Debug, Clone, Copy, Default)]
struct Symmetric {
    xx: f64,
    xy: f64,
    xz: f64,
    yy: f64,
    yz: f64,
    zz: f64,
}

/// What one contact needs for one substep.
#[derive(Debug, Clone, Copy, Default)]
struct Row {
    /// From the centre of mass to the contact.
    arm: DVec3,
    /// What turning about y and z does to the slip along.
    turning: [f64; 2],
    /// Change of angular velocity per unit impulse: normal, along, across.
    turn: [DVec3; 3],
    /// Response of the tread's spin to a unit impulse along: −r/J_e.
    spin: f64,
    /// Way of the tread for a radian of its group.
    lever: f64,
    /// Its radius and J_e of its group.
    radius: f64,
    effective: f64,
    group: usize,
    spring: Spring,
    patch: Patch,
    /// Whether all this is worked out.
    ready: bool,
}

/// Speeds of the centre of mass and of turning in level axes.
#[derive(Debug, Clone, Copy, Default)]
struct Motion {
    v: DVec3,
    w: DVec3,
}

/// A wheel group and what its motors do.
type Turned<'a> = (&'a SpinGroup, &'a GroupDrive);

impl Symmetric {
    /// Times (x, y, 0).
    #[inline]
    fn of_xy(&self, x: f64, y: f64) -> DVec3 {
        DVec3::new(
            self.xx * x + self.xy * y,
            self.xy * x + self.yy * y,
            self.xz * x + self.yz * y,
        )
    }

    /// Times (x, 0, z).
    #[inline]
    fn of_xz(&self, x: f64, z: f64) -> DVec3 {
        DVec3::new(
            self.xx * x + self.xz * z,
            self.xy * x + self.yz * z,
            self.xz * x + self.zz * z,
        )
    }

    /// Times (0, y, z).
    #[inline]
    fn of_yz(&self, y: f64, z: f64) -> DVec3 {
        DVec3::new(
            self.xy * y + self.xz * z,
            self.yy * y + self.yz * z,
            self.yz * y + self.zz * z,
        )
    }
}

impl Frame {
    /// Turns the axes to where the body's axle points.
    fn turn(&mut self, body: &Body) {
        self.along = Rolling::about(body.axle).along.truncate();
        let (c, s) = (self.along.x, self.along.y);
        self.axle = [c * body.axle.y - s * body.axle.x, body.axle.z];
    }

    /// Brings the responses up to date with the body.
    fn respond(&mut self, body: &Body) {
        let (c, s) = (self.along.x, self.along.y);
        let m = &body.inverse_inertia;
        let (xx, xy, yy) = (m.x_axis.x, m.x_axis.y, m.y_axis.y);
        let (xz, yz) = (m.x_axis.z, m.y_axis.z);
        self.inverse_mass = body.inverse_mass;
        // Turned about z by the angle of `along`.
        self.inverse_inertia = Symmetric {
            xx: c * c * xx + 2.0 * c * s * xy + s * s * yy,
            xy: c * s * (yy - xx) + (c * c - s * s) * xy,
            xz: c * xz + s * yz,
            yy: s * s * xx - 2.0 * c * s * xy + c * c * yy,
            yz: c * yz - s * xz,
            zz: m.z_axis.z,
        };
    }

    /// From ring axes to level axes.
    #[inline]
    fn level(&self, p: DVec3) -> DVec3 {
        let (c, s) = (self.along.x, self.along.y);
        DVec3::new(c * p.x + s * p.y, c * p.y - s * p.x, p.z)
    }

    /// From level axes to ring axes.
    #[inline]
    fn ring(&self, p: DVec3) -> DVec3 {
        let (c, s) = (self.along.x, self.along.y);
        DVec3::new(c * p.x - s * p.y, s * p.x + c * p.y, p.z)
    }
}

impl Row {
    /// Starts a substep: the contact goes on with its last impulses, scaled to this substep's
    /// length. As `Contact::begin`.
    #[inline]
    fn begin(
        &mut self,
        frame: &Frame,
        c: &mut Contact,
        turned: Option<Turned<'_>>,
        step: Step,
        gained: &mut Motion,
    ) {
        if self.ready {
            self.spring.bias = c.bias(self.spring.pull, step.h);
        }
        if c.impulse[0] <= 0.0 {
            c.impulse = [0.0; 3];
            return;
        }
        if !self.ready {
            self.prepare(frame, c, turned, step.h);
        }
        c.impulse = c.impulse.map(|i| i * step.scale);
        let [normal, along, across] = c.impulse;
        self.push_normal(gained, frame.inverse_mass, normal);
        self.push_patch(gained, frame.inverse_mass, along, across);
    }

    /// Works out the responses at `arm`; see `Contact::prepare` for the wheel's part.
    fn prepare(&mut self, frame: &Frame, contact: &Contact, turned: Option<Turned<'_>>, h: f64) {
        let inertia = &frame.inverse_inertia;
        let DVec3 { x, y, z } = self.arm;
        let mut pushed = [z, -y];
        self.turning = pushed;
        let mut k_spin = 0.0;
        if let Some((group, drive)) = turned {
            let [across, up] = frame.axle;
            let lever = self.lever * group.kappa;
            let per_inertia = 1.0 / drive.effective_inertia;
            self.spin = -self.lever * per_inertia;
            k_spin = self.lever * self.lever * per_inertia;
            self.turning = [z + lever * across, lever * up - y];
            let lever = lever * group.inertia * per_inertia;
            pushed = [z + lever * across, lever * up - y];
        }
        let normal = inertia.of_xy(y, -x);
        let along = inertia.of_yz(pushed[0], pushed[1]);
        let across = inertia.of_xz(-z, x);
        let mass = frame.inverse_mass;
        self.patch = Patch::new(
            mass + k_spin + self.turning[0] * along.y + self.turning[1] * along.z,
            x * along.z - z * along.x,
            mass + x * across.z - z * across.x,
        );
        self.spring = contact.spring(mass + y * normal.x - x * normal.y, h);
        self.turn = [normal, along, across];
        self.ready = true;
    }

    /// Whether the contact takes part in a sweep. Responses of one that is about to close are worked
    /// out now.
    #[inline]
    fn wakes<'g>(
        &mut self,
        frame: &Frame,
        c: &Contact,
        turned: impl FnOnce() -> Option<Turned<'g>>,
        motion: &Motion,
        h: f64,
    ) -> bool {
        if self.ready {
            return true;
        }
        if c.gap - c.offset + h * self.leaving(motion) > 0.0 {
            return false;
        }
        self.prepare(frame, c, turned(), h);
        true
    }

    /// Speed at which the contact parts.
    #[inline]
    fn leaving(&self, motion: &Motion) -> f64 {
        motion.v.z + self.arm.y * motion.w.x - self.arm.x * motion.w.y
    }

    /// Slip along and across of a contact whose wheel has the spin `s`.
    #[inline]
    fn slip(&self, Motion { v, w }: &Motion, s: f64) -> [f64; 2] {
        [
            v.x + self.turning[0] * w.y + self.turning[1] * w.z - self.lever * s,
            v.y + self.arm.x * w.z - self.arm.z * w.x,
        ]
    }

    #[inline]
    fn push_normal(&self, motion: &mut Motion, mass: f64, normal: f64) {
        motion.v.z += mass * normal;
        motion.w += normal * self.turn[0];
    }

    #[inline]
    fn push_patch(&self, motion: &mut Motion, mass: f64, along: f64, across: f64) {
        motion.v.x += mass * along;
        motion.v.y += mass * across;
        motion.w += along * self.turn[1] + across * self.turn[2];
    }
}

impl Level {
    /// Room for the contacts found, with nothing worked out yet.
    pub(super) fn ready(&mut self, feet: usize, treads: usize) {
        self.feet.resize(feet, Row::default());
        self.treads.resize(treads, Row::default());
        self.holds = None;
    }

    /// Whether rows worked out before still hold.
    fn still_holds(&self, tilt: [f64; 2], h: f64) -> bool {
        self.holds.is_some_and(|held| {
            let leans = (tilt[0] - held.tilt[0]).abs() + (tilt[1] - held.tilt[1]).abs();
            leans < SAME_TILT && (h - held.h).abs() < 1e-9
        })
    }

    /// Starts a substep as `Contact::begin` does for each contact.
    #[allow(clippy::too_many_arguments, reason = "one robot on the ground")]
    pub(super) fn begin(
        &mut self,
        machine: &Machine,
        body: &mut Body,
        drive: &[GroupDrive],
        feet: &mut [Contact],
        treads: &mut [Contact],
        step: Step,
    ) {
        self.frame.turn(body);
        let up = DVec3::new(body.r.x_axis.z, body.r.y_axis.z, body.r.z_axis.z);
        let tilt = [up.x, up.y];
        if !self.still_holds(tilt, step.h) {
            self.holds = Some(Held { tilt, h: step.h });
            self.frame.respond(body);
            for (c, row) in feet.iter().zip(&mut self.feet) {
                row.arm = self.frame.level(body.r * c.anchor_a);
                row.ready = false;
            }
            for (row, wheel) in self.treads.iter_mut().zip(&machine.wheels) {
                row.group = wheel.group;
                row.radius = f64::NEG_INFINITY;
            }
        }
        let frame = self.frame;
        let mut gained = Motion::default();
        for (c, row) in feet.iter_mut().zip(&mut self.feet) {
            c.gap = body.x.z + up.dot(c.anchor_a) - c.anchor_b.z;
            row.begin(&frame, c, None, step, &mut gained);
        }
        // From a wheel's centre to its lowest point.
        let [across, axle_up] = frame.axle;
        let down = DVec3::new(0.0, axle_up, -across);
        for ((c, row), wheel) in treads.iter_mut().zip(&mut self.treads).zip(&machine.wheels) {
            let radius = c.tread.map_or(wheel.radius, |t| t.radius);
            let effective = drive[wheel.group].effective_inertia;
            if (radius - row.radius).abs() > SAME_RADIUS {
                row.radius = radius;
                row.lever = radius * wheel.turns;
                row.arm = frame.level(body.r * wheel.centre) + radius * down;
                row.ready = false;
            }
            if (effective - row.effective).abs() > 0.0 {
                row.effective = effective;
                row.ready = false;
            }
            c.gap = body.x.z + up.dot(wheel.centre) + radius * down.z;
            let turned = (&machine.groups[wheel.group], &drive[wheel.group]);
            row.begin(&frame, c, Some(turned), step, &mut gained);
            if c.impulse[0] > 0.0 {
                body.s[wheel.group] += row.spin * c.impulse[1];
            }
        }
        body.v += frame.ring(gained.v);
        body.w += frame.ring(gained.w);
    }
}

/// A robot on level ground in the middle of a sweep.
pub(super) struct Standing<'a> {
    level: &'a mut Level,
    machine: &'a Machine,
    body: &'a mut Body,
    drive: &'a [GroupDrive],
    feet: &'a mut [Contact],
    treads: &'a mut [Contact],
    motion: Motion,
}

impl<'a> Standing<'a> {
    /// The robot, if it stands on level ground.
    pub(super) fn new(
        level: &'a mut Level,
        machine: &'a Machine,
        body: &'a mut Body,
        drive: &'a [GroupDrive],
        feet: &'a mut [Contact],
        treads: &'a mut [Contact],
    ) -> Option<Self> {
        let motion = Motion {
            v: level.frame.level(body.v),
            w: level.frame.level(body.w),
        };
        level.on.then_some(Self {
            level,
            machine,
            body,
            drive,
            feet,
            treads,
            motion,
        })
    }

    /// Visits all feet.
    fn visit_feet(&mut self, h: f64) {
        let Level { frame, feet, .. } = &mut *self.level;
        for (c, row) in self.feet.iter_mut().zip(feet) {
            if row.wakes(frame, c, || None, &self.motion, h) {
                visit(c, row, frame.inverse_mass, &mut self.motion, &mut 0.0);
            }
        }
    }

    /// Visits one tread.
    #[inline]
    fn visit_tread(wheels: &mut Wheels<'_>, c: &mut Contact, row: &mut Row, h: f64) {
        let Wheels {
            frame,
            machine,
            drive,
            motion,
            spins,
        } = wheels;
        let turned = |group: usize| Some((&machine.groups[group], &drive[group]));
        let group = row.group;
        if row.wakes(frame, c, || turned(group), motion, h) {
            visit(c, row, frame.inverse_mass, motion, &mut spins[group]);
        }
    }

    /// The treads with their rows, and what they act on.
    fn wheels(&mut self) -> (&mut [Contact], &mut [Row], Wheels<'_>) {
        let Level { frame, treads, .. } = &mut *self.level;
        let wheels = Wheels {
            frame,
            machine: self.machine,
            drive: self.drive,
            motion: &mut self.motion,
            spins: &mut self.body.s,
        };
        (self.treads, treads, wheels)
    }

    fn finish(self) {
        self.body.v = self.level.frame.ring(self.motion.v);
        self.body.w = self.level.frame.ring(self.motion.w);
    }
}

/// What the treads of a robot act on.
struct Wheels<'a> {
    frame: &'a Frame,
    machine: &'a Machine,
    drive: &'a [GroupDrive],
    motion: &'a mut Motion,
    spins: &'a mut [f64],
}

/// Sweeps over the ground contacts of both robots, one tread of each by turns. They do not feel each
/// other, but each contact waits for the speeds that the one before leaves: by turns the processor
/// has two such chains to work on.
pub(super) fn sweep(mut robots: [Option<Standing<'_>>; 2], sweeps: u32, h: f64) {
    for _ in 0..sweeps {
        for robot in robots.iter_mut().flatten() {
            robot.visit_feet(h);
        }
        let mut done = 0;
        if let [Some(one), Some(two)] = &mut robots {
            done = one.treads.len().min(two.treads.len());
            let (contacts_one, rows_one, mut one) = one.wheels();
            let (contacts_two, rows_two, mut two) = two.wheels();
            let one_by_one = contacts_one.iter_mut().zip(rows_one);
            let two_by_two = contacts_two.iter_mut().zip(rows_two);
            for ((c_one, row_one), (c_two, row_two)) in one_by_one.zip(two_by_two) {
                Standing::visit_tread(&mut one, c_one, row_one, h);
                Standing::visit_tread(&mut two, c_two, row_two, h);
            }
        }
        for robot in robots.iter_mut().flatten() {
            let (contacts, rows, mut wheels) = robot.wheels();
            for (c, row) in contacts.iter_mut().zip(rows).skip(done) {
                Standing::visit_tread(&mut wheels, c, row, h);
            }
        }
    }
    for robot in robots.into_iter().flatten() {
        robot.finish();
    }
}

/// One visit of the sweep, as `Contact::solve`.
#[inline]
fn visit(c: &mut Contact, row: &Row, mass: f64, motion: &mut Motion, spin: &mut f64) {
    let old = c.impulse;
    let change = c.press(&row.spring, row.leaving(motion));
    if c.impulse[0] > 0.0 {
        row.push_normal(motion, mass, change);
        let [along, across] = c.rub(&row.patch, row.slip(motion, *spin));
        row.push_patch(motion, mass, along, across);
        *spin += row.spin * along;
    } else if old[0] > 0.0 {
        // It lets go: what the warm start applied is taken back whole.
        row.push_normal(motion, mass, change);
        row.push_patch(motion, mass, -old[1], -old[2]);
        *spin -= row.spin * old[1];
    }
}

#[cfg(test)]
mod tests {
    use super::super::contact::Step;
    use super::super::promise::Promise;
    use super::super::scene::SCENE;
    use super::super::world::World;

    /// Largest difference of any speed between the two solvers over one substep, relative to
    /// 1 m/s, 1 rad/s. Measured 1.5e-11.
    const SAME: f64 = 1e-9;

    /// Every speed of both robots after one substep, level ground or not.
    fn speeds(world: &World, level: bool) -> Vec<f64> {
        let mut world = world.clone();
        // Feet found before keep their directions in level axes only.
        world.below.iter_mut().for_each(Promise::end);
        world.find(1e-3);
        for l in &mut world.level {
            l.on &= level;
        }
        let step = Step {
            h: 5e-4,
            scale: 1.0,
        };
        world.one_substep(step, false);
        let speeds = |b: &super::Body| {
            let mut all = b.s.clone();
            all.extend(b.v.to_array().into_iter().chain(b.w.to_array()));
            all
        };
        world.bodies.iter().flat_map(speeds).collect()
    }

    #[test]
    fn level_ground_is_solved_as_any_other() {
        let mut world = SCENE.facing([SCENE.stall_torque; 2], true);
        let (mut level_ms, mut worst) = (0, 0.0_f64);
        for ms in 0..1500_u32 {
            let turn = f64::from(ms % 400) / 400.0;
            world.advance(1, [[1.0, turn], [1.0 - turn, -1.0]]);
            level_ms += u32::from(world.level[0].on);
            let (level, general) = (speeds(&world, true), speeds(&world, false));
            for (a, b) in level.iter().zip(&general) {
                worst = worst.max((a - b).abs());
            }
        }
        println!("worst difference {worst:.1e} over {level_ms} ms");
        assert!(level_ms > 700, "{level_ms}");
        assert!(worst < SAME, "{worst}");
    }
}
