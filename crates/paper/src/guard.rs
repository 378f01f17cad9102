//! What can be reached from outside: probes of several sizes, all round and at every height.

use glam::DVec2;
use quantity::{Figure, Length, maths};
use robot::{Blade, Finding, Item, Moved, Place, Plate, Robot, Severity, Shape};

/// Directions from which it is probed: every 3 degrees.
pub const BEARINGS: usize = 120;
/// Heights at which it is probed.
pub const HEIGHTS: usize = 14;
/// Diameters of the probes in m, small to large: wire and blade edge, screwdriver, finger, bumper.
pub const PROBES_M: [f64; 4] = [0.003, 0.006, 0.010, 0.020];
/// A part whose box is at least this dense counts as solid, kg/m³: plates do, hollow shells do not.
const SOLID_KG_M3: f64 = 1000.0;
/// From this probe on, m, what it reaches is said: a finger, a corner of a blade.
const SAID_FROM_M: f64 = 0.010;

/// What should not be reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A tyre or a track.
    Tyre,
    /// A motor with its gears, of a wheel or a gadget.
    Motor,
    /// The battery.
    Battery,
    /// Board or driver, with their wires.
    Electronics,
    /// A sensor.
    Sensor,
}

/// One thing that should not be reached.
#[derive(Debug, Clone, PartialEq)]
pub struct Thing {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: Kind,
    /// Whether the file gives its size; else it counts as a point.
    pub sized: bool,
    /// Diameter in m of the largest probe that reaches it; none if none does.
    pub largest_m: Option<f64>,
    /// Share of all bearings from which the smallest probe reaches it at some height.
    pub share: f64,
    /// The bearing in rad, to the left, in the middle of the widest run of those; none without any.
    pub bearing_rad: Option<f64>,
    /// Lowest and highest height in m at which the middle of a probe reaches it.
    pub heights_m: Option<[f64; 2]>,
    place: Place,
}

/// What can be reached.
#[derive(Debug, Clone, PartialEq)]
pub struct Guard {
    /// Heights of the probes' middles over the ring, m; a probe larger than twice that lies on the ring.
    pub heights_m: Vec<f64>,
    /// What should not be reached.
    pub things: Vec<Thing>,
    /// For each probe, height and bearing what is reached first: index into the things.
    cells: Vec<Option<u16>>,
}

/// An upright prism with a convex outline: one corner is a post, two a wall.
pub(crate) struct Solid {
    corners: Vec<DVec2>,
    heights: [f64; 2],
    /// The thing it is; none: it guards.
    thing: Option<u16>,
    middle: DVec2,
    radius: f64,
}

impl Solid {
    pub(crate) fn new(corners: Vec<DVec2>, heights: [f64; 2], thing: Option<u16>) -> Self {
        let middle = corners.iter().sum::<DVec2>() / corners.len().max(1) as f64;
        let far = corners.iter().map(|c| c.distance(middle));
        Self {
            radius: far.fold(0.0, f64::max),
            corners,
            heights,
            thing,
            middle,
        }
    }

    pub(crate) fn upright(at: [f64; 3], half: [f64; 3], thing: Option<u16>) -> Self {
        let corner = |sx: f64, sy: f64| DVec2::new(at[0] + sx * half[0], at[1] + sy * half[1]);
        let corners = vec![
            corner(-1.0, -1.0),
            corner(1.0, -1.0),
            corner(1.0, 1.0),
            corner(-1.0, 1.0),
        ];
        Self::new(corners, [at[2] - half[2], at[2] + half[2]], thing)
    }

