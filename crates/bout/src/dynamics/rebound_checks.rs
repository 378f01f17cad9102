//! Hits in free space: what comes back, and that nothing of momentum is lost or made.

use glam::{DQuat, DVec3};
use quantity::Stream;

use super::scene::SCENE;
use super::simple::{block, in_free_space, momentum, near, put_up};
use super::world::World;

/// Blocks of 0.5 kg that run into each other head-on at +1.2 and −0.4 m/s; both after 100 ms.
fn head_on(rebound: f64) -> World {
    let robot = || block(0.5, DVec3::new(0.1, 0.1, 0.06), 0.3, rebound);
    let mut world = in_free_space([robot(), robot()]);
    put_up(&mut world, 0, -0.07, 0.0, 0.0);
    put_up(&mut world, 1, 0.07, 0.0, core::f64::consts::PI);
    world.bodies[0].v.x = 1.2;
    world.bodies[1].v.x = -0.4;
    for _ in 0..100 {
        world.advance(1, [[0.0; 2]; 2]);
    }
    world
}

/// v₁' − v₂' = −e(v₁ − v₂) with momentum kept: closed form. Energy lost: ½ m_red (1 − e²) v_rel².
#[test]
fn a_head_on_hit_gives_back_the_share_of_its_speed_it_should() {
    let world = head_on(0.3);
    let [a, b] = [0, 1].map(|i: usize| world.bodies[i].v);
    // Measured: 2e-9.
    near(a.x, 0.160, 1e-6);
    near(b.x, 0.640, 1e-6);
    near(0.5 * (1.2 - a.x), 0.520, 1e-6);
    let before = 0.25 * (1.2 * 1.2 + 0.4 * 0.4);
    let (energy, _) = world.energy();
    near(before - energy, 0.2912, 1e-6);
    for b in &world.bodies {
        assert!(b.w.length() < 1e-6, "{} rad/s", b.w);
    }
}

#[test]
fn without_rebound_both_go_on_together_and_with_all_of_it_no_energy_is_lost() {
    let dead = head_on(0.0);
    for b in &dead.bodies {
        // What the softness of the contact leaves; measured 4 mm/s.
        assert!((b.v.x - 0.4).abs() < 0.01, "{}", b.v.x);
    }
    let lively = head_on(1.0);
    near(lively.bodies[0].v.x, -0.4, 1e-6);
    near(lively.bodies[1].v.x, 1.2, 1e-6);
}

/// Robots with blades, tyres and rotors thrown at each other any way round.
fn thrown(seed: u64, rebound: f64) -> World {
    let stream = Stream::root(seed).named("thrown");
    let draw = |name: &str, k: usize| stream.named(name).numbered(k as u64).normal();
    let robots = [seed.is_multiple_of(2), seed.is_multiple_of(3)].map(|blade| {
        let mut m = SCENE.robot(SCENE.stall_torque, blade);
        m.rebound = [rebound; 2];
        m
    });
    let mut world = in_free_space(robots);
    world.keep_account();
    put_up(&mut world, 0, -0.15, 0.0, draw("turn", 0));
    put_up(
        &mut world,
        1,
        0.15,
        0.02 * draw("aside", 0),
        draw("turn", 1),
    );
    for (i, b) in world.bodies.iter_mut().enumerate() {
        let side = if i == 0 { 1.0 } else { -1.0 };
        b.v = DVec3::new(side, 0.1 * draw("vy", i), 0.05 * draw("vz", i));
        b.w = 2.0 * DVec3::new(draw("wx", i), draw("wy", i), draw("wz", i));
        let tilt = DQuat::from_xyzw(0.1 * draw("qx", i), 0.1 * draw("qy", i), 0.0, 1.0);
        b.q = tilt.normalize() * b.q;
        b.turn_matrices(&world.machines[i]);
        for (k, s) in b.s.iter_mut().enumerate() {
            *s = 20.0 * draw("spin", 4 * i + k);
        }
    }
    world
}

/// Without ring and gravity nothing acts from outside, so both sums stay. In the angular one the
/// explicit gyroscopic term of freely tumbling robots is left out: only milliseconds of touch count.
/// Measured: 6e-16 kg·m/s and 9e-4 of the angular momentum's size (see `free_checks`).
#[test]
fn hits_keep_momentum_and_angular_momentum() {
    let (mut touched, mut worst) = (0, [0.0_f64; 2]);
    for seed in 0..40 {
        let mut world = thrown(seed, 0.4);
        let mut last = momentum(&world);
        let size = world.machines[0].mass * 2.0 * 0.15 + last.1.length();
        let mut hit = false;
        for _ in 0..400 {
            world.advance(1, [[0.0; 2]; 2]);
            let now = momentum(&world);
            worst[0] = worst[0].max((now.0 - last.0).length());
            if world.touch(0).is_some() {
                hit = true;
                worst[1] = worst[1].max((now.1 - last.1).length() / size);
            }
            last = now;
        }
        touched += u32::from(hit);
    }
    println!("{touched} hits, worst {worst:?}");
    assert!(touched >= 30, "{touched}");
    assert!(worst[0] < 1e-14, "{worst:?}");
    assert!(worst[1] < 1e-3, "{worst:?}");
}

/// Most energy in J a millisecond of touch may make: that of `chaos`. It comes from given overlaps
/// being worked off, most 3e-4.
const MADE: f64 = 8e-4;
/// Most energy in J a hit itself may make. Measured: none, −3e-9 at most.
const MADE_BY_HIT: f64 = 1e-6;

#[test]
fn no_hit_makes_energy() {
    let (mut worst, mut of_hits, mut hits) = (f64::NEG_INFINITY, f64::NEG_INFINITY, 0);
    for seed in 0..60 {
        let mut world = thrown(seed, 0.1 * (seed % 11) as f64);
        let mut last = world.energy().0;
        for _ in 0..400 {
            world.advance(1, [[0.0; 2]; 2]);
            let (now, work) = world.energy();
            let made = now - last - work;
            if world.touch(0).is_some() {
                worst = worst.max(made);
            }
            if world.encounter.contacts().iter().any(|c| c.sprang > 0.0) {
                of_hits = of_hits.max(made);
                hits += 1;
            }
            last = now;
        }
    }
    println!("most made {worst} J, in {hits} hits {of_hits} J");
    assert!(hits > 60, "{hits}");
    assert!(worst < MADE, "{worst} J");
    assert!(of_hits < MADE_BY_HIT, "{of_hits} J");
}
