//! Blocks, rollers and disks against closed forms: friction, slopes, gyroscopic moment.

use glam::{DMat3, DVec3};
use quantity::maths::{PI, STANDARD_GRAVITY as G, atan};

use super::machine::{Machine, SpinGroup, WheelNumbers};
use super::simple::{NO_PACK, block, in_free_space, near, on_slope, put_up};
use super::world::World;

/// Lets a world run with all motors off.
fn run(world: &mut World, ms: u32) {
    for _ in 0..ms {
        world.advance(1, [[0.0; 2]; 2]);
    }
}

/// Mean acceleration down the slope over half a second after a tenth to settle.
fn acceleration(world: &mut World) -> f64 {
    run(world, 100);
    let before = world.bodies[0].v.x;
    run(world, 500);
    (world.bodies[0].v.x - before) / 0.5
}

/// a = g(sin θ − μ cos θ): closed form, 1.5110 m/s² at 20° with μ 0.2.
#[test]
fn a_block_slides_down_a_slope_as_it_should() {
    let flat = block(0.5, DVec3::new(0.1, 0.1, 0.02), 0.2, 0.0);
    let mut world = on_slope(flat, G, 20.0_f64.to_radians());
    // Measured: 2e-12 off.
    near(acceleration(&mut world), 1.5110, 1e-4);
}

/// How far a flat block has crept and how far its up side has risen after a second.
fn after_a_second(size: DVec3, friction: f64, degrees: f64) -> (f64, f64) {
    let mut world = on_slope(block(0.5, size, friction, 0.0), G, degrees.to_radians());
    run(&mut world, 50);
    let before = world.bodies[0].x.x;
    run(&mut world, 1000);
    let b = &world.bodies[0];
    (b.x.x - before, 1.0 - b.r.z_axis.z)
}

/// Slides at tan θ = μ: 30.96° for 0.6, closed form. So a tilt test reads μ = tan θ: 35.0° says
/// 0.7002.
#[test]
fn the_slope_at_which_a_block_slides_tells_its_friction() {
    let flat = DVec3::new(0.1, 0.1, 0.02);
    for friction in [0.2, 0.6, 0.7002] {
        let limit = atan(friction).to_degrees();
        let (crept, _) = after_a_second(flat, friction, limit - 0.05);
        let (slid, _) = after_a_second(flat, friction, limit + 0.05);
        println!("{limit:.2}°: crept {crept:.1e} m, slid {slid:.1e} m");
        // g·sin 0.1° for a second is 8.6 mm; creep measured: 1e-13 m.
        assert!(crept < 1e-5, "{crept} m at {limit}°");
        assert!(slid > 2e-3, "{slid} m at {limit}°");
    }
}

/// Cube of edge a with its mass centre a/4 above its middle, on a ramp (Halliday, Resnick, Walker,
/// exercise): tips at atan(2/3) = 33.69°; with μ 0.60 it slides before, at 30.96°; with 0.70 it
/// tips first.
#[test]
fn a_top_heavy_cube_tips_or_slides_where_the_book_says() {
    // Centre of mass 0.75 of the edge up: a block of that middle height with the same base.
    let size = DVec3::new(0.08, 0.08, 0.12);
    // The give of its feet lets it lean: it stands at 33.4° and goes at 33.6°.
    let (_, risen) = after_a_second(size, 0.70, 33.3);
    assert!(risen < 1e-3, "stands at 33.3°: {risen}");
    let (_, risen) = after_a_second(size, 0.70, 33.8);
    assert!(risen > 0.1, "tips at 33.8°: {risen}");
    let (slid, risen) = after_a_second(size, 0.60, 31.2);
    assert!(
        slid > 1e-2 && risen < 1e-3,
        "slides at 31.2°: {slid} m, {risen}"
    );
    let (slid, _) = after_a_second(size, 0.60, 30.8);
    assert!(slid < 1e-3, "stands at 30.8°: {slid} m");
}

/// A solid cylinder lying across, alone: a wheel of all the mass.
fn roller(mass: f64, radius: f64, width: f64, grip: f64) -> Machine {
    let own = 0.5 * mass * radius * radius;
    let cross = mass / 12.0 * (3.0 * radius * radius + width * width);
    // The carrier has the cross inertia alone: about the axle all belongs to the wheel.
    let carrier = 1e-6 * own;
    let half = |y: f64| WheelNumbers {
        centre: DVec3::new(0.0, y, 0.0),
        radius,
        run_out: 0.0,
        run_out_phase: 0.0,
        group: 0,
        track: None,
        half_width: 0.0,
        turns: 1.0,
        driven: false,
        grip_peak: grip,
        grip_sliding: grip,
        reference_load: 1.0,
        load_exponent: 0.0,
        adhesion: 0.0,
        dirt: None,
        rolling: 0.0,
        stiffness: 0.5 * mass * 1.4e5,
        damping: 0.7 * mass * 380.0,
    };
    Machine::assemble(
        mass,
        DMat3::from_diagonal(DVec3::new(cross, carrier, cross)),
        DVec3::new(0.0, 0.0, radius),
        vec![half(0.5 * width), half(-0.5 * width)],
        vec![SpinGroup {
            inertia: own,
            own_inertia: own,
            kappa: 1.0,
        }],
        vec![],
        NO_PACK,
        vec![],
        vec![],
        vec![],
    )
}

/// a = (2/3) g sin θ, needing μ ≥ tan θ/3: closed form, 2.2360 m/s² and 0.1213 at 20°.
#[test]
fn a_cylinder_rolls_down_a_slope_as_it_should() {
    let slope = 20.0_f64.to_radians();
    let mut world = on_slope(roller(0.2, 0.03, 0.06, 0.13), G, slope);
    near(acceleration(&mut world), 2.2360, 1e-3);
    // With a little less friction than it needs it slips and gains on the roller.
    let mut world = on_slope(roller(0.2, 0.03, 0.06, 0.11), G, slope);
    let expected = G * (quantity::maths::sin(slope) - 0.11 * quantity::maths::cos(slope));
    near(acceleration(&mut world), expected, 1e-3);
}

/// ω × L: a disk of 0.200 kg, radius 50 mm, at 3000 rpm in a body that yaws at 2 rad/s feels
/// 0.07854 kg·m²/s × 2 rad/s = 0.1571 N·m about the roll axis (closed form).
#[test]
fn a_spinning_disk_resists_being_yawed() {
    let mut disk = roller(0.2, 0.05, 0.01, 1.0);
    disk.inertia.y_axis.y = 1e-3;
    disk.inverse_inertia = disk.inertia.inverse();
    let inertia = disk.inertia.x_axis.x;
    let other = block(1.0, DVec3::splat(0.05), 0.3, 0.0);
    let mut world = in_free_space([disk, other]);
    put_up(&mut world, 0, 0.0, 0.0, 0.0);
    put_up(&mut world, 1, 5.0, 0.0, 0.0);
    let turning = 3000.0 * 2.0 * PI / 60.0;
    world.bodies[0].w = DVec3::new(0.0, 0.0, 2.0);
    // s = θ̇ + κ a·ω, and the body does not turn about the axle.
    world.bodies[0].s[0] = turning;
    world.advance(1, [[0.0; 2]; 2]);
    let moment = inertia * world.bodies[0].w.x / 1e-3;
    // Over a millisecond the axle leans by little; measured 1e-5 off.
    near(moment.abs(), 0.1571, 1e-3);
    near(0.5 * 2.5e-4 * turning * turning, 12.337, 1e-3);
}
