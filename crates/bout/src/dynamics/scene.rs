//! The reference scene for tests: two 0.5 kg four-wheeled robots with a blade on a 0.77 m ring.
//!
//! Chosen so that closed forms exist for what it does: see `reference`.

use glam::{DMat3, DVec2, DVec3};

use super::machine::{Foot, Machine, MotorNumbers, Pack, Prism, Sheet, SpinGroup, WheelNumbers};
use super::world::World;
use crate::arena::{Arena, PlacingRule};

/// The scene's parameters, SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Scene {
    pub(crate) gravity: f64,
    pub(crate) mass: f64,
    pub(crate) cg_height: f64,
    pub(crate) wheel_mass: f64,
    pub(crate) wheel_radius: f64,
    pub(crate) wheel_width: f64,
    pub(crate) wheel_x: f64,
    pub(crate) wheel_y: f64,
    pub(crate) armature: f64,
    pub(crate) box_size: DVec3,
    pub(crate) clearance: f64,
    pub(crate) blade_length: f64,
    pub(crate) blade_width: f64,
    pub(crate) blade_angle_rad: f64,
    pub(crate) blade_gap: f64,
    pub(crate) grip: f64,
    pub(crate) no_load_speed: f64,
    pub(crate) stall_torque: f64,
    pub(crate) low_torque: f64,
    pub(crate) start_x: f64,
}

/// The scene.
pub(crate) const SCENE: Scene = Scene {
    gravity: 9.81,
    mass: 0.5,
    cg_height: 0.020,
    wheel_mass: 0.015,
    wheel_radius: 0.015,
    wheel_width: 0.015,
    wheel_x: 0.030,
    wheel_y: 0.0425,
    armature: 1e-5,
    box_size: DVec3::new(0.10, 0.10, 0.05),
    clearance: 0.003,
    blade_length: 0.040,
    blade_width: 0.100,
    blade_angle_rad: 25.0 * core::f64::consts::PI / 180.0,
    blade_gap: 0.0005,
    grip: 1.0,
    no_load_speed: 60.0,
    stall_torque: 0.05,
    low_torque: 0.01,
    start_x: 0.15,
};

impl Scene {
    /// Spin inertia of a wheel in kg·m².
    pub(crate) fn wheel_inertia(&self) -> f64 {
        0.5 * self.wheel_mass * self.wheel_radius * self.wheel_radius
    }

    /// J of a wheel: own plus armature.
    pub(crate) fn spin_inertia(&self) -> f64 {
        self.wheel_inertia() + self.armature
    }

    /// Top speed in m/s.
    pub(crate) fn top_speed(&self) -> f64 {
        self.wheel_radius * self.no_load_speed
    }

    /// The ring.
    pub(crate) fn arena(&self) -> Arena {
        Arena {
            ring: robot::Ring {
                diameter_m: 0.77,
                height_m: 0.025,
                border_m: 0.025,
                surface_reflectance: 0.05,
                border_reflectance: 0.9,
                grip: 1.0,
                grip_varies: 0.0,
                start_line_m: 0.05,
            },
            gravity: self.gravity,
            start_delay_s: 0.0,
            no_progress_s: 5.0,
            restarts: 1,
            longest_s: 60.0,
            placing: PlacingRule {
                from_middle_m: 0.05,
                to_middle_m: 0.3,
                aside_m: 0.1,
                any_facing: true,
            },
        }
    }

