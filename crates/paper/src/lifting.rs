//! Lifters and jacks: force, time, and what lifting does to the one who lifts.

use glam::DVec2;
use quantity::maths::{self, STANDARD_GRAVITY};
use quantity::{Draws, Figure, Length};
use robot::{Finding, Gadget, GadgetDrive, GadgetKind, Moved, Place, Robot, Severity, Travel};

use crate::under::{Raised, foremost_x_m};
use crate::{Band, Footing};

/// Steps in which a lift is followed.
const STEPS: u32 = 32;
/// How far in m a jack must raise its end to come off a blade that is under it: common practice, no
/// source; three blades of a millimetre.
const COME_FREE_M: f64 = 0.003;
/// A lifter counts as looking ahead within this of straight ahead, rad: 30 degrees.
const AHEAD_RAD: f64 = maths::PI / 6.0;

/// A lift at one place of its travel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiftPoint {
    /// How far the edge has risen, m.
    pub rise_m: f64,
    /// Level distance from the hinge to the edge, m.
    pub lever_m: f64,
    /// Force at the edge at standstill beyond what its own weight takes, N.
    pub force_n: f64,
    /// Load on the edge under the front of a robot like this one, N.
    pub load_n: f64,
}

/// A lifter against the front of a robot like its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Lifter {
    /// Its name.
    pub name: String,
    /// Voltage at its motor, stalled, V.
    pub volts: f64,
    /// Torque at the hinge at standstill, gear included, N·m.
    pub torque_nm: f64,
    /// The lift, from start to end.
    pub line: Vec<LiftPoint>,
    /// What the force at the start may be off by, N.
    pub force_band_n: Option<Band>,
    /// Heaviest robot of the same build it lifts from the ring, kg.
    pub heaviest_kg: f64,
    /// Time through its travel with that load, s; infinite where it stalls.
    pub loaded_s: f64,
    /// Time through its travel empty, s.
    pub empty_s: f64,
    /// Load on its edge at which its own rear rises, N; none where it does not lift ahead.
    pub tips_self_n: Option<f64>,
    place: Place,
}

/// A jack under its own robot.
#[derive(Debug, Clone, PartialEq)]
pub struct Jack {
    /// Its name.
    pub name: String,
    /// Force of its foot at standstill, N.
    pub force_n: f64,
    /// What it takes to raise the end of the robot it is at, N.
    pub needed_n: f64,
    /// From the foot to the ring at the start, m.
    pub gap_m: f64,
    /// How far it goes, m.
    pub stroke_m: f64,
    /// Time until the foot stands on the ring, s.
    pub down_s: f64,
    /// Time until that end is 3 mm up, s; infinite where it never is.
    pub free_s: f64,
    place: Place,
}

impl Jack {
    /// How far it can raise its end, m; below zero it does not reach the ring.
    #[must_use]
    pub fn raises_m(&self) -> f64 {
        self.stroke_m - self.gap_m
    }
}

/// What lifts.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Lifting {
    /// Lifters.
    pub lifters: Vec<Lifter>,
    /// Jacks.
    pub jacks: Vec<Jack>,
}

/// A gadget's motor at the hinge or foot, on the robot's pack.
struct Motor {
    volts: f64,
    stall_nm: f64,
    free_rad_s: f64,
}

impl Motor {
    /// Its figures behind its gear, the pack sagging under its stall current:
    /// V = V₀/(1 + R I_s/V_rated). The straight line scales with the voltage, as it does in a bout.
    fn of(robot: &Robot, gadget: &Gadget, drive: &GadgetDrive, draws: &Draws) -> Self {
        let n = &gadget.item.name;
        let rated = draws.of(&drive.rated_voltage, n).max(1e-3);
        let open = draws.of(&robot.battery.voltage, "battery");
        let ohm = draws.of(&robot.battery.resistance, "battery").max(0.0);
        let stall_a = draws.of(&drive.stall_current, n).max(0.0);
        let volts = open / (1.0 + ohm * stall_a / rated);
        let ratio = draws.of(&drive.gear_ratio, n).max(1e-6);
        let efficiency = draws.of(&drive.gear_efficiency, n).clamp(0.0, 1.0);
        let share = volts / rated;
        Self {
            volts,
            stall_nm: draws.of(&drive.stall_torque, n).max(0.0) * share * ratio * efficiency,
            free_rad_s: draws.of(&drive.no_load_speed, n).max(1e-6) * share / ratio,
        }
    }
}

