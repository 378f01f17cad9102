//! A hundred bouts folded into one number: equal on any number of threads, with and without
//! optimisation, on every machine.

use std::sync::atomic::AtomicBool;

use robot::{PartsBox, Robot};
use rules::Classes;
use runner::Runner;
use study::{Entrant, Fought, Pit, Verdict, plan};

/// What the hundred bouts fold to.
///
/// It changes with every change of results: of the physics, sensing, programs, judging, draws, and
/// of the robots and parts that come with the program; never with the compiler, its options, the
/// machine or the number of threads. To renew it after a wanted change, run
/// `cargo test -p runner --test hash` and copy the number the failure shows; then see that these
/// agree, the second without any optimisation, ours or the libraries':
///
/// ```text
/// cargo test --release -p runner --test hash
/// cargo test -p runner --test hash --config 'profile.test.opt-level=0' \
///     --config 'profile.test.package."*".opt-level=0'
/// ```
const HUNDRED_BOUTS: u64 = 0x3B50_3A94_4355_EAB7;

/// Who fights whom: class, our robot, bouts against the others of the class's field.
const MIX: [(&str, &str, u32); 4] = [
    ("mini", "demo", 42),
    ("mega", "mega/mastiff", 30),
    ("micro", "micro/wren", 14),
    ("nano", "nano/mote", 14),
];

/// Seed of all draws.
const SEED: u64 = 20_260;

fn entrant(robot: &Robot) -> Entrant {
    Entrant::of_robot(robot).unwrap_or_else(|e| panic!("{e:#?}"))
}

/// All bouts of the mix in order, fought on `threads` threads.
fn hundred(threads: usize) -> Vec<Fought> {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let runner = Runner::new(Some(threads)).expect("threads start");
    let mut all = Vec::new();
    for (name, ours, bouts) in MIX {
        let class = classes.find(name).unwrap_or_else(|e| panic!("{e:?}"));
        let field = store::field(name, &parts, None).unwrap_or_else(|e| panic!("{e:#?}"));
        let ours = store::load_robot(ours, &parts).unwrap_or_else(|e| panic!("{e:#?}"));
        let others = field.iter().filter(|r| r.file != ours.file);
        let pit = Pit {
            arena: bout::Arena::of(class),
            seed: SEED,
            ours: vec![entrant(&ours)],
            field: others.map(entrant).collect(),
        };
        let tasks = plan(0, pit.field.len(), bouts);
        let never = AtomicBool::new(false);
        let results = runner.run(&tasks, &|t| pit.fight(t), &|_, _| {}, &never);
        all.extend(results.into_iter().flatten());
    }
    all
}

/// One number for all bouts, in order (Knuth's multiplicative mixing; 2⁶⁴ over the golden ratio).
fn folded(bouts: &[Fought]) -> u64 {
    bouts.iter().fold(0, |hash: u64, b| {
        (hash.rotate_left(29) ^ b.state_hash).wrapping_mul(0x9E37_79B9_7F4A_7C15)
    })
}

#[test]
fn a_hundred_bouts_are_the_same_to_the_bit_on_any_threads_build_and_machine() {
    let one = hundred(1);
    assert_eq!(one.len(), 100);
    assert!(one.iter().all(|b| b.verdict != Verdict::Failed));
    let two = hundred(2);
    let differ = one.iter().zip(&two).position(|(a, b)| a != b);
    assert_eq!(
        differ, None,
        "first bout that differs between 1 and 2 threads"
    );
    let found = folded(&one);
    assert_eq!(
        found, HUNDRED_BOUTS,
        "the hundred bouts fold to {found:#018X}: see the constant HUNDRED_BOUTS"
    );
}

#[test]
fn the_fold_tells_a_changed_a_missing_and_a_misplaced_bout() {
    let bout = |state_hash| Fought {
        verdict: Verdict::Win,
        cause: bout::Cause::Stuck,
        time_s: 1.0,
        left_at: None,
        state_hash,
    };
    let all = [bout(3), bout(5), bout(7)];
    let whole = folded(&all);
    assert_ne!(whole, folded(&[bout(3), bout(4), bout(7)]));
    assert_ne!(whole, folded(&all[..2]));
    assert_ne!(whole, folded(&[bout(5), bout(3), bout(7)]));
}
