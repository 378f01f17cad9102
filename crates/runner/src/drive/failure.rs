//! How a process that drives a robot can fail.

/// What went wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum What {
    /// No answer within this many milliseconds.
    Late(u64),
    /// It ended: how, in words.
    Ended(String),
    /// It closed its standard output and went on.
    Closed,
    /// It wrote a line that is no answer.
    Wrong {
        /// The line, shortened.
        line: String,
        /// Everything wrong with it.
        complaints: Vec<String>,
    },
    /// It wrote more than [`super::LONGEST_LINE`] bytes without the end of a line.
    Endless,
    /// It wrote a line before it was asked: this, shortened.
    Unasked(String),
    /// What it wrote could not be read any more, for this reason.
    Unreadable(String),
    /// The user stopped the bout.
    Stopped,
}

/// When it failed, and what it said last.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Failure {
    /// What went wrong.
    pub what: What,
    /// Looks it had answered before, all starts of the bout together; none: it never got ready.
    pub answered: Option<u64>,
    /// Time in ms from the first look since the last start to the one that was not answered.
    pub ms: u32,
}
