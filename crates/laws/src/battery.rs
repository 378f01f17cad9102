//! A pack with an internal resistance.

/// Voltage in V at the terminals under a load current: V₀ − R·I (chiefdelphi.com, "Internal
/// resistance of batteries"; vbatpower.com/formulas/battery-voltage-load).
#[must_use]
pub fn under_load_v(open_v: f64, resistance_ohm: f64, load_a: f64) -> f64 {
    open_v - resistance_ohm * load_a
}

/// Most power in W a pack can give: V₀²/(4R), with the terminals at half voltage (maximum power
/// transfer theorem).
#[must_use]
pub fn most_power_w(open_v: f64, resistance_ohm: f64) -> f64 {
    open_v * open_v / (4.0 * resistance_ohm)
}

/// Terminal voltage in V when every consumer acts as a resistance at full effort: V₀ less what the
/// idle current costs, divided by 1 + R·Σg, with Σg in A per volt.
#[must_use]
pub fn stalled_v(open_v: f64, resistance_ohm: f64, idle_a: f64, conductance_a_per_v: f64) -> f64 {
    (open_v - resistance_ohm * idle_a) / (1.0 + resistance_ohm * conductance_a_per_v)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// Worked statement in the chiefdelphi.com thread "Internal resistance of batteries", post 19.
    #[test]
    fn two_hundred_amperes_cost_four_volts() {
        near(under_load_v(12.6, 0.020, 200.0), 8.6, 1e-12);
    }

    /// I = V/(R + nR_b), computed.
    #[test]
    fn two_stalled_motors_share_the_sag() {
        let each = |r: f64| stalled_v(7.4, 0.080, 0.0, 2.0 / r) / r;
        near(each(2.4), 2.891, 1e-3);
        near(stalled_v(7.4, 0.080, 0.0, 2.0 / 2.4), 6.938, 1e-3);
        near(each(0.6), 9.737, 1e-3);
        near(stalled_v(7.4, 0.080, 0.0, 2.0 / 0.6) / 7.4, 0.789, 1e-3);
    }

    #[test]
    fn most_power_is_drawn_at_half_voltage() {
        near(most_power_w(11.1, 0.05), 616.05, 1e-12);
        near(under_load_v(11.1, 0.05, 111.0), 5.55, 1e-12);
    }
}
