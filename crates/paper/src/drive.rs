//! Push against speed, and the run-up: what the motors give and what the tyres hold.

use laws::supply::{Channel, shared_v};
use quantity::Draws;
use robot::{Motor, Robot, Side, Surface};

use crate::footing::SupportKind;
use crate::turning::{Pull, Turning};
use crate::{Footing, Support};

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
    /// What turning in place takes; none unless motors turn both sides.
    pub turning: Option<Turning>,
    /// What rolling wheels and sliding feet hold it back with as it drives straight on, N. The push and the
    /// run-up leave it out.
    pub drag_n: f64,
    /// The push at standstill, wheel group by wheel group: what one shaft turns.
    pub groups: Vec<GroupPush>,
    /// Push against speed.
    pub line: Vec<PushPoint>,
}

/// What one shaft turns, at standstill.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupPush {
    /// The motor whose shaft it is: index into [`Robot::motors`].
    pub motor: usize,
    /// What its motors give at the rims, N.
    pub motors_n: f64,
    /// What its tyres hold just before they slide, N.
    pub grip_n: f64,
    /// Its part of the push, N.
    pub push_n: f64,
}

impl GroupPush {
    /// Whether the tyres slide before the motors stall.
    #[must_use]
    pub fn slips(&self) -> bool {
        self.motors_n > self.grip_n
    }
}

/// Motors on one shaft, at the rim of their wheels.
struct Group {
    /// The motor whose shaft it is.
    shaft: usize,
    /// Each motor's line and its driver channel.
    motors: Vec<(laws::motor::Line, usize)>,
    /// Way of the rim for a radian of the shaft, m.
    lever_m: f64,
    /// How far left the middle of what it turns is, m.
    y_m: f64,
    grip_n: f64,
    sliding_n: f64,
}

impl Group {
    fn is_on(&self, channel: usize) -> bool {
        self.motors.iter().any(|m| m.1 == channel)
    }
}

/// What limits the groups together.
struct Supply {
    open_v: f64,
    resistance_ohm: f64,
    idle_a: f64,
    limit_a: f64,
}

/// What the tyre of a driven wheel or patch holds, as drawn.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Hold {
    /// Share of its grip that dirt has left.
    left: f64,
    /// What the surface makes of its compound.
    factor: f64,
    /// Grip at the reference load, just before it slides and while it slides.
    grips: [f64; 2],
    reference_n: f64,
    exponent: f64,
    adhesion_n: f64,
}

impl Hold {
    /// The tyre under the support `on`, with the compound's grip on this `surface`, its fall under load, its
    /// adhesion, and the dirt it starts a bout with. None of what is not driven.
    pub(crate) fn of(robot: &Robot, surface: Surface, on: &Support, draws: &Draws) -> Option<Self> {
        let (tyre, n, share) = match on.kind {
            SupportKind::DrivenWheel(k) => (&robot.wheels[k].tyre, &robot.wheels[k].item.name, 1.0),
            SupportKind::DrivenTrack(k) => {
                let track = &robot.tracks[k];
                (&track.tyre, &track.item.name, on.share_of_track())
            }
            _ => return None,
        };
        Some(Self {
            left: laws::tyre::grip_left(
                draws.of(&tyre.dirt_loss, n).clamp(0.0, 1.0),
                draws.of(&tyre.since_cleaned, n).max(0.0),
                draws.of(&tyre.dirt_length, n).max(1e-2),
            ),
            factor: laws::tyre::factor_on(tyre, surface, draws, n),
            grips: [&tyre.grip_peak, &tyre.grip_sliding].map(|grip| draws.of(grip, n)),
            reference_n: share * draws.of(&tyre.reference_load, n).max(1e-3),
            exponent: draws.of(&tyre.load_exponent, n),
            adhesion_n: share * draws.of(&tyre.adhesion, n).max(0.0),
        })
    }

