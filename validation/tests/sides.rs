//! The same robot on both sides wins half of the decided bouts.

use study::{Verdict, exact};
use validation::{fight, load, pit};

/// Bouts in total.
const BOUTS: u32 = 20_000;
/// A pusher, a dodger, a trickster and an all-rounder that decide most of their bouts.
const ROBOTS: [&str; 4] = ["mini/anvil", "mini/lapwing", "mini/magpie", "mini/badger"];
/// A right simulation fails one of the eight comparisons below once in 125 runs over new seeds;
/// the seed is fixed, so it fails always or never.
const LEVEL: f64 = 0.999;

#[test]
fn the_same_robot_on_both_sides_wins_half_of_the_decided_bouts() {
    let mut wrong = Vec::new();
    for name in ROBOTS {
        let robot = load(name);
        let pit = pit("mini", 71, &robot, std::slice::from_ref(&robot));
        let fought = fight(&pit, BOUTS / 4);
        let count = |of: &dyn Fn(usize, Verdict) -> bool| {
            u32::try_from(
                fought
                    .iter()
                    .filter(|(t, f)| of(t.seat(), f.verdict))
                    .count(),
            )
            .unwrap()
        };
        assert_eq!(
            count(&|_, v| v == Verdict::Failed),
            0,
            "{name}: failed bouts"
        );
        let decided = count(&|_, v| matches!(v, Verdict::Win | Verdict::Loss));
        assert!(
            decided > BOUTS / 8,
            "{name}: only {decided} bouts were decided"
        );
        // As "ours" against "theirs", and by the side of the ring it stood on.
        let ours = count(&|_, v| v == Verdict::Win);
        let left = count(&|s, v| matches!((s, v), (0, Verdict::Win) | (1, Verdict::Loss)));
        for (what, won) in [("ours", ours), ("negative x", left)] {
            let share = exact(won, decided, LEVEL);
            println!(
                "{name}: {what} won {won} of {decided} decided bouts: {:.4} ({:.4} to {:.4})",
                share.estimate, share.low, share.high
            );
            if !(share.low..=share.high).contains(&0.5) {
                wrong.push(format!("{name}, {what}: {share:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
