//! A frame to be worked out: nodes with what hangs on them, beams between them, points to be watched.

use quantity::Figure;
use robot::{Bar, End, JointKind, Material, Place, Robot};

/// What a beam stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// A strip of a plate.
    Plate,
    /// A wall of the body.
    Wall,
    /// What carries a wall on a plate.
    Post,
    /// A strip of the blade.
    Blade,
    /// What holds the blade.
    Holder,
    /// A wheel's bracket.
    Bracket,
    /// A wheel's shaft.
    Shaft,
    /// A member the file describes.
    Member,
    /// A brace that is tried.
    Brace,
}

impl Role {
    /// Whether its sizes are made up from nothing but the robot's length: nothing can be found of it.
    #[must_use]
    pub fn made_up(self) -> bool {
        matches!(self, Self::Bracket | Self::Shaft)
    }
}

/// A straight piece of the frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Beam {
    /// What it is called.
    pub name: String,
    /// What it stands for.
    pub role: Role,
    /// Its nodes.
    pub nodes: [usize; 2],
    /// Index of its material.
    pub material: usize,
    /// Its cross-section.
    pub bar: Bar,
    /// Which way its height is measured, roughly: a unit vector.
    pub up: [f64; 3],
    /// Factor on E and G: below 1 for plates with cut-outs.
    pub fill: f64,
    /// Factor on the torsion constant: 1/2 for strips that stand for a plate both ways.
    pub twist: f64,
    /// Density it is given, kg/m³.
    pub density: f64,
    /// How its ends are joined.
    pub ends: [End; 2],
    /// Where it stands in the user's file.
    pub place: Option<Place>,
}

/// A node.
#[derive(Debug, Clone, PartialEq)]
pub struct Spot {
    /// What it is called.
    pub name: String,
    /// Where, m.
    pub at: [f64; 3],
    /// What hangs on it, kg.
    pub mass_kg: f64,
    /// Whether it is held: a wheel with its brakes on.
    pub held: bool,
}

/// What a point is watched for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Watch {
    /// Front edge of the blade.
    Tip,
    /// A sensor.
    Sensor,
    /// Where an opponent pushes.
    Bumper,
}

/// A point that moves with a node.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// What it is called.
    pub name: String,
    /// Why it is watched.
    pub watch: Watch,
    /// The node.
    pub node: usize,
    /// Where the point is, m.
    pub at: [f64; 3],
    /// Outward normal of the outline there, for a bumper point.
    pub outward: [f64; 3],
    /// Whether it is the middle of the blade's edge.
    pub middle: bool,
}

/// The whole of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Sketch {
    /// Nodes.
    pub nodes: Vec<Spot>,
    /// Beams.
    pub beams: Vec<Beam>,
    /// Materials the beams are made of.
    pub materials: Vec<Material>,
    /// Points to be watched or pushed.
    pub points: Vec<Point>,
    /// Whether it was derived from the parts list.
    pub derived: bool,
    /// What was taken for granted, one sentence each.
    pub assumed: Vec<String>,
    /// Damping as a share of critical.
    pub damping: f64,
    /// Where the frame, or the part it is derived from, stands.
    pub place: Option<Place>,
}

/// Distance between two places.
pub(super) fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    let squares = (0..3).map(|k| (a[k] - b[k]) * (a[k] - b[k]));
    squares.sum::<f64>().sqrt()
}

impl Sketch {
    /// An empty one.
    pub(super) fn new(derived: bool) -> Self {
        Self {
            nodes: Vec::new(),
            beams: Vec::new(),
            materials: Vec::new(),
            points: Vec::new(),
            derived,
            assumed: Vec::new(),
            damping: 0.0,
            place: None,
        }
    }

    /// Adds a node; its index.
    pub(super) fn node(&mut self, name: &str, at: [f64; 3]) -> usize {
        self.nodes.push(Spot {
            name: name.to_owned(),
            at,
            mass_kg: 0.0,
            held: false,
        });
        self.nodes.len() - 1
    }

