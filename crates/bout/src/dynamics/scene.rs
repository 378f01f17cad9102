//! The reference scene: two robots with a blade on a ring, from plain numbers.
//!
//! Simple enough to be built in any rigid-body engine, and chosen so that closed forms exist for
//! what it does (see `reference`). The tests here and the comparison in `validation` share it.

use glam::{DMat3, DVec2, DVec3};

use super::machine::{Foot, Machine, MotorNumbers, Pack, Prism, Sheet, SpinGroup, WheelNumbers};
use super::world::World;
use rules::Facing;

use crate::arena::{Arena, Judging, MatchRules, PlacingRule};

pub use super::bench::{Bench, Build, Placement};
pub use super::reference::{crossing, head_on, run_up, run_up_slipping, wall_force};

/// The scene's parameters: SI units, angles in rad. Design axes: x forward, y left, z up; origin
/// on the ground below the middle of the chassis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scene {
    /// Gravity, m/s².
    pub gravity: f64,
    /// Diameter of the ring, m.
    pub ring_diameter: f64,
    /// Height of its top above the floor, m.
    pub ring_height: f64,
    /// Mass of a robot with its wheels, kg.
    pub mass: f64,
    /// Height of the whole robot's centre of mass, which is over the origin, m.
    pub cg_height: f64,
    /// Mass of a wheel, kg.
    pub wheel_mass: f64,
    /// Radius of a wheel, m.
    pub wheel_radius: f64,
    /// Width of a wheel, m.
    pub wheel_width: f64,
    /// Axles, spread evenly from `wheel_x` to −`wheel_x`; a single one is at `wheel_x`.
    pub axles: u32,
    /// Place of the first axle, m.
    pub wheel_x: f64,
    /// Wheel centres are at ± this, m.
    pub wheel_y: f64,
    /// Rotor inertia felt at each wheel, kg·m².
    pub armature: f64,
    /// Length, width and height of the chassis, m.
    pub box_size: [f64; 3],
    /// Its lower face above the ground, m.
    pub clearance: f64,
    /// Length of the blade along its slope, m.
    pub blade_length: f64,
    /// Width of the blade, m.
    pub blade_width: f64,
    /// Slope of the blade, rad.
    pub blade_angle_rad: f64,
    /// Its lower edge above the ground, m.
    pub blade_gap: f64,
    /// Grip of the tyres on everything.
    pub grip: f64,
    /// Friction of the blade on everything.
    pub blade_friction: f64,
    /// Friction of the chassis on everything but a blade.
    pub body_friction: f64,
    /// Turning speed of a free wheel at full effort, rad/s.
    pub no_load_speed: f64,
    /// Stall torque of each wheel at which wheels spin, N·m.
    pub stall_torque: f64,
    /// Stall torque of each wheel at which they do not, N·m.
    pub low_torque: f64,
    /// The robots start at x = ∓ this, facing each other, m.
    pub start_x: f64,
}

/// The scene: two 0.5 kg four-wheeled robots on a 0.77 m ring.
pub const SCENE: Scene = Scene {
    gravity: 9.81,
    ring_diameter: 0.77,
    ring_height: 0.025,
    mass: 0.5,
    cg_height: 0.020,
    wheel_mass: 0.015,
    wheel_radius: 0.015,
    wheel_width: 0.015,
    axles: 2,
    wheel_x: 0.030,
    wheel_y: 0.0425,
    armature: 1e-5,
    box_size: [0.10, 0.10, 0.05],
    clearance: 0.003,
    blade_length: 0.040,
    blade_width: 0.100,
    blade_angle_rad: 25.0 * core::f64::consts::PI / 180.0,
    blade_gap: 0.0005,
    grip: 1.0,
    blade_friction: 0.15,
    body_friction: 0.3,
    no_load_speed: 60.0,
    stall_torque: 0.05,
    low_torque: 0.01,
    start_x: 0.15,
};

impl Scene {
    /// Spin inertia of a wheel in kg·m².
    #[must_use]
    pub fn wheel_inertia(&self) -> f64 {
        0.5 * self.wheel_mass * self.wheel_radius * self.wheel_radius
    }

    /// J of a wheel: own plus armature.
    #[must_use]
    pub fn spin_inertia(&self) -> f64 {
        self.wheel_inertia() + self.armature
    }

    /// Wheels of a robot.
    #[must_use]
    pub fn wheels(&self) -> f64 {
        2.0 * f64::from(self.axles)
    }

    /// Where the wheels are: x and y of their centres, front to back, left before right.
    pub fn wheel_places(&self) -> impl Iterator<Item = [f64; 2]> {
        let scene = *self;
        (0..scene.axles).flat_map(move |k| {
            let back = f64::from(k) / f64::from(scene.axles.max(2) - 1);
            let x = scene.wheel_x * (1.0 - 2.0 * back);
            [[x, scene.wheel_y], [x, -scene.wheel_y]]
        })
    }

    /// Corners of the blade in the design frame: tip left, tip right, back right, back left.
    #[must_use]
    pub fn blade_corners(&self) -> [[f64; 3]; 4] {
        let (sin, cos) = (
            quantity::maths::sin(self.blade_angle_rad),
            quantity::maths::cos(self.blade_angle_rad),
        );
        let back = 0.5 * self.box_size[0];
        let (tip, half) = (back + self.blade_length * cos, 0.5 * self.blade_width);
        let (low, high) = (self.blade_gap, self.blade_gap + self.blade_length * sin);
        [
            [tip, half, low],
            [tip, -half, low],
            [back, -half, high],
            [back, half, high],
        ]
    }