/// Hinge and edge of a lifter in the upright plane it moves in.
struct Arm {
    /// Level way from hinge to edge at the start, m.
    ahead_m: f64,
    /// Height of the edge over the hinge at the start, m.
    up_m: f64,
    /// Angle it turns by, rad.
    travel_rad: f64,
    /// Where the edge looks, rad.
    facing_rad: f64,
    /// Where its middle is, seen from above, m.
    tip: DVec2,
    /// Mass that moves, its centre half way along, kg.
    moving_kg: f64,
}

impl Arm {
    fn of(robot: &Robot, gadget: &Gadget, draws: &Draws) -> Option<Self> {
        let n = &gadget.item.name;
        let Travel::Turn(travel) = &gadget.travel else {
            return None;
        };
        let three = |at: &[Figure<Length>; 3]| at.each_ref().map(|f| draws.of(f, n));
        let mut moving_kg = draws.of(&gadget.moving_mass, n).max(0.0);
        let (tip, facing_rad) = match &gadget.moved {
            Moved::Plate(p) => (three(&p.tip), draws.of(&p.facing, n)),
            Moved::Blade => {
                let b = robot.blade.as_ref()?;
                let m = &b.item.name;
                moving_kg += draws.of(&b.item.mass, m).max(0.0);
                let tip = [&b.tip_x, &b.tip_y, &b.tip_height].map(|f| draws.of(f, m));
                (tip, 0.0)
            }
            Moved::Foot { .. } => return None,
        };
        let hinge = three(&gadget.hinge);
        let level = DVec2::new(tip[0] - hinge[0], tip[1] - hinge[1]);
        let ahead = DVec2::new(maths::cos(facing_rad), maths::sin(facing_rad));
        Some(Self {
            ahead_m: level.dot(ahead),
            up_m: tip[2] - hinge[2],
            travel_rad: draws.of(travel, n),
            facing_rad,
            tip: DVec2::new(tip[0], tip[1]),
            moving_kg,
        })
    }

    /// Level way from hinge to edge and rise of the edge after a turn, m.
    fn at(&self, turn: f64) -> (f64, f64) {
        let (s, c) = (maths::sin(turn), maths::cos(turn));
        let level = self.ahead_m * c - self.up_m * s;
        let up = self.ahead_m * s + self.up_m * c;
        (level, up - self.up_m)
    }

    /// Torque in N·m its own weight takes where the edge is `lever_m` away.
    fn own_nm(&self, lever_m: f64) -> f64 {
        self.moving_kg * STANDARD_GRAVITY * 0.5 * lever_m.max(0.0)
    }

    fn force_n(&self, torque_nm: f64, lever_m: f64) -> f64 {
        laws::lift::force_n(
            (torque_nm - self.own_nm(lever_m)).max(0.0),
            lever_m.max(1e-3),
        )
    }
}

