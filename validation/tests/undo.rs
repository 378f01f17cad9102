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
const BOUTS: u32 = 1500;

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
            .filter(|r| named == undo.names.contains(&r.0) && !undo.aside.contains(&r.0))
            .fold((0, 0), |s, r| (s.0 + r.1, s.1 + r.2))
    };
    let ((a, n), (c, m)) = (sum(true), sum(false));
    (fisher::greater(a, n - a, c, m - c), n as usize)
}

/// Prints the table of one undo; its chance and the losses of its name.
fn told(losses: &[Losses], undo: &Undo) -> (f64, usize) {
    let rows = table(losses, undo);
    let (p, n) = tested(undo, &rows);
    println!("\n{} ({n} losses of its name): p = {p:.1e}", undo.what);
    for (cause, rescued, of) in rows.iter().filter(|r| r.2 > 0) {
        let share = 100.0 * f64::from(*rescued) / f64::from(*of);
        let mark = match cause {
            c if undo.names.contains(c) => "*",
            c if undo.aside.contains(c) => "-",
            _ => " ",
        };
        let name = cause_name(*cause);
        println!("  {mark} {name:<24}{rescued:>5} of {of:>5}  {share:>5.1} %");
    }
    if n < FEW {
        println!("    too few of its name to say anything");
    }
    (p, n)
}

#[test]
fn undoing_a_cause_rescues_its_losses_more_often_than_others() {
    let losses = all_losses(&field("mini"), BOUTS);
    let total: usize = losses.iter().map(|l| l.lost.len()).sum();
    println!("{total} losses of {} robots", losses.len());
    assert!(total >= 300, "{total}");
    let mut wrong = Vec::new();
    for u in undo::ALL {
        let (p, n) = told(&losses, u);
        if n >= FEW && p >= LUCK {
            wrong.push((u.what, p));
        }
    }
    assert!(wrong.is_empty(), "{wrong:?}");
}

/// The field with faults far more often than any robot has them.
fn faulty() -> Vec<Robot> {
    let mut robots = field("mini");
    for r in &mut robots {
        let rate = |f: Fault, x: f64| (f, quantity::Figure::derived(x, f.word()));
        r.faults.rates = vec![
            rate(Fault::LostTyre, 0.3),
            rate(Fault::LoosePlug, 0.2),
            rate(Fault::DeadSensor, 0.3),
            rate(Fault::ControllerReset, 0.3),
            rate(Fault::FalseStart, 0.03),
        ];
    }
    robots
}

#[test]
fn taking_faults_away_rescues_the_losses_laid_to_them() {
    let losses = all_losses(&faulty(), BOUTS / 2);
    let (p, n) = told(&losses, &undo::NO_FAULTS);
    assert!(n >= FEW && p < LUCK, "{n} {p}");
}
