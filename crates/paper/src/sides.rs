//! Whether each side of the driver turns the wheels of its own side.

use robot::{Finding, Motor, Place, Robot, Severity, Side};

/// What is to be said of motors that turn wheels of the other side.
pub(crate) fn findings(robot: &Robot) -> Vec<Finding> {
    let wheels = robot.wheels.iter().map(|w| (&w.item, w.motor));
    let tracks = robot.tracks.iter().map(|t| (&t.item, t.motor));
    let driven = wheels.chain(tracks).filter_map(|(item, m)| {
        let motor = robot.motors.get(m?)?;
        Some((item, motor))
    });
    let crossed: Vec<_> = driven
        .filter(|(item, motor)| {
            let left_of_middle = item.at[1].si();
            match motor.side {
                Side::Left => left_of_middle < 0.0,
                Side::Right => left_of_middle > 0.0,
            }
        })
        .collect();
    let Some((item, motor)) = crossed.first() else {
        return Vec::new();
    };
    vec![finding(&item.name, motor, crossed.len(), &item.place)]
}

fn finding(wheel: &str, motor: &Motor, crossed: usize, place: &Place) -> Finding {
    let (side, other) = match motor.side {
        Side::Left => ("left", "right"),
        Side::Right => ("right", "left"),
    };
    let more = match crossed {
        1 => String::new(),
        n => format!(" {} more of them are crossed like it.", n - 1),
    };
    Finding {
        name: "sides-crossed",
        severity: Severity::Warning,
        what: format!(
            "\"{wheel}\" stands {other} of the middle, but \"{}\", which turns it, is on the {side} channel.",
            motor.item.name
        ),
        why: format!(
            "When the program turns to the {side}, that wheel helps to turn it to the {other}: it turns \
             away from what it sees, or fights itself.{more}"
        ),
        mend: format!(
            "Write side = \"{other}\" at the motor, name the motor of its own side at the wheel, or mend \
             the sign of the second length of its place: left is positive."
        ),
        place: Some(place.clone()),
    }
}
