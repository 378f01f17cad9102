//! Everything that hangs on one pack.
//!
//! A driver channel at effort u chops the pack's voltage: its motors see u·V, carry
//! I = G·u·V − B together, with G the sum of their conductances and B that of their back currents b·ω,
//! and take u·I from the pack on average (the motors' inductance keeps the current going between
//! pulses). A driver that holds a limit shortens the pulses until I is the limit: u' = (I + B)/(G·V);
//! so a held channel takes u'·I, less than the limit itself. The pack gives V = V₀ − R·(I₀ + Σ u'·I).
//! Form: average model of a chopper, any textbook of power electronics (from memory).

use quantity::Draws;
use robot::Robot;

/// One driver channel, or anything else that draws in proportion to the voltage.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Channel {
    /// Effort u, −1 to 1.
    pub effort: f64,
    /// G: conductance of all its motors, A/V.
    pub a_per_v: f64,
    /// B: their back current at their present speeds, A.
    pub back_a: f64,
    /// Most current, A; infinite where nothing limits it.
    pub limit_a: f64,
}

impl Channel {
    /// The limit with its sign, where the driver holds the channel there at `volts`.
    fn held_a(&self, volts: f64) -> Option<f64> {
        let asked = self.a_per_v * self.effort * volts - self.back_a;
        (asked.abs() > self.limit_a).then(|| self.limit_a.copysign(asked))
    }

    /// The effort that is applied at `volts` where the driver holds the channel at its limit; else
    /// none, and the effort asked for is applied.
    #[must_use]
    pub fn held_effort(&self, volts: f64) -> Option<f64> {
        let effort = |held: f64| (held + self.back_a) / (self.a_per_v * volts);
        self.held_a(volts).map(effort)
    }

    /// Current from the pack at `volts`, A: negative when its motors feed back.
    #[must_use]
    pub fn pack_a(&self, volts: f64) -> f64 {
        let u = self.held_effort(volts).unwrap_or(self.effort);
        u * (self.a_per_v * u * volts - self.back_a)
    }

    /// How [`Self::pack_a`] changes with the voltage, A/V.
    fn slope(&self, volts: f64) -> f64 {
        if self.held_a(volts).is_some() {
            // u ∝ 1/V at a held current.
            -self.pack_a(volts) / volts
        } else {
            self.a_per_v * self.effort * self.effort
        }
    }
}

/// Steps of the search for the voltage; two or three are usual.
const STEPS: usize = 60;
/// The search is over when it moves by less than this share.
const CLOSE: f64 = 1e-13;

/// Voltage in V at the terminals of a pack of `open_v` behind `ohm` that feeds `channels` and
/// `others_a` besides. Where nothing is held at its limit this is
/// (V₀ + R(Σ u·B − I₀))/(1 + R Σ G·u²); else the highest solution, searched by Newton steps within
/// bounds. A pack that is overloaded beyond all bounds gives 0 or less.
#[must_use]
pub fn shared_v(open_v: f64, ohm: f64, others_a: f64, channels: &[Channel]) -> f64 {
    let (mut back, mut load) = (0.0, 0.0);
    for c in channels {
        back += c.effort * c.back_a;
        load += c.a_per_v * c.effort * c.effort;
    }
    let free = (open_v + ohm * (back - others_a)) / (1.0 + ohm * load);
    if free <= 0.0 || channels.iter().all(|c| c.held_a(free).is_none()) {
        return free;
    }
    let fed_back: f64 = channels.iter().map(|c| (c.effort * c.back_a).abs()).sum();
    let (mut low, mut high) = (0.0, open_v + ohm * (fed_back + others_a.abs()));
    let mut volts = (open_v - ohm * others_a).clamp(0.5 * free, high);
    for _ in 0..STEPS {
        let (mut over, mut slope) = (volts - open_v + ohm * others_a, 1.0);
        for c in channels {
            over += ohm * c.pack_a(volts);
            slope += ohm * c.slope(volts);
        }
        if over > 0.0 {
            high = volts;
        } else {
            low = volts;
        }
        let newton = volts - over / slope;
        let next = if newton > low && newton < high {
            newton
        } else {
            0.5 * (low + high)
        };
        let moved = (next - volts).abs();
        volts = next;
        if moved <= CLOSE * volts {
            break;
        }
    }
    volts
}

