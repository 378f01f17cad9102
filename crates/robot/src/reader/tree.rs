//! TOML as an owned tree with byte spans.

use std::cell::RefCell;
use std::sync::Arc;

use toml::de::{DeTable, DeValue};

use super::syntax::slips;
use crate::{Issue, Place};

/// A value with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Byte range in the text.
    pub span: core::ops::Range<usize>,
    /// The value.
    pub value: Value,
}

/// A key with its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Key {
    /// Byte range in the text.
    pub span: core::ops::Range<usize>,
    /// The word.
    pub name: String,
}

/// What TOML can hold, as far as our files use it.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A string.
    Text(String),
    /// A number as written.
    Number(String),
    /// True or false.
    Flag(bool),
    /// An array.
    List(Vec<Node>),
    /// A table, in order of writing.
    Table(Vec<(Key, Node)>),
    /// A date or time, which none of our keys takes, as written.
    Date(String),
}

impl Value {
    /// What it is, for messages.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Text(_) => "a text",
            Self::Number(_) => "a bare number",
            Self::Flag(_) => "true or false",
            Self::List(_) => "a list",
            Self::Table(_) => "a table",
            Self::Date(_) => "a date or time",
        }
    }
}

/// A parsed file and the log of what is wrong with it.
#[derive(Debug, Clone)]
pub struct Document {
    file: Arc<str>,
    text: String,
    line_starts: Vec<usize>,
    root: Node,
    issues: RefCell<Vec<Issue>>,
    /// Lines that could not be read at all; what the tree says of them cannot be relied on.
    unreadable: Vec<u32>,
}

impl Document {
    /// Parses `text`; syntax errors go into the log and parsing goes on behind them.
    #[must_use]
    pub fn parse(file: &str, text: &str) -> Self {
        let (table, errors) = DeTable::parse_recoverable(text);
        let mut line_starts = vec![0];
        line_starts.extend(text.match_indices('\n').map(|(i, _)| i + 1));
        let root = Node {
            span: 0..text.len(),
            value: table_of(table.get_ref()),
        };
        let mut document = Self {
            file: file.into(),
            text: text.to_owned(),
            line_starts,
            root,
            issues: RefCell::default(),
            unreadable: Vec::new(),
        };
        for slip in slips(text, &errors) {
            let place = document.place(&slip.span);
            if !slip.duplicate {
                document.unreadable.push(place.line);
            }
            document.log_at(place, slip.what, slip.expected, slip.suggestion);
        }
        document
    }

    /// Whether `word` may stand in the file although the tree does not have it: some lines could
    /// not be read, and one begins with it.
    pub(super) fn may_have_lost(&self, word: &str) -> bool {
        let begins = |line: &str| {
            let line = line.trim_start_matches(|c: char| c == '[' || c.is_whitespace());
            let rest = line.strip_prefix(word);
            rest.is_some_and(|r| !r.starts_with(|c: char| c.is_alphanumeric() || c == '-'))
        };
        self.has_unreadable_lines() && self.text.lines().any(begins)
    }

    /// Whether there are lines that could not be read, so that some of the file may be missing
    /// from the tree.
    #[must_use]
    pub fn has_unreadable_lines(&self) -> bool {
        !self.unreadable.is_empty()
    }

    /// What is written at `span`.
    #[must_use]
    pub fn written(&self, span: &core::ops::Range<usize>) -> &str {
        self.text.get(span.clone()).unwrap_or_default()
    }

    /// The line of `span` as it should stand: with `right` for what is written there.
    #[must_use]
    pub fn corrected(&self, span: &core::ops::Range<usize>, right: &str) -> String {
        let line = self.place(span).line as usize - 1;
        let start = self.line_starts[line];
        let end = self
            .line_starts
            .get(line + 1)
            .map_or(self.text.len(), |e| e - 1);
        let before = self.written(&(start..span.start));
        let after = self.written(&(span.end.min(end)..end));
        format!("{before}{right}{after}").trim().to_owned()
    }

    /// The outermost section.
    #[must_use]
    pub fn root(&self) -> super::Section<'_> {
        super::Section::new(self, &self.root, String::new())
    }

    /// Notes something wrong at `span`.
    pub fn log(
        &self,
        span: &core::ops::Range<usize>,
        what: impl Into<String>,
        expected: impl Into<String>,
        suggestion: Option<String>,
    ) {
        self.log_at(self.place(span), what.into(), expected.into(), suggestion);
    }

    fn log_at(&self, place: Place, what: String, expected: String, suggestion: Option<String>) {
        self.issues.borrow_mut().push(Issue {
            place,
            what,
            expected,
            suggestion,
        });
    }

    /// Takes back what was noted in these words.
    pub(super) fn withdraw(&self, what: &str) {
        self.issues.borrow_mut().retain(|i| i.what != what);
    }

    /// The place of a byte range.
    #[must_use]
    pub fn place(&self, span: &core::ops::Range<usize>) -> Place {
        let line = self.line_starts.partition_point(|s| *s <= span.start);
        let line = u32::try_from(line.max(1)).unwrap_or(u32::MAX);
        Place {
            file: self.file.clone(),
            line,
            span: span.clone(),
        }
    }

    /// Everything wrong so far, in order of place; the log is empty afterwards.
    #[must_use]
    pub fn take_issues(&self) -> Vec<Issue> {
        let mut issues = self.issues.take();
        // A line that could not be read is told of once, not for what became of it as well.
        let mut told = Vec::new();
        issues.retain(|i| {
            let again = self.unreadable.contains(&i.place.line) && told.contains(&i.place.line);
            told.push(i.place.line);
            !again
        });
        issues.sort_by(|a, b| (a.place.span.start, &a.what).cmp(&(b.place.span.start, &b.what)));
        issues.dedup();
        issues
    }
}

fn table_of(table: &DeTable<'_>) -> Value {
    let mut entries: Vec<(Key, Node)> = table
        .iter()
        .map(|(k, v)| {
            let key = Key {
                span: k.span(),
                name: k.get_ref().to_string(),
            };
            (
                key,
                Node {
                    span: v.span(),
                    value: value_of(v.get_ref()),
                },
            )
        })
        .collect();
    entries.sort_by_key(|(k, _)| k.span.start);
    Value::Table(entries)
}

fn value_of(value: &DeValue<'_>) -> Value {
    match value {
        DeValue::String(s) => Value::Text(s.to_string()),
        DeValue::Integer(i) if i.radix() == 10 => Value::Number(i.as_str().to_owned()),
        DeValue::Integer(i) => {
            let n = i64::from_str_radix(i.as_str(), i.radix()).unwrap_or(i64::MAX);
            Value::Number(n.to_string())
        }
        DeValue::Float(f) => Value::Number(f.as_str().to_owned()),
        DeValue::Boolean(b) => Value::Flag(*b),
        DeValue::Datetime(d) => Value::Date(d.to_string()),
        DeValue::Array(a) => Value::List(
            a.iter()
                .map(|v| Node {
                    span: v.span(),
                    value: value_of(v.get_ref()),
                })
                .collect(),
        ),
        DeValue::Table(t) => table_of(t),
    }
}
