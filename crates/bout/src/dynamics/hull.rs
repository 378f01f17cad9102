//! Convex prism against convex prism by separating axes, with clipping.
//!
//! Axes tried: the side faces and the two end faces of both. The axis of the last millisecond
//! comes first: when it still separates, nothing else is looked at. The face with the largest
//! separation is the reference; the other prism's most opposed face is clipped to it and the
//! points left nearer than the margin are contacts. Where a robot leans, edges may cross instead
//! (`crossing`); for nearly upright prisms a side face separates whenever such an edge pair does.

use glam::{DVec2, DVec3};

use super::body::Body;
use super::crossing::{self, Crossed};
use super::machine::Prism;

/// A prism in ring coordinates.
#[derive(Debug, Clone, Default)]
pub(crate) struct PlacedPrism {
    /// Lower corners.
    pub(crate) low: Vec<DVec3>,
    /// From each of them to the upper corner above it.
    pub(crate) rise: DVec3,
    /// Middle of the lower face.
    pub(crate) middle: DVec3,
    /// Side normals.
    pub(crate) normals: Vec<DVec3>,
    /// Upward direction.
    pub(crate) up: DVec3,
}

impl PlacedPrism {
    /// Places `prism` with `body`.
    pub(crate) fn place(&mut self, prism: &Prism, body: &Body) {
        let r = &body.r;
        self.up = r.z_axis;
        self.low.clear();
        self.normals.clear();
        let base = body.x + r.z_axis * prism.low;
        self.rise = r.z_axis * (prism.high - prism.low);
        let place = |c: DVec2| base + r.x_axis * c.x + r.y_axis * c.y;
        self.middle = place(prism.middle);
        self.low.extend(prism.outline.iter().map(|c| place(*c)));
        self.normals.extend(
            prism
                .normals
                .iter()
                .map(|n| r.x_axis * n.x + r.y_axis * n.y),
        );
    }

    /// Height in ring coordinates of the lower face's plane above or below `p`.
    pub(crate) fn low_height(&self, p: DVec3) -> f64 {
        let d = p - self.low[0];
        self.low[0].z - (self.up.x * d.x + self.up.y * d.y) / self.up.z.max(0.1)
    }

    fn sides(&self) -> usize {
        self.normals.len()
    }

    /// Faces: the sides, then top, then bottom.
    fn face_normal(&self, face: usize) -> DVec3 {
        match face.checked_sub(self.sides()) {
            None => self.normals[face],
            Some(0) => self.up,
            Some(_) => -self.up,
        }
    }

    fn face_point(&self, face: usize) -> DVec3 {
        match face.checked_sub(self.sides()) {
            None => self.low[face],
            Some(0) => self.low[0] + self.rise,
            Some(_) => self.low[0],
        }
    }

    fn face_corners(&self, face: usize, out: &mut Vec<DVec3>) {
        out.clear();
        match face.checked_sub(self.sides()) {
            None => {
                let j = (face + 1) % self.sides();
                let (p, q) = (self.low[face], self.low[j]);
                out.extend([p, q, q + self.rise, p + self.rise]);
            }
            Some(0) => out.extend(self.low.iter().map(|p| *p + self.rise)),
            Some(_) => out.extend(&self.low),
        }
    }

    /// How far `other` is beyond `face`: positive apart, negative the depth.
    fn separation(&self, face: usize, other: &Self) -> f64 {
        let n = self.face_normal(face);
        let from = n.dot(self.face_point(face));
        let mut least = f64::INFINITY;
        for p in &other.low {
            least = least.min(n.dot(*p));
        }
        // The upper corners are all the same way above the lower ones.
        least + n.dot(other.rise).min(0.0) - from
    }
}

/// What is remembered of a pair from one millisecond to the next.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct PairMemory {
    /// Reference face: which prism, which face.
    last: Option<(bool, usize)>,
}

/// Scratch space, so that nothing is allocated inside a bout.
#[derive(Debug, Clone, Default)]
pub(crate) struct Scratch {
    incident: Vec<DVec3>,
    clipped: Vec<DVec3>,
}

/// Index of a point where edges cross: behind the four of a face.
const CROSSED: usize = 8;
/// How much better another axis must be before it replaces the last one, in m. Without it two
/// equally good faces alternate and warm starting is lost.
const AXIS_PREFERENCE: f64 = 5e-5;

