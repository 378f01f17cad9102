//! From a robot file to a [`Robot`]: everything wrong is reported at once.

mod body;
mod drive;
mod item;
mod sensor;

use quantity::{Angle, Length};

use crate::parts_box::PartsBox;
use crate::reader::Document;
use crate::{Issue, Robot, Style, TacticText, typical};

pub(crate) use item::Extent;

/// Words for the styles.
const STYLES: &[(&str, Style)] = &[
    ("pusher", Style::Pusher),
    ("dodger", Style::Dodger),
    ("trickster", Style::Trickster),
    ("all-rounder", Style::AllRounder),
];

/// Reads a robot file. `lookup` gives the text of the tactic file it names.
///
/// # Errors
/// Everything wrong in the file, in order of place.
pub fn read(
    file: &str,
    text: &str,
    parts: &PartsBox,
    lookup: &dyn Fn(&str) -> Option<String>,
) -> Result<Robot, Vec<Issue>> {
    let document = Document::parse(file, text);
    let robot = read_document(&document, file, parts, lookup);
    let issues = document.take_issues();
    match robot {
        Some(robot) if issues.is_empty() => Ok(robot),
        _ => Err(issues),
    }
}

fn read_document(
    document: &Document,
    file: &str,
    parts: &PartsBox,
    lookup: &dyn Fn(&str) -> Option<String>,
) -> Option<Robot> {
    let root = document.root();
    let name = root.text("name");
    let class = root.optional_text("class");
    let words: Vec<&str> = STYLES.iter().map(|s| s.0).collect();
    let style = root
        .choice("style", &words)
        .and_then(|word| STYLES.iter().find(|s| s.0 == word).map(|s| s.1));
    let tactic = root.text("tactic").and_then(|named| {
        let text = lookup(&named);
        if text.is_none() {
            let expected =
                "a tactic file beside the robot file, or one that comes with the program";
            root.complain_of(
                "tactic",
                format!("no tactic file \"{named}\""),
                expected,
                None,
            );
        }
        text.map(|text| TacticText { file: named, text })
    });
    let extent = Extent::read(&root);
    let inert = item::parts(&root, parts, extent.as_ref());
    let hull = body::hull(&root, extent.as_ref());
    let motors = drive::motors(&root, parts, extent.as_ref());
    let names: Vec<String> = motors
        .iter()
        .flatten()
        .map(|m| m.item.name.clone())
        .collect();
    let wheels = drive::wheels(&root, parts, extent.as_ref(), &names);
    let skids = body::skids(&root, parts, extent.as_ref());
    let blade = body::blade(&root, parts, extent.as_ref());
    let battery = drive::battery(&root, parts, extent.as_ref());
    let driver = drive::driver(&root, parts, extent.as_ref());
    let board = drive::board(&root, parts, extent.as_ref());
    let sensors = sensor::sensors(&root, parts, extent.as_ref());
    let (put_down, put_down_heading) = match root.table("put-down") {
        Some(section) => {
            let figures = (
                section.typical_figure::<Length>("place", typical::PUT_DOWN),
                section.typical_figure::<Angle>("heading", typical::PUT_DOWN_HEADING),
            );
            section.finish();
            figures
        }
        None => (
            root.typical_figure::<Length>("put-down", typical::PUT_DOWN),
            root.typical_figure::<Angle>("put-down-heading", typical::PUT_DOWN_HEADING),
        ),
    };
    root.finish();
    let robot = Robot {
        name: name?,
        file: file.to_owned(),
        class,
        style: style?,
        parts: inert?,
        hull: hull?,
        motors: motors?,
        wheels: wheels?,
        skids: skids?,
        blade: blade?,
        battery: battery?,
        driver: driver?,
        board: board?,
        sensors: sensors?,
        tactic: tactic?,
        put_down,
        put_down_heading,
    };
    cross_check(document, &robot);
    Some(robot)
}

/// What only the whole robot can show.
fn cross_check(document: &Document, robot: &Robot) {
    let root = document.root();
    let mut names: Vec<&str> = Vec::new();
    for item in robot.items() {
        if names.contains(&item.name.as_str()) {
            let what = format!("two things are called \"{}\"", item.name);
            document.log(&item.place.span, what, "a name of its own for each", None);
        }
        names.push(&item.name);
    }
    if !robot.wheels.iter().any(|w| w.motor.is_some()) {
        root.complain(
            "no wheel is driven",
            "at least one [[wheel]] with motor = \"…\"",
            None,
        );
    }
    for w in &robot.wheels {
        // More than a millimetre off the ring is a slip of the pen, not a design.
        let lift = w.item.at[2].si() - w.radius.si();
        if lift.abs() > 1e-3 {
            let side = if lift > 0.0 { "above" } else { "below" };
            let what = format!(
                "wheel \"{}\" ends {:.1} mm {side} the ring",
                w.item.name,
                1e3 * lift.abs()
            );
            let expected =
                "a wheel centre as high as its radius: leave the third number of \"at\" out";
            document.log(&w.item.place.span, what, expected, None);
        }
    }
}

/// All or none: a list is only whole if each of its entries is.
pub(crate) fn whole<T>(entries: Vec<Option<T>>) -> Option<Vec<T>> {
    entries.into_iter().collect()
}
