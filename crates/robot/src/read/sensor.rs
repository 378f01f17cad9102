//! Sensors.

use quantity::{Angle, Figure, Force, Frequency, Length, Origin, Ratio, Time};

use super::item::{Extent, item};
use super::whole;
use crate::parts_box::PartsBox;
use crate::reader::Section;
use crate::{Sensor, SensorKind, typical};

/// Keys that only some types of sensor have.
const OF_A_TYPE: &[&str] = &[
    "rate",
    "latency",
    "spot",
    "noise",
    "fading-height",
    "width",
    "trip-force",
    "nearest",
    "farthest",
    "field-of-view",
    "misses",
    "false-alarms",
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
    let kind = section.choice("type", &["reflectance", "range", "contact", "tilt"]);
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
    let slow = kind == "range";
    let rate = if slow {
        typical::RANGE_RATE
    } else {
        typical::FAST_RATE
    };
    let latency = if slow {
        typical::RANGE_LATENCY
    } else {
        typical::FAST_LATENCY
    };
    let rate = section.typical_figure::<Frequency>("rate", rate);
    super::drive::positive(section, "rate", Some(rate.si()));
    let latency = section.typical_figure::<Time>("latency", latency);
    let kind = match kind.as_str() {
        "reflectance" => SensorKind::Reflectance {
            spot: section.typical_figure::<Length>("spot", typical::SPOT),
            noise: section.typical_figure::<Ratio>("noise", typical::REFLECTANCE_NOISE),
            fading_height: section
                .typical_figure::<Length>("fading-height", typical::FADING_HEIGHT),
        },
        "range" => range(section)?,
        "contact" => {
            let width = section.figure::<Length>("width");
            let trip_force = section.typical_figure::<Force>("trip-force", typical::TRIP_FORCE);
            SensorKind::Contact {
                width: width?,
                trip_force,
            }
        }
        _ => SensorKind::Tilt {
            noise: section.typical_figure::<Angle>("noise", typical::TILT_NOISE),
        },
    };
    Some(Sensor {
        item: item?,
        facing,
        rate,
        latency,
        kind,
    })
}

/// Whether a tactic can write this name: one word.
fn can_be_named(name: &str) -> bool {
    name.starts_with(char::is_alphabetic)
        && name
            .chars()
            .all(|c| c.is_alphanumeric() || c == '-' || c == '_')
}

fn range(section: &Section<'_>) -> Option<SensorKind> {
    let nearest = section.figure::<Length>("nearest");
    let farthest = section.figure::<Length>("farthest");
    if let (Some(n), Some(f)) = (&nearest, &farthest)
        && n.si() >= f.si()
    {
        section.complain_of(
            "farthest",
            "\"farthest\" is not beyond \"nearest\"",
            "a longer distance",
            None,
        );
    }
    let field_of_view = section.typical_figure::<Angle>("field-of-view", typical::FIELD_OF_VIEW);
    let noise = section.typical_figure::<Ratio>("noise", typical::RANGE_NOISE);
    let misses = section.typical_figure::<Ratio>("misses", typical::MISSES);
    let false_alarms = section.typical_figure::<Ratio>("false-alarms", typical::FALSE_ALARMS);
    Some(SensorKind::Range {
        field_of_view,
        noise,
        misses,
        false_alarms,
        nearest: nearest?,
        farthest: farthest?,
    })
}
