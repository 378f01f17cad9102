//! Two hundred bouts of all kinds folded into one number: equal on any number of threads, with and
//! without optimisation, on every machine.

use std::sync::atomic::AtomicBool;

use bout::fight_match;
use quantity::{Figure, Ratio};
use robot::{Fault, Mount, PartsBox, Robot, SensorKind};
use rules::Classes;
use runner::Runner;
use study::{Entrant, Fought, Pit, Task, Verdict, plan};

/// What the two hundred bouts fold to.
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
const TWO_HUNDRED_BOUTS: u64 = 0x9B51_C0EB_51BA_832D;

/// Longest a bout may last here, in s: without optimisation a second takes long.
const LONGEST_S: f64 = 5.0;

/// How bouts are set up.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    /// Single bouts, nothing breaks.
    Sound,
    /// Ours has every fault in a quarter of its bouts.
    Faulty,
    /// Matches: rounds that begin warm, used and warned.
    Matches,
}

/// Who fights whom: class, our robot, bouts (or matches of two or three) against the others of the
/// class's field. `odd-` is the robot of `crates/runner/tests/odd` with its blade held so.
const MIX: [(&str, &str, u32, Way); 10] = [
    ("mini", "demo", 36, Way::Sound),
    ("mini", "mini/crowbar", 12, Way::Sound),
    ("mini", "odd-hinged", 18, Way::Sound),
    ("mini-remote", "odd-sprung", 18, Way::Sound),
    ("mini", "mini/bellows", 24, Way::Faulty),
    ("mega", "mega/mastiff", 30, Way::Sound),
    ("mega", "mega/derrick", 10, Way::Sound),
    ("micro", "micro/wren", 16, Way::Sound),
    ("nano", "nano/mote", 16, Way::Sound),
    ("mini-remote", "mini/badger", 10, Way::Matches),
];

/// Seed of all draws.
const SEED: u64 = 20_260;

fn entrant(robot: &Robot, way: Way) -> Entrant {
    let ready = match way {
        Way::Faulty => Entrant::with_faults(robot),
        Way::Sound | Way::Matches => Entrant::of_robot(robot),
    };
    ready.unwrap_or_else(|e| panic!("{e:#?}"))
}

/// Our robot of a row of the mix.
fn ours(name: &str, way: Way) -> Robot {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let mut robot = match name.strip_prefix("odd-") {
        Some(mount) => {
            let text = include_str!("odd/odd.toml").replace("MOUNT", mount);
            let program = |_: &str| Some(include_str!("odd/odd.tactic").to_owned());
            robot::read("odd.toml", &text, &parts, &program)
        }
        None => Ok(store::load_robot(name, &parts).unwrap_or_else(|e| panic!("{e:#?}"))),
    }
    .unwrap_or_else(|e| panic!("{e:#?}"));
    if way == Way::Faulty {
        let often = |(_, fault)| (fault, Figure::<Ratio>::derived(0.25, "rate"));
        robot.faults.rates = Fault::ALL.map(often).to_vec();
    }
    robot
}

/// A match as one number and a verdict.
fn matched(pit: &Pit, task: Task) -> Fought {
    let (us, them) = (pit.ours[0].fighter(), &pit.field[task.opponent]);
    let draws = task.key(pit.seed, &them.robot.name);
    let fought = fight_match(&pit.arena, [us, them.fighter()], draws);
    let bits = fought.rounds.iter().flat_map(|r| {
        let left = r.outcome.left_at.unwrap_or(0.0);
        [
            r.time_s.to_bits(),
            r.outcome.decided_s.to_bits(),
            left.to_bits(),
        ]
    });
    Fought {
        verdict: match fought.winner {
            Some(0) => Verdict::Win,
            Some(_) => Verdict::Loss,
            None => Verdict::Tie,
        },
        cause: fought.rounds[0].outcome.cause,
        time_s: 0.0,
        left_at: None,
        state_hash: mixed(bits),
    }
}

