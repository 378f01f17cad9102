//! Reading single rules: a value with its source and wording.

use std::sync::Arc;

use quantity::Dimension;
use robot::reader::Section;

use super::{Sources, nearest_source, range_text};
use crate::{Bound, Elsewhere, Limit, Rule, Source};

/// One of the sections `[robot]`, `[ring]`, `[bout]`, each a set of rules.
pub(super) struct Group<'a> {
    name: &'static str,
    root: &'a Section<'a>,
    section: Option<Section<'a>>,
    sources: &'a Sources,
}

impl<'a> Group<'a> {
    /// The group called `name`, which may be left out by a class that inherits.
    pub(super) fn new(root: &'a Section<'a>, name: &'static str, sources: &'a Sources) -> Self {
        Self {
            name,
            root,
            section: root.table(name),
            sources,
        }
    }

    /// Reports what nobody asked for.
    pub(super) fn finish(self) {
        if let Some(section) = self.section {
            section.finish();
        }
    }

    fn entry(&self, key: &str) -> Option<Section<'a>> {
        self.section.as_ref()?.table(key)
    }

    /// Whether something that is not a section stands where the rule belongs (it is noted).
    fn spoilt(&self, key: &str) -> bool {
        self.section.as_ref().is_some_and(|s| s.has(key))
    }

    fn missing(&self, key: &str, example: &str) {
        let what = format!("the section [{}.{key}] is missing", self.name);
        let expected = format!("{example} with its source and wording, or a class to inherit");
        self.section
            .as_ref()
            .unwrap_or(self.root)
            .complain(what, expected, None);
    }

    /// The rule `key`, or the parent's; neither or wrong: noted, and none.
    pub(super) fn rule<T: Clone>(
        &self,
        key: &str,
        parent: Option<&Rule<T>>,
        example: &str,
        value: impl Fn(&Section<'_>) -> Option<T>,
    ) -> Option<Rule<T>> {
        match self.entry(key) {
            Some(entry) => {
                let rule = rule(&entry, self.sources, value);
                entry.finish();
                rule
            }
            None if self.spoilt(key) => None,
            None => {
                if parent.is_none() {
                    self.missing(key, example);
                }
                parent.cloned()
            }
        }
    }

    /// The rule `key`, or the parent's; neither: none, and nothing to complain of.
    pub(super) fn rule_or_none<T: Clone>(
        &self,
        key: &str,
        parent: Option<&Rule<T>>,
        value: impl Fn(&Section<'_>) -> Option<T>,
    ) -> Option<Rule<T>> {
        let Some(entry) = self.entry(key) else {
            return parent.cloned();
        };
        let rule = rule(&entry, self.sources, value);
        entry.finish();
        rule
    }

    /// A quantity `value` within `range` (SI).
    pub(super) fn quantity<D: Dimension>(
        &self,
        key: &str,
        parent: Option<&Rule<f64>>,
        range: [f64; 2],
    ) -> Option<Rule<f64>> {
        self.rule(key, parent, "a value", |s| required::<D>(s, "value", range))
    }

    /// A quantity `value` within `range` (SI) that few rulebooks name: without one here or in the
    /// parent it is `usual`, by common practice.
    pub(super) fn usual<D: Dimension>(
        &self,
        key: &str,
        parent: Option<&Rule<f64>>,
        range: [f64; 2],
        usual: f64,
    ) -> Option<Rule<f64>> {
        if self.entry(key).is_some() || self.spoilt(key) || parent.is_some() {
            return self.quantity::<D>(key, parent, range);
        }
        Some(Rule {
            value: usual,
            source: Arc::new(Source {
                title: "common practice, no source".into(),
                found: String::new(),
                date: String::new(),
            }),
            wording: "rulebooks are silent; as usual in a hall".into(),
            elsewhere: Vec::new(),
        })
    }

    /// An upper limit.
    pub(super) fn upper<D: Dimension>(
        &self,
        key: &str,
        parent: Option<&Rule<Limit>>,
    ) -> Option<Rule<Limit>> {
        self.rule(key, parent, "at-most or under", |s| limit::<D>(s, UPPER))
    }

    /// A limit that may be left out, and lifted by `free = true`: none is a wrong one (noted).
    pub(super) fn optional<D: Dimension>(
        &self,
        key: &str,
        parent: Option<&Rule<Limit>>,
        bounds: &[(&str, Bound)],
    ) -> Option<Option<Rule<Limit>>> {
        match self.entry(key) {
            Some(entry) => {
                let rule = rule(&entry, self.sources, |s| free_or_limit::<D>(s, bounds));
                entry.finish();
                rule.map(|r| r.value.map(|limit| r.map(|_| limit)))
            }
            None if self.spoilt(key) => None,
            None => Some(parent.cloned()),
        }
    }
}

/// Ways to write an upper limit.
pub(super) const UPPER: &[(&str, Bound)] = &[("at-most", Bound::AtMost), ("under", Bound::Under)];
/// The way to write a lower limit.
pub(super) const LOWER: &[(&str, Bound)] = &[("at-least", Bound::AtLeast)];

/// A rule: whatever `value` reads, with source and wording.
pub(super) fn rule<T>(
    section: &Section<'_>,
    sources: &Sources,
    value: impl Fn(&Section<'_>) -> Option<T>,
) -> Option<Rule<T>> {
    let read = value(section);
    let source = source_of(section, sources);
    let wording = section.text("wording");
    let mut whole = true;
    let mut elsewhere = Vec::new();
    for other in section.tables("elsewhere") {
        let (value, source) = (value(&other), source_of(&other, sources));
        let wording = other.text("wording");
        other.finish();
        match (value, source, wording) {
            (Some(value), Some(source), Some(wording)) => elsewhere.push(Elsewhere {
                value,
                source,
                wording: wording.into(),
            }),
            _ => whole = false,
        }
    }
    let rule = Rule {
        value: read?,
        source: source?,
        wording: wording?.into(),
        elsewhere,
    };
    whole.then_some(rule)
}

/// Who says so: one of the sources named in the file or in the class it inherits.
fn source_of(section: &Section<'_>, sources: &Sources) -> Option<Arc<Source>> {
    section.text("source").and_then(|named| {
        let known = sources.get(&named);
        if known.is_none() {
            let suggestion = nearest_source(&named, sources).map(|w| format!("source = \"{w}\""));
            let what = format!("no source \"{named}\"");
            let expected = format!("a source with a section [sources.{named}]");
            section.complain_of("source", what, expected, suggestion);
        }
        known.cloned()
    })
}

/// A figure without spread within `range` (SI), if it is written.
pub(super) fn plain<D: Dimension>(
    section: &Section<'_>,
    key: &str,
    range: [f64; 2],
) -> Option<f64> {
    let figure = section.optional_figure::<D>(key)?;
    if figure.unsure() != 0.0 || figure.varies() != 0.0 {
        let what = format!("\"{key}\" in {} has a spread", section.path());
        section.complain_of(
            key,
            what,
            "a plain figure: a rule is what the book says",
            None,
        );
        return None;
    }
    if figure.si() < range[0] || figure.si() > range[1] {
        let shown = quantity::show::<D>(figure.si(), 3);
        let what = format!("\"{key}\" in {} is {shown}", section.path());
        section.complain_of(key, what, range_text::<D>(range), None);
        return None;
    }
    Some(figure.si())
}

/// The same where it must be written.
pub(super) fn required<D: Dimension>(
    section: &Section<'_>,
    key: &str,
    range: [f64; 2],
) -> Option<f64> {
    if !section.has(key) {
        // Asks for it once, for the message that it is missing.
        let none = section.figure::<D>(key);
        return none.map(|f| f.si());
    }
    plain::<D>(section, key, range)
}

/// A limit in one of the ways of `bounds`, with an optional tolerance.
fn limit<D: Dimension>(section: &Section<'_>, bounds: &[(&str, Bound)]) -> Option<Limit> {
    // A limit of nothing or less, or beyond a kilometre or tonne, is a slip.
    let range = [0.0, 1e3];
    let written: Vec<_> = bounds.iter().filter(|(key, _)| section.has(key)).collect();
    let tolerance_si = if section.has("tolerance") {
        plain::<D>(section, "tolerance", range)
    } else {
        Some(0.0)
    };
    let [(key, bound)] = written[..] else {
        let ways: Vec<String> = bounds
            .iter()
            .map(|(key, _)| format!("{key} = \"…\""))
            .collect();
        let found = if written.is_empty() {
            "no limit"
        } else {
            "two limits"
        };
        section.complain(
            format!("{found} in {}", section.path()),
            ways.join(" or "),
            None,
        );
        return None;
    };
    Some(Limit {
        si: plain::<D>(section, key, range)?,
        bound: *bound,
        tolerance_si: tolerance_si?,
    })
}

/// `free = true`, or a limit.
pub(super) fn free_or_limit<D: Dimension>(
    section: &Section<'_>,
    bounds: &[(&str, Bound)],
) -> Option<Option<Limit>> {
    if section.optional_flag("free") == Some(true) {
        if let Some((key, _)) = bounds.iter().find(|(key, _)| section.has(key)) {
            let what = format!("{} is free and has a limit", section.path());
            section.complain_of(key, what, "one of the two", None);
            return None;
        }
        return Some(None);
    }
    limit::<D>(section, bounds).map(Some)
}
