//! The parts box: generic parts a robot file can name.

use crate::reader::{Document, Node, Section, Value};
use crate::{Boards, Issue, Materials};

/// Sections a part can stand in.
pub(crate) const KINDS: &[&str] = &[
    "part", "motor", "wheel", "track", "skid", "magnet", "blade", "gadget", "battery", "driver",
    "board", "sensor",
];

/// All parts, from one or more files.
#[derive(Debug)]
pub struct PartsBox {
    documents: Vec<Document>,
    entries: Vec<Entry>,
    boards: Boards,
    materials: Materials,
}

/// What a list of parts shows of one.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// What a robot file calls it: `part = "ID"`.
    pub id: String,
    /// Section it belongs in: `motor`, `wheel`, …
    pub kind: String,
    /// What it is, in words.
    pub title: String,
    /// Mass in kg.
    pub mass_kg: f64,
    /// Price, as far as a generic part can have one.
    pub price: Option<f64>,
    /// Kits it belongs to.
    pub kits: Vec<String>,
    document: usize,
    node: Node,
}

impl PartsBox {
    /// Reads parts files: (file name, text) each. Later files replace parts of the same name, so
    /// that a user's own folder can correct ours.
    ///
    /// # Errors
    /// Everything wrong in any of the files.
    pub fn read(files: &[(String, String)]) -> Result<Self, Vec<Issue>> {
        let mut this = Self {
            documents: Vec::new(),
            entries: Vec::new(),
            boards: Boards::default(),
            materials: Materials::default(),
        };
        let mut issues = Vec::new();
        for (file, text) in files {
            let document = Document::parse(file, text);
            let index = this.documents.len();
            let root = document.root();
            let mut fresh = Vec::new();
            for (id, section) in root.named_tables() {
                if let Some(entry) = read_entry(id, &section, index) {
                    fresh.push(entry);
                }
            }
            root.finish();
            issues.extend(document.take_issues());
            for entry in fresh {
                this.entries.retain(|e| e.id != entry.id);
                this.entries.push(entry);
            }
            this.documents.push(document);
        }
        if issues.is_empty() {
            Ok(this)
        } else {
            Err(issues)
        }
    }

    /// The parts that come with the program.
    ///
    /// # Errors
    /// Only if the program itself is broken; its tests see to that.
    pub fn built_in() -> Result<Self, Vec<Issue>> {
        Ok(Self::read(&shelf::files("parts"))?
            .with_boards(Boards::built_in()?)
            .with_materials(Materials::built_in()?))
    }

    /// The same parts with the sheets of `boards` that a robot file or a part may name.
    #[must_use]
    pub fn with_boards(self, boards: Boards) -> Self {
        Self { boards, ..self }
    }

    /// The same parts with the materials a robot file may name.
    #[must_use]
    pub fn with_materials(self, materials: Materials) -> Self {
        Self { materials, ..self }
    }

    /// What frames are made of.
    #[must_use]
    pub fn materials(&self) -> &Materials {
        &self.materials
    }

    /// The sheets of controller boards.
    #[must_use]
    pub fn boards(&self) -> &Boards {
        &self.boards
    }

    /// All parts, in file order.
    #[must_use]
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// The part called `id`.
    #[must_use]
    pub fn find(&self, id: &str) -> Option<&Entry> {
        self.entries.iter().find(|e| e.id == id)
    }

    /// A section over the part's own figures.
    #[must_use]
    pub fn section(&self, entry: &Entry) -> Section<'_> {
        // The entry may be a clone: look up ours, which lives as long as the box.
        let own = self
            .entries
            .iter()
            .find(|e| e.id == entry.id)
            .unwrap_or(&self.entries[0]);
        Section::new(
            &self.documents[own.document],
            &own.node,
            format!("parts/{}", own.id),
        )
    }

    /// What a robot found wrong in the parts it uses.
    pub(crate) fn take_issues(&self) -> Vec<Issue> {
        self.documents
            .iter()
            .flat_map(Document::take_issues)
            .collect()
    }

    /// Lets `section` fall back on the part it names, if it names one of the right kind.
    pub(crate) fn back_up<'d>(
        &'d self,
        section: &mut Section<'d>,
        kind: &str,
    ) -> Option<&'d Entry> {
        let id = section.own("part").and_then(|n| match &n.value {
            Value::Text(t) => Some(t.clone()),
            _ => None,
        });
        let Some(id) = id else {
            if section.own("part").is_some() {
                section.lose_base();
                section.complain_of("part", "\"part\" is not a text", "the name of a part", None);
            }
            return None;
        };
        let same_kind = || {
            self.entries
                .iter()
                .filter(|e| e.kind == kind)
                .map(|e| e.id.as_str())
        };
        match self.find(&id) {
            Some(entry) if entry.kind == kind => {
                let document = &self.documents[entry.document];
                section.fall_back_on(document, &entry.node, format!("parts/{id}"));
                Some(entry)
            }
            Some(entry) => {
                let what = format!("\"{id}\" is a {}, not a {kind}", entry.kind);
                let expected =
                    format!("a {kind} from the parts box (`ringwright parts {kind}` lists them)");
                section.lose_base();
                section.complain_of("part", what, expected, None);
                None
            }
            None => {
                let suggestion =
                    crate::reader::nearest(&id, same_kind()).map(|w| format!("part = \"{w}\""));
                let what = format!("no part \"{id}\" in the parts box");
                let expected =
                    format!("a {kind} from the parts box (`ringwright parts {kind}` lists them)");
                section.lose_base();
                section.complain_of("part", what, expected, suggestion);
                None
            }
        }
    }
}

fn read_entry(id: &str, section: &Section<'_>, document: usize) -> Option<Entry> {
    let kind = section.choice("kind", KINDS)?;
    let title = section.text("title")?;
    let mass = section.figure::<quantity::Mass>("mass")?;
    Some(Entry {
        id: id.to_owned(),
        kind,
        title,
        mass_kg: mass.si(),
        price: section.optional_number("price"),
        kits: section.optional_texts("kits").unwrap_or_default(),
        document,
        node: section.node().clone(),
    })
}
