//! A distance sensor's beam on its robot, seen from above.

use glam::DVec2;
use quantity::maths;
use robot::Sensor;

/// A beam.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Eye {
    /// Where it looks from, in the robot's frame, m.
    pub(crate) at: DVec2,
    /// Unit vector along its middle.
    pub(crate) along: DVec2,
    /// Sine of half its opening.
    sin: f64,
    /// Cosine of half its opening.
    cos: f64,
    /// Nearest distance at which it sees a face, m.
    nearest_m: f64,
    /// Farthest distance at which it sees a face, m.
    pub(crate) farthest_m: f64,
}

impl Eye {
    /// The beam of a sensor that sees; none of any other.
    pub(crate) fn of(sensor: &Sensor) -> Option<Self> {
        let (farthest, opening) = sensor.kind.sight()?;
        let facing = sensor.facing.si();
        let at = DVec2::new(sensor.item.at[0].si(), sensor.item.at[1].si());
        Some(Self::new(at, facing, opening.si(), farthest.si()))
    }

    /// A beam from `at` that faces `facing` to the left, with a full opening angle.
    pub(crate) fn new(at: DVec2, facing: f64, opening: f64, farthest_m: f64) -> Self {
        let half = (0.5 * opening).clamp(0.0, maths::FRAC_PI_2);
        Self {
            at,
            along: DVec2::new(maths::cos(facing), maths::sin(facing)),
            sin: maths::sin(half),
            cos: maths::cos(half),
            nearest_m: 0.0,
            farthest_m,
        }
    }

    /// The same beam that sees a face between these distances in m only.
    pub(crate) fn between(self, nearest_m: f64, farthest_m: f64) -> Self {
        Self {
            nearest_m,
            farthest_m,
            ..self
        }
    }

    /// Whether it meets a round body of `radius_m` whose middle is at `middle` in the robot's frame.
    pub(crate) fn meets(&self, middle: DVec2, radius_m: f64) -> bool {
        let way = middle - self.at;
        let squared = way.length_squared();
        let (near, far) = (self.nearest_m + radius_m, self.farthest_m + radius_m);
        if squared > far * far || (self.nearest_m > 0.0 && squared < near * near) {
            return false;
        }
        let (along, across) = (way.dot(self.along), self.along.perp_dot(way).abs());
        // The middle is no further than its radius outside of the beam's edge.
        across * self.cos - along * self.sin <= radius_m
            && along * self.cos + across * self.sin > 0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 50 mm of radius at 350 mm widen a beam of 30° to ± 23.2° (closed form), as far as its farthest face.
    #[test]
    fn a_body_is_met_by_its_side() {
        let eye = Eye::new(DVec2::ZERO, 0.0, 30.0_f64.to_radians(), 0.4);
        let at = |deg: f64, m: f64| DVec2::from_angle(deg.to_radians()) * m;
        assert!(eye.meets(at(23.1, 0.35), 0.05) && !eye.meets(at(23.3, 0.35), 0.05));
        assert!(eye.meets(at(-23.1, 0.35), 0.05) && !eye.meets(at(180.0, 0.35), 0.05));
        assert!(eye.meets(at(0.0, 0.449), 0.05) && !eye.meets(at(0.0, 0.451), 0.05));
    }
}
