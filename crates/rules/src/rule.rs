//! A figure of a rulebook together with where it stands there.

use std::sync::Arc;

/// Sums of masses and lengths carry rounding of about 1e-16; anything nearer to a limit than this
/// (a microgram, a nanometre) counts as lying exactly on it.
const SAME: f64 = 1e-9;

/// A published rulebook, or whoever else stands behind a figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// Title of the rulebook with its edition, e.g. `RobotChallenge Robot Sumo Rules`; or
    /// `common practice, no source`.
    pub title: String,
    /// Where it was found, e.g. a web address; empty where there is nothing to look up.
    pub found: String,
    /// Date or edition of the text, as exactly as it was printed; `not dated` where it was not.
    pub date: String,
}

impl core::fmt::Display for Source {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str(&self.title)?;
        if !self.found.is_empty() {
            write!(f, ", {}", self.found)?;
        }
        if !self.date.is_empty() {
            write!(f, " ({})", self.date)?;
        }
        Ok(())
    }
}

/// A rule: its value, who says so, and what it says in short.
#[derive(Debug, Clone, PartialEq)]
pub struct Rule<T> {
    /// The value, in SI where it is a quantity.
    pub value: T,
    /// Who says so.
    pub source: Arc<Source>,
    /// What the rulebook says, in short and in our words.
    pub wording: Arc<str>,
    /// What other rulebooks say of the same thing: kept as they are, contradictions and slips too.
    pub elsewhere: Vec<Elsewhere<T>>,
}

/// What another rulebook says.
#[derive(Debug, Clone, PartialEq)]
pub struct Elsewhere<T> {
    /// Its value, in SI where it is a quantity.
    pub value: T,
    /// Who says so.
    pub source: Arc<Source>,
    /// What it says, in short and in our words.
    pub wording: Arc<str>,
}

impl<T> Rule<T> {
    /// The same source and wording with the value changed by `change`.
    #[must_use]
    pub fn map<U>(self, change: impl Fn(T) -> U) -> Rule<U> {
        let others = self.elsewhere.into_iter();
        Rule {
            value: change(self.value),
            source: self.source,
            wording: self.wording,
            elsewhere: others
                .map(|e| Elsewhere {
                    value: change(e.value),
                    source: e.source,
                    wording: e.wording,
                })
                .collect(),
        }
    }
}

/// Which way a limit bounds, and whether the limit itself is still allowed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// "Under": exactly the limit is too much.
    Under,
    /// "At most": exactly the limit is allowed.
    AtMost,
    /// "At least": exactly the limit is allowed.
    AtLeast,
}

/// A limit with what the event's scales or template still let through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// The limit in SI units.
    pub si: f64,
    /// Which way it bounds.
    pub bound: Bound,
    /// What inspection lets through beyond the limit, in SI units, never negative.
    pub tolerance_si: f64,
}

impl Limit {
    /// How far `ours_si` is inside the limit, tolerance included; negative outside. SI units.
    #[must_use]
    pub fn margin_si(&self, ours_si: f64) -> f64 {
        match self.bound {
            Bound::Under | Bound::AtMost => self.si + self.tolerance_si - ours_si,
            Bound::AtLeast => ours_si - (self.si - self.tolerance_si),
        }
    }

    /// Whether `ours_si` is allowed. A value that is not a number is not.
    #[must_use]
    pub fn allows(&self, ours_si: f64) -> bool {
        let margin = self.margin_si(ours_si);
        match self.bound {
            Bound::Under => margin > SAME,
            Bound::AtMost | Bound::AtLeast => margin >= -SAME,
        }
    }

    /// Whether the limit itself is already too much ("under").
    #[must_use]
    pub fn strict(&self) -> bool {
        self.bound == Bound::Under
    }

    /// `under`, `at most` or `at least`.
    #[must_use]
    pub fn words(&self) -> &'static str {
        match self.bound {
            Bound::Under => "under",
            Bound::AtMost => "at most",
            Bound::AtLeast => "at least",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grams(bound: Bound, limit: f64, tolerance: f64) -> Limit {
        Limit {
            si: limit * 1e-3,
            bound,
            tolerance_si: tolerance * 1e-3,
        }
    }

    /// "Under": `RobotChallenge` 2.1, `OSHWDem` 2015 art. 5; "or less": DPRG 2001, Istrobot 2011.
    #[test]
    fn exactly_the_limit_is_at_most_but_not_under() {
        assert!(!grams(Bound::Under, 500.0, 0.0).allows(0.5));
        assert!(grams(Bound::AtMost, 500.0, 0.0).allows(0.5));
        assert!(grams(Bound::Under, 500.0, 0.0).allows(0.4999));
        assert!(!grams(Bound::AtMost, 500.0, 0.0).allows(0.5001));
    }

    #[test]
    fn a_sum_that_rounds_up_still_lies_on_the_limit() {
        let tenths: f64 = [0.1, 0.2, 0.2].iter().sum();
        let hundredths: f64 = (0..50).map(|_| 0.01).sum(); // 0.5000000000000002
        for ours in [tenths, hundredths] {
            assert!(grams(Bound::AtMost, 500.0, 0.0).allows(ours));
            assert!(!grams(Bound::Under, 500.0, 0.0).allows(ours));
        }
    }

    /// "Mega wrestling" page, he-ro.gr: 3005 g passes, 3006 g fails.
    #[test]
    fn a_tolerance_moves_the_limit() {
        let mega = grams(Bound::AtMost, 3000.0, 5.0);
        assert!(mega.allows(3.005));
        assert!(!mega.allows(3.006));
    }

    #[test]
    fn a_lower_limit_bounds_from_below() {
        let least = Limit {
            si: 0.15,
            bound: Bound::AtLeast,
            tolerance_si: 0.0,
        };
        assert!(!least.allows(0.1));
        assert!(least.allows(0.15));
        assert!((least.margin_si(0.1) + 0.05).abs() < 1e-12);
    }

    #[test]
    fn what_is_not_a_number_is_not_allowed() {
        for bound in [Bound::Under, Bound::AtMost, Bound::AtLeast] {
            assert!(!grams(bound, 500.0, 0.0).allows(f64::NAN));
        }
    }
}