    /// How far out along the ray from `from` a ball of `radius` at height `z`, coming in, touches it.
    pub(crate) fn meets(&self, ray: &Ray, z: f64, radius: f64) -> Option<f64> {
        let above = (self.heights[0] - z).max(z - self.heights[1]).max(0.0);
        if above >= radius {
            return None;
        }
        let around = (radius * radius - above * above).sqrt();
        let to = self.middle - ray.from;
        if ray.along.perp_dot(to).abs() > self.radius + around {
            return None;
        }
        let mut out: Option<f64> = None;
        let mut take = |s: f64| {
            if s >= 0.0 {
                out = Some(out.map_or(s, |o: f64| o.max(s)));
            }
        };
        for (k, c) in self.corners.iter().enumerate() {
            let to = *c - ray.from;
            let (along, aside) = (to.dot(ray.along), ray.along.perp_dot(to));
            let left = around * around - aside * aside;
            if left >= 0.0 {
                take(along + left.sqrt());
            }
            let side = self.corners[(k + 1) % self.corners.len()] - *c;
            let length = side.length();
            if length < 1e-12 {
                continue;
            }
            // Both sides of the line, so that a wall of two corners has two faces.
            for sign in [1.0, -1.0] {
                let shift = DVec2::new(side.y, -side.x) * (sign * around / length);
                let across = ray.along.perp_dot(side);
                if across.abs() < 1e-12 {
                    continue;
                }
                let to = *c + shift - ray.from;
                let share = to.perp_dot(ray.along) / across;
                if (0.0..=1.0).contains(&share) {
                    take(to.perp_dot(side) / across);
                }
            }
        }
        out
    }
}

/// A way in, told from the middle outward.
pub(crate) struct Ray {
    pub(crate) from: DVec2,
    pub(crate) along: DVec2,
}

/// A sloping sheet: at each height it is a wall.
pub(crate) struct Sheet {
    tip: [f64; 3],
    facing_rad: f64,
    half_width: f64,
    run: f64,
    rise: f64,
}

impl Sheet {
    fn of_blade(b: &Blade) -> Self {
        let tip = [b.tip_x.si(), b.tip_y.si(), b.tip_height.si()];
        Self::new(tip, 0.0, b.width.si(), b.length.si(), b.angle.si())
    }

    fn of_plate(p: &Plate) -> Self {
        let tip = p.tip.each_ref().map(Figure::si);
        Self::new(
            tip,
            p.facing.si(),
            p.width.si(),
            p.length.si(),
            p.angle.si(),
        )
    }

    fn new(tip: [f64; 3], facing_rad: f64, width: f64, length: f64, angle: f64) -> Self {
        Self {
            tip,
            facing_rad,
            half_width: 0.5 * width,
            run: length * maths::cos(angle),
            rise: length * maths::sin(angle),
        }
    }

    /// The wall that it is for a ball whose middle is at height `z`.
    pub(crate) fn at(&self, z: f64) -> Solid {
        let up = (z - self.tip[2]).clamp(0.0, self.rise);
        let back = self.run * up / self.rise.max(1e-9);
        let (s, c) = (maths::sin(self.facing_rad), maths::cos(self.facing_rad));
        let middle = DVec2::new(self.tip[0] - back * c, self.tip[1] - back * s);
        let aside = DVec2::new(-s, c) * self.half_width;
        let height = self.tip[2] + up;
        Solid::new(vec![middle + aside, middle - aside], [height; 2], None)
    }
}

/// The blade and the sheets of gadgets, with their names.
pub(crate) fn sheets(robot: &Robot) -> Vec<(String, Sheet)> {
    let blade = (robot.blade.iter()).map(|b| (b.item.name.clone(), Sheet::of_blade(b)));
    let plates = robot.gadgets.iter().filter_map(|g| match &g.moved {
        Moved::Plate(p) => Some((g.item.name.clone(), Sheet::of_plate(p))),
        Moved::Blade | Moved::Foot { .. } => None,
    });
    blade.chain(plates).collect()
}

/// Half the size of an item along the axes, m; a point has none.
pub(crate) fn half_size(item: &Item) -> Option<[f64; 3]> {
    match &item.shape {
        Shape::Point => None,
        Shape::Box(sides) => Some(sides.each_ref().map(|s| 0.5 * s.si())),
        Shape::CylinderAcross { radius, width } => {
            Some([radius.si(), 0.5 * width.si(), radius.si()])
        }
    }
}

pub(crate) fn at(item: &Item) -> [f64; 3] {
    item.at.each_ref().map(Figure::<Length>::si)
}

/// Whether a part's box is filled well enough to keep a probe out.
fn is_solid(item: &Item) -> bool {
    half_size(item).is_some_and(|h| item.mass.si() > SOLID_KG_M3 * 8.0 * h[0] * h[1] * h[2])
}

