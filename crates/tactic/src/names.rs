//! The names a tactic gives, found quickly however many there are.

use std::collections::BTreeMap;

use crate::ast::{Name, Tree};

/// Names of one kind, with their places in the file's order.
type Indices<'t> = BTreeMap<&'t str, usize>;

/// Where each name stands among its kind; of a name given twice the first.
#[derive(Debug)]
pub(crate) struct Names<'t> {
    states: Indices<'t>,
    counters: Indices<'t>,
    timers: Indices<'t>,
    constants: BTreeMap<&'t str, i16>,
}

impl<'t> Names<'t> {
    /// The names of `tree`.
    pub(crate) fn of(tree: &'t Tree) -> Self {
        let mut constants = BTreeMap::new();
        for c in &tree.constants {
            constants.entry(c.name.word.as_str()).or_insert(c.value);
        }
        Self {
            states: indices(tree.states.iter().map(|s| &s.name)),
            counters: indices(tree.counters.iter().map(|c| &c.0)),
            timers: indices(&tree.timers),
            constants,
        }
    }

    /// Index of a state; 0 where there is no such.
    pub(crate) fn state(&self, name: &Name) -> u8 {
        byte(self.states.get(name.word.as_str()))
    }

    /// Index of a timer; 0 where there is no such.
    pub(crate) fn timer(&self, name: &Name) -> u8 {
        byte(self.timers.get(name.word.as_str()))
    }

    /// Index of a counter, if there is one of this name.
    pub(crate) fn counter(&self, name: &Name) -> Option<u8> {
        let found = self.counters.get(name.word.as_str());
        found.map(|k| byte(Some(k)))
    }

    /// Value of a constant, if there is one of this name.
    pub(crate) fn constant(&self, name: &Name) -> Option<i16> {
        self.constants.get(name.word.as_str()).copied()
    }
}

fn indices<'t>(names: impl IntoIterator<Item = &'t Name>) -> Indices<'t> {
    let mut found = Indices::new();
    for (k, name) in names.into_iter().enumerate() {
        found.entry(name.word.as_str()).or_insert(k);
    }
    found
}

/// What fits the flat code; whoever has more is refused.
fn byte(index: Option<&usize>) -> u8 {
    index.and_then(|k| u8::try_from(*k).ok()).unwrap_or(0)
}
