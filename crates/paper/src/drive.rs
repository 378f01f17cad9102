//! Push against speed, and the run-up: what the motors give and what the tyres hold.

use quantity::Draws;
use robot::{Robot, Side};

use crate::Footing;
use crate::footing::SupportKind;

/// Points of the push line that is kept.
const POINTS: u32 = 20;

/// Push in N at a speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PushPoint {
    /// Speed in m/s.
    pub speed_m_s: f64,
    /// What the motors give at the wheels' rims, N.
    pub motors_n: f64,
    /// Voltage at the pack's terminals, V.
    pub pack_v: f64,
    /// Current from the pack, A.
    pub pack_a: f64,
}

/// The drive straight on.
#[derive(Debug, Clone, PartialEq)]
pub struct Drive {
    /// What the motors give at standstill at full effort, N.
    pub motors_push_n: f64,
    /// What they would give without the driver's current limit, N.
    pub unlimited_push_n: f64,
    /// What the driven tyres hold just before they slide, N.
    pub grip_n: f64,
    /// What they hold while they slide, N.
    pub sliding_n: f64,
    /// The push at full effort, wheel group by wheel group: what the motors give if the tyres hold
    /// that, else what sliding tyres give, N.
    pub push_n: f64,
    /// Speed on the level without load, m/s.
    pub free_speed_m_s: f64,
    /// Pack voltage with the motors stalled, V.
    pub stalled_v: f64,
    /// Pack current with the motors stalled, A.
    pub stalled_a: f64,
    /// Current of one motor at standstill, the hungriest, A.
    pub motor_stalled_a: f64,
    /// Time in s to cover the charge from standstill.
    pub charge_s: f64,
    /// Speed in m/s at the end of the charge.
    pub charge_speed_m_s: f64,
    /// Length of the charge in m.
    pub charge_m: f64,
    /// Turning rate in rad/s in place with both sides at full effort against each other, tyres
    /// holding.
    pub spin_rad_s: f64,
    /// Push against speed.
    pub line: Vec<PushPoint>,
}

/// Motors on one shaft, at the rim of their wheels.
struct Group {
    lines: Vec<laws::motor::Line>,
    /// Way of the rim for a radian of the shaft, m.
    lever_m: f64,
    grip_n: f64,
    sliding_n: f64,
    channel: usize,
}

/// What limits the groups together.
struct Supply {
    open_v: f64,
    resistance_ohm: f64,
    idle_a: f64,
    limit_a: f64,
}

/// Grip in N of a wheel under `load_n` just before it slides and while it slides, with the
/// compound's fall under load, its adhesion, and the dirt it starts a bout with; on painted board.
pub(crate) fn wheel_grip_n(w: &robot::Wheel, load_n: f64, draws: &Draws) -> [f64; 2] {
    let n = &w.item.name;
    let left = laws::tyre::grip_left(
        draws.of(&w.tyre.dirt_loss, n).clamp(0.0, 1.0),
        draws.of(&w.tyre.since_cleaned, n).max(0.0),
        draws.of(&w.tyre.dirt_length, n).max(1e-2),
    );
    let adhesion = draws.of(&w.tyre.adhesion, n).max(0.0);
    [&w.tyre.grip_peak, &w.tyre.grip_sliding].map(|grip| {
        let grip = laws::tyre::grip_at_load(
            draws.of(grip, n),
            load_n,
            draws.of(&w.tyre.reference_load, n).max(1e-3),
            draws.of(&w.tyre.load_exponent, n),
        );
        // Nothing holds a wheel that hangs in the air.
        let hold = if load_n > 0.0 { adhesion } else { 0.0 };
        left * (grip.max(0.0) * load_n + hold)
    })
}

/// Way in m of wheel `w`'s rim for a radian of its motor's shaft.
fn lever_m(w: &robot::Wheel, draws: &Draws) -> f64 {
    let n = &w.item.name;
    draws.of(&w.radius, n).max(1e-4) / draws.of(&w.ratio, n).max(1e-6)
}

/// The motor whose shaft motor `k` turns: itself or the one it turns with.
fn shaft(robot: &Robot, k: usize) -> usize {
    robot.motors[k].with.unwrap_or(k)
}