    /// A robot whose wheels have this stall torque, with or without its blade.
    pub(crate) fn robot(&self, torque: f64, blade: bool) -> Machine {
        let b = self.box_size;
        let chassis = self.mass - 4.0 * self.wheel_mass;
        let r = self.wheel_radius;
        let chassis_z = (self.mass * self.cg_height - 4.0 * self.wheel_mass * r) / chassis;
        let centre = DVec3::new(0.0, 0.0, self.cg_height);
        let around = |m: f64, own: DVec3, at: DVec3| {
            let d = at - centre;
            DMat3::from_diagonal(own)
                + (DMat3::from_diagonal(DVec3::splat(d.length_squared()))
                    - DMat3::from_cols(d * d.x, d * d.y, d * d.z))
                    * m
        };
        let sixth = chassis / 12.0;
        let mut inertia = around(
            chassis,
            DVec3::new(
                sixth * (b.y * b.y + b.z * b.z),
                sixth * (b.x * b.x + b.z * b.z),
                sixth * (b.x * b.x + b.y * b.y),
            ),
            DVec3::new(0.0, 0.0, chassis_z),
        );
        let own = self.wheel_inertia();
        let cross = self.wheel_mass / 12.0 * (3.0 * r * r + self.wheel_width * self.wheel_width);
        let omega = core::f64::consts::TAU * 60.0;
        let (mut wheels, mut groups, mut motors) = (Vec::new(), Vec::new(), Vec::new());
        for (k, (sx, sy)) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)]
            .into_iter()
            .enumerate()
        {
            let at = DVec3::new(sx * self.wheel_x, sy * self.wheel_y, r);
            inertia += around(self.wheel_mass, DVec3::new(cross, own, cross), at);
            let j = self.spin_inertia();
            groups.push(SpinGroup {
                inertia: j,
                own_inertia: own,
                kappa: own / j,
            });
            inertia.y_axis.y -= own * own / j;
            wheels.push(WheelNumbers {
                centre: at - centre,
                radius: r,
                run_out: 0.0,
                run_out_phase: 0.0,
                group: k,
                driven: true,
                grip_peak: self.grip,
                grip_sliding: self.grip,
                reference_load: 1.0,
                load_exponent: 0.0,
                rolling: 0.0,
                stiffness: 0.25 * self.mass * omega * omega,
                damping: 2.0 * 0.7 * 0.25 * self.mass * omega,
            });
            motors.push(MotorNumbers {
                group: k,
                channel: usize::from(sy < 0.0),
                torque_per_volt: torque,
                damping: torque / self.no_load_speed,
                current_per_volt: 1.0,
                current_per_speed: 0.0,
                torque_per_ampere: 1.0,
            });
        }
        let pack = Pack {
            voltage: 1.0,
            resistance: 0.0,
            idle_current: 0.0,
            current_limit: 1e9,
        };
        let outline = [(1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0)]
            .map(|(x, y): (f64, f64)| DVec2::new(0.5 * b.x * x, 0.5 * b.y * y));
        let low = self.clearance - centre.z;
        let hull = vec![Prism::new(outline.to_vec(), low, low + b.z, 0.3)];
        let sheet = blade.then(|| {
            let (sin, cos) = (
                quantity::maths::sin(self.blade_angle_rad),
                quantity::maths::cos(self.blade_angle_rad),
            );
            let (tip, back) = (0.5 * b.x + self.blade_length * cos, 0.5 * b.x);
            let (z, half) = (self.blade_gap - centre.z, 0.5 * self.blade_width);
            let rise = self.blade_length * sin;
            Sheet::new(
                [
                    DVec3::new(tip, half, z),
                    DVec3::new(tip, -half, z),
                    DVec3::new(back, -half, z + rise),
                    DVec3::new(back, half, z + rise),
                ],
                0.0,
                0.15,
            )
        });
        let mut feet: Vec<Foot> = Vec::new();
        if let Some(s) = &sheet {
            feet.extend(s.corners[..2].iter().map(|c| Foot {
                at: *c,
                friction: 0.15,
            }));
        }
        feet.extend(outline.iter().map(|c| Foot {
            at: c.extend(low),
            friction: 0.3,
        }));
        Machine::assemble(
            self.mass, inertia, centre, wheels, groups, motors, pack, feet, hull, sheet,
        )
    }

    /// Both robots facing each other, settled, at rest.
    pub(crate) fn facing(&self, torque: [f64; 2], blade: bool) -> World {
        let robots = torque.map(|t| self.robot(t, blade));
        let mut world = World::new(&self.arena(), robots, 1.0);
        world.put_down(0, -self.start_x, 0.0, 0.0);
        world.put_down(1, self.start_x, 0.0, core::f64::consts::PI);
        settle(&mut world);
        world
    }
}

/// Lets both robots come to rest with the motors off.
pub(crate) fn settle(world: &mut World) {
    for _ in 0..300 {
        world.advance(1, [[0.0; 2]; 2]);
    }
    for b in &mut world.bodies {
        b.v = DVec3::ZERO;
        b.w = DVec3::ZERO;
        b.s.fill(0.0);
    }
}
