//! What the solver's step does to win shares: the same bouts with every substep halved.

use std::sync::atomic::AtomicBool;

use bout::{End, Wanted, fight_refined};
use runner::Runner;
use study::{Fought, Pit, Task, Verdict, paired_difference, plan, z_of};

use crate::{load, pit};

/// Pairings: class, ours, theirs. All styles and all gadgets.
const PAIRINGS: [(&str, &str, &str); 10] = [
    ("mini", "demo", "mini/bumble"),
    ("mini", "mini/badger", "mini/mattock"),
    ("mini", "mini/anvil", "mini/lapwing"),
    ("mini", "mini/swift", "mini/magpie"),
    ("mini-remote", "mini/crowbar", "mini/bellows"),
    ("mega", "mega/derrick", "mega/otter"),
    ("mega", "mega/mastiff", "mega/vixen"),
    ("mega", "mega/jackdaw", "mega/capstan"),
    ("micro", "micro/acorn", "micro/pip"),
    ("nano", "nano/tick", "nano/grain"),
];
/// Bouts of each pairing and step, if nobody says otherwise.
pub const BOUTS: u32 = 2000;
/// Chance that any of the intervals misses although the step changes nothing.
const FAMILY: f64 = 0.05;

/// Verdicts of ours in a pit with one opponent, bout by bout.
fn verdicts(pit: &Pit, runner: &Runner, parts: u32, bouts: u32) -> Vec<Verdict> {
    let fight = |task: Task| {
        let (us, them) = (&pit.ours[0], &pit.field[0]);
        let mut fighters = [us.fighter(), them.fighter()];
        if task.seat() == 1 {
            fighters.swap(0, 1);
        }
        let draws = task.key(pit.seed, &them.robot.name);
        let record = fight_refined(&pit.arena, fighters, draws, Wanted::default(), parts);
        let verdict = match record.outcome.end {
            End::Out { loser } | End::Ruled { loser } if loser == task.seat() => Verdict::Loss,
            End::Out { .. } | End::Ruled { .. } => Verdict::Win,
            End::Tie => Verdict::Tie,
            End::NotFinite | End::Abandoned { .. } => Verdict::Failed,
        };
        Fought {
            verdict,
            cause: record.outcome.cause,
            time_s: record.simulated_s as f32,
            left_at: None,
            state_hash: record.state_hash,
        }
    };
    let tasks = plan(0, 1, bouts);
    let fought = runner.run(&tasks, &fight, &|_, _| {}, &AtomicBool::new(false));
    fought.into_iter().flatten().map(|f| f.verdict).collect()
}

/// How many bouts `holds` says yes of.
fn count<'a>(
    pairs: impl Iterator<Item = (&'a Verdict, &'a Verdict)>,
    holds: impl Fn(bool, bool) -> bool,
) -> u32 {
    let won = |v: &Verdict| *v == Verdict::Win;
    let n = pairs.filter(|(a, b)| holds(won(a), won(b))).count();
    u32::try_from(n).unwrap_or(u32::MAX)
}

/// Fights all pairings at both steps on the same draws and says what changed. Whether no change is
/// beyond sampling error, all pairings together being wrong by chance one time in twenty (Bonferroni;
/// the interval is that of a paired difference).
///
/// # Errors
/// When no threads can be started.
pub fn run(bouts: u32) -> Result<bool, String> {
    let runner = Runner::new(None).map_err(|e| e.to_string())?;
    let z = z_of(1.0 - FAMILY / PAIRINGS.len() as f64);
    println!(
        "Win share of the first at the step of bouts and at half of it, {bouts} bouts each on the same \
         draws; in brackets\nthe 99.5 % interval of the paired difference, so that all ten hold 19 \
         times of 20.\n\n| Class | Pairing | Step | Half step | Change, points | Other winner |\n\
         |---|---|---|---|---|---|"
    );
    let (mut sum, mut sure) = (0.0, 0);
    for (class, one, two) in PAIRINGS {
        let (one, two) = (load(one), load(two));
        let pit = pit(class, 95, &one, std::slice::from_ref(&two));
        let [normal, half] = [1, 2].map(|parts| verdicts(&pit, &runner, parts, bouts));
        let pairs = || normal.iter().zip(&half);
        let (before, after) = (count(pairs(), |a, _| a), count(pairs(), |_, b| b));
        let (gained, lost) = (
            count(pairs(), |a, b| !a && b),
            count(pairs(), |a, b| a && !b),
        );
        let change = paired_difference(gained, lost, bouts, z);
        sum += change.estimate.abs();
        sure += u32::from(change.low > 0.0 || change.high < 0.0);
        let share = |n: u32| 100.0 * f64::from(n) / f64::from(bouts);
        println!(
            "| {class} | {} against {} | {:.1} % | {:.1} % | {:+.1} ({:+.1} to {:+.1}) | {:.1} % |",
            one.name,
            two.name,
            share(before),
            share(after),
            100.0 * change.estimate,
            100.0 * change.low,
            100.0 * change.high,
            share(gained + lost)
        );
    }
    println!(
        "\nMean change {:.2} points; {sure} of {} beyond sampling error.",
        100.0 * sum / PAIRINGS.len() as f64,
        PAIRINGS.len()
    );
    Ok(sure == 0)
}
