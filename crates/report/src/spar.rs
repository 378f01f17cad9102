//! How often it wins, and why it loses.

use bout::{Arena, Cause};
use serde::Serialize;
use study::spar::{CauseCount, Record, Tally, best_of_three, fold};
use study::{Entrant, Estimate, Fought, Pit, Task, plan};

use crate::number::{count, percent, share_with_interval};
use crate::setting::{Setting, Trouble, quoted};
use crate::text::{Ink, Layout, Sheet, Table};
use crate::timing::Timing;
use crate::words::{cause_name, cause_words, style_name};
use crate::work::Work;

/// An estimate with its interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Interval {
    /// The estimate.
    pub estimate: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end of the interval.
    pub high: f64,
}

impl From<Estimate> for Interval {
    fn from(e: Estimate) -> Self {
        Self {
            estimate: e.estimate,
            low: e.low,
            high: e.high,
        }
    }
}

impl Interval {
    pub(crate) fn estimate(self) -> Estimate {
        Estimate {
            estimate: self.estimate,
            low: self.low,
            high: self.high,
        }
    }
}

/// One bout that can be looked at: `bout` with these.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Example {
    /// The opponent.
    pub opponent: String,
    /// Number of the bout against it.
    pub bout: u32,
    /// Seed of the study.
    pub seed: u64,
}

/// A cause with its count.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct CauseLine {
    /// Stable name; `explain NAME` teaches the idea behind it.
    pub cause: String,
    /// Bouts.
    pub count: u32,
    /// What happened, in words.
    pub what: String,
    /// A bout to look at.
    pub example: Example,
}

/// Against one opponent.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct OpponentLine {
    /// What a command calls it.
    pub opponent: String,
    /// Its name.
    pub name: String,
    /// Its style.
    pub style: String,
    /// Bouts that count.
    pub bouts: u32,
    /// Bouts won.
    pub wins: u32,
    /// Bouts lost.
    pub losses: u32,
    /// Bouts nobody won.
    pub ties: u32,
    /// Wins ÷ bouts, 95 % interval (Wilson).
    pub win_rate: Interval,
}

/// The record.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct RecordLine {
    /// Bouts that count.
    pub bouts: u32,
    /// Bouts won.
    pub wins: u32,
    /// Bouts lost.
    pub losses: u32,
    /// Bouts nobody won.
    pub ties: u32,
    /// Bouts whose simulation failed: in no rate.
    pub failed: u32,
    /// Wins ÷ bouts, 95 % interval (Wilson).
    pub win_rate: Interval,
    /// Chance of a match to two points by independent bouts.
    pub match_rate: f64,
    /// By opponent.
    pub per_opponent: Vec<OpponentLine>,
    /// Losses by the direction in which it left the ring: eight sectors of 45°, the first along +x.
    pub left_at: [u32; 8],
}

/// The record against a field.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Spar {
    /// `ringwright/spar/1`.
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
    /// The record.
    pub record: RecordLine,
    /// The same bouts with the faults the robot file states, if it states any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub with_faults: Option<WithFaults>,
    /// Causes of the losses, most frequent first.
    pub losses: Vec<CauseLine>,
    /// Causes of the ties, most frequent first.
    pub ties: Vec<CauseLine>,
    /// Time used, if asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub timing: Option<Timing>,
    #[serde(skip)]
    #[schemars(skip)]
    pub(crate) words: SparWords,
}

/// What the text needs besides.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct SparWords {
    pub(crate) id: String,
    pub(crate) options: String,
    pub(crate) field_remark: Option<String>,
    pub(crate) report_command: String,
    pub(crate) simulated_s: f64,
}

/// How often a fault strikes.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct FaultRate {
    /// The fault, as the robot file calls it.
    pub fault: String,
    /// Share of the bouts in which it strikes.
    pub rate: f64,
}

/// The record of the same bouts with the faults that the robot file states.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct WithFaults {
    /// What goes wrong, and how often.
    pub faults: Vec<FaultRate>,
    /// Bouts that count.
    pub bouts: u32,
    /// Bouts won.
    pub wins: u32,
    /// Bouts lost.
    pub losses: u32,
    /// Bouts nobody won.
    pub ties: u32,
    /// Wins ÷ bouts, 95 % interval (Wilson).
    pub win_rate: Interval,
    /// Losses laid to a fault.
    pub by_fault: u32,
}