impl Lifter {
    fn of(robot: &Robot, footing: &Footing, gadget: &Gadget) -> Option<Self> {
        let drive = gadget.drive.as_ref()?;
        let nominal = Draws::nominal();
        let arm = Arm::of(robot, gadget, &nominal)?;
        let motor = Motor::of(robot, gadget, drive, &nominal);
        let raised = Raised::of(robot, footing)?;
        let step = arm.travel_rad / f64::from(STEPS);
        let line: Vec<LiftPoint> = (0..=STEPS)
            .map(|k| {
                let (lever_m, rise_m) = arm.at(step * f64::from(k));
                LiftPoint {
                    rise_m,
                    lever_m,
                    force_n: arm.force_n(motor.stall_nm, lever_m),
                    load_n: raised.front_n(rise_m.max(0.0)),
                }
            })
            .collect();
        let through = |loaded: bool| -> f64 {
            line.windows(2)
                .map(|pair| {
                    let lever = 0.5 * (pair[0].lever_m + pair[1].lever_m).max(0.0);
                    let load = if loaded { pair[0].load_n * lever } else { 0.0 };
                    let nm = load + arm.own_nm(lever);
                    laws::lift::time_s(step, nm, motor.free_rad_s, motor.stall_nm)
                })
                .sum()
        };
        let share = raised.front_n(0.0) / raised.weight_n;
        let ahead = maths::wrap_angle(arm.facing_rad).abs() <= AHEAD_RAD;
        let tips_self_n = foremost_x_m(footing).filter(|_| ahead).map(|x| {
            let weight_n = footing.mass_kg * STANDARD_GRAVITY;
            laws::lift::tips_self_n(weight_n, x - footing.centre_m.x, arm.tip.x - x)
        });
        let force_band_n = Band::of(|draws| {
            let arm = Arm::of(robot, gadget, draws)?;
            let motor = Motor::of(robot, gadget, drive, draws);
            Some(arm.force_n(motor.stall_nm, arm.ahead_m))
        });
        Some(Self {
            name: gadget.item.name.clone(),
            volts: motor.volts,
            torque_nm: motor.stall_nm,
            heaviest_kg: laws::lift::heaviest_kg(line[0].force_n, share),
            loaded_s: through(true),
            empty_s: through(false),
            line,
            force_band_n,
            tips_self_n,
            place: gadget.item.place.clone(),
        })
    }

    /// The place of its travel where least is left of its force beyond the load.
    #[must_use]
    pub fn hardest(&self) -> Option<&LiftPoint> {
        let left = |p: &&LiftPoint| p.force_n - p.load_n;
        self.line.iter().min_by(|a, b| left(a).total_cmp(&left(b)))
    }

    fn findings(&self) -> Option<Finding> {
        let hardest = self.hardest()?;
        let (force, load) = (hardest.force_n, hardest.load_n);
        if force < load {
            let more = load / force.max(1e-6);
            return Some(Finding {
                name: "lifter-too-weak",
                severity: Severity::Warning,
                what: format!(
                    "\"{}\" is too weak to lift the front of a robot like its own: {force:.2} N at the edge of \
                     {load:.2} N.",
                    self.name
                ),
                why: format!(
                    "{:.3} N·m at {:.1} V (gear included, less what its own sheet weighs) on a lever of {:.0} mm: \
                     force = torque ÷ lever. From the ring it lifts robots of such a build up to {:.0} g.",
                    self.torque_nm,
                    self.volts,
                    1e3 * hardest.lever_m,
                    1e3 * self.heaviest_kg
                ),
                mend: format!(
                    "{}. Gears and levers pinch: power off before you reach in.",
                    if more < 20.0 {
                        format!(
                            "A motor or further gear of {more:.1} times the torque, or a hinge {:.0} mm from the edge",
                            1e3 * hardest.lever_m / more
                        )
                    } else {
                        "A stronger motor: this one is far from it".to_owned()
                    }
                ),
                place: Some(self.place.clone()),
            });
        }
        let tips = self.tips_self_n?;
        let start = self.line.first()?;
        (tips < start.load_n).then(|| Finding {
            name: "lifter-tips-self",
            severity: Severity::Warning,
            what: format!(
                "Lifting a robot like its own, \"{}\" raises its own rear instead.",
                self.name
            ),
            why: format!(
                "The load on the edge is {:.2} N; with more than {tips:.2} N there it turns over the foremost thing \
                 it stands on (weight × distance to the centre of mass ÷ distance to the edge), and its rear \
                 wheels lose the ring.",
                start.load_n
            ),
            mend: "Bring weight back, or the front wheels or a skid forward, nearer to the edge.".into(),
            place: Some(self.place.clone()),
        })
    }
}

