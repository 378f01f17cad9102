//! The scene on this solver, for those who measure it from outside.

use super::scene::{Scene, settle};
use super::world::World;
use crate::arena::Seat;

/// A robot for the bench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Build {
    /// Its parameters; those of the ring are not looked at.
    pub scene: Scene,
    /// Stall torque of each wheel, N·m.
    pub torque: f64,
    /// Whether it has its blade.
    pub blade: bool,
}

/// Where a robot is and how it moves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placement {
    /// Origin of the design frame from the middle of the ring's top, m.
    pub origin: [f64; 3],
    /// Centre of mass from there, m.
    pub centre: [f64; 3],
    /// Directions of the design axes.
    pub axes: [[f64; 3]; 3],
    /// Orientation as a quaternion: x, y, z, w.
    pub quaternion: [f64; 4],
    /// Velocity of the centre of mass, m/s.
    pub velocity: [f64; 3],
}

/// Two robots on a ring, moved by efforts from outside. The settings are those of a bout.
#[derive(Debug, Clone)]
pub struct Bench {
    world: World,
    now_ms: u32,
}

impl Bench {
    /// Both robots on the ring of `ring`, at rest in its middle: put them down before anything
    /// else.
    #[must_use]
    pub fn new(ring: &Scene, robots: [Build; 2]) -> Self {
        let machines = robots.map(|b| b.scene.robot(b.torque, b.blade));
        Self::of(World::new(&ring.arena(), machines, 1.0))
    }

    /// One robot in seat 0 and, in seat 1, a wall that stands 0.1 m by 0.4 m and 0.2 m high.
    #[must_use]
    pub fn with_wall(ring: &Scene, robot: Build) -> Self {
        let machine = robot.scene.robot(robot.torque, robot.blade);
        Self::of(World::new(&ring.arena(), [machine, ring.wall()], 1.0))
    }

    fn of(world: World) -> Self {
        Self { world, now_ms: 0 }
    }

    /// From now on the motors' work is added up, for [`Bench::energy`].
    pub fn keep_account(&mut self) {
        self.world.keep_account();
    }

    /// Puts a robot down at rest with its origin over (x, y) in m and its nose at `heading_rad`.
    pub fn put_down(&mut self, seat: Seat, x_m: f64, y_m: f64, heading_rad: f64) {
        self.world.put_down(seat, x_m, y_m, heading_rad);
    }

    /// Puts both down where the scene starts, facing each other.
    pub fn face_off(&mut self, scene: &Scene) {
        self.put_down(0, -scene.start_x, 0.0, 0.0);
        self.put_down(1, scene.start_x, 0.0, core::f64::consts::PI);
    }

    /// Lets both come to rest for 0.3 s with the motors off, then takes what speed is left.
    pub fn settle(&mut self) {
        settle(&mut self.world);
        self.now_ms = 0;
    }

    /// Moves on as a bout does: one millisecond, or two where it may. Efforts are −1 to 1, left
    /// and right of each robot. Says how many milliseconds went by, never more than `most_ms`.
    pub fn step(&mut self, effort: [[f64; 2]; 2], most_ms: u32) -> u32 {
        let strides = most_ms > 1 && self.now_ms.is_multiple_of(2) && self.world.may_stride();
        let ms = if strides { 2 } else { 1 };
        self.world.advance(ms, effort);
        self.now_ms += ms;
        ms
    }

    /// Cuts every substep into `parts`, to see what the step does to a result.
    pub fn refine(&mut self, parts: u32) {
        self.world.refine(parts);
    }

    /// Where a robot is.
    #[must_use]
    pub fn placement(&self, seat: Seat) -> Placement {
        let pose = self.world.pose(seat);
        Placement {
            origin: pose.origin.to_array(),
            centre: self.world.bodies[seat].x.to_array(),
            axes: pose.rotation.to_cols_array_2d(),
            quaternion: pose.quaternion.to_array(),
            velocity: self.world.bodies[seat].v.to_array(),
        }
    }

    /// Turning speed of each wheel in rad/s, front to back, left before right.
    pub fn wheel_speeds(&self, seat: Seat) -> impl Iterator<Item = f64> {
        self.world.wheels(seat).map(|w| w.speed_rad_s)
    }

    /// Force on a robot from the other one, in ring axes, N.
    #[must_use]
    pub fn push(&self, seat: Seat) -> [f64; 3] {
        let turn = self.world.pose(seat).rotation;
        let push = self.world.touch(seat).map(|t| turn * t.push_body);
        push.unwrap_or_default().to_array()
    }

    /// Energy in J of both robots and of all contact springs, and the motors' work in J during the
    /// last step: what the first grew by beyond the second came from nowhere. The work is nought
    /// unless [`Bench::keep_account`] was called.
    #[must_use]
    pub fn energy(&self) -> (f64, f64) {
        self.world.energy()
    }

    /// Whether every number of the state is finite.
    #[must_use]
    pub fn finite(&self) -> bool {
        self.world.finite()
    }

    /// Whether a robot touches the floor outside the ring.
    #[must_use]
    pub fn on_floor(&self, seat: Seat) -> bool {
        self.world.on_floor(seat)
    }
}
