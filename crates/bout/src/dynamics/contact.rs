//! One contact: a soft unilateral normal and a friction patch with one combined limit.
//!
//! *Normal.* An implicit spring and damper (stiffness k, damping c): with e = h·k + c and
//! γ = 1/(h·e), λ ← max(0, λ − (v_n + bias + γλ)/(K + γ)), where bias = gap·k/e in contact and
//! gap/h while still apart, so that nothing passes through in one step.
//!
//! *Friction* is in `patch`.

use glam::DVec3;

use super::body::Body;
use super::drive::GroupDrive;
use super::ground::Part;
use super::joint::PartSide;
use super::machine::Machine;
use super::patch::Patch;

/// Index that stands for the ring and the floor.
pub(crate) const WORLD: usize = 2;

/// The wheel whose tread touches here.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Tread {
    /// Index of the wheel on robot `a`.
    pub(crate) wheel: usize,
    /// Its spin group.
    pub(crate) group: usize,
    /// Its radius at this turn, in m.
    pub(crate) radius: f64,
    /// Way of its rim for a radian of its group, in m: the radius, geared.
    pub(crate) lever: f64,
    /// What of the ground it was on last.
    pub(crate) part: Part,
}

/// A contact between robot `a` and robot or world `b`; the normal pushes `a`.
#[derive(Debug, Clone)]
pub(crate) struct Contact {
    /// Stable name, to find last millisecond's impulses again.
    pub(crate) key: u32,
    /// First robot.
    pub(crate) a: usize,
    /// Second robot or [`WORLD`].
    pub(crate) b: usize,
    /// Contact point on `a`, in `a`'s axes relative to its centre of mass.
    pub(crate) anchor_a: DVec3,
    /// Contact point on `b`, likewise (ring coordinates for the world).
    pub(crate) anchor_b: DVec3,
    /// From the centre of mass of `a` to the contact, ring axes.
    pub(crate) arm_a: DVec3,
    /// From the centre of mass of `b` to the contact, ring axes.
    pub(crate) arm_b: DVec3,
    /// Unit normal, from `b` to `a`.
    pub(crate) normal: DVec3,
    /// First friction direction (rolling direction for a wheel).
    pub(crate) along: DVec3,
    /// Second friction direction.
    pub(crate) across: DVec3,
    /// The wheel, where `a` touches with a tread.
    pub(crate) tread: Option<Tread>,
    /// The jointed parts that touch, on the sides of `a` and `b`.
    pub(super) parts: [Option<PartSide>; 2],
    /// Whether there is any.
    pub(super) jointed: bool,
    /// Distance left in m; negative: how deep.
    pub(crate) gap: f64,
    /// Depth taken as given (≤ 0): an overlap that was there when the contact appeared.
    pub(crate) offset: f64,
    /// Friction before sliding.
    pub(crate) grip_peak: f64,
    /// Friction while sliding.
    pub(crate) grip_sliding: f64,
    /// Load in N at which the grip of a tread was last worked out.
    pub(crate) grip_load: f64,
    /// Grip there as a multiple of that at the reference load.
    pub(crate) grip_share: f64,
    /// Whether it slid in the last substep.
    pub(crate) sliding: bool,
    /// Stiffness in N/m.
    pub(crate) stiffness: f64,
    /// Damping in N·s/m.
    pub(crate) damping: f64,
    /// Share of the speed of a hit that comes back.
    pub(crate) rebound: f64,
    /// Speed in m/s at which the two closed in when the millisecond began.
    pub(crate) approach: f64,
    /// Impulse in N·s with which they sprang apart at the end of the millisecond.
    pub(crate) sprang: f64,
    /// Impulses of the last substep in N·s: normal, along, across.
    pub(crate) impulse: [f64; 3],
    pub(super) sigma: f64,
}

