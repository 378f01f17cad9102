//! The normal distribution, as spreads mean it.

use crate::maths;

/// Standard deviations in the half-width of a range that is bet 19 to 1 on: the 97.5 % point of the
/// standard normal.
pub const HALF_WIDTH_95: f64 = 1.959_963_984_540_054;

/// Share (0 to 1) of a standard normal below `x`: Φ(x).
#[must_use]
pub fn normal_below(x: f64) -> f64 {
    0.5 * (1.0 + maths::erf(x * core::f64::consts::FRAC_1_SQRT_2))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tables of the normal distribution, e.g. Abramowitz and Stegun, table 26.1 (from memory).
    #[test]
    fn the_normal_distribution_is_that_of_the_tables() {
        let table = [
            (0.0, 0.5),
            (0.5, 0.691_462_5),
            (1.0, 0.841_344_7),
            (1.645, 0.950_015_1),
            (2.0, 0.977_249_9),
            (3.0, 0.998_650_1),
        ];
        for (x, share) in table {
            assert!((normal_below(x) - share).abs() < 1e-7, "{x}");
            assert!((normal_below(-x) + normal_below(x) - 1.0).abs() < 1e-15);
        }
        assert!((normal_below(HALF_WIDTH_95) - 0.975).abs() < 1e-12);
    }
}
