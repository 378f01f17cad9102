//! Motors, gears, driver and pack against closed forms, on the scene's robot.

use laws::heat::{Network, Stretch, Warmth, copper_rise_ratio, over_a_day};
use laws::motor::{Chain, Constants};

use super::machine::{Hot, Machine};
use super::scene::{SCENE, settle};
use super::world::World;
use crate::carry::Carry;

/// Robot 0 of the scene after `change`, settled on a ring of 20 m; the other is out of the way.
fn alone(torque: f64, change: impl Fn(&mut Machine)) -> World {
    let mut robots = [torque; 2].map(|t| SCENE.robot(t, false));
    change(&mut robots[0]);
    let mut arena = SCENE.arena();
    arena.ring.diameter_m = 20.0;
    let mut world = World::new(&arena, robots, 1.0);
    world.put_down(0, 0.0, 0.0, 0.0);
    world.put_down(1, 0.0, 5.0, 0.0);
    settle(&mut world);
    world
}

/// Speed of robot 0 after one second at `effort` under a steady pull forward of `pull` N at its
/// centre of mass.
fn pulled(world: &mut World, effort: f64, pull: f64) -> f64 {
    world.gravity.x = pull / SCENE.mass;
    for _ in 0..1000 {
        world.advance(1, [[effort; 2], [0.0; 2]]);
    }
    world.bodies[0].v.x
}

/// Mass with the wheels' and rotors' share, kg.
fn moving_mass() -> f64 {
    SCENE.mass + 4.0 * SCENE.spin_inertia() / (SCENE.wheel_radius * SCENE.wheel_radius)
}

/// Friction of 4 mN·m at each of four wheels of 15 mm holds 4·0.004/0.015 = 1.0667 N (statics).
/// Creep while held: measured 7e-18 m/s.
#[test]
fn friction_of_motors_and_gears_holds_up_to_its_torque() {
    let drag = 0.004;
    let holds = 4.0 * drag / SCENE.wheel_radius;
    let coasting = |m: &mut Machine| {
        m.pack.coasts = true;
        m.motors.iter_mut().for_each(|m| m.drag = drag);
    };
    for pull in [0.9 * holds, -0.9 * holds] {
        let creep = pulled(&mut alone(0.01, coasting), 0.0, pull);
        println!("held against {pull:.3} N: {creep:e} m/s");
        assert!(creep.abs() < 1e-4, "{creep}");
    }
    for excess in [0.2, -0.2] {
        let pull = holds.copysign(excess) + excess;
        let speed = pulled(&mut alone(0.01, coasting), 0.0, pull);
        let expected = excess / moving_mass();
        println!("beyond by {excess} N: {speed} of {expected} m/s");
        assert!((speed / expected - 1.0).abs() < 0.01, "{speed}");
    }
}

/// Motors of 5 mN·m at half effort hold 1.333 N by themselves; with gears of efficiency 0.8 the
/// ring must bring up 1/(0.8·0.75) times as much to turn them back (computed).
#[test]
fn a_stalled_robot_pushed_backward_resists_by_its_gears() {
    let back_share = 1.0 / (0.8 * 0.75) - 1.0;
    let geared = |m: &mut Machine| m.motors.iter_mut().for_each(|m| m.back_share = back_share);
    let stall = 4.0 * 0.5 * SCENE.low_torque / SCENE.wheel_radius;
    for (share, direction) in [(0.97, 1.0), (1.03, 0.0), (1.6, 0.0), (1.72, -1.0)] {
        let speed = pulled(&mut alone(SCENE.low_torque, geared), 0.5, -share * stall);
        println!("pulled back with {share} of its push: {speed:.5} m/s");
        if direction == 0.0 {
            assert!(speed.abs() < 1e-4, "{share}: {speed}");
        } else {
            assert!(speed * direction > 1e-2, "{share}: {speed}");
        }
    }
    let speed = pulled(&mut alone(SCENE.low_torque, |_| {}), 0.5, -1.03 * stall);
    assert!(speed < -1e-2, "without gears it gives way: {speed}");
}

