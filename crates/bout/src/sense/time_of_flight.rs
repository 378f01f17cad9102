//! A distance sensor that times light.

use glam::DVec3;
use quantity::{Angle, Draws, Figure, Length, Ratio};

use super::cone::Cone;
use super::infra_red::InfraRed;
use super::{Luck, Reading, Scene, distance_mm};

/// Share of further false alarms while the opponent's infra-red shines into the sensor: less than
/// with triangulation, for it counts only light in step with its own (common practice, no source).
const CROSSTALK: f64 = 0.002;

/// A sensor with a field of view, light and clock.
#[derive(Debug, Clone)]
pub(crate) struct TimeOfFlight {
    eye: InfraRed,
    /// 19-to-1 half-width of a reading's error in m.
    noise: f64,
    /// The same as a share of the distance.
    noise_share: f64,
}

/// Its figures as its file gives them.
pub(crate) struct FlightFigures<'a> {
    pub(crate) nearest: &'a Figure<Length>,
    pub(crate) farthest: &'a Figure<Length>,
    pub(crate) field_of_view: &'a Figure<Angle>,
    pub(crate) noise: &'a Figure<Length>,
    pub(crate) noise_share: &'a Figure<Ratio>,
    pub(crate) misses: &'a Figure<Ratio>,
    pub(crate) false_alarms: &'a Figure<Ratio>,
}

impl TimeOfFlight {
    /// The sensor as drawn.
    pub(crate) fn new(
        at: DVec3,
        facing: f64,
        name: &str,
        draws: &Draws,
        f: &FlightFigures<'_>,
    ) -> Self {
        let nearest = draws.of(f.nearest, name).max(0.0);
        Self {
            eye: InfraRed {
                cone: Cone::new(at, facing, draws.of(f.field_of_view, name)),
                nearest,
                farthest: draws.of(f.farthest, name).max(nearest),
                misses: draws.of(f.misses, name),
                false_alarms: draws.of(f.false_alarms, name),
                crosstalk: CROSSTALK,
            },
            noise: draws.of(f.noise, name).abs(),
            noise_share: draws.of(f.noise_share, name).abs(),
        }
    }

    /// A reading in whole mm, or [`tactic::PortKind::NOTHING`].
    /// Bright surroundings shorten its reach as with all infra-red.
    pub(crate) fn read(&self, scene: &Scene<'_>, luck: Luck) -> Reading {
        let seen = laws::shine::reach_of_flight;
        (self.eye).read(scene, luck, seen, |d| self.reading(d, luck))
    }

    /// What the true distance `d` in m reads as.
    fn reading(&self, d: f64, luck: Luck) -> Reading {
        let error = luck.error(self.noise + self.noise_share * d);
        Reading::new(distance_mm((d + error).max(self.eye.nearest)))
    }
}

#[cfg(test)]
mod tests {
    use super::super::Around;
    use super::super::tests::{DEG, block, figure, measure, scene_at, sensor, share_of};
    use robot::SensorKind;
    use tactic::PortKind;

    fn eye(noise: f64, noise_share: f64) -> robot::Sensor {
        sensor(
            "eye",
            0.0,
            SensorKind::TimeOfFlight {
                nearest: figure(0.03, "nearest"),
                farthest: figure(1.2, "farthest"),
                field_of_view: figure(25.0 * DEG, "field_of_view"),
                time_budget: figure(0.033, "time_budget"),
                noise: figure(noise, "noise"),
                noise_share: figure(noise_share, "noise_share"),
                misses: figure(0.0, "misses"),
                false_alarms: figure(0.0, "false_alarms"),
            },
        )
    }

    #[test]
    fn it_stops_at_its_least_reading_and_does_not_fold_back() {
        let s = eye(0.0, 0.0);
        for (x, reads) in [(0.25, 200), (0.09, 40), (0.07, 30), (0.055, 30), (0.0, 30)] {
            assert_eq!(
                measure(&s, &scene_at([0.0; 3], [x, 0.0, 0.0])),
                reads,
                "{x}"
            );
        }
    }

    #[test]
    fn a_grey_body_is_seen_from_two_thirds_as_far_as_a_white_one() {
        let s = eye(0.0, 0.0);
        let farthest = |reflectance: f64, light: f64| {
            (0..1400_i32)
                .rev()
                .find(|mm| {
                    let mut scene = scene_at([0.0; 3], [f64::from(*mm) / 1000.0 + 0.05, 0.0, 0.0]);
                    scene.silhouette = block(0.05, 0.3, [0.0, 0.05], reflectance);
                    scene.around = Around::lit(light);
                    measure(&s, &scene) != PortKind::NOTHING
                })
                .expect("near enough it is seen")
        };
        assert_eq!(farthest(0.9, 0.0), 1200);
        // ⁴√(0.17/0.9) = 0.659; with triangulation it would be √ = 0.435.
        assert!((farthest(0.17, 0.0) - 791).abs() <= 1);
        // (1 + 1/0.25)^(−1/4) = 0.669 in the light of a window.
        assert!((farthest(0.9, 1.0) - 802).abs() <= 1);
    }

    #[test]
    fn its_error_is_a_length_and_a_share_of_the_distance() {
        // 5 mm and 3 %: ± 5.6 mm at 20 mm is cut off at the least reading; ± 14 mm at 300 mm.
        let s = eye(0.005, 0.03);
        let scene = scene_at([0.0; 3], [0.35, 0.0, 0.0]);
        let inside = share_of(&s, &scene, |r| (r - 300).abs() <= 14);
        assert!((inside - 0.95).abs() < 0.02, "{inside}");
        let within_5 = share_of(&s, &scene, |r| (r - 300).abs() <= 5);
        assert!(within_5 < 0.65, "{within_5}");
    }
}