/// Current in A that board and sensors of `robot` draw all the time, as drawn. It is taken from the
/// pack as it is: right for linear regulators, more than a switching one takes.
#[must_use]
pub fn idle_a(robot: &Robot, draws: &Draws) -> f64 {
    let sensors = robot.sensors.iter();
    let sensed: f64 = sensors.map(|s| draws.of(&s.current, &s.item.name)).sum();
    draws.of(&robot.board.current, "board") + sensed
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    fn stalled(ohm: f64, limit_a: f64) -> Channel {
        Channel {
            effort: 1.0,
            a_per_v: 1.0 / ohm,
            back_a: 0.0,
            limit_a,
        }
    }

    /// Two motors on 7.4 V behind 0.080 Ω: I = V/(R + 2 R_b), computed.
    #[test]
    fn stalled_motors_share_the_sag() {
        for (ohm, volts, amps) in [(2.4, 6.938, 2.891), (0.6, 5.842, 9.737)] {
            let both = [stalled(ohm, f64::INFINITY); 2];
            let v = shared_v(7.4, 0.080, 0.0, &both);
            near(v, volts, 1e-3);
            near(both[0].pack_a(v), amps, 1e-3);
        }
    }

    /// Held at 3 A each, 0.6 Ω need 1.8 V, 5.4 W: two are 10.8 W from the pack, and
    /// V = 7.4 − 0.08 · 10.8/V has the higher root (7.4 + √(7.4² − 4 · 0.08 · 10.8))/2.
    #[test]
    fn a_held_channel_takes_its_power_and_not_its_current() {
        let both = [stalled(0.6, 3.0); 2];
        let v = shared_v(7.4, 0.080, 0.0, &both);
        near(v, 0.5 * (7.4 + (7.4_f64 * 7.4 - 0.32 * 10.8).sqrt()), 1e-9);
        near(both[0].held_effort(v).unwrap(), 1.8 / v, 1e-9);
        near(both[0].pack_a(v), 5.4 / v, 1e-9);
    }

    #[test]
    fn the_voltage_is_what_the_pack_gives_for_what_all_draw() {
        let channel = |effort, back_a, limit_a| Channel {
            effort,
            a_per_v: 1.2,
            back_a,
            limit_a,
        };
        let cases = [
            [channel(1.0, 0.0, 2.0), channel(1.0, 5.0, 2.0)],
            [channel(-1.0, 4.0, 3.0), channel(0.6, 0.1, 3.0)],
            [channel(0.0, 6.0, 2.5), channel(1.0, 0.0, f64::INFINITY)],
            [channel(1.0, 0.0, 0.5), channel(-0.3, -9.0, 4.0)],
        ];
        for channels in cases {
            for (ohm, others) in [(0.02, 0.1), (0.3, 0.0), (0.6, 0.4)] {
                let v = shared_v(7.4, ohm, others, &channels);
                let drawn: f64 = channels.iter().map(|c| c.pack_a(v)).sum();
                assert!(v > 0.0, "{channels:?}");
                near(7.4 - ohm * (others + drawn), v, 1e-9);
                for c in channels {
                    let motors = c.a_per_v * c.held_effort(v).unwrap_or(c.effort) * v - c.back_a;
                    assert!(motors.abs() <= c.limit_a * (1.0 + 1e-9), "{c:?}");
                }
            }
        }
    }

    #[test]
    fn a_pack_that_is_not_there_does_not_hang_the_search() {
        assert!(shared_v(7.4, 0.5, 40.0, &[stalled(0.6, 3.0)]) <= 0.0);
        assert!(shared_v(f64::NAN, 0.5, 0.0, &[stalled(0.6, 3.0)]).is_nan());
    }
}
