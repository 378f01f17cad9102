//! What is wired to what: pins, wires, fuse. The bout does not look at any of it.

use std::sync::Arc;

use quantity::{Current, Figure, Length};

use crate::{BoardSheet, Place, SensorKind};

/// The wiring as far as the robot file says it. Everything left out is empty here; a proposal for it is
/// an analysis.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wiring {
    /// The sheet of the controller board.
    pub sheet: Option<Arc<BoardSheet>>,
    /// Whether the robot file itself names that board; else the part it is taken from does, as a guess.
    pub sheet_stated: bool,
    /// Pin of the board the pack is wired to, if the file says so.
    pub fed_at: Option<String>,
    /// Cells of the pack in series, if the file says so.
    pub cells: Option<u32>,
    /// What sensors and gadgets say of their wires, by name.
    pub leads: Vec<Lead>,
    /// The driver's control lines.
    pub driver: DriverLines,
    /// Wires that carry the motors' current, and the fuse.
    pub harness: Harness,
    /// Buttons, switches, start modules, lamps.
    pub extras: Vec<Extra>,
}

/// A pin as the file names it.
#[derive(Debug, Clone, PartialEq)]
pub struct PinWord {
    /// The name; a pin of the board, where the board is known.
    pub pin: String,
    /// Where it stands.
    pub place: Place,
}

/// How a thing talks to the controller.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Interface {
    /// One voltage to be measured.
    Analogue,
    /// One line that is high or low.
    Digital,
    /// Two lines that are high or low, such as the two tracks of an encoder.
    TwoLines,
    /// A line to start a measurement and one that answers.
    TriggerEcho,
    /// A bus it shares with others.
    I2c,
    /// One line to it whose pulses say where to go, as for a model servo.
    Pulse,
}

impl Interface {
    /// Those a sensor can have, with their words.
    pub const OF_SENSORS: [(&'static str, Self); 5] = [
        ("analogue", Self::Analogue),
        ("digital", Self::Digital),
        ("two-lines", Self::TwoLines),
        ("trigger-echo", Self::TriggerEcho),
        ("i2c", Self::I2c),
    ];

    /// How many pins it takes.
    #[must_use]
    pub const fn lines(self) -> usize {
        match self {
            Self::Analogue | Self::Digital | Self::Pulse => 1,
            Self::TwoLines | Self::TriggerEcho | Self::I2c => 2,
        }
    }

    /// What a sensor of that kind usually has. Common practice, no source.
    #[must_use]
    pub const fn usual(kind: &SensorKind) -> Self {
        match kind {
            SensorKind::Reflectance { .. }
            | SensorKind::Range { .. }
            | SensorKind::Current { .. } => Self::Analogue,
            SensorKind::Proximity { .. } | SensorKind::Contact { .. } => Self::Digital,
            SensorKind::WheelSpeed { .. } => Self::TwoLines,
            SensorKind::Ultrasonic { .. } => Self::TriggerEcho,
            SensorKind::TimeOfFlight { .. }
            | SensorKind::Tilt { .. }
            | SensorKind::TurnRate { .. } => Self::I2c,
        }
    }
}

/// What the file says of the wires of one sensor or gadget.
#[derive(Debug, Clone, PartialEq)]
pub struct Lead {
    /// Its name.
    pub item: String,
    /// How it talks.
    pub interface: Interface,
    /// Its pins in the order of the lines; empty: not said.
    pub pins: Vec<PinWord>,
    /// The pin that wakes it, where several of a kind share a bus.
    pub enable: Option<PinWord>,
    /// Supply it needs, V.
    pub supply_v: Option<f64>,
    /// Highest voltage it puts on a pin, V.
    pub signal_v: Option<f64>,
    /// Whether the robot file itself says that voltage; else its part does.
    pub signal_stated: bool,
}

/// How a motor driver is told what to do with a channel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Control {
    /// Pulses on one line, the direction on another.
    #[default]
    PwmDirection,
    /// Pulses on one line, two lines for the direction.
    PwmTwoLines,
    /// Pulses on either of two lines.
    TwoPwm,
}

