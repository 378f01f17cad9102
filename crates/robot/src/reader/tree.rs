//! TOML as an owned tree with byte spans.

use std::cell::RefCell;
use std::sync::Arc;

use toml::de::{DeTable, DeValue};

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
    line_starts: Vec<usize>,
    root: Node,
    issues: RefCell<Vec<Issue>>,
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
        let document = Self {
            file: file.into(),
            line_starts,
            root,
            issues: RefCell::default(),
        };
        for e in errors {
            let span = e.span().unwrap_or(0..0);
            document.log_syntax(text, e.message(), span);
        }
        document
    }

    /// A syntax error in plain words, with the corrected line where it can be guessed.
    fn log_syntax(&self, text: &str, message: &str, span: core::ops::Range<usize>) {
        let line = line_around(text, span.start.min(text.len()));
        let mut suggestion = None;
        let trimmed = line.trim_end();
        if trimmed.contains(['\u{201c}', '\u{201d}', '\u{2018}', '\u{2019}']) {
            let plain = trimmed.replace(['\u{201c}', '\u{201d}', '\u{2018}', '\u{2019}'], "\"");
            suggestion = Some(plain);
        } else if trimmed.matches('"').count() % 2 == 1 {
            suggestion = Some(format!("{trimmed}\""));
        } else if let Some((key, value)) = trimmed.split_once('=')
            && value.trim().starts_with(|c: char| c.is_ascii_digit())
            && value.trim().contains(|c: char| c.is_ascii_alphabetic())
        {
            suggestion = Some(format!("{}= \"{}\"", key, value.trim()));
        }
        let place = self.place(&span);
        self.log_at(
            place,
            message.to_owned(),
            "TOML: key = value".to_owned(),
            suggestion,
        );
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
        issues.sort_by(|a, b| (a.place.span.start, &a.what).cmp(&(b.place.span.start, &b.what)));
        issues.dedup();
        issues
    }
}

fn line_around(text: &str, at: usize) -> &str {
    let mut at = at;
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    let start = text[..at].rfind('\n').map_or(0, |i| i + 1);
    let end = text[at..].find('\n').map_or(text.len(), |i| at + i);
    &text[start..end]
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
