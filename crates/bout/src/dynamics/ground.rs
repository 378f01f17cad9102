//! Contacts with the ring top, its rim and the floor.
//!
//! A tread touches a plane at its lowest point: with axle a and plane normal n, the direction
//! "up in the wheel's plane" is m = n − (n·a)a and the point c − r·m/|m|. Where that point lies
//! beyond the rim the wheel hangs on the edge: the wheel's middle plane cuts the rim circle in two
//! points, the nearer one e carries it along c − e. A sphere in place of the wheel, or a rim that
//! holds from one side only, lets robots climb or fall where real ones do not.

use glam::{DMat3, DVec2, DVec3};

use super::body::Body;
use super::contact::{Contact, WORLD, tangents};
use super::edge;

/// The ring as the solver needs it; the top is z = 0.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RingShape {
    /// Radius in m.
    pub(crate) radius: f64,
    /// Height over the floor in m.
    pub(crate) height: f64,
}

/// Which part of the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Part {
    /// The ring's top.
    Top,
    /// Its rim.
    Rim,
    /// The floor around it.
    Floor,
}

/// Where a tread touches the ground: point, normal, gap.
#[derive(Debug, Clone, Copy)]
pub(crate) struct GroundTouch {
    /// Point on the tread in ring coordinates.
    pub(crate) point: DVec3,
    /// Unit normal away from the ground.
    pub(crate) normal: DVec3,
    /// Distance left in m.
    pub(crate) gap: f64,
    /// What it touches.
    pub(crate) part: Part,
}

/// What all wheels of one robot on level ground share: they turn about one axle.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Rolling {
    /// Unit axle.
    pub(crate) axle: DVec3,
    /// From a wheel's centre to its lowest point, unit.
    pub(crate) down: DVec3,
    /// Rolling direction, unit.
    pub(crate) along: DVec3,
    /// Square to it on the ground, unit.
    pub(crate) across: DVec3,
}

impl Rolling {
    /// For the unit axle `axle`.
    pub(crate) fn about(axle: DVec3) -> Self {
        let up = DVec3::Z - axle * axle.z;
        let length = up.length();
        let share = 1.0 / length.max(1e-9);
        let (along, across) = if length > 1e-6 {
            // axle × z is as long as the part of z square to the axle.
            let along = DVec3::new(axle.y * share, -axle.x * share, 0.0);
            (along, DVec3::new(-along.y, along.x, 0.0))
        } else {
            tangents(DVec3::Z)
        };
        Self {
            axle,
            down: up * -share,
            along,
            across,
        }
    }
}

/// Nearest ground to the tread of a wheel with centre `c` and radius `r`.
pub(crate) fn tread_on_ground(c: DVec3, rolling: &Rolling, r: f64, ring: RingShape) -> GroundTouch {
    let lowest = c + rolling.down * r;
    if lowest.truncate().length_squared() <= ring.radius * ring.radius {
        return GroundTouch {
            point: lowest,
            normal: DVec3::Z,
            gap: lowest.z,
            part: Part::Top,
        };
    }
    let floor = GroundTouch {
        point: lowest,
        normal: DVec3::Z,
        gap: lowest.z + ring.height,
        part: Part::Floor,
    };
    match tread_on_rim(c, rolling.axle, r, ring) {
        Some(rim) if rim.gap < floor.gap => rim,
        _ => floor,
    }
}

