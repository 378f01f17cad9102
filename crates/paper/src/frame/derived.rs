//! A frame for a robot whose file describes none: from its plates, its body, its blade and its wheels.
//!
//! A plate is taken as a grid of crossing strips, each as wide as the strips lie apart; the walls of the
//! body as deep strips on posts; the blade as strips too, held where it passes the base plate or, if the
//! plate does not reach it, at its back edge; each wheel as a shaft in an aluminium bracket. The torsion
//! constant of a strip that stands for a plate both ways is b t³/6 (grid of beams for an even slab; e.g.
//! Hambly, *Bridge Deck Behaviour*, from memory).

use quantity::maths;
use robot::{Item, JointKind, Material, Materials, Mount, Place, Robot, Shape};

use super::sketch::{Beam, Point, Role, Sketch, Watch, distance, joint, rod, strip};

/// Rows of nodes along a plate, and nodes in each row: odd, so that left is as right.
const ALONG: usize = 4;
const ACROSS: usize = 5;
/// A plate is at most this share of its length or width thick.
const FLAT: f64 = 0.12;
/// A plate or body that carries a robot spans at least this share of its footprint each way.
const SPANS: f64 = 0.4;
/// Share of the blade's mass that is its sheet; the rest are flange and screws. Common practice, no
/// source: from a third to a half.
const SHEET_SHARE: f64 = 0.45;
/// Width of a wheel bracket and diameter of its shaft as a share of the robot's length.
const BRACKET: f64 = 0.12;
const SHAFT: f64 = 0.03;
/// Thickness of a bracket as a share of its width.
const BRACKET_FLAT: f64 = 0.15;
/// From the middle of a wheel to its bearing as a share of the wheel's width.
const BEARING: f64 = 0.8;

/// A plate or body with the size of its box and what it is made of.
struct Piece<'a> {
    item: &'a Item,
    size: [f64; 3],
    material: &'a Material,
}

impl Piece<'_> {
    fn at(&self, k: usize) -> f64 {
        self.item.at[k].si()
    }

    fn mass(&self) -> f64 {
        self.item.mass.si()
    }
}

/// Parts that could carry the robot: boxes wide enough whose material their name tells, or their weight.
fn pieces<'a>(robot: &'a Robot, materials: &'a Materials) -> Vec<Piece<'a>> {
    let f = robot.footprint();
    let wide = |size: [f64; 3]| size[0] >= SPANS * f.length() && size[1] >= SPANS * f.width();
    (robot.parts.iter())
        .filter_map(|item| {
            let Shape::Box(size) = &item.shape else {
                return None;
            };
            let size = [0, 1, 2].map(|k: usize| size[k].si());
            let called = format!("{} {}", item.name, item.part.as_deref().unwrap_or(""));
            let material = materials.recognise(&called).or_else(|| {
                let flat = size[2] <= FLAT * size[0].max(size[1]);
                flat.then(|| by_weight(item.mass.si() / size.iter().product::<f64>(), materials))?
            })?;
            wide(size).then_some(Piece {
                item,
                size,
                material,
            })
        })
        .collect()
}

/// The common sheet whose density is nearest, within a quarter.
fn by_weight(density: f64, materials: &Materials) -> Option<&Material> {
    ["plywood-birch", "acrylic", "aluminium-6061-t6", "steel"]
        .iter()
        .filter_map(|name| materials.find(name))
        .map(|m| (maths::ln(density / m.density.si()).abs(), m))
        .filter(|(off, _)| *off < 0.25)
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, m)| m)
}

