//! An infra-red distance sensor.

use glam::{DVec2, DVec3};
use quantity::{Angle, Draws, Figure, Length, Ratio, maths};
use tactic::PortKind;

use super::{
    Luck, Scene,
    silhouette::{Piece, plan},
};

/// Reflectance of the light-coloured body for which the farthest distance is stated: white paper,
/// 90 %, as data sheets of infra-red distance sensors use it.
const LIGHT_BODY: f64 = 0.9;

/// Widest half opening angle in rad that is taken as a beam.
const WIDEST: f64 = 1.48;

/// Two distances in m this near count as the same corner.
const SAME: f64 = 1e-9;

/// A sensor that looks outward along a beam.
#[derive(Debug, Clone)]
pub(crate) struct Range {
    /// Where it looks from, in the design frame.
    at: DVec3,
    /// Unit vector it looks along, in the design frame.
    axis: DVec3,
    /// Cosine, sine and tangent of half the opening angle.
    cos: f64,
    sin: f64,
    tan: f64,
    /// Nearest distance it reads truly, in m.
    nearest: f64,
    /// Farthest distance at which it sees a light-coloured body, in m.
    farthest: f64,
    /// 19-to-1 half-width of a reading's error, share of the distance.
    noise: f64,
    /// Share of readings that miss.
    misses: f64,
    /// Share of readings that see something where nothing is.
    false_alarms: f64,
}

/// The figures of a distance sensor as its file gives them.
pub(crate) struct RangeFigures<'a> {
    pub(crate) nearest: &'a Figure<Length>,
    pub(crate) farthest: &'a Figure<Length>,
    pub(crate) field_of_view: &'a Figure<Angle>,
    pub(crate) noise: &'a Figure<Ratio>,
    pub(crate) misses: &'a Figure<Ratio>,
    pub(crate) false_alarms: &'a Figure<Ratio>,
}

/// A beam seen from above in the opponent's frame.
struct Beam {
    /// Where it starts.
    eye: DVec3,
    /// Unit vectors along its right and left edges.
    right: DVec2,
    left: DVec2,
    /// Rise of its upper and lower edges per m of way over the ground.
    upper: f64,
    lower: f64,
}

impl Range {
    /// The sensor as drawn.
    pub(crate) fn new(
        at: DVec3,
        facing: f64,
        name: &str,
        draws: &Draws,
        f: &RangeFigures<'_>,
    ) -> Self {
        let half = (draws.of(f.field_of_view, name) / 2.0).clamp(0.0, WIDEST);
        let nearest = draws.of(f.nearest, name).max(0.0);
        Self {
            at,
            axis: DVec3::new(maths::cos(facing), maths::sin(facing), 0.0),
            cos: maths::cos(half),
            sin: maths::sin(half),
            tan: maths::tan(half),
            nearest,
            farthest: draws.of(f.farthest, name).max(nearest),
            noise: draws.of(f.noise, name).abs(),
            misses: draws.of(f.misses, name),
            false_alarms: draws.of(f.false_alarms, name),
        }
    }

    /// Distance in m to the nearest point of the opponent's hull inside the beam, if enough light
    /// comes back from there.
    ///
    /// The beam is a wedge seen from above and another seen from the side; both lean with the
    /// robot. A body that sends back the share ρ at the angle θ to its face returns light as
    /// ρ cos θ/d², so it is seen out to `farthest`·√(ρ cos θ/0.9). Assumed: it scatters evenly
    /// (Lambert's law) and fills the beam; the own hull hides nothing; light from piece and
    /// surroundings other than the nearest point does not add up.
    pub(crate) fn distance(&self, scene: &Scene<'_>) -> Option<f64> {
        let body = scene.silhouette;
        let eye = scene.opponent_sees(scene.place(self.at));
        let middle = body.middle - plan(eye);
        let reach = self.farthest + body.radius;
        if middle.length_squared() > reach * reach {
            return None;
        }
        let axis = scene.in_opponent(scene.direction(self.axis));
        let along = plan(axis);
        let level = along.length();
        if level < 1e-3 {
            return None;
        }
        let along = along / level;
        let slope = axis.z / level;
        let side = along.perp() * self.sin;
        let beam = Beam {
            eye,
            right: along * self.cos - side,
            left: along * self.cos + side,
            upper: slope + self.tan,
            lower: slope - self.tan,
        };
        if middle.dot(along) < -body.radius
            || beam.right.perp_dot(middle) < -body.radius
            || middle.perp_dot(beam.left) < -body.radius
        {
            return None;
        }
        body.pieces
            .iter()
            .filter_map(|p| self.to_piece(&beam, p))
            .reduce(f64::min)
    }

    /// The same for one piece.
    fn to_piece(&self, beam: &Beam, piece: &Piece) -> Option<f64> {
        let (from, to) = beam.way_at_height(piece.low, piece.high)?;
        let seen = beam.nearest_on_outline(&piece.corners)?;
        let way = seen.near.max(from);
        if way > seen.far.min(to) {
            return None;
        }
        let eye = beam.eye.z;
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
        let returned = (piece.reflectance * facing / LIGHT_BODY).clamp(0.0, 1.0);
        (distance <= self.farthest * returned.sqrt()).then_some(distance)
    }

    /// A reading in whole mm, or [`PortKind::NOTHING`].
    pub(crate) fn read(&self, distance: Option<f64>, luck: Luck) -> i16 {
        match distance {
            Some(_) if luck.misses(self.misses) => PortKind::NOTHING,
            Some(d) => millimetres((d * (1.0 + luck.error(self.noise))).max(self.nearest)),
            None => luck
                .false_alarm(self.false_alarms)
                .map_or(PortKind::NOTHING, |share| {
                    millimetres(self.nearest + share * (self.farthest - self.nearest))
                }),
        }
    }
}

/// A distance as the program gets it; never mistaken for [`PortKind::NOTHING`].
fn millimetres(d: f64) -> i16 {
    super::whole_i16((d * 1000.0).min(f64::from(PortKind::NOTHING - 1)))
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
    /// outline the way is 0.
    fn nearest_on_outline(&self, corners: &[DVec2]) -> Option<Seen> {
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
                if near < seen.near - SAME {
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
