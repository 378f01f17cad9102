//! The record of the robot as it is: do its intervals hold the truth?

use crate::world::{DEVIATIONS, STUDIES, World, deviation};
use study::{plan, spar, wilson, z_of};

/// Chance that the interval of `n` bouts holds the share `p`, summed over all numbers of wins: the
/// interval itself covers 95 % only on average over shares, because wins are whole numbers.
fn exact_coverage(n: u32, p: f64) -> f64 {
    let z = z_of(0.95);
    let mut mass = quantity::maths::pow(1.0 - p, f64::from(n));
    let mut covered = 0.0;
    for wins in 0..=n {
        let w = wilson(wins, n, z);
        if w.low <= p && p <= w.high {
            covered += mass;
        }
        mass *= f64::from(n - wins) / f64::from(wins + 1) * p / (1.0 - p);
    }
    covered
}

/// Bouts with each opponent.
const EACH: u32 = 64;

/// Measured against each opponent over 1,000 studies: 0.938 to 0.963 where 0.940 to 0.960 is
/// exact; the tolerance of each is 3.29 × 0.007.
#[test]
fn the_interval_against_each_opponent_holds_the_truth_in_95_of_100_studies() {
    let world = World::six();
    let opponents = world.field.len();
    let tasks = plan(0, opponents, EACH * u32::try_from(opponents).unwrap());
    let mut held = vec![0_u32; opponents];
    for seed in 0..STUDIES {
        let results = world.fight_all(u64::from(seed), &tasks);
        let record = spar::fold(&tasks, &results, opponents);
        for (k, tally) in record.per_opponent.iter().enumerate() {
            assert_eq!(tally.bouts(), EACH);
            let rate = tally.win_rate();
            held[k] += u32::from(rate.low <= world.field[k].1 && world.field[k].1 <= rate.high);
        }
    }
    for (held, (name, p)) in held.iter().zip(&world.field) {
        let share = f64::from(*held) / f64::from(STUDIES);
        let expected = exact_coverage(EACH, *p);
        let tolerance = DEVIATIONS * deviation(expected, f64::from(STUDIES));
        println!("{name} {share:.3} expected {expected:.3} ± {tolerance:.3}");
        assert!((share - expected).abs() <= tolerance, "{name}: {share}");
        assert!(
            (expected - 0.95).abs() < 0.015,
            "{name}: exactly {expected}"
        );
    }
}

/// Opponents' shares are fixed, so the total scatters less than its interval allows for: measured
/// 0.966 of 1,000 studies; 0.95 less 3.29 × 0.007 would do.
#[test]
fn the_interval_of_the_whole_record_holds_the_truth_in_at_least_95_of_100_studies() {
    let world = World::six();
    let opponents = world.field.len();
    let tasks = plan(0, opponents, 384);
    let mut held = 0;
    let mut rates = Vec::new();
    for seed in 0..STUDIES {
        let results = world.fight_all(u64::from(seed), &tasks);
        let rate = spar::fold(&tasks, &results, opponents).total.win_rate();
        held += u32::from(rate.low <= world.truth() && world.truth() <= rate.high);
        rates.push(rate.estimate);
    }
    let share = f64::from(held) / f64::from(STUDIES);
    let tolerance = DEVIATIONS * deviation(0.95, f64::from(STUDIES));
    println!("whole record {share:.3}");
    assert!(share >= 0.95 - tolerance, "{share}");
    let (mean, error) = crate::world::mean(&rates);
    println!("mean rate {mean:.4} of {:.4} ± {error:.4}", world.truth());
    assert!((mean - world.truth()).abs() <= DEVIATIONS * error, "{mean}");
}

/// With the same share against all, the total is one binomial and the interval is neither wide nor
/// narrow. Measured 0.946, exact 0.950, tolerance 0.023.
#[test]
fn against_equal_opponents_the_interval_is_neither_wide_nor_narrow() {
    let mut world = World::six();
    world.field.iter_mut().for_each(|o| o.1 = 0.43);
    let tasks = plan(0, world.field.len(), 384);
    let mut held = 0;
    for seed in 0..STUDIES {
        let results = world.fight_all(u64::from(seed), &tasks);
        let rate = spar::fold(&tasks, &results, world.field.len())
            .total
            .win_rate();
        held += u32::from(rate.low <= 0.43 && 0.43 <= rate.high);
    }
    let share = f64::from(held) / f64::from(STUDIES);
    let expected = exact_coverage(384, 0.43);
    let tolerance = DEVIATIONS * deviation(expected, f64::from(STUDIES));
    println!("equal opponents {share:.3} expected {expected:.3} ± {tolerance:.3}");
    assert!((share - expected).abs() <= tolerance, "{share}");
    assert!((expected - 0.95).abs() < 0.01);
}
