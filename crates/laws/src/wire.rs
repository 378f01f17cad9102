//! Copper wires: resistance, the current they carry, and the fuse that guards them.

use quantity::maths;
use robot::Gauge;

/// Resistivity of annealed copper at 20 °C, Ω·m (IEC 60028: 1/58 Ω·mm²/m; from memory).
pub const COPPER_OHM_M: f64 = 1.724_1e-8;

/// Gauge and most current in A of a single wire in free air inside an apparatus ("chassis wiring"):
/// Handbook of Electronic Tables and Formulas for American Wire Gauge, as reprinted by eol.ucar.edu
/// ("Wire Gauge and Current Limits") and powerstream.com; read in the reprints. A rule of thumb, meant to
/// be on the safe side; a bundle carries less.
pub const CHASSIS_A: [(u32, f64); 11] = [
    (30, 0.86),
    (28, 1.4),
    (26, 2.2),
    (24, 3.5),
    (22, 7.0),
    (20, 11.0),
    (18, 16.0),
    (16, 22.0),
    (14, 32.0),
    (12, 41.0),
    (10, 55.0),
];

/// Ratings in A that blade fuses come in (ISO 8820-3; from memory).
pub const BLADE_A: [f64; 13] = [
    1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0,
];

/// Hold currents in A that resettable fuses with wires come in (a usual series of polymer fuses; from
/// memory).
pub const RESETTABLE_A: [f64; 15] = [
    0.5, 0.75, 0.9, 1.1, 1.35, 1.6, 1.85, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0,
];

/// A fuse surely opens within seconds at this multiple of its rating (ISO 8820-3: 200 % within 5 s;
/// resettable ones trip at about twice their hold current; both from memory).
pub const OPENS_AT: f64 = 2.0;

/// Cross-section in m². Of a gauge n: π/4·d², d = 0.127 mm · 92^((36 − n)/39) (ASTM B258; read in
/// eol.ucar.edu, "Wire Gauge and Current Limits").
#[must_use]
pub fn area_m2(gauge: Gauge) -> f64 {
    match gauge {
        Gauge::AreaM2(area) => area,
        Gauge::Awg(n) => {
            let d = 0.127e-3 * maths::pow(92.0, (36.0 - f64::from(n)) / 39.0);
            core::f64::consts::FRAC_PI_4 * d * d
        }
    }
}

/// Resistance in Ω of one such wire at 20 °C: ρ·l/A. Stranded wire has some percent more.
#[must_use]
pub fn resistance_ohm(gauge: Gauge, length_m: f64) -> f64 {
    COPPER_OHM_M * length_m / area_m2(gauge)
}

/// Most current in A that it carries: that of the thickest gauge of the table that is no thicker than
/// it. Thinner than the table in proportion to its cross-section.
#[must_use]
pub fn carries_a(gauge: Gauge) -> f64 {
    let area = area_m2(gauge) * (1.0 + 1e-9);
    let fits = |n: u32| area_m2(Gauge::Awg(n)) <= area;
    let found = CHASSIS_A.iter().rev().find(|(n, _)| fits(*n));
    found.map_or_else(
        || {
            let (n, amperes) = CHASSIS_A[0];
            amperes * area / area_m2(Gauge::Awg(n))
        },
        |(_, amperes)| *amperes,
    )
}

/// The thinnest gauge of the table that carries `current_a` and loses at most `most_drop_v` over
/// `length_m` of copper, there and back together; none: thicker than the table.
#[must_use]
pub fn gauge_for(current_a: f64, length_m: f64, most_drop_v: f64) -> Option<u32> {
    let fits = |n: u32, amperes: f64| {
        amperes >= current_a && current_a * resistance_ohm(Gauge::Awg(n), length_m) <= most_drop_v
    };
    (CHASSIS_A.iter())
        .find(|(n, a)| fits(*n, *a))
        .map(|(n, _)| *n)
}

/// The smallest rating of a series that holds `running_a` for good; none: more than it has.
#[must_use]
pub fn rating_for(series: &[f64], running_a: f64) -> Option<f64> {
    series.iter().copied().find(|a| *a >= running_a)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// Diameter and resistance as printed for solid copper in the reprints of the handbook's table
    /// (read there): 0.64516 mm and 52.94 Ω/km for gauge 22, 1.29032 mm and 13.17 Ω/km for 16,
    /// 0.254 mm and 338.5 Ω/km for 30. They rounded the diameters to 0.1 mil first: within 0.6 %.
    #[test]
    fn gauges_have_the_printed_resistance() {
        for (n, d_mm, ohm_km) in [
            (22, 0.645_16, 52.94),
            (16, 1.290_32, 13.17),
            (30, 0.254, 338.5),
        ] {
            let d = (4.0 * area_m2(Gauge::Awg(n)) / core::f64::consts::PI).sqrt();
            near(1e3 * d, d_mm, 3e-3);
            near(resistance_ohm(Gauge::Awg(n), 1000.0), ohm_km, 6e-3);
        }
    }

    /// Six gauges less double the diameter; three double the cross-section (the reprints' text).
    #[test]
    fn three_gauges_double_the_copper() {
        near(area_m2(Gauge::Awg(20)) / area_m2(Gauge::Awg(23)), 2.0, 5e-3);
        near(area_m2(Gauge::Awg(14)) / area_m2(Gauge::Awg(20)), 4.0, 1e-2);
    }

    #[test]
    fn a_metric_wire_carries_what_the_next_thinner_gauge_does() {
        let mm2 = |a: f64| carries_a(Gauge::AreaM2(1e-6 * a));
        near(mm2(0.35), 7.0, 1e-12); // gauge 22 has 0.326 mm²
        near(mm2(0.25), 3.5, 1e-12); // gauge 24 has 0.205 mm²
        near(carries_a(Gauge::Awg(22)), 7.0, 1e-12);
        near(carries_a(Gauge::Awg(23)), 3.5, 1e-12);
        assert!(mm2(0.02) < 0.86 && mm2(0.02) > 0.2);
    }

    #[test]
    fn a_long_wire_is_chosen_by_its_drop_and_a_short_one_by_its_heat() {
        assert_eq!(gauge_for(5.0, 0.2, 0.5), Some(22));
        // 4 m of gauge 20 lose 0.67 V at 5 A, of gauge 18 0.42 V (33.3 and 20.9 Ω/km printed).
        assert_eq!(gauge_for(5.0, 4.0, 0.5), Some(18));
        assert_eq!(gauge_for(60.0, 0.2, 0.5), None);
    }

    #[test]
    fn the_next_higher_fuse_holds() {
        assert_eq!(rating_for(&BLADE_A, 5.1), Some(7.5));
        assert_eq!(rating_for(&BLADE_A, 5.0), Some(5.0));
        assert_eq!(rating_for(&RESETTABLE_A, 9.5), None);
    }
}
