//! What the program does about what it sees, held against where the robot's sensors look.

use quantity::maths::{PI, wrap_angle};
use robot::{Finding, Robot, Sensor, SensorKind, Severity};
use tactic::{Astray, Looks, Stray, Tactic};

/// A sensor that looks no farther aside than this looks ahead, rad: ten degrees. Common practice, no source.
const AHEAD_RAD: f64 = PI / 18.0;

/// What is to be said about it.
pub(crate) fn findings(robot: &Robot, tactic: &Tactic) -> Vec<Finding> {
    let edge: Vec<String> = (robot.sensors.iter())
        .filter(|s| matches!(s.kind, SensorKind::Reflectance { .. }))
        .map(|s| s.item.name.clone())
        .collect();
    let looks = |name: &str| {
        let sensor = robot.sensors.iter().find(|s| s.item.name == name)?;
        looks(sensor)
    };
    tactic.strays(&looks, &edge).iter().map(finding).collect()
}

/// Where a sensor that looks for the other looks; none: backward, or at something else.
fn looks(sensor: &Sensor) -> Option<Looks> {
    if !matches!(
        sensor.kind,
        SensorKind::Range { .. }
            | SensorKind::TimeOfFlight { .. }
            | SensorKind::Ultrasonic { .. }
            | SensorKind::Proximity { .. }
    ) {
        return None;
    }
    let angle = wrap_angle(sensor.facing.si());
    if angle.abs() <= AHEAD_RAD {
        Some(Looks::Ahead)
    } else if angle.abs() >= PI - AHEAD_RAD {
        None
    } else if angle > 0.0 {
        Some(Looks::Left)
    } else {
        Some(Looks::Right)
    }
}

fn words(looks: Looks) -> (&'static str, &'static str) {
    match looks {
        Looks::Left => ("left", "right"),
        Looks::Right => ("right", "left"),
        Looks::Ahead => ("front", "back"),
    }
}

fn finding(stray: &Stray) -> Finding {
    let percent = |per_mille: i16| format!("{:.0} %", f64::from(per_mille) / 10.0);
    let (name, what, why, mend) = match &stray.what {
        Astray::TurnsFrom(side) => {
            let (seen, turns) = words(*side);
            (
                "turns-from-seen",
                format!("Seeing the other on its {seen}, the robot turns {turns}."),
                format!(
                    "The sensors asked here look to the {seen} by the robot file, and the {seen} side is driven \
                     harder than the {turns} one: it turns its flank or its back to the other."
                ),
                "Change the two efforts over; or the names of the two sensors, if it is they that are changed \
                 over in the robot file."
                    .to_owned(),
            )
        }
        Astray::NotAt([left, right]) => (
            "turns-from-seen",
            "Seeing the other straight ahead, the robot does not drive forward.".to_owned(),
            format!(
                "Its sides are driven with {} and {} there: that turns on the spot or backs off.",
                percent(*left),
                percent(*right)
            ),
            "Give both sides the same sign. Where a motor turns the wrong way round, change over its two wires, \
             not its sign in the program."
                .to_owned(),
        ),
        Astray::Remembers(side) => {
            let (kept, seen) = words(*side);
            (
                "turns-from-seen",
                format!("It remembers the other on its {kept} when it is seen on its {seen}."),
                format!("The sensors of `remember {kept}` look to the {seen} by the robot file."),
                format!("Ask the sensors that look to the {kept}, or change the two lines over."),
            )
        }
        Astray::Waits(state, ms) => (
            "waits-when-seen",
            format!("Seeing the other, it stands still for {ms} ms in the state \"{state}\"."),
            "Only the sight of the other leads there, no way out leads away before the time is over, and a robot \
             that stands is pushed: it does not even hold what its motors could."
                .to_owned(),
            "Take the wait out, give it an `until`, or write a way out for when the other comes.".to_owned(),
        ),
        Astray::OnBlack(reflex) => (
            "border-inverted",
            format!("The reflex \"{reflex}\" starts over the black of the ring and not over the white border."),
            "An edge sensor reads more over white than over black: 0 is black, 100 % white.".to_owned(),
            "Write `on border`, or `above` instead of `below`.".to_owned(),
        ),
    };
    Finding {
        name,
        severity: Severity::Warning,
        what,
        why,
        mend,
        place: Some(stray.place.clone()),
    }
}
