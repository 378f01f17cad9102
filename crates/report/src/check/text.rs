//! Legal and sound, as text.

use robot::Severity;
use rules::Verdict;

use super::{Banded, Check, FindingLine, InspectionRow};
use crate::number::count;
use crate::text::{Ink, Layout, Sheet, Table};
use crate::words::severity_name;

/// Share of the drive that turning on the spot takes from which it is told.
const SCRUBS: f64 = 0.25;

/// Lines of the short text: two screens of fifty.
const TWO_SCREENS: usize = 100;
/// Most findings that are told with reasons in the short text.
const MOST_TOLD: usize = 5;

impl Check {
    /// As text, in two screens at most: how it stands, the most important findings with their
    /// reasons, the few numbers that matter, what to do next.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let all = self.findings.len();
        let mut text = String::new();
        // As many findings with reasons as there is room for, and the others a line each; where even
        // those are too many, their names.
        for (told, listed) in (0..=MOST_TOLD.min(all))
            .rev()
            .map(|t| (t, all))
            .chain([(0, 0)])
        {
            text = self.short(layout, told, listed);
            if text.lines().count() <= TWO_SCREENS {
                break;
            }
        }
        text
    }

    fn short(&self, layout: Layout, told: usize, listed: usize) -> String {
        let mut s = Sheet::new(layout);
        s.title(&format!("{} in the class {}", self.robot, self.class_title));
        s.small(&format!("{} · no bouts fought", self.file));
        s.heading("1. Legal?");
        self.legal_in_short(&mut s);
        s.heading("2. Sound?");
        self.sound_verdict(&mut s);
        for f in self.findings.iter().take(told) {
            finding(&mut s, f);
        }
        let others = self.findings.get(told..).unwrap_or_default();
        let (lines, names) = others.split_at(listed.saturating_sub(told).min(others.len()));
        if !lines.is_empty() {
            s.gap();
        }
        for f in lines {
            let (_, word) = severity_word(f);
            s.point(&format!("{word:<7}"), &format!("{}: {}", f.name, f.what));
        }
        if !names.is_empty() {
            let names: Vec<&str> = names.iter().map(|f| f.name.as_str()).collect();
            s.gap();
            s.paragraph(&format!("Also: {}.", names.join(", ")));
        }
        self.numbers(&mut s);
        self.first_doubts(&mut s);
        s.heading("What to do next");
        s.paragraph("Fight the field, see why it loses and what to change first:");
        s.command(&self.command);
        if let Some(first) = self.findings.first() {
            s.paragraph("Read the idea behind the first finding:");
            s.command(&format!("ringwright explain {}", first.name));
        }
        s.paragraph("See every rule, every finding with its reasons, and every number:");
        s.command(&format!("{} --all", self.itself));
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

    fn with(&self, verdict: Verdict) -> impl Iterator<Item = &InspectionRow> {
        (self.inspection.iter()).filter(move |r| r.verdict == verdict.words())
    }

    fn legal_verdict(&self, s: &mut Sheet) {
        let broken = self.with(Verdict::Fail).count();
        let close = self.with(Verdict::Close).count();
        if self.legal {
            let measure = if close > 0 {
                let odds: f64 = self.inspection.iter().filter_map(|r| r.odds).product();
                format!(
                    " {} so near a limit that it must be measured: as the file has it, it passes {:.0} times of \
                     100.",
                    are(close),
                    100.0 * odds
                )
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
    }

    /// The rows that fail or are close, and that there is more.
    fn legal_in_short(&self, s: &mut Sheet) {
        self.legal_verdict(s);
        let wrong: Vec<&InspectionRow> = self
            .with(Verdict::Fail)
            .chain(self.with(Verdict::Close))
            .collect();
        if !wrong.is_empty() {
            inspection_table(s, wrong.into_iter());
            s.gap();
        }
        let fine = self.with(Verdict::Pass).count() as u64;
        let by_hand: Vec<String> = self
            .inspection
            .iter()
            .filter(|r| r.by_hand.is_some())
            .map(|r| r.rule.replace('-', " "))
            .collect();
        let kept = count(fine, "rule is kept", "rules are kept");
        let hand = if by_hand.is_empty() {
            String::new()
        } else {
            format!(
                " To be looked at by hand before the event: {}.",
                by_hand.join(", ")
            )
        };
        s.paragraph(&format!("{kept}.{hand}"));
        s.aside("Where your event's own rulebook and this disagree, the event is right.");
    }

    /// The inspection table and what is left to be done by hand.
    pub(crate) fn legal_part(&self, s: &mut Sheet) {
        self.legal_verdict(s);
        inspection_table(s, self.inspection.iter());
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

    fn sound_verdict(&self, s: &mut Sheet) {
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
    }

    /// The findings, and the robot in numbers.
    pub(crate) fn sound_part(&self, s: &mut Sheet) {
        self.all_findings(s);
        self.numbers(s);
        self.first_doubts(s);
    }

    /// How it stands, and every finding with its reasons.
    pub(super) fn all_findings(&self, s: &mut Sheet) {
        self.sound_verdict(s);
        for f in &self.findings {
            finding(s, f);
        }
    }

    pub(super) fn numbers(&self, s: &mut Sheet) {
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
        if p.motors_push_n > p.grip_n {
            add("  what sliding tyres hold", p.sliding_n, "N", 1.0, 2, None);
        }
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

fn severity_word(f: &FindingLine) -> (Ink, &'static str) {
    match f.severity.as_str() {
        "fault" => (Ink::Bad, "FAULT"),
        "warning" => (Ink::Care, "WARNING"),
        _ => (Ink::Faint, "NOTE"),
    }
}

/// A finding with its reasons.
pub(crate) fn finding(s: &mut Sheet, f: &FindingLine) {
    let (ink, word) = severity_word(f);
    s.finding_head(ink, word, &f.name);
    s.entry("What", &f.what);
    s.entry("Why", &f.why);
    s.entry("Mend", &f.mend);
    if let (Some(file), Some(line)) = (&f.file, f.line) {
        s.entry("Where", &format!("{file}, line {line}"));
    }
}

fn inspection_table<'a>(s: &mut Sheet, rows: impl Iterator<Item = &'a InspectionRow>) {
    let mut table =
        Table::new(&["Rule", "Limit", "Ours", "Margin", "Passes", "Verdict"]).right(&[3, 4]);
    for r in rows {
        table.row([
            r.rule.replace('-', " "),
            r.limit_text.clone(),
            ours_cell(r),
            margin_text(r),
            odds_text(r),
            r.verdict.clone(),
        ]);
    }
    s.table(&table);
}

/// What the robot has, in the table: what no file can show is told in words below it.
fn ours_cell(r: &InspectionRow) -> String {
    if r.verdict == Verdict::AskTheJudge.words() && r.by_hand.is_some() {
        "by hand, see below".into()
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

/// How often it passes, where it is not all but sure.
fn odds_text(r: &InspectionRow) -> String {
    match r.odds {
        None => String::new(),
        Some(odds) if odds > 0.9995 => "> 99.9 %".into(),
        Some(odds) if odds < 0.0005 => "< 0.1 %".into(),
        Some(odds) if (0.01..0.99).contains(&odds) => format!("{:.0} %", 100.0 * odds),
        Some(odds) => format!("{:.1} %", 100.0 * odds),
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
