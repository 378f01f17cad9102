//! Tyres on other surfaces, in dirt and with adhesion, in the bout's own dynamics.

use glam::DVec3;
use quantity::maths::{STANDARD_GRAVITY as G, exp};
use quantity::{Draws, Figure, Origin, Ratio};
use robot::Surface;

use super::machine::{Dirt, Machine};
use super::simple::{Cart, Turned, near, on_slope};
use super::world::World;
use crate::tests::scenery;

fn run(world: &mut World, ms: u32) {
    for _ in 0..ms {
        world.advance(1, [[0.0; 2]; 2]);
    }
}

/// A robot of the scenery on a ring of this surface, its tyres of this compound.
fn standing(surface: Surface, compound: &str, on: &[(Surface, f64)]) -> Machine {
    let mut robot = scenery::pusher("tyres");
    for w in &mut robot.wheels {
        w.tyre.compound = compound.into();
        let figure = |f: f64| Figure::<Ratio>::new(f, Origin::Stated, "wheel/on");
        w.tyre.on = on.iter().map(|(s, f)| (*s, figure(*f))).collect();
        w.tyre.dirt_loss = Figure::new(0.4, Origin::Stated, "wheel/dirt-loss");
        w.tyre.since_cleaned = Figure::new(15.0, Origin::Stated, "wheel/since-cleaned");
        w.tyre.dirt_length = Figure::new(30.0, Origin::Stated, "wheel/dirt-length");
    }
    let mut ring = scenery::arena().ring;
    ring.surface = surface;
    ring.dust = 2.0;
    let mut machine = Machine::compile(&robot, &Draws::nominal());
    machine.stand_on(&ring, &robot, &Draws::nominal());
    machine
}

/// Share left of the clean grip after 15 m on a ring twice as dusty as common.
fn left() -> f64 {
    1.0 - 0.4 * (1.0 - exp(-1.0))
}

#[test]
fn a_tyre_starts_with_its_surface_and_the_dirt_since_it_was_cleaned() {
    let peak = |s, on: &[_]| standing(s, "silicone", on).wheels[0].grip_peak;
    near(peak(Surface::PaintedBoard, &[]), 0.9 * left(), 1e-9);
    near(peak(Surface::Wood, &[]), 0.8 * 0.9 * left(), 1e-9);
    near(
        peak(Surface::Wood, &[(Surface::Wood, 0.5)]),
        0.5 * 0.9 * left(),
        1e-9,
    );
}

/// A cart whose wheels spin in place while it is held back by nothing: it slides off, gathering dirt
/// with the tread's travel and not with its own.
#[test]
fn grip_falls_with_the_travel_of_the_tread() {
    let cart = Cart::two_axles(Turned::Kept, Turned::Kept);
    let mut machine = cart.machine();
    let (loss, length) = (0.5, 2.0);
    for w in &mut machine.wheels {
        w.dirt = Some(Dirt {
            loss,
            length,
            travel: 0.0,
            fresh: 0.0,
            noted: 0.0,
            clean: [0.8, 0.8, 0.0],
        });
    }
    machine.gathers_dirt = true;
    let mut world = on_slope(machine, G, 0.0);
    run(&mut world, 500);
    let tread = 10.0;
    world.bodies[0].s.fill(tread / Cart::RADIUS);
    let mut expected = 0.0;
    for ms in 0..500 {
        world.advance(1, [[0.0; 2]; 2]);
        let travel = tread * 1e-3 * f64::from(ms);
        expected += 1e-3 * 0.8 * G * (1.0 - loss * (1.0 - exp(-travel / length)));
    }
    // Measured: 4e-4 off.
    near(world.bodies[0].v.x, expected, 3e-3);
    let clean = 0.5 * 0.8 * G;
    assert!(world.bodies[0].v.x < 0.75 * clean, "dirt takes its share");
}

/// The limit is μN + A: a cart of four tyres with 1.5 N of adhesion each slows by (μmg + 6 N)/m.
#[test]
fn adhesion_holds_beyond_grip_times_load() {
    let cart = Cart::two_axles(Turned::Kept, Turned::Kept);
    let mut machine = cart.machine();
    for w in &mut machine.wheels {
        w.adhesion = 1.5;
    }
    let mut world = on_slope(machine, G, 0.0);
    run(&mut world, 500);
    world.bodies[0].v = DVec3::new(2.5, 0.0, 0.0);
    run(&mut world, 120);
    let before = world.bodies[0].v.x;
    run(&mut world, 60);
    near((before - world.bodies[0].v.x) / 0.06, 0.8 * G + 2.0, 5e-3);
}
