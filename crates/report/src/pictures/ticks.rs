//! Round numbers along an axis.

use quantity::maths;

/// What an axis shows: round ends, and the round numbers between them.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Scale {
    /// Lower end.
    pub(crate) low: f64,
    /// Upper end.
    pub(crate) high: f64,
    /// The numbers written at it.
    pub(crate) ticks: Vec<f64>,
    /// Digits after the point.
    pub(crate) digits: usize,
}

impl Scale {
    /// A scale that holds everything from `low` to `high` with about `wanted` steps of 1, 2 or 5
    /// times a power of ten. Numbers that are not finite count as nothing.
    pub(crate) fn of(low: f64, high: f64, wanted: usize) -> Self {
        let (low, high) = match (low.is_finite(), high.is_finite()) {
            (true, true) => (low.min(high), low.max(high)),
            (true, false) => (low, low + 1.0),
            (false, true) => (high - 1.0, high),
            (false, false) => (0.0, 1.0),
        };
        let least = 1e-9_f64.max(1e-6 * low.abs().max(high.abs()));
        let (low, high) = if high - low < least {
            (low - 0.5 * least.max(1.0), high + 0.5 * least.max(1.0))
        } else {
            (low, high)
        };
        let rough = (high - low) / wanted.max(1) as f64;
        let power = maths::pow(10.0, maths::log10(rough).floor());
        let step = [1.0, 2.0, 5.0, 10.0]
            .map(|m| m * power)
            .into_iter()
            .find(|s| *s >= 0.999 * rough)
            .unwrap_or(10.0 * power);
        let first = (low / step + 1e-6).floor();
        let last = (high / step - 1e-6).ceil();
        let count = (last - first).clamp(1.0, 100.0);
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between 1 and 100 steps; digits between 0 and 9"
        )]
        let (count, digits) = (
            count as usize,
            (-maths::log10(step)).ceil().clamp(0.0, 9.0) as usize,
        );
        Self {
            low: first * step,
            high: (first + count as f64) * step,
            ticks: (0..=count).map(|k| (first + k as f64) * step).collect(),
            digits,
        }
    }

    /// The number as it is written at the axis.
    pub(crate) fn label(&self, tick: f64) -> String {
        // Minus nothing is nothing.
        let tick = if tick.abs() < 1e-9 { 0.0 } else { tick };
        format!("{tick:.*}", self.digits).replace('-', "−")
    }

    /// Where `x` lies: 0 at the lower end, 1 at the upper.
    pub(crate) fn share(&self, x: f64) -> f64 {
        (x - self.low) / (self.high - self.low)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_hold_everything() {
        let s = Scale::of(0.0, 0.73, 5);
        assert!((s.high - 0.8).abs() < 1e-12 && s.low.abs() < 1e-12);
        let labels: Vec<String> = s.ticks.iter().map(|t| s.label(*t)).collect();
        assert_eq!(labels, ["0.0", "0.2", "0.4", "0.6", "0.8"]);
        let s = Scale::of(-12.0, 37.0, 5);
        assert_eq!(s.label(s.low), "−20");
        assert_eq!(s.label(s.high), "40");
    }

    #[test]
    fn nothing_to_show_still_has_two_ends() {
        for (a, b) in [(0.0, 0.0), (5.0, 5.0), (f64::NAN, f64::INFINITY)] {
            let s = Scale::of(a, b, 5);
            assert!(s.high > s.low && s.ticks.len() > 1, "{s:?}");
        }
    }
}
