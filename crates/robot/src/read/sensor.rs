//! Sensors.

use quantity::{Angle, Current, Figure, Force, Frequency, Length, Origin, Ratio, Time};

use super::item::{Extent, item};
use super::{motion, sight, whole};
use crate::parts_box::PartsBox;
use crate::reader::Section;
use crate::{Sensor, SensorKind, typical};

/// Keys that only some types of sensor have.
const OF_A_TYPE: &[&str] = &[
    "rate",
    "latency",
    "current",
    "spot",
    "noise",
    "noise-share",
    "fading-height",
    "width",
    "trip-force",
    "nearest",
    "farthest",
    "field-of-view",
    "misses",
    "false-alarms",
    "time-budget",
    "slant",
    "set-for",
    "dead-time",
    "side",
    "counts",
    "offset",
    "most",
];

/// The types of sensor.
const TYPES: &[&str] = &[
    "reflectance",
    "range",
    "time-of-flight",
    "ultrasonic",
    "proximity",
    "contact",
    "tilt",
    "turn-rate",
    "wheel-speed",
    "current",
];

/// Reads all `[[sensor]]` sections.
pub(crate) fn sensors(
    root: &Section<'_>,
    parts: &PartsBox,
    extent: Option<&Extent>,
) -> Option<Vec<Sensor>> {
    let mut sensors = Vec::new();
    for mut section in root.tables("sensor") {
        let kits = parts
            .back_up(&mut section, "sensor")
            .map(|e| e.kits.clone());
        sensors.push(sensor(&section, kits, extent));
        section.acquaint(super::wiring::OF_A_SENSOR);
        section.finish();
    }
    whole(sensors)
}

fn sensor(
    section: &Section<'_>,
    kits: Option<Vec<String>>,
    extent: Option<&Extent>,
) -> Option<Sensor> {
    let item = item(section, kits, extent, None);
    let kind = section.choice("type", TYPES);
    let facing = section
        .optional_figure::<Angle>("facing")
        .unwrap_or_else(|| Figure::new(0.0, Origin::Stated, &format!("{}/facing", section.path())));
    let Some(kind) = kind else {
        section.acquaint(OF_A_TYPE);
        return None;
    };
    if let Some(item) = &item
        && !can_be_named(&item.name)
    {
        let tidy: String = (item.name.chars())
            .map(|c| {
                if c.is_alphanumeric() || c == '_' {
                    c
                } else {
                    '-'
                }
            })
            .collect();
        let suggestion = can_be_named(&tidy).then(|| format!("name = \"{tidy}\""));
        let what = format!("a tactic cannot name the sensor \"{}\"", item.name);
        let expected = "letters, digits, - and _, a letter first";
        section.complain_of("name", what, expected, suggestion);
    }
    let (kind, pace) = match kind.as_str() {
        "reflectance" => (Some(reflectance(section)), Pace::FAST),
        "range" => (sight::range(section), Pace::RANGE),
        "time-of-flight" => sight::time_of_flight(section),
        "ultrasonic" => (sight::ultrasonic(section), Pace::ULTRASONIC),
        "proximity" => (sight::proximity(section), Pace::PROXIMITY),
        "contact" => (contact(section), Pace::SWITCH),
        "tilt" => (Some(tilt(section)), Pace::TILT),
        "turn-rate" => (Some(motion::turn_rate(section)), Pace::TURN_RATE),
        "wheel-speed" => (motion::wheel_speed(section), Pace::WHEEL_SPEED),
        _ => (motion::current(section), Pace::CURRENT),
    };
    let rate = section.typical_figure::<Frequency>("rate", pace.rate);
    super::drive::positive(section, "rate", Some(rate.si()));
    let latency = section.typical_figure::<Time>("latency", pace.latency);
    let current = section.typical_figure::<Current>("current", pace.current);
    if let Some(kind) = &kind {
        sight::has_time(section, kind, rate.si());
    }
    Some(Sensor {
        item: item?,
        facing,
        rate,
        latency,
        current,
        kind: kind?,
    })
}

/// Whether a tactic can write this name: one word.
fn can_be_named(name: &str) -> bool {
    name.starts_with(char::is_alphabetic)
        && name
            .chars()
            .all(|c| c.is_alphanumeric() || c == '-' || c == '_')
}

/// Typical readings a second, latency and current of a type.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pace {
    pub(super) rate: typical::Typical,
    pub(super) latency: typical::Typical,
    pub(super) current: typical::Typical,
}

impl Pace {
    const fn new(
        rate: typical::Typical,
        latency: typical::Typical,
        current: typical::Typical,
    ) -> Self {
        Self {
            rate,
            latency,
            current,
        }
    }

    const fn drawing(self, current: typical::Typical) -> Self {
        Self { current, ..self }
    }

    const FAST: Self = Self::new(
        typical::FAST_RATE,
        typical::FAST_LATENCY,
        typical::REFLECTANCE_CURRENT,
    );
    const SWITCH: Self = Self::FAST.drawing(typical::SWITCH_CURRENT);
    const TILT: Self = Self::FAST.drawing(typical::TILT_CURRENT);
    const RANGE: Self = Self::new(
        typical::RANGE_RATE,
        typical::RANGE_LATENCY,
        typical::RANGE_CURRENT,
    );
    const ULTRASONIC: Self = Self::new(
        typical::PING_RATE,
        typical::PING_LATENCY,
        typical::PING_CURRENT,
    );
    const PROXIMITY: Self = Self::new(
        typical::PROXIMITY_RATE,
        typical::PROXIMITY_LATENCY,
        typical::PROXIMITY_CURRENT,
    );
    const TURN_RATE: Self = Self::new(
        typical::TURN_RATE_RATE,
        typical::TURN_RATE_LATENCY,
        typical::TURN_RATE_CURRENT,
    );
    const WHEEL_SPEED: Self = Self::new(
        typical::WHEEL_SPEED_RATE,
        typical::WHEEL_SPEED_LATENCY,
        typical::WHEEL_SPEED_CURRENT,
    );
    const CURRENT: Self = Self::new(
        typical::CURRENT_RATE,
        typical::CURRENT_LATENCY,
        typical::CURRENT_CURRENT,
    );
}

fn reflectance(section: &Section<'_>) -> SensorKind {
    SensorKind::Reflectance {
        spot: section.typical_figure::<Length>("spot", typical::SPOT),
        noise: section.typical_figure::<Ratio>("noise", typical::REFLECTANCE_NOISE),
        fading_height: section.typical_figure::<Length>("fading-height", typical::FADING_HEIGHT),
    }
}

fn contact(section: &Section<'_>) -> Option<SensorKind> {
    let width = section.figure::<Length>("width");
    let trip_force = section.typical_figure::<Force>("trip-force", typical::TRIP_FORCE);
    Some(SensorKind::Contact {
        width: width?,
        trip_force,
    })
}

fn tilt(section: &Section<'_>) -> SensorKind {
    SensorKind::Tilt {
        noise: section.typical_figure::<Angle>("noise", typical::TILT_NOISE),
    }
}