    /// Grip in N under `load_n` just before it slides and while it slides.
    pub(crate) fn under(&self, load_n: f64) -> [f64; 2] {
        self.grips.map(|grip| {
            let grip = laws::tyre::grip_at_load(grip, load_n, self.reference_n, self.exponent);
            // Nothing holds a wheel that hangs in the air.
            let hold = if load_n > 0.0 { self.adhesion_n } else { 0.0 };
            self.left * (self.factor * grip.max(0.0) * load_n + hold)
        })
    }
}

/// A wheel or track that a motor turns.
struct Turned {
    /// The motor whose shaft turns it.
    shaft: usize,
    /// Way in m of its rim for a radian of that shaft.
    lever_m: f64,
    /// How far left its middle is, m.
    y_m: f64,
    grip_n: f64,
    sliding_n: f64,
}

/// Everything that motors turn, wheels first.
fn turned(robot: &Robot, footing: &Footing, draws: &Draws) -> Vec<Turned> {
    let wheels = robot.wheels.iter().enumerate().map(|(k, w)| {
        let kind = SupportKind::DrivenWheel(k);
        (kind, w.motor, &w.item, &w.radius, &w.ratio)
    });
    let tracks = robot.tracks.iter().enumerate().map(|(k, t)| {
        let kind = SupportKind::DrivenTrack(k);
        (kind, t.motor, &t.item, &t.radius, &t.ratio)
    });
    let all = wheels.chain(tracks);
    all.filter_map(|(kind, motor, item, radius, ratio)| {
        let radius_m = draws.of(radius, &item.name).max(1e-4);
        let (mut grip, mut sliding) = (0.0, 0.0);
        for s in footing.supports.iter().filter(|s| s.kind == kind) {
            if let Some(hold) = Hold::of(robot, footing.surface, s, draws) {
                let [peak, slides] = hold.under(s.load_n);
                grip += peak;
                sliding += slides;
            }
        }
        Some(Turned {
            shaft: shaft(robot, motor?),
            lever_m: radius_m / draws.of(ratio, &item.name).max(1e-6),
            y_m: draws.of(&item.at[1], &item.name),
            grip_n: grip,
            sliding_n: sliding,
        })
    })
    .collect()
}

/// The driver channel that feeds a motor.
fn channel(motor: &Motor) -> usize {
    match motor.side {
        Side::Left => 0,
        Side::Right => 1,
    }
}

/// The motor whose shaft motor `k` turns: itself or the one it turns with.
fn shaft(robot: &Robot, k: usize) -> usize {
    robot.motors[k].with.unwrap_or(k)
}

fn groups(robot: &Robot, footing: &Footing, draws: &Draws) -> Vec<Group> {
    let turned = turned(robot, footing, draws);
    let mut groups = Vec::new();
    for i in 0..robot.motors.len() {
        let mut lever = 0.0;
        let mut y = 0.0;
        let mut count = 0.0;
        let (mut grip_n, mut sliding_n) = (0.0, 0.0);
        for t in turned.iter().filter(|t| t.shaft == i) {
            lever += t.lever_m;
            y += t.y_m;
            count += 1.0;
            grip_n += t.grip_n;
            sliding_n += t.sliding_n;
        }
        if count > 0.0 {
            let motors = robot.motors.iter().enumerate();
            groups.push(Group {
                shaft: i,
                motors: motors
                    .filter(|(k, _)| shaft(robot, *k) == i)
                    .map(|(_, m)| (laws::motor::line_of(m, &robot.driver, draws), channel(m)))
                    .collect(),
                lever_m: lever / count,
                y_m: y / count,
                grip_n,
                sliding_n,
            });
        }
    }
    groups
}

/// Voltage of the pack without load at the charge it starts with, V.
pub(crate) fn open_v(robot: &Robot, draws: &Draws) -> f64 {
    let battery = &robot.battery;
    let chemistry = laws::battery::Chemistry::named(&battery.chemistry);
    let charge = draws.of(&battery.charge, "battery");
    draws.of(&battery.voltage, "battery") * chemistry.open_share(charge)
}

