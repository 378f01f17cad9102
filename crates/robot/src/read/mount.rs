//! How a blade is held to the body.

use quantity::{Figure, Force, Length, Stiffness};

use super::drive::positive;
use super::place::three;
use crate::reader::Section;
use crate::{Mount, Play, typical};

/// Words for the mounts.
const MOUNTS: [&str; 4] = ["fixed", "hinged", "sprung", "driven"];

/// Which keys mean something for which mounts.
const OF: [(&str, &[&str]); 5] = [
    ("tip-stiffness", &["fixed", "sprung"]),
    ("preload", &["sprung"]),
    ("droop", &["hinged", "sprung"]),
    ("lift", &["hinged", "sprung"]),
    ("hinge", &["hinged", "sprung"]),
];

/// Reads what a `[blade]` section says of its mount.
pub(super) fn mount(section: &Section<'_>) -> Option<Mount> {
    let word = if section.has("mount") {
        section.choice("mount", &MOUNTS)?
    } else {
        MOUNTS[0].to_owned()
    };
    let mut fits = true;
    for (key, mounts) in OF {
        if section.has(key) && !mounts.contains(&word.as_str()) {
            fits = false;
            let what = format!("\"{key}\" has no meaning for a {word} blade");
            let expected = format!("mount = \"{}\" with it", mounts.join("\" or \""));
            let suggestion = Some(format!("mount = \"{}\"", mounts[mounts.len() - 1]));
            section.complain_of(key, what, expected, suggestion);
        }
    }
    if !fits {
        return None;
    }
    Some(match word.as_str() {
        "hinged" => Mount::Hinged(play(section)?),
        "sprung" => {
            let preload = section.typical_figure::<Force>("preload", typical::BLADE_PRELOAD);
            let tip_stiffness =
                section.typical_figure::<Stiffness>("tip-stiffness", typical::BLADE_SPRING);
            Mount::Sprung {
                play: play(section)?,
                preload,
                tip_stiffness,
            }
        }
        "driven" => Mount::Driven,
        _ => {
            let tip_stiffness = section.optional_figure::<Stiffness>("tip-stiffness");
            positive(
                section,
                "tip-stiffness",
                tip_stiffness.as_ref().map(Figure::si),
            );
            Mount::Fixed { tip_stiffness }
        }
    })
}

/// Reads how far a hinged sheet can move.
fn play(section: &Section<'_>) -> Option<Play> {
    let droop = section.typical_figure::<Length>("droop", typical::BLADE_DROOP);
    let lift = section.typical_figure::<Length>("lift", typical::BLADE_LIFT);
    positive(section, "lift", Some(lift.si()));
    let hinge = three(section, "hinge");
    if section.has("hinge") && hinge.is_none() {
        return None;
    }
    Some(Play { droop, lift, hinge })
}