    /// Top speed in m/s.
    #[must_use]
    pub fn top_speed(&self) -> f64 {
        self.wheel_radius * self.no_load_speed
    }

    /// The ring.
    pub(crate) fn arena(&self) -> Arena {
        Arena {
            ring: robot::Ring {
                diameter_m: self.ring_diameter,
                height_m: self.ring_height,
                border_m: 0.025,
                surface_reflectance: 0.05,
                border_reflectance: 0.9,
                grip: 1.0,
                grip_varies: 0.0,
                flatness_m: 0.0,
                seam_m: 0.0,
                start_line_m: 0.05,
                hall: robot::Hall::DARK,
                surface: robot::Surface::PaintedBoard,
                also: Vec::new(),
                dust: 1.0,
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
                facing: Facing::Any,
                in_turn: false,
            },
            judging: Judging::default(),
            match_rules: MatchRules::default(),
        }
    }

    /// A robot whose wheels have this stall torque, with or without its blade.
    pub(crate) fn robot(&self, torque: f64, blade: bool) -> Machine {
        let b = DVec3::from_array(self.box_size);
        let wheels_mass = self.wheels() * self.wheel_mass;
        let chassis = self.mass - wheels_mass;
        let r = self.wheel_radius;
        let chassis_z = (self.mass * self.cg_height - wheels_mass * r) / chassis;
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
        let share = self.mass / self.wheels();
        for (k, [x, y]) in self.wheel_places().enumerate() {
            let at = DVec3::new(x, y, r);
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
                track: None,
                half_width: 0.0,
                turns: 1.0,
                driven: true,
                grip_peak: self.grip,
                grip_sliding: self.grip,
                reference_load: 1.0,
                load_exponent: 0.0,
                adhesion: 0.0,
                dirt: None,
                rolling: 0.0,
                stiffness: share * omega * omega,
                damping: 2.0 * 0.7 * share * omega,
            });
            motors.push(MotorNumbers {
                group: k,
                channel: usize::from(y < 0.0),
                torque_per_volt: torque,
                damping: torque / self.no_load_speed,
                current_per_volt: 1.0,
                current_per_speed: 0.0,
                torque_per_ampere: 1.0,
                drag: 0.0,
                back_share: 0.0,
                locks: false,
                hot: None,
            });
        }
        let pack = Pack {
            voltage: 1.0,
            resistance: 0.0,
            idle_current: 0.0,
            current_limit: 1e9,
            coasts: false,
            chemistry: laws::battery::Chemistry::Nickel,
            capacity: 0.0,
            used: 0.0,
        };
        let outline = [(1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0)]
            .map(|(x, y): (f64, f64)| DVec2::new(0.5 * b.x * x, 0.5 * b.y * y));
        let low = self.clearance - centre.z;
        let hull = vec![Prism::new(
            outline.to_vec(),
            low,
            low + b.z,
            self.body_friction,
        )];
        let sheets: Vec<Sheet> = blade
            .then(|| {
                let corners = self.blade_corners().map(|c| DVec3::from_array(c) - centre);
                Sheet::new(corners, 0.0, self.blade_friction)
            })
            .into_iter()
            .collect();
        let mut feet: Vec<Foot> = Vec::new();
        for s in &sheets {
            feet.extend(s.corners[..2].iter().map(|c| Foot {
                at: *c,
                friction: self.blade_friction,
                joint: None,
            }));
        }
        feet.extend(outline.iter().map(|c| Foot {
            at: c.extend(low),
            friction: self.body_friction,
            joint: None,
        }));
        Machine::assemble(
            self.mass, inertia, centre, wheels, groups, motors, pack, feet, hull, sheets,
        )
    }

    /// Both robots facing each other, settled, at rest.
    #[cfg(test)]
    pub(crate) fn facing(&self, torque: [f64; 2], blade: bool) -> World {
        let robots = torque.map(|t| self.robot(t, blade));
        let mut world = World::new(&self.arena(), robots, 1.0);
        world.put_down(0, -self.start_x, 0.0, 0.0);
        world.put_down(1, self.start_x, 0.0, core::f64::consts::PI);
        settle(&mut world);
        world
    }

    /// What cannot be moved: a block of a million tonnes, 0.1 m by 0.4 m and 0.2 m high, that
    /// stands on its own corners and has no friction. Its faces stand at x = ± 0.05 m.
    pub(crate) fn wall(&self) -> Machine {
        let mut wall = self.robot(0.0, false);
        wall.mass = 1e9;
        wall.inverse_inertia = DMat3::ZERO;
        wall.wheels.clear();
        wall.groups.clear();
        wall.motors.clear();
        let (x, y, low) = (0.05, 0.2, -self.cg_height);
        let outline = [(x, -y), (x, y), (-x, y), (-x, -y)].map(|(x, y)| DVec2::new(x, y));
        wall.reach = outline[0].extend(0.2 + low).length();
        wall.feet = outline
            .map(|c| Foot {
                at: c.extend(low),
                friction: 1.0,
                joint: None,
            })
            .to_vec();
        wall.hull = vec![Prism::new(outline.to_vec(), low, low + 0.2, 0.0)];
        wall
    }
}

/// Lets both robots come to rest with the motors off.
pub(crate) fn settle(world: &mut World) {
    for _ in 0..300 {
        world.advance(1, [[0.0; 2]; 2]);
    }
    for b in &mut world.bodies {
        (b.v, b.w) = (DVec3::ZERO, DVec3::ZERO);
        b.s.fill(0.0);
    }
}
