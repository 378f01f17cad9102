//! Legal and sound, as text.

use robot::Severity;
use rules::Verdict;

use super::{Banded, Check, InspectionRow};
use crate::number::count;
use crate::text::{Ink, Layout, Sheet, Table};
use crate::words::severity_name;

/// Share of the drive that turning on the spot takes from which it is told.
const SCRUBS: f64 = 0.25;

impl Check {
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
        self.first_doubts(s);
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
        // Robots on two wheels scrub little: no need to speak of it.
        let scrubs = p.scrub_nm.zip(p.turning_nm).map(|(s, t)| s / t.max(1e-12));
        add(
            "turning on the spot, of what the drive has",
            scrubs.filter(|s| *s >= SCRUBS),
            "%",
            1e2,
            0,
            None,
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
