//! What must hold in every study, whatever the luck.

use crate::world::{Change, World, number};
use quantity::Stream;
use study::whatif::{effect, pairs_of};
use study::{Fought, Task, Verdict, plan, spar, unknowns};

fn world() -> World {
    World {
        fails: 0.03,
        ..World::with(&[Change {
            effect: 0.05,
            ripple: 0.2,
        }])
    }
}

/// 0 to n − 1 in an order that follows from the seed.
fn shuffled(n: usize, seed: u64) -> Vec<usize> {
    let mut order: Vec<usize> = (0..n).collect();
    let stream = Stream::root(seed).named("order");
    order.sort_by_key(|k| stream.numbered(number(*k)).key());
    order
}

#[test]
fn who_finished_first_changes_nothing() {
    let world = world();
    let opponents = world.field.len();
    let tasks = plan(0, opponents, 150);
    let in_order = world.fight_all(3, &tasks);
    let record = spar::fold(&tasks, &in_order, opponents);
    for seed in 0..50 {
        let mut results: Vec<Option<Fought>> = vec![None; tasks.len()];
        for k in shuffled(tasks.len(), seed) {
            results[k] = Some(world.fight(3, tasks[k]));
        }
        assert_eq!(results, in_order);
        assert_eq!(spar::fold(&tasks, &results, opponents), record);
    }
}

#[test]
fn the_order_of_the_tasks_changes_no_count() {
    let world = world();
    let opponents = world.field.len();
    let tasks = plan(0, opponents, 150);
    let base = world.fight_all(3, &tasks);
    let changed = world.fight_all(3, &pairs_of(&tasks, 1, tasks.len()));
    let record = spar::fold(&tasks, &base, opponents);
    for seed in 0..50 {
        let order = shuffled(tasks.len(), seed);
        let pick = |of: &[Option<Fought>]| order.iter().map(|k| of[*k]).collect::<Vec<_>>();
        let mixed: Vec<Task> = order.iter().map(|k| tasks[*k]).collect();
        let other = spar::fold(&mixed, &pick(&base), opponents);
        assert_eq!(other.total, record.total);
        assert_eq!(other.per_opponent, record.per_opponent);
        assert_eq!(other.left_at, record.left_at);
        let counts = |r: &spar::Record| {
            let causes = r.losses.iter().chain(&r.ties);
            causes.map(|c| (c.cause, c.count)).collect::<Vec<_>>()
        };
        assert_eq!(counts(&other), counts(&record));
        assert_eq!(
            effect(&pick(&base), &pick(&changed), 4),
            effect(&base, &changed, 4)
        );
    }
}

#[test]
fn one_more_opponent_leaves_the_bouts_with_the_others_as_they_were() {
    let small = world();
    let mut large = small.clone();
    // First, so that the index of every other opponent changes.
    large.field.insert(0, ("newcomer", 0.5));
    let tasks = plan(0, small.field.len(), 600);
    let more = plan(0, large.field.len(), 700);
    for task in &tasks {
        let moved = Task {
            opponent: task.opponent + 1,
            ..*task
        };
        assert!(more.contains(&moved));
        let (old, new) = (small.field[task.opponent].0, large.field[moved.opponent].0);
        assert_eq!(task.key(9, old), moved.key(9, new));
        assert_eq!(small.fight(9, *task), large.fight(9, moved));
    }
    let fold = |world: &World, tasks: &[Task]| {
        spar::fold(tasks, &world.fight_all(9, tasks), world.field.len()).per_opponent
    };
    assert_eq!(fold(&small, &tasks), fold(&large, &more)[1..]);
}

#[test]
fn a_change_is_tried_on_the_draws_of_the_robot_as_it_is() {
    let tasks = plan(0, 6, 60);
    for (a, b) in tasks.iter().zip(pairs_of(&tasks, 5, 60)) {
        assert_eq!((b.variant, b.opponent, b.bout), (5, a.opponent, a.bout));
        assert_eq!(a.key(1, "anvil"), b.key(1, "anvil"));
        assert_eq!(a.seat(), b.seat());
    }
    assert_eq!(pairs_of(&tasks, 5, 25).len(), 25);
}