/// A self-locking gear, its motor unpowered, slides on its tyres before it turns.
#[test]
fn a_self_locking_gear_holds_without_current() {
    let worm = |m: &mut Machine| {
        m.pack.coasts = true;
        m.motors.iter_mut().for_each(|m| m.locks = true);
    };
    let grip = SCENE.grip * SCENE.mass * SCENE.gravity;
    let held = pulled(&mut alone(SCENE.stall_torque, worm), 0.0, 0.9 * grip);
    assert!(held.abs() < 1e-3, "{held}");
    let mut world = alone(SCENE.stall_torque, worm);
    let slid = pulled(&mut world, 0.0, 1.2 * grip);
    let expected = 0.2 * grip / SCENE.mass;
    assert!((slid / expected - 1.0).abs() < 0.02, "{slid} of {expected}");
    assert!(world.wheels(0).all(|w| w.speed_rad_s.abs() < 0.05));
}

/// Braking by shorted motors: dv/dt = −v/τ with τ = m r²/(4D), m with the rotors' share; open
/// motors leave it rolling.
#[test]
fn an_idle_driver_brakes_or_lets_it_run_on() {
    for coasts in [false, true] {
        let mut world = alone(SCENE.low_torque, |m| m.pack.coasts = coasts);
        let start = 0.4;
        world.bodies[0].v.x = start;
        world.bodies[0].s.fill(start / SCENE.wheel_radius);
        for _ in 0..200 {
            world.advance(1, [[0.0; 2]; 2]);
        }
        let damping = 4.0 * SCENE.low_torque / SCENE.no_load_speed;
        let tau = moving_mass() * SCENE.wheel_radius * SCENE.wheel_radius / damping;
        let expected = if coasts {
            start
        } else {
            start * quantity::maths::exp(-0.2 / tau)
        };
        let speed = world.bodies[0].v.x;
        println!("coasts {coasts}: {speed} of {expected} m/s");
        assert!((speed / expected - 1.0).abs() < 0.005, "{speed}");
    }
}

/// Two motors of 2.4 Ω on 7.4 V behind 0.080 Ω: I = V/(R + 2R_b) each (computed), whatever the
/// speed constant, at standstill. With 0.6 Ω the torque falls to 78.9 %.
#[test]
fn stalled_motors_share_the_sag_of_their_pack() {
    for (ohm, amps, volts) in [(2.4, 2.891, 6.938), (0.6, 9.737, 5.842)] {
        let mut world = alone(0.0, |m| {
            m.motors.truncate(2);
            for motor in &mut m.motors {
                motor.current_per_volt = 1.0 / ohm;
                motor.torque_per_volt = 0.01;
            }
            // Wheels that cannot turn.
            m.groups.iter_mut().for_each(|g| {
                g.inertia = 1e3;
                g.kappa = g.own_inertia / g.inertia;
            });
            (m.pack.voltage, m.pack.resistance) = (7.4, 0.080);
        });
        world.power[0] = super::power::Power::new(&world.machines[0]);
        world.advance(1, [[1.0; 2], [0.0; 2]]);
        let power = world.power(0);
        for a in &power.motors_a {
            assert!((a / amps - 1.0).abs() < 1e-3, "{a} A");
        }
        assert!(
            (power.volts / volts - 1.0).abs() < 1e-3,
            "{} V",
            power.volts
        );
        assert!((power.pack_a / (2.0 * amps) - 1.0).abs() < 1e-3);
        let torque = world.drives[0][0].torque / (0.01 * 7.4);
        assert!((torque / (volts / 7.4) - 1.0).abs() < 1e-3, "{torque}");
    }
}

#[test]
fn what_others_draw_lowers_the_pack_for_the_motors() {
    let mut world = alone(SCENE.low_torque, |m| m.pack.resistance = 0.1);
    world.power[0].others_a = 2.0;
    world.advance(1, [[0.0; 2]; 2]);
    assert!((world.power(0).volts - 0.8).abs() < 1e-12);
    assert!((world.power(0).pack_a - 2.0).abs() < 1e-12);
}

