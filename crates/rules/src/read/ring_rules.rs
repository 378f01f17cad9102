//! Reading the ring and its surroundings.

use quantity::{Dimension, Length, Ratio, show};
use robot::Surface;
use robot::reader::{Document, Section};

use super::figure::Group;
use crate::{Facing, Placing, RingRules, Rule, StartsBehind, Surfaces};

/// Light of a hall without windows, as a share of an edge sensor's full scale: common practice, no
/// source. Lamps give little infra-red; a window or the sun gives many times as much.
const LIGHT: f64 = 0.03;
/// How much that differs from bout to bout (19 to 1): common practice, no source.
const LIGHT_VARIES: f64 = 0.02;
/// Share of its brightness a border loses to dust and tyre marks (19 to 1): common practice, no
/// source.
const BORDER_DIRT: f64 = 0.15;

/// Lines to start behind.
const LINES: &[(&str, StartsBehind)] = &[
    ("start line", StartsBehind::StartLine),
    ("middle line", StartsBehind::MiddleLine),
];

/// Ways to face.
const FACINGS: &[(&str, Facing)] = &[
    ("any", Facing::Any),
    ("opponent", Facing::Opponent),
    ("by round", Facing::ByRound),
];

/// Reads `[ring]`.
pub(super) fn read(ring: &Group<'_>, parent: Option<&RingRules>) -> Option<RingRules> {
    // From a ring for a thimble to one for a car: beyond lies a slip in the unit.
    let diameter_m =
        ring.quantity::<Length>("diameter", parent.map(|p| &p.diameter_m), [0.05, 20.0]);
    let height_m = ring.quantity::<Length>("height", parent.map(|p| &p.height_m), [0.0005, 2.0]);
    let border_m = ring.quantity::<Length>("border", parent.map(|p| &p.border_m), [0.0, 2.0]);
    let share = |key: &str, parent| ring.quantity::<Ratio>(key, parent, [0.0, 1.0]);
    let surface = share(
        "surface-reflectance",
        parent.map(|p| &p.surface_reflectance),
    );
    let border = share("border-reflectance", parent.map(|p| &p.border_reflectance));
    let grip = ring.quantity::<Ratio>("grip", parent.map(|p| &p.grip), [0.01, 10.0]);
    let grip_varies = share("grip-varies", parent.map(|p| &p.grip_varies));
    let surface_of =
        ring.rule_or_none("surface", parent.and_then(|p| p.surface.as_ref()), surfaces);
    let dust = ring.rule_or_none("dust", parent.and_then(|p| p.dust.as_ref()), |s| {
        super::figure::required::<Ratio>(s, "value", [0.0, 100.0])
    });
    // A step or a bulge of a centimetre is no ring any more.
    let height = |key: &str, parent: Option<&Rule<f64>>| {
        ring.rule_or_none(key, parent, |s| {
            super::figure::required::<Length>(s, "value", [0.0, 0.01])
        })
    };
    let flatness_m = height("flatness", parent.and_then(|p| p.flatness_m.as_ref()));
    let seam_m = height("seam", parent.and_then(|p| p.seam_m.as_ref()));
    let tolerance = ring.quantity::<Ratio>("tolerance", parent.map(|p| &p.tolerance), [0.0, 0.5]);
    let start_line_m =
        ring.quantity::<Length>("start-line", parent.map(|p| &p.start_line_m), [0.0, 10.0]);
    let placing = ring.rule(
        "placing",
        parent.map(|p| &p.placing),
        "behind = \"start line\"",
        placing,
    );
    let free_space_m =
        ring.quantity::<Length>("free-space", parent.map(|p| &p.free_space_m), [0.0, 100.0]);
    let light = ring.usual::<Ratio>("light", parent.map(|p| &p.light), [0.0, 100.0], LIGHT);
    let light_varies = ring.usual::<Ratio>(
        "light-varies",
        parent.map(|p| &p.light_varies),
        [0.0, 100.0],
        LIGHT_VARIES,
    );
    let border_dirt = ring.usual::<Ratio>(
        "border-dirt",
        parent.map(|p| &p.border_dirt),
        [0.0, 1.0],
        BORDER_DIRT,
    );
    Some(RingRules {
        diameter_m: diameter_m?,
        height_m: height_m?,
        border_m: border_m?,
        surface_reflectance: surface?,
        border_reflectance: border?,
        surface: surface_of,
        dust,
        grip: grip?,
        grip_varies: grip_varies?,
        flatness_m,
        seam_m,
        tolerance: tolerance?,
        start_line_m: start_line_m?,
        placing: placing?,
        free_space_m: free_space_m?,
        light: light?,
        light_varies: light_varies?,
        border_dirt: border_dirt?,
    })
}

