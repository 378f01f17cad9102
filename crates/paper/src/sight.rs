//! What the distance sensors cover, seen from above.

use quantity::maths::{TAU, wrap_angle};
use robot::{Finding, Robot, Sensor, SensorKind, Severity};
use tactic::Tactic;

/// A sensor that faces less than this far from the nose looks ahead, rad: 20 degrees.
const AHEAD_RAD: f64 = 0.35;

/// A beam: where it looks and how wide.
#[derive(Debug, Clone, PartialEq)]
pub struct Beam {
    /// Name of the sensor.
    pub sensor: String,
    /// Direction in rad, to the left.
    pub facing_rad: f64,
    /// Full opening angle in rad.
    pub opening_rad: f64,
    /// Farthest distance at which a light body is seen, m.
    pub farthest_m: f64,
    /// Whether the program reads it.
    pub read: bool,
}

/// What is seen.
#[derive(Debug, Clone, PartialEq)]
pub struct Sight {
    /// The beams.
    pub beams: Vec<Beam>,
    /// Share of the horizon in which an opponent of its own size at mid-range is seen by a sensor
    /// that is read.
    pub share: f64,
    /// The widest blind sector: where it begins and how wide it is, rad.
    pub widest_gap_rad: Option<(f64, f64)>,
    /// Turning in place through the widest blind sector at the greatest turning rate, s.
    pub turn_through_gap_s: Option<f64>,
}

impl Sight {
    /// What `robot` sees of an opponent as wide as itself. `read` are the sensors the program
    /// reads, `spin_rad_s` is its greatest turning rate.
    #[must_use]
    pub fn of(robot: &Robot, read: &[String], spin_rad_s: f64) -> Self {
        let beams: Vec<Beam> = robot
            .sensors
            .iter()
            .filter_map(|s| {
                let (farthest, field_of_view) = s.kind.sight()?;
                Some(Beam {
                    sensor: s.item.name.clone(),
                    facing_rad: s.facing.si(),
                    opening_rad: field_of_view.si(),
                    farthest_m: farthest.si(),
                    read: read.contains(&s.item.name),
                })
            })
            .collect();
        let half_width = 0.5 * robot.footprint().width();
        let seen: Vec<(f64, f64)> = beams
            .iter()
            .filter(|b| b.read)
            .map(|b| {
                let spread = laws::view::half_angle_rad(half_width, 0.5 * b.farthest_m);
                (b.facing_rad, (b.opening_rad + 2.0 * spread).min(TAU))
            })
            .collect();
        let (share, gaps) = laws::view::coverage(&seen);
        let widest_gap_rad = gaps.last().copied();
        Self {
            beams,
            share,
            widest_gap_rad,
            turn_through_gap_s: widest_gap_rad
                .filter(|_| spin_rad_s > 0.0)
                .map(|g| g.1 / spin_rad_s),
        }
    }

    pub(crate) fn findings(&self, robot: &Robot, tactic: &Tactic) -> Vec<Finding> {
        let ahead = |b: &Beam| b.read && wrap_angle(b.facing_rad).abs() <= 0.5 * b.opening_rad;
        let mut found = folds_back(robot, tactic, &self.beams);
        if self.beams.iter().any(ahead) {
            return found;
        }
        let sees = |s: &&Sensor| s.kind.sight().is_some();
        let first = robot.sensors.iter().find(sees);
        found.push(Finding {
            name: "blind-ahead",
            severity: Severity::Fault,
            what: "No distance sensor that the program reads looks straight ahead.".into(),
            why: "It cannot know when it faces the opponent, so it charges by luck.".into(),
            mend: "Face one distance sensor forward (facing = \"0 deg\") and read it.".into(),
            place: first.map(|s| s.item.place.clone()),
        });
        found
    }
}

/// Infra-red distance sensors that are asked how far something is and look ahead, but stand so near
/// the front that an opponent can come nearer than they read truly.
fn folds_back(robot: &Robot, tactic: &Tactic, beams: &[Beam]) -> Vec<Finding> {
    let front_m = robot.footprint().x[1];
    let sensors = robot.sensors.iter();
    let read = |s: &&Sensor| beams.iter().any(|b| b.read && b.sensor == s.item.name);
    sensors
        .filter(read)
        .filter_map(|s| {
            let SensorKind::Range { nearest, .. } = &s.kind else {
                return None;
            };
            let ahead = wrap_angle(s.facing.si()).abs() < AHEAD_RAD;
            let room_m = front_m - s.item.at[0].si();
            if !ahead || room_m >= nearest.si() || !tactic.measures_with(&s.item.name) {
                return None;
            }
            let name = &s.item.name;
            let mm = |m: f64| format!("{:.0} mm", 1e3 * m);
            Some(Finding {
                name: "folds-back",
                severity: Severity::Warning,
                what: format!(
                    "An opponent at the front is {} from \"{name}\", nearer than the {} from which \
                     it reads truly.",
                    mm(room_m.max(0.0)),
                    mm(nearest.si())
                ),
                why: "Nearer than that, an infra-red triangulation sensor reads as farther again, \
                      up to three times its nearest distance at the lens: the program takes an \
                      opponent that touches for one farther off."
                    .into(),
                mend: format!(
                    "Set it {} further back, or ask only whether it sees, not how far.",
                    mm(nearest.si() - room_m)
                ),
                place: Some(s.item.place.clone()),
            })
        })
        .collect()
}
