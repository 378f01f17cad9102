//! The beam of a sensor that looks outward, and what it meets.

use glam::{DVec2, DVec3};
use quantity::maths;

use super::Scene;
use super::around::PERSON_HEIGHT_M;
use super::silhouette::{Emitter, Medium, Piece, plan};

/// Widest half opening angle in rad that is taken as a beam.
const WIDEST: f64 = 1.48;
/// Two distances in m this near count as the same corner.
const SAME: f64 = 1e-9;
/// A sender that shines straight at a receiver is noticed from so many times the distance from
/// which its own echo is (common practice, no source: the way is single and the light direct).
const DIRECT: f64 = 3.0;

/// A beam as built: a wedge seen from above and another seen from the side, both as wide.
#[derive(Debug, Clone)]
pub(super) struct Cone {
    /// Where it begins, in the design frame.
    at: DVec3,
    /// Unit vector along its middle, in the design frame.
    axis: DVec3,
    /// Cosine, sine and tangent of half the opening angle.
    cos: f64,
    sin: f64,
    tan: f64,
}

/// A beam seen from above in somebody's frame.
struct Beam {
    /// Where it starts.
    eye: DVec3,
    /// Unit vectors along its middle, right and left edges.
    along: DVec2,
    right: DVec2,
    left: DVec2,
    /// Rise of its upper and lower edges per m of way over the ground.
    upper: f64,
    lower: f64,
}

impl Cone {
    /// The beam from `at` towards `facing` with the full opening angle `opening`, in rad.
    pub(super) fn new(at: DVec3, facing: f64, opening: f64) -> Self {
        let half = (opening / 2.0).clamp(0.0, WIDEST);
        Self {
            at,
            axis: DVec3::new(maths::cos(facing), maths::sin(facing), 0.0),
            cos: maths::cos(half),
            sin: maths::sin(half),
            tan: maths::tan(half),
        }
    }

    /// Distance in m to the nearest point of the opponent's hull inside the beam of those that
    /// send something back: `seen_from` is the farthest distance at which a face is seen, by its
    /// piece and the cosine between beam and face. `reach` is the greatest of these, and faces
    /// below the cosine `least_facing` send nothing back.
    ///
    /// The beam leans with the robot. Assumed: the own hull hides nothing; what comes back from
    /// elsewhere than the nearest point of a piece does not add up.
    pub(super) fn nearest(
        &self,
        scene: &Scene<'_>,
        reach: f64,
        least_facing: f64,
        seen_from: impl Fn(&Piece, f64) -> f64,
    ) -> Option<f64> {
        let body = scene.silhouette;
        let eye = scene.opponent_sees(scene.place(self.at));
        let middle = body.middle - plan(eye);
        let farthest = reach + body.radius;
        if middle.length_squared() > farthest * farthest {
            return None;
        }
        let beam = self.beam(eye, scene.in_opponent(scene.direction(self.axis)))?;
        if !beam.may_meet(middle, body.radius) {
            return None;
        }
        body.pieces
            .iter()
            .filter_map(|p| {
                let (distance, facing) = beam.to_piece(p, least_facing)?;
                (distance <= seen_from(p, facing)).then_some(distance)
            })
            .reduce(f64::min)
    }

    /// Distance in m to the nearest person at the ring inside the beam who is seen: `seen_from` is
    /// the farthest distance by the share of light sent back. `reach` is the greatest of these.
    pub(super) fn nearest_person(
        &self,
        scene: &Scene<'_>,
        reach: f64,
        seen_from: impl Fn(f64) -> f64,
    ) -> Option<f64> {
        if reach < scene.around.free_space_m {
            return None;
        }
        let eye = scene.place(self.at);
        let beam = self.beam(eye, scene.direction(self.axis))?;
        let person = |p: &super::around::Person| {
            let middle = p.at - plan(eye);
            let distance = middle.length() - p.radius;
            let (low, high) = (eye.z + beam.lower * distance, eye.z + beam.upper * distance);
            let met = beam.may_meet(middle, p.radius)
                && low < PERSON_HEIGHT_M
                && high > -scene.ring.height_m;
            (met && distance <= seen_from(p.reflectance)).then_some(distance)
        };
        scene
            .around
            .people()
            .iter()
            .filter_map(person)
            .reduce(f64::min)
    }

    /// A sender of the opponent that shines into this beam, if one does.
    pub(super) fn dazzled_by<'s>(&self, scene: &Scene<'s>, medium: Medium) -> Option<&'s Emitter> {
        let senders = &scene.silhouette.emitters;
        if !senders.iter().any(|e| e.medium == medium) {
            return None;
        }
        let eye = scene.opponent_sees(scene.place(self.at));
        let axis = scene.in_opponent(scene.direction(self.axis));
        senders.iter().find(|e| {
            let way = e.at - eye;
            let distance = way.length();
            e.medium == medium
                && distance <= DIRECT * e.reach
                && way.dot(axis) >= self.cos * distance
                && -way.dot(e.axis) >= e.cos * distance
        })
    }

    /// The beam in the frame in which it begins at `eye` and looks along `axis`; none when it
    /// looks straight up or down.
    fn beam(&self, eye: DVec3, axis: DVec3) -> Option<Beam> {
        let along = plan(axis);
        let level = along.length();
        if level < 1e-3 {
            return None;
        }
        let along = along / level;
        let slope = axis.z / level;
        let side = along.perp() * self.sin;
        Some(Beam {
            eye,
            along,
            right: along * self.cos - side,
            left: along * self.cos + side,
            upper: slope + self.tan,
            lower: slope - self.tan,
        })
    }
}

