//! A controller's clock: how far it is off, and when its counters begin anew.

use quantity::maths;

/// Time in s to program so that at least `rule_s` have passed however slow the clock is: a clock that is
/// fast by the share `off` counts a programmed time t in t·(1 − off) (to first order), so
/// t = rule/(1 − off). Arithmetic.
#[must_use]
pub fn safe_wait_s(rule_s: f64, off: f64) -> f64 {
    rule_s / (1.0 - off)
}

/// Time in s after which an unsigned counter of `bits` that counts every `tick_s` begins anew:
/// 2^bits ticks. Arithmetic; that unsigned counters wrap and signed ones must not is C99, 6.2.5 (from
/// memory).
#[must_use]
pub fn wraps_after_s(bits: u32, tick_s: f64) -> f64 {
    maths::pow(2.0, f64::from(bits)) * tick_s
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// Arithmetic; tolerances of RC oscillators (2 % trimmed, 10 % untrimmed) are common practice, no
    /// source.
    #[test]
    fn a_fast_clock_needs_a_longer_wait() {
        near(safe_wait_s(5.0, 0.02), 5.102, 1e-4);
        near(safe_wait_s(5.0, 0.10), 5.556, 1e-4);
        near(safe_wait_s(5.0, 0.0), 5.0, 1e-12);
    }

    /// Arithmetic: 65.536 s, 32.768 s signed, 49.71 days, 71.58 min.
    #[test]
    fn a_short_counter_is_over_before_a_match_is() {
        near(wraps_after_s(16, 1e-3), 65.536, 1e-12);
        near(wraps_after_s(15, 1e-3), 32.768, 1e-12);
        near(wraps_after_s(32, 1e-3) / 86_400.0, 49.71, 1e-4);
        near(wraps_after_s(32, 1e-6) / 60.0, 71.58, 1e-4);
    }
}
