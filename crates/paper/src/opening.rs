//! Openings held against the place and the facing that the class allows.

use robot::{Finding, Robot, Severity};
use rules::{Class, Facing};
use tactic::{OpeningPlace, Tactic};

/// What is to be said about openings that the class does not allow: in the bouts the robot stands at the nearest
/// place that is allowed, as a judge would have it.
pub(crate) fn findings(robot: &Robot, class: &Class, tactic: &Tactic) -> Vec<Finding> {
    let openings = tactic.opening_places().into_iter();
    openings.flat_map(|o| of(robot, class, o)).collect()
}

fn of(robot: &Robot, class: &Class, o: OpeningPlace) -> Vec<Finding> {
    let rule = &class.ring.placing;
    let mm = |m: f64| format!("{:.0} mm", 1e3 * m);
    let mut wrong: Vec<(String, String)> = Vec::new();
    let start_line_m = class.ring.start_line_m.value;
    let behind_m = f64::from(o.behind_mm) / 1e3;
    let over_m = class.placing_from_middle_m() - (start_line_m + behind_m);
    if over_m > 1e-6 {
        let line = if behind_m < 0.0 && class.placing_from_middle_m() > 0.0 {
            "its start line"
        } else {
            "the middle line"
        };
        wrong.push((
            format!("stands {} over {line}", mm(over_m)),
            format!(
                "Write `place {:.0} mm behind` or more.",
                1e3 * (behind_m + over_m)
            ),
        ));
    }
    // Pointing at the centre, it reaches its length behind its nose.
    let past_m =
        start_line_m + behind_m + robot.footprint().length() - 0.5 * class.ring().diameter_m;
    if past_m > 1e-6 {
        wrong.push((
            format!("stands {} over the rim", mm(past_m)),
            format!(
                "Write `place {:.0} mm behind` or less.",
                1e3 * (behind_m - past_m).max(0.0)
            ),
        ));
    }
    if o.aside_mm != 0 && !rule.value.aside {
        wrong.push((
            format!(
                "stands {} aside of its line",
                mm(f64::from(o.aside_mm.abs()) / 1e3)
            ),
            "Take the line `place … left` or `right` out.".to_owned(),
        ));
    }
    if o.facing_tenth_deg != 0 {
        let said = f64::from(o.facing_tenth_deg) / 10.0;
        match rule.value.facing {
            Facing::Any => {}
            Facing::Opponent => wrong.push((
                format!("faces {said:.0}° aside"),
                "Take the line `facing` out: here robots face each other.".to_owned(),
            )),
            Facing::ByRound => wrong.push((
                format!("faces {said:.0}° aside"),
                "Take the line `facing` out: here the round decides, and the program must cope with each."
                    .to_owned(),
            )),
        }
    }
    let finding = |(what, mend): (String, String)| Finding {
        name: "opening-not-allowed",
        severity: Severity::Warning,
        what: format!(
            "The opening \"{}\" {what}, which the class {} does not allow.",
            o.name, class.name
        ),
        why: format!(
            "The rule: {}. In the bouts it is put down at the nearest place that is allowed.",
            rule.wording
        ),
        mend,
        place: Some(o.place.clone()),
    };
    wrong.into_iter().map(finding).collect()
}