/// Causes that are faults of the robot.
const FAULTS: [Cause; 4] = [
    Cause::Fault,
    Cause::BrownOut,
    Cause::FalseStart,
    Cause::DroppedParts,
];

impl WithFaults {
    fn of(robot: &robot::Robot, record: &Record) -> Self {
        let t = &record.total;
        let rates = robot.faults.rates.iter();
        let by_fault = record.losses.iter().filter(|c| FAULTS.contains(&c.cause));
        Self {
            faults: rates
                .map(|(fault, rate)| FaultRate {
                    fault: fault.word().to_owned(),
                    rate: rate.si(),
                })
                .collect(),
            bouts: t.bouts(),
            wins: t.wins,
            losses: t.losses,
            ties: t.ties,
            win_rate: t.win_rate().into(),
            by_fault: by_fault.map(|c| c.count).sum(),
        }
    }

    /// One sentence beside the record without faults.
    fn words(&self) -> String {
        let rates: Vec<String> = (self.faults.iter())
            .map(|f| format!("{} {}", f.fault, percent(f.rate)))
            .collect();
        format!(
            "With its faults ({}) it wins {} of the same bouts: {}, {}, {}; {} of the losses laid to a \
             fault.",
            rates.join(", "),
            share_with_interval(self.win_rate.estimate()),
            count(self.wins, "win", "wins"),
            count(self.losses, "loss", "losses"),
            count(self.ties, "tie", "ties"),
            self.by_fault
        )
    }
}

/// A study under way: its bouts and what came of them.
#[derive(Debug)]
pub(crate) struct Study {
    pub(crate) pit: Pit,
    pub(crate) tasks: Vec<Task>,
    pub(crate) results: Vec<Option<Fought>>,
    pub(crate) record: Record,
    /// The record of the same bouts with the robot's faults, if it has any.
    pub(crate) with_faults: Option<Record>,
}

fn entrant(robot: &robot::Robot) -> Result<Entrant, Trouble> {
    ready(robot, Entrant::of_robot(robot))
}

fn ready(
    robot: &robot::Robot,
    entrant: Result<Entrant, Vec<robot::Issue>>,
) -> Result<Entrant, Trouble> {
    entrant.map_err(|issues| {
        Trouble::Files(store::LoadError {
            issues,
            texts: [(robot.tactic.file.clone(), robot.tactic.text.clone())].into(),
            ..store::LoadError::default()
        })
    })
}

impl Study {
    /// Fights the record of the setting's robot: `bouts` spread over the field.
    pub(crate) fn fight(
        setting: &Setting,
        seed: u64,
        bouts: u32,
        work: &Work<'_>,
    ) -> Result<Self, Trouble> {
        Self::fight_as("record", setting, seed, bouts, work)
    }

    /// The same, called `stage` while it is under way.
    fn fight_as(
        stage: &str,
        setting: &Setting,
        seed: u64,
        bouts: u32,
        work: &Work<'_>,
    ) -> Result<Self, Trouble> {
        if setting.field.is_empty() {
            return Err(Trouble::Call(format!(
                "The field \"{}\" has no opponent for this class.",
                setting.class.field
            )));
        }
        let field: Result<Vec<_>, _> = setting.field.iter().map(|o| entrant(&o.robot)).collect();
        let pit = Pit {
            arena: Arena::of(&setting.class),
            seed,
            ours: vec![entrant(&setting.robot)?],
            field: field?,
        };
        let robot = &setting.robot;
        let faulty = if robot.faults.is_empty() {
            None
        } else {
            let ours = ready(robot, Entrant::with_faults(robot))?;
            Some(Pit {
                ours: vec![ours],
                ..pit.clone()
            })
        };
        let tasks = plan(0, pit.field.len(), bouts);
        let results = work.fight(stage, &pit, &tasks);
        let record = fold(&tasks, &results, pit.field.len());
        let with_faults = faulty.map(|pit| {
            let results = work.fight("record with faults", &pit, &tasks);
            fold(&tasks, &results, pit.field.len())
        });
        Ok(Self {
            pit,
            tasks,
            results,
            record,
            with_faults,
        })
    }
}

