//! Intervals for shares and for paired differences of shares.

use statrs::distribution::{Beta, ContinuousCDF, Normal};

/// An estimate with its interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The estimate.
    pub estimate: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// Standard normal quantile for a two-sided interval of confidence `level`.
#[must_use]
pub fn z_of(level: f64) -> f64 {
    let tail = 0.5 * (1.0 - level.clamp(0.0, 1.0 - 1e-12));
    Normal::standard().inverse_cdf(1.0 - tail)
}

/// Wilson score interval of `successes` among `n` for the quantile `z` (Wilson 1927, JASA 22; in
/// the form of Newcombe 1998, Statistics in Medicine 17, 857–872). Nothing tried: 0 to 1.
#[must_use]
pub fn wilson(successes: u32, n: u32, z: f64) -> Estimate {
    if n == 0 {
        return Estimate {
            estimate: 0.5,
            low: 0.0,
            high: 1.0,
        };
    }
    let (x, n) = (f64::from(successes), f64::from(n));
    let p = x / n;
    let z2 = z * z;
    let middle = (p + z2 / (2.0 * n)) / (1.0 + z2 / n);
    let half = z / (1.0 + z2 / n) * (p * (1.0 - p) / n + z2 / (4.0 * n * n)).sqrt();
    // At no or only successes rounding leaves a tiny miss of the exact end.
    let low = if successes == 0 {
        0.0
    } else {
        (middle - half).max(0.0)
    };
    let high = if x >= n {
        1.0
    } else {
        (middle + half).min(1.0)
    };
    Estimate {
        estimate: p,
        low,
        high,
    }
}

/// Exact (Clopper and Pearson 1934, Biometrika 26) interval at confidence `level`.
#[must_use]
pub fn exact(successes: u32, n: u32, level: f64) -> Estimate {
    if n == 0 {
        return Estimate {
            estimate: 0.5,
            low: 0.0,
            high: 1.0,
        };
    }
    let (x, m) = (f64::from(successes), f64::from(n));
    let tail = 0.5 * (1.0 - level);
    let quantile = |a: f64, b: f64, p: f64| Beta::new(a, b).map_or(0.5, |d| d.inverse_cdf(p));
    let low = if successes == 0 {
        0.0
    } else {
        quantile(x, m - x + 1.0, tail)
    };
    let high = if successes >= n {
        1.0
    } else {
        quantile(x + 1.0, m - x, 1.0 - tail)
    };
    Estimate {
        estimate: x / m,
        low,
        high,
    }
}

/// Difference of two shares from `n` pairs, of which `gained` succeeded only after the change and
/// `lost` only before it, with the adjusted Wald interval for paired shares (Bonett and Price 2012,
/// Journal of Educational and Behavioral Statistics 37(4), 479–488): with p₁ = (gained + 1)/(n + 2)
/// and p₂ = (lost + 1)/(n + 2), p₁ − p₂ ± z √((p₁ + p₂ − (p₁ − p₂)²)/(n + 2)).
#[must_use]
pub fn paired_difference(gained: u32, lost: u32, n: u32, z: f64) -> Estimate {
    if n == 0 {
        return Estimate {
            estimate: 0.0,
            low: -1.0,
            high: 1.0,
        };
    }
    let m = f64::from(n) + 2.0;
    let (p1, p2) = ((f64::from(gained) + 1.0) / m, (f64::from(lost) + 1.0) / m);
    let d = p1 - p2;
    let half = z * ((p1 + p2 - d * d) / m).sqrt();
    Estimate {
        estimate: (f64::from(gained) - f64::from(lost)) / f64::from(n),
        low: (d - half).max(-1.0),
        high: (d + half).min(1.0),
    }
}

/// Fewest bouts (an even number) for a Wilson interval of at most `half_width` to either side when
/// the share is about one half.
#[must_use]
pub fn bouts_for(half_width: f64, z: f64) -> u32 {
    let mut n = 2;
    while n < 2_000_000 {
        let w = wilson(n / 2, n, z);
        if 0.5 * (w.high - w.low) <= half_width {
            return n;
        }
        n += 2;
    }
    n
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn near(e: Estimate, low: f64, high: f64, tolerance: f64) {
        assert!((e.low - low).abs() <= tolerance, "{e:?} for {low}");
        assert!((e.high - high).abs() <= tolerance, "{e:?} for {high}");
    }

    /// Newcombe 1998, Statistics in Medicine 17, 857–872 (examples from memory; recomputed with
    /// statsmodels 0.15.0).
    #[test]
    fn wilson_agrees_with_the_published_classics() {
        let z = z_of(0.95);
        near(wilson(81, 263, z), 0.2553, 0.3662, 5e-5);
        near(wilson(0, 20, z), 0.0, 0.1611, 5e-5);
        near(wilson(1, 29, z), 0.0061, 0.1718, 5e-5);
    }

    /// Test cases of codegolf.stackexchange.com question 105389 (z = 1.96).
    #[test]
    fn wilson_agrees_with_the_published_test_set() {
        near(
            wilson(1, 11, 1.96),
            0.016_231_752_262_826,
            0.377_364_625_486_204,
            1e-12,
        );
        near(
            wilson(25, 100, 1.96),
            0.175_450_940_037_243,
            0.343_046_463_700_758,
            1e-12,
        );
        near(wilson(0, 1, 1.96), 0.0, 0.793_456_708_526_107, 1e-12);
        near(
            wilson(50, 100, 1.96),
            0.403_829_828_590_147,
            0.596_170_171_409_853,
            1e-12,
        );
    }

    /// Smallest even number with a half-width of at most 0.05 at p = ½ (computed independently).
    #[test]
    fn the_number_of_bouts_for_five_points_is_382() {
        assert_eq!(bouts_for(0.05, z_of(0.95)), 382);
        near(wilson(120, 200, z_of(0.95)), 0.5308, 0.6654, 1e-4);
    }

    /// 0 of 20: 1 − 0.025^(1/20), closed form.
    #[test]
    fn the_exact_interval_of_no_success_has_its_closed_form() {
        near(
            exact(0, 20, 0.95),
            0.0,
            1.0 - quantity::maths::pow(0.025, 0.05),
            1e-9,
        );
    }

    #[test]
    fn nothing_changed_is_estimated_as_exactly_nothing() {
        let e = paired_difference(0, 0, 100, 1.96);
        assert!(e.estimate.abs() < 1e-300 && e.low < 0.0 && e.high > 0.0);
    }
}
