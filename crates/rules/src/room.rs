//! The rows of an inspection about length, width and height.

use quantity::{Angle, Dimension, Length, show};
use robot::{Finding, Place, Robot, Severity};

use crate::extent::{Side, extent_with_boxes, fitted};
use crate::size::{DIGITS, Measured, Words, judge, measured_text, row};
use crate::{Class, Inspection, Limit, Row, Rule, Verdict};

/// What one side of the room is called in rows and findings.
struct Called {
    rule: &'static str,
    broken: &'static str,
    close: &'static str,
    less: &'static str,
}

const LENGTH: Called = Called {
    rule: "length",
    broken: "too-long",
    close: "length-close",
    less: "shorter",
};
const WIDTH: Called = Called {
    rule: "width",
    broken: "too-wide",
    close: "width-close",
    less: "narrower",
};
const HEIGHT: Called = Called {
    rule: "height",
    broken: "too-high",
    close: "height-close",
    less: "lower",
};
const LEAST_LENGTH: Called = Called {
    rule: "least length",
    broken: "too-short",
    close: "least-length-close",
    less: "longer",
};
const LEAST_WIDTH: Called = Called {
    rule: "least width",
    broken: "too-narrow",
    close: "least-width-close",
    less: "wider",
};

/// Adds these rows and what they find.
pub(crate) fn look(robot: &Robot, class: &Class, found: &mut Inspection) {
    let rules = &class.robot;
    let (length, width) = (&rules.length_m, &rules.width_m);
    let fit = fitted(robot, class);
    let boxes = extent_with_boxes(robot, fit.turned_rad);
    let mut most = |called: Called, rule: &Rule<Limit>, axis: usize, turned_rad: f64| {
        let (side, box_side) = (&fit.sides[axis], &boxes.sides[axis]);
        let mut row = measured(class, &called, rule, side);
        if turned_rad > 0.0 {
            row.ours_text += &format!(", turned by {}", show::<Angle>(turned_rad, 3));
        }
        if row.verdict != Verdict::Fail && !rule.value.allows(box_side.length_m) {
            row.verdict = Verdict::Close;
            found
                .findings
                .push(past_outline(robot, &row, side, box_side));
            found.rows.push(row);
            return;
        }
        let mend = format!("Move or shorten what sticks out ({}).", outermost(side));
        judge::<Length>(found, row, words(robot, &called, side, mend));
    };
    most(LENGTH, length, 0, fit.turned_rad);
    most(WIDTH, width, 1, fit.turned_rad);
    if let Some(limit) = rules.height_m.value {
        most(HEIGHT, &rules.height_m.clone().map(|_| limit), 2, 0.0);
    } else {
        free_height(class, &fit.sides[2], found);
    }
    let straight = crate::extent(robot);
    let least = [
        (LEAST_LENGTH, &rules.least_length_m),
        (LEAST_WIDTH, &rules.least_width_m),
    ];
    for (axis, (called, rule)) in least.into_iter().enumerate() {
        let Some(rule) = rule else { continue };
        let side = &straight.sides[axis];
        let mend = format!(
            "Enter a smaller class, or build it larger ({}).",
            outermost(side)
        );
        let row = measured(class, &called, rule, side);
        judge::<Length>(found, row, words(robot, &called, side, mend));
    }
}

fn measured(class: &Class, called: &Called, rule: &Rule<Limit>, side: &Side) -> Row {
    row::<Length>(
        called.rule,
        rule,
        Measured {
            si: side.length_m,
            spread_si: side.spread_m,
        },
        class.robot.template_error_m(rule.value.si),
    )
}

fn words(robot: &Robot, called: &Called, side: &Side, mend: String) -> Words {
    let place = place_of(robot, &side.high);
    Words {
        broken: called.broken,
        close: called.close,
        less: called.less,
        mend,
        place,
    }
}

fn outermost(side: &Side) -> String {
    if side.low == side.high {
        format!("{} sets it", side.high)
    } else {
        format!("it runs from {} to {}", side.low, side.high)
    }
}

/// Where something of this name stands in the file.
fn place_of(robot: &Robot, name: &str) -> Place {
    let hull = robot.hull.iter().map(|h| (&h.name, &h.place));
    let items = robot.items().map(|i| (&i.name, &i.place));
    hull.chain(items)
        .find(|(n, _)| n.as_str() == name)
        .map_or_else(|| Place::whole(&robot.file), |(_, place)| place.clone())
}

/// The outline keeps the limit, but parts' boxes together with it would not.
fn past_outline(robot: &Robot, row: &Row, side: &Side, boxes: &Side) -> Finding {
    let mut names = Vec::new();
    for (own, other) in [(&side.low, &boxes.low), (&side.high, &boxes.high)] {
        if own != other && !names.contains(&other.as_str()) {
            names.push(other.as_str());
        }
    }
    Finding {
        name: "part-past-outline",
        severity: Severity::Warning,
        what: format!(
            "With the boxes of {} the {} comes to {}; the class allows {}.",
            names.join(" and "),
            row.rule,
            show::<Length>(boxes.length_m, DIGITS),
            row.limit_text
        ),
        why: "A part's box stands for how its mass is spread about its centre of mass. It reaches \
              past the outline, so either the part sticks out or its centre is not in its middle."
            .into(),
        mend: "Check the part's place and size in the file, or measure the real robot with a \
               template."
            .into(),
        place: names.first().map(|name| place_of(robot, name)),
    }
}

fn free_height(class: &Class, side: &Side, found: &mut Inspection) {
    let ours = Measured {
        si: side.length_m,
        spread_si: side.spread_m,
    };
    let text = measured_text::<Length>(ours);
    let said = Row::said("height", &class.robot.height_m, "free", text, Verdict::Pass);
    found.rows.push(Row {
        unit: Length::SI,
        ours: Some(ours.si),
        spread: Some(ours.spread_si),
        ..said
    });
}
