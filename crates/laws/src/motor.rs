//! The straight line of a brushed DC motor, its friction, and its gears both ways.
//!
//! A data sheet gives standstill (T_s, I_s) and free running (ω₀, I₀) at voltage V₀. Between them
//! I = gV − bω with g = I_s/V₀ and b = (I_s − I₀)/ω₀. The torque at the output shaft is
//! K·I − T_f with K = T_s/(I_s − I₀): of the current, I₀ goes into the friction T_f = K·I₀ of
//! brushes, bearings and gears, which opposes any turning and holds at standstill. With a resistance
//! R_d in series V falls by R_d·I: I = (gV − bω)/(1 + gR_d). Behind a gear of ratio N and efficiency
//! η: T_w = NηT, ω = Nω_w. Assumes no saturation; see any motor handbook, e.g. maxon, "Key
//! information" (from memory).
//!
//! **Both ways.** Teeth lose in proportion to what they carry: a box that drives with
//! η = 1/(1 + c) is driven back with η' = 1 − c = 2 − 1/η, and not at all from c = 1 (η = 0.5) on:
//! self-locking (worm and screw drives; from memory, e.g. Niemann, *Maschinenelemente*). Against a
//! motor torque T at the wheel the ring must bring up T/(ηη') to turn it back, so T(1/(ηη') − 1)
//! is friction on top.

use quantity::Draws;
use robot::{Driver, Motor};

/// What a data sheet says of a motor at its output shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sheet {
    /// Voltage V₀ at which the rest holds, V.
    pub rated_v: f64,
    /// Free speed ω₀, rad/s.
    pub free_rad_s: f64,
    /// Free current I₀, A.
    pub free_a: f64,
    /// Standstill torque T_s, N·m.
    pub stall_nm: f64,
    /// Standstill current I_s, A.
    pub stall_a: f64,
}

/// Most friction that a motor turned back meets, as a multiple of its torque: from here on a gear
/// counts as self-locking.
const MOST_BACK_SHARE: f64 = 20.0;

/// A motor's line at the wheel: torque = `nm_per_v`·V − `nm_s`·ω, less friction; current =
/// `a_per_v`·V − `a_s`·ω.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// N·m per volt at the driver's input.
    pub nm_per_v: f64,
    /// N·m·s/rad.
    pub nm_s: f64,
    /// A per volt.
    pub a_per_v: f64,
    /// A·s/rad.
    pub a_s: f64,
    /// N·m at the wheel per A, friction not counted: what a current limit leaves.
    pub nm_per_a: f64,
    /// Friction in N·m at the wheel, against any turning.
    pub drag_nm: f64,
    /// Further friction, as a multiple of the motor's torque, when turned against that torque.
    pub back_share: f64,
    /// Whether the gears hold by themselves while the motor gets nothing.
    pub locks: bool,
}

impl Line {
    /// Torque in N·m a wheel at rest passes on at `volts`: what is left after friction.
    #[must_use]
    pub fn standing_nm(&self, volts: f64) -> f64 {
        let torque = self.nm_per_v * volts;
        (torque.abs() - self.drag_nm).max(0.0).copysign(torque)
    }

    /// Torque in N·m that must be brought up against a motor at standstill at `volts` to turn it
    /// back.
    #[must_use]
    pub fn holding_nm(&self, volts: f64) -> f64 {
        (self.nm_per_v * volts).abs() * (1.0 + self.back_share) + self.drag_nm
    }
}

/// A motor with everything between pack and wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chain {
    /// The motor with its gearbox.
    pub sheet: Sheet,
    /// Resistance of the driver in series, Ω.
    pub series_ohm: f64,
    /// Further gear between shaft and wheel; above 1: slower.
    pub ratio: f64,
    /// Efficiency of that gear when driving.
    pub efficiency: f64,
    /// Efficiency of the motor's own gearbox when driving; its losses are in the sheet already.
    pub box_efficiency: f64,
}

impl Chain {
    /// The line at the wheel with the winding `winding` times as resistive as on the sheet and
    /// magnets `magnet` times as strong (both 1: as on the sheet).
    #[must_use]
    pub fn line(&self, winding: f64, magnet: f64) -> Line {
        let s = &self.sheet;
        let cold_ohm = s.rated_v / s.stall_a;
        let ohm = cold_ohm * winding + self.series_ohm;
        // V·s/rad and N·m/A at the output shaft.
        let back_emf = (s.stall_a - s.free_a).max(0.0) / s.free_rad_s * cold_ohm;
        let per_ampere = s.stall_nm / (s.stall_a - s.free_a).max(1e-9);
        let (n, eta) = (self.ratio, self.efficiency);
        let through = (eta * self.box_efficiency).clamp(1e-3, 1.0);
        let back = 2.0 - 1.0 / through;
        let back_share = if back > 0.0 {
            (1.0 / (through * back) - 1.0).min(MOST_BACK_SHARE)
        } else {
            MOST_BACK_SHARE
        };
        let torque = per_ampere * magnet * n * eta;
        Line {
            nm_per_v: torque / ohm,
            nm_s: torque * back_emf * magnet * n / ohm,
            a_per_v: 1.0 / ohm,
            a_s: back_emf * magnet * n / ohm,
            nm_per_a: torque,
            drag_nm: per_ampere * s.free_a.max(0.0) * n * eta,
            back_share,
            locks: back <= 0.0,
        }
    }

