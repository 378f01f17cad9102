//! What holds the robot together: nodes, members, joints.

use quantity::{Angle, Dimension, Figure, Length, Torque, TurningStiffness};

use super::drive::positive;
use super::item::Extent;
use super::place::place;
use super::whole;
use crate::frame::{Bar, Described, End, Hang, JointKind, Member, Node, SCREWS};
use crate::material::{Materials, material};
use crate::parts_box::PartsBox;
use crate::reader::{Document, Section, nearest};
use crate::{Material, Robot};

/// How many lengths of the robot a node may lie outside of it: beyond that a unit was mistaken.
const FAR: f64 = 3.0;
/// Thinnest and thickest a member may be, m: foil, and more than the largest class is wide.
const THICKNESS: (f64, f64) = (5e-5, 0.25);
/// Most screws in one joint.
const MOST_SCREWS: u32 = 20;
/// Stiffest and softest joint anybody may mean, N·m/rad.
const STIFFNESS: (f64, f64) = (1e-4, 1e6);
/// Most play, rad (20 degrees): beyond that it is a hinge.
const MOST_PLAY: f64 = 0.35;

const SECTIONS: [&str; 6] = ["strip", "tube", "rod", "pipe", "angle", "channel"];

/// Reads `[frame]`; without one the file does not describe any. The outer option: whether it could be
/// read.
#[allow(
    clippy::option_option,
    reason = "absent and broken are different things here"
)]
pub(super) fn frame(
    root: &Section<'_>,
    parts: &PartsBox,
    extent: Option<&Extent>,
) -> Option<Option<Described>> {
    let Some(section) = root.table("frame") else {
        return root.own("frame").is_none().then_some(None);
    };
    let own = own_materials(&section);
    let known = |name: &str| {
        (own.iter().flatten().find(|m| m.name == name)).or_else(|| parts.materials().find(name))
    };
    let nodes: Option<Vec<Node>> = whole(
        (section.tables("node").into_iter())
            .map(|s| node(s, extent))
            .collect(),
    );
    // The names are known even where the place of a node could not be read.
    let names: Vec<String> = (section.tables("node").iter())
        .map(|s| s.optional_text("name").unwrap_or_default())
        .collect();
    let members: Option<Vec<Member>> = whole(
        (section.tables("member").into_iter())
            .map(|s| member(s, &names, &known, parts.materials()))
            .collect(),
    );
    let hangs = whole(
        (section.tables("hang").into_iter())
            .map(|s| {
                let part = s.text("part");
                let node = named_node(&s, "node", &names);
                let place = s.place();
                s.finish();
                Some(Hang {
                    part: part?,
                    node: node?,
                    place,
                })
            })
            .collect(),
    );
    let joints = section.tables("joint");
    let described = match (own, nodes, members, hangs) {
        (Some(_), Some(nodes), Some(members), Some(hangs)) => {
            let mut made = Described {
                nodes,
                members,
                hangs,
                place: section.place(),
            };
            for s in joints {
                joint(s, &mut made);
            }
            connected(&section, &made);
            Some(made)
        }
        _ => {
            // Nothing can be held against members that could not be read: only the keys are known.
            for s in joints {
                s.acquaint(&["member", "node"]);
                end(&s, JointKind::Screwed);
                s.finish();
            }
            None
        }
    };
    section.finish();
    described.map(Some)
}

/// Materials that the file describes itself.
fn own_materials(section: &Section<'_>) -> Option<Vec<Material>> {
    let read = section.tables("material").into_iter().map(|s| {
        let name = s.text("name");
        let made = material(&s, name.as_deref().unwrap_or_default());
        s.finish();
        name.and(made)
    });
    whole(read.collect())
}

fn node(section: Section<'_>, extent: Option<&Extent>) -> Option<Node> {
    let name = section.text("name");
    let at = place(&section, extent, None).map(|at| at.map(|f| f.si()));
    if let (Some(at), Some(extent)) = (&at, extent) {
        let size = extent.size.iter().map(Figure::si).fold(0.0, f64::max);
        if let Some(far) = at.iter().find(|x| x.abs() > FAR * size) {
            section.complain_of(
                "at",
                format!(
                    "this node is {} away from a robot of {}",
                    quantity::show_si::<Length>(far.abs()),
                    quantity::show_si::<Length>(size)
                ),
                "a place on the robot",
                a_thousandth(*far, size),
            );
        }
    }
    let place = section.place();
    section.finish();
    Some(Node {
        name: name?,
        at: at?,
        place,
    })
}

