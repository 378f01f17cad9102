//! What the distance sensors cover, seen from above.

use quantity::maths::{TAU, wrap_angle};
use robot::{Finding, Robot, Sensor, SensorKind, Severity};

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
            .filter_map(|s| match &s.kind {
                SensorKind::Range {
                    farthest,
                    field_of_view,
                    ..
                } => Some(Beam {
                    sensor: s.item.name.clone(),
                    facing_rad: s.facing.si(),
                    opening_rad: field_of_view.si(),
                    farthest_m: farthest.si(),
                    read: read.contains(&s.item.name),
                }),
                SensorKind::Reflectance { .. }
                | SensorKind::Contact { .. }
                | SensorKind::Tilt { .. } => None,
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

    pub(crate) fn findings(&self, robot: &Robot) -> Vec<Finding> {
        let ahead = |b: &Beam| b.read && wrap_angle(b.facing_rad).abs() <= 0.5 * b.opening_rad;
        if self.beams.iter().any(ahead) {
            return Vec::new();
        }
        let is_range = |s: &&Sensor| matches!(s.kind, SensorKind::Range { .. });
        let first = robot.sensors.iter().find(is_range);
        vec![Finding {
            name: "blind-ahead",
            severity: Severity::Fault,
            what: "No distance sensor that the program reads looks straight ahead.".into(),
            why: "It cannot know when it faces the opponent, so it charges by luck.".into(),
            mend: "Face one distance sensor forward (facing = \"0 deg\") and read it.".into(),
            place: first.map(|s| s.item.place.clone()),
        }]
    }
}
