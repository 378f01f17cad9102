//! A record's 95 % interval holds the true win rate as often as it says.

use study::spar::{Tally, fold};
use study::{Fought, Task, exact};
use validation::{field, fight, load, pit};

/// Bouts that stand for the truth.
const TRUTH: u32 = 20_000;
/// Bouts of one record, as the command line fights them unless told otherwise.
const RECORD: u32 = 360;
/// Records held against the truth.
const RECORDS: u32 = 55;
/// Level of the interval under test.
const STATED: f64 = 0.95;
/// How sure the count of intervals must be to speak against the stated level.
const LEVEL: f64 = 0.999;

fn tallies(fought: &[(Task, Fought)], opponents: usize) -> (Tally, Vec<Tally>) {
    let (tasks, results): (Vec<Task>, Vec<Option<Fought>>) =
        fought.iter().map(|(t, f)| (*t, Some(*f))).unzip();
    let record = fold(&tasks, &results, opponents);
    (record.total, record.per_opponent)
}

fn rate(tally: &Tally) -> f64 {
    f64::from(tally.wins) / f64::from(tally.bouts())
}

fn covers(tally: &Tally, truth: f64) -> u32 {
    let interval = tally.win_rate();
    u32::from((interval.low..=interval.high).contains(&truth))
}

#[test]
fn the_interval_of_a_record_holds_the_true_win_rate() {
    let (demo, field) = (load("demo"), field("mini"));
    let n = field.len();
    let (truth, each_truth) = tallies(&fight(&pit("mini", 81, &demo, &field), TRUTH), n);
    let fresh = fight(&pit("mini", 82, &demo, &field), RECORD * RECORDS);
    let per_record = RECORD / u32::try_from(n).unwrap();
    let (mut whole, mut single) = (0, 0);
    for record in 0..RECORDS {
        let numbers = record * per_record..(record + 1) * per_record;
        let mine: Vec<(Task, Fought)> = fresh
            .iter()
            .filter(|(t, _)| numbers.contains(&t.bout))
            .copied()
            .collect();
        let (total, each) = tallies(&mine, n);
        assert_eq!(total.bouts(), RECORD, "a record of its own size");
        whole += covers(&total, rate(&truth));
        let pairs = each.iter().zip(&each_truth);
        single += pairs
            .map(|(mine, truth)| covers(mine, rate(truth)))
            .sum::<u32>();
    }
    println!(
        "true win rate {:.4} of {} bouts",
        rate(&truth),
        truth.bouts()
    );
    let singles = RECORDS * u32::try_from(n).unwrap();
    for (what, covered, of) in [("records", whole, RECORDS), ("opponents", single, singles)] {
        let share = exact(covered, of, LEVEL);
        println!(
            "{what}: {covered} of {of} intervals hold it ({:.3} to {:.3})",
            share.low, share.high
        );
        // Too often is no fault: shares fixed for each opponent make a record a little steadier
        // than the interval assumes.
        assert!(share.high >= STATED, "{what}: {covered} of {of}");
    }
}
