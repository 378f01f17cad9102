//! Measuring the best changes again.
//!
//! The change that did best among several did so partly by luck, so its estimate is too high (the
//! winner's curse). On draws that had no say in the choice the luck is gone.

use quantity::Stream;

/// Whole numbers up to here are exact wherever JSON is read into doubles (RFC 8259, section 6).
const EXACT: u64 = (1 << 53) - 1;

/// Seed of the bouts in which the best changes of a study with `seed` are measured again.
///
/// It is keyed by a named stream, so it is the same every time; it equals `seed`, or the fresh
/// seed of another study, only by a coincidence of 53 bits. Fresh seeds may be chained.
#[must_use]
pub fn fresh_seed(seed: u64) -> u64 {
    Stream::root(seed).named("measured again").key() & EXACT
}

#[cfg(test)]
mod tests {
    use super::fresh_seed;
    use crate::Task;
    use std::collections::BTreeSet;

    #[test]
    fn fresh_bouts_share_no_key_with_those_of_the_study() {
        let keys = |seed: u64| {
            (0..2000).map(move |bout| {
                let task = Task {
                    variant: 0,
                    opponent: 0,
                    bout,
                };
                task.key(seed, "rival").key()
            })
        };
        for seed in 0..50 {
            let first: BTreeSet<u64> = keys(seed).collect();
            assert!(keys(fresh_seed(seed)).all(|k| !first.contains(&k)));
            assert_ne!(fresh_seed(seed), seed);
            assert_ne!(fresh_seed(fresh_seed(seed)), fresh_seed(seed));
        }
    }

    #[test]
    fn different_studies_are_measured_again_on_different_draws() {
        let seeds: BTreeSet<u64> = (0..10_000).map(fresh_seed).collect();
        assert_eq!(seeds.len(), 10_000);
    }
}
