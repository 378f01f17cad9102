//! Printing quantities with a unit and sensible digits, as the SI brochure writes them.

use crate::{Dimension, Unit, maths};

/// `si` in the most natural unit of `D`, with `digits` significant digits. A space stands before
/// the unit, none before ° (BIPM SI brochure, section 5.4.3).
#[must_use]
pub fn show<D: Dimension>(si: f64, digits: usize) -> String {
    if !si.is_finite() {
        return "not a number".to_owned();
    }
    let unit = natural_unit::<D>(si);
    let number = significant((si - unit.offset) / unit.scale, digits);
    match unit.symbol {
        "" => number,
        s if s.starts_with('°') && s != "°C" && s != "°/s" => format!("{number}{s}"),
        s => format!("{number} {s}"),
    }
}

/// `si` with three significant digits in the most natural unit of `D`.
#[must_use]
pub fn show_si<D: Dimension>(si: f64) -> String {
    show::<D>(si, 3)
}

/// The unit that leaves between 1 and 999 before the point, among those a reader expects.
fn natural_unit<D: Dimension>(si: f64) -> Unit {
    let expected: &[&str] = match D::NAME {
        "length" => &["mm", "m"],
        "mass" => &["g", "kg"],
        "force" => &["mN", "N"],
        "torque" => &["mN·m", "N·m"],
        "energy" => &["mJ", "J"],
        "power" => &["mW", "W"],
        "voltage" => &["mV", "V"],
        "current" => &["mA", "A"],
        "charge" => &["mAh"],
        "resistance" => &["mΩ", "Ω"],
        "turning speed" => &["rpm"],
        "angle" => &["°"],
        "speed" => &["m/s"],
        "time" => &["ms", "s"],
        "frequency" => &["Hz", "kHz", "MHz"],
        "temperature" => &["°C"],
        "stiffness" => &["N/mm"],
        "moment of inertia" => &["g·cm²"],
        "stress" => &["MPa", "GPa"],
        _ => &[],
    };
    let find = |symbol: &str| D::UNITS.iter().find(|u| u.symbol == symbol).copied();
    let mut chosen = expected
        .first()
        .and_then(|s| find(s))
        .unwrap_or(D::UNITS[0]);
    for symbol in expected {
        if let Some(unit) = find(symbol)
            && si.abs() >= 0.9995 * unit.scale
        {
            // The length of a ring reads better in mm than in m, a sprint in m.
            if unit.symbol == "m" && si.abs() < 2.0 {
                continue;
            }
            chosen = unit;
        }
    }
    chosen
}

/// `x` with `digits` significant digits, without exponent.
fn significant(x: f64, digits: usize) -> String {
    if x == 0.0 {
        return "0".to_owned();
    }
    let digits = i32::try_from(digits.clamp(1, 15)).unwrap_or(3);
    let mut magnitude = magnitude_of(x);
    // Rounding may carry into the next decade: 999.7 with three digits is 1000.
    let scale = maths::pow(10.0, f64::from(digits - 1 - magnitude));
    if (x.abs() * scale).round() >= maths::pow(10.0, f64::from(digits)) {
        magnitude += 1;
    }
    let decimals = usize::try_from((digits - 1 - magnitude).max(0)).unwrap_or(0);
    let text = format!("{x:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// Power of ten of the leading digit.
fn magnitude_of(x: f64) -> i32 {
    let exact = maths::log10(x.abs()).floor();
    #[allow(
        clippy::cast_possible_truncation,
        reason = "the exponent of an f64 fits"
    )]
    let whole = exact as i32;
    whole
}
