//! The main job: legal, sound, how often, why, what first, how sure, what next.

use quantity::Origin;
use serde::Serialize;
use study::unknowns::{Unknown, rank};

use crate::check::{Check, FindingLine, InspectionRow, OnPaper};
use crate::number::signed_points;
use crate::setting::{Setting, Trouble};
use crate::spar::{CauseLine, PARTIAL, RecordLine, Spar, Study, WithFaults};
use crate::text::{Ink, Layout, Sheet};
use crate::timing::Timing;
use crate::whatif::{ChangeLine, Effort, WhatIf};
use crate::work::Work;

/// Version of the program.
const VERSION: &str = env!("CARGO_PKG_VERSION");
/// Unknowns that are listed.
const LISTED: usize = 8;

/// One figure that is not known well.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct UnknownLine {
    /// Path of the figure in the files' terms.
    pub figure: String,
    /// The figure with its unit.
    pub value: String,
    /// Half-width (19 to 1) of what is not known, with its unit.
    pub unsure: String,
    /// Whether nobody said it: the typical value of its class was taken.
    pub guessed: bool,
    /// Change of the win rate when it is one half-width higher.
    pub win_rate_change: f64,
    /// Standard error of that.
    pub standard_error: f64,
    /// Whether that stands out of the luck of the bouts.
    pub stands_out: bool,
    /// How it can be measured at home, if it can.
    pub how: Option<String>,
    /// The page of `explain` on that.
    pub page: Option<String>,
}

/// The whole answer: what its parts say, what is not known well, and what to do next. As JSON its parts
/// are written side by side, see `Flat`.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// Legal and sound.
    pub check: Check,
    /// How often, and why not oftener.
    pub spar: Spar,
    /// What to change first.
    pub whatif: WhatIf,
    /// What is not known well, what matters most first.
    pub unknowns: Vec<UnknownLine>,
    /// Commands that work as they stand.
    pub next: Vec<String>,
    /// Time used, if asked for.
    pub timing: Option<Timing>,
    origins: Origins,
    simulated_s: f64,
}

/// The whole answer.
#[derive(Serialize, schemars::JsonSchema)]
#[schemars(rename = "Answer")]
struct Flat<'a> {
    /// `ringwright/report/1`.
    schema: &'a str,
    /// Version of the program.
    version: &'a str,
    /// The robot's name.
    robot: &'a str,
    /// Its file.
    file: &'a str,
    /// The class.
    class: &'a str,
    /// The field.
    field: &'a str,
    /// Seed of all draws.
    seed: u64,
    /// Whether it was stopped before all bouts were fought.
    partial: bool,
    /// Whether no rule is broken, as far as the files can show it.
    legal: bool,
    /// Rule by rule.
    inspection: &'a [InspectionRow],
    /// What the analyses found, faults first.
    findings: &'a [FindingLine],
    /// The robot on paper.
    paper: &'a OnPaper,
    /// The record.
    record: &'a RecordLine,
    /// The same bouts with the faults the robot file states, if it states any.
    #[serde(skip_serializing_if = "Option::is_none")]
    with_faults: Option<&'a WithFaults>,
    /// Causes of the losses, most frequent first.
    losses: &'a [CauseLine],
    /// Causes of the ties, most frequent first.
    ties: &'a [CauseLine],
    /// Single changes, best first.
    changes: &'a [ChangeLine],
    /// What is not known well, what matters most first.
    unknowns: &'a [UnknownLine],
    /// Commands that work as they stand.
    next: &'a [String],
    /// Time used, if asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    timing: Option<&'a Timing>,
}

impl<'a> Flat<'a> {
    fn of(a: &'a Answer) -> Self {
        let (check, spar) = (&a.check, &a.spar);
        Self {
            schema: "ringwright/report/1",
            version: VERSION,
            robot: &check.robot,
            file: &check.file,
            class: &check.class,
            field: &spar.field,
            seed: spar.seed,
            partial: a.partial(),
            legal: check.legal,
            inspection: &check.inspection,
            findings: &check.findings,
            paper: &check.paper,
            record: &spar.record,
            with_faults: spar.with_faults.as_ref(),
            losses: &spar.losses,
            ties: &spar.ties,
            changes: &a.whatif.changes,
            unknowns: &a.unknowns,
            next: &a.next,
            timing: a.timing.as_ref(),
        }
    }
}

impl Serialize for Answer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        Flat::of(self).serialize(serializer)
    }
}

impl schemars::JsonSchema for Answer {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        Flat::schema_name()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        Flat::json_schema(generator)
    }
}

/// How many figures came from where.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Origins {
    stated: usize,
    parts_box: usize,
    typical: usize,
}

impl Origins {
    fn of(setting: &Setting) -> Self {
        let mut origins = Self::default();
        for f in setting.robot.figures() {
            match f.origin {
                Origin::Stated => origins.stated += 1,
                Origin::PartsBox => origins.parts_box += 1,
                Origin::Typical => origins.typical += 1,
                Origin::Derived => {}
            }
        }
        origins
    }
}

/// How much work an answer is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Amount {
    /// Bouts of the record.
    pub bouts: u32,
    /// The what-if.
    pub effort: Effort,
}

