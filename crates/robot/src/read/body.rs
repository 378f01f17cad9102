//! Hull, skids, blade.

use quantity::{Angle, Figure, Length, Origin, Ratio, maths};

use super::drive::positive;
use super::item::{Extent, item, placed};
use super::whole;
use crate::parts_box::PartsBox;
use crate::reader::{Section, Value};
use crate::{Blade, HullPiece, Skid, typical};

/// Most corners an outline may have.
const MOST_CORNERS: usize = 16;

/// Reads all `[[hull]]` sections; none: one box of `[size]`, from 3 mm above the ring.
pub(crate) fn hull(root: &Section<'_>, extent: Option<&Extent>) -> Option<Vec<HullPiece>> {
    let sections = root.tables("hull");
    if sections.is_empty() {
        let extent = extent?;
        let [l, w, h] = [0, 1, 2].map(|i: usize| extent.size[i].si());
        let from = Figure::new(0.003, Origin::Typical, "hull/body/from").with_spread(0.001, 0.0);
        return Some(vec![HullPiece {
            name: "body".into(),
            outline: box_outline(0.0, 0.0, l, w),
            from,
            to: Figure::new(h, Origin::Derived, "hull/body/to"),
            friction: root.typical_figure::<Ratio>("body-friction", typical::HULL_FRICTION),
            reflectance: root
                .typical_figure::<Ratio>("body-reflectance", typical::HULL_REFLECTANCE),
            place: root.place(),
        }]);
    }
    let mut pieces = Vec::new();
    for section in sections {
        pieces.push(piece(&section));
        section.finish();
    }
    whole(pieces)
}

fn box_outline(x: f64, y: f64, length: f64, width: f64) -> Vec<[f64; 2]> {
    let (l, w) = (0.5 * length, 0.5 * width);
    vec![
        [x + l, y - w],
        [x + l, y + w],
        [x - l, y + w],
        [x - l, y - w],
    ]
}

fn piece(section: &Section<'_>) -> Option<HullPiece> {
    let name = section.text("name");
    let from = section.figure::<Length>("from");
    let to = section.figure::<Length>("to");
    if let (Some(f), Some(t)) = (&from, &to)
        && f.si() >= t.si()
    {
        section.complain_of(
            "to",
            "\"to\" is not above \"from\"",
            "the height of the upper face",
            None,
        );
    }
    let outline = outline(section);
    let friction = section.typical_figure::<Ratio>("friction", typical::HULL_FRICTION);
    let reflectance = section.typical_figure::<Ratio>("reflectance", typical::HULL_REFLECTANCE);
    Some(HullPiece {
        name: name?,
        outline: outline?,
        from: from?,
        to: to?,
        friction,
        reflectance,
        place: section.place(),
    })
}

/// `outline` as a list of corners, or a box by `length`, `width` and, if not in the middle, `at`.
fn outline(section: &Section<'_>) -> Option<Vec<[f64; 2]>> {
    if let Some(node) = section.own("outline") {
        let expected = "a list of corners such as [[\"49 mm\", \"-48 mm\"], …], counter-clockwise";
        let Value::List(corners) = &node.value else {
            section.complain_of("outline", "\"outline\" is not a list", expected, None);
            return None;
        };
        let mut points = Vec::with_capacity(corners.len());
        for c in corners {
            let lengths = match &c.value {
                Value::List(xy) if xy.len() == 2 => xy
                    .iter()
                    .map(|n| match &n.value {
                        Value::Text(t) => quantity::parse::<Length>(t).ok().map(|p| p.si),
                        _ => None,
                    })
                    .collect::<Option<Vec<f64>>>(),
                _ => None,
            };
            let Some(xy) = lengths else {
                section.document().log(
                    &c.span,
                    "not a corner",
                    "[\"49 mm\", \"-48 mm\"]: forward, left",
                    None,
                );
                return None;
            };
            points.push([xy[0], xy[1]]);
        }
        if points.len() < 3 || points.len() > MOST_CORNERS {
            let what = format!("an outline of {} corners", points.len());
            section.complain_of(
                "outline",
                what,
                format!("3 to {MOST_CORNERS} corners"),
                None,
            );
            return None;
        }
        if !convex_counter_clockwise(&points) {
            let reversed: Vec<_> = points.iter().rev().copied().collect();
            let suggestion = convex_counter_clockwise(&reversed)
                .then(|| "write the corners in the opposite order".to_owned());
            let expected = "a convex outline, corners counter-clockwise seen from above; split other shapes into several [[hull]] pieces";
            section.complain_of(
                "outline",
                "this outline is not convex and counter-clockwise",
                expected,
                suggestion,
            );
            return None;
        }
        return Some(points);
    }
    let length = section.figure::<Length>("length");
    let width = section.figure::<Length>("width");
    positive(section, "length", length.as_ref().map(Figure::si));
    positive(section, "width", width.as_ref().map(Figure::si));
    let at = section.optional_figures::<Length>("at").unwrap_or_default();
    let middle = |i: usize| at.get(i).map_or(0.0, Figure::si);
    Some(box_outline(middle(0), middle(1), length?.si(), width?.si()))
}

