//! What a process is told before the first look.

use robot::Robot;
use serde::Serialize;
use tactic::{PortKind, Ports, Program};

/// Version of the lines that are exchanged.
pub const PROTOCOL: &str = "ringwright/drive/1";

/// A sensor as the process knows it.
#[derive(Debug, Clone, Serialize)]
struct SensorLine {
    name: String,
    kind: &'static str,
    unit: &'static str,
}

/// A gadget as the process knows it.
#[derive(Debug, Clone, Serialize)]
struct GadgetLine {
    name: String,
    ends: [String; 2],
}

/// The robot, and the bout it is in, as far as its builder knows them before the start.
#[derive(Debug, Clone)]
pub struct About {
    robot: String,
    class: String,
    seed: u64,
    bout: u32,
    tick_ms: f64,
    openings: Vec<String>,
    ports: Ports,
}

/// The first line.
#[derive(Serialize)]
struct FirstLine<'a> {
    protocol: &'static str,
    robot: &'a str,
    class: &'a str,
    seed: u64,
    bout: u32,
    tick_ms: f64,
    sensors: Vec<SensorLine>,
    gadgets: Vec<GadgetLine>,
    opening: &'a str,
    dice: u16,
}

/// The line of a new start within a bout.
#[derive(Serialize)]
struct AgainLine<'a> {
    again: bool,
    opening: &'a str,
    dice: u16,
}

impl About {
    /// `robot` with `program`, of which only the openings count, in bout `bout` of a study of `class`
    /// with this `seed`.
    #[must_use]
    pub fn of(robot: &Robot, program: &Program, class: &str, seed: u64, bout: u32) -> Self {
        Self {
            robot: robot.name.clone(),
            class: class.to_owned(),
            seed,
            bout,
            tick_ms: robot.board.loop_time.si() * 1000.0,
            openings: (program.openings().iter())
                .map(|o| o.name.clone())
                .collect(),
            ports: Ports::of(robot),
        }
    }

    /// Its sensors and gadgets.
    pub(super) fn ports(&self) -> &Ports {
        &self.ports
    }

    fn opening(&self, index: usize) -> &str {
        self.openings.get(index).map_or("", String::as_str)
    }

    /// The first line, for an opening by its index and what its chance begins with.
    pub(super) fn first(&self, opening: usize, dice: u16) -> String {
        line(&FirstLine {
            protocol: PROTOCOL,
            robot: &self.robot,
            class: &self.class,
            seed: self.seed,
            bout: self.bout,
            tick_ms: self.tick_ms,
            sensors: (self.ports.inputs.iter())
                .map(|p| SensorLine {
                    name: p.name.clone(),
                    kind: kind(p.kind),
                    unit: unit(p.kind),
                })
                .collect(),
            gadgets: (self.ports.gadgets.iter())
                .map(|g| GadgetLine {
                    name: g.name.clone(),
                    ends: g.ends.clone(),
                })
                .collect(),
            opening: self.opening(opening),
            dice,
        })
    }

    /// The line of a new start.
    pub(super) fn again(&self, opening: usize, dice: u16) -> String {
        line(&AgainLine {
            again: true,
            opening: self.opening(opening),
            dice,
        })
    }

    /// The line of a look: `readings` in the order of the ports, `ms` since the first look.
    pub(super) fn look(&self, readings: &[i16], ms: u32) -> String {
        line(&Look {
            ms,
            readings: Readings(&self.ports, readings),
        })
    }
}

/// A look.
#[derive(Serialize)]
struct Look<'a> {
    ms: u32,
    readings: Readings<'a>,
}

/// Readings by the names of their sensors, in file order; null where a distance sensor sees nothing.
struct Readings<'a>(&'a Ports, &'a [i16]);

impl Serialize for Readings<'_> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let ports = self.0.inputs.iter();
        serializer.collect_map(ports.zip(self.1).map(|(port, &reading)| {
            let nothing = port.kind == PortKind::Range && reading == PortKind::NOTHING;
            (&port.name, (!nothing).then_some(reading))
        }))
    }
}

/// What can be written as JSON, in one line and its end. Numbers and texts always can.
pub(super) fn line(of: &impl Serialize) -> String {
    let mut text = serde_json::to_string(of).unwrap_or_default();
    text.push('\n');
    text
}

fn kind(kind: PortKind) -> &'static str {
    match kind {
        PortKind::Range => "distance",
        PortKind::Proximity => "proximity",
        PortKind::Reflectance => "reflectance",
        PortKind::Contact => "contact",
        PortKind::Tilt => "tilt",
        PortKind::TurnRate => "turn-rate",
        PortKind::WheelSpeed => "wheel-speed",
        PortKind::Current => "current",
    }
}

fn unit(kind: PortKind) -> &'static str {
    match kind {
        PortKind::Range => "mm",
        PortKind::Proximity | PortKind::Contact => "0 or 1",
        PortKind::Reflectance => "per mille",
        PortKind::Tilt => "0.1 deg",
        PortKind::TurnRate => "0.1 deg/s",
        PortKind::WheelSpeed => "mm/s",
        PortKind::Current => "mA",
    }
}
