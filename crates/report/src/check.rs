//! Legal and sound: what can be said without a bout.

use paper::Paper;
use robot::{Finding, Severity};
use rules::{Inspection, Row, Verdict};
use serde::Serialize;

use crate::number::{count, json};
use crate::setting::Setting;
use crate::text::{Ink, Layout, Sheet, Table};
use crate::words::severity_name;

/// One rule and how the robot stands to it. Numbers in SI, the unit beside them.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct InspectionRow {
    /// Name of the rule.
    pub rule: String,
    /// SI unit of the numbers; empty where nothing is measured.
    pub unit: String,
    /// The limit.
    pub limit: Option<f64>,
    /// What the robot has.
    pub ours: Option<f64>,
    /// How far inside the limit; negative outside.
    pub margin: Option<f64>,
    /// Half-width (19 to 1) of what ours may be off by.
    pub spread: Option<f64>,
    /// `pass`, `fail`, `close: measure it` or `ask the judge`.
    pub verdict: String,
    /// The limit in words.
    pub limit_text: String,
    /// Ours in words.
    pub ours_text: String,
    /// What to do by hand, where the file cannot show it.
    pub by_hand: Option<String>,
    /// What the rulebook says, in short.
    pub wording: String,
    /// Who says so.
    pub source: String,
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct FindingLine {
    /// Stable name; `explain NAME` teaches the idea behind it.
    pub name: String,
    /// `fault`, `warning` or `note`.
    pub severity: String,
    /// What, in one sentence.
    pub what: String,
    /// Why, with the numbers.
    pub why: String,
    /// What would mend it.
    pub mend: String,
    /// The user's file, if a place can be named.
    pub file: Option<String>,
    /// The line in it.
    pub line: Option<u32>,
}

/// A number with the range that holds nineteen of twenty imagined robots.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Banded {
    /// The nominal robot's.
    pub nominal: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// What other wheels or motors would give.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct TradeLine {
    /// The part.
    pub part: String,
    /// Whether it is the one on the robot.
    pub ours: bool,
    /// Push at full effort in N.
    pub push_n: f64,
    /// Time of a charge in s; none if it never gets there.
    pub charge_s: Option<f64>,
    /// Whether no other pushes harder and charges quicker at once.
    pub best_trade: bool,
}

/// The robot on paper. SI units by name.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct OnPaper {
    /// Mass in kg.
    pub mass_kg: f64,
    /// Centre of mass in m: forward of the middle, left, above the ring.
    pub centre_m: [f64; 3],
    /// Share of the weight on driven wheels.
    pub driven_share: Option<f64>,
    /// Push at full effort in N.
    pub push_n: Option<Banded>,
    /// What the motors give at standstill in N.
    pub motors_push_n: Option<f64>,
    /// What the tyres hold just before they slide in N.
    pub grip_n: Option<f64>,
    /// Speed without load in m/s.
    pub free_speed_m_s: Option<f64>,
    /// Length of a charge in m.
    pub charge_m: Option<f64>,
    /// Time of a charge in s.
    pub charge_s: Option<Banded>,
    /// Highest speed in m/s that stops at the edge, driving forward.
    pub safe_speed_m_s: Option<Banded>,
    /// Speed in m/s it reaches with its own program.
    pub reached_speed_m_s: Option<f64>,
    /// Turning rate in place in rad/s.
    pub spin_rad_s: Option<f64>,
    /// Share of the horizon in which it sees an opponent like itself.
    pub seen_share: f64,
    /// Pack current with both sides stalled, in A.
    pub stalled_a: Option<f64>,
    /// Pack voltage then, in V.
    pub stalled_v: Option<f64>,
    /// Time in s the pack lasts at half that current.
    pub lasts_s: Option<f64>,
    /// Price of the parts that have one.
    pub price: f64,
    /// Wheels of the same compound.
    pub wheels: Vec<TradeLine>,
    /// Motors of about the same mass.
    pub motors: Vec<TradeLine>,
}

/// Legal and sound.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Check {
    /// `ringwright/check/1`.
    pub schema: String,
    /// The robot's name.
    pub robot: String,
    /// Its file.
    pub file: String,
    /// The class.
    pub class: String,
    /// Whether no rule is broken, as far as the files can show it.
    pub legal: bool,
    /// Rule by rule.
    pub inspection: Vec<InspectionRow>,
    /// What the analyses found, faults first.
    pub findings: Vec<FindingLine>,
    /// The robot on paper.
    pub paper: OnPaper,
    #[serde(skip)]
    #[schemars(skip)]
    class_title: String,
    #[serde(skip)]
    #[schemars(skip)]
    command: String,
}

