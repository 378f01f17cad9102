//! Jointed parts against closed forms, and the account of their energy.

use glam::DVec3;
use quantity::Stream;

use super::joint::{Joint, JointMotor};
use super::machine::{Foot, Machine, Sheet};
use super::scene::{SCENE, Scene, settle};
use super::world::World;

/// A joint without spring and motor, about an axis along the robot's left, edge up positive.
fn hinge(at: DVec3, mass: f64, middle: DVec3, inertia: f64) -> Joint {
    Joint {
        hinge: at,
        axis: DVec3::NEG_Y,
        slides: false,
        inertia,
        mass,
        lever: middle - at,
        way: 0.0,
        stops: [-0.05, 0.5],
        spring: 0.0,
        slack: 0.0,
        damping: 0.0,
        holds: 0.0,
        motor: None,
    }
}

/// A motor of this stall torque (force) and free speed at one volt.
fn motor(stall: f64, free: f64, way: f64) -> Option<JointMotor> {
    Some(JointMotor {
        output: 0,
        torque_per_volt: stall,
        damping: stall / free,
        current_per_volt: 1.0,
        current_per_speed: 0.0,
        band: 0.05 * way,
    })
}

/// A blade that lies flat on the ring: corners from the edge to the back, design axes.
fn flat(tip: f64, back: f64, half: f64, low: f64, high: f64, centre: DVec3) -> [DVec3; 4] {
    [
        DVec3::new(tip, half, low),
        DVec3::new(tip, -half, low),
        DVec3::new(back, -half, high),
        DVec3::new(back, half, high),
    ]
    .map(|c| c - centre)
}

/// The scene's robot with a sheet on `joint`, whose first two corners are feet.
fn with_sheet(mut machine: Machine, corners: [DVec3; 4], mut joint: Joint) -> Machine {
    let mut sheet = Sheet::new(corners, 0.0, 0.3);
    let index = machine.joints.len();
    sheet.joint = Some(index);
    for c in &corners[..2] {
        machine.feet.push(Foot {
            at: *c,
            friction: 0.0,
            joint: Some(index),
        });
    }
    joint.way = if joint.way == 0.0 {
        joint.stops[1]
    } else {
        joint.way
    };
    let mut joints = machine.joints.clone();
    joints.push(joint);
    machine.sheets.push(sheet);
    machine.join(joints);
    machine
}

fn centre() -> DVec3 {
    DVec3::new(0.0, 0.0, SCENE.cg_height)
}

/// A blade of 40 g, 40 mm from hinge to edge, edge on the ring, hinge 10 mm up.
fn hinged_blade(change: impl Fn(&mut Joint)) -> Machine {
    let robot = SCENE.robot(SCENE.low_torque, false);
    let corners = flat(0.09, 0.05, 0.045, 0.0, 0.01, centre());
    let at = DVec3::new(0.05, 0.0, 0.01) - centre();
    let middle = DVec3::new(0.07, 0.0, 0.005) - centre();
    let mut joint = hinge(at, 0.04, middle, 0.04 * 0.0016 / 3.0);
    change(&mut joint);
    with_sheet(robot, corners, joint)
}

/// The robot alone, settled; the other one far off.
fn alone(machine: Machine, ms: u32) -> World {
    let mut arena = SCENE.arena();
    arena.ring.diameter_m = 20.0;
    let mut world = World::new(&arena, [machine, SCENE.robot(0.01, false)], 1.0);
    world.put_down(0, 0.0, 0.0, 0.0);
    world.put_down(1, 0.0, 5.0, 0.0);
    for _ in 0..ms {
        world.advance(1, [[0.0; 2]; 2]);
    }
    world
}

/// Load of all feet of robot 0 that belong to a joint, N.
fn on_parts(world: &World) -> f64 {
    let feet = world.feet[0].iter().filter(|c| c.jointed);
    feet.map(|c| c.impulse[0] / world.substep).sum()
}

/// Load of its wheels, N.
fn on_wheels(world: &World) -> f64 {
    world.wheels(0).map(|w| w.load_n).sum()
}

/// Loads at rest: largest error as a share. Measured 3e-6.
const AT_REST: f64 = 1e-4;

