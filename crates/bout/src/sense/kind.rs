//! The kinds of sensor, compiled.

use glam::DVec3;
use quantity::Draws;
use robot::{Robot, SensorKind};

use super::contact::Contact;
use super::motion::{MotorCurrent, TurnRate, WheelSpeed};
use super::proximity::Proximity;
use super::range::{Range, RangeFigures};
use super::reflectance::Reflectance;
use super::tilt::Tilt;
use super::time_of_flight::{FlightFigures, TimeOfFlight};
use super::ultrasonic::{SoundFigures, Ultrasonic};
use super::{Luck, Reading, Scene, Silhouette};

/// A sensor of one of the kinds, as drawn.
#[derive(Debug)]
pub(super) enum Kind {
    Reflectance(Reflectance),
    Range(Range),
    TimeOfFlight(TimeOfFlight),
    Ultrasonic(Ultrasonic),
    Proximity(Proximity),
    Contact(Contact),
    Tilt(Tilt),
    TurnRate(TurnRate),
    WheelSpeed(WheelSpeed),
    Current(MotorCurrent),
    /// Says the same whatever there is.
    Dead(i16),
}

impl Kind {
    /// `sensor` as drawn, on `robot` with the outline `own`.
    pub(super) fn new(
        sensor: &robot::Sensor,
        robot: &Robot,
        own: &Silhouette,
        draws: &Draws,
    ) -> Self {
        let name = sensor.item.name.as_str();
        let [x, y, z] = &sensor.item.at;
        let at = DVec3::new(draws.of(x, name), draws.of(y, name), draws.of(z, name));
        let facing = draws.of(&sensor.facing, name);
        match &sensor.kind {
            SensorKind::Reflectance {
                spot,
                noise,
                fading_height,
            } => Self::Reflectance(Reflectance::new(
                at,
                name,
                draws,
                (spot, noise, fading_height),
            )),
            SensorKind::Range {
                nearest,
                farthest,
                field_of_view,
                noise,
                misses,
                false_alarms,
            } => {
                let figures = RangeFigures {
                    nearest,
                    farthest,
                    field_of_view,
                    noise,
                    misses,
                    false_alarms,
                };
                Self::Range(Range::new(at, facing, name, draws, &figures))
            }
            SensorKind::TimeOfFlight {
                nearest,
                farthest,
                field_of_view,
                noise,
                noise_share,
                misses,
                false_alarms,
                ..
            } => {
                let figures = FlightFigures {
                    nearest,
                    farthest,
                    field_of_view,
                    noise,
                    noise_share,
                    misses,
                    false_alarms,
                };
                Self::TimeOfFlight(TimeOfFlight::new(at, facing, name, draws, &figures))
            }
            SensorKind::Ultrasonic {
                nearest,
                farthest,
                field_of_view,
                slant,
                noise,
                set_for,
                misses,
                false_alarms,
                ..
            } => {
                let figures = SoundFigures {
                    nearest,
                    farthest,
                    field_of_view,
                    slant,
                    noise,
                    set_for,
                    misses,
                    false_alarms,
                };
                Self::Ultrasonic(Ultrasonic::new(at, facing, name, draws, &figures))
            }
            SensorKind::Proximity {
                farthest,
                field_of_view,
                misses,
                false_alarms,
            } => {
                let sight = (farthest, field_of_view);
                let chance = [misses, false_alarms];
                Self::Proximity(Proximity::new(at, facing, name, draws, sight, chance))
            }
            SensorKind::TurnRate {
                noise,
                offset,
                most,
            } => Self::TurnRate(TurnRate::new(name, draws, [noise, offset, most])),
            SensorKind::WheelSpeed { side, counts } => {
                let period_ms = super::period_ms(sensor, draws);
                Self::WheelSpeed(WheelSpeed::new(
                    name, draws, robot, *side, counts, period_ms,
                ))
            }
            SensorKind::Current { side, noise } => {
                Self::Current(MotorCurrent::new(name, draws, *side, noise))
            }
            SensorKind::Contact { width, trip_force } => Self::Contact(Contact::new(
                at,
                facing,
                name,
                draws,
                own,
                (width, trip_force),
            )),
            SensorKind::Tilt { noise } => Self::Tilt(Tilt::new(name, draws, noise)),
        }
    }

    /// One reading.
    pub(super) fn read(&self, scene: &Scene<'_>, luck: Luck) -> Reading {
        match self {
            Self::Reflectance(r) => Reading::new(r.read(r.signal(scene) + r.stray(scene), luck)),
            Self::Range(r) => r.read(scene, luck),
            Self::TimeOfFlight(t) => t.read(scene, luck),
            Self::Ultrasonic(u) => u.read(scene, luck),
            Self::Proximity(p) => p.read(scene, luck),
            Self::Contact(c) => Reading::new(i16::from(c.pressed(scene))),
            Self::Tilt(t) => Reading::new(t.read(Tilt::angle(scene), luck)),
            Self::TurnRate(t) => Reading::new(t.read(scene, luck)),
            Self::WheelSpeed(w) => Reading::new(w.read(scene, luck)),
            Self::Current(c) => Reading::new(c.read(scene, luck)),
            Self::Dead(value) => Reading::new(*value),
        }
    }
}
