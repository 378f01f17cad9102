//! What a distance sensor can see of a robot.

use glam::{DVec2, DVec3};
use quantity::{Draws, maths};
use robot::{Robot, SensorKind};

/// The hull of a robot as light meets it, in its own design frame.
///
/// A bare sloping blade is left out: it throws an outward beam up and away from the sensor
/// (common practice, no source).
#[derive(Debug, Clone)]
pub(crate) struct Silhouette {
    /// Convex upright prisms.
    pub(crate) pieces: Vec<Piece>,
    /// Middle of a circle that holds every piece, seen from above.
    pub(crate) middle: DVec2,
    /// Radius of that circle in m.
    pub(crate) radius: f64,
    /// What it sends out by itself.
    pub(crate) emitters: Vec<Emitter>,
}

/// What a sensor sends out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Medium {
    /// Infra-red light.
    InfraRed,
    /// Ultrasound.
    Sound,
}

/// A sensor that sends something out, as another robot meets it.
#[derive(Debug, Clone)]
pub(crate) struct Emitter {
    /// What it sends.
    pub(crate) medium: Medium,
    /// Where, in the design frame.
    pub(crate) at: DVec3,
    /// Unit vector along its beam, in the design frame.
    pub(crate) axis: DVec3,
    /// Cosine of half its opening angle.
    pub(crate) cos: f64,
    /// Its farthest distance in m.
    pub(crate) reach: f64,
    /// Time from one pulse to the next in s.
    pub(crate) period_s: f64,
}

/// One convex upright prism.
#[derive(Debug, Clone)]
pub(crate) struct Piece {
    /// Corners seen from above, counter-clockwise, in m.
    pub(crate) corners: Vec<DVec2>,
    /// Height of the lower face in m.
    pub(crate) low: f64,
    /// Height of the upper face in m.
    pub(crate) high: f64,
    /// Share of infra-red light sent back.
    pub(crate) reflectance: f64,
    /// Share of that which is mirrored.
    pub(crate) shine: f64,
}

impl Piece {
    /// Light that comes back to a sensor, as a share of what a matt white face sends back head-on;
    /// `facing` is the cosine between beam and face.
    pub(crate) fn returned(&self, facing: f64) -> f64 {
        laws::shine::returned(self.reflectance, self.shine, facing)
    }
}

impl Silhouette {
    /// The silhouette of `robot` under `draws`.
    pub(crate) fn of(robot: &Robot, draws: &Draws) -> Self {
        let piece = |p: &robot::HullPiece| {
            let low = draws.of(&p.from, &p.name);
            Piece {
                corners: p.outline.iter().map(|c| DVec2::from_array(*c)).collect(),
                low,
                high: draws.of(&p.to, &p.name).max(low),
                reflectance: draws.of(&p.reflectance, &p.name).max(0.0),
                shine: draws.of(&p.shine, &p.name).clamp(0.0, 1.0),
            }
        };
        Self {
            emitters: emitters(robot, draws),
            ..Self::new(robot.hull.iter().map(piece).collect())
        }
    }

    /// A silhouette with its circle worked out: about the middle of the box that holds it.
    pub(crate) fn new(pieces: Vec<Piece>) -> Self {
        let corners = || pieces.iter().flat_map(|p| p.corners.iter().copied());
        let least = corners().reduce(DVec2::min).unwrap_or(DVec2::ZERO);
        let most = corners().reduce(DVec2::max).unwrap_or(DVec2::ZERO);
        let middle = (least + most) / 2.0;
        let radius = corners().map(|c| c.distance(middle)).fold(0.0, f64::max);
        Self {
            pieces,
            middle,
            radius,
            emitters: Vec::new(),
        }
    }

