//! Lifters, jacks, flaps and arms.

use quantity::{Angle, Figure, Length, Mass, Origin, Ratio, maths};

use super::body::slope;
use super::drive::{line, positive};
use super::item::{Extent, item};
use super::place::three;
use super::whole;
use crate::parts_box::PartsBox;
use crate::reader::{Document, Section};
use crate::{Gadget, GadgetDrive, GadgetKind, Mount, Moved, Plate, Robot, Travel, typical};

/// Most gadgets a small controller has outputs for.
const MOST: usize = 4;

/// Words for the kinds.
const KINDS: [GadgetKind; 4] = [
    GadgetKind::Lifter,
    GadgetKind::Jack,
    GadgetKind::Flap,
    GadgetKind::Arm,
];

/// Keys of a sheet, of a foot, of a motor: each means something where there is one.
const OF_A_PLATE: [&str; 8] = [
    "tip-x",
    "tip-y",
    "tip-height",
    "facing",
    "width",
    "length",
    "angle",
    "edge",
];
const OF_A_FOOT: [&str; 2] = ["foot", "feet-apart"];
const OF_A_MOTOR: [&str; 10] = [
    "rated-voltage",
    "no-load-speed",
    "stall-torque",
    "stall-current",
    "no-load-current",
    "reflected-inertia",
    "gear-ratio",
    "gear-efficiency",
    "pinion-radius",
    "holds",
];

/// Reads all `[[gadget]]` sections.
pub(crate) fn gadgets(
    root: &Section<'_>,
    parts: &PartsBox,
    extent: Option<&Extent>,
) -> Option<Vec<Gadget>> {
    let mut gadgets = Vec::new();
    for (k, mut section) in root.tables("gadget").into_iter().enumerate() {
        let kits = parts
            .back_up(&mut section, "gadget")
            .map(|e| e.kits.clone());
        let read = gadget(&section, kits, extent);
        if k == MOST {
            let what = format!("more than {MOST} gadgets");
            let expected = format!("at most {MOST}: a small controller has no more outputs");
            section.complain(what, expected, None);
        }
        gadgets.push(read);
        section.acquaint(super::wiring::OF_A_GADGET);
        section.finish();
    }
    whole(gadgets)
}

fn gadget(
    section: &Section<'_>,
    kits: Option<Vec<String>>,
    extent: Option<&Extent>,
) -> Option<Gadget> {
    let item = item(section, kits, extent, None);
    if let Some(i) = &item
        && !one_word(&i.name)
    {
        let what = format!("\"{}\" is no name a tactic can call", i.name);
        section.complain_of(
            "name",
            what,
            "one word of letters, digits, - and _, a letter first",
            Some(format!("name = \"{}\"", as_one_word(&i.name))),
        );
    }
    let words = KINDS.map(GadgetKind::word);
    let kind = section
        .choice("type", &words)
        .and_then(|w| KINDS.into_iter().find(|k| k.word() == w));
    let moves_blade = match section.optional_text("moves") {
        None if section.has("moves") => None,
        None => Some(false),
        Some(t) if t == "blade" => Some(true),
        Some(t) => {
            let what = format!("a gadget does not move \"{t}\"");
            let suggestion = Some("moves = \"blade\"".to_owned());
            section.complain_of("moves", what, "the blade, or no such line", suggestion);
            None
        }
    };
    let kind = kind?;
    let jack = kind == GadgetKind::Jack;
    let moves_blade = moves_blade?;
    let drive = drive(section, kind);
    let moved = moved(section, kind, moves_blade);
    let travel = travel(section, kind);
    let ends = ends(section, kind);
    let moving = item.as_ref().map_or(0.0, |i| i.mass.si());
    let moving = [
        moving * typical::MOVING_SHARE,
        moving * typical::MOVING_SHARE_UNSURE,
        0.0,
    ];
    let moving_mass = section.typical_figure::<Mass>("moving-mass", moving);
    let droop = (kind == GadgetKind::Flap)
        .then(|| section.typical_figure::<Length>("droop", typical::BLADE_DROOP));
    if droop.is_none() {
        refuse(section, &["droop"], "a flap");
    }
    let hinge = hinge(section, kind, moved.as_ref());
    if jack {
        refuse(section, &["hinge"], "a lifter, a flap or an arm");
    }
    Some(Gadget {
        item: item?,
        kind,
        moved: moved?,
        moving_mass,
        hinge: hinge?,
        travel: travel?,
        droop,
        ends: ends?,
        drive: drive?,
    })
}

