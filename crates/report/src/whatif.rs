//! What to change first.

use serde::Serialize;
use study::whatif::{Change, Design, candidates, effect, fresh_seed, pairs_of};
use study::{Entrant, Fought, Pit, Task};

use crate::number::{points_with_interval, signed_points};
use crate::setting::{Setting, Trouble};
use crate::spar::{Interval, PARTIAL, Study};
use crate::text::{Ink, Layout, Sheet, Table};
use crate::timing::Timing;
use crate::work::Work;

/// A change measured again on draws that had no say in choosing it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Again {
    /// Seed of the fresh draws.
    pub seed: u64,
    /// Pairs of bouts.
    pub bouts: u32,
    /// Change of the win rate, 95 % interval.
    pub win_rate_change: Interval,
}

/// One change and what it came to.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct ChangeLine {
    /// Stable name.
    pub change: String,
    /// What is done, in words.
    pub what: String,
    /// Share of the losses and ties whose cause it speaks to.
    pub speaks_to: f64,
    /// Pairs of bouts on the same draws.
    pub bouts: u32,
    /// Bouts won only with the change.
    pub gained: u32,
    /// Bouts won only without it.
    pub lost: u32,
    /// Change of the win rate; the intervals of all changes hold together at 95 %.
    pub win_rate_change: Interval,
    /// `clearly better`, `clearly worse` or `no clear difference`.
    pub verdict: String,
    /// Measured again on fresh draws, for the best.
    pub again: Option<Again>,
}

/// The changes, best first.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct WhatIf {
    /// `ringwright/whatif/1`.
    pub schema: String,
    /// The robot's name.
    pub robot: String,
    /// The class.
    pub class: String,
    /// The field.
    pub field: String,
    /// Seed of all draws.
    pub seed: u64,
    /// Whether it was stopped before all bouts were fought.
    pub partial: bool,
    /// The changes, best first.
    pub changes: Vec<ChangeLine>,
    /// Time used, if asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub timing: Option<Timing>,
    #[serde(skip)]
    #[schemars(skip)]
    simulated_s: f64,
}

/// How much work a what-if is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Changes tried, besides doing nothing.
    pub changes: usize,
    /// Pairs of bouts for each; at most as many as the record has bouts.
    pub pairs: usize,
}

const BETTER: &str = "clearly better";
const WORSE: &str = "clearly worse";
const UNCLEAR: &str = "no clear difference";

impl WhatIf {
    /// Fights a record of `bouts` and tries the changes on its draws.
    ///
    /// # Errors
    /// When there is no opponent.
    pub fn fight(
        setting: &Setting,
        seed: u64,
        bouts: u32,
        effort: Effort,
        work: &Work<'_>,
    ) -> Result<Self, Trouble> {
        let mut study = Study::fight(setting, seed, bouts, work)?;
        let mut answer = Self::of(setting, &mut study, effort, work);
        answer.simulated_s += study.record.simulated_s;
        Ok(answer)
    }

    /// Tries the changes on the draws of a record.
    pub(crate) fn of(
        setting: &Setting,
        study: &mut Study,
        effort: Effort,
        work: &Work<'_>,
    ) -> Self {
        let base = Design {
            robot: setting.robot.clone(),
            tactic: setting.tactic.clone(),
            opening: 0,
        };
        let changes = candidates(
            &base,
            &setting.class,
            &setting.parts,
            &study.record,
            effort.changes,
        );
        let pairs = effort.pairs.min(study.tasks.len());
        let mut tried: Vec<&Change> = Vec::new();
        study.pit.ours.truncate(1);
        for change in &changes {
            if let Ok(entrant) = Entrant::of_design(&change.design) {
                study.pit.ours.push(entrant);
                tried.push(change);
            }
        }
        let (results, simulated_s) = try_all(study, tried.len(), pairs, work);
        let mut lines: Vec<(usize, ChangeLine)> = tried
            .iter()
            .zip(&results)
            .enumerate()
            .map(|(k, (change, changed))| {
                (
                    k,
                    line(change, &study.results[..pairs], changed, tried.len()),
                )
            })
            .collect();
        let order = |l: &ChangeLine| l.win_rate_change.estimate;
        lines.sort_by(|a, b| {
            order(&b.1)
                .total_cmp(&order(&a.1))
                .then(a.1.change.cmp(&b.1.change))
        });
        let mut answer = Self {
            schema: "ringwright/whatif/1".into(),
            robot: setting.robot.name.clone(),
            class: setting.class.name.clone(),
            field: setting.class.field.clone(),
            seed: study.pit.seed,
            partial: false,
            changes: Vec::new(),
            timing: None,
            simulated_s,
        };
        if let Some((k, best)) = lines.first_mut()
            && best.verdict == BETTER
        {
            let (again, simulated_s) = again(study, *k + 1, pairs, work);
            best.again = again;
            answer.simulated_s += simulated_s;
        }
        answer.changes = lines.into_iter().map(|l| l.1).collect();
        answer.partial = work.stopped();
        answer
    }

    /// Simulated seconds of all bouts fought for it.
    #[must_use]
    pub fn simulated_s(&self) -> f64 {
        self.simulated_s
    }