/// How a body feels the three directions of a contact (normal, along, across) in its turning.
#[derive(Debug, Clone, Copy, Default)]
struct Lever {
    /// Moment arms: what turning of the body does to the velocity in each direction.
    arm: [DVec3; 3],
    /// Change of angular velocity per unit impulse in each direction.
    turn: [DVec3; 3],
}

/// A substep.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    /// Its length in s.
    pub(super) h: f64,
    /// That over the length of the one before.
    pub(super) scale: f64,
}

/// The normal's spring and damper over one substep.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Spring {
    gamma: f64,
    /// Speed it gives back per depth, 1/s.
    pub(super) pull: f64,
    pub(super) bias: f64,
    /// 1/(K + γ).
    response: f64,
}

/// What one substep needs, worked out in `prepare`. Kept beside the contacts, not in them: contacts
/// are moved about when found and sorted, and this is twice their size.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Rows {
    ready: bool,
    inverse_mass_a: f64,
    inverse_mass_b: f64,
    a: Lever,
    b: Lever,
    /// Slip along and across for a unit impulse along the normal.
    sideways: [f64; 2],
    /// Response of the tread's spin to a unit impulse along: −r/J_e.
    spin: f64,
    spring: Spring,
    patch: Patch,
}

impl Contact {
    /// A contact without history.
    pub(crate) fn new(key: u32, a: usize, b: usize, normal: DVec3) -> Self {
        let (along, across) = tangents(normal);
        Self {
            key,
            a,
            b,
            anchor_a: DVec3::ZERO,
            anchor_b: DVec3::ZERO,
            arm_a: DVec3::ZERO,
            arm_b: DVec3::ZERO,
            normal,
            along,
            across,
            tread: None,
            parts: [None; 2],
            jointed: false,
            gap: 0.0,
            offset: 0.0,
            grip_peak: 0.0,
            grip_sliding: 0.0,
            grip_load: 0.0,
            grip_share: 1.0,
            sliding: false,
            stiffness: 0.0,
            damping: 0.0,
            rebound: 0.0,
            approach: 0.0,
            sprang: 0.0,
            impulse: [0.0; 3],
            sigma: 0.0,
        }
    }

    /// Brings arms and gap up to date with the poses, from the anchors. Two robots push each other
    /// in one point, midway between their anchors: else slip during a millisecond would turn both
    /// the same way, out of nothing.
    pub(crate) fn measure(&mut self, bodies: &[Body; 2]) {
        if self.jointed {
            self.measure_parts(bodies);
            return;
        }
        let a = &bodies[self.a];
        self.arm_a = a.r * self.anchor_a;
        if self.b < WORLD {
            let b = &bodies[self.b];
            self.arm_b = b.r * self.anchor_b;
            let apart = (a.x + self.arm_a) - (b.x + self.arm_b);
            self.gap = self.normal.dot(apart);
            self.arm_a -= 0.5 * apart;
            self.arm_b += 0.5 * apart;
        } else {
            self.gap = self.normal.dot(a.x + self.arm_a - self.anchor_b);
        }
    }

    /// Starts a substep: contacts that carried something go on carrying it, scaled to this
    /// substep's length; rows of the others are worked out only when they are about to touch.
    /// `keep`: rows of the last substep, which was as long, still hold; only the gap is new.
    #[allow(clippy::too_many_arguments, reason = "both robots and a step")]
    pub(crate) fn begin(
        &mut self,
        machines: &[Machine; 2],
        bodies: &mut [Body; 2],
        drives: &[Vec<GroupDrive>; 2],
        rows: &mut Rows,
        step: Step,
        keep: bool,
    ) {
        let Step { h, scale } = step;
        rows.ready &= keep && self.tread.is_none() && !self.jointed;
        if rows.ready {
            rows.spring.bias = self.bias(rows.spring.pull, h);
        }
        if self.impulse[0] <= 0.0 {
            self.impulse = [0.0; 3];
            return;
        }
        if !rows.ready {
            self.prepare(machines, bodies, drives, rows, h);
        }
        self.impulse = self.impulse.map(|i| i * scale);
        let [normal, along, across] = self.impulse;
        self.push_normal(rows, bodies, normal);
        self.push_patch(rows, bodies, along, across);
    }

