//! Controller boards: what their pins can do and what they need. One file for each board; a robot file
//! names one (`board = "NAME"`), and so may a board of the parts box.

mod read;
mod sheet;

use std::sync::Arc;

pub use sheet::{AtReset, BoardSheet, Can, Feed, FeedKind, Pin, Strap};

use crate::Issue;
use crate::reader::Document;

/// All boards there are sheets of.
#[derive(Debug, Clone, Default)]
pub struct Boards {
    sheets: Vec<Arc<BoardSheet>>,
}

impl Boards {
    /// Reads board files: (file name, text) each; a board is called as its file is. Later files replace
    /// boards of the same name, so that a user's own folder can correct ours.
    ///
    /// # Errors
    /// Everything wrong in any of the files.
    pub fn read(files: &[(String, String)]) -> Result<Self, Vec<Issue>> {
        let mut documents: Vec<(usize, Document)> = files
            .iter()
            .map(|(file, text)| Document::parse(file, text))
            .enumerate()
            .collect();
        // Those that take their pins from another come after it, wherever it stands.
        documents.sort_by_key(|(k, d)| (d.root().own("like").is_some(), *k));
        let mut read: Vec<(usize, BoardSheet)> = Vec::new();
        let mut issues = Vec::new();
        for (k, document) in &documents {
            let name = stem(&files[*k].0);
            let known: Vec<&BoardSheet> = (read.iter().rev())
                .filter(|(other, s)| s.name != name || other < k)
                .map(|(_, s)| s)
                .collect();
            let sheet = read::sheet(document, name, &known);
            issues.extend(document.take_issues());
            read.extend(sheet.map(|s| (*k, s)));
        }
        if !issues.is_empty() {
            return Err(issues);
        }
        read.sort_by(|(a, x), (b, y)| x.name.cmp(&y.name).then(b.cmp(a)));
        read.dedup_by(|later, first| later.1.name == first.1.name);
        Ok(Self {
            sheets: read.into_iter().map(|(_, s)| Arc::new(s)).collect(),
        })
    }

    /// The boards that come with the program.
    ///
    /// # Errors
    /// Only if the program itself is broken; its tests see to that.
    pub fn built_in() -> Result<Self, Vec<Issue>> {
        Self::read(&shelf::files("boards"))
    }

    /// All boards, by name.
    pub fn iter(&self) -> impl Iterator<Item = &BoardSheet> {
        self.sheets.iter().map(|s| &**s)
    }

    /// The board called `name`.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<Arc<BoardSheet>> {
        self.sheets.iter().find(|s| s.name == name).cloned()
    }

    /// The name nearest to `name`, if any is near.
    #[must_use]
    pub fn nearest(&self, name: &str) -> Option<&str> {
        crate::reader::nearest(name, self.iter().map(|s| s.name.as_str()))
    }
}

/// The name of a file without folder and ending.
fn stem(file: &str) -> &str {
    let last = file.rsplit(['/', '\\']).next().unwrap_or(file);
    last.strip_suffix(".toml").unwrap_or(last)
}