fn cause_lines(causes: &[CauseCount], setting: &Setting, seed: u64) -> Vec<CauseLine> {
    causes
        .iter()
        .map(|c| CauseLine {
            cause: cause_name(c.cause).to_owned(),
            count: c.count,
            what: cause_words(c.cause).to_owned(),
            example: Example {
                opponent: setting.field[c.example.opponent].id.clone(),
                bout: c.example.bout,
                seed,
            },
        })
        .collect()
}

fn opponent_line(setting: &Setting, k: usize, t: &Tally) -> OpponentLine {
    let o = &setting.field[k];
    OpponentLine {
        opponent: o.id.clone(),
        name: o.robot.name.clone(),
        style: style_name(o.robot.style).to_owned(),
        bouts: t.bouts(),
        wins: t.wins,
        losses: t.losses,
        ties: t.ties,
        win_rate: t.win_rate().into(),
    }
}

impl Spar {
    /// Fights `bouts` against the field.
    ///
    /// # Errors
    /// When there is no opponent.
    pub fn fight(
        setting: &Setting,
        seed: u64,
        bouts: u32,
        work: &Work<'_>,
    ) -> Result<Self, Trouble> {
        Self::fight_as("record", setting, seed, bouts, work)
    }

    /// The same, called `stage` while it is under way.
    pub(crate) fn fight_as(
        stage: &str,
        setting: &Setting,
        seed: u64,
        bouts: u32,
        work: &Work<'_>,
    ) -> Result<Self, Trouble> {
        let study = Study::fight_as(stage, setting, seed, bouts, work)?;
        Ok(Self::of(setting, &study, work.stopped()))
    }

    pub(crate) fn of(setting: &Setting, study: &Study, partial: bool) -> Self {
        let record = &study.record;
        let t = &record.total;
        let bouts = f64::from(t.bouts()).max(1.0);
        Self {
            schema: "ringwright/spar/1".into(),
            robot: setting.robot.name.clone(),
            class: setting.class.name.clone(),
            field: setting.class.field.clone(),
            seed: study.pit.seed,
            partial,
            record: RecordLine {
                bouts: t.bouts(),
                wins: t.wins,
                losses: t.losses,
                ties: t.ties,
                failed: t.failed,
                win_rate: t.win_rate().into(),
                match_rate: best_of_three(f64::from(t.wins) / bouts, f64::from(t.losses) / bouts),
                per_opponent: record
                    .per_opponent
                    .iter()
                    .enumerate()
                    .map(|(k, t)| opponent_line(setting, k, t))
                    .collect(),
                left_at: record.left_at,
            },
            with_faults: (study.with_faults.as_ref())
                .map(|faulty| WithFaults::of(&setting.robot, faulty)),
            losses: cause_lines(&record.losses, setting, study.pit.seed),
            ties: cause_lines(&record.ties, setting, study.pit.seed),
            timing: None,
            words: SparWords {
                id: setting.id.clone(),
                options: setting.options(),
                field_remark: setting.field_remark.clone(),
                report_command: setting.command("report"),
                simulated_s: record.simulated_s,
            },
        }
    }

    /// Simulated seconds of all bouts fought for it.
    #[must_use]
    pub fn simulated_s(&self) -> f64 {
        self.words.simulated_s
    }

