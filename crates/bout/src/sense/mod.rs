//! Sensing: from the truth to what the program can read.
//!
//! Each sensor takes readings at its own rate with a random phase; a reading becomes visible
//! after the sensor's latency. Programs get the visible readings as whole numbers and nothing
//! else. Chance is keyed by the sensor's name, so adding a sensor leaves the others as they were.

mod contact;
mod luck;
mod range;
mod reflectance;
mod scene;
mod schedule;
mod silhouette;
mod tilt;

use std::collections::VecDeque;

use glam::{DVec2, DVec3};
use quantity::{Draws, Stream};
use robot::{Robot, SensorKind};
use tactic::PortKind;

use contact::Contact;
use luck::Luck;
use range::{Range, RangeFigures};
use reflectance::Reflectance;
pub(crate) use scene::Scene;
pub(crate) use schedule::Beat;
use schedule::Schedule;
pub(crate) use silhouette::{Silhouette, plan};
use tilt::Tilt;

/// All sensors of one robot in file order, and what the program can read right now.
#[derive(Debug)]
pub(crate) struct Senses {
    sensors: Vec<Sensor>,
    readings: Vec<i16>,
    next_due_ms: f64,
}

/// One sensor at work.
#[derive(Debug)]
struct Sensor {
    kind: Kind,
    /// Key of its chance; the numbered readings are keyed below it.
    stream: Stream,
    schedule: Schedule,
    /// Readings on their way and when they become visible.
    flight: VecDeque<(f64, Reading)>,
    /// An edge sensor whose last reading was of the border.
    over_border: bool,
    /// Whether the program has had a reading of the opponent from it.
    has_seen: bool,
}

/// One reading.
#[derive(Debug, Clone, Copy)]
struct Reading {
    /// What it says.
    value: i16,
    /// Whether it shows the opponent; a false alarm shows something, but nobody.
    of_opponent: bool,
}

/// The kinds of sensor, compiled.
#[derive(Debug)]
enum Kind {
    Reflectance(Reflectance),
    Range(Range),
    Contact(Contact),
    Tilt(Tilt),
    /// Says the same whatever there is.
    Dead(i16),
}

impl Senses {
    /// The sensors of `robot` as drawn, for a program that runs at `runs`. `stream` keys phases
    /// and noise; it must be new for every put-down.
    pub(crate) fn new(
        robot: &Robot,
        own: &Silhouette,
        draws: &Draws,
        stream: Stream,
        runs: &Beat,
    ) -> Self {
        let sensor = |s: &robot::Sensor| {
            let name = s.item.name.as_str();
            let stream = stream.named(name);
            let period_ms = 1000.0 / draws.of(&s.rate, name);
            let beat = Beat::new(period_ms, stream.named("phase").uniform());
            let schedule = Schedule::new(beat, draws.of(&s.latency, name) * 1000.0, runs);
            let flight = VecDeque::with_capacity(schedule.most_in_flight());
            let kind = Kind::new(s, own, draws);
            Sensor {
                kind,
                stream,
                schedule,
                flight,
                over_border: false,
                has_seen: false,
            }
        };
        let sensors: Vec<Sensor> = robot.sensors.iter().map(sensor).collect();
        let readings = vec![0; sensors.len()];
        Self {
            sensors,
            readings,
            next_due_ms: f64::NEG_INFINITY,
        }
    }

    /// Fills the readings from a scene in which everything has long stood still, as before the
    /// start signal.
    pub(crate) fn settle(&mut self, scene: &Scene<'_>) {
        for (sensor, reading) in self.sensors.iter_mut().zip(&mut self.readings) {
            let luck = Luck::new(sensor.stream.named("before the start"), 0);
            let first = sensor.measure(scene, luck);
            *reading = first.value;
            sensor.has_seen |= first.of_opponent;
        }
    }

    /// One sensor, chosen by an even draw from 0 to 1, dies: a distance sensor sees nothing any more,
    /// every other reads 0, as without its plug.
    pub(crate) fn kill(&mut self, which: f64) {
        let k = crate::faults::pick(which, self.sensors.len());
        let Some(sensor) = self.sensors.get_mut(k) else {
            return;
        };
        let value = match sensor.kind {
            Kind::Range(_) => PortKind::NOTHING,
            _ => 0,
        };
        sensor.kind = Kind::Dead(value);
        sensor.over_border = false;
    }

