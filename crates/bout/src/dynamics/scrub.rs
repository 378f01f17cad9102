//! Treads that turn on the spot: what their width costs.
//!
//! A tread touches along a line of its width w under an even pressure. Turning about its middle it
//! takes the moment ∫ μ p |y| dy = μ N w/4, the same as two halves that each act w/4 from the middle.
//! These two halves also say what is left of it while the tread slides: with slip u along and v across
//! and turning ω, the slips of the halves are (u ∓ ω w/4, v), and friction is straight against each. A
//! spinning tyre (|u| > ω w/4, v = 0) turns for nothing; one that slides sideways fast, for
//! μ N (w/4)² ω/v, where the exact integral has a third more. What turning takes from the force while
//! both go on is left out.
//!
//! A tread that holds gives way before it slides: rolling on at V, its halves run ω w/4 faster and
//! slower, and up to [`GIVES`] of V the rubber takes that up, in proportion. What it drives
//! or brakes with is no longer there for the moment: √(1 − (F/μN)²) of it is.

use super::body::Body;
use super::contact::Contact;
use super::ground::Rolling;
use super::machine::{Machine, WheelNumbers};

/// Share of its rolling speed that a tyre slips before all of its patch slides: some tenth for rubber
/// tyres of any size (common practice, no source).
const GIVES: f64 = 0.1;

/// The moments of all treads of one robot against its turning, as an impulse over the last substep's
/// loads, never more than stops it.
pub(super) fn scrub(machine: &Machine, body: &mut Body, treads: &[Contact]) {
    let upright = body.r.z_axis;
    let turning = upright.dot(body.w);
    if turning == 0.0 {
        return;
    }
    let mut most = 0.0;
    for (c, wheel) in treads.iter().zip(&machine.wheels) {
        let lever = 0.5 * wheel.half_width;
        if c.impulse[0] <= 0.0 || lever <= 0.0 {
            continue;
        }
        let half = turning * lever;
        let share = if c.sliding {
            left_of_it(slip(c, wheel, machine, body), half)
        } else {
            let rolls = wheel.radius * wheel.turns * body.wheel_speed(machine, wheel.group);
            (half.abs() / (GIVES * rolls.abs()).max(1e-9)).min(1.0) * unused(c)
        };
        most += c.grip_sliding * c.impulse[0] * lever * share;
    }
    if most <= 0.0 {
        return;
    }
    let turned = body.inverse_inertia * upright;
    let stops = turning / upright.dot(turned);
    body.w -= turned * stops.clamp(-most, most);
}

/// Share of its grip that a tread which holds has left for its moment. What it holds sideways does not
/// count: two wheels on one axle may press against each other since they were put down, and rolling
/// would long have let go of that.
fn unused(c: &Contact) -> f64 {
    let [normal, along, _] = c.impulse;
    let used = along / (c.grip_sliding * normal).max(1e-15);
    (1.0 - used * used).max(0.0).sqrt()
}

/// Slip along and across of a tread that touches the ground.
fn slip(c: &Contact, wheel: &WheelNumbers, machine: &Machine, body: &Body) -> [f64; 2] {
    let radius = c.tread.map_or(wheel.radius, |t| t.radius);
    let rolling = Rolling::about(body.axle);
    let arm = body.r * wheel.centre + rolling.down * radius;
    let velocity = body.v + body.w.cross(arm);
    let rim = radius * wheel.turns * body.wheel_speed(machine, wheel.group);
    [
        velocity.dot(rolling.along) - rim,
        velocity.dot(rolling.across),
    ]
}

/// Share of the moment that is left with this slip of the middle, where turning moves the middles of
/// the halves by `half` m/s.
fn left_of_it([along, across]: [f64; 2], half: f64) -> f64 {
    let part = |lengthwise: f64| {
        let length = (lengthwise * lengthwise + across * across).sqrt();
        if length > 0.0 {
            lengthwise / length
        } else {
            0.0
        }
    };
    0.5 * (part(half - along) + part(half + along)).abs()
}

#[cfg(test)]
mod tests {
    use glam::{DMat3, DVec3};
    use quantity::maths::{STANDARD_GRAVITY as G, cos, sin};

    use super::super::machine::{Foot, Machine};
    use super::super::simple::{Cart, NO_PACK, Turned, near, on_slope};
    use super::super::world::World;
    use super::left_of_it;

    fn run(world: &mut World, ms: u32) {
        for _ in 0..ms {
            world.advance(1, [[0.0; 2]; 2]);
        }
    }

    /// Radius of the disc in m, its mass in kg, its friction.
    const RADIUS: f64 = 0.03;
    const MASS: f64 = 0.51;
    const FRICTION: f64 = 0.5;

    /// A thin even disc on feet spread evenly over its lower face, flat on a wide ring.
    fn disc() -> World {
        let count = 90;
        let feet = (0..count)
            .map(|k| {
                // One foot to each equal area, turned on by the golden angle.
                let share = (f64::from(k) + 0.5) / f64::from(count);
                let (r, turn) = (RADIUS * share.sqrt(), f64::from(k) * 2.399_963);
                Foot {
                    at: DVec3::new(r * cos(turn), r * sin(turn), 0.0),
                    friction: FRICTION,
                    joint: None,
                }
            })
            .collect();
        let flat = 0.25 * MASS * RADIUS * RADIUS;
        let inertia = DMat3::from_diagonal(DVec3::new(flat, flat, 2.0 * flat));
        let machine = Machine::assemble(
            MASS,
            inertia,
            DVec3::ZERO,
            vec![],
            vec![],
            vec![],
            NO_PACK,
            feet,
            vec![],
            vec![],
        );
        let mut world = on_slope(machine, G, 0.0);
        run(&mut world, 200);
        world
    }

