//! Sensors that see the opponent.

use quantity::{Angle, Figure, Frequency, Length, Ratio, Temperature, Time, show};

use super::drive::positive;
use super::sensor::Pace;
use crate::reader::Section;
use crate::{SensorKind, typical};

/// Speed of sound in m/s by which the file is checked: air at 20 °C.
const SOUND_M_S: f64 = 343.2;

/// Infra-red triangulation.
pub(super) fn range(section: &Section<'_>) -> Option<SensorKind> {
    let nearest = section.figure::<Length>("nearest");
    let farthest = section.figure::<Length>("farthest");
    in_order(section, nearest.as_ref(), farthest.as_ref());
    let field_of_view = section.typical_figure::<Angle>("field-of-view", typical::FIELD_OF_VIEW);
    let noise = section.typical_figure::<Ratio>("noise", typical::RANGE_NOISE);
    let [misses, false_alarms] = chance(section);
    Some(SensorKind::Range {
        field_of_view,
        noise,
        misses,
        false_alarms,
        nearest: nearest?,
        farthest: farthest?,
    })
}

/// A time-of-flight sensor. Its rate, latency and noise follow from the time budget where they are
/// left out: one reading for each, as old as it, and noise as one over its root.
pub(super) fn time_of_flight(section: &Section<'_>) -> (Option<SensorKind>, Pace) {
    let time_budget = section.typical_figure::<Time>("time-budget", typical::TIME_BUDGET);
    positive(section, "time-budget", Some(time_budget.si()));
    let budget_s = time_budget.si().max(1e-4);
    let pace = Pace {
        rate: [1.0 / budget_s, 0.0, 0.0],
        latency: [budget_s, 0.0, 0.0],
        current: typical::FLIGHT_CURRENT,
    };
    let nearest = section.typical_figure::<Length>("nearest", typical::FLIGHT_NEAREST);
    let farthest = section.figure::<Length>("farthest");
    in_order(section, Some(&nearest), farthest.as_ref());
    let averaged = (typical::TIME_BUDGET[0] / budget_s).sqrt();
    let noise = typical::FLIGHT_NOISE.map(|n| n * averaged);
    let noise = section.typical_figure::<Length>("noise", noise);
    let noise_share = section.typical_figure::<Ratio>("noise-share", typical::FLIGHT_NOISE_SHARE);
    let field_of_view = section.typical_figure::<Angle>("field-of-view", typical::WIDE_VIEW);
    let [misses, false_alarms] = chance(section);
    let kind = farthest.map(|farthest| SensorKind::TimeOfFlight {
        nearest,
        farthest,
        field_of_view,
        time_budget,
        noise,
        noise_share,
        misses,
        false_alarms,
    });
    (kind, pace)
}

/// An ultrasonic module.
pub(super) fn ultrasonic(section: &Section<'_>) -> Option<SensorKind> {
    let nearest = section.typical_figure::<Length>("nearest", typical::PING_NEAREST);
    let farthest = section.figure::<Length>("farthest");
    in_order(section, Some(&nearest), farthest.as_ref());
    let field_of_view = section.typical_figure::<Angle>("field-of-view", typical::PING_VIEW);
    let slant = section.typical_figure::<Angle>("slant", typical::PING_SLANT);
    let noise = section.typical_figure::<Length>("noise", typical::PING_NOISE);
    let set_for = section.typical_figure::<Temperature>("set-for", typical::SET_FOR);
    let dead_time = section.typical_figure::<Time>("dead-time", typical::DEAD_TIME);
    let [misses, false_alarms] = chance(section);
    Some(SensorKind::Ultrasonic {
        nearest,
        farthest: farthest?,
        field_of_view,
        slant,
        noise,
        set_for,
        dead_time,
        misses,
        false_alarms,
    })
}

/// A module that says yes or no.
pub(super) fn proximity(section: &Section<'_>) -> Option<SensorKind> {
    let farthest = section.figure::<Length>("farthest");
    positive(section, "farthest", farthest.as_ref().map(Figure::si));
    let field_of_view = section.typical_figure::<Angle>("field-of-view", typical::PROXIMITY_VIEW);
    let [misses, false_alarms] = chance(section);
    Some(SensorKind::Proximity {
        farthest: farthest?,
        field_of_view,
        misses,
        false_alarms,
    })
}

/// Share of misses and of false alarms.
fn chance(section: &Section<'_>) -> [Figure<Ratio>; 2] {
    [
        section.typical_figure::<Ratio>("misses", typical::MISSES),
        section.typical_figure::<Ratio>("false-alarms", typical::FALSE_ALARMS),
    ]
}

fn in_order(
    section: &Section<'_>,
    nearest: Option<&Figure<Length>>,
    farthest: Option<&Figure<Length>>,
) {
    if let (Some(n), Some(f)) = (nearest, farthest)
        && n.si() >= f.si()
    {
        let what = "\"farthest\" is not beyond \"nearest\"";
        section.complain_of("farthest", what, "a longer distance", None);
    }
}

/// Notes a rate for which the sensor has no time: light must be gathered for a time-of-flight
/// reading, and sound must come back.
pub(super) fn has_time(section: &Section<'_>, kind: &SensorKind, rate: f64) {
    let (least_s, why) = match kind {
        SensorKind::TimeOfFlight { time_budget, .. } => {
            (time_budget.si(), "a reading takes its time budget")
        }
        SensorKind::Ultrasonic {
            farthest,
            dead_time,
            ..
        } => (
            2.0 * farthest.si() / SOUND_M_S + dead_time.si(),
            "sound must come back from \"farthest\", and fade in the dead time",
        ),
        _ => return,
    };
    if rate * least_s > 1.001 {
        let most = show::<Frequency>(1.0 / least_s, 3);
        let what = format!(
            "{} leaves {} for a reading that takes {}: {why}",
            show::<Frequency>(rate, 3),
            show::<Time>(1.0 / rate, 3),
            show::<Time>(least_s, 3),
        );
        section.complain_of(
            "rate",
            what,
            format!("at most {most}"),
            Some(format!("rate = \"{:.0} Hz\"", (1.0 / least_s).floor())),
        );
    }
}
