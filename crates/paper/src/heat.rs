//! How hot the motors get over a day of rounds.

use laws::heat::{MAGNET_PER_K, Network, Warmth, copper_rise_ratio, network_of};
use laws::motor::{Chain, Line, chain_of};
use quantity::Draws;
use robot::{Finding, Robot, Severity};
use rules::Class;

use crate::Drive;

/// Matches of a day. Common practice, no source.
const MATCHES: u32 = 8;
/// Time between two matches of the same robot, s. Common practice, no source.
const BETWEEN_MATCHES_S: f64 = 600.0;
/// Air in a hall in summer, °C.
const AIR_C: f64 = 25.0;
/// What the enamel and the glue of a small motor's winding stand for long, °C: insulation class A
/// (IEC 60085, from memory). Makers of small motors seldom state theirs.
const WINDING_C: f64 = 105.0;
/// A round is cut into pieces of this length in s, over which resistance and current stay; a winding's
/// time constant is some seconds.
const PIECE_S: f64 = 0.25;
/// Loss of push from which heat is worth a word, where the motors decide the push: less drowns in what
/// is not known of a small motor's cooling.
const WEAKER: f64 = 0.15;

/// A day of rounds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Day {
    /// Matches.
    pub matches: u32,
    /// Rounds of a match.
    pub rounds: u32,
    /// Time of full pushing in a round, s.
    pub push_s: f64,
    /// Time without current between two rounds, s.
    pub pause_s: f64,
    /// Time without current between two matches, s.
    pub between_s: f64,
}

impl Day {
    /// A hard day in `class`: all rounds of every match are fought, in each it pushes for as long as
    /// the judge lets two push that get nowhere, and it rests in the pause and before the start.
    #[must_use]
    pub fn of(class: &Class) -> Self {
        Self {
            matches: MATCHES,
            rounds: class.judging.rounds.value.max(1),
            push_s: class.bout.no_progress_s.value,
            pause_s: class.bout.pause_s.value + class.start_delay_s(),
            between_s: BETWEEN_MATCHES_S,
        }
    }

    /// Rises at the end of each round of a winding of `ohm` at 25 °C that carries `current_a` (given
    /// its rises) while it pushes, and nothing while it rests.
    #[must_use]
    pub fn after_rounds(
        &self,
        network: &Network,
        ohm: f64,
        current_a: impl Fn(Warmth) -> f64,
    ) -> Vec<Warmth> {
        let mut now = Warmth::default();
        let mut ends = Vec::new();
        let pieces = (self.push_s / PIECE_S).ceil().clamp(1.0, 1e5);
        let piece_s = self.push_s / pieces;
        for _ in 0..self.matches {
            for round in 1..=self.rounds {
                let mut left_s = self.push_s;
                while left_s > 0.5 * piece_s {
                    let amperes = current_a(now);
                    let watt = amperes * amperes * ohm * copper_rise_ratio(now.winding_k);
                    now = network.after(now, watt, piece_s);
                    left_s -= piece_s;
                }
                ends.push(now);
                let rest_s = if round < self.rounds {
                    self.pause_s
                } else {
                    self.between_s
                };
                now = network.after(now, 0.0, rest_s);
            }
        }
        ends
    }
}

/// Heat of the motor that gets hottest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heat {
    /// The day it is worked out for.
    pub day: Day,
    /// Index of the motor.
    pub motor: usize,
    /// Its current while it pushes as hard as motors and tyres allow, cold, A.
    pub pushing_a: f64,
    /// Its rises over the air at the end of the hottest round, K.
    pub peak: Warmth,
    /// Share of its cold torque at the same voltage that it has left then.
    pub left: f64,
}

