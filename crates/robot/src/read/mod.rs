//! From a robot file to a [`Robot`]: everything wrong is reported at once.

mod body;
pub(crate) mod drive;
mod faults;
mod frame;
mod gadget;
mod item;
mod magnet;
mod motion;
mod mount;
mod outline;
mod place;
mod sensor;
mod sight;
mod track;
mod wiring;

use quantity::{Angle, Dimension, Figure, Length, Origin};

use crate::parts_box::PartsBox;
use crate::reader::{Document, Value};
use crate::{Issue, Item, Robot, Style, TacticText, typical};

pub(crate) use drive::cooling;
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
/// Everything wrong in the file, in order of place, then in the parts it names.
pub fn read(
    file: &str,
    text: &str,
    parts: &PartsBox,
    lookup: &dyn Fn(&str) -> Option<String>,
) -> Result<Robot, Vec<Issue>> {
    let document = Document::parse(file, text);
    let robot = read_document(&document, file, parts, lookup);
    let mut issues = document.take_issues();
    issues.extend(parts.take_issues());
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
    // The names are known even where the rest of a motor could not be read.
    let names: Vec<String> = (root.tables("motor").iter())
        .filter_map(|s| match &s.own("name")?.value {
            Value::Text(name) => Some(name.clone()),
            _ => None,
        })
        .collect();
    let motors = drive::motors(&root, parts, extent.as_ref(), &names);
    let wheels = drive::wheels(&root, parts, extent.as_ref(), &names);
    let tracks = track::tracks(&root, parts, extent.as_ref(), &names);
    let skids = body::skids(&root, parts, extent.as_ref());
    let magnets = magnet::magnets(&root, parts, extent.as_ref());
    let blade = body::blade(&root, parts, extent.as_ref());
    let gadgets = gadget::gadgets(&root, parts, extent.as_ref());
    let battery = drive::battery(&root, parts, extent.as_ref());
    let driver = drive::driver(&root, parts, extent.as_ref());
    let board = drive::board(&root, parts, extent.as_ref());
    let sensors = sensor::sensors(&root, parts, extent.as_ref());
    let wiring = wiring::wiring(
        &root,
        parts,
        sensors.as_deref().unwrap_or_default(),
        gadgets.as_deref().unwrap_or_default(),
    );
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
            typical_of(typical::PUT_DOWN, "put-down/place"),
            typical_of(typical::PUT_DOWN_HEADING, "put-down/heading"),
        ),
    };
    let faults = faults::read(&root);
    let frame = frame::frame(&root, parts, extent.as_ref());
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
        tracks: tracks?,
        skids: skids?,
        magnets: magnets?,
        blade: blade?,
        gadgets: gadgets?,
        battery: battery?,
        driver: driver?,
        board: board?,
        sensors: sensors?,
        tactic: tactic?,
        put_down,
        put_down_heading,
        faults,
        wiring,
        frame: frame?,
    };
    cross_check(document, &robot);
    gadget::cross_check(document, &robot);
    frame::cross_check(document, &robot);
    if let Some(extent) = &extent {
        compare_size(document, extent, &robot);
    }
    Some(robot)
}

/// The typical figure of a section that is not written.
fn typical_of<D: Dimension>([si, unsure, varies]: [f64; 3], path: &str) -> Figure<D> {
    Figure::new(si, Origin::Typical, path).with_spread(unsure, varies)
}

/// What only the whole robot can show.
fn cross_check(document: &Document, robot: &Robot) {
    let root = document.root();
    let mut named: Vec<&Item> = Vec::new();
    for item in robot.items() {
        if let Some(first) = named.iter().find(|n| n.name == item.name) {
            let line = first.place.line;
            let what = format!("two things are called \"{}\"", item.name);
            let expected = format!("another name than that of the one in line {line}");
            document.log(&item.place.span, what, expected, None);
        }
        named.push(item);
    }
    if !robot.is_driven() {
        root.complain(
            "no wheel is driven",
            "at least one [[wheel]] or [[track]] with motor = \"…\"",
            None,
        );
    }
    let wheels = (robot.wheels.iter()).map(|w| ("wheel", &w.item, &w.radius));
    let tracks = (robot.tracks.iter()).map(|t| ("track", &t.item, &t.radius));
    for (kind, item, radius) in wheels.chain(tracks) {
        // More than a millimetre off the ring is a slip of the pen, not a design.
        let lift = item.at[2].si() - radius.si();
        if lift.abs() > 1e-3 {
            let side = if lift > 0.0 { "above" } else { "below" };
            let what = format!(
                "{kind} \"{}\" ends {:.1} mm {side} the ring",
                item.name,
                1e3 * lift.abs()
            );
            let expected = format!(
                "a {kind} centre as high as its radius: leave the third number of \"at\" out"
            );
            document.log(&item.place.span, what, expected, None);
        }
    }
}

/// How far `[size]` may differ from what hull, wheels, blade and plates span: in m, or as a share of it.
/// More is a slip of the pen.
const SAME_SIZE_M: f64 = 2e-3;
const SAME_SIZE_SHARE: f64 = 0.05;

/// Whether `[size]` says what hull, wheels, blade and plates span: places are measured from the one,
/// the inspection measures the other.
fn compare_size(document: &Document, extent: &Extent, robot: &Robot) {
    let Some(section) = document.root().table("size") else {
        return;
    };
    let f = robot.footprint();
    let spans = [f.length(), f.width(), f.top];
    for ((key, said), span) in ["length", "width", "height"]
        .iter()
        .zip(&extent.size)
        .zip(spans)
    {
        let most = SAME_SIZE_M.max(SAME_SIZE_SHARE * span) + said.unsure();
        if (said.si() - span).abs() > most {
            let spans = quantity::show::<Length>(span, 3);
            section.complain_of(
                key,
                format!(
                    "the {key} is {}, but hull, wheels, blade and plates span {spans}",
                    quantity::show::<Length>(said.si(), 3)
                ),
                "both to agree: mend the one that is wrong",
                Some(format!("{key} = \"{spans}\"")),
            );
        }
    }
}

/// All or none: a list is only whole if each of its entries is.
pub(crate) fn whole<T>(entries: Vec<Option<T>>) -> Option<Vec<T>> {
    entries.into_iter().collect()
}
