//! The program held against the robot: what it never drives and moves one way only.

use robot::{Finding, Robot, Severity, Side};
use tactic::Tactic;

/// What is to be said about it.
pub(crate) fn findings(robot: &Robot, tactic: &Tactic) -> Vec<Finding> {
    let mut found = Vec::new();
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

/// Gadgets that are moved one way only.
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
        // One that never moves is told by what it is worth.
        if sent.iter().all(|s| *s == Some(0)) {
            continue;
        }
        if sent.iter().all(|s| s.is_some() && *s == sent[0]) {
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
