//! Parts in each other's place, and sensors that look at their own robot.

use glam::DVec2;
use quantity::maths;
use robot::{Finding, Item, Robot, Sensor, Severity};

use crate::guard::{Ray, Solid, at, half_size, rounds, sheets};

/// Overlaps this deep are said, m: less is within what boxes are off by.
const LEAST_DEPTH_M: f64 = 0.003;
/// Share of the smaller part's box from which two of them cannot be built so.
const LEAST_SHARE: f64 = 0.10;
/// A sensor further inside the body along its beam than this share of the robot's length, and than the
/// least way in m, is said to be inside: a hole in a wall and a lens set back behind it are less.
const DEEP_SHARE: f64 = 0.25;
const DEEP_M: f64 = 0.008;
/// Nearer than this a thing ahead is the sensor's own holder, m.
const HOLDER_M: f64 = 0.002;
/// Diameter of the beam's middle that must be free, m.
const BEAM_M: f64 = 0.001;

/// Two parts in each other's place.
#[derive(Debug, Clone, PartialEq)]
pub struct Overlap {
    /// Their names.
    pub names: [String; 2],
    /// How deep they are in each other along the axis where it is least, m.
    pub depth_m: f64,
    /// Share of the smaller one's box that the other takes too.
    pub share: f64,
}

/// A sensor whose beam does not leave its own robot freely.
#[derive(Debug, Clone, PartialEq)]
pub struct Blocked {
    /// The sensor.
    pub sensor: String,
    /// What it looks at: a part or a sheet of its own robot; none: the wall of the body.
    pub by: Option<String>,
    /// Way in m through the body along its beam, or to the far side of what is in the way.
    pub way_m: f64,
    /// Width of the window that its beam needs in that wall, m.
    pub window_m: f64,
}

/// What is in each other's way.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Overlaps {
    /// Parts in each other's place, the deepest first.
    pub parts: Vec<Overlap>,
    /// Sensors that look at their own robot.
    pub blocked: Vec<Blocked>,
}

/// Parts whose boxes are filled: what cannot be in one place with another. What only weighs (plates,
/// shells, wires) has a box for its inertia, and holds others.
fn bodies(robot: &Robot) -> Vec<(&Item, Option<usize>)> {
    let motors = (robot.motors.iter().enumerate()).map(|(k, m)| (&m.item, Some(k)));
    let wheels = robot.wheels.iter().map(|w| (&w.item, w.motor));
    let others = (robot.gadgets.iter().filter(|g| g.drive.is_some())).map(|g| &g.item);
    let inside = [&robot.battery.item, &robot.driver.item, &robot.board.item];
    motors
        .chain(wheels)
        .chain((others.chain(inside)).map(|i| (i, None)))
        .filter(|(i, _)| half_size(i).is_some())
        .collect()
}

/// How deep and which share of the smaller box two items overlap; none if they do not.
fn overlap(one: &Item, two: &Item) -> Option<(f64, f64)> {
    let (a, b) = (half_size(one)?, half_size(two)?);
    let (p, q) = (at(one), at(two));
    let mut depth = f64::INFINITY;
    let mut shared = 1.0;
    for k in 0..3 {
        let common = (p[k] + a[k]).min(q[k] + b[k]) - (p[k] - a[k]).max(q[k] - b[k]);
        if common <= 0.0 {
            return None;
        }
        depth = depth.min(common);
        shared *= common;
    }
    let volume = |h: [f64; 3]| 8.0 * h[0] * h[1] * h[2];
    Some((depth, shared / volume(a).min(volume(b)).max(1e-15)))
}

/// Whether a point is inside a convex counter-clockwise outline.
fn is_inside(outline: &[[f64; 2]], p: DVec2) -> bool {
    (0..outline.len()).all(|k| {
        let a = DVec2::from_array(outline[k]);
        let b = DVec2::from_array(outline[(k + 1) % outline.len()]);
        (b - a).perp_dot(p - a) >= 0.0
    })
}

/// Way in m along a ray that begins inside hull pieces until it has left them all; 0 outside.
fn through_body_m(robot: &Robot, z: f64, ray: &Ray) -> f64 {
    let mut way = 0.0;
    // Each piece is left at most once: they are convex.
    for _ in 0..=robot.hull.len() {
        let here = ray.from + ray.along * (way + 1e-6);
        let out = (robot.hull.iter())
            .filter(|p| (p.from.si()..=p.to.si()).contains(&z) && is_inside(&p.outline, here))
            .filter_map(|p| {
                let corners = p.outline.iter().map(|c| DVec2::from_array(*c)).collect();
                Solid::new(corners, [p.from.si(), p.to.si()], None).meets(ray, z, 1e-6)
            })
            .fold(way, f64::max);
        if out <= way + 1e-9 {
            break;
        }
        way = out;
    }
    way
}

