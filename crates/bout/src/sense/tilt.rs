//! A tilt sensor: how far the nose is up.

use glam::DVec3;
use quantity::{Angle, Draws, Figure, maths};

use super::{Luck, Scene};

/// A sensor of pitch.
#[derive(Debug, Clone)]
pub(crate) struct Tilt {
    /// 19-to-1 half-width of a reading's error in rad.
    noise: f64,
}

impl Tilt {
    /// The sensor as drawn.
    pub(crate) fn new(name: &str, draws: &Draws, noise: &Figure<Angle>) -> Self {
        Self {
            noise: draws.of(noise, name).abs(),
        }
    }

    /// Angle in rad of the body's forward axis over the horizontal. Assumed: a gyroscope holds
    /// the angle, so shoves do not show.
    pub(crate) fn angle(scene: &Scene<'_>) -> f64 {
        maths::asin(scene.direction(DVec3::X).z.clamp(-1.0, 1.0))
    }

    /// A reading in tenths of a degree.
    pub(crate) fn read(&self, angle: f64, luck: Luck) -> i16 {
        super::whole_i16((angle + luck.error(self.noise)) * 1800.0 / maths::PI)
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::scene_at;
    use super::*;
    use glam::DMat3;
    use quantity::Stream;

    #[test]
    fn nose_up_is_positive_in_tenths_of_a_degree_whatever_the_heading() {
        let tilt = Tilt { noise: 0.0 };
        for heading in [0.0, 1.0, 3.0] {
            let mut s = scene_at([0.0; 3], [0.3, 0.0, 0.0]);
            // A turn about −y by 5° lifts the nose.
            let up = DMat3::from_rotation_z(heading) * DMat3::from_rotation_y(-5_f64.to_radians());
            s.own.rotation = up;
            let luck = Luck::new(Stream::root(1), 0);
            assert_eq!(tilt.read(Tilt::angle(&s.borrow()), luck), 50);
        }
    }
}
