//! The edge met otherwise than straight on: aslant, with an opponent on the blade or behind, and on other
//! borders.

use glam::DVec2;
use laws::braking::{safe_speed_m_s, two_samples_s};
use quantity::maths;
use robot::{Finding, Robot, Sensor, SensorKind, Severity, Side};

use crate::{Drive, Edge, Footing, Way};

/// Angles at which the edge is met, degrees from straight on.
const ANGLES_DEG: [f64; 9] = [-60.0, -45.0, -30.0, -15.0, 0.0, 15.0, 30.0, 45.0, 60.0];
/// The steepest of them that is worth a word: at a greater angle it drives along the border, and hardly off.
const WORTH_DEG: f64 = 45.0;
/// Widths in m of borders that rulebooks name: 10 mm (IBiB Sumobot arena rules), 12.5, 25 and 50 mm (Robothon
/// table), 19 mm (Aberystwyth Robo Sumo 2019).
const BORDERS_M: [f64; 5] = [0.010, 0.0125, 0.019, 0.025, 0.050];

/// The edge met aslant.
#[derive(Debug, Clone, PartialEq)]
pub struct Aslant {
    /// How far the rim is turned against straight ahead, rad: positive, it comes up on the left.
    pub angle_rad: f64,
    /// The sensor that comes over the border first; none if a wheel is there before all of them.
    pub sensor: Option<String>,
    /// What there is to stop in along its way, m; negative where a wheel is over the rim first.
    pub room_m: f64,
    /// Highest speed that stops in it, m/s.
    pub safe_m_s: f64,
}

/// A border of another width.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Border {
    /// Its width in m.
    pub width_m: f64,
    /// Highest speed that stops on it, straight on, m/s.
    pub safe_m_s: f64,
    /// Highest speed at which the program surely looks twice while the sensor is over it, m/s.
    pub two_looks_m_s: f64,
}

/// The edge met otherwise than straight on, forward.
#[derive(Debug, Clone, PartialEq)]
pub struct Approach {
    /// By angle.
    pub aslant: Vec<Aslant>,
    /// Highest speed in m/s that stops with an opponent of the robot's own mass on the blade, which brakes
    /// nothing.
    pub carrying_m_s: f64,
    /// The same while such an opponent pushes from behind as hard as the robot itself pushes; 0: nothing
    /// stops it.
    pub pushed_m_s: f64,
    /// Speed in m/s of its outermost edge sensor over the ring while it turns on the spot at half its free rate.
    pub swing_m_s: f64,
    /// Whether the program may miss the border while it turns so: it is past between two looks.
    pub swing_misses: bool,
    /// On borders of other widths.
    pub borders: Vec<Border>,
}

/// Points that must stay on the ring: the centre of mass, and the middle of what each side drives on.
fn must_stay(robot: &Robot, footing: &Footing) -> Vec<DVec2> {
    let axle = footing.driven_axle_x_m();
    let mut points = vec![footing.centre_m.truncate()];
    for side in [Side::Left, Side::Right] {
        let on = |motor: Option<usize>| motor.is_some_and(|m| robot.motors[m].side == side);
        let wheels = robot.wheels.iter().filter(|w| on(w.motor)).map(|w| &w.item);
        let tracks = robot.tracks.iter().filter(|t| on(t.motor)).map(|t| &t.item);
        let ys: Vec<f64> = wheels.chain(tracks).map(|i| i.at[1].si()).collect();
        if let (Some(x), false) = (axle, ys.is_empty()) {
            points.push(DVec2::new(x, ys.iter().sum::<f64>() / ys.len() as f64));
        }
    }
    points
}

