//! Reading what a robot may be.

use quantity::{Length, Mass};
use robot::reader::Section;

use super::Sources;
use super::figure::{self, Group, LOWER, UPPER};
use crate::{RobotRules, Rule, Unfolding};

/// Words for what may unfold.
const UNFOLDING: &[(&str, Unfolding)] = &[
    ("anything", Unfolding::Anything),
    ("body only", Unfolding::BodyOnly),
    ("nothing", Unfolding::Nothing),
];

/// Reads `[robot]` and `[kits]`.
pub(super) fn read(
    robot: &Group<'_>,
    root: &Section<'_>,
    parent: Option<&RobotRules>,
    sources: &Sources,
) -> Option<RobotRules> {
    let length_m = robot.upper::<Length>("length", parent.map(|p| &p.length_m));
    let width_m = robot.upper::<Length>("width", parent.map(|p| &p.width_m));
    let height_m = robot.rule(
        "height",
        parent.map(|p| &p.height_m),
        "free, at-most or under",
        |s| figure::free_or_limit::<Length>(s, UPPER),
    );
    let mass_kg = robot.upper::<Mass>("mass", parent.map(|p| &p.mass_kg));
    let lower = |key: &str, parent| robot.optional::<Length>(key, parent, LOWER);
    let least_length_m = lower(
        "least-length",
        parent.and_then(|p| p.least_length_m.as_ref()),
    );
    let least_width_m = lower("least-width", parent.and_then(|p| p.least_width_m.as_ref()));
    let edge_radius_m = lower("edge-radius", parent.and_then(|p| p.edge_radius_m.as_ref()));
    let least_mass = parent.and_then(|p| p.least_mass_kg.as_ref());
    let least_mass_kg = robot.optional::<Mass>("least-mass", least_mass, LOWER);
    let dropped_kg = robot.upper::<Mass>("dropped", parent.map(|p| &p.dropped_kg));
    // Off by more than a kilogram or a centimetre, it is no instrument.
    let scale_error_kg = robot.rule_or_none(
        "scale-error",
        parent.and_then(|p| p.scale_error_kg.as_ref()),
        |s| figure::required::<Mass>(s, "value", [0.0, 1.0]),
    );
    let template_error_m = robot.rule_or_none(
        "template-error",
        parent.and_then(|p| p.template_error_m.as_ref()),
        |s| figure::required::<Length>(s, "value", [0.0, 0.01]),
    );
    let unfolding = robot.rule(
        "unfolding",
        parent.map(|p| &p.unfolding),
        "value = \"anything\"",
        |s| {
            let words: Vec<&str> = UNFOLDING.iter().map(|u| u.0).collect();
            let word = s.choice("value", &words)?;
            UNFOLDING.iter().find(|u| u.0 == word).map(|u| u.1)
        },
    );
    let kits = kits(root, parent.and_then(|p| p.kits.as_ref()), sources);
    Some(RobotRules {
        length_m: length_m?,
        width_m: width_m?,
        height_m: height_m?,
        mass_kg: mass_kg?,
        least_length_m: least_length_m?,
        least_width_m: least_width_m?,
        least_mass_kg: least_mass_kg?,
        edge_radius_m: edge_radius_m?,
        dropped_kg: dropped_kg?,
        scale_error_kg,
        template_error_m,
        unfolding: unfolding?,
        kits: kits?,
    })
}

/// `[kits]`: which tags every part must carry one of; `free = true` lifts the parent's. None is a
/// wrong one (noted).
fn kits(
    root: &Section<'_>,
    parent: Option<&Rule<Vec<String>>>,
    sources: &Sources,
) -> Option<Option<Rule<Vec<String>>>> {
    let Some(section) = root.table("kits") else {
        return if root.has("kits") {
            None
        } else {
            Some(parent.cloned())
        };
    };
    let rule = figure::rule(&section, sources, |s| {
        let tags = s.optional_texts("parts").unwrap_or_default();
        let free = s.optional_flag("free") == Some(true);
        if free == tags.is_empty() {
            return Some(tags);
        }
        s.complain(
            "[kits] names no kit",
            "parts = [\"starter\"], or free = true",
            None,
        );
        None
    });
    section.finish();
    rule.map(|r| Some(r).filter(|r| !r.value.is_empty()))
}