/// Everything that should not be reached.
fn things(robot: &Robot) -> Vec<(Kind, &Item)> {
    let motors = robot.motors.iter().map(|m| (Kind::Motor, &m.item));
    let movers =
        (robot.gadgets.iter().filter(|g| g.drive.is_some())).map(|g| (Kind::Motor, &g.item));
    let inside = [
        (Kind::Battery, &robot.battery.item),
        (Kind::Electronics, &robot.driver.item),
        (Kind::Electronics, &robot.board.item),
    ];
    let sensors = robot.sensors.iter().map(|s| (Kind::Sensor, &s.item));
    let tyres = robot.wheels.iter().map(|w| &w.item);
    let belts = robot.tracks.iter().map(|t| &t.item);
    (tyres.chain(belts).map(|i| (Kind::Tyre, i)))
        .chain(motors)
        .chain(movers)
        .chain(inside)
        .chain(sensors)
        .collect()
}

/// A round tyre or a track as seen by a ball at height `z`: its chord there.
pub(crate) struct Round {
    at: [f64; 3],
    radius: f64,
    half_width: f64,
    /// Half the length of the belt on the ring; 0 of a wheel.
    half_run: f64,
    thing: u16,
}

impl Round {
    pub(crate) fn solid(&self, z: f64) -> Solid {
        let up = (z - self.at[2]).clamp(-self.radius, self.radius);
        let chord = (self.radius * self.radius - up * up).max(0.0).sqrt() + self.half_run;
        let half = [chord, self.half_width, self.radius];
        Solid::upright(self.at, half, Some(self.thing))
    }
}

pub(crate) fn rounds(robot: &Robot) -> Vec<Round> {
    let wheels = robot
        .wheels
        .iter()
        .map(|w| (&w.item, &w.radius, &w.width, 0.0));
    let tracks = (robot.tracks.iter()).map(|t| (&t.item, &t.radius, &t.width, 0.5 * t.length.si()));
    (wheels.chain(tracks).zip(0..))
        .map(|((item, radius, width, half_run), thing)| Round {
            at: at(item),
            radius: radius.si(),
            half_width: 0.5 * width.si(),
            half_run,
            thing,
        })
        .collect()
}

impl Guard {
    /// What can be reached on a robot as it stands at the start.
    ///
    /// A ball comes in level from outside toward the middle of its footprint; what it touches first
    /// counts. Hull pieces, sheets and solid parts stop it; nothing gives way. Assumed: hulls are
    /// closed, without holes for sensors, and parts without a size are points.
    #[must_use]
    pub fn of(robot: &Robot) -> Self {
        let f = robot.footprint();
        let from = DVec2::new(0.5 * (f.x[0] + f.x[1]), 0.5 * (f.y[0] + f.y[1]));
        let named = things(robot);
        let rounds = rounds(robot);
        let sheets = sheets(robot);
        let mut fixed: Vec<Solid> = (robot.hull.iter())
            .map(|p| {
                let corners = p.outline.iter().map(|c| DVec2::from_array(*c)).collect();
                Solid::new(corners, [p.from.si(), p.to.si()], None)
            })
            .collect();
        for part in robot.parts.iter().filter(|p| is_solid(p)) {
            let half = half_size(part).unwrap_or([0.0; 3]);
            fixed.push(Solid::upright(at(part), half, None));
        }
        for (k, (_, item)) in (0..).zip(&named).skip(rounds.len()) {
            let [x, y, z] = at(item);
            fixed.push(half_size(item).map_or_else(
                || Solid::new(vec![DVec2::new(x, y)], [z, z], Some(k)),
                |half| Solid::upright([x, y, z], half, Some(k)),
            ));
        }
        let step = f.top / HEIGHTS as f64;
        let heights_m: Vec<f64> = (0..HEIGHTS).map(|k| step * (k as f64 + 0.5)).collect();
        let rays: Vec<Ray> = (0..BEARINGS)
            .map(|k| {
                let a = bearing(k);
                Ray {
                    from,
                    along: DVec2::new(maths::cos(a), maths::sin(a)),
                }
            })
            .collect();
        let mut cells = Vec::with_capacity(PROBES_M.len() * HEIGHTS * BEARINGS);
        for probe in PROBES_M {
            let radius = 0.5 * probe;
            for height in &heights_m {
                let z = height.max(radius);
                let here: Vec<Solid> = (rounds.iter().map(|r| r.solid(z)))
                    .chain(sheets.iter().map(|s| s.1.at(z)))
                    .collect();
                let all = || fixed.iter().chain(&here);
                cells.extend(rays.iter().map(|ray| {
                    all()
                        .filter_map(|s| Some((s.meets(ray, z, radius)?, s.thing)))
                        .max_by(|a, b| a.0.total_cmp(&b.0))
                        .and_then(|hit| hit.1)
                }));
            }
        }
        let mut guard = Self {
            heights_m,
            things: Vec::new(),
            cells,
        };
        guard.things = (0..)
            .zip(named)
            .map(|(k, (kind, item))| guard.thing(k, kind, item))
            .collect();
        guard
    }