impl Answer {
    /// Answers the main job for `setting`.
    ///
    /// # Errors
    /// When there is no opponent.
    pub fn to(
        setting: &Setting,
        seed: u64,
        amount: Amount,
        work: &Work<'_>,
    ) -> Result<Self, Trouble> {
        let check = Check::of(setting);
        let mut study = Study::fight(setting, seed, amount.bouts, work)?;
        let spar = Spar::of(setting, &study, work.stopped());
        let whatif = WhatIf::of(setting, &mut study, amount.effort, work);
        let names: Vec<String> = setting.field.iter().map(|o| o.robot.name.clone()).collect();
        let unknowns = rank(&setting.robot, seed, &names, &study.tasks, &study.results);
        Ok(Self {
            unknowns: unknown_lines(&unknowns),
            next: next(setting, &check, &spar),
            timing: None,
            origins: Origins::of(setting),
            simulated_s: study.record.simulated_s + whatif.simulated_s(),
            check,
            spar,
            whatif,
        })
    }

    /// Whether it was stopped before all bouts were fought.
    #[must_use]
    pub fn partial(&self) -> bool {
        self.spar.partial || self.whatif.partial
    }

    /// Simulated seconds of all bouts fought for it.
    #[must_use]
    pub fn simulated_s(&self) -> f64 {
        self.simulated_s
    }

    /// As text.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let (check, spar) = (&self.check, &self.spar);
        let mut s = Sheet::new(layout);
        s.title(&format!(
            "{} in the class {}",
            check.robot,
            check.class_title()
        ));
        s.small(&format!(
            "{} · field {} · seed {} · ringwright {VERSION}",
            check.file, spar.field, spar.seed
        ));
        if self.partial() {
            s.gap();
            s.verdict(Ink::Care, PARTIAL);
        }
        s.heading("1. Legal?");
        check.legal_part(&mut s);
        s.heading("2. Sound?");
        check.sound_part(&mut s);
        s.heading("3. How often does it win?");
        spar.record_part(&mut s);
        s.heading("4. Why does it lose?");
        spar.causes_part(&mut s);
        s.heading("5. What to change first?");
        self.whatif.part(&mut s);
        s.heading("6. How sure is this?");
        self.sure_part(&mut s);
        s.heading("7. What to do next");
        for command in &self.next {
            s.command(command);
        }
        s.gap();
        s.aside("`explain` knows every name above, of findings and of causes.");
        if let Some(t) = &self.timing {
            s.gap();
            s.aside(&t.words());
        }
        check.last_line(&mut s);
        s.finish()
    }

    fn sure_part(&self, s: &mut Sheet) {
        let o = &self.origins;
        s.paragraph(&format!(
            "Of the robot's figures {} are stated in your file, {} come from the parts box, and {} \
             nobody said: typical values were taken for them.",
            o.stated, o.parts_box, o.typical
        ));
        let standing: Vec<&UnknownLine> = self.unknowns.iter().filter(|u| u.stands_out).collect();
        if standing.is_empty() {
            s.paragraph(
                "No single unknown moves the win rate so much that it stands out of the luck of \
                 these bouts. The largest, as a guess where to measure first:",
            );
        } else {
            s.paragraph("These unknowns matter most. Measure them first:");
        }
        let shown: Vec<&UnknownLine> = if standing.is_empty() {
            self.unknowns.iter().take(3).collect()
        } else {
            standing
        };
        for u in shown {
            let guessed = if u.guessed { ", a guess" } else { "" };
            s.point(
                "–",
                &format!(
                    "{}: {} ± {}{guessed}. That much higher changes the win rate by {} points of \
                     100 (give or take {:.0}).",
                    u.figure,
                    u.value,
                    u.unsure,
                    signed_points(u.win_rate_change),
                    200.0 * u.standard_error
                ),
            );
            if let (Some(how), Some(page)) = (&u.how, &u.page) {
                s.entry("How", &format!("{how} (explain {page})."));
            }
        }
        s.gap();
        s.aside(
            "Left out of the model: wear, flexing frames, gears that strip, faults your file does not \
             state, and whatever real opponents do that ours do not.",
        );
    }
}

fn unknown_lines(unknowns: &[Unknown]) -> Vec<UnknownLine> {
    let tried = unknowns.len();
    unknowns
        .iter()
        .take(LISTED)
        .map(|u| (u, crate::measure::how(&u.path)))
        .map(|(u, how)| UnknownLine {
            how: how.map(|h| h.words.to_owned()),
            page: how.map(|h| h.page.to_owned()),
            figure: u.path.clone(),
            value: u.shown.clone(),
            unsure: u.unsure_shown.clone(),
            guessed: u.guessed,
            win_rate_change: u.win_rate_per_half_width,
            standard_error: u.standard_error,
            stands_out: u.stands_out(tried),
        })
        .collect()
}

/// Commands that work as they stand: the bout to look at, the idea to read, the file to start from.
fn next(setting: &Setting, check: &Check, spar: &Spar) -> Vec<String> {
    let mut next = Vec::new();
    if let Some(loss) = spar.losses.first() {
        let picture = format!("{}.svg", loss.cause);
        next.push(format!(
            "{} --svg {picture}",
            spar.bout_command(&loss.example)
        ));
    }
    let idea = check.findings.first().map(|f| &f.name);
    if let Some(name) = idea.or(spar.losses.first().map(|l| &l.cause)) {
        next.push(format!("ringwright explain {name}"));
    }
    next.push(if setting.id == "demo" {
        "ringwright new my-robot --style pusher --out my-robot.toml".to_owned()
    } else {
        setting.command("whatif")
    });
    next
}
