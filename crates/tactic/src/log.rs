//! The list of what is wrong in a tactic.

use core::ops::Range;
use std::collections::BTreeMap;
use std::sync::Arc;

use robot::{Issue, Place};

/// Collects issues with their places.
#[derive(Debug)]
pub(crate) struct Log {
    file: Arc<str>,
    line_starts: Vec<usize>,
    issues: Vec<Issue>,
    /// Which of them stand at a place.
    at: BTreeMap<(usize, usize), Vec<usize>>,
}

impl Log {
    /// An empty log for a text.
    pub(crate) fn new(file: &str, text: &str) -> Self {
        let mut line_starts = vec![0];
        line_starts.extend(text.match_indices('\n').map(|(i, _)| i + 1));
        Self {
            file: file.into(),
            line_starts,
            issues: Vec::new(),
            at: BTreeMap::new(),
        }
    }

    /// The place of a byte range.
    pub(crate) fn place(&self, span: Range<usize>) -> Place {
        let line = self
            .line_starts
            .partition_point(|s| *s <= span.start)
            .max(1);
        Place {
            file: self.file.clone(),
            line: u32::try_from(line).unwrap_or(u32::MAX),
            span,
        }
    }

    /// Notes something wrong.
    pub(crate) fn at(
        &mut self,
        span: Range<usize>,
        what: impl Into<String>,
        expected: &str,
        suggestion: Option<String>,
    ) {
        let place = self.place(span);
        let issue = Issue {
            place,
            what: what.into(),
            expected: expected.to_owned(),
            suggestion,
        };
        let span = &issue.place.span;
        let here = self.at.entry((span.start, span.end)).or_default();
        if here.iter().all(|k| self.issues.get(*k) != Some(&issue)) {
            here.push(self.issues.len());
            self.issues.push(issue);
        }
    }

    /// All of it, in order of place.
    pub(crate) fn into_issues(mut self) -> Vec<Issue> {
        self.issues.sort_by_key(|i| i.place.span.start);
        self.issues
    }

    /// How much is wrong.
    pub(crate) fn len(&self) -> usize {
        self.issues.len()
    }

    /// Whether nothing is wrong.
    pub(crate) fn is_empty(&self) -> bool {
        self.issues.is_empty()
    }
}