impl From<&Row> for InspectionRow {
    fn from(row: &Row) -> Self {
        Self {
            rule: row.rule.clone(),
            unit: row.unit.to_owned(),
            limit: row.limit,
            ours: row.ours,
            margin: row.margin,
            spread: row.spread,
            verdict: row.verdict.words().to_owned(),
            limit_text: row.limit_text.clone(),
            ours_text: row.ours_text.clone(),
            by_hand: row.by_hand.clone(),
            wording: row.wording.to_string(),
            source: row.source.to_string(),
        }
    }
}

impl From<&Finding> for FindingLine {
    fn from(f: &Finding) -> Self {
        Self {
            name: f.name.to_owned(),
            severity: severity_name(f.severity).to_owned(),
            what: f.what.clone(),
            why: f.why.clone(),
            mend: f.mend.clone(),
            file: f.place.as_ref().map(|p| p.file.to_string()),
            line: f.place.as_ref().map(|p| p.line),
        }
    }
}

fn banded(nominal: Option<f64>, band: Option<paper::Band>) -> Option<Banded> {
    nominal.zip(band).map(|(nominal, b)| Banded {
        nominal,
        low: b.low,
        high: b.high,
    })
}

fn trade(rows: &[paper::SweepRow]) -> Vec<TradeLine> {
    rows.iter()
        .map(|r| TradeLine {
            part: r.part.clone(),
            ours: r.ours,
            push_n: r.push_n,
            charge_s: r.charge_s.is_finite().then_some(r.charge_s),
            best_trade: r.best_trade,
        })
        .collect()
}

impl OnPaper {
    fn of(setting: &Setting, p: &Paper) -> Self {
        let properties = setting.robot.mass_properties(&quantity::Draws::nominal());
        let (f, d) = (p.footing.as_ref(), p.drive.as_ref());
        let safe = p
            .edge
            .as_ref()
            .and_then(|e| e.forward.as_ref())
            .map(|w| w.safe_m_s);
        let finite = |x: f64| x.is_finite().then_some(x);
        Self {
            mass_kg: properties.mass_kg,
            centre_m: properties.centre_m.to_array(),
            driven_share: f.map(|f| f.driven_share),
            push_n: banded(d.map(|d| d.push_n), p.push_band_n),
            motors_push_n: d.map(|d| d.motors_push_n),
            grip_n: d.map(|d| d.grip_n),
            free_speed_m_s: d.map(|d| d.free_speed_m_s),
            charge_m: d.map(|d| d.charge_m),
            charge_s: banded(d.and_then(|d| finite(d.charge_s)), p.charge_band_s),
            safe_speed_m_s: banded(safe, p.safe_band_m_s),
            reached_speed_m_s: p.edge.as_ref().map(|e| e.reached_m_s),
            spin_rad_s: d.map(|d| d.spin_rad_s),
            seen_share: p.sight.share,
            stalled_a: d.map(|d| d.stalled_a),
            stalled_v: d.map(|d| d.stalled_v),
            lasts_s: finite(p.budget.lasts_s),
            price: p.budget.price,
            wheels: trade(&p.wheels),
            motors: trade(&p.motors),
        }
    }
}

impl Check {
    /// Holds the setting's robot against its class and examines it on paper.
    #[must_use]
    pub fn of(setting: &Setting) -> Self {
        let inspection: Inspection = rules::inspect(&setting.robot, &setting.class);
        let paper = paper::examine(
            &setting.robot,
            &setting.class,
            &setting.tactic,
            &setting.parts,
        );
        let mut findings: Vec<&Finding> =
            inspection.findings.iter().chain(&paper.findings).collect();
        findings.sort_by_key(|f| f.severity);
        Self {
            schema: "ringwright/check/1".into(),
            robot: setting.robot.name.clone(),
            file: setting.robot.file.clone(),
            class: setting.class.name.clone(),
            legal: inspection.legal(),
            inspection: inspection.rows.iter().map(InspectionRow::from).collect(),
            findings: findings.into_iter().map(FindingLine::from).collect(),
            paper: OnPaper::of(setting, &paper),
            class_title: setting.class.title.clone(),
            command: setting.command("report"),
        }
    }