    /// Resistance of the winding as on the sheet, Ω.
    #[must_use]
    pub fn winding_ohm(&self) -> f64 {
        self.sheet.rated_v / self.sheet.stall_a
    }
}

impl Sheet {
    /// The line at the wheel behind a driver of resistance `series_ohm` and a further gear of
    /// `ratio` (above 1: slower) and `efficiency`, with a gearbox of its own that loses nothing.
    #[must_use]
    pub fn line(&self, series_ohm: f64, ratio: f64, efficiency: f64) -> Line {
        let chain = Chain {
            sheet: *self,
            series_ohm,
            ratio,
            efficiency,
            box_efficiency: 1.0,
        };
        chain.line(1.0, 1.0)
    }

    /// Greatest mechanical power in W: a quarter of T_s·ω₀, at half speed and half torque.
    #[must_use]
    pub fn most_power_w(&self) -> f64 {
        0.25 * self.stall_nm * self.free_rad_s
    }
}

/// A robot's motor with its driver and further gear, as drawn.
#[must_use]
pub fn chain_of(motor: &Motor, driver: &Driver, draws: &Draws) -> Chain {
    let name = &motor.item.name;
    let stall_a = draws.of(&motor.stall_current, name).max(1e-6);
    let sheet = Sheet {
        rated_v: draws.of(&motor.rated_voltage, name).max(1e-3),
        free_rad_s: draws.of(&motor.no_load_speed, name).max(1e-3),
        free_a: (draws.of(&motor.no_load_current, name)).clamp(0.0, MOST_FREE_SHARE * stall_a),
        stall_nm: draws.of(&motor.stall_torque, name).max(0.0),
        stall_a,
    };
    Chain {
        sheet,
        series_ohm: draws.of(&driver.resistance, name),
        ratio: draws.of(&motor.gear_ratio, name).max(1e-6),
        efficiency: draws.of(&motor.gear_efficiency, name).clamp(0.0, 1.0),
        box_efficiency: draws.of(&motor.box_efficiency, name).clamp(0.0, 1.0),
    }
}

/// The line at the wheel of a robot's motor behind its driver and further gear, as drawn, cold.
#[must_use]
pub fn line_of(motor: &Motor, driver: &Driver, draws: &Draws) -> Line {
    chain_of(motor, driver, draws).line(1.0, 1.0)
}

/// A motor whose friction eats more than this share of its stall current does not turn.
const MOST_FREE_SHARE: f64 = 0.9;

/// A motor by its constants: winding resistance R in Ω, K in N·m/A = V·s/rad, free current I₀ in A.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constants {
    /// R, Ω.
    pub resistance_ohm: f64,
    /// K, N·m/A.
    pub k_nm_per_a: f64,
    /// I₀, A.
    pub free_a: f64,
}

impl Constants {
    /// Its data sheet at `volts`: ω₀ = (V − I₀R)/K, I_s = V/R, T_s = K(I_s − I₀).
    #[must_use]
    pub fn sheet(&self, volts: f64) -> Sheet {
        let stall_a = volts / self.resistance_ohm;
        Sheet {
            rated_v: volts,
            free_rad_s: (volts - self.free_a * self.resistance_ohm) / self.k_nm_per_a,
            free_a: self.free_a,
            stall_nm: self.k_nm_per_a * (stall_a - self.free_a),
            stall_a,
        }
    }

    /// Best efficiency (1 − √(I₀/I_s))² and the current √(I₀I_s) at which it is reached (maxon,
    /// Formulae Handbook, J. Braun; from memory).
    #[must_use]
    pub fn best_efficiency(&self, volts: f64) -> (f64, f64) {
        let stall_a = volts / self.resistance_ohm;
        let root = 1.0 - (self.free_a / stall_a).sqrt();
        (root * root, (self.free_a * stall_a).sqrt())
    }
}