/// The frame, if the parts list holds a plate or a body that could carry the robot.
pub(super) fn derive(robot: &Robot, materials: &Materials) -> Option<Sketch> {
    let pieces = pieces(robot, materials);
    let flat = |p: &&Piece<'_>| p.size[2] <= FLAT * p.size[0].max(p.size[1]);
    let area = |p: &&Piece<'_>| p.size[0] * p.size[1];
    // The lowest of the widest: the base plate, not the lid.
    let plate = (pieces.iter().filter(flat)).min_by(|a, b| {
        a.at(2)
            .total_cmp(&b.at(2))
            .then(area(b).total_cmp(&area(a)))
    });
    let body = (pieces.iter().filter(|p| !flat(p)))
        .max_by(|a, b| (area(a) * a.size[2]).total_cmp(&(area(b) * b.size[2])));
    let first = plate.or(body)?;
    let mut made = Builder {
        robot,
        materials,
        sketch: Sketch::new(true),
        place: first.item.place.clone(),
        plate: Vec::new(),
        ring: Vec::new(),
    };
    made.sketch.place = Some(first.item.place.clone());
    let mut built = vec![first.item.name.as_str()];
    match (plate, body) {
        (Some(plate), body) => {
            made.floor(plate, plate.size[2], plate.at(2), plate.mass());
            if let Some(body) = body {
                built.push(&body.item.name);
                made.walls(body, false);
            }
        }
        (None, Some(body)) => {
            let t = wall_thickness(body, true);
            let floor = body.size[0] * body.size[1] * t * body.material.density.si();
            let z = body.at(2) - 0.5 * body.size[2] + 0.5 * t;
            made.floor(body, t, z, floor);
            made.walls(body, true);
        }
        (None, None) => return None,
    }
    if made.blade() {
        built.push(robot.blade.as_ref().map_or("", |b| b.item.name.as_str()));
    }
    made.wheels();
    let mut sketch = made.sketch;
    sketch.hang(robot, &built, &[]);
    sketch.watch_sensors(robot, &[]);
    sketch.set_damping();
    Some(sketch)
}

/// Thickness of the walls of a hollow box of this mass: four walls and a lid, and a floor if it has one.
fn wall_thickness(body: &Piece<'_>, floor: bool) -> f64 {
    let [l, w, h] = body.size;
    let faces = 2.0 * (l + w) * h + l * w * if floor { 2.0 } else { 1.0 };
    body.mass() / (body.material.density.si() * faces)
}

struct Builder<'a> {
    robot: &'a Robot,
    materials: &'a Materials,
    sketch: Sketch,
    place: Place,
    /// Nodes of the plate, row by row from the back, each from right to left.
    plate: Vec<usize>,
    /// Nodes of the walls, with the outward normal.
    ring: Vec<(usize, [f64; 3])>,
}

const UP: [f64; 3] = [0.0, 0.0, 1.0];