    /// As text.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let mut s = Sheet::new(layout);
        s.title(&format!(
            "{} against the field \"{}\"",
            self.robot, self.field
        ));
        s.small(&format!("class {} · seed {}", self.class, self.seed));
        if self.partial {
            s.verdict(Ink::Care, PARTIAL);
        }
        s.heading("How often does it win?");
        self.record_part(&mut s);
        s.heading("Why does it lose?");
        self.causes_part(&mut s);
        s.heading("What to do next");
        s.paragraph("See what to change first:");
        s.command(&self.words.report_command);
        if let Some(t) = &self.timing {
            s.gap();
            s.aside(&t.words());
        }
        s.finish()
    }

    /// The command that tells one bout.
    pub(crate) fn bout_command(&self, example: &Example) -> String {
        format!(
            "ringwright bout {} {}{} --seed {} --bout {}",
            quoted(&self.words.id),
            quoted(&example.opponent),
            self.words.options,
            example.seed,
            example.bout
        )
    }

    pub(crate) fn record_part(&self, s: &mut Sheet) {
        let r = &self.record;
        if r.bouts == 0 {
            s.paragraph("No bout was fought.");
            return;
        }
        s.verdict(
            Ink::Strong,
            &format!(
                "It wins {} of its bouts: {}, {}, {} in {} (seed {}).",
                share_with_interval(r.win_rate.estimate()),
                count(r.wins, "win", "wins"),
                count(r.losses, "loss", "losses"),
                count(r.ties, "tie", "ties"),
                count(r.bouts, "bout", "bouts"),
                self.seed
            ),
        );
        s.paragraph(&format!(
            "The range is a 95 % interval: it allows for the luck of {} bouts, not for what the \
             model leaves out. A match to two points would be won {} of the time.",
            r.bouts,
            percent(r.match_rate)
        ));
        if let Some(faulty) = &self.with_faults {
            s.verdict(Ink::Strong, &faulty.words());
        }
        if r.failed > 0 {
            s.verdict(
                Ink::Care,
                &format!(
                    "{} could not be simulated to the end and count in no rate.",
                    count(r.failed, "further bout", "further bouts")
                ),
            );
        }
        s.gap();
        let header = [
            "Opponent",
            "Style",
            "Wins",
            "Losses",
            "Ties",
            "Win rate (95 %)",
        ];
        let mut table = Table::new(&header).right(&[2, 3, 4]);
        for o in &r.per_opponent {
            table.row([
                format!("{} ({})", o.name, o.opponent),
                o.style.clone(),
                o.wins.to_string(),
                o.losses.to_string(),
                o.ties.to_string(),
                share_with_interval(o.win_rate.estimate()),
            ]);
        }
        s.table(&table);
        s.gap();
        if let Some(remark) = &self.words.field_remark {
            s.aside(remark);
        }
        s.aside(
            "These opponents are invented by us. Trust the order of changes more than the number.",
        );
    }

    pub(crate) fn causes_part(&self, s: &mut Sheet) {
        if self.losses.is_empty() && self.ties.is_empty() {
            s.paragraph("It lost no bout.");
            return;
        }
        let all = self.record.losses;
        let often = |c: &&CauseLine| f64::from(c.count) >= RARE * f64::from(all);
        for c in self.losses.iter().filter(often) {
            let share = percent(f64::from(c.count) / f64::from(all.max(1)));
            s.finding_head(Ink::Strong, &format!("{share:>5}"), &c.cause);
            let of = count(all, "loss", "losses");
            s.entry("What", &format!("it {} ({} of {of}).", c.what, c.count));
            s.entry_command("Look", &self.bout_command(&c.example));
        }
        s.gap();
        let rest: Vec<String> = self
            .losses
            .iter()
            .filter(|c| !often(c))
            .map(|c| format!("{} ({})", c.cause, c.count))
            .collect();
        if !rest.is_empty() {
            s.paragraph(&format!("More rarely: {}.", rest.join(", ")));
        }
        let ties: Vec<String> = self
            .ties
            .iter()
            .map(|c| format!("{} {} (it {})", c.count, c.cause, c.what))
            .collect();
        if !ties.is_empty() {
            let n = count(self.record.ties, "tie", "ties");
            s.paragraph(&format!("Of {n}: {}.", ties.join(", ")));
        }
        s.paragraph(&self.leaves());
    }

    /// Where it leaves the ring, in words.
    fn leaves(&self) -> String {
        let all: u32 = self.record.left_at.iter().sum();
        if all == 0 {
            return String::new();
        }
        // Sides alternate between bouts, so only the share along the line of the start says much.
        let along: u32 = [0, 4].iter().map(|k: &usize| self.record.left_at[*k]).sum();
        format!(
            "It leaves the ring along the line of the start in {} of its losses, to the sides in \
             the rest.",
            percent(f64::from(along) / f64::from(all))
        )
    }
}

/// Causes of fewer than this share of the losses are only counted.
const RARE: f64 = 0.03;

/// Said of an answer that was cut short.
pub(crate) const PARTIAL: &str =
    "PARTIAL: stopped before all bouts were fought. What follows is what is known so far.";
