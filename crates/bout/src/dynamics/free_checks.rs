//! Two robots with gadgets thrown at each other far from any ring: nothing acts from outside.

use glam::{DQuat, DVec3};
use quantity::Stream;

use super::gadgetry::gadgeteer;
use super::simple::{in_free_space, momentum, put_up};
use super::world::World;

/// Two robots with a driven lifter ahead and a flap behind that come at each other at 1 m/s each,
/// turned, leaning and spinning.
fn thrown(seed: u64) -> World {
    let stream = Stream::root(seed).named("thrown gadgets");
    let draw = |name: &str, k: u64| stream.named(name).numbered(k).normal();
    let mut world = in_free_space([gadgeteer(), gadgeteer()]);
    for i in 0..2_usize {
        let k = i as u64;
        let side = if i == 0 { -1.0 } else { 1.0 };
        let turn = if i == 0 { 0.0 } else { core::f64::consts::PI };
        put_up(
            &mut world,
            i,
            0.16 * side,
            0.02 * draw("y", k),
            turn + draw("turn", k),
        );
        let b = &mut world.bodies[i];
        b.v = DVec3::new(-side, 0.1 * draw("vy", k), 0.05 * draw("vz", k));
        b.w = 3.0 * DVec3::new(draw("wx", k), draw("wy", k), draw("wz", k));
        let tilt = DQuat::from_xyzw(0.1 * draw("qx", k), 0.1 * draw("qy", k), 0.0, 1.0);
        b.q = tilt.normalize() * b.q;
        b.turn_matrices(&world.machines[i]);
        for (s, k) in b.s.iter_mut().zip(10 * k..) {
            *s = 10.0 * draw("spin", k);
        }
    }
    world
}

/// Linear momentum to rounding. Angular momentum not quite: the two sides of a contact push at their
/// own points, which lie apart by what bodies overlap or have slipped within a millisecond, and the
/// gyroscopic term is explicit; both have bounds here. Measured, as shares of what two robots that
/// pass at 1 m/s have: 8e-16; 3e-3 in the worst millisecond of touch, 2e-4 in free flight.
#[test]
fn a_wild_collision_with_gadgets_keeps_momentum() {
    let (mut touched, mut moved) = (0, 0);
    let (mut linear, mut touching, mut flying) = (0.0_f64, 0.0_f64, 0.0_f64);
    for seed in 0..60 {
        let mut world = thrown(seed);
        let first = momentum(&world);
        let (push, turn) = (
            2.0 * world.machines[0].mass,
            first.1.length() + 0.3 * world.machines[0].mass,
        );
        let (mut last, mut hit, mut most) = (first.1, false, 0.0_f64);
        for ms in 0..400_u32 {
            if ms % 60 == 0 {
                let up = if ms % 120 == 0 { 1000 } else { 0 };
                world.send(0, &[up]);
                world.send(1, &[1000 - up]);
            }
            world.advance(1, [[0.6, -0.4], [1.0, 0.7]]);
            assert!(world.finite());
            let now = momentum(&world);
            linear = linear.max((now.0 - first.0).length() / push);
            let jump = (now.1 - last).length() / turn;
            if world.touch(0).is_some() {
                hit = true;
                touching = touching.max(jump);
            } else {
                flying = flying.max(jump);
            }
            let lifters = world.bodies.iter().map(|b| b.theta[4]);
            most = lifters.fold(most, f64::max);
            last = now.1;
        }
        touched += u32::from(hit);
        moved += u32::from(most > 0.3);
    }
    println!("{touched} hits, {moved} lifters; {linear:.1e}, {touching:.1e}, {flying:.1e}");
    assert!(touched > 50 && moved > 50, "{touched} {moved}");
    assert!(linear < 1e-14, "{linear}");
    assert!(touching < 6e-3 && flying < 5e-4, "{touching} {flying}");
}
