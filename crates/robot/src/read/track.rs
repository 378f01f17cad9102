//! Tracks.

use quantity::{Figure, Length};

use super::drive::{half, named_motor, one, positive, tyre};
use super::item::{Extent, item};
use super::whole;
use crate::parts_box::PartsBox;
use crate::reader::Section;
use crate::{Shape, Track, typical};

/// Most patches of a track: more change nothing that could be measured.
const MOST_PATCHES: u32 = 15;

/// Reads all `[[track]]` sections; `motors` are the names a track may be driven by.
pub(crate) fn tracks(
    root: &Section<'_>,
    parts: &PartsBox,
    extent: Option<&Extent>,
    motors: &[String],
) -> Option<Vec<Track>> {
    let mut tracks = Vec::new();
    for mut section in root.tables("track") {
        let kits = parts.back_up(&mut section, "track").map(|e| e.kits.clone());
        tracks.push(track(&section, kits, extent, motors));
        section.finish();
    }
    whole(tracks)
}

fn track(
    section: &Section<'_>,
    kits: Option<Vec<String>>,
    extent: Option<&Extent>,
    motors: &[String],
) -> Option<Track> {
    let diameter = section.figure::<Length>("diameter");
    let length = section.figure::<Length>("ground-length");
    let width = section.figure::<Length>("width");
    for (key, figure) in [
        ("diameter", &diameter),
        ("ground-length", &length),
        ("width", &width),
    ] {
        positive(section, key, figure.as_ref().map(Figure::si));
    }
    let radius = diameter.as_ref().map(half);
    // A diameter that was refused is no reason to ask for a height.
    let height = radius
        .clone()
        .unwrap_or_else(|| Figure::derived(0.0, "track/height"));
    let item = item(section, kits, extent, Some(&height));
    let motor = named_motor(section, "motor", motors);
    let ratio = one(section, "ratio");
    positive(section, "ratio", Some(ratio.si()));
    let patches = if section.has("patches") {
        section.optional_count("patches", 3, MOST_PATCHES)
    } else {
        Some(typical::TRACK_PATCHES)
    };
    if patches.is_some_and(|n| n % 2 == 0) {
        section.complain_of(
            "patches",
            "\"patches\" is even: no patch is in the middle",
            format!("an odd number from 3 to {MOST_PATCHES}"),
            None,
        );
    }
    let tyre = tyre(section, typical::TRACK_ROLLING);
    let (diameter, length, width) = (diameter?, length?, width?);
    let mut item = item?;
    let over = length.si() + diameter.si();
    item.shape = Shape::Box([
        length.clone().with_si(over),
        width.clone(),
        diameter.clone(),
    ]);
    Some(Track {
        item,
        motor: motor?,
        ratio,
        radius: radius?,
        length,
        width,
        patches: patches?,
        tyre: tyre?,
    })
}