/// A quarter of a nickel pack in 90 s at 1 A: by hand 0.25 of 360 A·s, and the open voltage of its
/// curve.
#[test]
fn a_pack_empties_by_what_is_drawn() {
    let mut world = alone(SCENE.low_torque, |m| {
        m.pack.capacity = 360.0;
        m.pack.idle_current = 1.0;
    });
    let gone = world.power(0).used;
    for _ in 0..9_000 {
        world.advance(1, [[0.0; 2]; 2]);
    }
    let power = world.power(0);
    assert!((power.used - gone - 9.0).abs() < 1e-6, "{}", power.used);
    let open = laws::battery::Chemistry::Nickel.open_share(1.0 - power.used / 360.0);
    assert!(
        (power.open_v - open).abs() < 2e-3,
        "{} of {open}",
        power.open_v
    );
    let mut later = alone(SCENE.low_torque, |m| m.pack.capacity = 360.0);
    let carry = Carry {
        used_c: 180.0,
        ..Carry::default()
    };
    later.carry(0, &carry);
    assert!((later.power(0).open_v - 1.28 / 1.42).abs() < 1e-3);
}

/// Motor of 2.4 Ω held at 1 A by its driver: the same day by the exact network with resistance
/// following temperature. Measured 0.02 %.
#[test]
fn a_held_motor_warms_as_its_network_says() {
    let network = Network {
        winding_to_case_k_w: 5.0,
        case_to_air_k_w: 20.0,
        winding_j_k: 5.0,
        case_j_k: 60.0,
    };
    let sheet = Constants {
        resistance_ohm: 2.4,
        k_nm_per_a: 0.005,
        free_a: 0.0,
    }
    .sheet(6.0);
    let chain = Chain {
        sheet,
        series_ohm: 0.0,
        ratio: 1.0,
        efficiency: 1.0,
        box_efficiency: 1.0,
    };
    let hot = |m: &mut Machine| {
        for motor in &mut m.motors {
            motor.take_line(&chain.line(1.0, 1.0));
            motor.hot = Some(Hot { chain, network });
        }
        m.groups.iter_mut().for_each(|g| g.inertia = 1e3);
        // A channel feeds two of them.
        (m.pack.voltage, m.pack.current_limit) = (6.0, 2.0);
    };
    let mut world = alone(0.0, hot);
    world.power[0] = super::power::Power::new(&world.machines[0]);
    for _ in 0..10_000 {
        world.advance(1, [[1.0; 2], [0.0; 2]]);
    }
    let day = [Stretch {
        current_a: 1.0,
        time_s: 10.0,
    }];
    let expected = over_a_day(&network, 2.4, Warmth::default(), &day)[0];
    let now = world.power(0).warmth[0];
    println!("{now:?} of {expected:?}");
    assert!((now.winding_k / expected.winding_k - 1.0).abs() < 2e-3);
    assert!((now.case_k / expected.case_k - 1.0).abs() < 2e-2);

    // Copper 55 K warmer: torque at standstill × 0.823 (1/1.2145, computed), carried over.
    let mut later = alone(0.0, hot);
    let warm = Warmth {
        winding_k: 55.0,
        case_k: 0.0,
    };
    let carry = Carry {
        motors: vec![warm; 4],
        ..Carry::default()
    };
    later.carry(0, &carry);
    let [cold, warm] = [&world, &later].map(|w| w.machines[0].motors[0].torque_per_volt);
    let cold = cold * copper_rise_ratio(now.winding_k);
    assert!((warm / cold - 0.823).abs() < 2e-3, "{}", warm / cold);
}

