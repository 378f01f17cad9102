//! The curve of who gets under, in short: `validation -- blade-height` draws it with more bouts.

use statrs::distribution::{ContinuousCDF, Normal};
use study::{wilson, z_of};

use crate::under::{at_height, count, on_true_wheels, spread_m};
use crate::workshop::mini;

/// "The lower blade gets under" - with a chance that follows from how well both heights are known.
#[test]
fn who_gets_under_follows_the_declared_spreads_at_the_step_and_at_half_of_it() {
    let robot = store::load_robot("mini/badger", &robot::PartsBox::built_in().expect("parts"))
        .unwrap_or_else(|e| panic!("{e:#?}"));
    let robot = on_true_wheels(&robot);
    let theirs = at_height(&robot, 0.9e-3);
    let spread = 2.0_f64.sqrt() * spread_m(&theirs);
    let normal = Normal::standard();
    // By how many standard deviations ours is lower.
    let lower = [-1.5, -0.75, 0.0, 0.75, 1.5];
    for parts in [1, 2] {
        let mut last = 0.0;
        for by in lower {
            let ours = at_height(&robot, 0.9e-3 - by * spread);
            let under = count(&mini(), [&ours, &theirs], 300, parts);
            let clear = under.ours + under.theirs;
            // Ten intervals: each holds the truth 999 times of 1000.
            let share = wilson(under.ours, clear, z_of(0.999));
            let expected = normal.cdf(by);
            println!("{parts} {by}: {under:?} {share:?}, {expected:.3} expected");
            assert!(clear > 270, "{under:?}");
            assert!(
                share.low < expected && expected < share.high,
                "{by}: {share:?}"
            );
            assert!(share.high > last, "it rises");
            last = share.low;
        }
    }
}
