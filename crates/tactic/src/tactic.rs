//! A tactic that has been read, and its named constants.

use robot::Issue;

use crate::ast::Tree;
use crate::check::check;
use crate::grammar;
use crate::log::Log;

/// The constant that sets the threshold of `on border`, in per mille.
pub(crate) const BORDER_LEVEL: &str = "border-level";

/// A tactic that has been read without an error.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tactic {
    file: String,
    text: String,
    tree: Tree,
}

/// A named constant with the range it may be tried in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Constant {
    /// Name.
    pub name: String,
    /// Value.
    pub value: i16,
    /// Smallest value worth trying.
    pub least: i16,
    /// Largest value worth trying.
    pub most: i16,
}

/// Reads a tactic.
///
/// # Errors
/// Everything wrong in it, in order of place.
pub fn parse(file: &str, text: &str) -> Result<Tactic, Vec<Issue>> {
    let mut log = Log::new(file, text);
    let tree = grammar::tree(text, &mut log);
    check(&tree, &mut log);
    if log.is_empty() {
        Ok(Tactic {
            file: file.to_owned(),
            text: text.to_owned(),
            tree,
        })
    } else {
        Err(log.into_issues())
    }
}

impl Tactic {
    /// File it was read from.
    #[must_use]
    pub fn file(&self) -> &str {
        &self.file
    }

    /// Its text.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    pub(crate) fn tree(&self) -> &Tree {
        &self.tree
    }

    /// Its named constants.
    #[must_use]
    pub fn constants(&self) -> Vec<Constant> {
        let constant = |c: &crate::ast::ConstantText| Constant {
            name: c.name.word.clone(),
            value: c.value,
            least: c.least,
            most: c.most,
        };
        self.tree.constants.iter().map(constant).collect()
    }

    /// The same tactic with a constant changed, if it has it and the value is in its range.
    #[must_use]
    pub fn with_constant(&self, name: &str, value: i16) -> Option<Self> {
        let mut other = self.clone();
        let c = other
            .tree
            .constants
            .iter_mut()
            .find(|c| c.name.word == name)?;
        if !(c.least..=c.most).contains(&value) {
            return None;
        }
        c.value = value;
        Some(other)
    }

    /// Names of its openings, in file order.
    #[must_use]
    pub fn opening_names(&self) -> Vec<String> {
        self.tree
            .openings
            .iter()
            .map(|o| o.name.word.clone())
            .collect()
    }
}