/// The length that is meant if its unit was mistaken by a factor of a thousand.
fn a_thousandth(x: f64, size: f64) -> Option<String> {
    let meant = 1e-3 * x;
    (meant.abs() <= size).then(|| format!("\"{}\"", quantity::show_si::<Length>(meant)))
}

fn member<'m>(
    section: Section<'_>,
    names: &[String],
    known: &impl Fn(&str) -> Option<&'m Material>,
    materials: &Materials,
) -> Option<Member> {
    let name = section.text("name");
    let from = named_node(&section, "from", names);
    let to = named_node(&section, "to", names);
    if from.is_some() && from == to {
        section.complain_of(
            "to",
            "this member ends where it begins",
            "the name of another node",
            None,
        );
    }
    let material = section.text("material").and_then(|named| {
        let found = known(&named);
        if found.is_none() {
            let all: Vec<&str> = materials.iter().map(|m| m.name.as_str()).collect();
            section.complain_of(
                "material",
                format!("no material \"{named}\" is known"),
                format!(
                    "one of {}, or a [[frame.material]] of your own",
                    all.join(", ")
                ),
                materials
                    .nearest(&named)
                    .map(|n| format!("material = \"{n}\"")),
            );
        }
        found.cloned()
    });
    let bar = bar(&section);
    let of = section.optional_text("of");
    let words = JointKind::ALL.map(|k| k.0);
    let kind = (section.has("joints"))
        .then(|| section.choice("joints", &words))
        .flatten()
        .and_then(|w| JointKind::ALL.iter().find(|k| k.0 == w))
        .map_or(JointKind::Screwed, |k| k.1);
    let place = section.place();
    let ends = [0, 1].map(|k| End::of(kind, &format!("{}/{k}", section.path()), place.clone()));
    section.finish();
    Some(Member {
        name: name?,
        nodes: [from?, to?],
        material: material?,
        bar: bar?,
        of,
        ends,
        place,
    })
}

fn bar(section: &Section<'_>) -> Option<Bar> {
    let kind = section.choice("section", &SECTIONS);
    section.acquaint(&["width", "height", "wall", "diameter"]);
    let kind = kind?;
    let of: &[&str] = match kind.as_str() {
        "strip" => &["width", "height"],
        "rod" => &["diameter"],
        "pipe" => &["diameter", "wall"],
        _ => &["width", "height", "wall"],
    };
    let mut fits = true;
    for key in ["width", "height", "wall", "diameter"] {
        if section.own(key).is_some() && !of.contains(&key) {
            fits = false;
            let what = format!("a {kind} has no \"{key}\"");
            section.complain_of(key, what, of.join(", "), None);
        }
    }
    let size = |key: &str| {
        let figure = section.figure::<Length>(key)?;
        let x = figure.si();
        positive(section, key, Some(x));
        if x <= 0.0 {
            return None;
        }
        if !(THICKNESS.0..=THICKNESS.1).contains(&x) {
            let meant = [1e-3 * x, 1e3 * x].into_iter();
            let meant = meant.filter(|y| (2.0 * THICKNESS.0..=0.5 * THICKNESS.1).contains(y));
            section.complain_of(
                key,
                format!("a member {} {key}", thick_words(x)),
                "from 0.05 mm to 250 mm",
                meant
                    .map(|y| format!("{key} = \"{}\"", quantity::show_si::<Length>(y)))
                    .next(),
            );
            return None;
        }
        Some(figure)
    };
    let read: Vec<Option<Figure<Length>>> = of.iter().map(|k| size(k)).collect();
    if !fits {
        return None;
    }
    let mut read = whole(read)?.into_iter();
    let mut next = || read.next();
    let made = match kind.as_str() {
        "strip" => Bar::Strip {
            width: next()?,
            height: next()?,
        },
        "rod" => Bar::Rod { diameter: next()? },
        "pipe" => Bar::Pipe {
            diameter: next()?,
            wall: next()?,
        },
        "tube" => Bar::Tube {
            width: next()?,
            height: next()?,
            wall: next()?,
        },
        "angle" => Bar::Angle {
            width: next()?,
            height: next()?,
            wall: next()?,
        },
        _ => Bar::Channel {
            width: next()?,
            height: next()?,
            wall: next()?,
        },
    };
    let (wall, most) = match &made {
        Bar::Pipe { diameter, wall } => (wall.si(), 0.5 * diameter.si()),
        Bar::Tube {
            width,
            height,
            wall,
        }
        | Bar::Channel {
            width,
            height,
            wall,
        } => (wall.si(), 0.5 * width.si().min(height.si())),
        Bar::Angle {
            width,
            height,
            wall,
        } => (wall.si(), width.si().min(height.si())),
        Bar::Strip { .. } | Bar::Rod { .. } => (0.0, f64::INFINITY),
    };
    if wall >= most {
        section.complain_of(
            "wall",
            "the wall leaves nothing hollow",
            format!("less than {}", quantity::show_si::<Length>(most)),
            None,
        );
        return None;
    }
    Some(made)
}

