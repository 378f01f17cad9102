//! An infra-red distance sensor that measures by triangulation.

use glam::DVec3;
use quantity::{Angle, Draws, Figure, Length, Ratio};

use super::cone::Cone;
use super::infra_red::InfraRed;
use super::{Luck, Reading, Scene, distance_mm};

/// Output of the sensor when something touches its lens, as a share of its peak at the nearest
/// distance (from memory: data sheets of 10 to 80 cm sensors show some 1 V of 3 V).
const OUTPUT_AT_LENS: f64 = 0.3;

/// Share of further false alarms while the opponent's infra-red shines into the sensor (common
/// practice, no source: the sensors pulse their light and average, so it rarely hits).
pub(super) const CROSSTALK: f64 = 0.01;

/// A sensor that looks outward along a beam.
#[derive(Debug, Clone)]
pub(crate) struct Range {
    /// Its output peaks at the nearest distance.
    eye: InfraRed,
    /// 19-to-1 half-width of a reading's error, share of the distance.
    noise: f64,
}

/// The figures of a distance sensor as its file gives them.
pub(crate) struct RangeFigures<'a> {
    pub(crate) nearest: &'a Figure<Length>,
    pub(crate) farthest: &'a Figure<Length>,
    pub(crate) field_of_view: &'a Figure<Angle>,
    pub(crate) noise: &'a Figure<Ratio>,
    pub(crate) misses: &'a Figure<Ratio>,
    pub(crate) false_alarms: &'a Figure<Ratio>,
}

impl Range {
    /// The sensor as drawn.
    pub(crate) fn new(
        at: DVec3,
        facing: f64,
        name: &str,
        draws: &Draws,
        f: &RangeFigures<'_>,
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
        }
    }

    /// A reading in whole mm, or [`tactic::PortKind::NOTHING`].
    /// Bright surroundings shorten its reach.
    pub(crate) fn read(&self, scene: &Scene<'_>, luck: Luck) -> Reading {
        let seen = laws::shine::reach_of_triangulation;
        (self.eye).read(scene, luck, seen, |d| self.reading(d, luck))
    }

    /// What the true distance `d` in m reads as; farther than `farthest` is nothing.
    fn reading(&self, d: f64, luck: Luck) -> Reading {
        let shown = self.folded(d) * (1.0 + luck.error(self.noise));
        if shown > self.eye.farthest * (1.0 + self.noise) {
            Reading::of_nothing()
        } else {
            Reading::new(distance_mm(shown))
        }
    }

    /// The distance in m for which a program takes the output at the true distance `d`.
    ///
    /// The output falls as 1/d beyond the nearest distance n. Nearer, the spot of light leaves the
    /// detector and the output falls as well, in a straight line to 0.3 of its peak at the lens,
    /// and a program takes that for n/(0.3 + 0.7·d/n): the distance *folds back*. Below n the
    /// reading falls with d, beyond n it rises with d, and it is never below n.
    pub(crate) fn folded(&self, d: f64) -> f64 {
        if d >= self.eye.nearest {
            return d;
        }
        self.eye.nearest / (OUTPUT_AT_LENS + (1.0 - OUTPUT_AT_LENS) * d / self.eye.nearest)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use tactic::PortKind;

    fn sensor(nearest: f64) -> Range {
        Range {
            eye: InfraRed {
                cone: Cone::new(DVec3::ZERO, 0.0, 0.2),
                nearest,
                farthest: 0.8,
                misses: 0.0,
                false_alarms: 0.0,
                crosstalk: 0.0,
            },
            noise: 0.0,
        }
    }

    #[test]
    fn nearer_than_nearest_the_distance_folds_back() {
        let s = sensor(0.08);
        let at = |mm: i32| s.folded(f64::from(mm) / 1000.0);
        for mm in 0..80 {
            assert!(at(mm) > at(mm + 1), "falls up to the nearest: {mm}");
        }
        for mm in 80..800 {
            assert!(at(mm) < at(mm + 1), "rises from the nearest on: {mm}");
        }
        assert!(
            (at(80) - 0.08).abs() < 1e-12 && (at(79) - 0.08).abs() < 0.001,
            "no jump"
        );
        // Half of the nearest distance: 80/(0.3 + 0.35) = 123.08 mm; at the lens 80/0.3.
        assert!((at(40) - 0.123_076_923).abs() < 1e-9);
        assert!((at(0) - 0.266_666_667).abs() < 1e-9);
    }

    #[test]
    fn one_that_reads_truly_from_the_lens_on_never_folds() {
        assert!(sensor(0.0).folded(0.0).abs() < 1e-12);
        assert!((sensor(0.0).folded(0.01) - 0.01).abs() < 1e-12);
    }

    #[test]
    fn what_folds_beyond_the_farthest_is_nothing() {
        let mut s = sensor(0.08);
        s.eye.farthest = 0.2;
        let luck = Luck::new(quantity::Stream::root(1), 0);
        assert_eq!(s.reading(0.0, luck).value, PortKind::NOTHING);
        assert_eq!(s.reading(0.04, luck).value, 123);
    }
}