/// Contacts between `one` and `two`. `found` gets: whether `two` owns the reference face, the
/// face's index, the point's index, the normal away from the reference face, the point on the
/// incident prism and the separation. `ends`: whether top and bottom faces count.
#[allow(clippy::too_many_arguments, reason = "geometry in, contacts out")]
pub(crate) fn collide(
    one: &PlacedPrism,
    two: &PlacedPrism,
    ends: bool,
    margin: f64,
    memory: &mut PairMemory,
    scratch: &mut Scratch,
    mut found: impl FnMut(bool, usize, usize, DVec3, DVec3, f64),
) {
    let measure = |axis: (bool, usize)| {
        if axis.0 {
            two.separation(axis.1, one)
        } else {
            one.separation(axis.1, two)
        }
    };
    let mut best: Option<((bool, usize), f64)> = None;
    if let Some(axis) = memory.last {
        let s = measure(axis);
        if s > margin {
            return;
        }
        best = Some((axis, s + AXIS_PREFERENCE));
    }
    for owner in [false, true] {
        let prism = if owner { two } else { one };
        let faces = prism.sides() + if ends { 2 } else { 0 };
        for face in 0..faces {
            if memory.last == Some((owner, face)) {
                continue;
            }
            let s = measure((owner, face));
            if s > margin {
                memory.last = Some((owner, face));
                return;
            }
            if best.is_none_or(|b| s > b.1) {
                best = Some(((owner, face), s));
            }
        }
    }
    let Some(((owner, face), face_gap)) = best else {
        return;
    };
    memory.last = Some((owner, face));
    if ends {
        match crossing::crossed(one, two, face_gap, margin) {
            Crossed::No => {}
            Crossed::Apart => return,
            Crossed::At(at) => {
                let edges = at.edges[0] * (two.sides() + 1) + at.edges[1];
                found(false, edges, CROSSED, at.normal, at.point, at.gap);
                return;
            }
        }
    }
    let (reference, incident) = if owner { (two, one) } else { (one, two) };
    let normal = reference.face_normal(face);
    clip_to_face(reference, face, incident, normal, ends, scratch);
    let from = normal.dot(reference.face_point(face));
    let separation = |p: DVec3| normal.dot(p) - from;
    let picked = pick_four(&scratch.clipped, separation);
    for (i, p) in picked.into_iter().flatten().enumerate() {
        let s = separation(p);
        if s < margin {
            found(owner, face, i, normal, p, s);
        }
    }
}

/// Clips the face of `incident` that looks most against `normal` to the borders of the reference
/// face; the result is left in `scratch.clipped`.
fn clip_to_face(
    reference: &PlacedPrism,
    face: usize,
    incident: &PlacedPrism,
    normal: DVec3,
    ends: bool,
    scratch: &mut Scratch,
) {
    let faces = incident.sides() + if ends { 2 } else { 0 };
    let mut opposed = (0, f64::INFINITY);
    for f in 0..faces {
        let d = incident.face_normal(f).dot(normal);
        if d < opposed.1 {
            opposed = (f, d);
        }
    }
    incident.face_corners(opposed.0, &mut scratch.clipped);
    let n = reference.sides();
    if face < n {
        let j = (face + 1) % n;
        let along = (reference.low[j] - reference.low[face]).normalize();
        let up = reference.up;
        let planes = [
            (-along, -along.dot(reference.low[face])),
            (along, along.dot(reference.low[j])),
            (-up, -up.dot(reference.low[face])),
            (up, up.dot(reference.low[face] + reference.rise)),
        ];
        for (plane, limit) in planes {
            clip(plane, limit, scratch);
        }
    } else {
        for side in 0..n {
            let plane = reference.normals[side];
            clip(plane, plane.dot(reference.low[side]), scratch);
        }
    }
}

/// Keeps the part of `scratch.clipped` with plane·p ≤ limit (Sutherland and Hodgman 1974).
fn clip(plane: DVec3, limit: f64, scratch: &mut Scratch) {
    std::mem::swap(&mut scratch.incident, &mut scratch.clipped);
    scratch.clipped.clear();
    let points = &scratch.incident;
    for (i, p) in points.iter().enumerate() {
        let q = points[(i + 1) % points.len()];
        let (dp, dq) = (plane.dot(*p) - limit, plane.dot(q) - limit);
        if dp <= 0.0 {
            scratch.clipped.push(*p);
        }
        if (dp < 0.0 && dq > 0.0) || (dp > 0.0 && dq < 0.0) {
            // From inside out, as the mirrored face is cut.
            let (a, b, da, db) = if dp < 0.0 {
                (*p, q, dp, dq)
            } else {
                (q, *p, dq, dp)
            };
            scratch.clipped.push(a + (b - a) * (da / (da - db)));
        }
    }
}

/// At most four points that carry as much as all of them: the deepest, the farthest from it, and
/// the farthest to either side of the line between the two.
fn pick_four(points: &[DVec3], separation: impl Fn(DVec3) -> f64) -> [Option<DVec3>; 4] {
    if points.len() <= 4 {
        return core::array::from_fn(|i| points.get(i).copied());
    }
    let largest = |score: &dyn Fn(DVec3) -> f64| {
        let mut best = (points[0], score(points[0]));
        for p in &points[1..] {
            let s = score(*p);
            if s > best.1 {
                best = (*p, s);
            }
        }
        best
    };
    let (deepest, _) = largest(&|p| -separation(p));
    let (far, _) = largest(&|p| p.distance_squared(deepest));
    let line = far - deepest;
    let across = |p: DVec3| line.cross(p - deepest);
    let (side, _) = largest(&|p| across(p).length_squared());
    let direction = across(side);
    let (other, s) = largest(&|p| -across(p).dot(direction));
    [
        Some(deepest),
        Some(far),
        Some(side),
        (s > 0.0).then_some(other),
    ]
}
