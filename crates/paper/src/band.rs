//! How far a number is off for what is not known well and what varies.

use quantity::{Draws, Stream};

/// Imagined robots a band is taken over.
const ROBOTS: u32 = 199;

/// A range that holds nineteen of twenty imagined robots.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Band {
    /// The range of `number` over draws of every unknown: from the fifth smallest to the fifth
    /// largest of 199, so that 1 in 40 lies beyond either end. None where too few give a number.
    #[must_use]
    pub fn of(number: impl Fn(&Draws) -> Option<f64>) -> Option<Self> {
        Self::holding(imagined().filter_map(|d| number(&d)))
    }

    /// The same of the numbers of all imagined robots.
    #[must_use]
    pub(crate) fn holding(numbers: impl Iterator<Item = f64>) -> Option<Self> {
        let mut all: Vec<f64> = numbers.filter(|x| x.is_finite()).collect();
        all.sort_by(f64::total_cmp);
        let cut = all.len() / 40;
        (all.len() >= 100).then(|| Self {
            low: all[cut],
            high: all[all.len() - 1 - cut],
        })
    }

    /// Half of its width.
    #[must_use]
    pub fn half_width(&self) -> f64 {
        0.5 * (self.high - self.low)
    }
}

/// The draws of the robots a band is taken over.
pub(crate) fn imagined() -> impl Iterator<Item = Draws> {
    let stream = Stream::root(0).named("band");
    (0..ROBOTS).map(move |k| Draws::keyed(stream.numbered(u64::from(k))))
}

#[cfg(test)]
mod tests {
    use quantity::{Figure, Length, Origin};

    use super::*;

    /// A normal's central 95 % range is the half-width the file states, by definition.
    #[test]
    fn a_single_unknown_comes_back_as_its_half_width() {
        let f = Figure::<Length>::new(1.0, Origin::Stated, "x").with_spread(0.1, 0.0);
        let band = Band::of(|d| Some(d.of(&f, "x"))).unwrap();
        // 199 draws: the fifth from the end scatters by about 12 % of the half-width.
        assert!(
            (band.low - 0.9).abs() < 0.03 && (band.high - 1.1).abs() < 0.03,
            "{band:?}"
        );
    }

    #[test]
    fn nothing_is_said_of_what_mostly_fails() {
        assert_eq!(Band::of(|_| None), None);
    }
}
