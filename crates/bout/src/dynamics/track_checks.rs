//! Robots on tracks against closed forms: the moment of turning on the spot, what it leaves of the
//! yaw rate, what the belts push, how they hold against being turned.
//!
//! Moment of turning of uniformly loaded tracks, M = μ W L/4: J. Y. Wong, *Theory of Ground
//! Vehicles*, chapter on skid-steering, and Steeds, *Mechanics of Road Vehicles* (both from memory;
//! the integral over an even pressure is worked in `an_even_pressure_has_that_moment`).

use glam::DVec3;
use quantity::maths::STANDARD_GRAVITY as G;
use quantity::{Draws, Figure, Length, Origin};
use robot::{Robot, Track};

use super::machine::Machine;
use super::simple::{near, on_slope};
use super::world::World;
use crate::tests::scenery::plain;

/// Distance of the tracks' middles, m.
const APART: f64 = 0.08;
/// Grip of the belts.
const GRIP: f64 = 0.8;

fn length(si: f64) -> Figure<Length> {
    Figure::new(si, Origin::Stated, "track")
}

/// The plain test robot on two thin tracks of this ground length instead of wheels and foot, its mass
/// in the middle between them.
fn tracked(ground: f64, patches: u32) -> Robot {
    let mut r = plain("tracked");
    let wheels: Vec<_> = r.wheels.drain(..).collect();
    for w in wheels {
        let mut item = w.item;
        let y = 0.5 * APART * item.at[1].si().signum();
        item.at = [0.0, y, 0.011].map(length);
        let mut tyre = w.tyre;
        tyre.grip_peak = Figure::new(GRIP, Origin::Stated, "grip");
        tyre.grip_sliding = tyre.grip_peak.clone();
        tyre.load_exponent = Figure::new(0.0, Origin::Stated, "exponent");
        tyre.rolling = Figure::new(0.0, Origin::Stated, "rolling");
        r.tracks.push(Track {
            item,
            motor: w.motor,
            ratio: w.ratio,
            radius: length(0.011),
            length: length(ground),
            width: length(0.0),
            patches,
            tyre,
        });
    }
    r.skids.clear();
    for part in r
        .parts
        .iter_mut()
        .chain(r.motors.iter_mut().map(|m| &mut m.item))
    {
        part.at[0] = length(0.0);
    }
    for item in [&mut r.battery.item, &mut r.driver.item, &mut r.board.item] {
        item.at[0] = length(0.0);
    }
    r.sensors.clear();
    // Hulls high above the ring: only belts touch it.
    for h in &mut r.hull {
        h.from = length(0.03);
    }
    r
}

/// That robot at rest on a wide ring, its motors taken off if `free`.
fn standing(ground: f64, patches: u32, free: bool) -> World {
    let mut machine = Machine::compile(&tracked(ground, patches), &Draws::nominal());
    if free {
        machine.motors.clear();
    }
    let mut world = on_slope(machine, G, 0.0);
    for _ in 0..500 {
        world.advance(1, [[0.0; 2]; 2]);
    }
    world
}

fn weight(world: &World) -> f64 {
    world.machine(0).mass * G
}

/// ∫ μ p |x| dx over both tracks, p even: μ W L/4.
#[test]
fn an_even_pressure_has_that_moment() {
    let (n, l) = (10_000, 0.15);
    let x = |k: i32| (f64::from(k) + 0.5) / f64::from(n) * l - 0.5 * l;
    let moment: f64 = (0..n)
        .map(|k| 0.8 * 3.0 * G / f64::from(n) * x(k).abs())
        .sum();
    near(moment, 0.8 * 3.0 * G * l / 4.0, 1e-6);
    // Worked figure: 3 kg, 150 mm, 0.8: 0.8826 N·m.
    near(moment, 0.8826, 1e-4);
}

/// Tracks that roll freely are spun on the spot: only the lateral scrub slows them, M = μ W L/4.
#[test]
fn a_spinning_robot_on_tracks_is_slowed_by_the_moment_of_its_scrub() {
    for patches in [3, 5, 9] {
        let mut world = standing(0.06, patches, true);
        world.bodies[0].w = DVec3::new(0.0, 0.0, 30.0);
        let belts = 30.0 * 0.5 * APART / 0.011;
        let groups = world.machine(0).groups.len();
        assert_eq!(groups, 2);
        for (s, side) in world.bodies[0].s.iter_mut().zip([-1.0, 1.0]) {
            *s = side * belts;
        }
        for _ in 0..10 {
            world.advance(1, [[0.0; 2]; 2]);
        }
        let before = world.bodies[0].w.z;
        for _ in 0..50 {
            world.advance(1, [[0.0; 2]; 2]);
        }
        let slowing = (before - world.bodies[0].w.z) / 0.05;
        let machine = world.machine(0);
        // The belts run along: two of them, each at 40 mm, count as J (y/r)² more.
        let lever = 0.5 * APART / 0.011;
        let belts: f64 = machine.groups.iter().map(|g| g.inertia).sum();
        let inertia = machine.inertia.z_axis.z + belts * lever * lever;
        let expected = GRIP * machine.mass * G * 0.06 / 4.0;
        near(slowing * inertia, expected, 1e-2);
    }
}

