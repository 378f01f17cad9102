//! A ring that is not flat: low waves over all of it, and a seam where two boards meet.
//!
//! A wheel or a rounded foot rides up a step on its own curve: its height above the lower board is
//! s − x²/2r while the edge is x ahead of its lowest point, and it leans back by x/r. A sharp edge (a
//! blade's) below the upper board meets the step as a wall. Rings without either do not come here at all.

use glam::{DVec2, DVec3};
use quantity::{Stream, maths};
use robot::Ring;

use super::body::Body;
use super::contact::{Contact, WORLD};
use super::machine::{Machine, WheelNumbers};

/// Waves of a ring.
const WAVES: usize = 3;
/// Their lengths as multiples of the ring's diameter: boards warp over their size.
const LENGTHS: [f64; WAVES] = [1.0, 0.6, 0.4];
/// Rounding in m of feet and corners that are no blade (common practice, no source).
const ROUNDING: f64 = 3e-3;
/// A sharp edge this little below the upper board slips over it, m.
const SLIPS_OVER: f64 = 2e-5;
/// A wall that holds an edge goes on doing so down to this depth, m.
const HELD: f64 = 1e-3;

/// How high the ring's top is where.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Relief {
    waves: [Wave; WAVES],
    /// Across the seam, unit, towards the upper board.
    across: DVec2,
    /// Where it is: across · p.
    at: f64,
    /// Height of the upper board over the lower, m.
    step: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Wave {
    /// 2π over its length, in its direction, 1/m.
    along: DVec2,
    phase: f64,
    /// Half its height, m.
    half: f64,
}

/// Height in m and slope of the ground under something.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Ground {
    height: f64,
    slope: DVec2,
}

impl Relief {
    /// The relief of `ring` in the bout keyed by `draws`, as its class says; none if it is flat.
    /// `mirrored` turns it to the other side, for the mirror image of a bout.
    pub(crate) fn drawn(ring: &Ring, draws: Stream, mirrored: bool) -> Option<Self> {
        if ring.flatness_m <= 0.0 && ring.seam_m <= 0.0 {
            return None;
        }
        let key = draws.named("ring/relief");
        let turned = |key: Stream| {
            let angle = maths::TAU * key.uniform();
            let side = if mirrored { -1.0 } else { 1.0 };
            DVec2::new(maths::cos(angle), side * maths::sin(angle))
        };
        let wave = |k: usize| {
            let key = key.named("wave").numbered(k as u64);
            Wave {
                along: turned(key.named("direction"))
                    * (maths::TAU / (LENGTHS[k] * ring.diameter_m)),
                phase: maths::TAU * key.named("phase").uniform(),
                // All of them together stay between the highest and the lowest point allowed.
                half: ring.flatness_m / (2 * WAVES) as f64,
            }
        };
        Some(Self {
            waves: [0, 1, 2].map(wave),
            across: turned(key.named("seam")),
            at: 0.0,
            step: ring.seam_m,
        })
    }

    /// Nothing on it is higher than this, m.
    pub(super) fn highest(&self) -> f64 {
        0.5 * self.step + self.waves.iter().map(|w| w.half).sum::<f64>()
    }

    fn waves_at(&self, p: DVec2) -> Ground {
        let mut ground = Ground {
            height: 0.0,
            slope: DVec2::ZERO,
        };
        for w in &self.waves {
            let turn = w.along.dot(p) + w.phase;
            ground.height += w.half * maths::cos(turn);
            ground.slope -= w.along * (w.half * maths::sin(turn));
        }
        ground
    }

    /// The ground under something round with the radius `r` whose lowest point is `p` and that meets
    /// an edge in the direction `ahead` (unit or less: how much of it goes across the seam counts).
    fn under_round(&self, p: DVec2, r: f64, ahead: DVec2) -> Ground {
        let mut ground = self.waves_at(p);
        let beyond = self.across.dot(p) - self.at;
        if beyond >= 0.0 {
            ground.height += 0.5 * self.step;
            return ground;
        }
        ground.height -= 0.5 * self.step;
        let share = self.across.dot(ahead);
        let edge = -beyond / share.abs().max(1e-6);
        let rise = self.step - edge * edge / (2.0 * r);
        if rise > 0.0 {
            ground.height += rise;
            ground.slope += ahead * (share.signum() * edge / r);
        }
        ground
    }

