//! What the solver's step does to win shares: the same pairings with every substep halved.

use std::sync::atomic::AtomicBool;

use bout::{End, Wanted, fight_refined};
use runner::Runner;
use study::{Fought, Pit, Task, Verdict, plan};

use crate::{field, load, pit};

/// Pairings.
const PAIRINGS: usize = 10;
/// Bouts of each pairing and step.
const BOUTS: u32 = 2000;
/// Standard deviations in the half-width of a central 95 % range of a normal.
const HALF_WIDTH_95: f64 = 1.96;

/// Wins of ours in a pit with one opponent.
fn wins(pit: &Pit, runner: &Runner, parts: u32) -> u32 {
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
            End::NotFinite => Verdict::Failed,
        };
        Fought {
            verdict,
            cause: record.outcome.cause,
            time_s: record.simulated_s as f32,
            left_at: None,
            state_hash: record.state_hash,
        }
    };
    let tasks = plan(0, 1, BOUTS);
    let fought = runner.run(&tasks, &fight, &|_, _| {}, &AtomicBool::new(false));
    let won = fought
        .iter()
        .flatten()
        .filter(|f| f.verdict == Verdict::Win);
    u32::try_from(won.count()).unwrap_or(u32::MAX)
}

/// Fights all pairings at both steps and says what changed.
///
/// # Errors
/// When no threads can be started.
pub fn run() -> Result<(), String> {
    let runner = Runner::new(None).map_err(|e| e.to_string())?;
    let robots = field("mini");
    let mut pairs = Vec::new();
    for (k, one) in robots.iter().enumerate() {
        pairs.extend(robots[k + 1..].iter().map(|two| (one.clone(), two.clone())));
    }
    pairs.truncate(PAIRINGS);
    if pairs.len() < PAIRINGS {
        let demo = load("demo");
        let more = robots.iter().map(|r| (demo.clone(), r.clone()));
        pairs.extend(more.take(PAIRINGS - pairs.len()));
    }
    println!(
        "Win share of the first at the step of bouts and at half of it, {BOUTS} bouts each; in \
         brackets what luck alone changes it by at most (19 to 1).\n"
    );
    println!("| Pairing | Step | Half step | Change, points |\n|---|---|---|---|");
    let (mut sum, mut sure) = (0.0, 0);
    for (one, two) in &pairs {
        let pit = pit("mini", 95, one, std::slice::from_ref(two));
        let [normal, half] =
            [1, 2].map(|parts| f64::from(wins(&pit, &runner, parts)) / f64::from(BOUTS));
        let p = 0.5 * (normal + half);
        let luck = HALF_WIDTH_95 * (2.0 * p * (1.0 - p) / f64::from(BOUTS)).sqrt();
        let change = half - normal;
        sum += change.abs();
        sure += u32::from(change.abs() > luck);
        println!(
            "| {} against {} | {:.1} % | {:.1} % | {:+.1} (± {:.1}) |",
            one.name,
            two.name,
            100.0 * normal,
            100.0 * half,
            100.0 * change,
            100.0 * luck
        );
    }
    println!(
        "\nMean change {:.2} points; {sure} of {} beyond luck.",
        100.0 * sum / pairs.len() as f64,
        pairs.len()
    );
    Ok(())
}