    /// No reading that the program will look at is due before this, in ms from the start.
    pub(crate) fn next_due_ms(&self) -> f64 {
        self.next_due_ms
    }

    /// Takes every reading due before `until_ms`. `scene` is the truth at `scene_ms`. Readings become visible by their
    /// own time, so runs of the program before `until_ms` may follow.
    pub(crate) fn take(&mut self, scene_ms: f64, until_ms: f64, scene: &Scene<'_>, runs: &Beat) {
        let mut next_due_ms = f64::INFINITY;
        let mut then = *scene;
        for sensor in &mut self.sensors {
            let mut due_ms = sensor.schedule.due_ms();
            while due_ms < until_ms {
                let (number, visible_ms) = sensor.schedule.take(runs);
                then.ahead_s = (due_ms - scene_ms) / 1000.0;
                let reading = sensor.measure(&then, Luck::new(sensor.stream, number));
                sensor.flight.push_back((visible_ms, reading));
                due_ms = sensor.schedule.due_ms();
            }
            next_due_ms = next_due_ms.min(due_ms);
        }
        self.next_due_ms = next_due_ms;
    }

    /// What the program can read at `now_ms`, in file order.
    pub(crate) fn readings(&mut self, now_ms: f64) -> &[i16] {
        for (sensor, reading) in self.sensors.iter_mut().zip(&mut self.readings) {
            while let Some(&(visible_ms, next)) = sensor.flight.front()
                && visible_ms <= now_ms
            {
                *reading = next.value;
                sensor.has_seen |= next.of_opponent;
                sensor.flight.pop_front();
            }
        }
        &self.readings
    }

    /// Whether the last readings the program could have read show the opponent.
    pub(crate) fn sees(&self) -> bool {
        self.sensors
            .iter()
            .zip(&self.readings)
            .any(|(s, &r)| matches!(s.kind, Kind::Range(_)) && r != PortKind::NOTHING)
    }

    /// Whether any reading the program has had since the robot was put down was of the opponent.
    pub(crate) fn has_seen(&self) -> bool {
        self.sensors.iter().any(|s| s.has_seen)
    }

    /// Whether an edge sensor on the side of `travel` (a direction in the design frame) last read
    /// the border; on any side when `travel` is zero.
    pub(crate) fn edge_ahead(&self, travel: DVec2) -> bool {
        self.sensors.iter().any(|s| match &s.kind {
            Kind::Reflectance(r) => {
                s.over_border && (travel == DVec2::ZERO || plan(r.at()).dot(travel) > 0.0)
            }
            Kind::Range(_) | Kind::Contact(_) | Kind::Tilt(_) | Kind::Dead(_) => false,
        })
    }
}

impl Sensor {
    fn measure(&mut self, scene: &Scene<'_>, luck: Luck) -> Reading {
        let mut of_opponent = false;
        let value = match &self.kind {
            Kind::Reflectance(r) => {
                let signal = r.signal(scene);
                self.over_border = r.is_border(signal, scene.ring);
                r.read(signal, luck)
            }
            Kind::Range(r) => {
                let distance = r.distance(scene);
                let value = r.read(distance, luck);
                of_opponent = distance.is_some() && value != PortKind::NOTHING;
                value
            }
            Kind::Contact(c) => i16::from(c.pressed(scene)),
            Kind::Tilt(t) => t.read(Tilt::angle(scene), luck),
            Kind::Dead(value) => *value,
        };
        Reading { value, of_opponent }
    }
}

impl Kind {
    fn new(sensor: &robot::Sensor, own: &Silhouette, draws: &Draws) -> Self {
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
}

/// The nearest whole number a program can hold; NaN becomes 0.
#[allow(
    clippy::cast_possible_truncation,
    reason = "the cast saturates, and saturation is what is meant"
)]
fn whole_i16(x: f64) -> i16 {
    x.round() as i16
}

#[cfg(test)]
mod tests;
