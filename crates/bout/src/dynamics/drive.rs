//! Motors, driver and pack over one substep.

use super::body::Body;
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
/// beyond the driver's limit is held at that current.
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
    let (mut back, mut load) = (0.0, 0.0);
    for m in &machine.motors {
        let u = effort[m.channel];
        back += u * m.current_per_speed * out[m.group].speed_before;
        load += m.current_per_volt * u * u;
    }
    let volts = (pack.voltage + pack.resistance * (back - pack.idle_current))
        / (1.0 + pack.resistance * load);
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
