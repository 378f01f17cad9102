//! The rows of an inspection about kit parts, unfolding, losing screws and starting.

use quantity::{Mass, Time, show};
use robot::{Finding, Item, Robot, Severity};

use crate::size::limit_text;
use crate::unfold::{WITHIN_M, unfolded};
use crate::{Class, Extent, Inspection, Row, Start, Unfolding, Verdict};

/// Adds these rows and what they find.
pub(crate) fn look(robot: &Robot, class: &Class, found: &mut Inspection) {
    kits(robot, class, found);
    unfolding(robot, class, found);
    dropped(class, found);
    start(class, found);
}

fn kits(robot: &Robot, class: &Class, found: &mut Inspection) {
    let Some(rule) = &class.robot.kits else {
        return;
    };
    let allowed = |item: &&Item| !item.kits.iter().any(|k| rule.value.contains(k));
    let strangers: Vec<&Item> = robot.items().filter(allowed).collect();
    let limit = format!("only parts of kit {}", rule.value.join(" or "));
    let Some(first) = strangers.first() else {
        found.rows.push(Row::said(
            "kit parts",
            rule,
            limit,
            "all parts are",
            Verdict::Pass,
        ));
        return;
    };
    let names: Vec<&str> = strangers.iter().map(|i| i.name.as_str()).collect();
    let ours = format!("not of the kit: {}", names.join(", "));
    found.findings.push(Finding {
        name: "not-a-kit-part",
        severity: Severity::Fault,
        what: format!(
            "This class takes {limit}; {} of this robot's parts are {ours}.",
            names.len()
        ),
        why: "A part belongs to a kit when its entry in the parts box, or the robot file, carries \
              the kit's tag."
            .into(),
        mend: "Replace these parts by parts of the kit, or tag them if they do belong to it."
            .into(),
        place: Some(first.place.clone()),
    });
    found
        .rows
        .push(Row::said("kit parts", rule, limit, ours, Verdict::Fail));
}

/// Gadgets that reach over the room at the start, and how large the robot is with all of them out.
fn unfolding(robot: &Robot, class: &Class, found: &mut Inspection) {
    let rule = &class.robot.unfolding;
    let limit = match rule.value {
        Unfolding::Anything => "may unfold after the start, staying one body",
        Unfolding::BodyOnly => "the body may unfold after the start, the wheel base may not",
        Unfolding::Nothing => "nothing may unfold",
    };
    if robot.gadgets.is_empty() {
        let ours = "nothing in the file unfolds";
        found
            .rows
            .push(Row::said("unfolding", rule, limit, ours, Verdict::Pass));
        return;
    }
    let (folded, out) = (crate::extent(robot), unfolded(robot));
    let grows =
        (folded.sides.iter().zip(&out.sides)).any(|(a, b)| b.length_m > a.length_m + WITHIN_M);
    let movers: Vec<&str> = robot.gadgets.iter().map(|g| g.item.name.as_str()).collect();
    let size = |e: &Extent| {
        let mm = |k: usize| format!("{:.0}", 1e3 * e.sides[k].length_m);
        format!("{} × {} × {} mm", mm(0), mm(1), mm(2))
    };
    let ours = if grows {
        format!(
            "{} with {} anywhere on its way, {} at the start",
            size(&out),
            movers.join(", "),
            size(&folded)
        )
    } else {
        format!("{} moves within the room of the start", movers.join(", "))
    };
    let verdict = match rule.value {
        Unfolding::Nothing if grows => Verdict::Fail,
        // What widens the base is for the judge to say: a foot carries the robot as a wheel does.
        Unfolding::BodyOnly if grows => Verdict::AskTheJudge,
        _ => Verdict::Pass,
    };
    let row = Row::said("unfolding", rule, limit, &ours, verdict);
    if verdict == Verdict::Fail {
        found.findings.push(Finding {
            name: "unfolds",
            severity: Severity::Fault,
            what: format!("It unfolds: {ours}."),
            why: format!("In this class {limit} ({}).", rule.wording),
            mend: "Keep the gadget at its first end, shorten its way, or enter a class that allows it."
                .into(),
            place: robot.gadgets.first().map(|g| g.item.place.clone()),
        });
    }
    let row = if verdict == Verdict::AskTheJudge {
        row.by_hand(
            "Show the judge the robot with every gadget at both ends; ask whether a foot that is pushed out \
             counts as the wheel base.",
        )
    } else {
        row
    };
    found.rows.push(row);
}

fn dropped(class: &Class, found: &mut Inspection) {
    let rule = &class.robot.dropped_kg;
    let limit = format!("{} in all", limit_text::<Mass>(&rule.value));
    let row = Row::said(
        "dropped screws",
        rule,
        limit,
        "not in the file",
        Verdict::AskTheJudge,
    );
    found.rows.push(row.by_hand(
        "Shake the robot over a tray, ram it against a block a few times, and weigh what falls \
         off. Secure every screw.",
    ));
}

fn start(class: &Class, found: &mut Inspection) {
    let rule = &class.bout.start;
    let (limit, by_hand) = match rule.value {
        Start::Delay { still_s } => {
            let still = show::<Time>(still_s, 2);
            (
                format!("by delay: motionless for {still} after the signal"),
                format!(
                    "Wheels off the bench, time ten starts with a stopwatch: no wheel may turn \
                     before {still}. A board that keeps time to within 2 % must count {}. Keep \
                     fingers, hair and cables away from the wheels.",
                    // 5/(1 − 0.02) = 5.102: the slowest permitted clock still waits long enough.
                    show::<Time>(still_s / (1.0 - 0.02), 3)
                ),
            )
        }
        Start::Remote { move_within_s } => (
            format!(
                "by the judge's remote: moves within {}",
                show::<Time>(move_within_s, 2)
            ),
            "Try the judge's remote from the edge of the ring: the robot must start at once and \
             stop when told to. A robot that waits by itself loses time it does not have. Keep \
             fingers, hair and cables away from the wheels."
                .into(),
        ),
    };
    let ours = "in the bouts here the tactic takes over when the class lets it move; a program \
                written by hand must do the same";
    found
        .rows
        .push(Row::said("start", rule, limit, ours, Verdict::AskTheJudge).by_hand(by_hand));
}
