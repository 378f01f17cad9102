//! What is wrong with a file, and where.

use std::sync::Arc;

/// A place in one of the user's files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// File name as the user gave it.
    pub file: Arc<str>,
    /// Line, counted from 1.
    pub line: u32,
    /// Byte range in the file's text.
    pub span: core::ops::Range<usize>,
}

impl Place {
    /// A place that stands for the whole of a file.
    #[must_use]
    pub fn whole(file: &str) -> Self {
        Self {
            file: file.into(),
            line: 1,
            span: 0..0,
        }
    }
}

/// One thing wrong in a file. A reader returns all of them at once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Issue {
    /// Where.
    pub place: Place,
    /// What is wrong, e.g. `unknown key "lenght"`.
    pub what: String,
    /// What was expected, e.g. `a length such as "43 mm"`.
    pub expected: String,
    /// The nearest right word or the corrected line, if one can be guessed.
    pub suggestion: Option<String>,
}
