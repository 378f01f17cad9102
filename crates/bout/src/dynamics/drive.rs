//! Motors, gears, driver and pack over one substep.

use laws::supply::{Channel, shared_v};

use super::body::Body;
use super::contact::Step;
use super::joint;
use super::machine::{Machine, MotorNumbers};
use super::power::Power;

/// A self-locking gear holds this multiple of its motor's torque at standstill while it gets
/// nothing.
const LOCK: f64 = 20.0;

/// What the drive does in a substep, for the contacts, the energy audit and the chassis reaction.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct GroupDrive {
    /// Constant part of the motor torque on the group, N·m.
    pub(crate) torque: f64,
    /// D of T = torque − D·θ̇, N·m·s/rad.
    pub(crate) damping: f64,
    /// J_e = J + hD/2: what friction sees when the motor line acts as a trapezoid in time.
    pub(crate) effective_inertia: f64,
    /// Turning speed at the start of the substep, rad/s.
    pub(crate) speed_before: f64,
    /// Most friction of motors and gears against turning forward and backward, N·m.
    pub(crate) drag: [f64; 2],
    /// Impulse of that friction over the substep, N·m·s.
    pub(crate) held: f64,
}

impl MotorNumbers {
    /// Whether anything but its current brakes it, ever.
    #[inline]
    fn rubs(&self) -> bool {
        self.drag > 0.0 || self.back_share > 0.0 || self.locks
    }
}

impl GroupDrive {
    /// Friction of a motor that brings `torque` at the group's present speed.
    #[inline]
    fn rub(&mut self, motor: &MotorNumbers, torque: f64) {
        if !motor.rubs() {
            return;
        }
        let back = motor.back_share * torque.abs();
        self.drag[0] += motor.drag + if torque < 0.0 { back } else { 0.0 };
        self.drag[1] += motor.drag + if torque > 0.0 { back } else { 0.0 };
    }

    /// Friction of a motor that gets nothing.
    fn rest(&mut self, motor: &MotorNumbers, open_v: f64) {
        if motor.locks {
            let lock = LOCK * motor.torque_per_volt * open_v;
            self.drag = self.drag.map(|d| d + lock);
        }
    }
}

/// Works out the motor lines of `machine` at the sagging pack voltage for this substep.
///
/// The pack's voltage is that of all consumers' actual currents, with θ̇ of the start of the substep
/// ([`laws::supply`]). A channel beyond the driver's limit is held at that current by a smaller
/// effort, which its motors share. At zero effort a driver brakes or leaves the motor open. Gadgets
/// draw from the same pack.
pub(crate) fn motor_lines(
    machine: &Machine,
    power: &mut Power,
    body: &Body,
    effort: [f64; 2],
    h: f64,
    out: &mut [GroupDrive],
) {
    let pitching = body.pitching();
    for ((o, g), s) in out.iter_mut().zip(&machine.groups).zip(&body.s) {
        *o = GroupDrive {
            torque: 0.0,
            damping: 0.0,
            effective_inertia: g.inertia,
            speed_before: s - g.kappa * pitching,
            drag: [0.0; 2],
            held: o.held,
        };
    }
    let pack = &machine.pack;
    let speed = |group: usize| out[group].speed_before;
    let channels = consumers(machine, body, effort, speed);
    let (volts, mut pack_a) = pack_volts(machine, power, &channels);
    for c in &channels {
        pack_a += c.pack_a(volts);
    }
    let held = [0, 1].map(|i| channels[i].held_effort(volts));
    power.rubs = false;
    for (m, motor_a) in machine.motors.iter().zip(&mut power.motors_a) {
        let u = effort[m.channel];
        let o = &mut out[m.group];
        power.rubs |= m.rubs();
        if u == 0.0 {
            o.rest(m, power.open_v);
            if pack.coasts {
                *motor_a = 0.0;
                o.rub(m, 0.0);
                continue;
            }
        }
        let applied = held[m.channel].unwrap_or(u);
        *motor_a = m.current_per_volt * applied * volts - m.current_per_speed * o.speed_before;
        if held[m.channel].is_some() {
            let torque = m.torque_per_ampere * *motor_a;
            o.torque += torque;
            o.rub(m, torque);
        } else {
            let torque = m.torque_per_volt * u * volts;
            o.torque += torque;
            o.damping += m.damping;
            o.effective_inertia += 0.5 * h * m.damping;
            o.rub(m, torque - m.damping * o.speed_before);
        }
    }
    power.volts = volts;
    power.pack_a = pack_a;
}

/// What the pack feeds besides board and sensors at turning speeds θ̇ by spin group: both driver
/// channels, and all gadgets together.
fn consumers(
    machine: &Machine,
    body: &Body,
    effort: [f64; 2],
    speed: impl Fn(usize) -> f64,
) -> [Channel; 3] {
    let pack = &machine.pack;
    let [left, right] = effort.map(|effort| Channel {
        effort,
        limit_a: pack.current_limit,
        ..Channel::default()
    });
    let mut all = [left, right, Channel::default()];
    for m in &machine.motors {
        let c = &mut all[m.channel];
        if c.effort == 0.0 && pack.coasts {
            continue;
        }
        c.a_per_v += m.current_per_volt;
        c.back_a += m.current_per_speed * speed(m.group);
    }
    if !machine.joints.is_empty() {
        let [back_a, a_per_v] = joint::demand(machine, body);
        all[2] = Channel {
            effort: 1.0,
            a_per_v,
            back_a,
            limit_a: f64::INFINITY,
        };
    }
    all
}

