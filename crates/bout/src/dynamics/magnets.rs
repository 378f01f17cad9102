//! Magnets over a steel ring: a pull straight down at each, by the gap it has now.
//!
//! The face is a foot as well (`compile`): where magnets outweigh the tyres it lies on the ring and
//! drags. Beyond the rim there is no steel. The pull is explicit in time: it stays stable because tyres
//! are several times as stiff as the pull is steep, and faces stop it where they are not.

use glam::DVec3;
use laws::magnet::pull_n;
use quantity::Draws;
use robot::Robot;

use super::body::Body;
use super::compile::point;
use super::ground::RingShape;
use super::machine::{Foot, Machine};

/// A magnet.
#[derive(Debug, Clone)]
pub(crate) struct MagnetNumbers {
    /// Middle of its lower face.
    pub(crate) face: DVec3,
    /// Pull when it touches, N.
    pub(crate) pull: f64,
    /// Gap at which a quarter of that is left, m.
    pub(crate) reach: f64,
}

/// The magnets of `robot` and the feet their faces are.
pub(super) fn magnets(
    robot: &Robot,
    draws: &Draws,
    centre: DVec3,
) -> (Vec<MagnetNumbers>, Vec<Foot>) {
    let drawn = robot.magnets.iter().map(|m| {
        let name = &m.item.name;
        let mut face = point(&m.item.at, draws, name);
        face.z = draws.of(&m.gap, name);
        let magnet = MagnetNumbers {
            face: face - centre,
            pull: draws.of(&m.pull, name).max(0.0),
            reach: draws.of(&m.reach, name).max(1e-5),
        };
        let foot = Foot {
            at: magnet.face,
            friction: draws.of(&m.friction, name).max(0.0),
            joint: None,
        };
        (magnet, foot)
    });
    drawn.unzip()
}

impl MagnetNumbers {
    /// Its pull in N as the body stands, and from the centre of mass to where it acts.
    pub(super) fn pulls(&self, body: &Body, ring: RingShape) -> (f64, DVec3) {
        let arm = body.r * self.face;
        let face = body.x + arm;
        let over = face.truncate().length_squared() <= ring.radius * ring.radius;
        let pull = if over && face.z > -0.5 * ring.height {
            pull_n(self.pull, self.reach, face.z)
        } else {
            0.0
        };
        (pull, arm)
    }
}

/// Pulls `body` down on a steel `ring` over `h`. Returns force in N and moment in N·m.
pub(super) fn pull_down(machine: &Machine, body: &mut Body, ring: RingShape, h: f64) -> [DVec3; 2] {
    let (mut sum, mut moment) = (0.0, DVec3::ZERO);
    for m in &machine.magnets {
        let (pull, arm) = m.pulls(body, ring);
        sum += pull;
        moment += arm.cross(DVec3::new(0.0, 0.0, -pull));
    }
    body.v.z -= h * body.inverse_mass * sum;
    body.w += h * (body.inverse_inertia * moment);
    [DVec3::new(0.0, 0.0, -sum), moment]
}

#[cfg(test)]
mod tests {
    use quantity::{Figure, Length, Origin};
    use robot::{Magnet, Surface};

    use super::super::simple::{near, wide_arena};
    use super::super::world::World;
    use super::*;
    use crate::tests::scenery::plain;

    const G: f64 = 9.80665;

    fn length(si: f64) -> Figure<Length> {
        Figure::new(si, Origin::Stated, "magnet")
    }

    /// The plain robot, its tyres gripping alike under all loads, with a magnet of this pull between its
    /// wheels, 1.5 mm up.
    fn magnetic(pull: f64) -> robot::Robot {
        let mut r = plain("magnetic");
        let mut item = r.parts[0].clone();
        item.name = "magnet".into();
        item.mass = item.mass.with_si(0.0);
        item.at = [-0.01, 0.0, 0.0015].map(length);
        r.magnets.push(Magnet {
            item,
            gap: length(0.0015),
            pull: Figure::new(pull, Origin::Stated, "pull"),
            reach: length(0.002),
            friction: Figure::new(0.3, Origin::Stated, "friction"),
        });
        for w in &mut r.wheels {
            w.tyre.load_exponent = w.tyre.load_exponent.clone().with_si(0.0);
            w.tyre.grip_sliding = w.tyre.grip_peak.clone();
            w.tyre.rolling = w.tyre.rolling.clone().with_si(0.0);
        }
        r
    }