fn convex_counter_clockwise(points: &[[f64; 2]]) -> bool {
    let n = points.len();
    (0..n).all(|i| {
        let [a, b, c] = [points[i], points[(i + 1) % n], points[(i + 2) % n]];
        (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) > 1e-12
    })
}

/// Reads all `[[skid]]` sections: `at` is the point that touches the ring.
pub(crate) fn skids(
    root: &Section<'_>,
    parts: &PartsBox,
    extent: Option<&Extent>,
) -> Option<Vec<Skid>> {
    let mut skids = Vec::new();
    for mut section in root.tables("skid") {
        let kits = parts.back_up(&mut section, "skid").map(|e| e.kits.clone());
        let ground = Figure::new(0.0, Origin::Stated, &format!("{}/at/2", section.path()));
        let item = item(&section, kits, extent, Some(&ground));
        let friction = section.typical_figure::<Ratio>("friction", typical::SKID_FRICTION);
        skids.push(item.map(|item| Skid {
            contact: item.at.clone(),
            item,
            friction,
        }));
        section.finish();
    }
    whole(skids)
}

/// Reads `[blade]`; without one the robot has none. The outer option: whether it could be read.
#[allow(
    clippy::option_option,
    reason = "absent and broken are different things here"
)]
pub(crate) fn blade(
    root: &Section<'_>,
    parts: &PartsBox,
    extent: Option<&Extent>,
) -> Option<Option<Blade>> {
    let Some(mut section) = root.table("blade") else {
        return if root.own("blade").is_none() {
            Some(None)
        } else {
            None
        };
    };
    let kits = parts.back_up(&mut section, "blade").map(|e| e.kits.clone());
    let blade = read_blade(&section, kits, extent);
    section.finish();
    blade.map(Some)
}

fn read_blade(
    section: &Section<'_>,
    kits: Option<Vec<String>>,
    extent: Option<&Extent>,
) -> Option<Blade> {
    let tip_x = section.figure::<Length>("tip-x");
    let zero = |key: &str| Figure::new(0.0, Origin::Stated, &format!("{}/{key}", section.path()));
    let tip_y = section
        .optional_figure::<Length>("tip-y")
        .unwrap_or_else(|| zero("tip-y"));
    let tip_height = section.figure::<Length>("tip-height");
    let width = section.figure::<Length>("width");
    let length = section.figure::<Length>("length");
    let angle = section.figure::<Angle>("angle");
    positive(section, "width", width.as_ref().map(Figure::si));
    positive(section, "length", length.as_ref().map(Figure::si));
    if angle
        .as_ref()
        .is_some_and(|a| !(0.05..1.4).contains(&a.si()))
    {
        section.complain_of(
            "angle",
            "a blade this flat or this steep is no blade",
            "an angle from 3 to 80 deg",
            None,
        );
    }
    let edge = section.typical_figure::<Length>("edge", typical::BLADE_EDGE);
    let friction = section.typical_figure::<Ratio>("friction", typical::BLADE_FRICTION);
    let (tip_x, tip_height, width, length, angle) = (tip_x?, tip_height?, width?, length?, angle?);
    let item = if section.own("at").is_some() {
        item(section, kits, extent, None)?
    } else {
        // An even sheet: its centre is halfway up the slope.
        let half = 0.5 * length.si();
        let at = [
            tip_x.si() - half * maths::cos(angle.si()),
            tip_y.si(),
            tip_height.si() + half * maths::sin(angle.si()),
        ];
        let at = at.map(|v| Figure::derived(v, &format!("{}/at", section.path())));
        let mut placed = placed(section, kits, at)?;
        placed.shape = crate::Shape::Box([
            Figure::derived(length.si() * maths::cos(angle.si()), "blade/run"),
            width.clone(),
            Figure::derived(length.si() * maths::sin(angle.si()), "blade/rise"),
        ]);
        placed
    };
    Some(Blade {
        item,
        tip_x,
        tip_y,
        tip_height,
        width,
        length,
        angle,
        edge,
        friction,
    })
}
