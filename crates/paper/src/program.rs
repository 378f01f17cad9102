//! The program held against the robot: what it never reads and never drives.

use robot::{Finding, Robot, Severity, Side};
use tactic::Tactic;

/// What is to be said about it.
pub(crate) fn findings(robot: &Robot, tactic: &Tactic) -> Vec<Finding> {
    let mut found = Vec::new();
    let read = tactic.sensors_read();
    for sensor in &robot.sensors {
        let name = &sensor.item.name;
        if !read.contains(name) {
            found.push(Finding {
                name: "sensor-never-read",
                severity: Severity::Warning,
                what: format!("The program never reads the sensor \"{name}\"."),
                why: format!(
                    "No reflex and no state that can be reached asks for \"{name}\" in {}: it \
                     costs mass and tells nothing.",
                    tactic.file()
                ),
                mend: format!(
                    "Read it in a reflex or a `follow`, or take \"{name}\" off the robot."
                ),
                place: Some(sensor.item.place.clone()),
            });
        }
    }
    let driven = tactic.sides_driven();
    for (k, side) in [Side::Left, Side::Right].into_iter().enumerate() {
        let motor = robot.motors.iter().find(|m| m.side == side);
        if let (false, Some(motor)) = (driven[k], motor) {
            found.push(Finding {
                name: "motor-never-driven",
                severity: Severity::Fault,
                what: format!(
                    "The program never drives the motor \"{}\".",
                    motor.item.name
                ),
                why: format!("No step in {} gives that side an effort.", tactic.file()),
                mend: "Drive both sides, or swap the sides in the robot file.".into(),
                place: Some(motor.item.place.clone()),
            });
        }
    }
    found.extend(gadgets(robot, tactic));
    found.extend(tactic.findings());
    found
}

/// Gadgets that are never moved, or moved one way only.
fn gadgets(robot: &Robot, tactic: &Tactic) -> Vec<Finding> {
    let orders = tactic.gadget_orders();
    let mut found = Vec::new();
    for g in robot.gadgets.iter().filter(|g| g.drive.is_some()) {
        let name = &g.item.name;
        let [first, second] = &g.ends;
        // How far it is sent, per mille; none: whatever a counter or a sensor says.
        let sent: Vec<Option<i16>> = (orders.iter())
            .filter(|o| o.gadget == *name)
            .map(|o| match &o.end {
                Some(e) if e == first => Some(0),
                Some(e) if e == second => Some(1000),
                _ => o.share,
            })
            .collect();
        let place = Some(g.item.place.clone());
        if sent.iter().all(|s| *s == Some(0)) {
            found.push(Finding {
                name: "gadget-never-moved",
                severity: Severity::Warning,
                what: format!("The program never moves the {} \"{name}\".", g.kind.word()),
                why: format!(
                    "No step in {} sends it from \"{first}\", where it starts: it costs mass and \
                     does nothing.",
                    tactic.file()
                ),
                mend: format!("Write `{name} to {second}` where it helps, or take it off."),
                place,
            });
        } else if sent.iter().all(|s| s.is_some() && *s == sent[0]) {
            found.push(Finding {
                name: "gadget-one-way",
                severity: Severity::Note,
                what: format!(
                    "The {} \"{name}\" moves once and never back.",
                    g.kind.word()
                ),
                why: format!(
                    "Every step in {} that moves it sends it to the same place: after the first \
                     time it only gets in the way.",
                    tactic.file()
                ),
                mend: format!("Write `{name} to {first}` where it has done its work."),
                place,
            });
        }
    }
    found
}
