//! Robots on wheels against closed forms: loads, braking, grades, steering, pushing, coasting.

use glam::DVec3;
use quantity::maths::{PI, STANDARD_GRAVITY as G, sin};

use super::simple::{Cart, Turned, block, near, on_slope, wide_arena};
use super::world::World;

fn run(world: &mut World, ms: u32) {
    for _ in 0..ms {
        world.advance(1, [[0.0; 2]; 2]);
    }
}

fn loads(world: &World) -> Vec<f64> {
    world.wheels(0).map(|w| w.load_n).collect()
}

/// Rigid body on equal springs: minimum-norm solution of the three balances, computed.
#[test]
fn four_wheels_share_the_weight_as_equal_springs_do() {
    let at = |x, y| (x, y, Turned::Free);
    let cart = |wheels| Cart {
        mass: 3.0,
        centre: DVec3::new(0.012, -0.008, 0.03),
        wheels,
        grip: 0.8,
        rolling: 0.0,
    };
    let four = vec![
        at(0.06, 0.05),
        at(0.06, -0.05),
        at(-0.06, 0.05),
        at(-0.06, -0.05),
    ];
    let mut world = on_slope(cart(four).machine(), G, 0.0);
    run(&mut world, 1000);
    // What remains is that it leans by the springs' give; measured 6e-4.
    for (load, expected) in loads(&world).iter().zip([7.649, 10.003, 4.707, 7.061]) {
        near(*load, expected, 2e-3);
    }
    let three = vec![at(0.06, 0.05), at(0.06, -0.05), at(-0.06, 0.0)];
    let mut world = on_slope(cart(three).machine(), G, 0.0);
    run(&mut world, 1000);
    for (load, expected) in loads(&world).iter().zip([6.472, 11.180, 11.768]) {
        near(*load, expected, 2e-3);
    }
}

/// A cart at rest on its wheels, sent off at `speed`.
fn sent_off(cart: &Cart, speed: f64) -> World {
    let mut world = on_slope(cart.machine(), G, 0.0);
    run(&mut world, 500);
    world.bodies[0].v.x = speed;
    for (s, w) in world.bodies[0].s.iter_mut().zip(&cart.wheels) {
        if w.2 == Turned::Free {
            *s = speed / Cart::RADIUS;
        }
    }
    world
}

/// Moment balance: at rest 17.162 and 12.258 N, braking with 0.8 g 23.046 and 6.374 N.
#[test]
fn braking_moves_load_to_the_front_axle() {
    let cart = Cart::two_axles(Turned::Kept, Turned::Kept);
    let mut world = sent_off(&cart, 2.0);
    let l = loads(&world);
    near(l[0] + l[1], 17.162, 2e-3);
    near(l[2] + l[3], 12.258, 2e-3);
    // The nose dips and swings back within 100 ms of braking.
    run(&mut world, 150);
    let (mut front, mut rear) = (0.0, 0.0);
    for _ in 0..50 {
        run(&mut world, 1);
        let l = loads(&world);
        front += (l[0] + l[1]) / 50.0;
        rear += (l[2] + l[3]) / 50.0;
    }
    // The dip brings the mass a little down and forward; measured 3e-3 and 1e-2 off.
    near(front, 23.046, 1e-2);
    near(rear, 6.374, 3e-2);
}

/// v²/2μg: 63.73 mm from 1 m/s with μ 0.8, closed form.
#[test]
fn locked_wheels_stop_within_the_braking_distance() {
    let mut world = sent_off(&Cart::two_axles(Turned::Kept, Turned::Kept), 1.0);
    let before = world.bodies[0].x.x;
    run(&mut world, 300);
    // The nose dips at first, so the mass runs on by a little more; measured 1 mm.
    near(world.bodies[0].x.x - before, 63.73e-3, 2e-2);
}

/// μ(L − b)/(L − μh) = 0.5833 g with the front axle alone, μb/(L + μh) = 0.2778 g with the rear
/// axle alone: moment balance.
#[test]
fn braking_on_one_axle_slows_as_the_moment_balance_says() {
    for (front, rear, expected) in [
        (Turned::Kept, Turned::Free, 0.5833),
        (Turned::Free, Turned::Kept, 0.2778),
    ] {
        let mut world = sent_off(&Cart::two_axles(front, rear), 2.0);
        run(&mut world, 150);
        let before = world.bodies[0].v.x;
        run(&mut world, 100);
        near((before - world.bodies[0].v.x) / (0.1 * G), expected, 1e-2);
    }
}

