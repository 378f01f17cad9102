//! Winding temperature: steady, over time, and over a day of rounds.
//!
//! The thermal network of a motor has two nodes, winding and case: P heats the winding (C_w), which
//! gives to the case (R_wc), which gives to the air (R_ca, C_c). Form: Portescap, "Motor Selection
//! Tips: Understanding Thermal Parameters of DC Motors" (2021).

use quantity::{Draws, maths};
use robot::Motor;

/// Temperature coefficient of copper in 1/K referred to 25 °C (IEC 60028; from memory).
pub const COPPER_PER_K: f64 = 0.0039;

/// Steady rise in K of a motor that gives `shaft_w` at `efficiency` through a thermal resistance.
#[must_use]
pub fn steady_rise_k(shaft_w: f64, efficiency: f64, k_per_w: f64) -> f64 {
    (shaft_w / efficiency - shaft_w) * k_per_w
}

/// Resistance at `celsius` as a multiple of that at 25 °C.
#[must_use]
pub fn copper_resistance_ratio(celsius: f64) -> f64 {
    1.0 + COPPER_PER_K * (celsius - 25.0)
}

/// Steady rise in K at constant current, with the resistance rising as it heats:
/// ΔT = P/(1 − αP) with P = I²R·R_th; none where it runs away.
#[must_use]
pub fn rise_at_current_k(current_a: f64, ohm_25: f64, k_per_w: f64) -> Option<f64> {
    let cold = current_a * current_a * ohm_25 * k_per_w;
    let left = 1.0 - COPPER_PER_K * cold;
    (left > 0.0).then(|| cold / left)
}

/// Rise in K of one node `time_s` after a step to a final rise: ΔT(1 − e^(−t/τ)).
#[must_use]
pub fn first_order_rise_k(final_k: f64, time_constant_s: f64, time_s: f64) -> f64 {
    final_k * (1.0 - maths::exp(-time_s / time_constant_s))
}

/// Rate in K/s at which `watt` heat a mass that gives nothing away.
#[must_use]
pub fn adiabatic_k_s(watt: f64, mass_kg: f64, j_per_kg_k: f64) -> f64 {
    watt / (mass_kg * j_per_kg_k)
}

/// Current in A from which on no steady temperature exists: 1/√(αR₂₅R_th).
#[must_use]
pub fn runaway_a(ohm_25: f64, k_per_w: f64) -> f64 {
    1.0 / (COPPER_PER_K * ohm_25 * k_per_w).sqrt()
}

/// Resistance of copper that has warmed by `rise_k` from where its sheet holds (25 °C), as a
/// multiple.
#[must_use]
pub fn copper_rise_ratio(rise_k: f64) -> f64 {
    1.0 + COPPER_PER_K * rise_k
}

/// Loss of magnets per K of the case, as a share: ferrite, the usual magnet of small brushed motors
/// (0.2 %/K; neodymium about half of it). From memory.
pub const MAGNET_PER_K: f64 = 0.002;

/// The thermal network of a motor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Network {
    /// Winding to case, K/W.
    pub winding_to_case_k_w: f64,
    /// Case to air, K/W.
    pub case_to_air_k_w: f64,
    /// Heat capacity of the winding, J/K.
    pub winding_j_k: f64,
    /// Heat capacity of the case, J/K.
    pub case_j_k: f64,
}

/// Rises over the air in K.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Warmth {
    /// Of the winding.
    pub winding_k: f64,
    /// Of the case with its magnets.
    pub case_k: f64,
}

/// The thermal network of a robot's motor, as drawn: heat capacities follow from the time
/// constants, C = τ/R.
#[must_use]
pub fn network_of(motor: &Motor, draws: &Draws) -> Network {
    let (cooling, name) = (&motor.cooling, &motor.item.name);
    let winding_to_case_k_w = draws.of(&cooling.winding_to_case, name).max(0.01);
    let case_to_air_k_w = draws.of(&cooling.case_to_air, name).max(0.01);
    Network {
        winding_to_case_k_w,
        case_to_air_k_w,
        winding_j_k: draws.of(&cooling.winding_time, name).max(0.1) / winding_to_case_k_w,
        case_j_k: draws.of(&cooling.case_time, name).max(0.1) / case_to_air_k_w,
    }
}