    /// Brings the ground contact of a tread, found for a flat ring, to this one.
    pub(super) fn lift_tread(&self, c: &mut Contact, wheel: &WheelNumbers, body: &Body) {
        if c.normal.z < 1.0 {
            return;
        }
        let radius = c.tread.map_or(wheel.radius, |t| t.radius);
        let lowest = body.x + c.arm_a;
        if lowest.z < -0.5 * radius {
            return;
        }
        let ground = self.under_round(lowest.truncate(), radius, c.along.truncate());
        let normal = ground.slope.extend(0.0) * -1.0 + DVec3::Z;
        let normal = normal.normalize();
        c.gap = (lowest.z - ground.height) * normal.z;
        c.arm_a += radius * (DVec3::Z - normal);
        c.normal = normal;
        c.along = body.axle.cross(normal).normalize_or_zero();
        c.across = normal.cross(c.along);
    }

    /// Brings the ground contact of the foot number `k` to this ring, and gives the wall it meets if it
    /// is an edge below the upper board. `held`: that wall held it before. `way`: how far it may move
    /// until it is looked at again.
    pub(super) fn lift_foot(
        &self,
        c: &mut Contact,
        machine: &Machine,
        body: &Body,
        key: u32,
        held: bool,
        way: f64,
    ) -> Option<Contact> {
        if c.anchor_b.z < 0.0 {
            return None;
        }
        let p = body.place(c.anchor_a);
        let flat = p.truncate();
        let edges = machine.sheets.iter().flat_map(|s| &s.corners[..2]);
        let sharp = edges.clone().any(|e| *e == c.anchor_a);
        let beyond = self.across.dot(flat) - self.at;
        let below = beyond < 0.0 || (held && beyond < HELD);
        let ground = if sharp {
            let mut ground = self.waves_at(flat);
            ground.height += if below { -0.5 } else { 0.5 } * self.step;
            ground
        } else {
            self.under_round(flat, ROUNDING, self.across)
        };
        let normal = (DVec3::Z - ground.slope.extend(0.0)).normalize();
        c.anchor_b.z = ground.height;
        c.gap = (p.z - ground.height) * normal.z;
        c.normal = normal;
        (c.along, c.across) = super::contact::tangents(normal);
        let top = ground.height + self.step;
        if !sharp || self.step <= 0.0 || !below || p.z > top - SLIPS_OVER || -beyond > way {
            return None;
        }
        let mut wall = Contact::new(key, c.a, WORLD, -self.across.extend(0.0));
        wall.anchor_a = c.anchor_a;
        wall.anchor_b = (flat - self.across * beyond).extend(p.z);
        wall.gap = -beyond;
        (wall.stiffness, wall.damping) = (c.stiffness, c.damping);
        (wall.grip_peak, wall.grip_sliding) = (c.grip_peak, c.grip_sliding);
        Some(wall)
    }
}

#[cfg(test)]
mod tests {
    use quantity::Draws;

    use super::*;
    use crate::dynamics::World;
    use crate::tests::scenery::{plain, pusher};

    fn ring(flatness: f64, seam: f64) -> Ring {
        Ring {
            flatness_m: flatness,
            seam_m: seam,
            ..crate::tests::scenery::arena().ring
        }
    }

    /// A seam across the way at x = 0.1 m, its upper board ahead.
    fn seam(step: f64) -> Relief {
        let flat = Wave {
            along: DVec2::ZERO,
            phase: 0.0,
            half: 0.0,
        };
        Relief {
            waves: [flat; WAVES],
            across: DVec2::X,
            at: 0.1,
            step,
        }
    }

    /// A blade this high over the ring, driven at 0.4 m/s over the seam with its motors braking
    /// afterwards; speed at the end, how high its nose came.
    fn driven_over(relief: Option<Relief>, blade_gap: f64) -> (f64, f64) {
        let mut robot = pusher("blade");
        // Stands on a foot behind the blade, so that the blade keeps its height.
        let foot = plain("foot").skids[0].clone();
        robot.skids.push(foot);
        if let Some(b) = &mut robot.blade {
            b.tip_height = b.tip_height.clone().with_si(blade_gap);
        }
        let machine = |r| Machine::compile(r, &Draws::nominal());
        let mut arena = crate::tests::scenery::arena();
        arena.ring.diameter_m = 4.0;
        let other = plain("other");
        let mut world = World::new(&arena, [machine(&robot), machine(&other)], 1.0);
        world.lay(relief);
        world.put_down(0, 0.0, 0.0, 0.0);
        world.put_down(1, -1.0, 0.0, 0.0);
        for _ in 0..400 {
            world.advance(1, [[0.0; 2]; 2]);
        }
        let (mut nose, mut slowest): (f64, f64) = (0.0, 9.0);
        for ms in 0..900 {
            world.advance(1, [[0.4; 2], [0.0; 2]]);
            nose = nose.max(world.bodies[0].r.x_axis.z);
            if ms > 150 {
                slowest = slowest.min(world.bodies[0].v.x);
            }
        }
        (slowest, nose)
    }