#[track_caller]
fn near(value: f64, expected: f64, share: f64) {
    assert!(
        (value - expected).abs() <= share * expected.abs(),
        "{value} for {expected}"
    );
}

#[test]
fn a_hinged_blade_presses_with_half_its_weight_and_the_wheels_carry_the_rest() {
    // An even bar hinged at one end and propped at the other: half its weight on the prop.
    let world = alone(hinged_blade(|_| ()), 600);
    let weight = SCENE.mass * SCENE.gravity;
    println!("{} {}", on_parts(&world), on_wheels(&world));
    near(on_parts(&world), 0.5 * 0.04 * SCENE.gravity, AT_REST);
    near(on_wheels(&world) + on_parts(&world), weight, AT_REST);
}

#[test]
fn a_preload_takes_just_that_much_off_the_wheels() {
    let plain = alone(hinged_blade(|_| ()), 600);
    let sprung = alone(
        hinged_blade(|j| {
            // 0.5 N at 40 mm with the edge at its place; 200 N/m there.
            j.spring = 200.0 * 0.0016;
            j.slack = -0.5 * 0.04 / j.spring;
            j.damping = 1e-4;
        }),
        600,
    );
    let gained = on_parts(&sprung) - on_parts(&plain);
    let lost = on_wheels(&plain) - on_wheels(&sprung);
    println!("gained {gained} lost {lost}");
    // The nose rises a little on its tyres, which slackens the spring: measured 0.493 N.
    near(gained, 0.5, 0.02);
    near(lost, gained, AT_REST);
}

#[test]
fn a_springy_fixed_blade_gives_by_the_force_on_it_over_its_stiffness() {
    // It stands on its edge 0.3 mm low, so that it carries; far stiffer than the tyres.
    let stiffness = 5000.0;
    let world = alone(
        hinged_blade(|j| {
            j.spring = stiffness * 0.0016;
            j.stops = [-0.5, 0.5];
            j.slack = -0.0075;
            j.damping = 0.01;
            j.mass = 0.0;
        }),
        800,
    );
    let q = world.bodies[0].theta[4];
    let force = on_parts(&world);
    println!("force {force} q {q}");
    assert!(force > 0.2, "{force}");
    near(stiffness * 0.04 * (q + 0.0075), force, 0.005);
}

/// Mass and lever arms of the robot that is to be lifted: 3 kg, centre midway between its rear
/// wheels and its front edge.
const HEAVY: Scene = Scene {
    mass: 3.0,
    box_size: [0.1, 0.1, 0.05],
    clearance: 0.003,
    cg_height: 0.02,
    wheel_x: 0.05,
    axles: 2,
    ..SCENE
};

/// A heavy robot without front wheels whose front edge lies on the edge of a lifter that a wall
/// carries. How far its front has risen in m after half a second with this stall torque.
fn lifted_by(torque: f64) -> f64 {
    let mut wall = SCENE.wall();
    let up = centre();
    // 80 mm from hinge to edge; level, 2.5 mm up.
    let corners = flat(0.13, 0.05, 0.04, 0.0024, 0.0025, up);
    let at = DVec3::new(0.05, 0.0, 0.0025) - up;
    let mut joint = hinge(at, 1e-3, at, 1e-4);
    joint.stops = [0.0, 0.3];
    joint.way = 0.3;
    joint.motor = motor(torque, 6.0, 0.3);
    wall.pack.voltage = 1.0;
    wall.pack.resistance = 0.0;
    wall.hull.clear();
    let wall = with_sheet(wall, corners, joint);
    let mut heavy = HEAVY.robot(0.5, false);
    heavy.wheels.retain(|w| w.centre.x < 0.0);
    let mut world = World::new(&SCENE.arena(), [wall, heavy], 1.0);
    world.put_down(0, 0.0, 0.0, 0.0);
    // Its front edge, 50 mm ahead of its middle, reaches 1 mm over the lifter's edge.
    world.put_down(1, 0.178, 0.0, core::f64::consts::PI);
    for _ in 0..300 {
        world.advance(1, [[0.0; 2]; 2]);
    }
    let height = |w: &World| (w.pose(1).origin + w.pose(1).rotation * DVec3::new(0.05, 0.0, 0.0)).z;
    let before = height(&world);
    world.send(0, &[1000]);
    for _ in 0..500 {
        world.advance(1, [[0.0; 2]; 2]);
    }
    height(&world) - before
}

