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

/// How the voltage without load falls as a pack is emptied.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Chemistry {
    /// Lithium polymer or lithium ion.
    Lithium,
    /// Nickel metal hydride or nickel cadmium.
    Nickel,
    /// Alkaline cells.
    Alkaline,
}

/// Charge left and volts of a resting cell, from full to empty: usual curves of shop cells (from
/// memory; cells of one kind differ by some hundredths of a volt).
const LITHIUM: [(f64, f64); 8] = [
    (1.0, 4.20),
    (0.9, 4.06),
    (0.7, 3.93),
    (0.5, 3.82),
    (0.3, 3.75),
    (0.15, 3.68),
    (0.05, 3.50),
    (0.0, 3.20),
];
const NICKEL: [(f64, f64); 7] = [
    (1.0, 1.42),
    (0.95, 1.37),
    (0.8, 1.31),
    (0.5, 1.28),
    (0.2, 1.24),
    (0.1, 1.19),
    (0.0, 1.00),
];
const ALKALINE: [(f64, f64); 5] = [
    (1.0, 1.60),
    (0.8, 1.43),
    (0.5, 1.28),
    (0.2, 1.12),
    (0.0, 0.90),
];

impl Chemistry {
    /// The chemistry a builder's word stands for; anything unknown counts as nickel.
    #[must_use]
    pub fn named(word: &str) -> Self {
        let word = word.to_lowercase();
        let has = |part: &str| word.contains(part);
        if has("li") && !has("alka") {
            Self::Lithium
        } else if has("alka") || has("zinc") {
            Self::Alkaline
        } else {
            Self::Nickel
        }
    }

    fn curve(self) -> &'static [(f64, f64)] {
        match self {
            Self::Lithium => &LITHIUM,
            Self::Nickel => &NICKEL,
            Self::Alkaline => &ALKALINE,
        }
    }

    /// Voltage without load at a `charge` left (0 to 1) as a share of that of the full pack.
    #[must_use]
    pub fn open_share(self, charge: f64) -> f64 {
        let curve = self.curve();
        let full = curve[0].1;
        for pair in curve.windows(2) {
            let ([(c1, v1), (c0, v0)], charge) = ([pair[0], pair[1]], charge.clamp(0.0, 1.0));
            if charge >= c0 {
                return (v0 + (v1 - v0) * (charge - c0) / (c1 - c0)) / full;
            }
        }
        curve[curve.len() - 1].1 / full
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    #[test]
    fn a_pack_falls_from_full_to_empty_and_never_rises() {
        for kind in ["LiPo", "NiMH", "alkaline"].map(Chemistry::named) {
            near(kind.open_share(1.0), 1.0, 1e-12);
            let mut last = 1.0;
            for k in (0..100).rev() {
                let now = kind.open_share(f64::from(k) / 100.0);
                assert!(now < last, "{kind:?} {k} %: {now}");
                last = now;
            }
        }
        near(Chemistry::named("LiPo").open_share(0.5), 3.82 / 4.20, 1e-12);
        assert_eq!(Chemistry::named("Li-ion 18650"), Chemistry::Lithium);
        assert_eq!(Chemistry::named("Alkaline"), Chemistry::Alkaline);
        assert_eq!(Chemistry::named("NiCd"), Chemistry::Nickel);
    }

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
