//! Is this robot legal in this class?

use std::sync::Arc;

use robot::{Finding, Robot};

use crate::{Class, Rule, Source, bans, conduct, size};

/// What an inspection says about one rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Keeps the rule.
    Pass,
    /// Breaks the rule.
    Fail,
    /// Keeps the rule as the file has it, but what is not known well could break it: measure.
    Close,
    /// The file cannot show it: done by hand, or the judge's decision.
    AskTheJudge,
}

impl Verdict {
    /// In plain words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail => "fail",
            Self::Close => "close: measure it",
            Self::AskTheJudge => "ask the judge",
        }
    }
}

/// One rule and how the robot stands to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Stable name in words, e.g. `mass`, `magnets`.
    pub rule: String,
    /// SI unit of the four numbers below; empty where nothing is measured.
    pub unit: &'static str,
    /// The limit, without tolerance.
    pub limit: Option<f64>,
    /// What the robot has.
    pub ours: Option<f64>,
    /// How far ours is inside the limit, tolerance included; negative outside.
    pub margin: Option<f64>,
    /// Half-width (19 to 1) of what ours may be off by.
    pub spread: Option<f64>,
    /// Half-width (19 to 1) of what the event's scale or template is off by.
    pub instrument: Option<f64>,
    /// Odds (0 to 1) of passing, where something is measured.
    pub odds: Option<f64>,
    /// The limit as a person says it, e.g. `under 500 g`.
    pub limit_text: String,
    /// Ours as a person says it.
    pub ours_text: String,
    /// The verdict.
    pub verdict: Verdict,
    /// What to do by hand, if the file cannot show it.
    pub by_hand: Option<String>,
    /// What the rulebook says, in short.
    pub wording: Arc<str>,
    /// Who says so.
    pub source: Arc<Source>,
}

impl Row {
    /// A row without numbers.
    pub(crate) fn said<T>(
        name: &str,
        rule: &Rule<T>,
        limit_text: impl Into<String>,
        ours_text: impl Into<String>,
        verdict: Verdict,
    ) -> Self {
        Self {
            rule: name.into(),
            unit: "",
            limit: None,
            ours: None,
            margin: None,
            spread: None,
            instrument: None,
            odds: None,
            limit_text: limit_text.into(),
            ours_text: ours_text.into(),
            verdict,
            by_hand: None,
            wording: rule.wording.clone(),
            source: rule.source.clone(),
        }
    }

    pub(crate) fn by_hand(mut self, how: impl Into<String>) -> Self {
        self.by_hand = Some(how.into());
        self
    }
}

/// A robot held against a class, rule by rule.
#[derive(Debug, Clone, PartialEq)]
pub struct Inspection {
    /// Name of the class.
    pub class: String,
    /// One row per rule, in the order of the inspection table.
    pub rows: Vec<Row>,
    /// What is broken or close, and what would mend it.
    pub findings: Vec<Finding>,
}

impl Inspection {
    /// Whether no rule is broken, as far as the file can show it. Rows to be measured or asked
    /// about do not make a robot illegal.
    #[must_use]
    pub fn legal(&self) -> bool {
        self.rows.iter().all(|r| r.verdict != Verdict::Fail)
    }

    /// Odds (0 to 1) of passing everything that is measured: the product of the rows', as if what is not
    /// known of one said nothing of another. A height measured at the same template as a width is not
    /// quite independent of it; the odds of several close rows are then a little better than this.
    #[must_use]
    pub fn odds(&self) -> f64 {
        self.rows.iter().filter_map(|r| r.odds).product()
    }

    /// The row of a rule by its name.
    #[must_use]
    pub fn row(&self, rule: &str) -> Option<&Row> {
        self.rows.iter().find(|r| r.rule == rule)
    }
}

/// Holds `robot` against every rule of `class`.
///
/// Sizes and mass come from the file's figures; the robot stands in its starting shape, straight
/// or turned in its template if only that fits. What no file can show (sticky tyres, sharpness by
/// touch, whether the start is timed right) becomes a row to be settled by hand.
#[must_use]
pub fn inspect(robot: &Robot, class: &Class) -> Inspection {
    let mut found = Inspection {
        class: class.name.clone(),
        rows: Vec::new(),
        findings: Vec::new(),
    };
    size::look(robot, class, &mut found);
    conduct::look(robot, class, &mut found);
    bans::look(robot, class, &mut found);
    found
}