    /// As text.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let mut s = Sheet::new(layout);
        s.title(&format!("What to change first on {}", self.robot));
        s.small(&format!(
            "class {} · field {} · seed {}",
            self.class, self.field, self.seed
        ));
        if self.partial {
            s.verdict(Ink::Care, PARTIAL);
        }
        s.gap();
        self.part(&mut s);
        if let Some(t) = &self.timing {
            s.gap();
            s.aside(&t.words());
        }
        s.finish()
    }

    /// The table and what it means.
    pub(crate) fn part(&self, s: &mut Sheet) {
        let real = || self.changes.iter().filter(|c| c.change != "do-nothing");
        if real().next().is_none() {
            s.paragraph("No change was tried.");
            return;
        }
        let pairs = real().map(|c| c.bouts).max().unwrap_or(0);
        match real().find(|c| c.verdict == BETTER) {
            Some(best) => s.verdict(
                Ink::Good,
                &format!("First: {}. {}.", best.what, outcome(best)),
            ),
            None => s.verdict(
                Ink::Care,
                &format!(
                    "None of these is clearly better: with {pairs} pairs of bouts each, luck alone \
                     could make such differences."
                ),
            ),
        }
        s.gap();
        let header = [
            "Change",
            "Win rate, points of 100",
            "Gained/lost",
            "Verdict",
        ];
        let mut table = Table::new(&header);
        for c in &self.changes {
            table.row([
                c.what.clone(),
                points_with_interval(c.win_rate_change.estimate()),
                format!("{}/{}", c.gained, c.lost),
                c.verdict.clone(),
            ]);
        }
        s.table(&table);
        s.gap();
        s.aside(&format!(
            "Each change was tried alone on the same draws as the robot as it is, {pairs} pairs of \
             bouts (seed {}). Gained: bouts won only with the change. The ranges hold together at \
             95 %: they allow for trying {} changes. Doing nothing is tried as a check.",
            self.seed,
            self.changes.len()
        ));
    }
}

/// What a change came to, and again on fresh draws.
fn outcome(c: &ChangeLine) -> String {
    let first = format!(
        "The win rate changes by {} points",
        points_with_interval(c.win_rate_change.estimate())
    );
    match &c.again {
        Some(a) => {
            let held = if a.win_rate_change.low > 0.0 {
                "and holds"
            } else {
                "but is not certain"
            };
            format!(
                "{first}; on {} fresh pairs (seed {}) it is {}, {held}",
                a.bouts,
                a.seed,
                points_with_interval(a.win_rate_change.estimate())
            )
        }
        None => format!(
            "{first} ({} at best guess)",
            signed_points(c.win_rate_change.estimate)
        ),
    }
}

fn line(
    change: &Change,
    base: &[Option<Fought>],
    changed: &[Option<Fought>],
    tried: usize,
) -> ChangeLine {
    let e = effect(base, changed, tried);
    let verdict = if e.clearly_better() {
        BETTER
    } else if e.clearly_worse() {
        WORSE
    } else {
        UNCLEAR
    };
    ChangeLine {
        change: change.name.clone(),
        what: change.what.clone(),
        speaks_to: change.speaks_to,
        bouts: e.pairs,
        gained: e.gained,
        lost: e.lost,
        win_rate_change: e.win_rate_change.into(),
        verdict: verdict.to_owned(),
        again: None,
    }
}

/// Simulated seconds of what was fought.
fn simulated_s(results: &[Option<Fought>]) -> f64 {
    results.iter().flatten().map(|f| f64::from(f.time_s)).sum()
}

/// Fights every variant on the record's first `pairs` bouts. Variants take turns, so that a study
/// cut short knows a little of each.
fn try_all(
    study: &Study,
    variants: usize,
    pairs: usize,
    work: &Work<'_>,
) -> (Vec<Vec<Option<Fought>>>, f64) {
    let mut tasks: Vec<Task> = Vec::new();
    for pair in study.tasks.iter().take(pairs) {
        for variant in 1..=variants {
            tasks.push(Task { variant, ..*pair });
        }
    }
    let results = work.fight("changes", &study.pit, &tasks);
    let simulated = simulated_s(&results);
    let of = |k: usize| {
        results
            .iter()
            .skip(k)
            .step_by(variants.max(1))
            .copied()
            .collect()
    };
    ((0..variants).map(of).collect(), simulated)
}

/// Measures one variant and the robot as it is on fresh draws.
fn again(study: &Study, variant: usize, pairs: usize, work: &Work<'_>) -> (Option<Again>, f64) {
    let seed = fresh_seed(study.pit.seed);
    let pit = Pit {
        seed,
        ..study.pit.clone()
    };
    let base = pairs_of(&study.tasks, 0, pairs);
    let changed = pairs_of(&study.tasks, variant, pairs);
    let all: Vec<Task> = base.iter().chain(&changed).copied().collect();
    let results = work.fight("best change again", &pit, &all);
    let (base, changed) = results.split_at(base.len());
    let e = effect(base, changed, 1);
    let simulated = simulated_s(&results);
    if e.pairs == 0 {
        return (None, simulated);
    }
    let again = Again {
        seed,
        bouts: e.pairs,
        win_rate_change: e.win_rate_change.into(),
    };
    (Some(again), simulated)
}