impl Builder<'_> {
    #[allow(clippy::too_many_arguments, reason = "a beam has that much to it")]
    fn beam(
        &mut self,
        name: &str,
        role: Role,
        nodes: [usize; 2],
        material: usize,
        (width, height): (f64, f64),
        up: [f64; 3],
        kinds: [JointKind; 2],
    ) -> &mut Beam {
        let ends = kinds.map(|k| joint(k, &self.place));
        let k = self.sketch.beams.len();
        self.sketch.beams.push(Beam {
            name: name.to_owned(),
            role,
            nodes,
            material,
            bar: strip(width, height),
            up,
            fill: 1.0,
            twist: 1.0,
            density: self.sketch.materials[material].density.si(),
            ends,
            place: Some(self.place.clone()),
        });
        &mut self.sketch.beams[k]
    }

    /// A plate as a grid of strips.
    #[allow(clippy::cast_precision_loss, reason = "a handful of strips")]
    fn floor(&mut self, piece: &Piece<'_>, thickness: f64, z: f64, mass: f64) {
        let [l, w, _] = piece.size;
        let name = piece.item.name.clone();
        let material = self.sketch.material(piece.material);
        let full = piece.material.density.si() * l * w * thickness;
        let fill = (mass / full).min(1.0);
        let (p, q) = (ALONG as f64, ACROSS as f64);
        for i in 0..ALONG {
            for j in 0..ACROSS {
                let x = piece.at(0) + l * ((i as f64 + 0.5) / p - 0.5);
                let y = piece.at(1) + w * ((j as f64 + 0.5) / q - 0.5);
                let (a, b) = (
                    2.0 * i as f64 / (p - 1.0) - 1.0,
                    2.0 * j as f64 / (q - 1.0) - 1.0,
                );
                let name = format!("{name}, {}", where_words(a, b));
                let node = self.sketch.node(&name, [x, y, z]);
                self.plate.push(node);
            }
        }
        let go = [JointKind::OnePiece; 2];
        // Half the mass for the strips of each direction, which end in the middle of the last strip.
        let half = 0.5 * mass / (l * w * thickness);
        for i in 0..ALONG {
            for j in 0..ACROSS {
                let a = self.plate[i * ACROSS + j];
                let along = (i + 1 < ALONG).then_some((a + ACROSS, w / q, p / (p - 1.0)));
                let across = (j + 1 < ACROSS).then_some((a + 1, l / p, q / (q - 1.0)));
                for (next, wide, more) in [along, across].into_iter().flatten() {
                    let size = (wide, thickness);
                    let b = self.beam(&name, Role::Plate, [a, next], material, size, UP, go);
                    b.fill = fill;
                    b.twist = 0.5;
                    b.density = half * more;
                }
            }
        }
        if fill < 0.9 {
            self.sketch.assumed.push(format!(
                "{name} weighs {:.0} % of a full plate of {}, so its stiffness is taken to be that share",
                100.0 * fill,
                piece.material.title
            ));
        }
        self.sketch.assumed.push(format!(
            "{name} is {} {:.1} mm thick, as a grid of {ALONG} × {ACROSS} strips",
            piece.material.title,
            1e3 * thickness
        ));
    }

    /// The body: a ring of deep strips at half its height, on posts from the plate.
    fn walls(&mut self, body: &Piece<'_>, one_piece: bool) {
        let t = wall_thickness(body, one_piece);
        let [l, w, h] = body.size;
        let name = body.item.name.clone();
        let material = self.sketch.material(body.material);
        let (x, y, z) = (body.at(0), body.at(1), body.at(2));
        let places = [
            (1.0, -1.0),
            (1.0, 0.0),
            (1.0, 1.0),
            (0.0, 1.0),
            (-1.0, 1.0),
            (-1.0, 0.0),
            (-1.0, -1.0),
            (0.0, -1.0),
        ];
        let ring: Vec<usize> = (places.iter())
            .map(|(a, b)| {
                let at = [x + 0.5 * l * a, y + 0.5 * w * b, z];
                self.sketch
                    .node(&format!("{name}, {}", where_words(*a, *b)), at)
            })
            .collect();
        let go = [JointKind::OnePiece; 2];
        let foot = if one_piece {
            JointKind::OnePiece
        } else {
            JointKind::Screwed
        };
        // Lid and walls: what the ring weighs is what the body does, without the posts.
        let round = 2.0 * (l + w) * h * t;
        let density = body.mass() / round
            * if one_piece {
                1.0 - self.floor_share(body, t)
            } else {
                1.0
            };
        for k in 0..ring.len() {
            let nodes = [ring[k], ring[(k + 1) % ring.len()]];
            self.beam(&name, Role::Wall, nodes, material, (t, h), UP, go)
                .density = density;
        }
        for (k, (a, b)) in places.iter().enumerate() {
            let at = self.sketch.nodes[ring[k]].at;
            let Some(below) = self.sketch.nearest(at, self.plate.clone().into_iter()) else {
                continue;
            };
            let outward = if *a != 0.0 {
                [*a, 0.0, 0.0]
            } else {
                [0.0, *b, 0.0]
            };
            let along = 0.5 * if *a != 0.0 { w } else { l };
            self.beam(
                &format!("{name}, foot at the {}", where_words(*a, *b)),
                Role::Post,
                [below, ring[k]],
                material,
                (along, t),
                outward,
                [foot, JointKind::OnePiece],
            )
            .density *= 0.05;
            self.ring.push((ring[k], outward));
            self.sketch.points.push(Point {
                name: format!("{name}, {}", where_words(*a, *b)),
                watch: Watch::Bumper,
                node: ring[k],
                at,
                outward,
                middle: false,
            });
        }
        self.sketch.assumed.push(format!(
            "{name} has walls of {} {:.1} mm thick{}",
            body.material.title,
            1e3 * t,
            if one_piece {
                ", floor and walls in one piece"
            } else {
                ", held on the plate by two screws at each of eight feet"
            }
        ));
    }

    fn floor_share(&self, body: &Piece<'_>, t: f64) -> f64 {
        body.size[0] * body.size[1] * t * body.material.density.si() / body.mass()
    }

    /// The blade; whether its sheet is built here and so hangs on no node.
    fn blade(&mut self) -> bool {
        let Some(blade) = &self.robot.blade else {
            return false;
        };
        if !matches!(blade.mount, Mount::Fixed { .. }) {
            self.sketch.assumed.push(
                "the blade hangs on its hinge and gives way: only its mount counts here".to_owned(),
            );
            return false;
        }
        let (w, l, a) = (blade.width.si(), blade.length.si(), blade.angle.si());
        let (sin, cos) = (maths::sin(a), maths::cos(a));
        let called = format!(
            "{} {}",
            blade.item.name,
            blade.item.part.as_deref().unwrap_or("")
        );
        let Some(of) = (self.materials.recognise(&called)).or_else(|| self.materials.find("steel"))
        else {
            return false;
        };
        let full = of.density.si() * w * l;
        let thickness = (SHEET_SHARE * blade.item.mass.si() / full).max(blade.edge.si());
        let density = blade.item.mass.si() / (w * l * thickness);
        let material = self.sketch.material(of);
        let tip = [blade.tip_x.si(), blade.tip_y.si(), blade.tip_height.si()];
        // Where the sheet passes the height of the plate, if the plate reaches that far.
        let z = self
            .plate
            .first()
            .map_or(0.0, |n| self.sketch.nodes[*n].at[2]);
        let front = (self.plate.iter())
            .map(|n| self.sketch.nodes[*n].at[0])
            .fold(f64::NEG_INFINITY, f64::max);
        let crosses = (z - tip[2]) / sin;
        let held_s = if crosses > 0.15 * l
            && crosses < l
            && front + 0.5 * crosses > tip[0] - crosses * cos
        {
            crosses
        } else {
            l
        };
        let held_words = if held_s < l {
            "where it passes the base plate"
        } else {
            "at its back edge"
        };
        let go = [JointKind::OnePiece; 2];
        let rows = [
            ("edge", 0.0),
            ("middle", 0.5 * held_s),
            ("where it is held", held_s),
        ];
        let mut grid = Vec::new();
        for (row, s) in rows {
            for (side, words) in [(-1.0, "right"), (0.0, "middle"), (1.0, "left")] {
                let at = [tip[0] - s * cos, tip[1] + side * w / 3.0, tip[2] + s * sin];
                let name = format!("blade {row}, {words}");
                grid.push(self.sketch.node(&name, at));
            }
        }
        let normal = [sin, 0.0, cos];
        for r in 0..2 {
            for c in 0..3 {
                let nodes = [grid[3 * r + c], grid[3 * r + c + 3]];
                self.beam(
                    "blade",
                    Role::Blade,
                    nodes,
                    material,
                    (w / 3.0, thickness),
                    normal,
                    go,
                )
                .density = 0.5 * density * l / held_s;
            }
        }
        for r in 0..3 {
            let share = if r == 1 { 0.5 } else { 0.25 };
            for c in 0..2 {
                let nodes = [grid[3 * r + c], grid[3 * r + c + 1]];
                self.beam(
                    "blade",
                    Role::Blade,
                    nodes,
                    material,
                    (share * held_s, thickness),
                    normal,
                    go,
                )
                .density = 0.75 * density * l / held_s;
            }
        }
        let holder = self.sketch.materials[material].density.si();
        for c in 0..3 {
            let from = grid[6 + c];
            let at = self.sketch.nodes[from].at;
            let Some(to) = self.sketch.nearest(at, self.plate.clone().into_iter()) else {
                continue;
            };
            let name = [
                "blade, right screws",
                "blade, middle screws",
                "blade, left screws",
            ][c];
            let b = self.beam(
                name,
                Role::Holder,
                [to, from],
                material,
                (w / 3.0, 2.0 * thickness),
                UP,
                [JointKind::Screwed, JointKind::OnePiece],
            );
            b.density = 0.05 * holder;
        }
        for (c, name) in ["blade tip, right", "blade tip, middle", "blade tip, left"]
            .iter()
            .enumerate()
        {
            let at = self.sketch.nodes[grid[c]].at;
            for watch in [Watch::Tip, Watch::Bumper] {
                self.sketch.points.push(Point {
                    name: (*name).to_owned(),
                    watch,
                    node: grid[c],
                    at,
                    outward: [1.0, 0.0, 0.0],
                    middle: c == 1,
                });
            }
        }
        self.sketch.assumed.push(format!(
            "the blade is a sheet of {} {:.1} mm thick (from its mass), screwed on {held_words}",
            of.title,
            1e3 * thickness
        ));
        true
    }

    /// Wheels and tracks: a shaft in a bracket that stands on the plate.
    fn wheels(&mut self) {
        let (Some(alu), Some(steel)) = (
            self.materials.find("aluminium-6061-t6"),
            self.materials.find("steel"),
        ) else {
            return;
        };
        let (alu, steel) = (self.sketch.material(alu), self.sketch.material(steel));
        let length = self.robot.footprint().length();
        let (wide, thick) = (BRACKET * length, BRACKET_FLAT * BRACKET * length);
        let wheels = self.robot.wheels.iter().map(|w| (&w.item, w.width.si()));
        let tracks = self.robot.tracks.iter().map(|t| (&t.item, t.width.si()));
        for (item, width) in wheels.chain(tracks) {
            let at = [0, 1, 2].map(|k: usize| item.at[k].si());
            let inward = if at[1] > 0.0 { -1.0 } else { 1.0 };
            let hub = self.sketch.node(&item.name, at);
            self.sketch.nodes[hub].held = true;
            let bearing = [at[0], at[1] + inward * BEARING * width, at[2]];
            let bearing_node = self
                .sketch
                .node(&format!("{}, bearing", item.name), bearing);
            let go = [JointKind::OnePiece; 2];
            let shaft = self.beam(
                &format!("{}, shaft", item.name),
                Role::Shaft,
                [bearing_node, hub],
                steel,
                (thick, thick),
                UP,
                go,
            );
            shaft.bar = rod(SHAFT * length);
            let mut near = self.plate.clone();
            near.sort_by(|a, b| {
                let at = |n: &usize| self.sketch.nodes[*n].at;
                let d = |n: &usize| distance(at(n), bearing);
                // Of equals the inner one first, so that left is as right.
                let tie = (d(a) - d(b)).abs() < 1e-9;
                let inner = at(a)[1].abs().total_cmp(&at(b)[1].abs());
                if tie { inner } else { d(a).total_cmp(&d(b)) }
            });
            for (k, n) in near.iter().take(3).enumerate() {
                self.beam(
                    &format!("{}, bracket {}", item.name, k + 1),
                    Role::Bracket,
                    [*n, bearing_node],
                    alu,
                    (wide, thick),
                    [1.0, 0.0, 0.0],
                    [JointKind::Screwed, JointKind::OnePiece],
                );
            }
        }
        self.sketch.assumed.push(format!(
            "each wheel runs on a steel shaft of {:.1} mm in an aluminium bracket of {:.0} × {:.1} mm with two screws",
            1e3 * SHAFT * length, 1e3 * wide, 1e3 * thick
        ));
    }
}

/// Where on a plate or body, in words: ahead and left from −1 to 1.
fn where_words(a: f64, b: f64) -> &'static str {
    match (a > 0.5, a < -0.5, b > 0.5, b < -0.5) {
        (true, _, true, _) => "front left",
        (true, _, _, true) => "front right",
        (true, ..) => "front",
        (_, true, true, _) => "back left",
        (_, true, _, true) => "back right",
        (_, true, ..) => "back",
        (_, _, true, _) => "left side",
        (.., true) => "right side",
        _ => "middle",
    }
}