/// Notes each of `keys` that is written although it only means something for `whom`.
fn refuse(section: &Section<'_>, keys: &[&str], whom: &str) {
    for key in keys {
        if section.own(key).is_some() {
            let what = format!("\"{key}\" has no meaning here");
            section.complain_of(
                key,
                what,
                format!("no such line: it belongs to {whom}"),
                None,
            );
        }
    }
}

fn one_word(name: &str) -> bool {
    let mut letters = name.chars();
    letters.next().is_some_and(char::is_alphabetic)
        && letters.all(|c| c.is_alphanumeric() || c == '-' || c == '_')
}

fn as_one_word(name: &str) -> String {
    let kept = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
    let word: String = (name.trim().chars())
        .map(|c| if kept(c) { c } else { '-' })
        .collect();
    if word.starts_with(char::is_alphabetic) {
        word
    } else {
        format!("g{word}")
    }
}

/// The motor. The outer option: whether it could be read.
#[allow(
    clippy::option_option,
    reason = "absent and broken are different things here"
)]
fn drive(section: &Section<'_>, kind: GadgetKind) -> Option<Option<GadgetDrive>> {
    let any = OF_A_MOTOR.iter().any(|k| section.has(k));
    if kind == GadgetKind::Flap && !any {
        return Some(None);
    }
    let line = line(section);
    let pinion_radius = if kind == GadgetKind::Jack {
        let radius = section.figure::<Length>("pinion-radius");
        positive(section, "pinion-radius", radius.as_ref().map(Figure::si));
        Some(radius?)
    } else {
        refuse(section, &["pinion-radius"], "a jack");
        None
    };
    let holds = section.typical_figure::<Ratio>("holds", typical::GEAR_HOLDS);
    let line = line?;
    Some(Some(GadgetDrive {
        rated_voltage: line.rated_voltage,
        no_load_speed: line.no_load_speed,
        no_load_current: line.no_load_current,
        stall_torque: line.stall_torque,
        stall_current: line.stall_current,
        reflected_inertia: line.reflected_inertia,
        gear_ratio: line.gear_ratio,
        gear_efficiency: line.gear_efficiency,
        pinion_radius,
        holds,
    }))
}

fn moved(section: &Section<'_>, kind: GadgetKind, moves_blade: bool) -> Option<Moved> {
    if kind == GadgetKind::Jack {
        refuse(section, &OF_A_PLATE, "a gadget with a sheet of its own");
        refuse(section, &["moves"], "a lifter");
        let foot = three(section, "foot");
        if !section.has("foot") {
            let expected = "the lowest point of its foot, foot = [\"-20 mm\", \"0 mm\", \"4 mm\"]";
            section.missing("foot", expected);
        }
        let friction = section.typical_figure::<Ratio>("friction", typical::SKID_FRICTION);
        let apart = section.optional_figure::<Length>("feet-apart");
        return Some(Moved::Foot {
            at: foot?,
            apart,
            friction,
        });
    }
    refuse(section, &OF_A_FOOT, "a jack");
    if moves_blade {
        refuse(section, &OF_A_PLATE, "a gadget with a sheet of its own");
        refuse(section, &["friction"], "the [blade] it moves");
        if kind != GadgetKind::Lifter {
            let what = format!("a {} does not move the blade", kind.word());
            section.complain_of("moves", what, "a lifter", Some("type = \"lifter\"".into()));
        }
        return Some(Moved::Blade);
    }
    plate(section).map(Moved::Plate)
}

fn plate(section: &Section<'_>) -> Option<Plate> {
    let zero = |key: &str| Figure::new(0.0, Origin::Stated, &format!("{}/{key}", section.path()));
    let tip_x = section.figure::<Length>("tip-x");
    let tip_y = section.optional_figure::<Length>("tip-y");
    let tip_height = section.figure::<Length>("tip-height");
    let facing = section.optional_figure::<Angle>("facing");
    let width = section.figure::<Length>("width");
    let length = section.figure::<Length>("length");
    let angle = section.figure::<Angle>("angle");
    positive(section, "width", width.as_ref().map(Figure::si));
    positive(section, "length", length.as_ref().map(Figure::si));
    slope(section, angle.as_ref());
    let edge = section.typical_figure::<Length>("edge", typical::BLADE_EDGE);
    let friction = section.typical_figure::<Ratio>("friction", typical::BLADE_FRICTION);
    Some(Plate {
        tip: [tip_x?, tip_y.unwrap_or_else(|| zero("tip-y")), tip_height?],
        facing: facing.unwrap_or_else(|| {
            Figure::new(0.0, Origin::Stated, &format!("{}/facing", section.path()))
        }),
        width: width?,
        length: length?,
        angle: angle?,
        edge,
        friction,
    })
}

