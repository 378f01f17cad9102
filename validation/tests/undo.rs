//! A cause is a claim: take away what it names, and the loss goes away more often than others do.

use bout::Cause;
use report::cause_name;
use robot::{Fault, Robot};
use validation::undo::{self, Losses, Undo};
use validation::{field, fisher};

/// Chance below which a difference is not luck.
const LUCK: f64 = 0.01;
/// Losses of a cause below which a test says nothing.
const FEW: usize = 15;
const SEED: u64 = 77;
const BOUTS: u32 = 300;

fn all_losses(robots: &[Robot], bouts: u32) -> Vec<Losses> {
    (0..robots.len())
        .map(|k| {
            let others: Vec<Robot> = (robots.iter().enumerate())
                .filter(|(i, _)| *i != k)
                .map(|(_, r)| r.clone())
                .collect();
            Losses::of(&robots[k], &others, SEED, bouts)
        })
        .collect()
}

/// Rescued and all, by cause in the order of `Cause::ALL`.
fn table(losses: &[Losses], undo: &Undo) -> Vec<(Cause, u32, u32)> {
    let mut rows: Vec<(Cause, u32, u32)> = Cause::ALL.iter().map(|c| (*c, 0, 0)).collect();
    for l in losses {
        let rescued = l.rescued(undo.edit);
        for ((_, cause), rescued) in l.lost.iter().zip(rescued) {
            let row = rows.iter_mut().find(|r| r.0 == *cause).expect("listed");
            row.1 += u32::from(rescued);
            row.2 += 1;
        }
    }
    rows
}

fn tested(undo: &Undo, rows: &[(Cause, u32, u32)]) -> (f64, usize) {
    let sum = |named: bool| {
        rows.iter()
            .filter(|r| undo.names.contains(&r.0) == named)
            .fold((0, 0), |s, r| (s.0 + r.1, s.1 + r.2))
    };
    let ((a, n), (c, m)) = (sum(true), sum(false));
    (fisher::greater(a, n - a, c, m - c), n as usize)
}

#[test]
fn undoing_a_cause_rescues_its_losses_more_often_than_others() {
    let losses = all_losses(&field("mini"), BOUTS);
    let total: usize = losses.iter().map(|l| l.lost.len()).sum();
    println!("{total} losses of {} robots", losses.len());
    for u in undo::ALL {
        let rows = table(&losses, u);
        let (p, n) = tested(u, &rows);
        println!("\n{} ({n} losses of its name): p = {p:.2g}", u.what);
        for (cause, rescued, of) in rows.iter().filter(|r| r.2 > 0) {
            let share = 100.0 * f64::from(*rescued) / f64::from(*of);
            let mark = if u.names.contains(cause) { "*" } else { " " };
            println!("  {mark} {:<24}{rescued:>5} of {of:>5}  {share:>5.1} %", cause_name(*cause));
        }
    }
    let _ = (LUCK, FEW, Fault::LostTyre);
}
