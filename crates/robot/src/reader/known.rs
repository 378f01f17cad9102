//! What a section has been asked for, and what in it nobody asked for.

use std::cell::RefCell;

use super::section::Section;
use super::tree::Value;
use super::words::{join, missing_what, nearest};

/// How something known is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Form {
    /// `key = …`
    Key,
    /// `[key]`
    Table,
    /// `[[key]]`
    Tables,
}

impl Form {
    /// As it stands in a section of that path.
    fn written(self, path: &str, key: &str) -> String {
        let whole = join(path, key).replace('/', ".");
        match self {
            Self::Key => key.to_owned(),
            Self::Table => format!("[{whole}]"),
            Self::Tables => format!("[[{whole}]]"),
        }
    }
}

/// Keys and sections somebody asked for.
#[derive(Debug, Default)]
pub(super) struct Known(RefCell<Vec<(String, Form)>>);

impl Known {
    /// Notes that `key` was asked for.
    pub(super) fn note(&self, key: &str, form: Form) {
        self.0.borrow_mut().push((key.to_owned(), form));
    }

    /// Each once, in alphabetical order; what was asked for in several forms in its fullest.
    fn all(&self) -> Vec<(String, Form)> {
        let mut known = self.0.borrow().clone();
        known.sort_by(|a, b| a.0.cmp(&b.0).then(b.1.cmp(&a.1)));
        known.dedup_by(|a, b| a.0 == b.0);
        known
    }
}

impl Section<'_> {
    /// Reports keys nobody asked for.
    pub fn finish(self) {
        let Value::Table(entries) = &self.node.value else {
            return;
        };
        let known = self.known.all();
        for (key, node) in entries {
            if known.iter().any(|k| k.0 == key.name) {
                continue;
            }
            let is_section = match &node.value {
                Value::Table(_) => true,
                Value::List(l) => l.iter().any(|n| matches!(n.value, Value::Table(_))),
                _ => false,
            };
            let kind = if is_section { "section" } else { "key" };
            let alike = |k: &&(String, Form)| (k.1 != Form::Key) == is_section;
            let mut pool: Vec<&(String, Form)> = known.iter().filter(alike).collect();
            if pool.is_empty() {
                pool = known.iter().collect();
            }
            let lower = key.name.to_lowercase();
            let near = nearest(&lower, pool.iter().map(|k| k.0.as_str()));
            let suggestion = near.and_then(|w| known.iter().find(|k| k.0 == w));
            let place = self.in_here();
            if let Some((meant, _)) = suggestion {
                // Misspelt, not missing.
                self.document
                    .withdraw(&missing_what(&format!("\"{meant}\""), &place));
                self.document
                    .withdraw(&missing_what(&format!("[{meant}]"), &place));
            }
            let suggestion = suggestion.map(|(meant, form)| match form {
                Form::Key => self.document.corrected(&key.span, meant),
                _ => form.written(&self.path, meant),
            });
            let words: Vec<String> = pool.iter().map(|k| k.1.written(&self.path, &k.0)).collect();
            self.document.log(
                &key.span,
                format!("unknown {kind} \"{}\"{place}", key.name),
                format!("one of {}", words.join(", ")),
                suggestion,
            );
        }
    }
}
