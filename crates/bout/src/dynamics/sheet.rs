//! A blade as a sharp sheet: what rides on it, and whether it got under at all.
//!
//! When the plans of a sheet and a body first overlap, heights decide once whether the sheet is
//! *under* (the other's lower edge is above the sheet's edge) or *blunt* (it runs into the
//! body's face); the decision holds until they part. Under: the other's lower outline is clipped
//! to the sheet and its corners are carried along the sheet's normal; where an edge of the outline
//! crosses an edge of the sheet, the normal is the cross product of the two edges (with the
//! sheet's own normal there, bodies sink in by a centimetre).

use glam::DVec3;

use super::body::Body;
use super::edge;
use super::machine::Sheet;

/// A sheet in ring coordinates with its own axes.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct PlacedSheet {
    /// Middle of the edge.
    pub(crate) tip: DVec3,
    /// Up the slope, from the edge to the back.
    pub(crate) up_slope: DVec3,
    /// Along the edge, to the robot's left.
    pub(crate) left: DVec3,
    /// Normal of the upper side.
    pub(crate) normal: DVec3,
    /// Length up the slope in m.
    pub(crate) length: f64,
    /// Half the length of the edge in m.
    pub(crate) half_width: f64,
    /// Radius in m of a circle about its middle that holds it.
    pub(crate) radius: f64,
    /// Effective thickness of the edge in m.
    pub(crate) edge: f64,
    /// Corners: tip left, tip right, back right, back left.
    pub(crate) corners: [DVec3; 4],
}

impl PlacedSheet {
    /// Places `sheet` with `body`.
    pub(crate) fn place(sheet: &Sheet, body: &Body) -> Self {
        let Some(joint) = sheet.joint else {
            return Self::upon(sheet, body);
        };
        // As its corners are now.
        let joint = Some(joint);
        let corners = sheet.corners.map(|c| body.moved(joint, c));
        let across = corners[0] - corners[1];
        let up = corners[2] - corners[1];
        Self {
            tip: body.place(0.5 * (corners[0] + corners[1])),
            up_slope: body.r * (up / sheet.length),
            left: body.r * (across / (2.0 * sheet.half_width)),
            normal: body.r * upper_normal(&corners),
            length: sheet.length,
            half_width: sheet.half_width,
            radius: sheet.radius,
            edge: sheet.edge,
            corners: corners.map(|c| body.place(c)),
        }
    }

    /// Places a sheet that is fixed to the body.
    fn upon(sheet: &Sheet, body: &Body) -> Self {
        let tip = body.place(sheet.tip);
        let up_slope = body.r * sheet.up_slope;
        let left = body.r * sheet.left;
        let (aside, back) = (left * sheet.half_width, up_slope * sheet.length);
        let (tip_left, tip_right) = (tip + aside, tip - aside);
        Self {
            tip,
            up_slope,
            left,
            normal: body.r * sheet.normal,
            length: sheet.length,
            half_width: sheet.half_width,
            radius: sheet.radius,
            edge: sheet.edge,
            corners: [tip_left, tip_right, tip_right + back, tip_left + back],
        }
    }

    /// Up the slope, to the left, and height over the sheet of a point.
    pub(crate) fn local(&self, p: DVec3) -> DVec3 {
        let d = p - self.tip;
        DVec3::new(d.dot(self.up_slope), d.dot(self.left), d.dot(self.normal))
    }

    /// Its middle.
    pub(crate) fn middle(&self) -> DVec3 {
        self.tip + self.up_slope * (0.5 * self.length)
    }

    /// Height in ring coordinates of the sheet's upper side, edge included, nearest to `p` in plan.
    pub(crate) fn height_near(&self, p: DVec3) -> f64 {
        let up = self.local(p).x.clamp(0.0, self.length);
        self.tip.z + up * self.up_slope.z + self.edge
    }

    /// Whether the plan of a circle about `middle` could overlap the sheet's, whichever way the
    /// circle leans.
    pub(crate) fn may_meet(&self, middle: DVec3, radius: f64) -> bool {
        let p = self.local(middle);
        p.x > -radius && p.x < self.length + radius && p.y.abs() < self.half_width + radius
    }

    fn global(&self, p: DVec3) -> DVec3 {
        self.tip + self.up_slope * p.x + self.left * p.y + self.normal * p.z
    }
}

/// Normal of the upper side of a sheet with these corners. It turns with the sheet: swung past
/// upright, a sheet still carries on the side it was built to.
pub(crate) fn upper_normal(corners: &[DVec3; 4]) -> DVec3 {
    let across = corners[0] - corners[1];
    across.cross(corners[2] - corners[1]).normalize_or_zero()
}