/// Front wheels of twice the radius geared two to one to the rear wheels' shaft, both motors of a
/// side on it: rims run at one speed, and it runs up as with equal wheels and the same torque.
#[test]
fn wheels_of_two_sizes_geared_together_roll_without_fighting() {
    let r = SCENE.wheel_radius;
    let geared = |m: &mut Machine| {
        let own = SCENE.wheel_inertia();
        for (k, w) in m.wheels.iter_mut().enumerate() {
            w.group = k % 2;
            if k < 2 {
                w.radius = 2.0 * r;
                w.centre.z += r;
                w.turns = 0.5;
            }
        }
        m.groups.truncate(2);
        for g in &mut m.groups {
            // Half of the front wheel's speed, a quarter of its inertia at the shaft.
            g.own_inertia = own + 0.5 * own;
            g.inertia = 2.0 * SCENE.armature + own + 0.25 * own;
            g.kappa = g.own_inertia / g.inertia;
        }
        for (k, motor) in m.motors.iter_mut().enumerate() {
            motor.group = k % 2;
        }
    };
    let mut world = alone(SCENE.low_torque, geared);
    for _ in 0..300 {
        world.advance(1, [[1.0; 2], [0.0; 2]]);
    }
    let wheels: Vec<_> = world.wheels(0).collect();
    for (front, rear) in [(0, 2), (1, 3)] {
        let ratio = wheels[rear].speed_rad_s / wheels[front].speed_rad_s;
        assert!((ratio - 2.0).abs() < 1e-12, "{ratio}");
        assert!(!wheels[front].sliding && !wheels[rear].sliding);
    }
    let own = SCENE.wheel_inertia();
    let mass = SCENE.mass + 2.0 * (2.0 * SCENE.armature + 1.25 * own) / (r * r);
    let tau = mass * SCENE.top_speed() / (4.0 * SCENE.low_torque / r);
    let expected = SCENE.top_speed() * (1.0 - quantity::maths::exp(-0.3 / tau));
    let speed = world.bodies[0].v.x;
    println!("{speed} of {expected} m/s");
    assert!((speed / expected - 1.0).abs() < 0.005);
}

/// A weak pack and a driver that holds its channels: the same two motors of 0.6 Ω held at 3 A each take
/// 10.8 W from 7.4 V behind 0.080 Ω, so V = (7.4 + √(7.4² − 4 · 0.08 · 10.8))/2 (own computation), far
/// above the 5.842 V of unlimited motors.
#[test]
fn a_held_channel_sags_the_pack_by_what_it_takes() {
    let mut world = alone(0.0, |m| {
        m.motors.truncate(2);
        for (k, motor) in m.motors.iter_mut().enumerate() {
            (motor.channel, motor.current_per_volt) = (k, 1.0 / 0.6);
        }
        m.groups.iter_mut().for_each(|g| g.inertia = 1e3);
        (m.pack.voltage, m.pack.resistance, m.pack.current_limit) = (7.4, 0.080, 3.0);
    });
    world.power[0] = super::power::Power::new(&world.machines[0]);
    world.advance(1, [[1.0; 2], [0.0; 2]]);
    let power = world.power(0);
    let volts = 0.5 * (7.4 + (7.4_f64 * 7.4 - 0.32 * 10.8).sqrt());
    assert!((power.volts - volts).abs() < 1e-6, "{}", power.volts);
    assert!(
        (power.pack_a - 10.8 / volts).abs() < 1e-6,
        "{}",
        power.pack_a
    );
    assert!(power.motors_a.iter().all(|a| (a - 3.0).abs() < 1e-9));
}

/// Two motors on one channel share its limit.
#[test]
fn motors_of_one_channel_share_its_limit() {
    let mut world = alone(0.0, |m| {
        m.motors.truncate(2);
        for (ohm, motor) in [0.6, 1.2].into_iter().zip(&mut m.motors) {
            (motor.channel, motor.current_per_volt) = (0, 1.0 / ohm);
        }
        m.groups.iter_mut().for_each(|g| g.inertia = 1e3);
        (m.pack.voltage, m.pack.current_limit) = (7.4, 3.0);
    });
    world.power[0] = super::power::Power::new(&world.machines[0]);
    world.advance(1, [[1.0; 2], [0.0; 2]]);
    let amps = &world.power(0).motors_a;
    assert!(
        (amps[0] - 2.0).abs() < 1e-9 && (amps[1] - 1.0).abs() < 1e-9,
        "{amps:?}"
    );
}