/// `value = "wood"` and, where rings differ, `also = ["vinyl"]`.
fn surfaces(section: &Section<'_>) -> Option<Surfaces> {
    let words = Surface::ALL.map(|s| s.0);
    let of = |word: &str| Some(Surface::ALL.iter().find(|s| s.0 == word)?.1);
    let usual = section.choice("value", &words).and_then(|w| of(&w));
    let mut also = Vec::new();
    for word in section.optional_texts("also").unwrap_or_default() {
        match of(&word) {
            Some(surface) if Some(surface) == usual || also.contains(&surface) => section
                .complain_of(
                    "also",
                    format!("\"{word}\" is named twice"),
                    "each surface once",
                    None,
                ),
            Some(surface) => also.push(surface),
            None => section.complain_of(
                "also",
                format!("\"{word}\" is no surface"),
                format!("some of \"{}\"", words.join("\", \"")),
                robot::reader::nearest(&word, words.iter().copied()).map(|w| format!("\"{w}\"")),
            ),
        }
    }
    Some(Surfaces {
        usual: usual?,
        also,
    })
}

fn placing(section: &Section<'_>) -> Option<Placing> {
    let words: Vec<&str> = LINES.iter().map(|l| l.0).collect();
    let line = section.choice("behind", &words);
    let ways: Vec<&str> = FACINGS.iter().map(|f| f.0).collect();
    let facing = section.choice("facing", &ways);
    let aside = section.optional_flag("aside").unwrap_or(true);
    let in_turn = section.optional_flag("in-turn").unwrap_or(false);
    let behind = LINES.iter().find(|l| Some(l.0) == line.as_deref())?.1;
    let facing = FACINGS.iter().find(|f| Some(f.0) == facing.as_deref())?.1;
    Some(Placing {
        behind,
        facing,
        aside,
        in_turn,
    })
}

/// What only the whole ring can show: the border and the start lines must lie on it.
pub(super) fn cross_check(document: &Document, ring: &RingRules) {
    let root = document.root();
    let section = root.table("ring");
    let section = section.as_ref().unwrap_or(&root);
    let radius = ring.diameter_m.value / 2.0;
    let inside = radius - ring.border_m.value;
    let text = |m: f64| show::<Length>(m, 4);
    if inside <= 0.0 {
        let what = format!(
            "a border of {} leaves nothing of a ring of {} radius",
            text(ring.border_m.value),
            text(radius)
        );
        section.complain_of(
            "border",
            what,
            format!("a {} below the radius", Length::NAME),
            None,
        );
    } else if ring.start_line_m.value >= inside {
        let what = format!(
            "start lines {} from the centre lie on the border",
            text(ring.start_line_m.value)
        );
        section.complain_of(
            "start-line",
            what,
            format!("less than {}", text(inside)),
            None,
        );
    }
    if ring.border_reflectance.value <= ring.surface_reflectance.value {
        let what = "the border is not brighter than the ring";
        let expected = "a border-reflectance above the surface-reflectance";
        section.complain_of("border-reflectance", what, expected, None);
    }
}
