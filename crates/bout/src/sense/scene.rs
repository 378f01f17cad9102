//! The truth a sensor is allowed to measure at one instant.

use glam::DVec3;
use robot::Ring;

use super::{Around, Silhouette};
use crate::arena::Seat;
use crate::dynamics::{Pose, Touch, World};

/// Motors and wheels of one robot. Nothing is worked out before it is asked for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DriveView<'a> {
    /// The world it moves in.
    pub(crate) world: &'a World,
    /// Which of the two it is.
    pub(crate) seat: Seat,
}

impl DriveView<'_> {
    /// Current in A through the motors of each side, the program's forward positive.
    pub(crate) fn motor_currents_a(&self) -> [f64; 2] {
        self.world.motor_currents(self.seat)
    }

    /// Mean rolling speed in m/s of the wheels that each side's motors turn; 0 without any.
    pub(crate) fn wheel_speeds_m_s(&self) -> [f64; 2] {
        self.world.wheel_speeds(self.seat)
    }
}

/// Where everything is, from one robot's side. Sensors read it; programs never get it.
///
/// A reading falls somewhere inside a step of the dynamics. It is taken from the state at the
/// step's beginning, moved on by [`Scene::ahead_s`] with the velocities and spins of then: what
/// the dynamics would find to second order in the angle.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Scene<'a> {
    /// The ring.
    pub(crate) ring: &'a Ring,
    /// The robot that carries the sensor.
    pub(crate) own: Pose,
    /// The other robot.
    pub(crate) opponent: Pose,
    /// What can be seen of the other robot.
    pub(crate) silhouette: &'a Silhouette,
    /// What surrounds the ring.
    pub(crate) around: &'a Around,
    /// What the own motors and wheels do, where somebody wants to know.
    pub(crate) drive: Option<DriveView<'a>>,
    /// Where and how hard the other robot touches this one, if it does.
    pub(crate) touch: Option<Touch>,
    /// How long after the moment of both poses the reading is taken, in s.
    pub(crate) ahead_s: f64,
}

impl Scene<'_> {
    /// A point of the own design frame in ring coordinates.
    pub(crate) fn place(&self, at: DVec3) -> DVec3 {
        self.own.origin + self.own.velocity * self.ahead_s + self.direction(at)
    }

    /// A direction of the own design frame in ring coordinates.
    pub(crate) fn direction(&self, along: DVec3) -> DVec3 {
        turned(self.own.rotation * along, self.own.spin * self.ahead_s)
    }

    /// A point in ring coordinates in the opponent's design frame.
    pub(crate) fn opponent_sees(&self, point: DVec3) -> DVec3 {
        let opponent = &self.opponent;
        self.in_opponent(point - opponent.origin - opponent.velocity * self.ahead_s)
    }

    /// A direction in ring coordinates in the opponent's design frame.
    pub(crate) fn in_opponent(&self, along: DVec3) -> DVec3 {
        let opponent = &self.opponent;
        opponent.rotation.transpose() * turned(along, opponent.spin * -self.ahead_s)
    }
}

/// `v` turned by the small rotation vector `turn`, to second order.
fn turned(v: DVec3, turn: DVec3) -> DVec3 {
    let first = turn.cross(v);
    v + first + turn.cross(first) / 2.0
}

#[cfg(test)]
mod tests {
    use super::super::tests::scene_at;
    use super::*;
    use quantity::maths;

    #[test]
    fn two_milliseconds_on_both_robots_have_moved_and_turned_on() {
        let mut owned = scene_at([0.0; 3], [0.3, 0.0, 0.0]);
        owned.own.velocity = DVec3::X;
        owned.own.spin = DVec3::Z * 20.0;
        owned.opponent.velocity = DVec3::Y;
        owned.opponent.spin = DVec3::Z * -20.0;
        let scene = Scene {
            ahead_s: 0.002,
            ..owned.borrow()
        };
        let (c, s) = (maths::cos(0.04), maths::sin(0.04));
        // Measured 1.1e-6: the third-order term 0.04³/6 at 0.1 m.
        let nose = DVec3::new(0.002 + 0.1 * c, 0.1 * s, 0.0);
        assert!((scene.place(DVec3::X * 0.1) - nose).length() < 2e-6);
        let its_nose = DVec3::new(0.3 + 0.1 * c, 0.002 - 0.1 * s, 0.0);
        assert!((scene.opponent_sees(its_nose) - DVec3::X * 0.1).length() < 2e-6);
        assert!((scene.in_opponent(DVec3::new(c, -s, 0.0)) - DVec3::X).length() < 2e-5);
    }
}