#[test]
fn no_two_bouts_share_their_draws() {
    let world = World::six();
    let tasks = plan(0, world.field.len(), 3000);
    let mut keys: Vec<u64> = (tasks.iter())
        .flat_map(|t| [1, 2].map(|seed| t.key(seed, world.field[t.opponent].0).key()))
        .collect();
    keys.sort_unstable();
    keys.dedup();
    assert_eq!(keys.len(), 6000);
}

#[test]
fn failed_bouts_are_counted_and_never_scored() {
    let world = World {
        fails: 0.2,
        ..world()
    };
    let opponents = world.field.len();
    let tasks = plan(0, opponents, 600);
    let results = world.fight_all(1, &tasks);
    let count = |v: Verdict| {
        let n = results.iter().flatten().filter(|f| f.verdict == v).count();
        u32::try_from(n).unwrap()
    };
    let record = spar::fold(&tasks, &results, opponents);
    let total = record.total;
    assert!(total.failed > 50, "{total:?}");
    assert_eq!(total.failed, count(Verdict::Failed));
    assert_eq!(total.bouts(), 600 - total.failed);
    let rate = f64::from(count(Verdict::Win)) / f64::from(600 - total.failed);
    assert!((total.win_rate().estimate - rate).abs() < 1e-15);
    let causes = record.losses.iter().chain(&record.ties);
    assert!(causes.clone().all(|c| c.cause != bout::Cause::NotFinite));
    assert_eq!(
        causes.map(|c| c.count).sum::<u32>(),
        total.losses + total.ties
    );
    assert_eq!(record.left_at.iter().sum::<u32>(), total.losses);

    let changed = world.fight_all(1, &pairs_of(&tasks, 1, tasks.len()));
    let whole = results.iter().zip(&changed).filter(|(a, b)| {
        let failed = |f: &Option<Fought>| f.is_some_and(|f| f.verdict == Verdict::Failed);
        !failed(a) && !failed(b)
    });
    let e = effect(&results, &changed, 1);
    assert_eq!(usize::try_from(e.pairs).unwrap(), whole.count());
    assert!(e.pairs < total.bouts());
}

#[test]
fn a_study_cut_short_is_the_study_of_its_prefix() {
    let world = world();
    let opponents = world.field.len();
    let names: Vec<String> = world.field.iter().map(|o| o.0.to_owned()).collect();
    let robot = crate::unknowns::demo();
    let tasks = plan(0, opponents, 100);
    let base = world.fight_all(4, &tasks);
    let changed = world.fight_all(4, &pairs_of(&tasks, 1, tasks.len()));
    for cut in [0, 1, 2, 37, 99, 100] {
        let cut_short = |all: &[Option<Fought>]| {
            let keep = |(k, f): (usize, &Option<Fought>)| f.filter(|_| k < cut);
            all.iter().enumerate().map(keep).collect::<Vec<_>>()
        };
        let (base_cut, changed_cut) = (cut_short(&base), cut_short(&changed));
        assert_eq!(
            spar::fold(&tasks, &base_cut, opponents),
            spar::fold(&tasks[..cut], &base[..cut], opponents)
        );
        assert_eq!(
            effect(&base_cut, &changed_cut, 3),
            effect(&base[..cut], &changed[..cut], 3)
        );
        assert_eq!(
            unknowns::rank(&robot, 4, &names, &tasks, &base_cut),
            unknowns::rank(&robot, 4, &names, &tasks[..cut], &base[..cut])
        );
    }
}

/// Any prefix of a plan has nearly as many bouts with each opponent.
#[test]
fn a_prefix_of_the_plan_is_nearly_even() {
    let tasks = plan(0, 6, 200);
    for cut in 0..=200 {
        let mut count = [0_usize; 6];
        tasks[..cut].iter().for_each(|t| count[t.opponent] += 1);
        let (least, most) = (count.iter().min().unwrap(), count.iter().max().unwrap());
        assert!(most - least <= 1, "{count:?}");
    }
    assert!(plan(0, 0, 200).is_empty());
}