impl Jack {
    fn of(robot: &Robot, footing: &Footing, gadget: &Gadget) -> Option<Self> {
        let drive = gadget.drive.as_ref()?;
        let (Moved::Foot { at, .. }, Travel::Stroke(stroke)) = (&gadget.moved, &gadget.travel)
        else {
            return None;
        };
        let nominal = Draws::nominal();
        let motor = Motor::of(robot, gadget, drive, &nominal);
        let radius = drive.pinion_radius.as_ref()?.si().max(1e-6);
        let x = at[0].si();
        let standing = footing.supports.iter().filter(|s| s.load_n > 0.0);
        let pivot =
            (standing.map(|s| s.at_m.x)).max_by(|a, b| (a - x).abs().total_cmp(&(b - x).abs()))?;
        let weight_n = footing.mass_kg * STANDARD_GRAVITY;
        let base = (x - pivot).abs().max(1e-6);
        let arm = ((footing.centre_m.x - pivot) * (x - pivot)).max(0.0) / base;
        let needed_n = weight_n * (arm / base).min(1.0);
        let (gap_m, stroke_m) = (at[2].si().max(0.0), stroke.si());
        let down_s = gap_m.min(stroke_m) / (motor.free_rad_s * radius);
        let raises = COME_FREE_M / radius;
        let load = needed_n * radius;
        let lift_s = laws::lift::time_s(raises, load, motor.free_rad_s, motor.stall_nm);
        let reaches = stroke_m - gap_m >= COME_FREE_M;
        Some(Self {
            name: gadget.item.name.clone(),
            force_n: motor.stall_nm / radius,
            needed_n,
            gap_m,
            stroke_m,
            down_s,
            free_s: if reaches {
                down_s + lift_s
            } else {
                f64::INFINITY
            },
            place: gadget.item.place.clone(),
        })
    }

    fn findings(&self) -> Option<Finding> {
        let raises = 1e3 * self.raises_m();
        let (gap, stroke) = (1e3 * self.gap_m, 1e3 * self.stroke_m);
        if self.raises_m() < COME_FREE_M {
            let never = raises <= 0.0;
            return Some(Finding {
                name: "jack-too-short",
                severity: if never {
                    Severity::Fault
                } else {
                    Severity::Warning
                },
                what: if never {
                    format!("The foot of \"{}\" never reaches the ring.", self.name)
                } else {
                    format!(
                        "\"{}\" raises its robot by {raises:.1} mm only: too little to come off a blade.",
                        self.name
                    )
                },
                why: format!(
                    "It goes {stroke:.1} mm, and its foot starts {gap:.1} mm over the ring: {stroke:.1} − {gap:.1} = \
                     {raises:.1} mm. Coming off a blade takes about {:.0} mm.",
                    1e3 * COME_FREE_M
                ),
                mend: format!(
                    "A travel of {:.0} mm, or a longer foot that starts nearer to the ring.",
                    gap + 1e3 * COME_FREE_M
                ),
                place: Some(self.place.clone()),
            });
        }
        (self.force_n < self.needed_n).then(|| Finding {
            name: "jack-too-weak",
            severity: Severity::Warning,
            what: format!(
                "\"{}\" cannot raise its end of the robot: {:.2} N of {:.2} N.",
                self.name, self.force_n, self.needed_n
            ),
            why: "Its force is torque ÷ radius of the pinion; the load is the weight by its distances from the \
                  foot and from what the robot turns over."
                .into(),
            mend: format!(
                "A motor of {:.1} times the torque, or a pinion that much smaller. Keep fingers from under it: \
                 jacks pinch.",
                self.needed_n / self.force_n.max(1e-6)
            ),
            place: Some(self.place.clone()),
        })
    }
}

impl Lifting {
    /// What lifts on a robot that stands so, against the front of a robot like it.
    #[must_use]
    pub fn of(robot: &Robot, footing: &Footing) -> Self {
        let of_kind = |kind| robot.gadgets.iter().filter(move |g| g.kind == kind);
        Self {
            lifters: of_kind(GadgetKind::Lifter)
                .filter_map(|g| Lifter::of(robot, footing, g))
                .collect(),
            jacks: of_kind(GadgetKind::Jack)
                .filter_map(|g| Jack::of(robot, footing, g))
                .collect(),
        }
    }

    /// What is to be said about it.
    pub(crate) fn findings(&self) -> Vec<Finding> {
        let lifters = self.lifters.iter().filter_map(Lifter::findings);
        let jacks = self.jacks.iter().filter_map(Jack::findings);
        lifters.chain(jacks).collect()
    }
}