impl Heat {
    /// Heat of the hottest motor of `robot` on such a day; none without a motor. The current is that
    /// of a push at the smaller of stall and slip, as in [`Drive`], at the pack's voltage in a cold
    /// stall; windings start as warm as the air, and their resistance follows their heat.
    #[must_use]
    pub fn of(robot: &Robot, drive: &Drive, day: Day, draws: &Draws) -> Option<Self> {
        let mut hottest: Option<Self> = None;
        for (k, motor) in robot.motors.iter().enumerate() {
            let push = Push::of(robot, drive, k, draws);
            let network = network_of(motor, draws);
            let ohm = push.chain.winding_ohm();
            let rounds = day.after_rounds(&network, ohm, |warm| push.current_a(warm));
            let peak = (rounds.into_iter()).max_by(|a, b| a.winding_k.total_cmp(&b.winding_k))?;
            let cold = push.line(Warmth::default());
            if hottest.is_none_or(|h| peak.winding_k > h.peak.winding_k) {
                hottest = Some(Self {
                    day,
                    motor: k,
                    pushing_a: push.current_a(Warmth::default()),
                    peak,
                    left: push.line(peak).nm_per_v / cold.nm_per_v.max(1e-12),
                });
            }
        }
        hottest
    }

    /// What is to be said about it: nothing unless a winding gets hotter than it stands, or the
    /// motors, which decide the push, get clearly weaker.
    pub(crate) fn findings(&self, robot: &Robot, drive: &Drive) -> Option<Finding> {
        let hot = AIR_C + self.peak.winding_k > WINDING_C;
        let warm_n = self.left * drive.motors_push_n;
        let weaker = self.left < 1.0 - WEAKER && warm_n < drive.grip_n;
        if !hot && !weaker {
            return None;
        }
        let name = &robot.motors[self.motor].item.name;
        let day = &self.day;
        Some(Finding {
            name: "hot-motors",
            severity: if hot {
                Severity::Warning
            } else {
                Severity::Note
            },
            what: format!(
                "Over a day of rounds \"{name}\" warms by up to {:.0} K and has {:.0} % of its cold \
                 torque left.",
                self.peak.winding_k,
                100.0 * self.left
            ),
            why: format!(
                "In {} matches of {} rounds, {:.0} s of full push at {} each, {:.0} s apart, its winding \
                 gets {:.0} K above its case and the case {:.0} K above the air; at {AIR_C:.0} °C of air \
                 the winding reaches {:.0} °C, of the {WINDING_C:.0} °C that plain enamel stands.",
                day.matches,
                day.rounds,
                day.push_s,
                quantity::show_si::<quantity::Current>(self.pushing_a),
                day.pause_s,
                self.peak.winding_k - self.peak.case_k,
                self.peak.case_k,
                AIR_C + self.peak.winding_k
            ),
            mend: "Cool the motors between rounds, gear lower so that the tyres slip before the motors \
                   stall, or take bigger motors. Measure a case after a round before you trust it."
                .into(),
            place: Some(robot.motors[self.motor].item.place.clone()),
        })
    }
}

/// What a motor does in a push.
struct Push {
    chain: Chain,
    volts: f64,
    /// Its part of the limit of its channel, A.
    limit_a: f64,
    /// Torque at the wheel at which the tyres slip, friction not counted; infinite where the motors
    /// stall first, N·m.
    slip_nm: f64,
}

impl Push {
    /// Motor `k` of `robot`; motors share what the tyres hold as they share the push at standstill.
    fn of(robot: &Robot, drive: &Drive, k: usize, draws: &Draws) -> Self {
        let motor = &robot.motors[k];
        let chain = |m| chain_of(m, &robot.driver, draws);
        let on_channel = robot.motors.iter().filter(|m| m.side == motor.side);
        let conductance: f64 = on_channel.map(|m| chain(m).line(1.0, 1.0).a_per_v).sum();
        let limit = draws.of(&robot.driver.current_limit, "driver");
        let cold = chain(motor).line(1.0, 1.0);
        let mut push = Self {
            chain: chain(motor),
            volts: drive.stalled_v,
            limit_a: limit * cold.a_per_v / conductance.max(1e-12),
            slip_nm: f64::INFINITY,
        };
        if drive.grip_n < drive.motors_push_n {
            let stalled_nm = cold.nm_per_a * push.current_a(Warmth::default()) - cold.drag_nm;
            push.slip_nm = drive.grip_n / drive.motors_push_n * stalled_nm;
        }
        push
    }

