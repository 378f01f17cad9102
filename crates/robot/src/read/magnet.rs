//! Magnets.

use quantity::{Figure, Force, Length, Ratio};

use super::drive::positive;
use super::item::{Extent, item};
use super::whole;
use crate::parts_box::PartsBox;
use crate::reader::Section;
use crate::{Magnet, typical};

/// Reads all `[[magnet]]` sections.
pub(crate) fn magnets(
    root: &Section<'_>,
    parts: &PartsBox,
    extent: Option<&Extent>,
) -> Option<Vec<Magnet>> {
    let mut magnets = Vec::new();
    for mut section in root.tables("magnet") {
        let kits = parts
            .back_up(&mut section, "magnet")
            .map(|e| e.kits.clone());
        magnets.push(magnet(&section, kits, extent));
        section.finish();
    }
    whole(magnets)
}

fn magnet(
    section: &Section<'_>,
    kits: Option<Vec<String>>,
    extent: Option<&Extent>,
) -> Option<Magnet> {
    let gap = section.figure::<Length>("gap");
    if gap.as_ref().is_some_and(|g| g.si() < 0.0) {
        section.complain_of(
            "gap",
            "the magnet reaches below the ring",
            "the height of its lower face with all wheels down, such as \"1 mm\"",
            None,
        );
    }
    let item = item(section, kits, extent, gap.as_ref());
    let pull = section.figure::<Force>("pull");
    positive(section, "pull", pull.as_ref().map(Figure::si));
    let reach = section.typical_figure::<Length>("reach", typical::MAGNET_REACH);
    positive(section, "reach", Some(reach.si()));
    let friction = section.typical_figure::<Ratio>("friction", typical::MAGNET_FRICTION);
    Some(Magnet {
        item: item?,
        gap: gap?,
        pull: pull?,
        reach,
        friction,
    })
}