    fn standing(pull: f64, surface: Surface) -> World {
        let mut arena = wide_arena(G);
        arena.ring.surface = surface;
        let machine = |pull| Machine::compile(&magnetic(pull), &Draws::nominal());
        let mut world = World::new(&arena, [machine(pull), machine(0.0)], 1.0);
        world.put_down(0, 0.0, 0.0, 0.0);
        world.put_down(1, 0.0, 9.0, 0.0);
        run(&mut world, 500, 0.0);
        world
    }

    fn run(world: &mut World, ms: u32, effort: f64) {
        for _ in 0..ms {
            world.advance(1, [[effort; 2], [0.0; 2]]);
        }
    }

    /// Loads of everything that touches, N.
    fn carried(world: &World) -> f64 {
        let treads = world.treads[0].iter().chain(&world.feet[0]);
        treads.map(|c| c.impulse[0] / world.substep).sum()
    }

    #[test]
    fn a_steel_ring_carries_the_weight_and_the_pull_at_the_gap() {
        let world = standing(12.0, Surface::Steel);
        let (machine, body) = (world.machine(0), &world.bodies[0]);
        let gap = body.place(machine.magnets[0].face).z;
        // The tyres give a little under the pull: F₀/(1 + g/g₀)² with the gap that is left.
        assert!(gap > 1.3e-3 && gap < 1.5e-3, "{gap}");
        let pull = 12.0 / (1.0 + gap / 0.002) / (1.0 + gap / 0.002);
        near(carried(&world), machine.mass * G + pull, 1e-3);
    }

    #[test]
    fn other_rings_are_not_pulled() {
        for surface in [Surface::PaintedBoard, Surface::Wood, Surface::Vinyl] {
            let world = standing(12.0, surface);
            near(carried(&world), world.machine(0).mass * G, 1e-4);
        }
    }

    /// Lifted by 5 mm it keeps ((g₀ + g)/(g₀ + g + 5 mm))² of its pull; off the ring nothing.
    #[test]
    fn lifting_takes_the_share_the_formula_says() {
        let mut world = standing(12.0, Surface::Steel);
        let magnet = world.machine(0).magnets[0].clone();
        let gap = world.bodies[0].place(magnet.face).z;
        let ring = world.ring;
        let before = magnet.pulls(&world.bodies[0], ring).0;
        world.bodies[0].x.z += 5e-3;
        let after = magnet.pulls(&world.bodies[0], ring).0;
        let share = (0.002 + gap) / (0.007 + gap);
        near(after / before, share * share, 1e-9);
        assert!(after < 0.2 * before);
        world.bodies[0].x.x += 30.0;
        assert!(magnet.pulls(&world.bodies[0], ring).0 == 0.0);
    }

    /// Push in N and load on its tyres in N of a robot that starts at full effort, its motors `strong`
    /// times the test robot's; its foot is smooth.
    fn push(pull: f64, strong: f64) -> [f64; 2] {
        let mut world = standing(pull, Surface::Steel);
        for m in &mut world.machines[0].motors {
            m.torque_per_volt *= strong;
            m.damping *= strong;
            (m.drag, m.back_share, m.hot) = (0.0, 0.0, None);
        }
        for f in &mut world.machines[0].feet {
            f.friction = 0.0;
        }
        world.machines[0].pack.current_limit = 1e9;
        world.machines[0].pack.resistance = 0.0;
        run(&mut world, 30, 1.0);
        let before = world.bodies[0].v.x;
        let mut on_tyres = 0.0;
        for _ in 0..30 {
            run(&mut world, 1, 1.0);
            on_tyres += world.wheels(0).map(|w| w.load_n).sum::<f64>() / 30.0;
        }
        let acceleration = (world.bodies[0].v.x - before) / 0.03;
        [acceleration * world.machine(0).mass, on_tyres]
    }

    /// Twice the load on the tyres, twice the push, until the motors limit it.
    #[test]
    fn doubling_the_load_by_magnets_doubles_the_push_until_the_motors_give_out() {
        let [plain, bare] = push(0.0, 20.0);
        let [pressed, loaded] = push(9.1, 20.0);
        near(plain / bare, 0.9, 1e-2);
        near(pressed / loaded, 0.9, 1e-2);
        assert!(
            (1.8..2.2).contains(&(pressed / plain)),
            "{}",
            pressed / plain
        );
        // Weak motors hold both back alike.
        let ([weak, _], [still_weak, _]) = (push(0.0, 0.2), push(9.1, 0.2));
        near(still_weak / weak, 1.0, 4e-2);
    }
}