    /// ⅔ μ W R, the integral of an even pressure over a disc: 5 N on 30 mm with μ 0.5 gives
    /// 0.0500 N·m (closed form).
    #[test]
    fn a_disc_that_turns_on_the_spot_is_held_by_two_thirds_of_its_friction_times_radius() {
        let mut world = disc();
        world.bodies[0].w.z = 40.0;
        run(&mut world, 20);
        let before = world.bodies[0].w.z;
        run(&mut world, 50);
        let slowing = (before - world.bodies[0].w.z) / 0.05;
        // 90 feet for the integral: measured 2e-4 off.
        let moment = slowing * 0.5 * MASS * RADIUS * RADIUS;
        near(moment, 2.0 / 3.0 * FRICTION * MASS * G * RADIUS, 2e-3);
        near(moment * 5.0 / (MASS * G), 0.0500, 2e-3);
    }

    /// Whatever it starts with, a disc that slides and turns stops both at once, with
    /// v/(R ω) → 0.653: Farkas, Bartels, Unger, Wolf, "Frictional coupling between sliding and
    /// spinning motion", Phys. Rev. Lett. 90, 248302 (2003); the figure from memory and by integrating
    /// an even pressure: there f = 2ε τ at ε = 0.6531.
    #[test]
    fn sliding_and_spinning_of_a_disc_end_together_at_the_published_ratio() {
        for (speed, turning) in [(0.6, 14.0), (0.6, 20.0), (0.6, 30.0), (0.6, 45.0)] {
            let mut world = disc();
            (world.bodies[0].v.x, world.bodies[0].w.z) = (speed, turning);
            let mut ratio = 0.0;
            for _ in 0..2000 {
                let b = &world.bodies[0];
                let (v, w) = (b.v.truncate().length(), b.w.z);
                if w < 0.02 * turning {
                    break;
                }
                ratio = v / (RADIUS * w);
                run(&mut world, 1);
            }
            println!("from {speed} m/s and {turning} rad/s: {ratio:.3}");
            // Near the end it changes with the logarithm of the time left.
            near(ratio, 0.653, 6e-2);
            run(&mut world, 60);
            let b = &world.bodies[0];
            assert!(
                b.v.length() < 1e-3 && b.w.length() < 0.05,
                "{} {}",
                b.v,
                b.w
            );
        }
    }

    /// Two free wheels beside the centre of mass scrub over nothing but their width: μ N w/4 each, once
    /// their halves slip by a tenth of the rolling speed: 16 mm of width at 40 mm. Half of that for 8 mm.
    #[test]
    fn wide_tyres_turn_against_a_quarter_of_their_width() {
        for (width, share) in [(0.016, 1.0), (0.03, 1.0), (0.012, 0.75), (0.008, 0.5)] {
            let cart = Cart {
                mass: 0.5,
                centre: DVec3::new(0.0, 0.0, 0.015),
                wheels: vec![(0.0, 0.04, Turned::Free), (0.0, -0.04, Turned::Free)],
                grip: 0.8,
                rolling: 0.0,
            };
            let mut machine = cart.machine();
            machine.wheels[0].half_width = 0.5 * width;
            machine.wheels[1].half_width = 0.5 * width;
            // It leans on two smooth feet, which carry nothing while it is level.
            machine.feet = [0.05, -0.05]
                .map(|x| Foot {
                    at: DVec3::new(x, 0.0, -0.0149),
                    friction: 0.0,
                    joint: None,
                })
                .to_vec();
            let mut world = on_slope(machine, G, 0.0);
            run(&mut world, 300);
            let on_tyres: f64 = world.wheels(0).map(|w| w.load_n).sum();
            world.bodies[0].w.z = 20.0;
            let rim = 20.0 * 0.04 / Cart::RADIUS;
            world.bodies[0].s.copy_from_slice(&[-rim, rim]);
            run(&mut world, 10);
            let before = world.bodies[0].w.z;
            run(&mut world, 50);
            let slowing = (before - world.bodies[0].w.z) / 0.05;
            let moment = slowing * world.machine(0).inertia.z_axis.z;
            near(moment, share * 0.8 * on_tyres * width / 4.0, 2e-2);
        }
    }

    /// In units of μ N w/4: ε = v/(ω w/4). Exact for a tyre that only turns; sliding sideways fast the
    /// two halves leave 1/ε, the integral over the width 4/3 of that.
    #[test]
    fn sliding_takes_the_moment_away() {
        assert!((left_of_it([0.0, 0.0], 0.1) - 1.0).abs() < 1e-12);
        assert!((left_of_it([0.0, 0.0], -0.1) - 1.0).abs() < 1e-12);
        assert!(left_of_it([0.5, 0.0], 0.1) < 1e-12);
        let fast = left_of_it([0.0, 2.0], 0.1);
        assert!((fast * 20.0 - 1.0).abs() < 2e-3, "{fast}");
        let n = 20_000;
        let y = |k: i32| 2.0 * ((f64::from(k) + 0.5) / f64::from(n) - 0.5);
        // Over half widths −1 to 1, turning 1, slip 10 across: moment over that of turning alone, 1/2.
        let line: f64 = (0..n)
            .map(|k| y(k) * y(k) / (y(k) * y(k) + 100.0).sqrt() / f64::from(n))
            .sum();
        near(2.0 * line / left_of_it([0.0, 10.0], 0.5), 4.0 / 3.0, 1e-2);
    }
}