    /// Works out effective masses at the bodies' present poses.
    fn prepare(
        &self,
        machines: &[Machine; 2],
        bodies: &[Body; 2],
        drives: &[Vec<GroupDrive>; 2],
        rows: &mut Rows,
        h: f64,
    ) {
        rows.ready = true;
        let a = &bodies[self.a];
        let directions = [self.normal, self.along, self.across];
        rows.inverse_mass_a = a.inverse_mass;
        rows.a.arm = directions.map(|d| self.arm_a.cross(d));
        let mut pushed = rows.a.arm;
        let mut k_spin = 0.0;
        if let Some(t) = self.tread {
            // Turning the chassis about the axle moves the tread by rκ. The motor gives back part
            // of what friction takes within the substep: its reaction on the chassis turns J into
            // J_e, so an impulse along feels rκJ/J_e.
            let group = &machines[self.a].groups[t.group];
            let effective = drives[self.a][t.group].effective_inertia;
            let turning = t.lever * group.kappa;
            rows.spin = -t.lever / effective;
            k_spin = t.lever * t.lever / effective;
            rows.a.arm[1] += turning * a.axle;
            pushed[1] += (turning * group.inertia / effective) * a.axle;
        }
        rows.a.turn = pushed.map(|p| a.inverse_inertia * p);
        let [arm, turn] = [&rows.a.arm, &rows.a.turn];
        let mut mass = a.inverse_mass;
        let mut k_normal = arm[0].dot(turn[0]);
        let mut k_along = arm[1].dot(turn[1]) + k_spin;
        let mut k_across = arm[2].dot(turn[2]);
        let mut k_mixed = arm[2].dot(turn[1]);
        if self.b < WORLD {
            let b = &bodies[self.b];
            rows.inverse_mass_b = b.inverse_mass;
            mass += b.inverse_mass;
            rows.b.arm = directions.map(|d| self.arm_b.cross(d));
            rows.b.turn = rows.b.arm.map(|p| b.inverse_inertia * p);
            let [arm, turn] = [&rows.b.arm, &rows.b.turn];
            k_normal += arm[0].dot(turn[0]);
            k_along += arm[1].dot(turn[1]);
            k_across += arm[2].dot(turn[2]);
            k_mixed += arm[2].dot(turn[1]);
        }
        if self.jointed {
            let k = self.parts_response();
            k_normal += k[0];
            k_along += k[1];
            k_across += k[2];
            k_mixed += k[3];
        }
        let [one, two] = [&rows.a, &rows.b];
        rows.sideways =
            [1, 2].map(|d: usize| one.arm[d].dot(one.turn[0]) + two.arm[d].dot(two.turn[0]));
        rows.patch = Patch::new(mass + k_along, k_mixed, mass + k_across);
        rows.spring = self.spring(mass + k_normal, h);
    }

    /// The normal's spring where a unit impulse changes its speed by `k`.
    #[inline]
    pub(super) fn spring(&self, k: f64, h: f64) -> Spring {
        let yielding = 1.0 / (h * self.stiffness + self.damping);
        let gamma = yielding / h;
        let pull = self.stiffness * yielding;
        Spring {
            gamma,
            pull,
            bias: self.bias(pull, h),
            response: 1.0 / (k + gamma),
        }
    }

    /// Speed with which the spring wants its gap closed or opened.
    #[inline]
    pub(super) fn bias(&self, pull: f64, h: f64) -> f64 {
        let gap = self.gap - self.offset;
        gap * if gap > 0.0 { 1.0 / h } else { pull }
    }