fn travel(section: &Section<'_>, kind: GadgetKind) -> Option<Travel> {
    if kind == GadgetKind::Jack {
        let stroke = section.figure::<Length>("travel");
        positive(section, "travel", stroke.as_ref().map(Figure::si));
        return stroke.map(Travel::Stroke);
    }
    let angle = section.figure::<Angle>("travel")?;
    let either_way = kind == GadgetKind::Arm;
    let degrees = angle.si().to_degrees();
    let possible = degrees.abs() >= 1.0 && degrees.abs() <= 180.0 && (either_way || degrees > 0.0);
    if !possible {
        let expected = if either_way {
            "1 to 180 deg to the left, or that much below zero to the right"
        } else {
            "1 to 180 deg, edge up"
        };
        let what = format!(
            "a travel of {} makes no {}",
            quantity::show_si::<Angle>(angle.si()),
            kind.word()
        );
        section.complain_of("travel", what, expected, None);
        return None;
    }
    Some(Travel::Turn(angle))
}

fn ends(section: &Section<'_>, kind: GadgetKind) -> Option<[String; 2]> {
    let Some(ends) = section.optional_texts("ends") else {
        let usual = kind.usual_ends().map(str::to_owned);
        return (!section.has("ends")).then_some(usual);
    };
    let words = <[String; 2]>::try_from(ends).ok();
    let fits = words
        .as_ref()
        .is_some_and(|[a, b]| a != b && one_word(a) && one_word(b));
    if !fits {
        let expected = "two different words, the one it starts at first: [\"down\", \"up\"]";
        section.complain_of("ends", "these are no names of two ends", expected, None);
        return None;
    }
    words
}

/// A point of the hinge; left out: the middle of the plate's back edge.
fn hinge(
    section: &Section<'_>,
    kind: GadgetKind,
    moved: Option<&Moved>,
) -> Option<[Figure<Length>; 3]> {
    if section.has("hinge") && kind != GadgetKind::Jack {
        return three(section, "hinge");
    }
    let path = format!("{}/hinge", section.path());
    let derived = |v: [f64; 3]| v.map(|v| Figure::derived(v, &path));
    match moved? {
        Moved::Foot { at, .. } => Some(at.clone()),
        Moved::Plate(p) if kind != GadgetKind::Arm => {
            let run = p.length.si() * maths::cos(p.angle.si());
            Some(derived([
                p.tip[0].si() - run * maths::cos(p.facing.si()),
                p.tip[1].si() - run * maths::sin(p.facing.si()),
                p.tip[2].si() + p.length.si() * maths::sin(p.angle.si()),
            ]))
        }
        Moved::Plate(_) | Moved::Blade => {
            let expected = "a point of the hinge, hinge = [\"10 mm\", \"0 mm\", \"20 mm\"]";
            section.missing("hinge", expected);
            None
        }
    }
}

/// What only the whole robot can show: a driven blade has one lifter, and a lifter a driven blade.
pub(crate) fn cross_check(document: &Document, robot: &Robot) {
    let movers: Vec<&Gadget> = (robot.gadgets.iter())
        .filter(|g| g.moved == Moved::Blade)
        .collect();
    let mount = robot.blade.as_ref().map(|b| &b.mount);
    for (k, g) in movers.iter().enumerate() {
        let (what, expected) = match mount {
            None => ("there is no blade to move".to_owned(), "a section [blade]"),
            Some(Mount::Driven) if k == 0 => continue,
            Some(Mount::Driven) => (
                format!("\"{}\" moves the blade already", movers[0].item.name),
                "one gadget that moves the blade",
            ),
            Some(_) => (
                format!("\"{}\" moves a blade that is not driven", g.item.name),
                "mount = \"driven\" in [blade]",
            ),
        };
        document.log(&g.item.place.span, what, expected, None);
    }
    if let (Some(Mount::Driven), Some(blade), true) = (mount, &robot.blade, movers.is_empty()) {
        let what = "nothing moves the driven blade";
        let expected = "a [[gadget]] of type = \"lifter\" with moves = \"blade\"";
        document.log(&blade.item.place.span, what, expected, None);
    }
}