    /// As JSON.
    #[must_use]
    pub fn json(&self) -> String {
        json(self)
    }

    /// As text.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let mut s = Sheet::new(layout);
        s.title(&format!("{} in the class {}", self.robot, self.class_title));
        s.small(&format!("{} · no bouts fought", self.file));
        s.heading("1. Legal?");
        self.legal_part(&mut s);
        s.heading("2. Sound?");
        self.sound_part(&mut s);
        s.heading("What to do next");
        s.paragraph("Fight the field, see why it loses and what to change first:");
        s.command(&self.command);
        if let Some(first) = self.findings.first() {
            s.paragraph("Read the idea behind the first finding:");
            s.command(&format!("ringwright explain {}", first.name));
        }
        self.last_line(&mut s);
        s.finish()
    }

    /// Title of the class for people.
    pub(crate) fn class_title(&self) -> &str {
        &self.class_title
    }

    /// The last line says how the question was answered.
    pub(crate) fn last_line(&self, s: &mut Sheet) {
        if self.legal {
            s.last(Ink::Good, "Finished: legal.");
        } else {
            s.last(Ink::Bad, "Finished: not legal.");
        }
    }

    /// The inspection table and what is left to be done by hand.
    pub(crate) fn legal_part(&self, s: &mut Sheet) {
        let with = |verdict: Verdict| {
            self.inspection
                .iter()
                .filter(move |r| r.verdict == verdict.words())
        };
        let (broken, close) = (with(Verdict::Fail).count(), with(Verdict::Close).count());
        if self.legal {
            let measure = if close > 0 {
                format!(" {} so near a limit that it must be measured.", are(close))
            } else {
                String::new()
            };
            s.verdict(
                if close > 0 { Ink::Care } else { Ink::Good },
                &format!("Yes, as far as the files can show it.{measure}"),
            );
        } else {
            let rules = count(broken as u64, "rule is broken", "rules are broken");
            s.verdict(Ink::Bad, &format!("No: {rules}."));
        }
        s.gap();
        let mut table = Table::new(&["Rule", "Limit", "Ours", "Margin", "Verdict"]).right(&[3]);
        for r in &self.inspection {
            table.row([
                r.rule.replace('-', " "),
                r.limit_text.clone(),
                ours_cell(r),
                margin_text(r),
                r.verdict.clone(),
            ]);
        }
        s.table(&table);
        let by_hand: Vec<&InspectionRow> = self
            .inspection
            .iter()
            .filter(|r| r.by_hand.is_some())
            .collect();
        if !by_hand.is_empty() {
            s.gap();
            s.paragraph("By hand, before the event:");
            for r in by_hand {
                if let Some(how) = &r.by_hand {
                    s.point("–", &format!("{}: {how}", r.rule.replace('-', " ")));
                }
            }
        }
        s.gap();
        s.aside(
            "Rulebooks differ and change: read your event's own. Where it and this table disagree, \
             the event is right.",
        );
    }

    /// The findings, and the robot in numbers.
    pub(crate) fn sound_part(&self, s: &mut Sheet) {
        let with = |severity: Severity| {
            let word = severity_name(severity);
            self.findings.iter().filter(|f| f.severity == word).count() as u64
        };
        let (faults, warnings) = (with(Severity::Fault), with(Severity::Warning));
        if faults + warnings == 0 {
            s.verdict(Ink::Good, "Nothing was found that would have to be mended.");
        } else {
            s.verdict(
                if faults > 0 { Ink::Bad } else { Ink::Care },
                &format!(
                    "{} and {}.",
                    count(faults, "fault", "faults"),
                    count(warnings, "warning", "warnings")
                ),
            );
        }
        for f in &self.findings {
            let (ink, word) = match f.severity.as_str() {
                "fault" => (Ink::Bad, "FAULT"),
                "warning" => (Ink::Care, "WARNING"),
                _ => (Ink::Faint, "NOTE"),
            };
            s.finding_head(ink, word, &f.name);
            s.entry("What", &f.what);
            s.entry("Why", &f.why);
            s.entry("Mend", &f.mend);
            if let (Some(file), Some(line)) = (&f.file, f.line) {
                s.entry("Where", &format!("{file}, line {line}"));
            }
        }
        self.numbers(s);
    }

    fn numbers(&self, s: &mut Sheet) {
        let p = &self.paper;
        let mut table = Table::new(&["On paper", "", "19 of 20 between"]).right(&[1]);
        let mut add = |what: &str,
                       nominal: Option<f64>,
                       unit: &str,
                       scale: f64,
                       digits: usize,
                       band: Option<Banded>| {
            let Some(x) = nominal else { return };
            let number = |x: f64| format!("{:.digits$}", scale * x);
            let between = band
                .map(|b| format!("{} and {} {unit}", number(b.low), number(b.high)))
                .unwrap_or_default();
            table.row([what.to_owned(), format!("{} {unit}", number(x)), between]);
        };
        add("mass", Some(p.mass_kg), "g", 1e3, 0, None);
        add(
            "centre of mass above the ring",
            Some(p.centre_m[2]),
            "mm",
            1e3,
            0,
            None,
        );
        add(
            "weight on the driven wheels",
            p.driven_share,
            "%",
            1e2,
            0,
            None,
        );
        add(
            "push at full effort",
            p.push_n.map(|b| b.nominal),
            "N",
            1.0,
            2,
            p.push_n,
        );
        add("  what the motors give", p.motors_push_n, "N", 1.0, 2, None);
        add("  what the tyres hold", p.grip_n, "N", 1.0, 2, None);
        let charge = p.charge_m.map_or(0.0, |m| 1e3 * m);
        let charge = format!("time for the first {charge:.0} mm");
        add(
            &charge,
            p.charge_s.map(|b| b.nominal),
            "s",
            1.0,
            2,
            p.charge_s,
        );
        add(
            "speed it reaches with its program",
            p.reached_speed_m_s,
            "m/s",
            1.0,
            2,
            None,
        );
        let safe = p.safe_speed_m_s;
        add(
            "speed that stops at the edge",
            safe.map(|b| b.nominal),
            "m/s",
            1.0,
            2,
            safe,
        );
        add(
            "horizon in which it sees an opponent",
            Some(p.seen_share),
            "%",
            1e2,
            0,
            None,
        );
        add(
            "pack voltage, motors stalled",
            p.stalled_v,
            "V",
            1.0,
            2,
            None,
        );
        add(
            "pack current, motors stalled",
            p.stalled_a,
            "A",
            1.0,
            2,
            None,
        );
        s.gap();
        s.table(&table);
        let best: Vec<String> = p
            .wheels
            .iter()
            .filter(|w| w.best_trade || w.ours)
            .filter_map(|w| {
                let ours = if w.ours { ", yours" } else { "" };
                let t = w.charge_s?;
                Some(format!("{} ({:.2} N, {t:.2} s{ours})", w.part, w.push_n))
            })
            .collect();
        if best.len() > 1 {
            s.gap();
            s.paragraph(&format!(
                "Wheels from the parts box, push and time of that charge: {}.",
                best.join("; ")
            ));
        }
    }
}

/// What the robot has, in the table: what no file can show is told in words below it.
fn ours_cell(r: &InspectionRow) -> String {
    if r.verdict == Verdict::AskTheJudge.words() && r.by_hand.is_some() {
        "by hand, see below".into()
    } else if r.ours.is_none() && r.verdict == Verdict::Pass.words() {
        "nothing against it".into()
    } else {
        r.ours_text.clone()
    }
}

fn are(n: usize) -> String {
    if n == 1 {
        "One figure is".into()
    } else {
        format!("{n} figures are")
    }
}

/// The margin in the unit people use at that scale.
fn margin_text(r: &InspectionRow) -> String {
    let Some(m) = r.margin else {
        return String::new();
    };
    let (scale, unit) = match r.unit.as_str() {
        "m" => (1e3, "mm"),
        "kg" => (1e3, "g"),
        other => (1.0, other),
    };
    let shown = scale * m;
    let digits = if shown.abs() < 1.0 && shown != 0.0 {
        2
    } else {
        1
    };
    let number = format!("{shown:.digits$}").replace('-', "−");
    let number = if number.contains('.') {
        number
            .trim_end_matches('0')
            .trim_end_matches('.')
            .to_owned()
    } else {
        number
    };
    format!("{number} {unit}")
}