impl Control {
    /// All of them, with the word a robot file says.
    pub const ALL: [(&'static str, Self); 3] = [
        ("pwm-direction", Self::PwmDirection),
        ("pwm-two-lines", Self::PwmTwoLines),
        ("two-pwm", Self::TwoPwm),
    ];

    /// Lines of one channel.
    #[must_use]
    pub const fn lines(self) -> usize {
        match self {
            Self::PwmDirection | Self::TwoPwm => 2,
            Self::PwmTwoLines => 3,
        }
    }
}

/// The driver's control lines.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DriverLines {
    /// How it is told.
    pub control: Control,
    /// Pins of the left channel; empty: not said.
    pub left: Vec<PinWord>,
    /// Pins of the right channel; empty: not said.
    pub right: Vec<PinWord>,
    /// Whether it has an enable line.
    pub has_enable: bool,
    /// The pin of that line; none: not said.
    pub enable: Option<PinWord>,
    /// Whether resistors hold its inputs low by themselves; none: not said.
    pub pulled_down: Option<bool>,
}

/// How thick a wire is, as it is sold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Gauge {
    /// American wire gauge: the higher, the thinner.
    Awg(u32),
    /// Cross-section of the copper, m².
    AreaM2(f64),
}

/// Size of a copper wire.
#[derive(Debug, Clone, PartialEq)]
pub struct WireSize {
    /// How thick it is.
    pub gauge: Gauge,
    /// As written, such as `22 AWG`.
    pub said: String,
    /// Where it stands.
    pub place: Place,
}

/// Wires that carry the motors' current, and the fuse.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Harness {
    /// Wire from the pack's plug over switch and fuse to the driver.
    pub battery_wire: Option<WireSize>,
    /// Its length, one way.
    pub battery_length: Option<Figure<Length>>,
    /// Wire from the driver to a motor.
    pub motor_wire: Option<WireSize>,
    /// Its length, one way.
    pub motor_length: Option<Figure<Length>>,
    /// Rating of the fuse in the pack's lead.
    pub fuse: Option<Figure<Current>>,
    /// Where the fuse stands in the file.
    pub fuse_place: Option<Place>,
    /// Whether the fuse closes again by itself once it has cooled.
    pub fuse_resets: bool,
}

/// What hangs on a pin besides sensors, driver and gadgets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ExtraKind {
    /// A button to ground.
    Button,
    /// A switch to ground, such as one that selects an opening.
    Switch,
    /// A module that says start and stop.
    StartModule,
    /// A lamp with its resistor.
    Lamp,
    /// A buzzer.
    Buzzer,
    /// Two resistors that let the controller measure the pack.
    Divider,
}

impl ExtraKind {
    /// All of them, with the word a robot file says.
    pub const ALL: [(&'static str, Self); 6] = [
        ("button", Self::Button),
        ("switch", Self::Switch),
        ("start-module", Self::StartModule),
        ("lamp", Self::Lamp),
        ("buzzer", Self::Buzzer),
        ("battery-divider", Self::Divider),
    ];

    /// Whether the controller drives it; else it reads it.
    #[must_use]
    pub const fn is_driven(self) -> bool {
        matches!(self, Self::Lamp | Self::Buzzer)
    }
}

/// One of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Extra {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: ExtraKind,
    /// Its pin; none: not said.
    pub pin: Option<PinWord>,
    /// Highest voltage it puts on the pin, V.
    pub signal_v: Option<f64>,
    /// Where it stands in the file.
    pub place: Place,
}

impl Wiring {
    /// What the file says of the wires of `item`.
    #[must_use]
    pub fn lead(&self, item: &str) -> Option<&Lead> {
        self.leads.iter().find(|l| l.item == item)
    }

    /// Whether the file names any pin.
    #[must_use]
    pub fn names_pins(&self) -> bool {
        let d = &self.driver;
        let leads = self
            .leads
            .iter()
            .any(|l| !l.pins.is_empty() || l.enable.is_some());
        leads
            || !(d.left.is_empty() && d.right.is_empty())
            || d.enable.is_some()
            || self.extras.iter().any(|e| e.pin.is_some())
    }
}
