//! Winding temperature.

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
}