    /// The motor's line at these rises.
    fn line(&self, warm: Warmth) -> Line {
        let magnet = (1.0 - MAGNET_PER_K * warm.case_k).max(0.1);
        self.chain.line(copper_rise_ratio(warm.winding_k), magnet)
    }

    /// Its current in A at these rises: I = (T + T_f)/K at the slip, at most what stall and limit let
    /// through.
    fn current_a(&self, warm: Warmth) -> f64 {
        let line = self.line(warm);
        let slips_a = (self.slip_nm + line.drag_nm) / line.nm_per_a.max(1e-12);
        (line.a_per_v * self.volts).min(self.limit_a).min(slips_a)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use laws::heat::COPPER_PER_K;

    /// Portescap, "Motor Selection Tips: Understanding Thermal Parameters of DC Motors" (2021), gives
    /// the form of the network; its rises were computed by a matrix exponential elsewhere.
    const NETWORK: Network = Network {
        winding_to_case_k_w: 5.0,
        case_to_air_k_w: 20.0,
        winding_j_k: 5.0,
        case_j_k: 60.0,
    };

    fn day(matches: u32, rounds: u32, push_s: f64, pause_s: f64) -> Day {
        Day {
            matches,
            rounds,
            push_s,
            pause_s,
            between_s: 600.0,
        }
    }

    #[track_caller]
    fn near(value: f64, expected: f64, relative: f64) {
        assert!(
            (value - expected).abs() <= relative * expected.abs(),
            "{value} for {expected}"
        );
    }

    /// One round that never ends settles at ΔT = P/(1 − αP) with P = I²R·R_th (own arithmetic with the
    /// coefficient of IEC 60028, from memory): 41.88 K for 1 A, 2.4 Ω and 15 K/W.
    #[test]
    fn an_endless_round_ends_at_the_steady_rise() {
        let network = Network {
            winding_to_case_k_w: 5.0,
            case_to_air_k_w: 10.0,
            ..NETWORK
        };
        let ends = day(1, 1, 20_000.0, 30.0).after_rounds(&network, 2.4, |_| 1.0);
        near(ends[0].winding_k, 41.88, 1e-3);
    }

    /// 4 W for 60 s from cold: 19.449 K and 2.333 K. The winding's resistance rises by 3.8 % at the
    /// mean, so a current that makes 4 W at that mean comes within a per cent.
    #[test]
    fn the_first_round_warms_as_the_two_nodes_say() {
        let mean_ratio = 1.0 + COPPER_PER_K * 12.0;
        let current = (4.0 / (2.4 * mean_ratio)).sqrt();
        let ends = day(1, 3, 60.0, 30.0).after_rounds(&NETWORK, 2.4, |_| current);
        near(ends[0].winding_k, 19.449, 0.015);
        near(ends[0].case_k, 2.333, 0.03);
        assert!(ends.len() == 3 && ends[2].winding_k > ends[1].winding_k);
    }

    /// 80 °C instead of 25 °C: R × 1.2145, torque at standstill × 0.823 (own arithmetic, IEC 60028 from
    /// memory), with magnets as they were.
    #[test]
    fn a_winding_55_kelvin_warmer_gives_82_per_cent() {
        near(1.0 / copper_rise_ratio(55.0), 0.823, 1e-3);
    }

    #[test]
    fn shorter_pauses_and_more_matches_end_hotter() {
        let peak = |d: Day| {
            let ends = d.after_rounds(&NETWORK, 2.4, |_| 2.0);
            ends.iter().map(|w| w.winding_k).fold(0.0, f64::max)
        };
        assert!(peak(day(8, 3, 10.0, 10.0)) > peak(day(8, 3, 10.0, 120.0)));
        assert!(peak(day(8, 3, 10.0, 30.0)) > peak(day(1, 3, 10.0, 30.0)));
    }
}
