//! What an analysis has to say to the builder.

use crate::Place;

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// It will cost bouts, break, or be refused: mend it.
    Fault,
    /// It may cost bouts: look at it.
    Warning,
    /// Good to know.
    Note,
}

/// One thing an analysis found, the same in every face.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Stable name in words, e.g. `edge-too-fast`; `explain NAME` teaches the idea behind it.
    pub name: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// What, in one plain sentence.
    pub what: String,
    /// Why, with the numbers put into the formula.
    pub why: String,
    /// What would mend it.
    pub mend: String,
    /// Where in the user's file, if it can be said.
    pub place: Option<Place>,
}