/// The rim point nearest to the wheel in its middle plane.
fn tread_on_rim(c: DVec3, a: DVec3, r: f64, ring: RingShape) -> Option<GroundTouch> {
    let level = DVec2::new(a.x, a.y);
    let length = level.length();
    if length < 1e-6 {
        return None;
    }
    let level = level / length;
    let distance = a.dot(c) / length;
    let square = ring.radius * ring.radius - distance * distance;
    if square <= 0.0 {
        return None;
    }
    let base = level * distance;
    let reach = DVec2::new(-level.y, level.x) * square.sqrt();
    let (p, q) = (base + reach, base - reach);
    let flat = c.truncate();
    let e = if p.distance_squared(flat) < q.distance_squared(flat) {
        p
    } else {
        q
    };
    let along = DVec3::new(-e.y, e.x, 0.0) / ring.radius;
    let on = edge::tyre_on_edge(c, a, r, e.extend(0.0), along)?;
    Some(GroundTouch {
        point: on.point,
        normal: on.normal,
        gap: on.gap,
        part: Part::Rim,
    })
}

/// A point resting on ring top or floor, if within `margin`.
pub(crate) fn foot_on_ground(
    key: u32,
    robot: usize,
    body: &Body,
    at: DVec3,
    ring: RingShape,
    margin: f64,
) -> Option<Contact> {
    let p = body.place(at);
    let inside = p.truncate().length_squared() <= ring.radius * ring.radius;
    let plane = if inside && p.z > -0.5 * ring.height {
        0.0
    } else {
        -ring.height
    };
    let gap = p.z - plane;
    if gap > margin {
        return None;
    }
    let mut contact = Contact::new(key, robot, WORLD, DVec3::Z);
    contact.anchor_a = at;
    contact.anchor_b = DVec3::new(p.x, p.y, plane);
    contact.gap = gap;
    Some(contact)
}

/// Points where the lower face `corners` (ring coordinates) lies across the rim: where its border
/// crosses the circle, and where on the circle it hangs lowest. `up` is the face's normal on the
/// robot's side. Calls `found` with the point on the face, the rim point and the gap along `up`.
pub(crate) fn face_on_rim(
    corners: &[DVec3],
    up: DVec3,
    ring: RingShape,
    margin: f64,
    mut found: impl FnMut(usize, DVec3, DVec3, f64),
) {
    if up.z < 0.2 {
        return;
    }
    let square = ring.radius * ring.radius;
    let n = corners.len();
    let mut consider = |index: usize, p: DVec3| {
        let rim = DVec3::new(p.x, p.y, 0.0);
        let gap = p.z * up.z;
        if gap < margin && p.z > -0.7 * ring.height {
            found(index, p, rim, gap);
        }
    };
    for i in 0..n {
        let (p, q) = (corners[i], corners[(i + 1) % n]);
        let (p2, d2) = (p.truncate(), (q - p).truncate());
        let a = d2.length_squared();
        let b = p2.dot(d2);
        let c = p2.length_squared() - square;
        let root = b * b - a * c;
        if a < 1e-18 || root <= 0.0 {
            continue;
        }
        let root = root.sqrt();
        for (k, t) in [(-b - root) / a, (-b + root) / a].into_iter().enumerate() {
            if (0.0..1.0).contains(&t) {
                consider(2 * i + k, p + (q - p) * t);
            }
        }
    }
    // Lowest over the circle: straight down the slope of the face, if it covers that point.
    let slope = up.truncate();
    let steep = slope.length();
    if steep > 1e-6 {
        let rim = slope * (ring.radius / steep);
        let covered = (0..n).all(|i| {
            let (p, q) = (corners[i].truncate(), corners[(i + 1) % n].truncate());
            (q - p).perp_dot(rim - p) >= 0.0
        });
        if covered {
            let p0 = corners[0];
            let z = p0.z - slope.dot(rim - p0.truncate()) / up.z;
            consider(2 * n, rim.extend(z));
        }
    }
}

/// Lower corners of an outline at height `low`, into `out`, in ring coordinates.
pub(crate) fn lower_face(body: &Body, outline: &[DVec2], low: f64, out: &mut Vec<DVec3>) {
    out.clear();
    let r: DMat3 = body.r;
    let base = body.x + r.z_axis * low;
    out.extend(
        outline
            .iter()
            .map(|c| base + r.x_axis * c.x + r.y_axis * c.y),
    );
}
