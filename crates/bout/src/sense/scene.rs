//! The truth a sensor is allowed to measure at one instant.

use glam::{DMat3, DVec3};
use robot::Ring;

use super::Silhouette;
use crate::dynamics::{Pose, Touch};

/// Where everything is, from one robot's side. Sensors read it; programs never get it.
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
    /// Where and how hard the other robot touches this one, if it does.
    pub(crate) touch: Option<Touch>,
}

impl Scene<'_> {
    /// The same a moment of `seconds` later, both robots keeping their velocities: what a step of
    /// the dynamics would find to second order, for moments inside a step.
    pub(crate) fn later(self, seconds: f64) -> Self {
        Self { own: later(&self.own, seconds), opponent: later(&self.opponent, seconds), ..self }
    }

    /// A point of the own design frame in ring coordinates.
    pub(crate) fn place(&self, at: DVec3) -> DVec3 {
        self.own.origin + self.own.rotation * at
    }
}

/// `pose` moved on by its own velocity and spin; the turn to second order in the angle. Sensors
/// read the matrix: the quaternion stays behind.
fn later(pose: &Pose, seconds: f64) -> Pose {
    let turn = pose.spin * seconds;
    let on = |c: DVec3| {
        let first = turn.cross(c);
        c + first + turn.cross(first) / 2.0
    };
    let r = &pose.rotation;
    Pose {
        origin: pose.origin + pose.velocity * seconds,
        rotation: DMat3::from_cols(on(r.x_axis), on(r.y_axis), on(r.z_axis)),
        ..*pose
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::maths;

    #[test]
    fn two_milliseconds_on_a_fast_turn_stay_a_rotation() {
        let pose = Pose {
            origin: DVec3::ZERO,
            rotation: DMat3::IDENTITY,
            quaternion: glam::DQuat::IDENTITY,
            velocity: DVec3::new(1.0, 0.0, 0.0),
            spin: DVec3::new(0.0, 0.0, 20.0),
        };
        let then = later(&pose, 0.002);
        assert!((then.origin.x - 0.002).abs() < 1e-15);
        let exact = DVec3::new(maths::cos(0.04), maths::sin(0.04), 0.0);
        // Measured 1.1e-5: the third-order term 0.04³/6.
        assert!((then.rotation.x_axis - exact).length() < 2e-5);
        assert!((then.rotation.x_axis.length() - 1.0).abs() < 1e-6);
    }
}