/// The part of an outline inside a beam.
struct Seen {
    /// Way over the ground to its nearest point in m.
    near: f64,
    /// Way over the ground to its farthest point in m.
    far: f64,
    /// Cosine between the beam and the face at the nearest point.
    facing: f64,
}

impl Beam {
    /// Whether the beam may meet a circle about `middle`, seen from the eye.
    fn may_meet(&self, middle: DVec2, radius: f64) -> bool {
        middle.dot(self.along) >= -radius
            && self.right.perp_dot(middle) >= -radius
            && middle.perp_dot(self.left) >= -radius
    }

    /// Distance to the nearest point of a piece in m, and the cosine between beam and face there.
    fn to_piece(&self, piece: &Piece, least_facing: f64) -> Option<(f64, f64)> {
        let (from, to) = self.way_at_height(piece.low, piece.high)?;
        let seen = self.nearest_on_outline(&piece.corners, least_facing)?;
        let way = seen.near.max(from);
        if way > seen.far.min(to) {
            return None;
        }
        let eye = self.eye.z;
        let rise = if eye > piece.high {
            eye - piece.high
        } else {
            (piece.low - eye).max(0.0)
        };
        let distance = maths::hypot(way, rise);
        // Over the front edge the beam falls flat on the roof (or on the bottom from below).
        let facing = if way > seen.near + SAME {
            if distance > 0.0 { rise / distance } else { 1.0 }
        } else {
            seen.facing
        };
        (facing >= least_facing).then_some((distance, facing))
    }

    /// Ways over the ground between which the beam's height meets `low` to `high`.
    fn way_at_height(&self, low: f64, high: f64) -> Option<(f64, f64)> {
        let (mut from, mut to) = (0.0_f64, f64::INFINITY);
        // Upper edge above the lower face, lower edge below the upper face.
        for (rate, need) in [
            (self.upper, low - self.eye.z),
            (-self.lower, self.eye.z - high),
        ] {
            if rate > 0.0 {
                from = from.max(need / rate);
            } else if rate < 0.0 {
                to = to.min(need / rate);
            } else if need > 0.0 {
                return None;
            }
        }
        (from <= to).then_some((from, to))
    }

    /// Nearest and farthest points of a convex outline inside the wedge. Both lie on its sides,
    /// for a straight way towards or away from the eye stays inside the wedge. From inside the
    /// outline the way is 0. Sides that are met below the cosine `least_facing` are left out.
    fn nearest_on_outline(&self, corners: &[DVec2], least_facing: f64) -> Option<Seen> {
        let eye = plan(self.eye);
        let mut seen = Seen {
            near: f64::INFINITY,
            far: 0.0,
            facing: 0.0,
        };
        let mut inside = true;
        let mut a = corners.last().copied()? - eye;
        for &corner in corners {
            let b = corner - eye;
            let side = b - a;
            // Twice the area to the eye's right of this side: negative when the eye is outside.
            let outside = side.perp_dot(-a) < 0.0;
            inside &= !outside;
            if let Some((t0, t1)) = self.clip(a, b) {
                let squared = side.length_squared();
                let t = if squared > 0.0 {
                    (-a.dot(side) / squared).clamp(t0, t1)
                } else {
                    t0
                };
                let nearest = a + side * t;
                let near = nearest.length();
                let far = (a + side * t0)
                    .length_squared()
                    .max((a + side * t1).length_squared());
                seen.far = seen.far.max(far);
                let facing = if outside && near > 0.0 && squared > 0.0 {
                    side.perp_dot(nearest) / (near * squared.sqrt())
                } else {
                    0.0
                };
                if facing < least_facing {
                    // Nothing comes back from it.
                } else if near < seen.near - SAME {
                    (seen.near, seen.facing) = (near, facing);
                } else if near < seen.near + SAME {
                    seen.facing = seen.facing.max(facing);
                }
            }
            a = b;
        }
        seen.far = seen.far.sqrt();
        if inside {
            return Some(Seen {
                near: 0.0,
                far: seen.far,
                facing: 1.0,
            });
        }
        (seen.near < f64::INFINITY).then_some(seen)
    }

    /// The stretch of the way from `a` to `b` (seen from the eye) that lies inside the wedge, as
    /// shares of the way.
    fn clip(&self, a: DVec2, b: DVec2) -> Option<(f64, f64)> {
        let (mut t0, mut t1) = (0.0_f64, 1.0_f64);
        for (at_a, at_b) in [
            (self.right.perp_dot(a), self.right.perp_dot(b)),
            (a.perp_dot(self.left), b.perp_dot(self.left)),
        ] {
            if at_a < 0.0 && at_b < 0.0 {
                return None;
            }
            if at_a < 0.0 {
                t0 = t0.max(at_a / (at_a - at_b));
            } else if at_b < 0.0 {
                t1 = t1.min(at_a / (at_a - at_b));
            }
        }
        (t0 <= t1).then_some((t0, t1))
    }
}