    /// Applies an impulse along the normal.
    #[inline]
    fn push_normal(&self, rows: &Rows, bodies: &mut [Body; 2], impulse: f64) {
        let a = &mut bodies[self.a];
        a.v += (rows.inverse_mass_a * impulse) * self.normal;
        a.w += impulse * rows.a.turn[0];
        if self.b < WORLD {
            let b = &mut bodies[self.b];
            b.v -= (rows.inverse_mass_b * impulse) * self.normal;
            b.w -= impulse * rows.b.turn[0];
        }
        if self.jointed {
            self.push_parts(bodies, [impulse, 0.0, 0.0]);
        }
    }

    /// Applies impulses along and across; a tread's spin feels the one along.
    #[inline]
    fn push_patch(&self, rows: &Rows, bodies: &mut [Body; 2], along: f64, across: f64) {
        let push = along * self.along + across * self.across;
        let a = &mut bodies[self.a];
        a.v += rows.inverse_mass_a * push;
        a.w += along * rows.a.turn[1] + across * rows.a.turn[2];
        if let Some(t) = self.tread {
            a.s[t.group] += rows.spin * along;
        }
        if self.b < WORLD {
            let b = &mut bodies[self.b];
            b.v -= rows.inverse_mass_b * push;
            b.w -= along * rows.b.turn[1] + across * rows.b.turn[2];
        }
        if self.jointed {
            self.push_parts(bodies, [0.0, along, across]);
        }
    }

    /// Speed at which `a` leaves `b` along the normal.
    #[inline]
    fn leaving(&self, rows: &Rows, bodies: &[Body; 2]) -> f64 {
        let a = &bodies[self.a];
        let mut v = self.normal.dot(a.v) + rows.a.arm[0].dot(a.w);
        if self.b < WORLD {
            let b = &bodies[self.b];
            v -= self.normal.dot(b.v) + rows.b.arm[0].dot(b.w);
        }
        if self.jointed {
            v += self.parts_speed(bodies)[0];
        }
        v
    }

    /// The same before the rows are worked out.
    #[inline]
    fn leaving_yet(&self, bodies: &[Body; 2]) -> f64 {
        let a = &bodies[self.a];
        let mut u = a.v + a.w.cross(self.arm_a);
        if self.b < WORLD {
            let b = &bodies[self.b];
            u -= b.v + b.w.cross(self.arm_b);
        }
        let mut v = self.normal.dot(u);
        if self.jointed {
            v += self.parts_speed(bodies)[0];
        }
        v
    }

    /// Brings the speed of parting up to `wanted` by an impulse beyond that of this millisecond.
    pub(super) fn spring_apart(&mut self, rows: &Rows, bodies: &mut [Body; 2], wanted: f64) {
        let short = wanted - self.leaving(rows, bodies);
        let softness = 1.0 / rows.spring.response - rows.spring.gamma;
        let sprang = (self.sprang + short / softness).max(0.0);
        self.push_normal(rows, bodies, sprang - self.sprang);
        self.sprang = sprang;
    }

    /// Slip along and across.
    #[inline]
    fn slip_now(&self, rows: &Rows, bodies: &[Body; 2]) -> [f64; 2] {
        let a = &bodies[self.a];
        let (mut v, arm) = (a.v, &rows.a.arm);
        let mut slip = [arm[1].dot(a.w), arm[2].dot(a.w)];
        if let Some(t) = self.tread {
            slip[0] -= t.lever * a.s[t.group];
        }
        if self.b < WORLD {
            let (b, arm) = (&bodies[self.b], &rows.b.arm);
            v -= b.v;
            slip[0] -= arm[1].dot(b.w);
            slip[1] -= arm[2].dot(b.w);
        }
        if self.jointed {
            let [_, along, across] = self.parts_speed(bodies);
            slip[0] += along;
            slip[1] += across;
        }
        [slip[0] + self.along.dot(v), slip[1] + self.across.dot(v)]
    }

