//! Asking a section for what it should hold.

use quantity::{Dimension, Figure, Origin, Parsed};

use super::figure::{read_figure, read_figures};
use super::known::{Form, Known};
use super::sense;
use super::tree::{Document, Node, Value};
use super::words::{join, missing_what, nearest, with_article};
use crate::Place;

/// A table of a document. Asking for a key marks it as known; [`Section::finish`] reports keys
/// nobody asked for, with the nearest known word.
#[derive(Debug)]
pub struct Section<'d> {
    pub(super) document: &'d Document,
    pub(super) node: &'d Node,
    pub(super) path: String,
    /// A second table to look in, such as the parts-box entry the section names.
    base: Option<(&'d Node, &'d Document, String)>,
    pub(super) known: Known,
    /// It names something to fall back on that is not there: what it leaves out may stand there.
    base_lost: bool,
}

impl<'d> Section<'d> {
    /// The section of a table node; `path` names it in messages and figure paths.
    #[must_use]
    pub fn new(document: &'d Document, node: &'d Node, path: String) -> Self {
        Self {
            document,
            node,
            path,
            base: None,
            known: Known::default(),
            base_lost: false,
        }
    }

    /// Looks in `node` of another document for what this one leaves out. Figures from there get
    /// the path `path/KEY` and [`Origin::PartsBox`].
    pub fn fall_back_on(&mut self, document: &'d Document, node: &'d Node, path: String) {
        self.base = Some((node, document, path));
    }

    /// Notes that what it falls back on is not there, so that nothing it leaves out is missed.
    pub fn lose_base(&mut self) {
        self.base_lost = true;
    }

    /// Marks keys as known that could not be asked for.
    pub fn acquaint(&self, keys: &[&str]) {
        keys.iter().for_each(|k| self.known.note(k, Form::Key));
    }

    /// Its path, such as `motor/left`.
    #[must_use]
    pub fn path(&self) -> &str {
        &self.path
    }

    /// Where it stands.
    #[must_use]
    pub fn place(&self) -> Place {
        self.document.place(&self.node.span)
    }