/// Whether a sheet got under another body.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) enum Meeting {
    /// Their plans do not overlap.
    #[default]
    Apart,
    /// The sheet is beneath.
    Under,
    /// The sheet's edge is against the other's face.
    Blunt,
}

/// A corner of the clipped outline: where, and the direction of the outline's edge and of the
/// sheet's edge where the two cross.
#[derive(Debug, Clone, Copy)]
struct Corner {
    at: DVec3,
    crossing: Option<(DVec3, DVec3)>,
    /// Which corner of the outline, or which edge crosses which border: the same from one
    /// millisecond to the next, whatever else was clipped.
    id: u32,
    /// The edge that leaves from here: an edge of the outline, or 16 + a border of the sheet.
    edge: u32,
}

/// A point that rides on a sheet.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Rider {
    /// Point of the riding body, ring coordinates.
    pub(crate) point: DVec3,
    /// Normal away from the sheet.
    pub(crate) normal: DVec3,
    /// Gap along the normal in m.
    pub(crate) gap: f64,
}

/// An overlap that starts deeper than this in m did not start from above.
pub(crate) const DEEPEST_ENTRY: f64 = 2e-3;

/// Scratch space for clipping.
#[derive(Debug, Clone, Default)]
pub(crate) struct SheetScratch {
    a: Vec<Corner>,
    b: Vec<Corner>,
}

/// Clips `outline` (ring coordinates) to the plan of `sheet`. Afterwards `scratch` holds the
/// corners in sheet coordinates. Returns whether anything is left, that is, whether plans overlap.
pub(crate) fn overlap(sheet: &PlacedSheet, outline: &[DVec3], scratch: &mut SheetScratch) -> bool {
    scratch.a.clear();
    let (mut least, mut most) = (DVec3::INFINITY, DVec3::NEG_INFINITY);
    for (p, i) in outline.iter().zip(0..) {
        let at = sheet.local(*p);
        least = least.min(at);
        most = most.max(at);
        scratch.a.push(Corner {
            at,
            crossing: None,
            id: i,
            edge: i,
        });
    }
    let beside = most.x < 0.0
        || least.x > sheet.length
        || least.y > sheet.half_width
        || most.y < -sheet.half_width;
    if beside {
        return false;
    }
    let slope = DVec3::X;
    let edge = DVec3::Y;
    let borders = [
        (DVec3::NEG_X, 0.0, edge, -least.x),
        (DVec3::X, sheet.length, edge, most.x),
        (DVec3::Y, sheet.half_width, slope, most.y),
        (DVec3::NEG_Y, sheet.half_width, slope, -least.y),
    ];
    for ((plane, limit, direction, farthest), border) in borders.into_iter().zip(16_u32..) {
        // Most outlines lie across one border only: nothing to cut at the others.
        if farthest <= limit {
            continue;
        }
        std::mem::swap(&mut scratch.a, &mut scratch.b);
        scratch.a.clear();
        let n = scratch.b.len();
        for i in 0..n {
            let (p, q) = (scratch.b[i], scratch.b[(i + 1) % n]);
            let (dp, dq) = (plane.dot(p.at) - limit, plane.dot(q.at) - limit);
            if dp <= 0.0 {
                scratch.a.push(p);
            }
            if (dp < 0.0 && dq > 0.0) || (dp > 0.0 && dq < 0.0) {
                // Always from inside out: the mirrored outline runs the other way round, and has to
                // be cut at the mirrored point to the last bit.
                let (a, b, da, db) = if dp < 0.0 {
                    (p.at, q.at, dp, dq)
                } else {
                    (q.at, p.at, dq, dp)
                };
                let run = b - a;
                let at = a + run * (da / (da - db));
                let edge = if dp < 0.0 { border } else { p.edge };
                let id = border << 5 | p.edge;
                scratch.a.push(Corner {
                    at,
                    crossing: Some((run, direction)),
                    id,
                    edge,
                });
            }
        }
        if scratch.a.is_empty() {
            return false;
        }
    }
    true
}

/// Height over the sheet of the overlap found last, where it is nearest to the sheet's edge: the
/// mean over the corners in the front tenth of the overlap.
pub(crate) fn height_at_edge(scratch: &SheetScratch) -> f64 {
    let span =
        |f: fn(f64, f64) -> f64, start: f64| scratch.a.iter().fold(start, |m, c| f(m, c.at.x));
    let (near, far) = (
        span(f64::min, f64::INFINITY),
        span(f64::max, f64::NEG_INFINITY),
    );
    let limit = near + 0.1 * (far - near) + 1e-6;
    let (mut sum, mut n) = (0.0, 0.0);
    for c in scratch.a.iter().filter(|c| c.at.x <= limit) {
        sum += c.at.z;
        n += 1.0;
    }
    sum / n
}

