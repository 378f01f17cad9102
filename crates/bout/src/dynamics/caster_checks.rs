//! Feet that slide and balls that roll: what they drag with, whichever way.

use glam::DVec3;
use quantity::maths::{STANDARD_GRAVITY as G, cos, sin};
use quantity::{Draws, Figure, Origin, Ratio};

use super::machine::Machine;
use super::simple::{near, on_slope};
use crate::tests::scenery::plain;

fn share(si: f64) -> Figure<Ratio> {
    Figure::new(si, Origin::Stated, "foot")
}

/// Deceleration in m/s² of the plain robot on three feet alone, thrown off in this direction.
fn slowing(rolling: Option<f64>, direction: f64) -> f64 {
    let mut robot = plain("on feet");
    let mut foot = robot.skids[0].clone();
    (foot.friction, foot.rolling) = (share(0.2), rolling.map(share));
    robot.skids.clear();
    for (k, [x, y]) in [[0.04, 0.0], [-0.04, 0.04], [-0.04, -0.04]]
        .into_iter()
        .enumerate()
    {
        foot.item.name = format!("foot {k}");
        for (at, si) in foot.contact.iter_mut().zip([x, y, 0.0]) {
            *at = at.clone().with_si(si);
        }
        robot.skids.push(foot.clone());
    }
    let mut machine = Machine::compile(&robot, &Draws::nominal());
    // Wheels and motors taken off: their mass stays.
    machine.wheels.clear();
    machine.motors.clear();
    let mut world = on_slope(machine, G, 0.0);
    let run = |world: &mut super::world::World, ms| {
        for _ in 0..ms {
            world.advance(1, [[0.0; 2]; 2]);
        }
    };
    run(&mut world, 300);
    world.bodies[0].v = DVec3::new(cos(direction), sin(direction), 0.0);
    run(&mut world, 80);
    let before = world.bodies[0].v.truncate().length();
    run(&mut world, 100);
    (before - world.bodies[0].v.truncate().length()) / 0.1
}

/// μ g of a slide, c g of a ball, the same in both directions; a ball that rolls harder than it slides
/// slides (closed forms).
#[test]
fn a_ball_rolls_every_way_and_a_slide_slides() {
    for direction in [0.0, 1.571] {
        near(slowing(None, direction), 0.2 * G, 1e-2);
        near(slowing(Some(0.05), direction), 0.05 * G, 1e-2);
        near(slowing(Some(0.5), direction), 0.2 * G, 1e-2);
    }
}