    /// The document it belongs to.
    #[must_use]
    pub fn document(&self) -> &'d Document {
        self.document
    }

    fn entry_of(node: &'d Node, key: &str) -> Option<&'d Node> {
        match &node.value {
            Value::Table(entries) => entries.iter().find(|(k, _)| k.name == key).map(|(_, v)| v),
            _ => None,
        }
    }

    /// The node under `key`, here only.
    #[must_use]
    pub fn own(&self, key: &str) -> Option<&'d Node> {
        self.own_as(key, Form::Key)
    }

    fn own_as(&self, key: &str, form: Form) -> Option<&'d Node> {
        self.known.note(key, form);
        Self::entry_of(self.node, key)
    }

    /// The node under `key`, here or in what it falls back on, with the document it is in.
    fn find(&self, key: &str) -> Option<(&'d Node, &'d Document, bool)> {
        if let Some(node) = self.own(key) {
            return Some((node, self.document, true));
        }
        let (base, document, _) = self.base.as_ref()?;
        Self::entry_of(base, key).map(|n| (n, *document, false))
    }

    /// Whether `key` is written here or in what it falls back on.
    #[must_use]
    pub fn has(&self, key: &str) -> bool {
        self.find(key).is_some()
    }

    /// Notes something wrong with the section as a whole.
    pub fn complain(
        &self,
        what: impl Into<String>,
        expected: impl Into<String>,
        suggestion: Option<String>,
    ) {
        self.document.log(&self.head(), what, expected, suggestion);
    }

    /// Notes something wrong with the value of `key` (or the section, if it is not written here).
    pub fn complain_of(
        &self,
        key: &str,
        what: impl Into<String>,
        expected: impl Into<String>,
        suggestion: Option<String>,
    ) {
        let span = Self::entry_of(self.node, key).map_or_else(|| self.head(), |n| n.span.clone());
        self.document.log(&span, what, expected, suggestion);
    }

    /// The span to point at for the whole section: its beginning.
    fn head(&self) -> core::ops::Range<usize> {
        let end = match &self.node.value {
            Value::Table(entries) => entries.first().map(|(k, _)| k.span.end),
            _ => None,
        };
        self.node.span.start
            ..end
                .unwrap_or(self.node.span.end)
                .min(self.node.span.end)
                .max(self.node.span.start)
    }

    /// Notes that `key` is missing, unless it may stand in a line that could not be read or in a
    /// part that could not be found.
    pub fn missing(&self, key: &str, expected: &str) {
        if self.base_lost || self.document.may_have_lost(key) {
            return;
        }
        let what = missing_what(&format!("\"{key}\""), &self.in_here());
        self.complain(what, expected, None);
    }

    /// " in motor/left"; nothing for the outermost section.
    pub(super) fn in_here(&self) -> String {
        if self.path.is_empty() {
            String::new()
        } else {
            format!(" in {}", self.path)
        }
    }

    /// Notes that the section `[key]` is missing, unless a line that could not be read may be it.
    pub fn missing_section(&self, key: &str, holds: &str) {
        if !self.document.may_have_lost(key) {
            let expected = format!("one section [{key}]{holds}");
            let what = missing_what(&format!("[{key}]"), &self.in_here());
            self.complain(what, expected, None);
        }
    }

    /// A figure of dimension `D`; missing or wrong: noted, and none.
    #[must_use]
    pub fn figure<D: Dimension>(&self, key: &str) -> Option<Figure<D>> {
        if !self.has(key) {
            let unit = D::UNITS[0].symbol;
            self.missing(
                key,
                &format!("{} such as {key} = \"43 {unit}\"", with_article(D::NAME)),
            );
            return None;
        }
        self.optional_figure(key)
    }

    /// A figure that may be left out; wrong: noted, and none.
    #[must_use]
    pub fn optional_figure<D: Dimension>(&self, key: &str) -> Option<Figure<D>> {
        let (node, document, own) = self.find(key)?;
        let parsed = read_figure::<D>(node, document)?;
        if sense::refuse::<D>(key, parsed.si, node, document)
            || own && self.is_unlike_its_part::<D>(key, parsed.si)
        {
            return None;
        }
        let (origin, path) = if own {
            (Origin::Stated, format!("{}/{key}", self.path))
        } else {
            let base = self.base.as_ref().map_or("", |b| b.2.as_str());
            (Origin::PartsBox, format!("{base}/{key}"))
        };
        Some(Figure::new(parsed.si, origin, &path).with_spread(parsed.unsure, parsed.varies))
    }

    /// Notes a figure of the file that cannot be that of the part named beside it.
    fn is_unlike_its_part<D: Dimension>(&self, key: &str, si: f64) -> bool {
        let own = self.own(key);
        let (Some(node), Some((base, document, _))) = (own, self.base.as_ref()) else {
            return false;
        };
        let part = Self::entry_of(base, key).and_then(|n| read_figure::<D>(n, document));
        part.is_some_and(|part| sense::unlike::<D>(key, [si, part.si], node, self.document))
    }

    /// A figure that takes the typical value and band of its class when nobody says it: `value`,
    /// half-width of what is not known, half-width of what varies, all SI. Copies of a part share it.
    #[must_use]
    pub fn typical_figure<D: Dimension>(&self, key: &str, typical: [f64; 3]) -> Figure<D> {
        self.optional_figure(key).unwrap_or_else(|| {
            let path = self
                .base
                .as_ref()
                .map_or(self.path.as_str(), |b| b.2.as_str());
            Figure::new(typical[0], Origin::Typical, &format!("{path}/{key}"))
                .with_spread(typical[1], typical[2])
        })
    }

    /// A list of figures, such as a place or the corners of an outline.
    #[must_use]
    pub fn optional_figures<D: Dimension>(&self, key: &str) -> Option<Vec<Figure<D>>> {
        let (node, document, own) = self.find(key)?;
        let Value::List(items) = &node.value else {
            let what = format!("\"{key}\" is {}", node.value.kind());
            let unit = D::UNITS[0].symbol;
            let expected = format!("a list of {}s: [\"43 {unit}\", …]", D::NAME);
            document.log(&node.span, what, expected, None);
            return None;
        };
        let origin = if own {
            Origin::Stated
        } else {
            Origin::PartsBox
        };
        let read = read_figures::<D>(node, items, document)?;
        let refused =
            |(parsed, item): (&Parsed, &Node)| sense::refuse::<D>(key, parsed.si, item, document);
        // All are looked at before any is missed.
        if read.iter().zip(items).filter(|p| refused(*p)).count() > 0 {
            return None;
        }
        let mut figures = Vec::with_capacity(items.len());
        for (i, parsed) in read.into_iter().enumerate() {
            let path = format!("{}/{key}/{i}", self.path);
            figures.push(
                Figure::new(parsed.si, origin, &path).with_spread(parsed.unsure, parsed.varies),
            );
        }
        Some(figures)
    }

    /// A text; missing or wrong: noted, and none.
    #[must_use]
    pub fn text(&self, key: &str) -> Option<String> {
        if !self.has(key) {
            self.missing(key, &format!("a text such as {key} = \"…\""));
            return None;
        }
        self.optional_text(key)
    }

    /// A text that may be left out.
    #[must_use]
    pub fn optional_text(&self, key: &str) -> Option<String> {
        let (node, document, _) = self.find(key)?;
        if let Value::Text(t) = &node.value {
            return Some(t.clone());
        }
        let quoted = match &node.value {
            Value::Number(t) | Value::Date(t) => {
                Some(document.corrected(&node.span, &format!("\"{t}\"")))
            }
            _ => None,
        };
        document.log(
            &node.span,
            format!("\"{key}\" is {}", node.value.kind()),
            "a text in quotes",
            quoted,
        );
        None
    }

    /// One of a few words.
    #[must_use]
    pub fn choice(&self, key: &str, words: &[&str]) -> Option<String> {
        if !self.has(key) {
            let all: Vec<String> = words.iter().map(|w| format!("\"{w}\"")).collect();
            self.missing(key, &format!("{key} = one of {}", all.join(", ")));
            return None;
        }
        let text = self.optional_text(key)?;
        if words.contains(&text.as_str()) {
            return Some(text);
        }
        let suggestion = nearest(&text, words.iter().copied()).map(|w| format!("{key} = \"{w}\""));
        let what = format!("\"{text}\" is not a known {key}");
        self.complain_of(
            key,
            what,
            format!("one of {}", words.join(", ")),
            suggestion,
        );
        None
    }

    /// A plain number that may be left out.
    #[must_use]
    pub fn optional_number(&self, key: &str) -> Option<f64> {
        let (node, document, _) = self.find(key)?;
        if let Value::Number(n) = &node.value
            && let Ok(n) = n.replace('_', "").parse::<f64>()
            && n.is_finite()
        {
            return Some(n);
        }
        document.log(
            &node.span,
            format!("\"{key}\" is {}", node.value.kind()),
            "a plain number",
            None,
        );
        None
    }

    /// A whole number from `least` to `most` that may be left out.
    #[must_use]
    pub fn optional_count(&self, key: &str, least: u32, most: u32) -> Option<u32> {
        let n = self.optional_number(key)?;
        let whole = (least..=most).find(|w| (f64::from(*w) - n).abs() < 1e-9);
        if whole.is_none() {
            self.complain_of(
                key,
                format!("\"{key}\" is {n}"),
                format!("a whole number from {least} to {most}"),
                None,
            );
        }
        whole
    }

    /// True or false, if written.
    #[must_use]
    pub fn optional_flag(&self, key: &str) -> Option<bool> {
        let (node, document, _) = self.find(key)?;
        if let Value::Flag(f) = node.value {
            return Some(f);
        }
        document.log(
            &node.span,
            format!("\"{key}\" is {}", node.value.kind()),
            "true or false",
            None,
        );
        None
    }

    /// A list of texts, if written.
    #[must_use]
    pub fn optional_texts(&self, key: &str) -> Option<Vec<String>> {
        let (node, document, _) = self.find(key)?;
        if let Value::List(items) = &node.value {
            let texts: Vec<String> = items
                .iter()
                .filter_map(|i| {
                    if let Value::Text(t) = &i.value {
                        Some(t.clone())
                    } else {
                        None
                    }
                })
                .collect();
            if texts.len() == items.len() {
                return Some(texts);
            }
        }
        document.log(
            &node.span,
            format!("\"{key}\" is not a list of texts"),
            "a list such as [\"a\", \"b\"]",
            None,
        );
        None
    }

    /// The one table `[key]`, if written.
    #[must_use]
    pub fn table(&self, key: &str) -> Option<Self> {
        let node = self.own_as(key, Form::Table)?;
        if matches!(node.value, Value::Table(_)) {
            return Some(Self::new(self.document, node, join(&self.path, key)));
        }
        let expected = format!("one section [{key}]");
        let what = if matches!(&node.value, Value::List(l) if !l.is_empty()) {
            format!("[[{key}]] in double brackets")
        } else {
            format!("\"{key}\" is {}", node.value.kind())
        };
        self.document
            .log(&node.span, what, expected, Some(format!("[{key}]")));
        None
    }

    /// The tables `[[key]]`, in order; their path is `key/NAME` where they have a name.
    #[must_use]
    pub fn tables(&self, key: &str) -> Vec<Self> {
        let Some(node) = self.own_as(key, Form::Tables) else {
            return Vec::new();
        };
        let Value::List(items) = &node.value else {
            let expected = format!("sections that start with [[{key}]]");
            let what = if matches!(node.value, Value::Table(_)) {
                format!("[{key}] in single brackets")
            } else {
                format!("\"{key}\" is {}", node.value.kind())
            };
            self.document
                .log(&node.span, what, expected, Some(format!("[[{key}]]")));
            return Vec::new();
        };
        let mut sections = Vec::with_capacity(items.len());
        for (i, item) in items.iter().enumerate() {
            if !matches!(item.value, Value::Table(_)) {
                let expected = format!("sections that start with [[{key}]]");
                self.document.log(
                    &item.span,
                    format!("an entry of \"{key}\" is {}", item.value.kind()),
                    expected,
                    None,
                );
                continue;
            }
            let name = match Self::entry_of(item, "name").map(|n| &n.value) {
                Some(Value::Text(t)) => t.clone(),
                _ => (i + 1).to_string(),
            };
            let path = join(&self.path, &format!("{key}/{name}"));
            sections.push(Self::new(self.document, item, path));
        }
        sections
    }

    /// Every table in this one, with its key: for documents that are a set of named entries.
    #[must_use]
    pub fn named_tables(&self) -> Vec<(&'d str, Self)> {
        let Value::Table(entries) = &self.node.value else {
            return Vec::new();
        };
        entries
            .iter()
            .filter(|(_, v)| matches!(v.value, Value::Table(_)))
            .map(|(k, v)| {
                self.known.note(&k.name, Form::Table);
                (
                    k.name.as_str(),
                    Self::new(self.document, v, join(&self.path, &k.name)),
                )
            })
            .collect()
    }

    /// The node of this section.
    #[must_use]
    pub fn node(&self) -> &'d Node {
        self.node
    }
}
