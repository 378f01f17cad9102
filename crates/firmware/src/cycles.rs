//! How long the longest look of a tactic takes on an 8-bit chip, by counting.

use tactic::Program;
use tactic::program::{Act, Code, Op, StateCode, StepCode};

/// Cycles of a look that asks and does nothing.
const BASE: u32 = 100;
/// Of a reflex or way out besides its condition.
const BRANCH: u32 = 20;
/// Of a step besides its values: whether its time is over, on to the next.
const STEP: u32 = 45;
/// Of a `for` condition, or of a sensor ignored for a while: from when it counts, how long that is.
const CLOCK: u32 = 90;
/// Of an effort: held to full effort, put into the order.
const EFFORT: u32 = 30;

/// Cycles that a look of `program` takes at most on an ATmega328P, written as C99 and built for size:
/// everything that may be asked and done in one look, each operation at the most it takes (32-bit division
/// several hundred). An upper bound, not what a look usually takes; the operations' cycles were measured in
/// an emulator.
#[must_use]
pub fn most_cycles(program: &Program) -> u32 {
    let count = Count(program);
    let remembers: u32 = program
        .remember
        .iter()
        .flatten()
        .map(|c| count.code(*c))
        .sum();
    let holds: u32 = (program.holds.iter())
        .map(|(what, time)| count.code(*what) + count.code(*time) + CLOCK)
        .sum();
    let masks = CLOCK * u32::try_from(program.masks.len()).unwrap_or(u32::MAX);
    let asked: u32 = program
        .reflexes
        .iter()
        .map(|r| count.code(r.when) + BRANCH)
        .sum();
    // A reflex may end in the look in which the state is left for another one, whose steps come at once.
    let reflexes = program.reflexes.iter().map(|r| {
        let until = r.until.map_or(0, |c| count.code(c));
        until + count.steps(&r.steps)
    });
    let ways = program.states.iter().map(|s| {
        let stay = s.stay.map_or(0, |(time, _)| count.code(time) + STEP);
        let ways: u32 = s.ways.iter().map(|(_, c)| count.code(*c) + BRANCH).sum();
        stay + ways
    });
    let states = program.states.iter().map(|s| count.state(s));
    BASE + remembers
        + holds
        + masks
        + asked
        + reflexes.max().unwrap_or(0)
        + ways.max().unwrap_or(0)
        + states.max().unwrap_or(0)
}

struct Count<'p>(&'p Program);

impl Count<'_> {
    fn code(&self, (from, to): Code) -> u32 {
        let ops = self.0.ops.get(usize::from(from)..usize::from(to));
        ops.unwrap_or_default().iter().map(|op| cycles(*op)).sum()
    }

    fn steps(&self, steps: &[StepCode]) -> u32 {
        steps.iter().map(|s| self.step(s)).sum()
    }

    fn step(&self, s: &StepCode) -> u32 {
        let asked = [s.lasting, s.until].into_iter().flatten();
        let asked: u32 = asked.map(|c| self.code(c)).sum();
        STEP + asked + self.act(s.act)
    }

    /// The steps of a state, and what follows in the same look when all are done: those of the next state, or
    /// its own again, of which only the one it began with comes twice, and none that takes no time.
    fn state(&self, s: &StateCode) -> u32 {
        let ends = |s: &StepCode| s.act.is_instant() || s.lasting.is_some() || s.until.is_some();
        let next = s.then.and_then(|to| self.0.states.get(usize::from(to)));
        let after = match next {
            _ if !s.steps.iter().all(ends) => 0,
            Some(next) => self.steps(&next.steps),
            None => {
                let again = s.steps.iter().filter(|s| !s.act.is_instant());
                again.map(|s| self.step(s)).max().unwrap_or(0)
            }
        };
        self.steps(&s.steps) + after
    }

    fn act(&self, act: Act) -> u32 {
        match act {
            Act::Drive(l, r) | Act::Arc(l, r, _) => self.code(l) + self.code(r) + 2 * EFFORT,
            Act::Pivot(e, _) => self.code(e) + 2 * EFFORT,
            Act::Follow(from, to) => {
                let rules = self.0.rules.get(usize::from(from)..usize::from(to));
                // All conditions are asked before the last one holds, and one rule drives.
                let rules = rules.unwrap_or_default();
                let asked: u32 = (rules.iter())
                    .map(|r| BRANCH + r.when.map_or(0, |c| self.code(c)))
                    .sum();
                asked + rules.iter().map(|r| self.act(r.act)).max().unwrap_or(0)
            }
            Act::Set(_, e) | Act::Move(_, e) | Act::Ignore(_, e) => self.code(e) + EFFORT,
            Act::Wait | Act::Restart(_) | Act::Release(_) => EFFORT,
        }
    }
}

/// Cycles of an operation at most.
const fn cycles(op: Op) -> u32 {
    match op {
        Op::Push(_) => 3,
        Op::Counter(_) | Op::Sensor(_) | Op::Held(_) => 6,
        Op::Masked(_) => 24,
        Op::Timer(_) => 40,
        Op::Add | Op::Sub => 60,
        Op::Mul => 110,
        Op::Div => 720,
        Op::Share => 850,
        Op::Less | Op::More | Op::Same => 12,
        Op::Not | Op::And | Op::Or => 8,
        Op::Chance => 300,
    }
}