    /// The index of `material`, added if it is new.
    pub(super) fn material(&mut self, material: &Material) -> usize {
        let known = self.materials.iter().position(|m| m == material);
        known.unwrap_or_else(|| {
            self.materials.push(material.clone());
            self.materials.len() - 1
        })
    }

    /// The node of `of` nearest to `at`; of equals the first.
    pub(super) fn nearest(&self, at: [f64; 3], of: impl Iterator<Item = usize>) -> Option<usize> {
        of.min_by(|a, b| {
            distance(self.nodes[*a].at, at).total_cmp(&distance(self.nodes[*b].at, at))
        })
    }

    /// Length of a beam, m.
    #[must_use]
    pub fn length(&self, beam: &Beam) -> f64 {
        let [a, b] = beam.nodes.map(|n| self.nodes[n].at);
        distance(a, b)
    }

    /// Hangs everything on the robot on nodes but for the parts in `built`, which the beams are: on the
    /// node named for it, else on the nearest one.
    pub(super) fn hang(&mut self, robot: &Robot, built: &[&str], named: &[(String, usize)]) {
        for item in robot.items() {
            let name = item.name.as_str();
            if built.contains(&name) {
                continue;
            }
            let at = [0, 1, 2].map(|k: usize| item.at[k].si());
            let node = (named.iter().find(|n| n.0 == name).map(|n| n.1))
                .or_else(|| self.nearest(at, 0..self.nodes.len()));
            if let Some(node) = node {
                self.nodes[node].mass_kg += item.mass.si();
            }
        }
    }

    /// Watches the sensors: each moves as its node does.
    pub(super) fn watch_sensors(&mut self, robot: &Robot, named: &[(String, usize)]) {
        for s in &robot.sensors {
            let at = [0, 1, 2].map(|k: usize| s.item.at[k].si());
            let node = (named.iter().find(|n| n.0 == s.item.name).map(|n| n.1))
                .or_else(|| self.nearest(at, 0..self.nodes.len()));
            if let Some(node) = node {
                self.points.push(Point {
                    name: s.item.name.clone(),
                    watch: Watch::Sensor,
                    node,
                    at: self.nodes[node].at,
                    outward: [0.0; 3],
                    middle: false,
                });
            }
        }
    }

    /// Damping of the whole: that of its materials, weighed by the mass of their beams.
    pub(super) fn set_damping(&mut self) {
        let (mut sum, mut mass) = (0.0, 0.0);
        for b in &self.beams {
            let m = b.density * area(&b.bar) * self.length(b);
            sum += m * self.materials[b.material].damping.si();
            mass += m;
        }
        self.damping = if mass > 0.0 { sum / mass } else { 0.02 };
    }
}

/// Area of a cross-section, m².
pub(super) fn area(bar: &Bar) -> f64 {
    match bar {
        Bar::Strip { width, height } => width.si() * height.si(),
        Bar::Tube {
            width,
            height,
            wall,
        } => {
            let (w, h, t) = (width.si(), height.si(), wall.si());
            w * h - (w - 2.0 * t) * (h - 2.0 * t)
        }
        Bar::Rod { diameter } => 0.25 * core::f64::consts::PI * diameter.si() * diameter.si(),
        Bar::Pipe { diameter, wall } => {
            core::f64::consts::PI * wall.si() * (diameter.si() - wall.si())
        }
        Bar::Angle {
            width,
            height,
            wall,
        } => wall.si() * (width.si() + height.si() - wall.si()),
        Bar::Channel {
            width,
            height,
            wall,
        } => wall.si() * (width.si() + 2.0 * (height.si() - wall.si())),
    }
}

/// A solid rectangle.
pub(super) fn strip(width: f64, height: f64) -> Bar {
    Bar::Strip {
        width: Figure::derived(width, "frame/width"),
        height: Figure::derived(height, "frame/height"),
    }
}

/// A solid round bar.
pub(super) fn rod(diameter: f64) -> Bar {
    Bar::Rod {
        diameter: Figure::derived(diameter, "frame/diameter"),
    }
}

/// A joint of which only the kind is known.
pub(super) fn joint(kind: JointKind, place: &Place) -> End {
    End::of(kind, "frame", place.clone())
}