#[test]
fn a_lifter_lifts_when_its_torque_over_its_arm_exceeds_the_load() {
    // 0.98 N·m on 80 mm make 12.25 N at the edge; half of 3 kg needs 14.71 N (computed). The arm
    // to the point of contact is 79 mm, so that 1.17 N·m just lift.
    let (weak, strong) = (lifted_by(0.98), lifted_by(1.25));
    println!("{:.3} mm, {:.3} mm, arm 78 mm", 1e3 * weak, 1e3 * strong);
    assert!(weak.abs() < 2e-4, "{weak}");
    assert!(strong > 5e-3, "{strong}");
}

/// A robot with a jack under its middle that makes this force.
fn jacked(force: f64) -> Machine {
    let mut robot = SCENE.robot(SCENE.low_torque, false);
    let foot = DVec3::new(0.0, 0.0, 0.002) - centre();
    robot.feet.push(Foot {
        at: foot,
        friction: 0.5,
        joint: Some(0),
    });
    let mut joint = hinge(foot, 0.01, foot, 0.02);
    joint.axis = DVec3::NEG_Z;
    joint.slides = true;
    joint.lever = DVec3::ZERO;
    joint.stops = [0.0, 0.012];
    joint.way = 0.012;
    joint.motor = motor(force, 0.1, 0.012);
    robot.join(vec![joint]);
    robot
}

#[test]
fn a_jack_lifts_its_own_robot_if_it_is_stronger_than_its_weight() {
    let weight = SCENE.mass * SCENE.gravity;
    for (force, lifts) in [(0.9 * weight, false), (1.3 * weight, true)] {
        let mut world = alone(jacked(force), 300);
        let before = world.pose(0).origin.z;
        world.send(0, &[1000]);
        // Two hundred milliseconds: it stands on one point and will topple later.
        for _ in 0..200 {
            world.advance(1, [[0.0; 2]; 2]);
        }
        let rise = world.pose(0).origin.z - before;
        println!(
            "{force} N: {:.3} mm, wheels {} N",
            1e3 * rise,
            on_wheels(&world)
        );
        if lifts {
            assert!(rise > 4e-3, "{rise}");
            near(on_parts(&world), weight, 0.1);
        } else {
            assert!(rise < 5e-4, "{rise}");
            // What moves weighs on its foot as well.
            near(
                on_wheels(&world),
                weight - force - 0.01 * SCENE.gravity,
                AT_REST,
            );
        }
    }
}

#[test]
fn a_lifter_under_something_heavy_tips_its_own_robot_over_its_front_wheels() {
    // The heavy robot weighs six times as much: the lifter's robot goes up behind instead.
    let robot = SCENE.robot(SCENE.low_torque, false);
    let corners = flat(0.13, 0.05, 0.04, 0.0024, 0.0025, centre());
    let at = DVec3::new(0.05, 0.0, 0.0025) - centre();
    let mut joint = hinge(at, 1e-3, at, 1e-4);
    joint.stops = [0.0, 0.8];
    joint.way = 0.8;
    joint.motor = motor(3.0, 6.0, 0.8);
    let robot = with_sheet(robot, corners, joint);
    let heavy = HEAVY.robot(0.5, false);
    let mut world = World::new(&SCENE.arena(), [robot, heavy], 1.0);
    world.put_down(0, 0.0, 0.0, 0.0);
    world.put_down(1, 0.170, 0.0, core::f64::consts::PI);
    for _ in 0..300 {
        world.advance(1, [[0.0; 2]; 2]);
    }
    let nose = |w: &World| w.pose(0).rotation.x_axis.z;
    assert!(nose(&world).abs() < 0.02);
    world.send(0, &[1000]);
    let mut least: f64 = 0.0;
    for _ in 0..600 {
        world.advance(1, [[0.0; 2]; 2]);
        least = least.min(nose(&world));
    }
    println!("nose down by {least}");
    assert!(least < -0.25, "{least}");
}