/// Least height over the sheet of the overlap found last.
pub(crate) fn least_height(scratch: &SheetScratch) -> f64 {
    scratch.a.iter().fold(f64::INFINITY, |m, c| m.min(c.at.z))
}

/// Riders of the overlap found last, nearest four within `margin`.
pub(crate) fn riders(
    sheet: &PlacedSheet,
    scratch: &SheetScratch,
    margin: f64,
    mut found: impl FnMut(u32, Rider),
) {
    let mut kept: [Option<(usize, f64)>; 4] = [None; 4];
    for (i, c) in scratch.a.iter().enumerate() {
        if c.at.z > margin {
            continue;
        }
        let mut entry = Some((i, c.at.z));
        for slot in &mut kept {
            let lower = match (&entry, &slot) {
                (Some(e), Some(s)) => e.1 < s.1,
                (Some(_), None) => true,
                (None, _) => false,
            };
            if lower {
                core::mem::swap(slot, &mut entry);
            }
        }
    }
    for (i, _) in kept.into_iter().flatten() {
        let c = &scratch.a[i];
        let mut local = DVec3::Z;
        if let Some((run, direction)) = c.crossing {
            let n = run.cross(direction);
            let length = n.length();
            if length > 0.05 * run.length() {
                let n = n / length;
                let n = if n.z < 0.0 { -n } else { n };
                // A nearly upright normal only: the edge of a body standing on end must not push
                // the sheet aside.
                if n.z > 0.5 {
                    local = n;
                }
            }
        }
        let normal = sheet.up_slope * local.x + sheet.left * local.y + sheet.normal * local.z;
        found(
            c.id,
            Rider {
                point: sheet.global(c.at),
                normal,
                gap: c.at.z * local.z,
            },
        );
    }
}

/// A tread on a sheet: centre `c`, unit axle `a`, radius `r`. On the sheet's face or, ahead of its
/// edge, on the edge itself.
pub(crate) fn tread_on_sheet(
    sheet: &PlacedSheet,
    c: DVec3,
    a: DVec3,
    r: f64,
    margin: f64,
) -> Option<Rider> {
    let n = sheet.normal;
    let up = n - a * n.dot(a);
    let length = up.length();
    if length < 0.2 {
        return None;
    }
    let point = c - up * (r / length);
    let local = sheet.local(point);
    if local.y.abs() > sheet.half_width || local.x > sheet.length {
        return None;
    }
    if local.x >= 0.0 {
        // Deeper than this it came in from the side, where the hull meets the sheet first.
        let deep = local.z < -DEEPEST_ENTRY;
        return (local.z < margin && !deep).then_some(Rider {
            point,
            normal: n,
            gap: local.z,
        });
    }
    // Ahead of the edge: where the wheel's middle plane cuts the edge line.
    let slant = a.dot(sheet.left);
    if slant.abs() < 1e-3 {
        return None;
    }
    let t = a.dot(c - sheet.tip) / slant;
    if t.abs() > sheet.half_width {
        return None;
    }
    let on = edge::tyre_on_edge(c, a, r, sheet.tip + sheet.left * t, sheet.left)?;
    (on.gap < margin && on.gap > -DEEPEST_ENTRY && on.normal.z > 0.0).then_some(Rider {
        point: on.point,
        normal: on.normal,
        gap: on.gap,
    })
}

/// Heights in ring coordinates of both sheets' edges where their plans overlap, edge thickness
/// included; none if neither edge reaches over the other sheet.
pub(crate) fn edge_heights(one: &PlacedSheet, two: &PlacedSheet) -> Option<[f64; 2]> {
    let inside = |s: &PlacedSheet, p: DVec3| {
        let l = s.local(p);
        l.x >= 0.0 && l.x <= s.length && l.y.abs() <= s.half_width
    };
    // Sample the edges: ends, quarters and middle are enough to find the place of meeting.
    let samples = [-1.0, -0.5, 0.0, 0.5, 1.0];
    let point = |s: &PlacedSheet, k: f64| s.tip + s.left * (k * s.half_width);
    let mut place: Option<DVec3> = None;
    let mut met = 0.0;
    for k in samples {
        for (a, b) in [(one, two), (two, one)] {
            let p = point(a, k);
            if inside(b, p) {
                place = Some(place.unwrap_or(DVec3::ZERO) + p);
                met += 1.0;
            }
        }
    }
    let place = place? / met;
    let height = |s: &PlacedSheet| {
        let k = ((place - s.tip).dot(s.left) / s.half_width).clamp(-1.0, 1.0);
        point(s, k).z + s.edge
    };
    Some([height(one), height(two)])
}