fn thick_words(x: f64) -> String {
    format!("of {}", quantity::show_si::<Length>(x))
}

/// The node that `key` names.
fn named_node(section: &Section<'_>, key: &str, names: &[String]) -> Option<usize> {
    let named = section.text(key)?;
    let found = names.iter().position(|n| *n == named);
    if found.is_none() {
        let near = nearest(&named, names.iter().map(String::as_str));
        section.complain_of(
            key,
            format!("no node \"{named}\""),
            if names.is_empty() {
                "a [[frame.node]] of that name".to_owned()
            } else {
                format!("one of {}", names.join(", "))
            },
            near.map(|n| format!("{key} = \"{n}\"")),
        );
    }
    found
}

/// Reads one `[[frame.joint]]` into the end of its member.
fn joint(section: Section<'_>, made: &mut Described) {
    let member = section.text("member").and_then(|named| {
        let found = made.members.iter().position(|m| m.name == named);
        if found.is_none() {
            let near = nearest(&named, made.members.iter().map(|m| m.name.as_str()));
            section.complain_of(
                "member",
                format!("no member \"{named}\""),
                "the name of a [[frame.member]]",
                near.map(|n| format!("member = \"{n}\"")),
            );
        }
        found
    });
    let names: Vec<String> = made.nodes.iter().map(|n| n.name.clone()).collect();
    let node = named_node(&section, "node", &names);
    let at = member.zip(node).and_then(|(m, n)| {
        let ends = made.members[m].nodes;
        let found = ends.iter().position(|e| *e == n);
        if found.is_none() {
            let [a, b] = ends.map(|e| made.nodes[e].name.as_str());
            section.complain_of(
                "node",
                format!(
                    "the joint goes nowhere: \"{}\" does not end at \"{}\"",
                    made.members[m].name, made.nodes[n].name
                ),
                format!("one of its ends: {a} or {b}"),
                Some(format!("node = \"{a}\"")),
            );
        }
        found.map(|k| (m, k))
    });
    let usual = at.map_or(JointKind::Screwed, |(m, k)| made.members[m].ends[k].kind);
    let read = end(&section, usual);
    if let Some((m, k)) = at {
        made.members[m].ends[k] = read;
    }
    section.finish();
}

