//! What is not known well and widens the numbers on paper.

use paper::{Doubt, Paper, Sway};
use serde::Serialize;

use super::Check;
use crate::number::percent;
use crate::text::Sheet;

/// Unknowns shown where only the most important is said.
const FIRST: usize = 3;

/// What one unknown does to a number when it is one half-width (19 to 1) higher.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct SwayLine {
    /// Change of the number, in the unit its name says.
    pub change: f64,
    /// Share by which the number's band would narrow if the figure were known exactly.
    pub narrows: f64,
}

/// One figure that is not known well, by what it does on paper.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct DoubtLine {
    /// Path of the figure in the files' terms.
    pub figure: String,
    /// The figure with its unit.
    pub value: String,
    /// Half-width (19 to 1) of what is not known, with its unit.
    pub unsure: String,
    /// Whether nobody said it: the typical value of its class was taken.
    pub guessed: bool,
    /// What it does to the push in N.
    pub push_n: Option<SwayLine>,
    /// What it does to the time of a charge in s.
    pub charge_s: Option<SwayLine>,
    /// What it does to the speed in m/s that stops at the edge.
    pub safe_speed_m_s: Option<SwayLine>,
    /// How it can be measured at home, if it can.
    pub how: Option<String>,
    /// The page of `explain` on that.
    pub page: Option<String>,
}

impl From<Sway> for SwayLine {
    fn from(s: Sway) -> Self {
        Self {
            change: s.change,
            narrows: s.narrows,
        }
    }
}

fn line(d: &Doubt) -> DoubtLine {
    let how = crate::measure::how(&d.path);
    DoubtLine {
        figure: d.path.clone(),
        value: d.shown.clone(),
        unsure: d.unsure_shown.clone(),
        guessed: d.guessed,
        push_n: d.push_n.map(SwayLine::from),
        charge_s: d.charge_s.map(SwayLine::from),
        safe_speed_m_s: d.safe_m_s.map(SwayLine::from),
        how: how.map(|h| h.words.to_owned()),
        page: how.map(|h| h.page.to_owned()),
    }
}

/// The unknowns of a robot on paper, what widens one of the bands most first.
pub(super) fn of(paper: &Paper) -> Vec<DoubtLine> {
    paper.doubts.iter().map(line).collect()
}

impl DoubtLine {
    /// The number it widens most: its name, and by how much knowing it would narrow it.
    fn most(&self) -> (&'static str, f64) {
        let all = [
            ("the push", self.push_n),
            ("the charge", self.charge_s),
            ("the safe speed", self.safe_speed_m_s),
        ];
        let narrows = |s: Option<SwayLine>| s.map_or(0.0, |s| s.narrows);
        let mut most = ("", 0.0);
        for (name, sway) in all {
            if narrows(sway) > most.1 {
                most = (name, narrows(sway));
            }
        }
        most
    }
}

impl Check {
    /// The few that matter most, a point each.
    pub(super) fn first_doubts(&self, s: &mut Sheet) {
        self.doubts(
            s,
            FIRST,
            "Of what is not known well, these widen the ranges above most:",
        );
    }

    /// All of them, a point each.
    pub(super) fn all_doubts(&self, s: &mut Sheet) {
        let words = "What is not known well, what widens the ranges above most first:";
        self.doubts(s, usize::MAX, words);
    }

    fn doubts(&self, s: &mut Sheet, most: usize, words: &str) {
        if self.paper.doubts.is_empty() {
            return;
        }
        s.gap();
        s.paragraph(words);
        let mut told: Vec<&String> = Vec::new();
        for d in self.paper.doubts.iter().take(most) {
            let (number, narrows) = d.most();
            let guessed = if d.guessed { ", a guess" } else { "" };
            let how = match (&d.how, &d.page) {
                // Said at length once.
                (Some(_), Some(page)) if told.contains(&page) => {
                    format!(" Likewise (explain {page}).")
                }
                (Some(how), Some(page)) => {
                    told.push(page);
                    format!(" To measure it, {how} (explain {page}).")
                }
                _ => String::new(),
            };
            s.point(
                "–",
                &format!(
                    "{}: {} ± {}{guessed}. Known exactly, it would narrow the range of {number} by {}.{how}",
                    d.figure,
                    d.value,
                    d.unsure,
                    percent(narrows)
                ),
            );
        }
    }
}