impl Approach {
    /// How a robot that stops straight on in this `way` does otherwise; `read` are the sensors its program
    /// reads. None without a way.
    ///
    /// It brakes as straight on, along the way it drives; the rim is taken as straight. The sensor that is
    /// first over the border gives room = (border + its lead over what must stay)/cos, both along the
    /// normal of the rim (geometry).
    #[must_use]
    pub fn of(
        robot: &Robot,
        footing: &Footing,
        drive: &Drive,
        way: &Way,
        read: &[String],
        border_m: f64,
    ) -> Self {
        let down = |s: &&Sensor| {
            matches!(s.kind, SensorKind::Reflectance { .. }) && read.contains(&s.item.name)
        };
        let at = |s: &Sensor| DVec2::new(s.item.at[0].si(), s.item.at[1].si());
        let sensors: Vec<&Sensor> = robot.sensors.iter().filter(down).collect();
        let stay = must_stay(robot, footing);
        let brakes = way.deceleration_m_s2;
        let aslant = ANGLES_DEG.map(|deg| {
            let angle_rad = deg.to_radians();
            let normal = DVec2::new(maths::cos(angle_rad), maths::sin(angle_rad));
            let first =
                (sensors.iter()).max_by(|a, b| at(a).dot(normal).total_cmp(&at(b).dot(normal)));
            let reaches = stay
                .iter()
                .map(|p| p.dot(normal))
                .fold(f64::NEG_INFINITY, f64::max);
            let lead = first.map_or(f64::NEG_INFINITY, |s| at(s).dot(normal)) - reaches;
            let room_m = (border_m + lead) / normal.x;
            Aslant {
                angle_rad,
                sensor: (first.filter(|_| room_m > 0.0)).map(|s| s.item.name.clone()),
                room_m,
                safe_m_s: safe_speed_m_s(room_m, way.delay_s, brakes),
            }
        });
        let with = |brakes: f64| {
            if brakes > 0.0 {
                safe_speed_m_s(way.distance_m, way.delay_s, brakes)
            } else {
                0.0
            }
        };
        let middle = footing.driven_axle_x_m().unwrap_or_default();
        let arm = (sensors.iter())
            .map(|s| at(s).distance(DVec2::new(middle, 0.0)))
            .fold(0.0, f64::max);
        let swing_m_s = 0.5 * drive.spin_rad_s * arm;
        Self {
            aslant: aslant.to_vec(),
            carrying_m_s: with(0.5 * brakes),
            pushed_m_s: with(brakes - drive.push_n / footing.mass_kg),
            swing_m_s,
            swing_misses: swing_m_s * way.between_looks_s > border_m,
            borders: BORDERS_M
                .map(|width_m| Border {
                    width_m,
                    safe_m_s: safe_speed_m_s(width_m + way.lead_m, way.delay_s, brakes),
                    // Half of the width within every time between two looks.
                    two_looks_m_s: two_samples_s(width_m, 1.0) / way.between_looks_s.max(1e-9),
                })
                .to_vec(),
        }
    }

    /// The angle at which it has to be slowest, of those that are worth a word.
    #[must_use]
    pub fn worst(&self) -> Option<&Aslant> {
        (self.aslant.iter())
            .filter(|a| a.angle_rad.abs() <= (WORTH_DEG + 0.5).to_radians())
            .min_by(|a, b| a.safe_m_s.total_cmp(&b.safe_m_s))
    }

    /// What is to be said about it: that it stops straight on and not aslant.
    pub(crate) fn findings(&self, robot: &Robot, edge: &Edge, way: &Way) -> Option<Finding> {
        let worst = self.worst()?;
        if edge.reached_m_s > way.safe_m_s || edge.reached_m_s <= worst.safe_m_s {
            return None;
        }
        let side = if worst.angle_rad > 0.0 {
            "left"
        } else {
            "right"
        };
        let deg = worst.angle_rad.abs().to_degrees();
        let seen = match &worst.sensor {
            Some(name) => format!(
                "\"{name}\" is the first sensor over it and leaves {:.0} mm to stop in",
                1e3 * worst.room_m
            ),
            None => {
                format!("the {side} wheel is over the rim before any sensor has seen the border")
            }
        };
        let of = |s: &&Sensor| s.item.name == way.sensor;
        Some(Finding {
            name: "edge-aslant",
            severity: Severity::Warning,
            what: format!(
                "Straight on it stops at the edge; with the edge {deg:.0}° aslant on its {side} it stops only \
                 from {:.2} m/s or less, and it reaches {:.2} m/s.",
                worst.safe_m_s, edge.reached_m_s
            ),
            why: format!(
                "Then {seen}; straight on there are {:.0} mm.",
                1e3 * way.distance_m
            ),
            mend: "Put an edge sensor at each front corner, further out than the wheels.".into(),
            place: robot.sensors.iter().find(of).map(|s| s.item.place.clone()),
        })
    }
}
