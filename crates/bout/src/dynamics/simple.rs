//! Simple things for closed-form tests: blocks, worlds without ground, slopes, sums of momentum.

use glam::{DMat3, DVec2, DVec3};

use super::machine::{Foot, Machine, Pack, Prism, SpinGroup, WheelNumbers};
use super::scene::SCENE;
use super::world::World;
use crate::arena::Arena;

/// A pack that feeds nothing.
pub(super) const NO_PACK: Pack = Pack {
    voltage: 1.0,
    resistance: 0.0,
    idle_current: 0.0,
    current_limit: 1e9,
    coasts: false,
    chemistry: laws::battery::Chemistry::Nickel,
    capacity: 0.0,
    used: 0.0,
};

/// Outline of a box of this length and width, counter-clockwise.
pub(super) fn rectangle(length: f64, width: f64) -> Vec<DVec2> {
    [(1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0)]
        .map(|(x, y): (f64, f64)| DVec2::new(0.5 * length * x, 0.5 * width * y))
        .to_vec()
}

/// Inertia in kg·m² of an even box about its centre: m(b² + c²)/12 and so on.
pub(super) fn box_inertia(mass: f64, size: DVec3) -> DMat3 {
    let s = size * size;
    DMat3::from_diagonal(DVec3::new(s.y + s.z, s.x + s.z, s.x + s.y) * (mass / 12.0))
}

/// An even block without wheels that stands on its lower corners.
pub(super) fn block(mass: f64, size: DVec3, friction: f64, rebound: f64) -> Machine {
    let outline = rectangle(size.x, size.y);
    let low = -0.5 * size.z;
    let feet = outline
        .iter()
        .map(|c| Foot {
            at: c.extend(low),
            friction,
            joint: None,
        })
        .collect();
    let prism = Prism::new(outline, low, -low, friction);
    let mut machine = Machine::assemble(
        mass,
        box_inertia(mass, size),
        DVec3::new(0.0, 0.0, -low),
        vec![],
        vec![],
        vec![],
        NO_PACK,
        feet,
        vec![prism],
        vec![],
    );
    machine.rebound[0] = rebound;
    machine
}

/// Two machines without gravity, to be placed by `put_up`.
pub(super) fn in_free_space(machines: [Machine; 2]) -> World {
    let mut arena = SCENE.arena();
    arena.gravity = 0.0;
    arena.ring.diameter_m = 1e-3;
    arena.ring.height_m = 1e6;
    World::new(&arena, machines, 1.0)
}

/// As `World::put_down`, but 10 m up, away from the ring.
pub(super) fn put_up(world: &mut World, seat: usize, x: f64, y: f64, heading: f64) {
    world.put_down(seat, x, y, heading);
    world.bodies[seat].x.z += 10.0;
}

/// A ring far larger than any run.
pub(super) fn wide_arena(gravity: f64) -> Arena {
    let mut arena = SCENE.arena();
    arena.gravity = gravity;
    arena.ring.diameter_m = 40.0;
    arena
}

/// One machine on a wide ring tilted so that +x goes down by `slope` rad; the other is far away.
pub(super) fn on_slope(machine: Machine, gravity: f64, slope: f64) -> World {
    let other = block(1.0, DVec3::splat(0.05), 10.0, 0.0);
    let mut world = World::new(&wide_arena(gravity), [machine, other], 1.0);
    let (sin, cos) = (quantity::maths::sin(slope), quantity::maths::cos(slope));
    world.gravity = gravity * DVec3::new(sin, 0.0, -cos);
    world.put_down(0, 0.0, 0.0, 0.0);
    world.put_down(1, 0.0, 9.0, 0.0);
    world
}

