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
    found.extend(tactic.findings());
    found
}
