//! Motors, gears, driver and pack over one substep.

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
/// V_p = (V₀ − R_b·I₀ + R_b·Σ u b θ̇)/(1 + R_b·Σ g u²) from V_p = V₀ − R_b(I₀ + Σ u·I) and
/// I = g·u·V_p − b·θ̇, with θ̇ of the start of the substep; I₀ is what all others draw. Pulse-width
/// modulation with braking in the gaps: a channel at effort u applies u·V_p and draws u·I from the
/// pack on average. A motor beyond the driver's limit is held at that current. At zero effort a
/// driver brakes or leaves the motor open. Gadgets draw from the same pack.
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
    let gadgets = gadget_demand(machine, body);
    let speed = |group: usize| out[group].speed_before;
    let volts = pack_volts(machine, power, gadgets, effort, speed);
    let [back, load] = gadgets;
    let mut pack_a = pack.idle_current + power.others_a + load * volts - back;
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
        let current = m.current_per_volt * u * volts - m.current_per_speed * o.speed_before;
        if current.abs() > pack.current_limit {
            *motor_a = pack.current_limit.copysign(current);
            let torque = m.torque_per_ampere * *motor_a;
            o.torque += torque;
            o.rub(m, torque);
        } else {
            *motor_a = current;
            let torque = m.torque_per_volt * u * volts;
            o.torque += torque;
            o.damping += m.damping;
            o.effective_inertia += 0.5 * h * m.damping;
            o.rub(m, torque - m.damping * o.speed_before);
        }
        pack_a += u * *motor_a;
    }
    power.volts = volts;
    power.pack_a = pack_a;
}

/// What gadgets add to Σ u b θ̇ and Σ g u².
fn gadget_demand(machine: &Machine, body: &Body) -> [f64; 2] {
    if machine.joints.is_empty() {
        [0.0; 2]
    } else {
        joint::demand(machine, body)
    }
}

/// V_p in V at turning speeds θ̇ by spin group.
fn pack_volts(
    machine: &Machine,
    power: &Power,
    gadgets: [f64; 2],
    effort: [f64; 2],
    speed: impl Fn(usize) -> f64,
) -> f64 {
    let pack = &machine.pack;
    if pack.resistance <= 0.0 {
        return power.open_v;
    }
    let others = pack.idle_current + power.others_a;
    let [mut back, mut load] = gadgets;
    for m in &machine.motors {
        let u = effort[m.channel];
        back += u * m.current_per_speed * speed(m.group);
        load += m.current_per_volt * u * u;
    }
    (power.open_v + pack.resistance * (back - others)) / (1.0 + pack.resistance * load)
}

/// Current in A through the motors of each channel as the body moves now, held at the driver's
/// limit; forward positive.
pub(crate) fn channel_currents(
    machine: &Machine,
    power: &Power,
    body: &Body,
    effort: [f64; 2],
) -> [f64; 2] {
    let pack = &machine.pack;
    let speed = |group| body.wheel_speed(machine, group);
    let volts = pack_volts(machine, power, gadget_demand(machine, body), effort, speed);
    let mut currents = [0.0; 2];
    for m in &machine.motors {
        let u = effort[m.channel];
        if u == 0.0 && pack.coasts {
            continue;
        }
        let drawn = m.current_per_volt * u * volts - m.current_per_speed * speed(m.group);
        currents[m.channel] += drawn.clamp(-pack.current_limit, pack.current_limit);
    }
    currents
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