    /// What the probe number `probe` reaches first at this height and bearing: index into the things;
    /// none where something guards or nothing is there.
    #[must_use]
    pub fn reached(&self, probe: usize, height: usize, bearing: usize) -> Option<usize> {
        let cell = (probe * HEIGHTS + height) * BEARINGS + bearing;
        self.cells.get(cell).copied().flatten().map(usize::from)
    }

    /// Share of the bearings at which this probe reaches nothing at this height.
    #[must_use]
    pub fn guarded(&self, probe: usize, height: usize) -> f64 {
        let open = (0..BEARINGS).filter(|b| self.reached(probe, height, *b).is_some());
        1.0 - open.count() as f64 / BEARINGS as f64
    }

    fn thing(&self, k: usize, kind: Kind, item: &Item) -> Thing {
        let reaches =
            |probe: usize, height: usize, b: usize| self.reached(probe, height, b) == Some(k);
        let at_height = |probe: usize, h: usize| (0..BEARINGS).any(|b| reaches(probe, h, b));
        let largest = (0..PROBES_M.len())
            .rev()
            .find(|p| (0..HEIGHTS).any(|h| at_height(*p, h)));
        let probe = largest.unwrap_or(0);
        let open: Vec<bool> = (0..BEARINGS)
            .map(|b| (0..HEIGHTS).any(|h| reaches(probe, h, b)))
            .collect();
        let heights: Vec<f64> = (0..HEIGHTS)
            .filter(|h| at_height(probe, *h))
            .map(|h| self.heights_m[h].max(0.5 * PROBES_M[probe]))
            .collect();
        let count = open.iter().filter(|o| **o).count();
        Thing {
            name: item.name.clone(),
            kind,
            sized: half_size(item).is_some() || kind == Kind::Tyre,
            largest_m: largest.map(|p| PROBES_M[p]),
            share: count as f64 / BEARINGS as f64,
            bearing_rad: middle_of_widest(&open),
            heights_m: heights.first().zip(heights.last()).map(|(a, b)| [*a, *b]),
            place: item.place.clone(),
        }
    }

    /// What is to be said: battery or electronics that a finger or the corner of a blade reaches.
    pub(crate) fn findings(&self) -> Option<Finding> {
        let open: Vec<&Thing> = (self.things.iter())
            .filter(|t| matches!(t.kind, Kind::Battery | Kind::Electronics))
            .filter(|t| t.largest_m.is_some_and(|m| m >= SAID_FROM_M))
            .collect();
        let first = open.iter().max_by(|a, b| a.share.total_cmp(&b.share))?;
        let names: Vec<String> = open.iter().map(|t| format!("\"{}\"", t.name)).collect();
        let [low, high] = first.heights_m?;
        Some(Finding {
            name: "guard-gap",
            severity: Severity::Note,
            what: format!(
                "What is {:.0} mm thick reaches {} from outside.",
                1e3 * first.largest_m?,
                names.join(" and ")
            ),
            why: format!(
                "A ball of that size, {:.0} to {:.0} mm over the ring, comes to \"{}\" from {:.0} % of the \
                 bearings, most easily {}, and meets neither hull nor blade before.",
                1e3 * low,
                1e3 * high,
                first.name,
                100.0 * first.share,
                bearing_words(first.bearing_rad?)
            ),
            mend: "Cover it, or set it back behind the body; if a cover is there, describe it as a [[hull]]. What \
                   keeps an opponent's blade out keeps fingers out too."
                .into(),
            place: Some(first.place.clone()),
        })
    }
}

