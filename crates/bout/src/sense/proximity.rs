//! An infra-red module that says whether something is there.

use glam::DVec3;
use quantity::{Angle, Draws, Figure, Length, Ratio};

use super::cone::Cone;
use super::silhouette::Medium;
use super::{Luck, Reading, Scene};

/// Share of further false alarms while the opponent's infra-red shines into the sensor: a reading is
/// short, and a foreign pulse rarely falls into it (common practice, no source).
const CROSSTALK: f64 = 0.002;

/// A sensor with a threshold on the light that comes back.
#[derive(Debug, Clone)]
pub(crate) struct Proximity {
    cone: Cone,
    /// Farthest distance at which it sees a light-coloured body, in m.
    farthest: f64,
    /// Share of readings that miss.
    misses: f64,
    /// Share of readings that see something where nothing is.
    false_alarms: f64,
}

impl Proximity {
    /// The sensor as drawn; `chance` are its shares of misses and false alarms.
    pub(crate) fn new(
        at: DVec3,
        facing: f64,
        name: &str,
        draws: &Draws,
        (farthest, field_of_view): (&Figure<Length>, &Figure<Angle>),
        [misses, false_alarms]: [&Figure<Ratio>; 2],
    ) -> Self {
        Self {
            cone: Cone::new(at, facing, draws.of(field_of_view, name)),
            farthest: draws.of(farthest, name).max(0.0),
            misses: draws.of(misses, name),
            false_alarms: draws.of(false_alarms, name),
        }
    }

    /// 1 when enough light comes back, else 0, out to as far as triangulation sees. Light that comes straight from the opponent's own
    /// sensors counts as well, now and then.
    pub(crate) fn read(&self, scene: &Scene<'_>, luck: Luck) -> Reading {
        let reach = self.farthest * scene.around.infra_red_reach;
        let seen = laws::shine::reach_of_triangulation;
        let opponent = (self.cone).nearest(scene, reach, 0.0, |p, facing| {
            reach * seen(p.returned(facing))
        });
        if opponent.is_some() {
            let value = i16::from(!luck.misses(self.misses));
            return Reading {
                of_opponent: value > 0,
                ..Reading::new(value)
            };
        }
        let person =
            (self.cone).nearest_person(scene, reach, |r| reach * seen(laws::shine::of_white(r)));
        let mut alarms = self.false_alarms + scene.around.infra_red_alarms;
        if self.cone.dazzled_by(scene, Medium::InfraRed).is_some() {
            alarms += CROSSTALK;
        }
        let something = person.is_some() || luck.false_alarm(alarms).is_some();
        Reading::new(i16::from(something))
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{DEG, block, figure, measure, scene_at, sensor, share_of};
    use robot::SensorKind;

    fn module(misses: f64, false_alarms: f64) -> robot::Sensor {
        sensor(
            "near",
            0.0,
            SensorKind::Proximity {
                farthest: figure(0.15, "farthest"),
                field_of_view: figure(10.0 * DEG, "field_of_view"),
                misses: figure(misses, "misses"),
                false_alarms: figure(false_alarms, "false_alarms"),
            },
        )
    }

    #[test]
    fn it_says_yes_out_to_its_distance_and_nearer_for_dark_bodies() {
        let s = module(0.0, 0.0);
        let says = |d: f64, reflectance: f64| {
            let mut scene = scene_at([0.0; 3], [d + 0.05, 0.0, 0.0]);
            scene.silhouette = block(0.05, 0.05, [0.0, 0.05], reflectance);
            measure(&s, &scene)
        };
        assert_eq!((says(0.149, 0.9), says(0.151, 0.9)), (1, 0));
        // A quarter of the light: half as far.
        assert_eq!((says(0.074, 0.225), says(0.076, 0.225)), (1, 0));
        assert_eq!(says(0.001, 0.9), 1, "right at the lens too");
    }

    #[test]
    fn it_misses_and_cries_wolf_at_its_rates() {
        let s = module(0.1, 0.05);
        let there = share_of(&s, &scene_at([0.0; 3], [0.15, 0.0, 0.0]), |r| r == 0);
        let nobody = share_of(&s, &scene_at([0.0; 3], [-0.3, 0.0, 0.0]), |r| r == 1);
        // Standard errors 0.7 % and 0.5 %.
        assert!(
            (there - 0.1).abs() < 0.025 && (nobody - 0.05).abs() < 0.02,
            "{there} {nobody}"
        );
    }
}