impl Blocked {
    fn of(robot: &Robot, sensor: &Sensor) -> Option<Self> {
        let (_, opening) = sensor.kind.sight()?;
        let [x, y, z] = at(&sensor.item);
        let facing = sensor.facing.si();
        let ray = Ray {
            from: DVec2::new(x, y),
            along: DVec2::new(maths::cos(facing), maths::sin(facing)),
        };
        let window = |way: f64| 2.0 * way * maths::tan((0.5 * opening.si()).min(1.2));
        let found = |by: Option<String>, way_m: f64| Self {
            sensor: sensor.item.name.clone(),
            by,
            way_m,
            window_m: window(way_m),
        };
        let ahead = |solid: &Solid| {
            let way = solid.meets(&ray, z, 0.5 * BEAM_M)?;
            (way > HOLDER_M).then_some(way)
        };
        let items = bodies(robot).into_iter().map(|b| b.0);
        let boxes = items.filter_map(|item| {
            let round = robot.wheels.iter().any(|w| core::ptr::eq(&w.item, item));
            let half = half_size(item).filter(|_| !round)?;
            Some((item.name.clone(), Solid::upright(at(item), half, None)))
        });
        let tyres = (rounds(robot).into_iter())
            .zip(
                robot
                    .wheels
                    .iter()
                    .map(|w| &w.item)
                    .chain(robot.tracks.iter().map(|t| &t.item)),
            )
            .map(|(r, item)| (item.name.clone(), r.solid(z)));
        let plates = (sheets(robot).into_iter()).map(|(name, sheet)| (name, sheet.at(z)));
        let nearest = boxes
            .chain(tyres)
            .chain(plates)
            .filter_map(|(name, solid)| Some((name, ahead(&solid)?)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((name, way)) = nearest {
            return Some(found(Some(name), way));
        }
        let way = through_body_m(robot, z, &ray);
        let deep = (DEEP_SHARE * robot.footprint().length()).max(DEEP_M);
        (way > deep).then(|| found(None, way))
    }
}

impl Overlaps {
    /// What is in each other's way on a robot as its file places it.
    ///
    /// Parts are boxes along the axes, wheels too; a motor and the wheel on its shaft may be in each
    /// other. Of a beam its middle is followed.
    #[must_use]
    pub fn of(robot: &Robot) -> Self {
        let all = bodies(robot);
        let mut parts = Vec::new();
        for (k, (one, motor)) in all.iter().enumerate() {
            for (two, other) in &all[k + 1..] {
                if motor.is_some() && motor == other {
                    continue;
                }
                let Some((depth_m, share)) = overlap(one, two) else {
                    continue;
                };
                if depth_m >= LEAST_DEPTH_M && share >= LEAST_SHARE {
                    parts.push(Overlap {
                        names: [one.name.clone(), two.name.clone()],
                        depth_m,
                        share,
                    });
                }
            }
        }
        parts.sort_by(|a, b| b.depth_m.total_cmp(&a.depth_m));
        let blocked = robot.sensors.iter();
        Self {
            parts,
            blocked: blocked.filter_map(|s| Blocked::of(robot, s)).collect(),
        }
    }

    /// What is to be said about it.
    pub(crate) fn findings(&self, robot: &Robot) -> Vec<Finding> {
        let place = |name: &str| {
            let item = robot.items().find(|i| i.name == name);
            item.map(|i| i.place.clone())
        };
        let mut found = Vec::new();
        if let Some(o) = self.parts.first() {
            let more = match self.parts.len() - 1 {
                0 => String::new(),
                1 => " One more pair does.".to_owned(),
                n => format!(" {n} more pairs do."),
            };
            found.push(Finding {
                name: "parts-overlap",
                severity: Severity::Warning,
                what: format!(
                    "\"{}\" and \"{}\" are in the same place.{more}",
                    o.names[0], o.names[1]
                ),
                why: format!(
                    "Their boxes reach {:.0} mm into each other and share {:.0} % of the smaller one.",
                    1e3 * o.depth_m,
                    100.0 * o.share
                ),
                mend: format!(
                    "Check place (at) and size of both: moved {:.0} mm apart they would fit.",
                    1e3 * o.depth_m
                ),
                place: place(&o.names[1]),
            });
        }
        for b in &self.blocked {
            found.push(b.finding(place(&b.sensor)));
        }
        found
    }
}

impl Blocked {
    fn finding(&self, place: Option<robot::Place>) -> Finding {
        let way = 1e3 * self.way_m;
        if let Some(by) = &self.by {
            return Finding {
                name: "sensor-blocked",
                severity: Severity::Warning,
                what: format!("\"{}\" looks at \"{by}\" of its own robot.", self.sensor),
                why: format!(
                    "The middle of its beam meets that within {way:.0} mm, so it would always read something near. \
                     Bouts reckon as if nothing of its own were in the way."
                ),
                mend: "Move the sensor out past it, or higher, or turn it; check its place (at) and facing.".into(),
                place,
            };
        }
        Finding {
            name: "sensor-inside",
            severity: Severity::Warning,
            what: format!(
                "\"{}\" sits {way:.0} mm inside the body and looks at its wall.",
                self.sensor
            ),
            why: format!(
                "Its beam goes {way:.0} mm through the hull before it is outside; bouts reckon as if there were a \
                 window. The window must be 2 × distance × tan(half the opening) = {:.0} mm wide at least.",
                1e3 * self.window_m
            ),
            mend: "Bring the sensor to the wall, or cut that window; if there is no wall, part the [[hull]] so that \
                   it shows."
                .into(),
            place,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_is_inside_a_convex_outline_or_not() {
        let square = [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]];
        assert!(is_inside(&square, DVec2::new(0.9, 0.0)));
        assert!(!is_inside(&square, DVec2::new(1.1, 0.0)));
    }
}
