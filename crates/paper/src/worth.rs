//! What each sensor and gadget is good for, and what it costs.
//!
//! A sensor that the program does not ask, or whose answers never change what the robot does, is dead
//! weight; so is a gadget that never moves. Which it is, is decided by running the program
//! (`tactic::influence`).

use robot::{Finding, Item, Robot, Sensor, SensorKind, Severity, Side};
use tactic::{Influence, PortKind, Ports, Span, Tactic};

/// Beyond its stated range a sensor may still read so much more: its spread and its noise.
const BEYOND: f64 = 1.25;

/// Whether a sensor or gadget does anything.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Use {
    /// The program never asks or moves it.
    Never,
    /// The program has words for it, but whatever is read, the robot does the same.
    ChangesNothing,
    /// It changes what the robot does.
    Counts,
    /// It works by itself: a flap that hangs.
    ByItself,
}

/// One sensor or gadget.
#[derive(Debug, Clone, PartialEq)]
pub struct Worth {
    /// Its name.
    pub name: String,
    /// What it is: `sensor`, or the kind of gadget.
    pub kind: &'static str,
    /// Whether it does anything.
    pub used: Use,
    /// Its mass in kg.
    pub mass_kg: f64,
    /// Its price, if it has one.
    pub price: Option<f64>,
    /// Current in A: what a sensor draws all the time, what a gadget draws stalled.
    pub current_a: f64,
}

impl Worth {
    fn of(item: &Item, kind: &'static str, used: Use, current_a: f64) -> Self {
        Self {
            name: item.name.clone(),
            kind,
            used,
            mass_kg: item.mass.si(),
            price: item.price,
            current_a,
        }
    }

    /// What it costs, as the end of a sentence: `4 g, 7 in price and 30 mA`.
    fn costs(&self) -> String {
        let mass = format!("{} g", short(1e3 * self.mass_kg));
        let price = self.price.map(|p| format!(", {} in price", short(p)));
        let current = format!("{} mA", short(1e3 * self.current_a));
        format!("{mass}{} and {current}", price.unwrap_or_default())
    }
}

/// Two digits at least, no zeros behind the point.
fn short(x: f64) -> String {
    let digits = if x.abs() < 9.95 { 1 } else { 0 };
    let shown = format!("{x:.digits$}");
    shown
        .strip_suffix(".0")
        .map_or(shown.clone(), str::to_owned)
}

/// What is to be known to say what sensors can read.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reach {
    /// Speed of the wheels without load, m/s.
    pub(crate) speed_m_s: f64,
    /// Current of one motor stalled at full effort, A.
    pub(crate) motor_a: f64,
}

/// Of every sensor and gadget of `robot` what it is good for with `tactic`, sensors first.
#[must_use]
pub(crate) fn worth(robot: &Robot, tactic: &Tactic, reach: Reach) -> Vec<Worth> {
    let ports = Ports::of(robot);
    // A program that does not fit its robot is refused before anybody gets here.
    let tried = tactic::compile(tactic, &ports).ok().map(|program| {
        let spans: Vec<Span> = robot
            .sensors
            .iter()
            .map(|s| span(robot, s, reach))
            .collect();
        tactic::influence(tactic, &program, &ports, &spans)
    });
    let read = tactic.sensors_read();
    let mut all: Vec<Worth> = Vec::new();
    for (k, sensor) in robot.sensors.iter().enumerate() {
        let counts = |t: &Influence| t.sensors.get(k).copied().unwrap_or(true);
        let used = if !read.contains(&sensor.item.name) {
            Use::Never
        } else if tried.as_ref().is_none_or(counts) {
            Use::Counts
        } else {
            Use::ChangesNothing
        };
        all.push(Worth::of(&sensor.item, "sensor", used, sensor.current.si()));
    }
    let orders = tactic.gadget_orders();
    for g in &robot.gadgets {
        let port = ports.gadgets.iter().position(|p| p.name == g.item.name);
        let moves = |t: &Influence| port.and_then(|k| t.gadgets.get(k)).copied().unwrap_or(true);
        let away = orders.iter().any(|o| {
            o.gadget == g.item.name && o.end.as_ref() != Some(&g.ends[0]) && o.share != Some(0)
        });
        let used = match &g.drive {
            None => Use::ByItself,
            Some(_) if !away => Use::Never,
            Some(_) if tried.as_ref().is_none_or(moves) => Use::Counts,
            Some(_) => Use::ChangesNothing,
        };
        let stalled = g.drive.as_ref().map_or(0.0, |d| d.stall_current.si());
        all.push(Worth::of(&g.item, g.kind.word(), used, stalled));
    }
    all
}