#[test]
fn a_self_locking_gear_holds_without_current_what_a_free_one_drops() {
    let drop = |holds: f64| {
        let mut machine = hinged_blade(|j| {
            j.stops = [-0.3, 0.5];
            j.way = 0.5;
            j.motor = motor(0.2, 6.0, 0.5);
            j.holds = holds;
        });
        machine.feet.retain(|f| f.joint.is_none());
        let mut world = alone(machine, 50);
        world.send(0, &[1000]);
        for _ in 0..400 {
            world.advance(1, [[0.0; 2]; 2]);
        }
        let up = world.bodies[0].theta[4];
        assert!(up > 0.45, "{up}");
        world.send(0, &[-1]);
        for _ in 0..400 {
            world.advance(1, [[0.0; 2]; 2]);
        }
        up - world.bodies[0].theta[4]
    };
    // The blade weighs on its hinge with 0.04 kg · 9.81 m/s² · 20 mm = 7.8 mN·m (computed).
    assert!(drop(0.012) < 1e-6);
    assert!(drop(0.004) > 0.5);
}

#[test]
fn stops_create_no_energy() {
    let mut scene = SCENE.arena();
    scene.gravity = 0.0;
    let machine = hinged_blade(|j| j.inertia = 2e-4);
    let mut world = World::new(&scene, [machine, SCENE.robot(0.01, false)], 1.0);
    world.put_down(0, 0.0, 0.0, 0.0);
    world.put_down(1, 0.0, 0.3, 0.0);
    world.bodies[0].x.z += 0.1;
    world.bodies[0].s[4] = -9.0;
    let mut last = world.energy().0;
    for ms in 0..300 {
        if ms == 150 {
            world.bodies[0].s[4] = 17.0;
            last = world.energy().0;
        }
        world.advance(1, [[0.0; 2]; 2]);
        let now = world.energy().0;
        assert!(now <= last + 1e-12, "{ms}: {now} after {last}");
        let q = world.bodies[0].theta[4];
        assert!((-0.05 - 1e-9..=0.5 + 1e-9).contains(&q), "{q}");
        last = now;
    }
}

/// A robot with a driven lifter ahead and a hinged flap behind.
pub(super) fn gadgeteer() -> Machine {
    let robot = SCENE.robot(SCENE.stall_torque, false);
    let corners = flat(0.086, 0.05, 0.05, 0.0005, 0.017, centre());
    let at = DVec3::new(0.05, 0.0, 0.017) - centre();
    let middle = DVec3::new(0.068, 0.0, 0.009) - centre();
    let mut lifter = hinge(at, 0.03, middle, 2e-4);
    lifter.stops = [0.0, 0.9];
    lifter.way = 0.9;
    lifter.holds = 0.05;
    lifter.motor = motor(0.25, 8.0, 0.9);
    let robot = with_sheet(robot, corners, lifter);
    let flap = [
        DVec3::new(-0.07, -0.045, 0.0005),
        DVec3::new(-0.07, 0.045, 0.0005),
        DVec3::new(-0.05, 0.045, 0.01),
        DVec3::new(-0.05, -0.045, 0.01),
    ]
    .map(|c| c - centre());
    let at = DVec3::new(-0.05, 0.0, 0.01) - centre();
    let middle = DVec3::new(-0.06, 0.0, 0.005) - centre();
    let mut joint = hinge(at, 0.005, middle, 1e-6);
    joint.axis = DVec3::Y;
    with_sheet(robot, flap, joint)
}

