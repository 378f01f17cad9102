//! A distance sensor that times sound.

use glam::DVec3;
use laws::sound::sound_m_s;
use quantity::{Angle, Draws, Figure, Length, Ratio, Temperature, Time, maths};

use super::cone::Cone;
use super::silhouette::Medium;
use super::{Luck, Reading, Scene, distance_mm};

/// 0 °C in K.
const FREEZING_K: f64 = 273.15;

/// A sender and a receiver of ultrasound.
#[derive(Debug, Clone)]
pub(crate) struct Ultrasonic {
    cone: Cone,
    /// Nearest distance it reads in m.
    nearest: f64,
    /// Farthest distance it listens for in m.
    farthest: f64,
    /// Cosine of the greatest slant whose echo comes back.
    least_facing: f64,
    /// 19-to-1 half-width of a reading's error in m.
    noise: f64,
    /// Speed of sound in m/s for which the program turns time into distance.
    taken_m_s: f64,
    /// Share of readings that miss.
    misses: f64,
    /// Share of readings that hear something where nothing is.
    false_alarms: f64,
}

/// Its figures as its file gives them.
pub(crate) struct SoundFigures<'a> {
    pub(crate) nearest: &'a Figure<Length>,
    pub(crate) farthest: &'a Figure<Length>,
    pub(crate) field_of_view: &'a Figure<Angle>,
    pub(crate) slant: &'a Figure<Angle>,
    pub(crate) noise: &'a Figure<Length>,
    pub(crate) set_for: &'a Figure<Temperature>,
    pub(crate) misses: &'a Figure<Ratio>,
    pub(crate) false_alarms: &'a Figure<Ratio>,
}

/// Time in s from a ping to its echo from `distance_m`, at the speed of sound `sound_m_s`: there
/// and back.
pub(super) fn echo_s(distance_m: f64, sound_m_s: f64) -> f64 {
    2.0 * distance_m / sound_m_s
}

/// Shortest time in ms from one ping to the next: the echo from the farthest distance must be back
/// in air of 20 °C, and the dead time over.
pub(super) fn cycle_ms(farthest_m: f64, dead_time_s: f64) -> f64 {
    1000.0 * (echo_s(farthest_m, sound_m_s(20.0)) + dead_time_s)
}

impl Ultrasonic {
    /// The sensor as drawn.
    pub(crate) fn new(
        at: DVec3,
        facing: f64,
        name: &str,
        draws: &Draws,
        f: &SoundFigures<'_>,
    ) -> Self {
        let nearest = draws.of(f.nearest, name).max(0.0);
        let slant = draws.of(f.slant, name).clamp(0.0, maths::FRAC_PI_2);
        Self {
            cone: Cone::new(at, facing, draws.of(f.field_of_view, name)),
            nearest,
            farthest: draws.of(f.farthest, name).max(nearest),
            least_facing: maths::cos(slant),
            noise: draws.of(f.noise, name).abs(),
            taken_m_s: sound_m_s(draws.of(f.set_for, name) - FREEZING_K).max(1.0),
            misses: draws.of(f.misses, name),
            false_alarms: draws.of(f.false_alarms, name),
        }
    }

    /// Shortest time in ms from one ping to the next.
    pub(crate) fn cycle_ms(
        name: &str,
        draws: &Draws,
        farthest: &Figure<Length>,
        dead: &Figure<Time>,
    ) -> f64 {
        cycle_ms(draws.of(farthest, name).max(0.0), draws.of(dead, name))
    }

