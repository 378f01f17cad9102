//! Sensing: from the truth to what the program can read.
//!
//! Each sensor takes readings at its own rate with a random phase; a reading becomes visible
//! after the sensor's latency. Programs get the visible readings as whole numbers and nothing
//! else. Chance is keyed by the sensor's name, so adding a sensor leaves the others as they were.

mod around;
mod cone;
mod contact;
mod infra_red;
mod kind;
mod luck;
mod motion;
mod proximity;
mod range;
mod reflectance;
mod scene;
mod schedule;
mod silhouette;
mod tilt;
mod time_of_flight;
mod ultrasonic;

use std::collections::VecDeque;

use glam::DVec2;
use quantity::{Draws, Stream};
use robot::{Robot, SensorKind};
use tactic::PortKind;

pub(crate) use around::Around;
use kind::Kind;
use luck::Luck;
pub(crate) use scene::{DriveView, Scene};
pub(crate) use schedule::Beat;
use schedule::Schedule;
pub(crate) use silhouette::{Silhouette, plan};

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
    /// How much later than usual it is out, in ms.
    after_ms: f64,
}

impl Reading {
    /// A reading of something, or of somebody who is not the opponent.
    fn new(value: i16) -> Self {
        Self {
            value,
            of_opponent: false,
            after_ms: 0.0,
        }
    }

    /// What a distance sensor says when it sees nothing.
    fn of_nothing() -> Self {
        Self::new(PortKind::NOTHING)
    }

    /// The same, out that much later than usual.
    fn after_s(self, s: f64) -> Self {
        Self {
            after_ms: 1000.0 * s,
            ..self
        }
    }

    /// The same as a reading of the opponent, unless it says that nothing is there.
    fn of_opponent(self) -> Self {
        Self {
            of_opponent: self.value != PortKind::NOTHING,
            ..self
        }
    }
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
            let period_ms = period_ms(s, draws);
            let beat = Beat::new(period_ms, stream.named("phase").uniform());
            let schedule = Schedule::new(beat, draws.of(&s.latency, name) * 1000.0, runs);
            let flight = VecDeque::with_capacity(schedule.most_in_flight());
            let kind = Kind::new(s, robot, own, draws);
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
            Kind::Range(_) | Kind::TimeOfFlight(_) | Kind::Ultrasonic(_) => PortKind::NOTHING,
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
                sensor
                    .flight
                    .push_back((visible_ms + reading.after_ms, reading));
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
            .any(|(s, &r)| match s.kind {
                Kind::Range(_) | Kind::TimeOfFlight(_) | Kind::Ultrasonic(_) => {
                    r != PortKind::NOTHING
                }
                Kind::Proximity(_) => r > 0,
                _ => false,
            })
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
            _ => false,
        })
    }
}

impl Sensor {
    fn measure(&mut self, scene: &Scene<'_>, luck: Luck) -> Reading {
        if let Kind::Reflectance(r) = &self.kind {
            self.over_border = r.is_border(r.signal(scene), scene.ring);
        }
        self.kind.read(scene, luck)
    }
}

/// Time in ms from one reading to the next: as the rate says, but not shorter than the sensor needs.
fn period_ms(sensor: &robot::Sensor, draws: &Draws) -> f64 {
    let name = sensor.item.name.as_str();
    let stated = 1000.0 / draws.of(&sensor.rate, name);
    match &sensor.kind {
        SensorKind::TimeOfFlight { time_budget, .. } => {
            stated.max(1000.0 * draws.of(time_budget, name))
        }
        SensorKind::Ultrasonic {
            farthest,
            dead_time,
            ..
        } => stated.max(ultrasonic::Ultrasonic::cycle_ms(
            name, draws, farthest, dead_time,
        )),
        _ => stated,
    }
}

/// A distance in m as the program gets it; never mistaken for [`PortKind::NOTHING`].
fn distance_mm(d: f64) -> i16 {
    whole_i16((d * 1000.0).clamp(0.0, f64::from(PortKind::NOTHING - 1)))
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
mod hall_tests;
#[cfg(test)]
mod tests;