fn groups(robot: &Robot, footing: &Footing, draws: &Draws) -> Vec<Group> {
    let mut groups = Vec::new();
    for (i, m) in robot.motors.iter().enumerate() {
        let mut lever = 0.0;
        let mut wheels = 0.0;
        let (mut grip_n, mut sliding_n) = (0.0, 0.0);
        for (k, w) in robot.wheels.iter().enumerate() {
            if w.motor.map(|m| shaft(robot, m)) != Some(i) {
                continue;
            }
            lever += lever_m(w, draws);
            wheels += 1.0;
            let here = |s: &&crate::Support| s.kind == SupportKind::DrivenWheel(k);
            let load = footing.supports.iter().find(here).map_or(0.0, |s| s.load_n);
            let [peak, sliding] = wheel_grip_n(w, load, draws);
            grip_n += peak;
            sliding_n += sliding;
        }
        if wheels > 0.0 {
            let motors = robot.motors.iter().enumerate();
            groups.push(Group {
                lines: motors
                    .filter(|(k, _)| shaft(robot, *k) == i)
                    .map(|(_, m)| laws::motor::line_of(m, &robot.driver, draws))
                    .collect(),
                lever_m: lever / wheels,
                grip_n,
                sliding_n,
                channel: match m.side {
                    Side::Left => 0,
                    Side::Right => 1,
                },
            });
        }
    }
    groups
}

/// Voltage of the pack without load at the charge it starts with, V.
fn open_v(robot: &Robot, draws: &Draws) -> f64 {
    let battery = &robot.battery;
    let chemistry = laws::battery::Chemistry::named(&battery.chemistry);
    let charge = draws.of(&battery.charge, "battery");
    draws.of(&battery.voltage, "battery") * chemistry.open_share(charge)
}

impl Supply {
    /// Pack voltage at `speed_m_s` with every channel at `effort`: V₀ − R(I₀ + Σ u·I) with
    /// I = g·u·V − b·ω.
    fn volts(&self, groups: &[Group], speed_m_s: f64, effort: f64) -> f64 {
        let (mut load, mut back) = (0.0, 0.0);
        for g in groups {
            for line in &g.lines {
                load += line.a_per_v * effort * effort;
                back += effort * line.a_s * speed_m_s / g.lever_m;
            }
        }
        (self.open_v + self.resistance_ohm * (back - self.idle_a))
            / (1.0 + self.resistance_ohm * load)
    }

    /// Motor force in N of each group, and the currents.
    fn at(
        &self,
        groups: &[Group],
        speed_m_s: f64,
        effort: f64,
        limited: bool,
    ) -> (Vec<f64>, PushPoint) {
        let volts = self.volts(groups, speed_m_s, effort);
        let mut forces = Vec::new();
        let mut pack_a = self.idle_a;
        for g in groups {
            let omega = speed_m_s / g.lever_m;
            let (mut torque, mut drag) = (0.0, 0.0);
            for line in &g.lines {
                let current = line.a_per_v * effort * volts - line.a_s * omega;
                let (t, amperes) = if limited && current.abs() > self.limit_a {
                    let held = self.limit_a.copysign(current);
                    (line.nm_per_a * held, held)
                } else {
                    (line.nm_per_v * effort * volts - line.nm_s * omega, current)
                };
                torque += t;
                drag += line.drag_nm;
                pack_a += effort * amperes;
            }
            let net = torque - drag;
            // At rest friction holds; it does not push.
            let net = if speed_m_s > 0.0 { net } else { net.max(0.0) };
            forces.push(net / g.lever_m);
        }
        let point = PushPoint {
            speed_m_s,
            motors_n: forces.iter().sum(),
            pack_v: volts,
            pack_a,
        };
        (forces, point)
    }

    /// Speed at which the motors give nothing any more, by bisection.
    fn free_speed(&self, groups: &[Group], effort: f64) -> f64 {
        let push = |v: f64| self.at(groups, v, effort, true).1.motors_n;
        let (mut low, mut high) = (0.0, 0.1);
        while push(high) > 0.0 && high < 100.0 {
            high *= 2.0;
        }
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if push(middle) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }
}

