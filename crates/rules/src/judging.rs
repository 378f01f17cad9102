//! What the judge says to what happens in a bout, and how rounds add up to a match.

use std::sync::Arc;

use crate::{Rule, Source};

/// When a robot is out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OutWhen {
    /// Any part of it touches the floor outside.
    Floor,
    /// A tyre is off the top of the ring.
    TyreOff,
    /// Any part of it reaches over the outer edge of the border.
    PastRim,
}

/// What moving before the signal costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EarlyStart {
    /// The round.
    Round,
    /// A warning; the round starts anew.
    Warning,
}

/// What becomes of a round that nobody has won.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Undecided {
    /// Nobody gets a point.
    Tie,
    /// The judges say who was better.
    Decision,
}

/// What the judge says to what happens in a bout, and how rounds add up to a match.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgingRules {
    /// When a robot is out.
    pub out: Rule<OutWhen>,
    /// Whether a robot that has fallen over loses the round.
    pub fallen: Rule<bool>,
    /// Whether a robot loses that has dropped more than the class lets drop.
    pub dropped: Rule<bool>,
    /// What moving before the signal costs.
    pub early_start: Rule<EarlyStart>,
    /// Warnings that cost a round.
    pub warnings: Rule<u32>,
    /// Whether, of two robots that stand still apart from each other, the one that stood first
    /// loses.
    pub stood_first: Rule<bool>,
    /// What becomes of a round in which nobody gets anywhere, also after the restarts.
    pub stuck: Rule<Undecided>,
    /// What becomes of a round whose time is up.
    pub time_up: Rule<Undecided>,
    /// Most rounds of a match before it is extended.
    pub rounds: Rule<u32>,
    /// Longest round in s added to a match that is level; 0: none is.
    pub extension_s: Rule<f64>,
}

impl JudgingRules {
    /// What holds in a class that says nothing of it and inherits nothing: common practice.
    #[must_use]
    pub fn usual() -> Self {
        let source = Arc::new(Source {
            title: "common practice, no source".into(),
            found: String::new(),
            date: String::new(),
        });
        fn rule<T>(source: &Arc<Source>, value: T, wording: &str) -> Rule<T> {
            Rule {
                value,
                source: Arc::clone(source),
                wording: wording.into(),
                elsewhere: Vec::new(),
            }
        }
        let s = &source;
        Self {
            out: rule(s, OutWhen::Floor, "touching the floor outside loses"),
            fallen: rule(s, false, "falling over alone does not lose"),
            dropped: rule(s, true, "dropping more than is allowed loses"),
            early_start: rule(s, EarlyStart::Round, "moving early loses the round"),
            warnings: rule(s, 2, "two warnings cost a round"),
            stood_first: rule(s, false, "two robots that stand still are put back"),
            stuck: rule(s, Undecided::Tie, "no progress after the restarts is a tie"),
            time_up: rule(s, Undecided::Tie, "a round whose time is up is a tie"),
            rounds: rule(s, 3, "three rounds"),
            extension_s: rule(s, 0.0, "no extension"),
        }
    }
}