/// How an end is joined; `usual`: the kind where it does not say.
fn end(section: &Section<'_>, usual: JointKind) -> End {
    let words = JointKind::ALL.map(|k| k.0);
    let kind = (section.has("type"))
        .then(|| section.choice("type", &words))
        .flatten()
        .and_then(|w| JointKind::ALL.iter().find(|k| k.0 == w))
        .map_or(usual, |k| k.1);
    let mut made = End::of(kind, section.path(), section.place());
    let screws = section.optional_count("screws", 1, MOST_SCREWS);
    if screws.is_some() && kind != JointKind::Screwed {
        let what = format!("a {} joint has no screws", kind.word());
        section.complain_of("screws", what, "type = \"screwed\" with it", None);
    }
    made.screws = screws.unwrap_or(SCREWS);
    made.stiffness = section.optional_figure::<TurningStiffness>("stiffness");
    within(section, "stiffness", made.stiffness.as_ref(), STIFFNESS);
    made.bears = section.optional_figure::<Torque>("bears");
    positive(section, "bears", made.bears.as_ref().map(Figure::si));
    if let Some(play) = section.optional_figure::<Angle>("play") {
        if !(0.0..=MOST_PLAY).contains(&play.si()) {
            section.complain_of(
                "play",
                if play.si() < 0.0 {
                    "play cannot be negative"
                } else {
                    "with so much play this is a hinge"
                },
                "an angle from 0 to 20 deg, either way",
                (play.si() < 0.0)
                    .then(|| format!("play = \"{}\"", quantity::show_si::<Angle>(-play.si()))),
            );
        }
        made.play = play;
    }
    made
}

/// Notes a figure out of any sense.
fn within<D: Dimension>(
    section: &Section<'_>,
    key: &str,
    figure: Option<&Figure<D>>,
    (least, most): (f64, f64),
) {
    if figure.is_some_and(|f| !(least..=most).contains(&f.si())) {
        let show = quantity::show_si::<D>;
        section.complain_of(
            key,
            format!("this {key} is out of any sense for a joint"),
            format!("from {} to {}", show(least), show(most)),
            None,
        );
    }
}

/// Whether the frame is in one piece, without doubles and without nodes that nothing holds.
fn connected(section: &Section<'_>, made: &Described) {
    let document = section.document();
    if made.members.is_empty() {
        section.complain(
            "this frame has no member",
            "nodes with [[frame.node]], members between them with [[frame.member]]",
            None,
        );
        return;
    }
    for (k, node) in made.nodes.iter().enumerate() {
        if made.nodes[..k].iter().any(|o| o.name == node.name) {
            let what = format!("two nodes are called \"{}\"", node.name);
            document.log(&node.place.span, what, "another name", None);
        }
    }
    for (k, m) in made.members.iter().enumerate() {
        if made.members[..k].iter().any(|o| o.name == m.name) {
            let what = format!("two members are called \"{}\"", m.name);
            document.log(&m.place.span, what, "another name", None);
        }
        let [a, b] = m.nodes.map(|n| made.nodes[n].at);
        if m.nodes[0] != m.nodes[1] && distance(a, b) < 1e-4 {
            let what = format!("member \"{}\" has no length", m.name);
            document.log(&m.place.span, what, "ends at two different places", None);
        }
    }
    let mut piece: Vec<usize> = (0..made.nodes.len()).collect();
    for _ in 0..made.nodes.len() {
        for m in &made.members {
            let least = piece[m.nodes[0]].min(piece[m.nodes[1]]);
            piece[m.nodes[0]] = least;
            piece[m.nodes[1]] = least;
        }
    }
    let first = made.members[0].nodes[0];
    for (node, of) in made.nodes.iter().zip(&piece) {
        if *of != piece[first] {
            document.log(
                &node.place.span,
                format!(
                    "node \"{}\" is not joined to node \"{}\": the frame falls into pieces",
                    node.name, made.nodes[first].name
                ),
                "a [[frame.member]] that leads there",
                None,
            );
        }
    }
}

/// Distance between two places, m.
fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    let d = [0, 1, 2].map(|k: usize| a[k] - b[k]);
    d.iter().map(|x| x * x).sum::<f64>().sqrt()
}

/// What hangs on a node must be there, and what a member is cut from.
pub(super) fn cross_check(document: &Document, robot: &Robot) {
    let Some(frame) = &robot.frame else { return };
    let names: Vec<&str> = robot.items().map(|i| i.name.as_str()).collect();
    let hung = frame.hangs.iter().map(|h| (&h.part, &h.place));
    let cut = (frame.members.iter()).filter_map(|m| m.of.as_ref().map(|of| (of, &m.place)));
    for (named, place) in hung.chain(cut) {
        if !names.contains(&named.as_str()) {
            let near = nearest(named, names.iter().copied());
            document.log(
                &place.span,
                format!("nothing on the robot is called \"{named}\""),
                "the name of a thing in this file",
                near.map(|n| format!("\"{n}\"")),
            );
        }
    }
}