impl Network {
    /// Rises in the long run under `watt`.
    #[must_use]
    pub fn steady(&self, watt: f64) -> Warmth {
        let case_k = watt * self.case_to_air_k_w;
        Warmth {
            winding_k: case_k + watt * self.winding_to_case_k_w,
            case_k,
        }
    }

    /// Time constants in s, the shorter first: −1 over the eigenvalues of the network.
    #[must_use]
    pub fn time_constants_s(&self) -> [f64; 2] {
        self.rates().map(|rate| -1.0 / rate)
    }

    fn rates(&self) -> [f64; 2] {
        let a = 1.0 / (self.winding_to_case_k_w * self.winding_j_k);
        let b = 1.0 / (self.winding_to_case_k_w * self.case_j_k);
        let c = 1.0 / (self.case_to_air_k_w * self.case_j_k);
        let half = 0.5 * (a + b + c);
        let root = (half * half - a * c).max(0.0).sqrt();
        [-half - root, -half + root]
    }

    /// Rises `time_s` later under a constant `watt`: the exact solution. With x the distance from
    /// the steady rises and M the network's matrix, x(t) = e^(Mt)x(0), and for two different
    /// eigenvalues p, q: e^(Mt) = (e^(pt)(M − q) − e^(qt)(M − p))/(p − q).
    #[must_use]
    pub fn after(&self, from: Warmth, watt: f64, time_s: f64) -> Warmth {
        let end = self.steady(watt);
        let x = [from.winding_k - end.winding_k, from.case_k - end.case_k];
        let a = 1.0 / (self.winding_to_case_k_w * self.winding_j_k);
        let b = 1.0 / (self.winding_to_case_k_w * self.case_j_k);
        let c = 1.0 / (self.case_to_air_k_w * self.case_j_k);
        let m = [-a * x[0] + a * x[1], b * x[0] - (b + c) * x[1]];
        let [p, q] = self.rates();
        let (ep, eq) = (maths::exp(p * time_s), maths::exp(q * time_s));
        let part = |k: usize| (ep * (m[k] - q * x[k]) - eq * (m[k] - p * x[k])) / (p - q);
        Warmth {
            winding_k: end.winding_k + part(0),
            case_k: end.case_k + part(1),
        }
    }

    /// Rises a short `step_s` later under `watt`, by one explicit step: for steps far below the
    /// winding's time constant.
    #[must_use]
    pub fn step(&self, from: Warmth, watt: f64, step_s: f64) -> Warmth {
        let inward = (from.winding_k - from.case_k) / self.winding_to_case_k_w;
        let outward = from.case_k / self.case_to_air_k_w;
        Warmth {
            winding_k: from.winding_k + step_s * (watt - inward) / self.winding_j_k,
            case_k: from.case_k + step_s * (inward - outward) / self.case_j_k,
        }
    }
}

/// One stretch of a day: a current in A through a winding for a time in s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Current, A.
    pub current_a: f64,
    /// How long, s.
    pub time_s: f64,
}

/// Stretches are cut into pieces no longer than this in s, over which the resistance is taken as
/// constant. Usual 1; at 10 the peaks of small motors are off by some kelvin.
const PIECE_S: f64 = 0.5;

/// Rises of a winding of `ohm_25` at the end of each stretch, resistance following temperature.
/// Nothing stops a runaway: rises beyond some 150 K mean that the motor has burnt.
#[must_use]
pub fn over_a_day(network: &Network, ohm_25: f64, from: Warmth, day: &[Stretch]) -> Vec<Warmth> {
    let mut now = from;
    let mut ends = Vec::with_capacity(day.len());
    for stretch in day {
        let pieces = (stretch.time_s / PIECE_S).ceil().clamp(1.0, 1e6);
        let piece_s = if stretch.current_a > 0.0 {
            stretch.time_s / pieces
        } else {
            stretch.time_s
        };
        let mut left = stretch.time_s;
        while left > 1e-9 * stretch.time_s && left > 0.0 {
            let ohm = ohm_25 * copper_rise_ratio(now.winding_k.min(BURNT_K));
            let watt = stretch.current_a * stretch.current_a * ohm;
            now = network.after(now, watt, piece_s);
            left -= piece_s;
        }
        ends.push(now);
    }
    ends
}