    /// How far from `from` a ray along the unit vector `along` leaves the outline for good, in m;
    /// none when it meets no piece.
    pub(crate) fn exit(&self, from: DVec2, along: DVec2) -> Option<f64> {
        let leave = |p: &Piece| {
            let (mut enter, mut leave) = (f64::NEG_INFINITY, f64::INFINITY);
            for (i, &a) in p.corners.iter().enumerate() {
                let b = p.corners[(i + 1) % p.corners.len()];
                let inward = (b - a).perp();
                let (speed, depth) = (inward.dot(along), inward.dot(from - a));
                if speed > 0.0 {
                    enter = enter.max(-depth / speed);
                } else if speed < 0.0 {
                    leave = leave.min(-depth / speed);
                } else if depth < 0.0 {
                    return None;
                }
            }
            (enter <= leave && leave >= 0.0).then_some(leave)
        };
        self.pieces.iter().filter_map(leave).reduce(f64::max)
    }
}

/// Every sensor of `robot` that sends something out.
fn emitters(robot: &Robot, draws: &Draws) -> Vec<Emitter> {
    let emitter = |s: &robot::Sensor| {
        let medium = match s.kind {
            SensorKind::Range { .. }
            | SensorKind::TimeOfFlight { .. }
            | SensorKind::Proximity { .. } => Medium::InfraRed,
            SensorKind::Ultrasonic { .. } => Medium::Sound,
            SensorKind::Reflectance { .. }
            | SensorKind::Contact { .. }
            | SensorKind::Tilt { .. }
            | SensorKind::Current { .. }
            | SensorKind::WheelSpeed { .. }
            | SensorKind::TurnRate { .. } => return None,
        };
        let (farthest, field_of_view) = s.kind.sight()?;
        let name = s.item.name.as_str();
        let [x, y, z] = &s.item.at;
        let facing = draws.of(&s.facing, name);
        Some(Emitter {
            medium,
            at: DVec3::new(draws.of(x, name), draws.of(y, name), draws.of(z, name)),
            axis: DVec3::new(maths::cos(facing), maths::sin(facing), 0.0),
            cos: maths::cos(draws.of(field_of_view, name).abs().min(maths::PI) / 2.0),
            reach: draws.of(farthest, name).max(0.0),
            period_s: 1.0 / draws.of(&s.rate, name).max(1e-3),
        })
    };
    robot.sensors.iter().filter_map(emitter).collect()
}

/// A point's place seen from above.
pub(crate) fn plan(p: DVec3) -> DVec2 {
    DVec2::new(p.x, p.y)
}

#[cfg(test)]
mod tests {
    use super::*;

    pub(crate) fn block(x: [f64; 2], y: [f64; 2]) -> Piece {
        let corners = [[x[0], y[0]], [x[1], y[0]], [x[1], y[1]], [x[0], y[1]]];
        Piece {
            corners: corners.map(DVec2::from_array).to_vec(),
            low: 0.0,
            high: 0.05,
            reflectance: 0.9,
            shine: 0.0,
        }
    }

    #[test]
    fn the_circle_holds_every_corner_and_is_tight_for_a_box() {
        let s = Silhouette::new(vec![block([-0.04, 0.06], [-0.05, 0.05])]);
        assert!((s.middle - DVec2::new(0.01, 0.0)).length() < 1e-15);
        assert!((s.radius - (0.005_f64).sqrt()).abs() < 1e-15);
    }

    #[test]
    fn a_ray_leaves_at_the_farthest_piece_it_meets() {
        let s = Silhouette::new(vec![
            block([-0.05, 0.03], [-0.05, 0.05]),
            block([0.03, 0.05], [-0.02, 0.02]),
        ]);
        let from = DVec2::new(0.01, 0.0);
        assert!((s.exit(from, DVec2::X).expect("meets both") - 0.04).abs() < 1e-15);
        let beside = DVec2::new(0.01, 0.03);
        assert!((s.exit(beside, DVec2::X).expect("meets one") - 0.02).abs() < 1e-15);
        assert_eq!(s.exit(DVec2::new(0.06, 0.0), DVec2::X), None);
    }
}