/// All bouts of the mix in order, or every `sparse`th of each row, fought on `threads` threads.
fn bouts(threads: usize, sparse: usize) -> Vec<Fought> {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let runner = Runner::new(Some(threads)).expect("threads start");
    let mut all = Vec::new();
    for (name, our_name, count, way) in MIX {
        let class = classes.find(name).unwrap_or_else(|e| panic!("{e:?}"));
        let field_name = if name == "mini-remote" { "mini" } else { name };
        let field = store::field(field_name, &parts, None).unwrap_or_else(|e| panic!("{e:#?}"));
        let robot = ours(our_name, way);
        let others = field.iter().filter(|r| r.name != robot.name);
        let mut arena = bout::Arena::of(class);
        arena.longest_s = arena.longest_s.min(LONGEST_S);
        let pit = Pit {
            arena,
            seed: SEED,
            ours: vec![entrant(&robot, way)],
            field: others.map(|r| entrant(r, Way::Sound)).collect(),
        };
        let tasks = plan(0, pit.field.len(), count).into_iter();
        let tasks: Vec<Task> = tasks.step_by(sparse).collect();
        let fight = |t: Task| match way {
            Way::Matches => matched(&pit, t),
            Way::Sound | Way::Faulty => pit.fight(t),
        };
        let results = runner.run(&tasks, &fight, &|_, _| {}, &AtomicBool::new(false));
        all.extend(results.into_iter().flatten());
    }
    all
}

/// Knuth's multiplicative mixing; 2⁶⁴ over the golden ratio.
fn mixed(numbers: impl Iterator<Item = u64>) -> u64 {
    numbers.fold(0, |hash: u64, n| {
        (hash.rotate_left(29) ^ n).wrapping_mul(0x9E37_79B9_7F4A_7C15)
    })
}

/// One number for all bouts, in order.
fn folded(bouts: &[Fought]) -> u64 {
    mixed(bouts.iter().map(|b| b.state_hash))
}

/// Every bout on eight threads, every fourth of each row on one and on two: without optimisation
/// all of them thrice would take minutes.
#[test]
fn two_hundred_bouts_are_the_same_to_the_bit_on_any_threads_build_and_machine() {
    let eight = bouts(8, 1);
    // Ten of them are matches of two or three.
    assert_eq!(eight.len(), 190);
    assert!(eight.iter().all(|b| b.verdict != Verdict::Failed));
    let mut start = 0;
    let sparse: Vec<Fought> = MIX
        .iter()
        .flat_map(|row| {
            let rows = start..start + usize::try_from(row.2).expect("few bouts");
            start = rows.end;
            eight[rows].iter().step_by(4).copied()
        })
        .collect();
    for threads in [1, 2] {
        let few = bouts(threads, 4);
        assert_eq!(few.len(), sparse.len());
        let differ = few.iter().zip(&sparse).position(|(a, b)| a != b);
        assert_eq!(differ, None, "differs between {threads} threads and 8");
    }
    let found = folded(&eight);
    assert_eq!(
        found, TWO_HUNDRED_BOUTS,
        "the bouts fold to {found:#018X}: see the constant TWO_HUNDRED_BOUTS"
    );
}

#[test]
fn the_mix_has_every_kind_of_sensor_gadget_mount_and_start() {
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let robots: Vec<Robot> = MIX.iter().map(|row| ours(row.1, row.3)).collect();
    let sensors = robots.iter().flat_map(|r| &r.sensors);
    let mut kinds: Vec<_> = sensors.map(|s| core::mem::discriminant(&s.kind)).collect();
    kinds.sort_unstable_by_key(|k| format!("{k:?}"));
    kinds.dedup();
    assert_eq!(
        kinds.len(),
        10,
        "kinds of {:?}",
        core::any::type_name::<SensorKind>()
    );
    let gadgets = robots.iter().flat_map(|r| &r.gadgets);
    let mut gadgets: Vec<String> = gadgets.map(|g| format!("{:?}", g.kind)).collect();
    gadgets.sort_unstable();
    gadgets.dedup();
    assert_eq!(gadgets.len(), 4, "{gadgets:?}");
    let mounts = robots.iter().flat_map(|r| &r.blade).map(|b| match b.mount {
        Mount::Fixed { .. } => 0,
        Mount::Hinged { .. } => 1,
        Mount::Sprung { .. } => 2,
        Mount::Driven => 3,
    });
    let mounts: std::collections::BTreeSet<i32> = mounts.collect();
    assert_eq!(mounts.len(), 4);
    let starts = MIX.map(|row| {
        let class = classes.find(row.0).unwrap_or_else(|e| panic!("{e:?}"));
        bout::Arena::of(class).start_delay_s > 0.0
    });
    assert!(starts.contains(&true) && starts.contains(&false));
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