/// Bearing number `k`, rad, from straight ahead to the left.
#[must_use]
pub fn bearing(k: usize) -> f64 {
    maths::TAU * k as f64 / BEARINGS as f64
}

fn bearing_words(rad: f64) -> String {
    let deg = rad.to_degrees();
    match deg.abs() {
        d if d < 2.0 => "from straight ahead".into(),
        d if d > 178.0 => "from straight behind".into(),
        d => format!(
            "from {d:.0}° to the {}",
            if deg > 0.0 { "left" } else { "right" }
        ),
    }
}

/// The bearing in the middle of the widest run of `true` round a circle, rad in (−π, π].
fn middle_of_widest(open: &[bool]) -> Option<f64> {
    let n = open.len();
    if open.iter().all(|o| *o) {
        return Some(0.0);
    }
    let start = open.iter().position(|o| !*o)?;
    let (mut best, mut run) = ((0, 0), 0);
    for k in 1..=n {
        if open[(start + k) % n] {
            run += 1;
            if run > best.0 {
                best = (run, start + k);
            }
        } else {
            run = 0;
        }
    }
    let (length, end) = best;
    (length > 0).then(|| {
        let middle = end as f64 - 0.5 * (length - 1) as f64;
        maths::wrap_angle(maths::TAU * middle / n as f64)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ray(deg: f64) -> Ray {
        let a = deg.to_radians();
        Ray {
            from: DVec2::ZERO,
            along: DVec2::new(maths::cos(a), maths::sin(a)),
        }
    }

    /// A cube of 100 mm: a ball of 10 mm stops with its middle 55 mm out, over a face, and round the
    /// corner at 50√2 + 5 mm.
    #[test]
    fn a_ball_stops_its_radius_before_a_face_and_round_a_corner() {
        let cube = Solid::upright([0.0, 0.0, 0.05], [0.05; 3], None);
        let out = |deg: f64, z: f64| cube.meets(&ray(deg), z, 0.005);
        assert!((out(0.0, 0.05).unwrap_or(0.0) - 0.055).abs() < 1e-9);
        let corner = 0.05 * 2.0_f64.sqrt() + 0.005;
        assert!((out(45.0, 0.05).unwrap_or(0.0) - corner).abs() < 1e-9);
        // 3 mm over its top it touches 4 mm around it; 6 mm over it passes.
        assert!((out(0.0, 0.103).unwrap_or(0.0) - 0.054).abs() < 1e-9);
        assert_eq!(out(0.0, 0.106), None);
    }

    #[test]
    fn a_post_and_a_wall_stop_a_ball_from_both_sides() {
        let post = Solid::new(vec![DVec2::new(0.04, 0.0)], [0.0, 0.1], None);
        assert!((post.meets(&ray(0.0), 0.05, 0.005).unwrap_or(0.0) - 0.045).abs() < 1e-9);
        assert_eq!(post.meets(&ray(20.0), 0.05, 0.005), None);
        let corners = vec![DVec2::new(0.04, 0.02), DVec2::new(0.04, -0.02)];
        let wall = Solid::new(corners, [0.0, 0.1], None);
        assert!((wall.meets(&ray(0.0), 0.05, 0.005).unwrap_or(0.0) - 0.045).abs() < 1e-9);
        assert_eq!(wall.meets(&ray(180.0), 0.05, 0.005), None);
    }

    #[test]
    fn the_middle_of_the_widest_run_may_lie_across_straight_ahead() {
        let mut open = vec![false; 12];
        for k in [11, 0, 1, 5] {
            open[k] = true;
        }
        let middle = middle_of_widest(&open).expect("a run");
        assert!(middle.abs() < 1e-9, "{middle}");
        assert_eq!(middle_of_widest(&[false; 12]), None);
    }
}