    /// A reading in whole mm, or [`tactic::PortKind::NOTHING`], out after the way of the sound.
    ///
    /// Any solid face sends sound back like a mirror: wholly within `slant` of square to the beam,
    /// not at all beyond; its colour does not matter. The first sound after the ping counts, be it
    /// the echo or a ping of the opponent, which comes at any time of the opponent's cycle. The
    /// program multiplies by the speed of sound it was written for.
    pub(crate) fn read(&self, scene: &Scene<'_>, luck: Luck) -> Reading {
        let sound = scene.around.sound_m_s;
        let echo = self
            .cone
            .nearest(scene, self.farthest, self.least_facing, |_, _| {
                self.farthest
            })
            .filter(|_| !luck.misses(self.misses))
            .map(|d| (d + luck.error(self.noise), true));
        let person = || {
            let d = (self.cone).nearest_person(scene, self.farthest, |_| self.farthest)?;
            Some((d + luck.error(self.noise), false))
        };
        let alarm = || {
            let share = luck.false_alarm(self.false_alarms)?;
            Some((self.nearest + share * (self.farthest - self.nearest), false))
        };
        let heard = echo.or_else(person).or_else(alarm);
        let foreign = self.cone.dazzled_by(scene, Medium::Sound).map(|e| {
            // As an echo, a sound that comes after t has gone sound·t/2.
            let ping = luck.elsewhere() * e.period_s * sound / 2.0;
            (ping.max(self.nearest), false)
        });
        let first = match (heard, foreign) {
            (Some(h), Some(f)) => Some(if f.0 < h.0 { f } else { h }),
            (Some(one), None) => Some(one),
            (None, other) => other.filter(|f| f.0 <= self.farthest),
        };
        let Some((distance, of_opponent)) = first else {
            return Reading::of_nothing().after_s(echo_s(self.farthest, sound));
        };
        let shown = (distance * self.taken_m_s / sound).max(self.nearest);
        let reading = Reading::new(distance_mm(shown)).after_s(echo_s(distance, sound));
        if of_opponent {
            reading.of_opponent()
        } else {
            reading
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::Around;
    use super::super::kind::Kind;
    use super::super::silhouette::Emitter;
    use super::super::tests::{DEG, block, body, figure, measure, scene_at, sensor, share_of};
    use super::*;
    use crate::tests::scenery::pusher;
    use robot::SensorKind;
    use tactic::PortKind;

    fn module() -> robot::Sensor {
        sensor(
            "ping",
            0.0,
            SensorKind::Ultrasonic {
                nearest: figure(0.02, "nearest"),
                farthest: figure(1.0, "farthest"),
                field_of_view: figure(10.0 * DEG, "field_of_view"),
                slant: figure(30.0 * DEG, "slant"),
                noise: figure(0.0, "noise"),
                set_for: figure(293.15, "set_for"),
                dead_time: figure(0.002, "dead_time"),
                misses: figure(0.0, "misses"),
                false_alarms: figure(0.0, "false_alarms"),
            },
        )
    }

    #[test]
    fn an_echo_takes_the_way_there_and_back() {
        // 0.6 m at 20 °C: 1.2/343.21 = 3.497 ms (computed).
        assert!((echo_s(0.6, sound_m_s(20.0)) - 3.497e-3).abs() < 1e-6);
        // Sound alone limits ranging to 4 m to 42.9 readings a second (computed).
        assert!((1000.0 / cycle_ms(4.0, 0.0) - 42.9).abs() < 0.05);
        // 1 m and 2 ms of pause: 5.83 ms + 2 ms.
        assert!((cycle_ms(1.0, 0.002) - 7.827).abs() < 0.002);
    }

    #[test]
    fn cold_air_reads_too_long() {
        // A program that takes 343 m/s, in air of 10 °C at 0.5 m: 0.5·343/337.31 = 508.4 mm.
        let mut s = module();
        // 331.3·√(1 + T/273.15) = 343 at 19.64 °C.
        if let SensorKind::Ultrasonic { set_for, .. } = &mut s.kind {
            *set_for = figure(273.15 + 19.643, "set_for");
        }
        let mut scene = scene_at([0.0; 3], [0.55, 0.0, 0.0]);
        assert_eq!(measure(&s, &scene), 500, "at 20 °C the error is 0.3 mm");
        scene.around = Around::at_celsius(10.0);
        assert_eq!(measure(&s, &scene), 508);
        assert!((0.5 * 343.0 / sound_m_s(10.0) - 0.5084).abs() < 5e-5);
    }

    #[test]
    fn black_is_heard_as_far_as_white_and_a_slanted_face_not_at_all() {
        let s = module();
        let heard = |heading: f64, reflectance: f64| {
            let mut scene = scene_at([0.0; 3], [0.5, 0.0, heading * DEG]);
            scene.silhouette = block(0.05, 0.3, [0.0, 0.05], reflectance);
            measure(&s, &scene) != PortKind::NOTHING
        };
        assert!(heard(0.0, 0.9) && heard(0.0, 0.0));
        // The beam of ± 5° meets a face turned by θ at θ − 5° at the least.
        assert!(heard(34.0, 0.5) && !heard(36.0, 0.5));
        assert!(!heard(45.0, 0.9));
    }

    #[test]
    fn nearer_than_its_nearest_it_reads_as_that() {
        assert_eq!(
            measure(&module(), &scene_at([0.0; 3], [0.06, 0.0, 0.0])),
            20
        );
    }

    #[test]
    fn the_opponents_ping_is_taken_for_a_near_echo() {
        let s = module();
        let share = |period_s: f64, x: f64, heading: f64, nearer: i16| {
            let mut scene = scene_at([0.0; 3], [x, 0.0, heading]);
            scene.silhouette.emitters.push(Emitter {
                medium: Medium::Sound,
                at: DVec3::new(0.05, 0.0, 0.02),
                axis: DVec3::X,
                cos: maths::cos(10.0 * DEG),
                reach: 1.0,
                period_s,
            });
            share_of(&s, &scene, |r| r < nearer)
        };
        // True echo at 0.5 m after 2.914 ms; a ping every 20 ms comes before it 14.6 % of the time.
        let wrong = share(0.020, 0.55, maths::PI, 499);
        // Standard error 0.8 %.
        assert!((wrong - 0.1457).abs() < 0.03, "{wrong}");
        assert_eq!(share(0.020, 0.55, 0.0, 499).to_bits(), 0, "it looks away");
    }

    #[test]
    fn a_reading_comes_out_when_the_sound_is_back() {
        let s = module();
        let kind = Kind::new(&s, &pusher("bare"), &body(), &Draws::nominal());
        let Kind::Ultrasonic(u) = kind else {
            unreachable!("it is one")
        };
        let luck = Luck::new(quantity::Stream::root(1), 0);
        let scene = scene_at([0.0; 3], [0.65, 0.0, 0.0]);
        assert!((u.read(&scene.borrow(), luck).after_ms - 3.496).abs() < 0.002);
        let nobody = scene_at([0.0; 3], [-0.65, 0.0, 0.0]);
        assert!((u.read(&nobody.borrow(), luck).after_ms - 5.827).abs() < 0.002);
    }
}