/// One wild bout of robots with gadgets: random throttles, random orders; most energy created in a
/// millisecond, deepest overlap, milliseconds with a lifted wheel.
fn wild(seed: u64) -> (f64, f64, u32) {
    let stream = Stream::root(seed).named("wild gadgets");
    let draw = |name: &str, k: u64| stream.named(name).numbered(k).normal();
    let mut world = World::new(&SCENE.arena(), [gadgeteer(), gadgeteer()], 1.0);
    for i in 0..2_u64 {
        let side = if i == 0 { -1.0 } else { 1.0 };
        let turn = if i == 0 { 0.0 } else { core::f64::consts::PI };
        world.put_down(
            usize::from(i == 1),
            side * (0.17 + 0.02 * draw("x", i)),
            0.06 * draw("y", i),
            turn + 0.7 * draw("turn", i),
        );
    }
    settle(&mut world);
    world.keep_account();
    let (mut created, mut deepest, mut tilted) = (0.0_f64, 0.0_f64, 0);
    let mut u = [[0.0_f64; 2]; 2];
    let mut last = world.energy().0;
    for ms in 0..4000_u32 {
        if ms % 10 == 0 {
            for (k, v) in u.iter_mut().flatten().enumerate() {
                let noise = draw("throttle", u64::from(ms) * 4 + k as u64);
                *v = 0.96 * *v + 0.28 * noise;
            }
        }
        if ms % 150 == 0 {
            for i in 0..2 {
                let up = draw("order", u64::from(ms) + i as u64);
                world.send(i, &[if up > 0.0 { 1000 } else { 0 }]);
            }
        }
        let effort = u.map(|r| r.map(|v| (0.55 + 0.5 * v).clamp(-1.0, 1.0)));
        world.advance(1, effort);
        assert!(world.finite(), "bout {seed} is not finite");
        let (energy, work) = world.energy();
        created = created.max(energy - last - work);
        last = energy;
        deepest = deepest.max(world.depth());
        let tilt = (0..2).any(|i| world.pose(i).rotation.z_axis.z < 0.98);
        tilted += u32::from(tilt);
        if world.on_floor(0) || world.on_floor(1) {
            break;
        }
    }
    (created, deepest, tilted)
}

#[test]
fn gadgets_create_no_energy_from_nowhere() {
    let limit = 0.002 * SCENE.mass * SCENE.top_speed() * SCENE.top_speed();
    let (mut worst, mut over, mut lifting, mut deepest) = (0.0_f64, 0, 0, 0.0_f64);
    for seed in 0..60 {
        let (created, deep, tilted) = wild(seed);
        worst = worst.max(created);
        deepest = deepest.max(deep);
        over += u32::from(created > limit);
        lifting += u32::from(tilted > 20);
        if created > limit {
            println!("{seed}: {created} J");
        }
    }
    println!("worst {worst} of {limit} J, {over} over, {lifting} lifted, deepest {deepest}");
    assert!(lifting > 20, "{lifting}: they do lift each other");
    assert_eq!(over, 0);
}

#[test]
fn the_mirrored_scene_gives_the_mirrored_result() {
    let run = |sign: f64| {
        let mut world = World::new(&SCENE.arena(), [gadgeteer(), gadgeteer()], 1.0);
        if sign < 0.0 {
            world.mirror_sweeps();
            for m in &mut world.machines {
                m.wheels.iter_mut().for_each(|w| w.centre.y = -w.centre.y);
                m.motors.iter_mut().for_each(|m| m.channel = 1 - m.channel);
            }
        }
        world.put_down(0, -0.12, sign * 0.01, sign * 0.1);
        world.put_down(1, 0.1, sign * -0.015, core::f64::consts::PI + sign * 0.2);
        let mut places = Vec::new();
        for ms in 0..700_u32 {
            let up = if ms % 200 > 100 { 1000 } else { 0 };
            world.send(0, &[up]);
            world.send(1, &[1000 - up]);
            let e = if sign > 0.0 { [1.0, 0.8] } else { [0.8, 1.0] };
            world.advance(1, [e, e]);
            for i in 0..2 {
                let p = world.pose(i).origin;
                places.push(DVec3::new(p.x, sign * p.y, p.z));
            }
        }
        places
    };
    let (one, two) = (run(1.0), run(-1.0));
    let pairs = one.iter().zip(&two);
    let worst = pairs.fold(0.0_f64, |m, (a, b)| m.max(a.distance(*b)));
    println!("differs by {worst:.1e} m");
    // Ties between corners are decided in the order of the outline, which is not mirrored here:
    // measured 5e-7 m; a wrong sign makes centimetres.
    assert!(worst < 1e-4, "{worst}");
}

#[test]
fn a_robot_without_joints_has_no_spin_variable_but_its_wheels() {
    let world = SCENE.facing([0.05; 2], true);
    assert_eq!(world.bodies[0].s.len(), 4);
    assert!(world.bodies[0].joints.is_empty());
}
