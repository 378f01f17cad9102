//! Sensors of the robot's own motion: turning speed, wheel speed, motor current.

use quantity::{AngularVelocity, Current, Ratio};

use super::drive::{positive, side};
use crate::reader::Section;
use crate::{SensorKind, typical};

/// A gyroscope.
pub(super) fn turn_rate(section: &Section<'_>) -> SensorKind {
    let most = section.typical_figure::<AngularVelocity>("most", typical::TURN_RATE_MOST);
    positive(section, "most", Some(most.si()));
    SensorKind::TurnRate {
        noise: section.typical_figure::<AngularVelocity>("noise", typical::TURN_RATE_NOISE),
        offset: section.typical_figure::<AngularVelocity>("offset", typical::TURN_RATE_OFFSET),
        most,
    }
}

/// An encoder.
pub(super) fn wheel_speed(section: &Section<'_>) -> Option<SensorKind> {
    let side = side(section);
    let counts = section.figure::<Ratio>("counts");
    positive(section, "counts", counts.as_ref().map(quantity::Figure::si));
    Some(SensorKind::WheelSpeed {
        side: side?,
        counts: counts?,
    })
}

/// A shunt or the driver's own current output.
pub(super) fn current(section: &Section<'_>) -> Option<SensorKind> {
    let side = side(section);
    let noise = section.typical_figure::<Current>("noise", typical::CURRENT_NOISE);
    Some(SensorKind::Current { side: side?, noise })
}