impl Supply {
    /// Both driver channels at `effort` with the wheels at `speed_m_s`.
    fn channels(
        &self,
        groups: &[Group],
        speed_m_s: f64,
        effort: f64,
        limited: bool,
    ) -> [Channel; 2] {
        let limit_a = if limited { self.limit_a } else { f64::INFINITY };
        let mut channels = [Channel {
            effort,
            limit_a,
            ..Channel::default()
        }; 2];
        for g in groups {
            for (line, channel) in &g.motors {
                channels[*channel].a_per_v += line.a_per_v;
                channels[*channel].back_a += line.a_s * speed_m_s / g.lever_m;
            }
        }
        channels
    }

    /// Motor force in N of each group, and the currents.
    fn at(
        &self,
        groups: &[Group],
        speed_m_s: f64,
        effort: f64,
        limited: bool,
    ) -> (Vec<f64>, PushPoint) {
        let channels = self.channels(groups, speed_m_s, effort, limited);
        let volts = shared_v(self.open_v, self.resistance_ohm, self.idle_a, &channels);
        let drawn: f64 = channels.iter().map(|c| c.pack_a(volts)).sum();
        let mut forces = Vec::new();
        for g in groups {
            let omega = speed_m_s / g.lever_m;
            let (mut torque, mut drag) = (0.0, 0.0);
            for (line, channel) in &g.motors {
                let held = channels[*channel].held_effort(volts);
                let applied = held.unwrap_or(effort);
                torque += if held.is_some() {
                    line.nm_per_a * (line.a_per_v * applied * volts - line.a_s * omega)
                } else {
                    line.nm_per_v * applied * volts - line.nm_s * omega
                };
                drag += line.drag_nm;
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
            pack_a: self.idle_a + drawn,
        };
        (forces, point)
    }

    /// Current at standstill of the hungriest motor, A.
    fn motor_stalled_a(&self, groups: &[Group], effort: f64, volts: f64) -> f64 {
        let channels = self.channels(groups, 0.0, effort, true);
        let current = |(line, channel): &(laws::motor::Line, usize)| {
            line.a_per_v * channels[*channel].held_effort(volts).unwrap_or(effort) * volts
        };
        groups
            .iter()
            .flat_map(|g| &g.motors)
            .map(current)
            .fold(0.0, f64::max)
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
            idle_a: laws::supply::idle_a(robot, draws),
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
        let motor_stalled_a = supply.motor_stalled_a(&groups, effort, stalled.pack_v);
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
            turning: turning(robot, footing, &groups, &forces, draws),
            drag_n: drag_n(robot, footing, draws),
            groups: (forces.iter().zip(&groups))
                .map(|(f, g)| GroupPush {
                    motor: g.shaft,
                    motors_n: *f,
                    grip_n: g.grip_n,
                    push_n: push((f, g)),
                })
                .collect(),
            line: (0..=POINTS)
                .map(|k| {
                    let v = free * f64::from(k) / f64::from(POINTS);
                    supply.at(&groups, v, effort, true).1
                })
                .collect(),
        };
        if free > 0.0 && drive.push_n > 0.0 {
            let end = drive.run_up(robot, footing, draws).covers(charge_m);
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
                drive.run_up(robot, footing, draws).after(s).speed_m_s
            }
            _ => drive.charge_speed_m_s,
        }
    }

    /// The run-up as the law of a straight drive line has it; rolling resistance is left out.
    pub(crate) fn run_up(
        &self,
        robot: &Robot,
        footing: &Footing,
        draws: &Draws,
    ) -> laws::run_up::Drive {
        let mass_kg = footing.mass_kg;
        let turned = turned(robot, footing, draws);
        let mut rotors = 0.0;
        for (i, w) in robot.wheels.iter().enumerate() {
            let r = draws.of(&w.radius, &w.item.name).max(1e-4);
            rotors += robot.wheel_spin_inertia(i, draws) / (r * r);
        }
        for t in &robot.tracks {
            let r = draws.of(&t.radius, &t.item.name).max(1e-4);
            rotors += t.spin_inertia(draws) / (r * r);
        }
        for (k, m) in robot.motors.iter().enumerate() {
            let same = |t: &&Turned| t.shaft == shaft(robot, k);
            let Some(t) = turned.iter().find(same) else {
                continue;
            };
            rotors += laws::run_up::rotor_mass_kg(
                draws.of(&m.reflected_inertia, &m.item.name),
                draws.of(&m.gear_ratio, &m.item.name),
                t.lever_m,
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

/// What everything that touches drags with straight on, N.
fn drag_n(robot: &Robot, footing: &Footing, draws: &Draws) -> f64 {
    let of = |s: &Support| {
        let coefficient = match s.kind {
            SupportKind::DrivenWheel(k) | SupportKind::FreeWheel(k) => {
                let w = &robot.wheels[k];
                draws.of(&w.tyre.rolling, &w.item.name)
            }
            SupportKind::DrivenTrack(k) | SupportKind::FreeTrack(k) => {
                let t = &robot.tracks[k];
                draws.of(&t.tyre.rolling, &t.item.name)
            }
            _ => s.friction,
        };
        laws::rolling::drag_n(coefficient.max(0.0), s.load_n)
    };
    footing.supports.iter().map(of).sum()
}

/// Turning in place against what scrubs, both sides at the forces of standstill.
fn turning(
    robot: &Robot,
    footing: &Footing,
    groups: &[Group],
    forces: &[f64],
    draws: &Draws,
) -> Option<Turning> {
    let both = (0..2).all(|channel| groups.iter().any(|g| g.is_on(channel)));
    let pulls: Vec<Pull> = (groups.iter().zip(forces))
        .map(|(g, force)| Pull {
            force_n: force.min(g.grip_n),
            y_m: g.y_m,
            lever_m: g.lever_m,
        })
        .collect();
    let sliding = |s: &Support| {
        let (tyre, name) = match s.kind {
            SupportKind::DrivenWheel(k) | SupportKind::FreeWheel(k) => {
                (&robot.wheels[k].tyre, &robot.wheels[k].item.name)
            }
            SupportKind::DrivenTrack(k) | SupportKind::FreeTrack(k) => {
                (&robot.tracks[k].tyre, &robot.tracks[k].item.name)
            }
            _ => return s.friction,
        };
        let factor = laws::tyre::factor_on(tyre, footing.surface, draws, name);
        factor * draws.of(&tyre.grip_sliding, name).max(0.0)
    };
    both.then(|| Turning::of(footing, sliding, &pulls))
}

/// Turning rate in place: free speed of the rims over half the distance of the sides' wheels.
fn spin(robot: &Robot, groups: &[Group], free_m_s: f64, draws: &Draws) -> f64 {
    let is_driven = |channel: usize| groups.iter().any(|g| g.is_on(channel));
    if !(is_driven(0) && is_driven(1)) {
        return 0.0;
    }
    let wheels = robot.wheels.iter().map(|w| (w.motor, &w.item));
    let tracks = robot.tracks.iter().map(|t| (t.motor, &t.item));
    let ys: Vec<f64> = (wheels.chain(tracks).filter(|d| d.0.is_some()))
        .map(|(_, item)| draws.of(&item.at[1], &item.name))
        .collect();
    let left = ys.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let right = ys.iter().copied().fold(f64::INFINITY, f64::min);
    let separation = left - right;
    if separation <= 1e-4 {
        return 0.0;
    }
    laws::push::differential_drive(-free_m_s, free_m_s, separation).1
}
