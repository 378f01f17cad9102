//! A blade pushed under a blunt body against the wedge of the textbooks.

use glam::DVec3;
use quantity::maths::{STANDARD_GRAVITY as G, atan, cos, sin, tan};

use super::machine::{Foot, Machine, Sheet};
use super::scene::SCENE;
use super::simple::{NO_PACK, block, near, wide_arena};
use super::world::World;

/// Speed in m/s at which the blade creeps under.
const CREEP: f64 = 0.02;

/// Mass in kg and size of the load.
const LOAD: f64 = 0.5;
const SIZE: DVec3 = DVec3::new(0.1, 0.06, 0.04);

/// What cannot be stopped, with a blade of this slope and friction ahead of it whose edge is half a
/// millimetre below the ring, and no friction on the ring.
fn wedge(slope: f64, friction: f64) -> Machine {
    let wall = SCENE.wall();
    let (tip, low, length) = (0.13, -0.0005, 0.06);
    let (back, high) = (tip - length * cos(slope), low + length * sin(slope));
    let corners = [
        (tip, 0.05, low),
        (tip, -0.05, low),
        (back, -0.05, high),
        (back, 0.05, high),
    ];
    let corners = corners.map(|(x, y, z)| DVec3::new(x, y, z) - wall.centre);
    let feet = wall.feet.into_iter();
    let feet = feet.map(|f| Foot { friction: 0.0, ..f }).collect();
    let sheets = vec![Sheet::new(corners, 0.0, friction)];
    let (mass, inertia) = (wall.mass, wall.inertia);
    let mut machine = Machine::assemble(
        mass,
        inertia,
        wall.centre,
        vec![],
        vec![],
        vec![],
        NO_PACK,
        feet,
        vec![],
        sheets,
    );
    machine.inverse_inertia = wall.inverse_inertia;
    machine
}

/// Force in N with which the blade pushes the load ahead and up, and with which the ring holds the
/// load back, while it creeps under; and how far its front has risen in m.
fn forces(slope: f64, friction: f64) -> ([f64; 2], f64, f64) {
    let load = block(LOAD, SIZE, 50.0, 0.0);
    let mut world = World::new(&wide_arena(G), [wedge(slope, friction), load], 1.0);
    world.put_down(0, 0.0, 0.0, 0.0);
    world.put_down(1, 0.13 + 0.5 * SIZE.x + 1e-4, 0.0, 0.0);
    let (mut push, mut held, mut n) = (DVec3::ZERO, 0.0, 0.0);
    for ms in 0..400 {
        world.bodies[0].v = DVec3::X * CREEP;
        world.advance(1, [[0.0; 2]; 2]);
        // Once it lies on the blade and has stopped bobbing.
        if ms < 200 {
            continue;
        }
        let h = world.substep;
        for c in world.encounter.contacts() {
            assert_eq!((c.a, c.b), (1, 0));
            let [normal, along, across] = c.impulse;
            push += (c.normal * normal + c.along * along + c.across * across) / h;
        }
        for c in &world.feet[1] {
            let [_, along, across] = c.impulse;
            held -= (c.along * along + c.across * across).x / h;
        }
        n += 1.0;
    }
    let front = world.pose(1).origin + world.pose(1).rotation * DVec3::new(-0.5 * SIZE.x, 0.0, 0.0);
    ([push.x / n, push.z / n], held / n, front.z)
}

/// F = W tan(α + φ) with tan φ the friction of the one rough face (Meriam and Kraige, Engineering
/// Mechanics: Statics, section 6/4, wedges; the table's values computed, the last from the worked
/// figures 25°, 0.35, 100 N: 97.55 N of a lecture). W is what the blade carries: the front half of
/// a load that leans on its rear edge, less what the push itself holds up.
#[test]
fn a_blade_is_pushed_under_a_blunt_body_with_the_force_of_a_wedge() {
    for (degrees, friction, expected) in [
        (10.0, 0.0, 0.1763),
        (10.0, 0.2, 0.3901),
        (15.0, 0.0, 0.2679),
        (15.0, 0.2, 0.4944),
        (15.0, 0.35, 0.6819),
        (30.0, 0.0, 0.5774),
        (30.0, 0.2, 0.8788),
        (30.0, 0.35, 1.1622),
        (45.0, 0.0, 1.0),
        (45.0, 0.2, 1.5),
        (25.0, 0.35, 0.9755),
    ] {
        let slope = f64::to_radians(degrees);
        let formula = tan(slope + atan(friction));
        assert!((formula - expected).abs() < 1e-4, "{formula} {expected}");
        let ([ahead, up], held, risen) = forces(slope, friction);
        println!("{degrees}° {friction}: {ahead:.4} N ahead, {up:.4} N up, {held:.4} N, {risen}");
        assert!(risen > 3e-4, "{risen}");
        // The table has four digits; measured 2e-4, 4e-4 and 5e-3.
        near(ahead / up, expected, 3e-4);
        near(held, ahead, 1e-3);
        // Moments about the rear lower edge: the load's weight at half its length.
        let lever = SIZE.x * up + risen * ahead;
        near(lever, 0.5 * SIZE.x * LOAD * G, 1e-2);
    }
}