/// Whether torque constant (N·m/A) and speed constant (V·s/rad) of a data sheet contradict each
/// other by more than `tolerance`: in SI they are one number, or energy would not be conserved.
#[must_use]
pub fn constants_disagree(k_torque: f64, k_speed: f64, tolerance: f64) -> bool {
    (k_torque / k_speed - 1.0).abs() > tolerance
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    const RPM: f64 = core::f64::consts::PI / 30.0;

    /// lancet.mit.edu/motor/motors3.html and motors4.html, "D.C. Motor Torque/Speed Curve": two
    /// gear motors; half-speed, half-torque points printed there, powers computed.
    #[test]
    fn most_power_is_at_half_speed_and_half_torque() {
        for (rpm, nm, watt) in [(600.0, 0.325, 5.105), (3750.0, 0.0722, 7.088)] {
            let s = Sheet {
                rated_v: 12.0,
                free_rad_s: rpm * RPM,
                free_a: 0.0,
                stall_nm: nm,
                stall_a: 1.0,
            };
            near(s.most_power_w(), watt, 1e-3);
        }
    }

    /// Exercise "Permanent Magnet DC Motor …" found at store.perpetualshade.com/juntos/45751752;
    /// answers computed. Its Ke of 12 V per 1000 rpm contradicts its Kt by 4.5 %.
    #[test]
    fn a_contradiction_between_the_constants_is_noticed() {
        let (kt, ke) = (0.12, 12.0 / (1000.0 * RPM));
        near(10.0 / ke / RPM, 833.3, 1e-3);
        let s = Constants {
            resistance_ohm: 1.5,
            k_nm_per_a: kt,
            free_a: 0.0,
        }
        .sheet(10.0);
        near(s.stall_a, 6.667, 1e-3);
        near(s.stall_nm, 0.800, 1e-3);
        let amps = 0.6 / kt;
        near(amps, 5.0, 1e-3);
        near((10.0 - 1.5 * amps) / ke / RPM, 208.3, 1e-3);
        assert!(constants_disagree(kt, ke, 0.02));
        assert!(!constants_disagree(kt, 0.1195, 0.02));
    }

    /// maxon, Formulae Handbook (from memory); confirmed by brute-force maximisation.
    #[test]
    fn best_efficiency_has_its_closed_form() {
        let m = Constants {
            resistance_ohm: 2.4,
            k_nm_per_a: 0.0105,
            free_a: 0.12,
        };
        let s = m.sheet(12.0);
        near(s.free_rad_s / RPM, 10_652.0, 1e-3);
        near(s.stall_a, 5.0, 1e-3);
        near(s.stall_nm, 0.051_24, 1e-3);
        let (eta, amps) = m.best_efficiency(12.0);
        near(eta, 0.7142, 1e-3);
        near(amps, 0.7746, 1e-3);
        let speed = (12.0 - 2.4 * amps) / 0.0105;
        near(speed / RPM, 9223.0, 1e-3);
        near(0.0105 * (amps - 0.12), 6.873e-3, 1e-3);
        let power = |i: f64| (12.0 - 2.4 * i) / 0.0105 * 0.0105 * (i - 0.12);
        near(power(2.56), 14.289, 1e-3);
    }

    const SMALL: Sheet = Sheet {
        rated_v: 6.0,
        free_rad_s: 100.0,
        free_a: 0.1,
        stall_nm: 0.045,
        stall_a: 0.8,
    };

    /// The two points of the sheet themselves.
    #[test]
    fn the_line_goes_through_standstill_and_free_running() {
        let line = SMALL.line(0.0, 1.0, 1.0);
        near(line.standing_nm(6.0), 0.045, 1e-12);
        let torque = line.nm_per_v * 6.0 - line.nm_s * 100.0;
        near(torque, line.drag_nm, 1e-12);
        near(line.a_per_v * 6.0 - line.a_s * 100.0, 0.1, 1e-12);
        // Below I₀R it does not move at all.
        assert!(line.standing_nm(0.74) == 0.0 && line.standing_nm(0.76) > 0.0);
    }

    /// η' = 2 − 1/η (computed): 0.8 drives back with 0.75, 0.5 not at all.
    #[test]
    fn a_box_of_half_efficiency_locks_itself() {
        let with = |box_efficiency: f64| {
            let chain = Chain {
                sheet: SMALL,
                series_ohm: 0.0,
                ratio: 1.0,
                efficiency: 1.0,
                box_efficiency,
            };
            chain.line(1.0, 1.0)
        };
        near(1.0 + with(0.8).back_share, 1.0 / (0.8 * 0.75), 1e-9);
        near(with(1.0).back_share, 0.0, 1e-9);
        assert!(!with(0.51).locks && with(0.5).locks);
        let line = with(0.8);
        near(
            line.holding_nm(6.0),
            line.nm_per_v * 6.0 / 0.6 + line.drag_nm,
            1e-9,
        );
    }

    /// Copper at 80 °C (1/1.2145, computed): torque at standstill falls, the free speed hardly.
    #[test]
    fn a_hot_winding_takes_torque_and_leaves_speed() {
        let chain = Chain {
            sheet: Sheet {
                free_a: 0.0,
                ..SMALL
            },
            series_ohm: 0.0,
            ratio: 1.0,
            efficiency: 1.0,
            box_efficiency: 1.0,
        };
        let (cold, hot) = (chain.line(1.0, 1.0), chain.line(1.2145, 1.0));
        near(hot.nm_per_v / cold.nm_per_v, 0.823, 1e-3);
        near(hot.nm_per_v / hot.nm_s, cold.nm_per_v / cold.nm_s, 1e-12);
        let weak = chain.line(1.0, 0.9);
        near(weak.nm_per_v / cold.nm_per_v, 0.9, 1e-12);
        near(
            weak.nm_per_v / weak.nm_s,
            cold.nm_per_v / cold.nm_s / 0.9,
            1e-12,
        );
    }
}