    #[test]
    fn a_blade_lower_than_the_step_is_stopped_and_a_higher_one_is_not() {
        let step = 4e-4;
        let (free, level) = driven_over(None, 2e-4);
        let (caught, _) = driven_over(Some(seam(step)), 2e-4);
        let (passes, lifted) = driven_over(Some(seam(step)), 9e-4);
        println!(
            "free {free:.3} m/s, caught {caught:.3}, passes {passes:.3}; {level:.4} {lifted:.4}"
        );
        assert!(caught < 0.2 * free, "{caught} of {free}");
        assert!(passes > 0.7 * free, "{passes} of {free}");
    }

    #[test]
    fn a_flat_ring_has_no_relief_and_a_drawn_one_stays_within_its_tolerance() {
        let key = Stream::root(4);
        assert_eq!(Relief::drawn(&ring(0.0, 0.0), key, false), None);
        let uneven = Relief::drawn(&ring(6e-4, 2e-4), key, false).expect("it is uneven");
        let (mut low, mut high): (f64, f64) = (1.0, -1.0);
        for k in 0..4000 {
            let (r, turn) = (0.385 * (f64::from(k) / 4000.0).sqrt(), 2.4 * f64::from(k));
            let p = DVec2::new(r * maths::cos(turn), r * maths::sin(turn));
            let z = uneven.under_round(p, 1e-3, DVec2::X).height;
            (low, high) = (low.min(z), high.max(z));
        }
        assert!(high - low < 8e-4 && high - low > 2e-4, "{low} {high}");
        assert!(high <= uneven.highest());
        // The mirror image of a bout has the mirror image of its ring.
        let other = Relief::drawn(&ring(6e-4, 2e-4), key, true).expect("it is uneven");
        let p = DVec2::new(0.12, 0.2);
        let (here, there) = (uneven.waves_at(p), other.waves_at(DVec2::new(p.x, -p.y)));
        assert!((here.height - there.height).abs() < 1e-15);
    }

    /// Steps are climbed on the wheel's own curve: s − x²/2r, gone where x = √(2 r s).
    #[test]
    fn a_wheel_rides_up_a_step_on_its_own_curve() {
        let relief = seam(2e-4);
        let at = |ahead: f64| relief.under_round(DVec2::new(0.1 - ahead, 0.0), 0.016, DVec2::X);
        assert!((at(0.003).height + 1e-4).abs() < 1e-12);
        let half = at(0.001);
        assert!((half.height - (1e-4 - 1e-6 / 0.032)).abs() < 1e-12);
        assert!((half.slope.x - 0.0625).abs() < 1e-12);
        assert!((at(-0.001).height - 1e-4).abs() < 1e-12);
        // Beside it, along the seam, nothing rises before its time.
        let along = relief.under_round(DVec2::new(0.099, 0.0), 0.016, DVec2::Y);
        assert!((along.height + 1e-4).abs() < 1e-12);
    }

    /// The low waves carry as a flat ring does.
    #[test]
    fn a_robot_stands_and_drives_on_a_wavy_ring() {
        let mut arena = crate::tests::scenery::arena();
        arena.ring.flatness_m = 1e-3;
        let robots = [pusher("one"), plain("two")];
        let machines = [0, 1].map(|i: usize| Machine::compile(&robots[i], &Draws::nominal()));
        let mut world = World::new(&arena, machines, 1.0);
        world.lay(Relief::drawn(&arena.ring, Stream::root(9), false));
        world.put_down(0, -0.1, 0.0, 0.0);
        world.put_down(1, 0.2, 0.1, 2.0);
        for _ in 0..600 {
            world.advance(1, [[0.2, -0.2], [0.0; 2]]);
        }
        let carried: f64 = (world.treads[0].iter().chain(&world.feet[0]))
            .map(|c| c.impulse[0] / world.substep)
            .sum();
        let weight = world.machine(0).mass * arena.gravity;
        assert!(
            (carried / weight - 1.0).abs() < 0.05,
            "{carried} of {weight}"
        );
        assert!(world.finite());
    }
}
