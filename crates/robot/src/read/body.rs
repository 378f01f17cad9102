//! Hull, skids, blade.

use quantity::{Angle, Figure, Length, Origin, Ratio, maths};

use super::drive::positive;
use super::item::{Extent, item, placed};
use super::mount::mount;
use super::outline::{box_outline, outline};
use super::whole;
use crate::parts_box::PartsBox;
use crate::reader::Section;
use crate::{Blade, HullPiece, Skid, typical};

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
            rebound: root.typical_figure::<Ratio>("body-rebound", typical::REBOUND),
            reflectance: root
                .typical_figure::<Ratio>("body-reflectance", typical::HULL_REFLECTANCE),
            shine: root.typical_figure::<Ratio>("body-shine", typical::HULL_SHINE),
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
    if from.as_ref().is_some_and(|f| f.si() < 0.0) {
        section.complain_of(
            "from",
            "\"from\" lies below the ring",
            "the height of the lower face above the ring, 0 or more",
            None,
        );
    }
    let outline = outline(section);
    let friction = section.typical_figure::<Ratio>("friction", typical::HULL_FRICTION);
    let rebound = section.typical_figure::<Ratio>("rebound", typical::REBOUND);
    let reflectance = section.typical_figure::<Ratio>("reflectance", typical::HULL_REFLECTANCE);
    Some(HullPiece {
        name: name?,
        outline: outline?,
        from: from?,
        to: to?,
        friction,
        rebound,
        reflectance,
        shine: section.typical_figure::<Ratio>("shine", typical::HULL_SHINE),
        place: section.place(),
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
        let kind = if section.has("type") {
            section.choice("type", &["slide", "ball"])
        } else {
            Some("slide".to_owned())
        };
        let rolls = kind.as_deref() == Some("ball");
        if !rolls && section.own("rolling").is_some() {
            section.complain_of(
                "rolling",
                "a foot that slides does not roll",
                "type = \"ball\"",
                None,
            );
        }
        let rolling =
            rolls.then(|| section.typical_figure::<Ratio>("rolling", typical::BALL_ROLLING));
        skids.push(item.filter(|_| kind.is_some()).map(|item| Skid {
            contact: item.at.clone(),
            item,
            friction,
            rolling,
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
    slope(section, angle.as_ref());
    let edge = section.typical_figure::<Length>("edge", typical::BLADE_EDGE);
    let friction = section.typical_figure::<Ratio>("friction", typical::BLADE_FRICTION);
    let mount = mount(section);
    let rebound = section.typical_figure::<Ratio>("rebound", typical::REBOUND);
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
        mount: mount?,
        item,
        tip_x,
        tip_y,
        tip_height,
        width,
        length,
        angle,
        edge,
        friction,
        rebound,
    })
}

/// Notes a slope that makes no blade.
pub(crate) fn slope(section: &Section<'_>, angle: Option<&Figure<Angle>>) {
    if angle.is_some_and(|a| !(0.05..1.4).contains(&a.si())) {
        section.complain_of(
            "angle",
            "a blade this flat or this steep is no blade",
            "an angle from 3 to 80 deg",
            None,
        );
    }
}