/// Voltage in V of the pack with these consumers, and what board, sensors and others draw, A.
fn pack_volts(machine: &Machine, power: &Power, channels: &[Channel]) -> (f64, f64) {
    let pack = &machine.pack;
    let others = pack.idle_current + power.others_a;
    if pack.resistance <= 0.0 {
        return (power.open_v, others);
    }
    let volts = shared_v(power.open_v, pack.resistance, others, channels);
    (volts, others)
}

/// Current in A through the motors of each channel as the body moves now, held at the driver's
/// limit; forward positive.
pub(crate) fn channel_currents(
    machine: &Machine,
    power: &Power,
    body: &Body,
    effort: [f64; 2],
) -> [f64; 2] {
    let speed = |group| body.wheel_speed(machine, group);
    let channels = consumers(machine, body, effort, speed);
    let (volts, _) = pack_volts(machine, power, &channels);
    [0, 1].map(|i| {
        let c = &channels[i];
        let applied = c.held_effort(volts).unwrap_or(c.effort);
        c.a_per_v * applied * volts - c.back_a
    })
}

/// Free-running change of spin over `h`, Δs = h(T − Dθ̇)/J_e, with the reaction −κJΔs on the chassis.
/// Friction begins with last time's impulse, `scale` times, within its present bounds.
pub(crate) fn spin_up(machine: &Machine, body: &mut Body, drive: &mut [GroupDrive], step: Step) {
    let Step { h, scale } = step;
    let mut reaction = 0.0;
    for ((d, g), s) in drive.iter_mut().zip(&machine.groups).zip(&mut body.s) {
        if d.held != 0.0 {
            d.held = (scale * d.held).clamp(-h * d.drag[0], h * d.drag[1]);
        }
        let change = (h * (d.torque - d.damping * d.speed_before) + d.held) / d.effective_inertia;
        *s += change;
        reaction -= g.kappa * g.inertia * change;
    }
    body.w += body.inverse_inertia * (reaction * body.axle);
}

/// One visit of the sweep to the friction of motors and gears: toward standstill of each group, as
/// far as its bounds allow. It acts between group and chassis like the motor's torque, so an impulse
/// λ changes θ̇ by λ(1 + κ²J a·I'⁻¹a)/J_e.
pub(crate) fn drag(machine: &Machine, body: &mut Body, drive: &mut [GroupDrive], h: f64) {
    let across = machine.inverse_inertia.y_axis.y;
    let mut pitching = body.pitching();
    let mut twist = 0.0;
    for ((d, g), s) in drive.iter_mut().zip(&machine.groups).zip(&mut body.s) {
        if d.drag[0] + d.drag[1] <= 0.0 {
            continue;
        }
        let turned = g.kappa * g.inertia;
        let response = d.effective_inertia / (1.0 + g.kappa * turned * across);
        let wanted = d.held - response * (*s - g.kappa * pitching);
        let new = wanted.clamp(-h * d.drag[0], h * d.drag[1]);
        let change = (new - d.held) / d.effective_inertia;
        d.held = new;
        *s += change;
        twist -= turned * change;
        pitching -= across * turned * change;
    }
    body.w += body.r * (machine.inverse_inertia.y_axis * twist);
}

/// Mechanical work of motors and their friction over the substep in J: ((T − Dθ̄)·h + λ)·θ̄ with θ̄
/// the mean speed.
pub(crate) fn motor_work(machine: &Machine, body: &Body, drive: &[GroupDrive], h: f64) -> f64 {
    let pitching = body.pitching();
    let groups = drive.iter().zip(&machine.groups).zip(&body.s);
    groups
        .map(|((d, g), s)| {
            let mean = 0.5 * (d.speed_before + s - g.kappa * pitching);
            ((d.torque - d.damping * mean) * h + d.held) * mean
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tests::scenery::pusher;
    use quantity::Draws;

    #[test]
    fn the_currents_at_rest_are_what_ohm_says() {
        // Winding 6 V/1.4 A and driver 0.2 Ω make 4.486 Ω; the pack of 7.4 V has 0.2 Ω and feeds a
        // board of 50 mA: V = (7.4 − 0.01)/(1 + 0.2·(1² + 0.5²)/4.486) = 7.000 V.
        let machine = Machine::compile(&pusher("stalled"), &Draws::nominal());
        let body = Body::new(&machine);
        let [left, right] = channel_currents(&machine, &Power::new(&machine), &body, [1.0, -0.5]);
        let r: f64 = 6.0 / 1.4 + 0.2;
        let volts: f64 = (7.4 - 0.2 * 0.05) / (1.0 + 0.2 * 1.25 / r);
        assert!((volts - 7.000).abs() < 5e-4);
        assert!((left - volts / r).abs() < 1e-9 && (right + 0.5 * volts / r).abs() < 1e-9);
        assert!((left - 1.5603).abs() < 1e-3, "{left}");
    }
}