impl Drive {
    /// The drive of `robot` at `effort` (0 to 1) over a charge of `charge_m`, under `draws`.
    /// Without a driven wheel everything is 0.
    #[must_use]
    pub fn of(robot: &Robot, footing: &Footing, effort: f64, charge_m: f64, draws: &Draws) -> Self {
        let groups = groups(robot, footing, draws);
        let supply = Supply {
            open_v: open_v(robot, draws),
            resistance_ohm: draws.of(&robot.battery.resistance, "battery"),
            idle_a: draws.of(&robot.board.current, "board"),
            limit_a: draws.of(&robot.driver.current_limit, "driver"),
        };
        let (forces, stalled) = supply.at(&groups, 0.0, effort, true);
        let unlimited = supply.at(&groups, 0.0, effort, false).1;
        let grip_n: f64 = groups.iter().map(|g| g.grip_n).sum();
        let push = |(f, g): (&f64, &Group)| {
            if *f <= g.grip_n {
                *f
            } else {
                g.sliding_n.min(*f)
            }
        };
        let free = if groups.is_empty() || effort <= 0.0 {
            0.0
        } else {
            supply.free_speed(&groups, effort)
        };
        let motor_stalled_a = groups
            .iter()
            .flat_map(|g| &g.lines)
            .map(|line| (line.a_per_v * effort * stalled.pack_v).min(supply.limit_a))
            .fold(0.0, f64::max);
        let mut drive = Self {
            motors_push_n: stalled.motors_n,
            unlimited_push_n: unlimited.motors_n,
            grip_n,
            sliding_n: groups.iter().map(|g| g.sliding_n).sum(),
            push_n: forces.iter().zip(&groups).map(push).sum(),
            free_speed_m_s: free,
            stalled_v: stalled.pack_v,
            stalled_a: stalled.pack_a,
            motor_stalled_a,
            charge_s: f64::INFINITY,
            charge_speed_m_s: 0.0,
            charge_m,
            spin_rad_s: spin(robot, &groups, free, draws),
            line: (0..=POINTS)
                .map(|k| {
                    let v = free * f64::from(k) / f64::from(POINTS);
                    supply.at(&groups, v, effort, true).1
                })
                .collect(),
        };
        if free > 0.0 && drive.push_n > 0.0 {
            let end = drive.run_up(robot, footing.mass_kg, draws).covers(charge_m);
            drive.charge_s = end.time_s;
            drive.charge_speed_m_s = end.speed_m_s;
        }
        drive
    }

    /// Speed in m/s from standstill at `effort` after `charge_m`, or after `longest_s` if that
    /// comes first.
    #[must_use]
    pub fn speed_after(
        robot: &Robot,
        footing: &Footing,
        effort: f64,
        charge_m: f64,
        longest_s: Option<f64>,
        draws: &Draws,
    ) -> f64 {
        let drive = Self::of(robot, footing, effort, charge_m, draws);
        match longest_s {
            Some(s) if s < drive.charge_s && drive.free_speed_m_s > 0.0 => {
                drive
                    .run_up(robot, footing.mass_kg, draws)
                    .after(s)
                    .speed_m_s
            }
            _ => drive.charge_speed_m_s,
        }
    }

    /// The run-up as the law of a straight drive line has it; rolling resistance is left out.
    fn run_up(&self, robot: &Robot, mass_kg: f64, draws: &Draws) -> laws::run_up::Drive {
        let mut rotors = 0.0;
        for (i, w) in robot.wheels.iter().enumerate() {
            let r = draws.of(&w.radius, &w.item.name).max(1e-4);
            rotors += robot.wheel_spin_inertia(i, draws) / (r * r);
        }
        for (k, m) in robot.motors.iter().enumerate() {
            let shaft = Some(shaft(robot, k));
            let same = |w: &&robot::Wheel| w.motor.map(|m| self::shaft(robot, m)) == shaft;
            let Some(w) = robot.wheels.iter().find(same) else {
                continue;
            };
            rotors += laws::run_up::rotor_mass_kg(
                draws.of(&m.reflected_inertia, &m.item.name),
                draws.of(&m.gear_ratio, &m.item.name),
                lever_m(w, draws),
                1.0,
            );
        }
        laws::run_up::Drive {
            stall_n: self.motors_push_n,
            free_m_s: self.free_speed_m_s,
            grip_n: self.grip_n,
            mass_kg: mass_kg + rotors,
            body_kg: mass_kg,
        }
    }
}

/// Turning rate in place: free speed of the rims over half the distance of the sides' wheels.
fn spin(robot: &Robot, groups: &[Group], free_m_s: f64, draws: &Draws) -> f64 {
    if ![0, 1]
        .iter()
        .all(|c| groups.iter().any(|g| g.channel == *c))
    {
        return 0.0;
    }
    let ys: Vec<f64> = robot
        .wheels
        .iter()
        .filter(|w| w.motor.is_some())
        .map(|w| draws.of(&w.item.at[1], &w.item.name))
        .collect();
    let left = ys.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let right = ys.iter().copied().fold(f64::INFINITY, f64::min);
    let separation = left - right;
    if separation <= 1e-4 {
        return 0.0;
    }
    laws::push::differential_drive(-free_m_s, free_m_s, separation).1
}