/// Sum of momentum in kg·m/s and of angular momentum about the origin in kg·m²/s, wheels included.
pub(super) fn momentum(world: &World) -> (DVec3, DVec3) {
    let mut sum = (DVec3::ZERO, DVec3::ZERO);
    for (b, m) in world.bodies.iter().zip(&world.machines) {
        let mut own = m.inertia * (b.r.transpose() * b.w);
        for (g, s) in m.groups.iter().zip(&b.s) {
            own.y += g.own_inertia * s;
        }
        let push = m.mass * b.v;
        sum.0 += push;
        sum.1 += b.r * own + b.x.cross(push);
    }
    sum
}

/// Holds `value` against `expected` within a share `tolerance` of it.
#[track_caller]
pub(super) fn near(value: f64, expected: f64, tolerance: f64) {
    println!("{value} for {expected}: {:.2e}", value / expected - 1.0);
    assert!(
        (value - expected).abs() <= tolerance * expected.abs(),
        "{value} instead of {expected}"
    );
}

/// A rigid body on wheels without motors.
pub(super) struct Cart {
    /// Mass in kg.
    pub(super) mass: f64,
    /// Centre of mass over the ring, m.
    pub(super) centre: DVec3,
    /// Where wheels touch the ring (x, y), and what turns each.
    pub(super) wheels: Vec<(f64, f64, Turned)>,
    /// Friction of the tyres.
    pub(super) grip: f64,
    /// Rolling resistance.
    pub(super) rolling: f64,
}

/// What turns a wheel.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Turned {
    /// Nothing: it follows the ground.
    Free,
    /// A shaft that keeps its speed whatever happens: locked, at rest.
    Kept,
}

impl Cart {
    /// Radius of its wheels, m.
    pub(super) const RADIUS: f64 = 0.02;
    /// Half the length of its blunt hull, m.
    pub(super) const HALF: f64 = 0.1;

    /// The same on two axles 120 mm apart, mass centre 50 mm behind the front one and 30 mm up.
    pub(super) fn two_axles(front: Turned, rear: Turned) -> Self {
        let y = 0.05;
        Self {
            mass: 3.0,
            centre: DVec3::new(0.01, 0.0, 0.03),
            wheels: vec![
                (0.06, y, front),
                (0.06, -y, front),
                (-0.06, y, rear),
                (-0.06, -y, rear),
            ],
            grip: 0.8,
            rolling: 0.0,
        }
    }

    /// The machine. Tyres are stiff, so that it hardly leans.
    pub(super) fn machine(&self) -> Machine {
        let stiffness = self.mass * 3e4;
        let centre = self.centre;
        let (mut wheels, mut groups) = (Vec::new(), Vec::new());
        for (k, (x, y, turned)) in self.wheels.iter().enumerate() {
            // Light, and yet more momentum than rolling resistance takes in a step.
            let own = 2e-7;
            let inertia = if *turned == Turned::Kept { 1e9 } else { own };
            groups.push(SpinGroup {
                inertia,
                own_inertia: own,
                kappa: own / inertia,
            });
            wheels.push(WheelNumbers {
                centre: DVec3::new(*x, *y, Self::RADIUS) - centre,
                radius: Self::RADIUS,
                run_out: 0.0,
                run_out_phase: 0.0,
                group: k,
                track: None,
                half_width: 0.0,
                turns: 1.0,
                driven: *turned == Turned::Kept,
                grip_peak: self.grip,
                grip_sliding: self.grip,
                reference_load: 1.0,
                load_exponent: 0.0,
                adhesion: 0.0,
                dirt: None,
                rolling: self.rolling,
                stiffness,
                damping: 2.0 * (stiffness * 0.25 * self.mass).sqrt(),
            });
        }
        let outline = rectangle(2.0 * Self::HALF, 0.1);
        let hull = vec![Prism::new(outline, 0.01 - centre.z, 0.05 - centre.z, 0.0)];
        Machine::assemble(
            self.mass,
            box_inertia(self.mass, DVec3::new(0.15, 0.1, 0.05)),
            centre,
            wheels,
            groups,
            vec![],
            NO_PACK,
            vec![],
            hull,
            vec![],
        )
    }
}