/// Turning on the spot at full effort, each belt gives F = M/B and runs as fast as its motor then
/// does: θ̇ = (T − F r)/D, and the robot turns at 2 r θ̇/B.
#[test]
fn the_yaw_rate_on_the_spot_is_that_of_the_moment_balance() {
    let mut rates = Vec::new();
    for ground in [0.02, 0.035] {
        let mut world = standing(ground, 5, false);
        // Only the straight motor line: what rubs in it has its own tests.
        for m in &mut world.machines[0].motors {
            (m.drag, m.back_share, m.hot) = (0.0, 0.0, None);
        }
        for _ in 0..1500 {
            world.advance(1, [[-1.0, 1.0], [0.0; 2]]);
        }
        let rate = world.bodies[0].w.z;
        let m = &world.machine(0).motors[0];
        let volts = world.pack_volts(0);
        let moment = GRIP * weight(&world) * ground / 4.0;
        let force = moment / APART;
        let belt = (m.torque_per_volt * volts - force * 0.011) / m.damping;
        near(rate, 2.0 * 0.011 * belt / APART, 1e-2);
        rates.push(rate);
    }
    assert!(rates[1] < 0.98 * rates[0], "{rates:?}");
}

/// Grip is μ and weight, however long the belt: straight on, both push μ W (here as acceleration from
/// standstill with motors far stronger than that).
#[test]
fn tracks_of_any_length_push_what_grip_and_weight_allow() {
    for ground in [0.05, 0.08] {
        let mut world = standing(ground, 5, false);
        for m in &mut world.machines[0].motors {
            m.torque_per_volt *= 20.0;
            m.damping *= 20.0;
            (m.drag, m.back_share, m.hot) = (0.0, 0.0, None);
        }
        world.machines[0].pack.current_limit = 1e9;
        world.machines[0].pack.resistance = 0.0;
        for _ in 0..60 {
            world.advance(1, [[1.0; 2], [0.0; 2]]);
        }
        let before = world.bodies[0].v.x;
        for _ in 0..40 {
            world.advance(1, [[1.0; 2], [0.0; 2]]);
        }
        near((world.bodies[0].v.x - before) / 0.04, GRIP * G, 1e-2);
    }
}

/// What it costs to turn it by force, motors braking: a longer track holds more (common practice, no
/// source; here by the moment it takes).
#[test]
fn a_longer_track_holds_more_against_being_turned() {
    let turned = |ground: f64| {
        let mut world = standing(ground, 5, true);
        world.bodies[0].w = DVec3::new(0.0, 0.0, 10.0);
        for _ in 0..400 {
            world.advance(1, [[0.0; 2]; 2]);
        }
        let x = world.bodies[0].r.x_axis;
        quantity::maths::atan2(x.y, x.x)
    };
    let (short, long) = (turned(0.03), turned(0.06));
    println!("turned by {short} and {long} rad");
    // ω²I/2M: twice the length, half the angle.
    near(short / long, 2.0, 0.1);
}

/// All patches of a track bear alike where the mass is in the middle, those at its ends half.
#[test]
fn the_load_under_a_belt_is_even() {
    let world = standing(0.06, 5, false);
    let loads: Vec<f64> = world.wheels(0).map(|w| w.load_n).collect();
    let share = weight(&world) / 8.0;
    for (k, load) in loads.iter().enumerate() {
        let end = [0, 4].contains(&(k % 5));
        near(*load, if end { 0.5 * share } else { share }, 2e-2);
    }
}

/// A lost track leaves the other whole, and is one thing of two.
#[test]
fn a_track_is_lost_whole() {
    let world = standing(0.06, 5, false);
    let machine = world.machine(0);
    assert_eq!(machine.units(), 2);
    assert_eq!(machine.treads_of(1).collect::<Vec<_>>(), [5, 6, 7, 8, 9]);
    let middles: Vec<DVec3> = machine.middles().collect();
    assert!((middles[0] + machine.centre - DVec3::new(0.0, 0.04, 0.011)).length() < 1e-9);
}