/// What a sensor can read, in the units its program gets.
fn span(robot: &Robot, sensor: &Sensor, reach: Reach) -> Span {
    let whole = |x: f64| -> i16 {
        let x = x.round().clamp(-32_768.0, 32_766.0);
        #[allow(
            clippy::cast_possible_truncation,
            reason = "clamped to what fits just above"
        )]
        let x = x as i16;
        x
    };
    let about_zero = |most: f64| Span {
        least: whole(-most),
        most: whole(most),
        idle: 0,
    };
    let distance = |nearest: f64, farthest: f64| Span {
        least: whole(1e3 * nearest / BEYOND),
        most: whole(1e3 * farthest * BEYOND),
        idle: PortKind::NOTHING,
    };
    let yes_or_no = Span {
        least: 0,
        most: 1,
        idle: 0,
    };
    match &sensor.kind {
        SensorKind::Reflectance { .. } => Span {
            least: 0,
            most: 1000,
            idle: 0,
        },
        SensorKind::Range {
            nearest, farthest, ..
        }
        | SensorKind::TimeOfFlight {
            nearest, farthest, ..
        }
        | SensorKind::Ultrasonic {
            nearest, farthest, ..
        } => distance(nearest.si(), farthest.si() + farthest.unsure()),
        SensorKind::Proximity { .. } | SensorKind::Contact { .. } => yes_or_no,
        // A robot on its side reads 90 degrees.
        SensorKind::Tilt { .. } => about_zero(900.0),
        SensorKind::TurnRate { most, .. } => about_zero(most.si().to_degrees() * 10.0),
        SensorKind::WheelSpeed { .. } => about_zero(1e3 * BEYOND * reach.speed_m_s),
        SensorKind::Current { side, .. } => Span {
            least: 0,
            most: whole(1e3 * BEYOND * reach.motor_a * motors(robot, *side)),
            idle: 0,
        },
    }
}

fn motors(robot: &Robot, side: Side) -> f64 {
    robot.motors.iter().filter(|m| m.side == side).count() as f64
}

/// What is to be said about what does nothing.
pub(crate) fn findings(robot: &Robot, tactic: &Tactic, all: &[Worth]) -> Vec<Finding> {
    let mut found = Vec::new();
    let idle = |w: &&Worth| matches!(w.used, Use::Never | Use::ChangesNothing);
    for w in all.iter().filter(idle) {
        let sensor = (robot.sensors.iter()).find(|s| s.item.name == w.name && w.kind == "sensor");
        if let Some(sensor) = sensor {
            found.push(dead_sensor(sensor, tactic, w));
        } else if let Some(g) = robot.gadgets.iter().find(|g| g.item.name == w.name) {
            found.push(dead_gadget(g, tactic, w));
        }
    }
    found
}

fn dead_sensor(sensor: &Sensor, tactic: &Tactic, w: &Worth) -> Finding {
    let (name, file, costs) = (&w.name, tactic.file(), w.costs());
    let place = Some(sensor.item.place.clone());
    if w.used == Use::Never {
        return Finding {
            name: "sensor-never-read",
            severity: Severity::Warning,
            what: format!("The program never reads the sensor \"{name}\"."),
            why: format!(
                "No reflex and no state that can be reached asks for \"{name}\" in {file}: it costs \
                 {costs} and tells nothing."
            ),
            mend: format!("Read it in a reflex or a `follow`, or take \"{name}\" off the robot."),
            place,
        };
    }
    Finding {
        name: "sensor-changes-nothing",
        severity: Severity::Warning,
        what: format!("Whatever the sensor \"{name}\" reads, the robot does the same."),
        why: format!(
            "{file} asks for it, but in {TRIES_WORDS} of the program, twice each with everything alike \
             but the readings of \"{name}\", no order to motors or gadgets differed. It costs {costs}."
        ),
        mend: format!(
            "See that the distance or level it is asked for lies within what it can read, that the \
             rules before it leave it a turn, and that its rule orders something else than the next \
             one; or take \"{name}\" off."
        ),
        place,
    }
}

/// How often was tried, in words that do not change with the number of tries.
const TRIES_WORDS: &str = "hundreds of trial runs";

fn dead_gadget(g: &robot::Gadget, tactic: &Tactic, w: &Worth) -> Finding {
    let (name, file, costs) = (&w.name, tactic.file(), w.costs());
    let [first, second] = &g.ends;
    let place = Some(g.item.place.clone());
    if w.used == Use::Never {
        return Finding {
            name: "gadget-never-moved",
            severity: Severity::Warning,
            what: format!("The program never moves the {} \"{name}\".", w.kind),
            why: format!(
                "No step in {file} sends it from \"{first}\", where it starts: it costs {costs} when it \
                 works, and does nothing."
            ),
            mend: format!("Write `{name} to {second}` where it helps, or take it off."),
            place,
        };
    }
    Finding {
        name: "gadget-changes-nothing",
        severity: Severity::Warning,
        what: format!(
            "The program has a step that moves the {} \"{name}\", but never comes to it.",
            w.kind
        ),
        why: format!(
            "In {TRIES_WORDS} of {file} over all kinds of readings it stayed at \"{first}\". It costs \
             {costs} when it works."
        ),
        mend: format!(
            "See that the state with the step can be reached and that its condition can hold, or take \
             \"{name}\" off."
        ),
        place,
    }
}