/// Beyond this rise in K the resistance is no longer followed: insulation of small motors fails
/// near 155 °C (class F).
const BURNT_K: f64 = 400.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// rftools.io, "Motor Heat Dissipation", worked example.
    #[test]
    fn a_fifth_lost_heats_the_winding_by_45_kelvin() {
        near(35.0 + steady_rise_k(100.0, 0.80, 1.8), 80.0, 1e-3);
    }

    /// Arithmetic computed; coefficient from memory.
    #[test]
    fn hot_copper_resists_more_and_can_run_away() {
        near(copper_resistance_ratio(80.0), 1.2145, 5e-3);
        near(rise_at_current_k(1.0, 2.4, 15.0).unwrap(), 41.88, 5e-3);
        assert!(rise_at_current_k(2.66, 2.4, 15.0).is_some());
        assert!(rise_at_current_k(2.68, 2.4, 15.0).is_none());
    }

    /// Stall torque goes with 1/R at constant voltage.
    #[test]
    fn a_hot_motor_pushes_less() {
        near(1.0 / copper_resistance_ratio(80.0), 0.823, 5e-3);
    }

    /// Closed forms (first-order transient as on the firgelliauto.com thermal-model page; specific
    /// heat from memory).
    #[test]
    fn one_node_rises_by_its_exponential() {
        near(first_order_rise_k(60.0, 12.0, 5.0), 20.45, 1e-3);
        near(first_order_rise_k(60.0, 12.0, 12.0), 37.93, 1e-3);
        near(adiabatic_k_s(30.0, 0.005, 385.0), 15.58, 1e-3);
    }

    /// I = 1/√(αRR_th), computed; the law of the steady rise agrees on both sides of it.
    #[test]
    fn above_one_current_no_steady_temperature_exists() {
        near(runaway_a(2.4, 15.0), 2.669, 1e-3);
        assert!(rise_at_current_k(2.668, 2.4, 15.0).is_some());
        assert!(rise_at_current_k(2.670, 2.4, 15.0).is_none());
    }

    const NETWORK: Network = Network {
        winding_to_case_k_w: 5.0,
        case_to_air_k_w: 20.0,
        winding_j_k: 5.0,
        case_j_k: 60.0,
    };

    /// Form: Portescap (2021); figures computed by a matrix exponential elsewhere.
    #[test]
    fn two_nodes_rise_as_the_matrix_exponential_says() {
        let [short, long] = NETWORK.time_constants_s();
        near(short, 23.04, 1e-3);
        near(long, 1302.0, 1e-3);
        for (t, winding, case) in [
            (10.0, 6.608, 0.116),
            (60.0, 19.449, 2.333),
            (300.0, 34.05, 15.32),
            (1e6, 100.0, 80.0),
        ] {
            let w = NETWORK.after(Warmth::default(), 4.0, t);
            near(w.winding_k, winding, 5e-4);
            near(w.case_k, case, 5e-3);
        }
    }

    /// Explicit steps of a millisecond against the exact solution; measured 1e-5.
    #[test]
    fn small_steps_follow_the_exact_solution() {
        let mut w = Warmth::default();
        for _ in 0..10_000 {
            w = NETWORK.step(w, 4.0, 1e-3);
        }
        let exact = NETWORK.after(Warmth::default(), 4.0, 10.0);
        near(w.winding_k, exact.winding_k, 1e-4);
        near(w.case_k, exact.case_k, 1e-3);
    }

    /// With constant current in the long run the day ends at the steady rise with feedback.
    #[test]
    fn a_long_day_at_one_current_ends_at_the_steady_rise() {
        let day = [Stretch {
            current_a: 0.6,
            time_s: 20_000.0,
        }];
        let ends = over_a_day(&NETWORK, 2.4, Warmth::default(), &day);
        let steady = rise_at_current_k(0.6, 2.4, 25.0).unwrap();
        near(ends[0].winding_k, steady, 1e-3);
    }

    #[test]
    fn rounds_add_up_and_pauses_cool() {
        let round = Stretch {
            current_a: 2.0,
            time_s: 20.0,
        };
        let pause = Stretch {
            current_a: 0.0,
            time_s: 60.0,
        };
        let day: Vec<Stretch> = (0..10).flat_map(|_| [round, pause]).collect();
        let ends = over_a_day(&NETWORK, 2.4, Warmth::default(), &day);
        for k in (0..18).step_by(2) {
            assert!(ends[k].winding_k > ends[k + 1].winding_k, "pause {k}");
            assert!(ends[k + 2].winding_k > ends[k].winding_k, "round {k}");
        }
    }
}