    /// One visit of the sweep: normal, then friction. Returns the change of the normal's impulse, N·s.
    pub(crate) fn solve(
        &mut self,
        machines: &[Machine; 2],
        bodies: &mut [Body; 2],
        drives: &[Vec<GroupDrive>; 2],
        rows: &mut Rows,
        h: f64,
    ) -> f64 {
        if !rows.ready {
            let gap = self.gap - self.offset;
            if gap + h * self.leaving_yet(bodies) > 0.0 {
                return 0.0;
            }
            self.prepare(machines, bodies, drives, rows, h);
        }
        if self.b < WORLD && self.tread.is_none() && !self.jointed {
            return self.solve_pair(bodies, rows);
        }
        let old = self.impulse;
        let change = self.press(&rows.spring, self.leaving(rows, bodies));
        if self.impulse[0] > 0.0 {
            self.push_normal(rows, bodies, change);
            let [along, across] = self.rub(&rows.patch, self.slip_now(rows, bodies));
            self.push_patch(rows, bodies, along, across);
        } else if old[0] > 0.0 {
            // It lets go: what the warm start applied is taken back whole.
            self.push_normal(rows, bodies, change);
            self.push_patch(rows, bodies, -old[1], -old[2]);
        }
        change
    }

    /// The same for two robots that touch with what is fixed to them: most contacts between robots.
    /// All three impulses are applied at once.
    #[inline]
    fn solve_pair(&mut self, bodies: &mut [Body; 2], rows: &Rows) -> f64 {
        let [one, two] = bodies;
        let (a, b) = if self.a == 0 { (one, two) } else { (two, one) };
        let (ra, rb) = (&rows.a, &rows.b);
        let v = a.v - b.v;
        let (wa, wb) = (a.w, b.w);
        let speed = |d: DVec3, row: usize| d.dot(v) + (ra.arm[row].dot(wa) - rb.arm[row].dot(wb));
        let old = self.impulse;
        let normal = self.press(&rows.spring, speed(self.normal, 0));
        let (along, across) = if self.impulse[0] > 0.0 {
            let slip = [
                speed(self.along, 1) + normal * rows.sideways[0],
                speed(self.across, 2) + normal * rows.sideways[1],
            ];
            let [along, across] = self.rub(&rows.patch, slip);
            (along, across)
        } else if old[0] > 0.0 {
            // It lets go: what the warm start applied is taken back whole.
            (-old[1], -old[2])
        } else {
            return 0.0;
        };
        let push = normal * self.normal + along * self.along + across * self.across;
        a.v += rows.inverse_mass_a * push;
        b.v -= rows.inverse_mass_b * push;
        a.w += normal * ra.turn[0] + along * ra.turn[1] + across * ra.turn[2];
        b.w -= normal * rb.turn[0] + along * rb.turn[1] + across * rb.turn[2];
        normal
    }

    /// The normal's new impulse where `a` leaves at `leaving` m/s; the change. Without load there
    /// is no friction either.
    #[inline]
    pub(super) fn press(&mut self, spring: &Spring, leaving: f64) -> f64 {
        let old = self.impulse[0];
        let new = old - (leaving + spring.bias + spring.gamma * old) * spring.response;
        if new > 0.0 {
            self.impulse[0] = new;
            new - old
        } else {
            self.impulse = [0.0; 3];
            self.sliding = false;
            -old
        }
    }

    /// Total force on `a` over the last substep of length `h`, N.
    pub(crate) fn force(&self, h: f64) -> DVec3 {
        (self.impulse[0] * self.normal
            + self.impulse[1] * self.along
            + self.impulse[2] * self.across)
            / h
    }

    /// Energy stored in the contact's spring, J.
    pub(crate) fn spring_energy(&self) -> f64 {
        let depth = (self.gap - self.offset).min(0.0);
        0.5 * self.stiffness * depth * depth
    }
}

/// Two unit vectors square to `n`, the first as level as can be.
pub(crate) fn tangents(n: DVec3) -> (DVec3, DVec3) {
    let level = if n.z.abs() > 0.9 {
        DVec3::X
    } else {
        DVec3::Z.cross(n)
    };
    let along = (level - n * n.dot(level)).normalize();
    (along, n.cross(along))
}
