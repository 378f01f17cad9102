//! Motors, driver and pack over one substep.

use super::body::Body;
use super::joint;
use super::machine::Machine;

/// What the drive did in a substep, for the energy audit and the chassis reaction.
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
}

/// Works out the motor lines of `machine` at the sagging pack voltage for this substep; gives that
/// voltage.
///
/// V_p = (V₀ − R_b·I₀ + R_b·Σ u b θ̇)/(1 + R_b·Σ g u²) from V_p = V₀ − R_b(I₀ + Σ u·I) and
/// I = g·u·V_p − b·θ̇, with θ̇ of the start of the substep. Pulse-width modulation with braking in
/// the gaps: a channel at effort u applies u·V_p and draws u·I from the pack on average. A motor
/// beyond the driver's limit is held at that current. Gadgets draw from the same pack. Returns V_p.
pub(crate) fn motor_lines(
    machine: &Machine,
    body: &Body,
    effort: [f64; 2],
    h: f64,
    out: &mut [GroupDrive],
) -> f64 {
    let pitching = body.pitching();
    for ((o, g), s) in out.iter_mut().zip(&machine.groups).zip(&body.s) {
        *o = GroupDrive {
            torque: 0.0,
            damping: 0.0,
            effective_inertia: g.inertia,
            speed_before: s - g.kappa * pitching,
        };
    }
    let pack = &machine.pack;
    let volts = pack_volts(machine, body, effort, |group| out[group].speed_before);
    for m in &machine.motors {
        let u = effort[m.channel];
        let o = &mut out[m.group];
        let current = m.current_per_volt * u * volts - m.current_per_speed * o.speed_before;
        if current.abs() > pack.current_limit {
            o.torque += m.torque_per_ampere * pack.current_limit.copysign(current);
        } else {
            o.torque += m.torque_per_volt * u * volts;
            o.damping += m.damping;
            o.effective_inertia += 0.5 * h * m.damping;
        }
    }
    volts
}

/// V_p in V at turning speeds θ̇ by spin group.
fn pack_volts(
    machine: &Machine,
    body: &Body,
    effort: [f64; 2],
    speed: impl Fn(usize) -> f64,
) -> f64 {
    let pack = &machine.pack;
    let [mut back, mut load] = if machine.joints.is_empty() {
        [0.0; 2]
    } else {
        joint::demand(machine, body)
    };
    for m in &machine.motors {
        let u = effort[m.channel];
        back += u * m.current_per_speed * speed(m.group);
        load += m.current_per_volt * u * u;
    }
    (pack.voltage + pack.resistance * (back - pack.idle_current)) / (1.0 + pack.resistance * load)
}

/// Current in A through the motors of each channel as the body moves now, held at the driver's
/// limit; forward positive.
pub(crate) fn channel_currents(machine: &Machine, body: &Body, effort: [f64; 2]) -> [f64; 2] {
    let limit = machine.pack.current_limit;
    let speed = |group| body.wheel_speed(machine, group);
    let volts = pack_volts(machine, body, effort, speed);
    let mut currents = [0.0; 2];
    for m in &machine.motors {
        let drawn =
            m.current_per_volt * effort[m.channel] * volts - m.current_per_speed * speed(m.group);
        currents[m.channel] += drawn.clamp(-limit, limit);
    }
    currents
}

/// Free-running change of spin over `h`, Δs = h(T − Dθ̇)/J_e, with the reaction −κJΔs on the chassis.
pub(crate) fn spin_up(machine: &Machine, body: &mut Body, drive: &[GroupDrive], h: f64) {
    let mut reaction = 0.0;
    for ((d, g), s) in drive.iter().zip(&machine.groups).zip(&mut body.s) {
        let change = h * (d.torque - d.damping * d.speed_before) / d.effective_inertia;
        *s += change;
        reaction -= g.kappa * g.inertia * change;
    }
    body.w += body.inverse_inertia * (reaction * body.axle);
}

/// Mechanical work of the motors over the substep in J: (T − Dθ̄)·θ̄·h with θ̄ the mean speed.
pub(crate) fn motor_work(machine: &Machine, body: &Body, drive: &[GroupDrive], h: f64) -> f64 {
    let pitching = body.pitching();
    let groups = drive.iter().zip(&machine.groups).zip(&body.s);
    groups
        .map(|((d, g), s)| {
            let mean = 0.5 * (d.speed_before + s - g.kappa * pitching);
            (d.torque - d.damping * mean) * mean * h
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
        let [left, right] = channel_currents(&machine, &body, [1.0, -0.5]);
        let r: f64 = 6.0 / 1.4 + 0.2;
        let volts: f64 = (7.4 - 0.2 * 0.05) / (1.0 + 0.2 * 1.25 / r);
        assert!((volts - 7.000).abs() < 5e-4);
        assert!((left - volts / r).abs() < 1e-9 && (right + 0.5 * volts / r).abs() < 1e-9);
        assert!((left - 1.5603).abs() < 1e-3, "{left}");
    }
}
