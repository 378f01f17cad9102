//! What distance sensors that shine infra-red light have in common, however they measure.

use super::cone::Cone;
use super::silhouette::Medium;
use super::{Luck, Reading, Scene, distance_mm};

/// A beam of infra-red light and what comes of it.
#[derive(Debug, Clone)]
pub(super) struct InfraRed {
    pub(super) cone: Cone,
    /// Nearest distance it reads truly, in m.
    pub(super) nearest: f64,
    /// Farthest distance at which it sees a light-coloured body, in m.
    pub(super) farthest: f64,
    /// Share of readings that miss.
    pub(super) misses: f64,
    /// Share of readings that see something where nothing is.
    pub(super) false_alarms: f64,
    /// Share of further false alarms while the opponent's infra-red shines into the sensor.
    pub(super) crosstalk: f64,
}

impl InfraRed {
    /// A reading in whole mm, or [`tactic::PortKind::NOTHING`]: of the opponent, else of a person
    /// outside, else of nothing that is there.
    ///
    /// `seen` is the share of the reach out to which a face is seen that returns a share of what a
    /// white one would head-on; `reading` is what a true distance in m reads as. Bright
    /// surroundings shorten the reach.
    pub(super) fn read(
        &self,
        scene: &Scene<'_>,
        luck: Luck,
        seen: impl Fn(f64) -> f64,
        reading: impl Fn(f64) -> Reading,
    ) -> Reading {
        let reach = self.farthest * scene.around.infra_red_reach;
        let opponent = self.cone.nearest(scene, reach, 0.0, |p, facing| {
            reach * seen(p.returned(facing))
        });
        if let Some(d) = opponent {
            return if luck.misses(self.misses) {
                Reading::of_nothing()
            } else {
                reading(d).of_opponent()
            };
        }
        let person =
            (self.cone).nearest_person(scene, reach, |r| reach * seen(laws::shine::of_white(r)));
        if let Some(d) = person {
            return reading(d);
        }
        let mut alarms = self.false_alarms + scene.around.infra_red_alarms;
        if self.cone.dazzled_by(scene, Medium::InfraRed).is_some() {
            alarms += self.crosstalk;
        }
        luck.false_alarm(alarms)
            .map_or(Reading::of_nothing(), |share| {
                Reading::new(distance_mm(
                    self.nearest + share * (self.farthest - self.nearest),
                ))
            })
    }
}