/// tan θ = μ with all wheels: 38.66°. With the rear axle alone, nose uphill,
/// tan θ = μb/(L − μh): 22.62° (moment balance; Gillespie, Fundamentals of Vehicle Dynamics, from
/// memory).
#[test]
fn grades_are_held_up_to_the_limit_and_not_beyond() {
    let limits = [(Turned::Kept, 38.66), (Turned::Free, 22.62)];
    for (front, limit) in limits {
        let slid = |degrees: f64| {
            let machine = Cart::two_axles(front, Turned::Kept).machine();
            let mut world = on_slope(machine, G, degrees.to_radians());
            world.put_down(0, 0.0, 0.0, PI);
            run(&mut world, 500);
            let before = world.bodies[0].x.x;
            run(&mut world, 1000);
            world.bodies[0].x.x - before
        };
        let (held, gone) = (slid(limit - 0.2), slid(limit + 0.2));
        println!("{limit}°: {held:.1e} m, {gone:.1e} m");
        // g·sin 0.2° for a second is 17 mm.
        assert!(held < 1e-4, "{held} m below {limit}°");
        assert!(gone > 5e-3, "{gone} m above {limit}°");
    }
}

/// Mean and difference of both sides' speeds: 0.600 m/s and 2.50 rad/s from 0.4 and 0.8 m/s,
/// 160 mm apart (closed form).
#[test]
fn two_wheels_steer_by_their_speeds() {
    let cart = Cart {
        mass: 0.5,
        centre: DVec3::new(0.0, 0.0, 0.015),
        wheels: vec![(0.0, 0.08, Turned::Kept), (0.0, -0.08, Turned::Kept)],
        grip: 1.0,
        rolling: 0.0,
    };
    let mut machine = cart.machine();
    // It stands on two smooth feet besides.
    machine.feet = [0.05, -0.05]
        .map(|x| super::machine::Foot {
            at: DVec3::new(x, 0.0, -0.015),
            friction: 0.0,
            joint: None,
        })
        .to_vec();
    let mut world = on_slope(machine, G, 0.0);
    run(&mut world, 200);
    world.bodies[0]
        .s
        .copy_from_slice(&[0.4 / Cart::RADIUS, 0.8 / Cart::RADIUS]);
    run(&mut world, 600);
    let b = &world.bodies[0];
    near(b.v.truncate().length(), 0.600, 1e-3);
    near(b.w.z, 2.50, 1e-3);
}

/// Net push over the mass of both: (0.8 − 0.6)·0.5 kg·g / 1.0 kg = 0.9807 m/s², closed form.
#[test]
fn the_grippier_of_two_robots_pushes_the_other_back() {
    let cart = |grip| {
        let at = |x: f64, y: f64| (x, y, Turned::Kept);
        let cart = Cart {
            mass: 0.5,
            centre: DVec3::new(0.0, 0.0, 0.02),
            wheels: vec![
                at(0.06, 0.05),
                at(0.06, -0.05),
                at(-0.06, 0.05),
                at(-0.06, -0.05),
            ],
            grip,
            rolling: 0.0,
        };
        cart.machine()
    };
    let mut world = World::new(&wide_arena(G), [cart(0.8), cart(0.6)], 1.0);
    world.put_down(0, -Cart::HALF - 2e-5, 0.0, 0.0);
    world.put_down(1, Cart::HALF + 2e-5, 0.0, PI);
    run(&mut world, 300);
    for b in &mut world.bodies {
        b.s.fill(5.0 / Cart::RADIUS);
    }
    run(&mut world, 200);
    let before = world.bodies[0].v.x + world.bodies[1].v.x;
    run(&mut world, 300);
    let after = world.bodies[0].v.x + world.bodies[1].v.x;
    near(0.5 * (after - before) / 0.3, 0.9807, 2e-3);
}

/// c·g: 0.1961 m/s² with c = 0.02, and 0.4413 N on 3 kg with 0.015 (closed form).
#[test]
fn a_coasting_robot_slows_by_its_rolling_resistance() {
    for (rolling, expected) in [(0.02, 0.1961), (0.015, 0.4413 / 3.0)] {
        let mut cart = Cart::two_axles(Turned::Free, Turned::Free);
        cart.rolling = rolling;
        let mut world = sent_off(&cart, 1.0);
        run(&mut world, 200);
        let before = world.bodies[0].v.x;
        run(&mut world, 500);
        near((before - world.bodies[0].v.x) / 0.5, expected, 2e-3);
    }
}

/// Gravity along the slope alone moves a smooth block: g sin θ, so the tilted gravity is what it
/// says.
#[test]
fn a_smooth_block_falls_down_the_slope_freely() {
    let mut world = on_slope(block(0.3, DVec3::splat(0.05), 0.0, 0.0), G, 0.3);
    run(&mut world, 50);
    let before = world.bodies[0].v.x;
    run(&mut world, 200);
    near((world.bodies[0].v.x - before) / 0.2, G * sin(0.3), 1e-6);
}
