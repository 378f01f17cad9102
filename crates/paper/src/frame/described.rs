//! The frame a robot file describes, with what hangs on it.

use robot::{Described, Robot};

use super::sketch::{Beam, Point, Role, Sketch, Watch, area, distance};

/// How near the outline a node must be to be pushed by an opponent, as a share of the robot's length.
const NEAR_OUTLINE: f64 = 0.12;

/// The sketch of a described frame.
pub(super) fn sketch(robot: &Robot, frame: &Described) -> Sketch {
    let mut made = Sketch::new(false);
    made.place = Some(frame.place.clone());
    for n in &frame.nodes {
        made.node(&n.name, n.at);
    }
    for m in &frame.members {
        let material = made.material(&m.material);
        let [a, b] = m.nodes.map(|n| frame.nodes[n].at);
        let level = distance([a[0], a[1], 0.0], [b[0], b[1], 0.0]);
        // Upright members have no height of their own: theirs is measured forward.
        let up = if level > 0.2 * distance(a, b) {
            [0.0, 0.0, 1.0]
        } else {
            [1.0, 0.0, 0.0]
        };
        made.beams.push(Beam {
            name: m.name.clone(),
            role: Role::Member,
            nodes: m.nodes,
            material,
            bar: m.bar.clone(),
            up,
            fill: 1.0,
            twist: 1.0,
            density: m.material.density.si(),
            ends: m.ends.clone(),
            place: Some(m.place.clone()),
        });
    }
    let built = spread_masses(robot, frame, &mut made);
    let named: Vec<(String, usize)> = (frame.hangs.iter())
        .map(|h| (h.part.clone(), h.node))
        .collect();
    let built: Vec<&str> = built.iter().map(String::as_str).collect();
    made.hang(robot, &built, &named);
    hold(robot, &mut made, &named);
    made.watch_sensors(robot, &named);
    watch_blade(robot, &mut made, &named);
    watch_outline(robot, &mut made);
    made.set_damping();
    made
}

/// Gives the members cut from a part that part's mass, by their volume; the names of these parts.
fn spread_masses(robot: &Robot, frame: &Described, made: &mut Sketch) -> Vec<String> {
    let mut built: Vec<String> = Vec::new();
    for of in frame.members.iter().filter_map(|m| m.of.as_ref()) {
        if built.contains(of) {
            continue;
        }
        built.push(of.clone());
        let mass = (robot.items())
            .find(|i| i.name == *of)
            .map_or(0.0, |i| i.mass.si());
        let cut = |k: &usize| frame.members[*k].of.as_ref() == Some(of);
        let all: Vec<usize> = (0..frame.members.len()).filter(cut).collect();
        let volume: f64 = (all.iter())
            .map(|k| area(&made.beams[*k].bar) * made.length(&made.beams[*k]))
            .sum();
        for k in all {
            made.beams[k].density = mass / volume;
        }
    }
    built
}

/// Holds the nodes that carry wheels or tracks: the brakes are on.
fn hold(robot: &Robot, made: &mut Sketch, named: &[(String, usize)]) {
    let wheels = robot.wheels.iter().map(|w| &w.item);
    let tracks = robot.tracks.iter().map(|t| &t.item);
    for item in wheels.chain(tracks) {
        let at = [0, 1, 2].map(|k: usize| item.at[k].si());
        let node = (named.iter().find(|n| n.0 == item.name).map(|n| n.1))
            .or_else(|| made.nearest(at, 0..made.nodes.len()));
        if let Some(node) = node {
            made.nodes[node].held = true;
        }
    }
}

/// The front edge of the blade moves with the node it hangs on.
fn watch_blade(robot: &Robot, made: &mut Sketch, named: &[(String, usize)]) {
    let Some(blade) = &robot.blade else { return };
    let centre = [0, 1, 2].map(|k: usize| blade.item.at[k].si());
    let node = (named.iter().find(|n| n.0 == blade.item.name).map(|n| n.1))
        .or_else(|| made.nearest(centre, 0..made.nodes.len()));
    let Some(node) = node else { return };
    let half = 0.5 * blade.width.si();
    for (side, words) in [(-1.0, "right"), (0.0, "middle"), (1.0, "left")] {
        let at = [
            blade.tip_x.si(),
            blade.tip_y.si() + side * half,
            blade.tip_height.si(),
        ];
        for watch in [Watch::Tip, Watch::Bumper] {
            made.points.push(Point {
                name: format!("blade tip, {words}"),
                watch,
                node,
                at,
                outward: [1.0, 0.0, 0.0],
                middle: side == 0.0,
            });
        }
    }
}

/// Nodes near the outline can be pushed.
fn watch_outline(robot: &Robot, made: &mut Sketch) {
    let f = robot.footprint();
    let near = NEAR_OUTLINE * f.length();
    let sides = [
        (0, f.x[1], 1.0),
        (0, f.x[0], -1.0),
        (1, f.y[1], 1.0),
        (1, f.y[0], -1.0),
    ];
    for node in 0..made.nodes.len() {
        let at = made.nodes[node].at;
        if made.nodes[node].held {
            continue;
        }
        for (axis, edge, sign) in sides {
            if (edge - at[axis]).abs() > near {
                continue;
            }
            let mut outward = [0.0; 3];
            outward[axis] = sign;
            made.points.push(Point {
                name: made.nodes[node].name.clone(),
                watch: Watch::Bumper,
                node,
                at,
                outward,
                middle: false,
            });
        }
    }
}
