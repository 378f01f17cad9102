//! All classes there are to choose from.

use robot::Issue;
use robot::reader::{Document, Value, nearest};

use crate::Class;
use crate::read::name_of;

/// A set of classes, sorted by name.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Classes {
    list: Vec<Class>,
}

/// A class nobody has heard of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownClass {
    /// The word that was asked for.
    pub name: String,
    /// The nearest known class, if any is near.
    pub nearest: Option<String>,
    /// All known classes.
    pub known: Vec<String>,
}

impl core::fmt::Display for UnknownClass {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "no class \"{}\"", self.name)?;
        if let Some(near) = &self.nearest {
            write!(f, "; did you mean \"{near}\"?")?;
        }
        write!(f, " Known classes: {}", self.known.join(", "))
    }
}

impl core::error::Error for UnknownClass {}

impl Classes {
    /// The classes that come with the program.
    ///
    /// # Errors
    /// Only if the program itself is broken; its tests see to that.
    pub fn built_in() -> Result<Self, Vec<Issue>> {
        Self::default().with(&shelf::files("classes"))
    }

    /// These and those of further files, (file name, text) each, in any order. A class of the same
    /// name replaces the one there was, and may inherit it; classes that inherited the old one
    /// keep the old one's figures.
    ///
    /// # Errors
    /// Everything wrong in any of the files.
    pub fn with(&self, files: &[(String, String)]) -> Result<Self, Vec<Issue>> {
        let mut fresh = Self::default();
        let mut issues = Vec::new();
        let mut broken: Vec<&str> = Vec::new();
        let mut waiting: Vec<&(String, String)> = files.iter().collect();
        while !waiting.is_empty() {
            // A file waits while what it inherits is itself among those to be read.
            let (later, now): (Vec<_>, Vec<_>) =
                waiting.iter().copied().partition(|(file, text)| {
                    inherited(file, text).is_some_and(|parent| {
                        parent != name_of(file) && waiting.iter().any(|(f, _)| name_of(f) == parent)
                    })
                });
            if now.is_empty() {
                issues.extend(waiting.iter().map(|(file, text)| circle(file, text)));
                break;
            }
            for (file, text) in now {
                // A class that takes its own name's figures means the one it replaces.
                let others = self.joined(&fresh);
                match Class::read(file, text, &others) {
                    Ok(class) => fresh.put(class),
                    Err(more) => {
                        let orphan = inherited(file, text).is_some_and(|parent| {
                            broken.contains(&parent.as_str()) && others.find(&parent).is_err()
                        });
                        broken.push(name_of(file));
                        // What its broken parent leaves open is not this file's mistake.
                        if !orphan {
                            issues.extend(more);
                        }
                    }
                }
            }
            waiting = later;
        }
        if issues.is_empty() {
            Ok(self.joined(&fresh))
        } else {
            Err(issues)
        }
    }

    /// The class called `name`.
    ///
    /// # Errors
    /// When there is none, with the nearest word.
    pub fn find(&self, name: &str) -> Result<&Class, UnknownClass> {
        self.list
            .iter()
            .find(|c| c.name == name)
            .ok_or_else(|| UnknownClass {
                name: name.to_owned(),
                nearest: nearest(name, self.names()).map(str::to_owned),
                known: self.names().map(str::to_owned).collect(),
            })
    }

    /// All of them, sorted by name.
    pub fn iter(&self) -> impl Iterator<Item = &Class> {
        self.list.iter()
    }

    fn names(&self) -> impl Iterator<Item = &str> {
        self.list.iter().map(|c| c.name.as_str())
    }

    fn put(&mut self, class: Class) {
        self.list.retain(|c| c.name != class.name);
        let at = self.list.partition_point(|c| c.name < class.name);
        self.list.insert(at, class);
    }

    fn joined(&self, fresh: &Self) -> Self {
        let mut all = self.clone();
        for class in &fresh.list {
            all.put(class.clone());
        }
        all
    }
}

/// What the file says it inherits, as far as that can be read.
fn inherited(file: &str, text: &str) -> Option<String> {
    let document = Document::parse(file, text);
    let root = document.root();
    match &root.own("inherits")?.value {
        Value::Text(name) => Some(name.clone()),
        _ => None,
    }
}

fn circle(file: &str, text: &str) -> Issue {
    let document = Document::parse(file, text);
    let root = document.root();
    let span = root.own("inherits").map_or(0..0, |node| node.span.clone());
    Issue {
        place: document.place(&span),
        what: "this class inherits itself by way of others".into(),
        expected: "a chain of classes that ends at one which inherits none".into(),
        suggestion: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(name: &str, text: &str) -> (String, String) {
        (format!("own/{name}.toml"), text.to_owned())
    }

    fn built_in() -> Classes {
        Classes::built_in().unwrap()
    }

    const POINTS: &str = "[sources.ours]\ntitle = \"Ours\"\nfound = \"\"\ndate = \"2026\"\n\
                          [bout.points]\nsource = \"ours\"\nwording = \"points\"\n";

    fn child(parent: &str, points: u32) -> String {
        format!("title = \"Child\"\ninherits = \"{parent}\"\n{POINTS}value = {points}\n")
    }

    #[test]
    fn every_class_that_comes_with_the_program_can_be_read() {
        let names: Vec<String> = built_in().iter().map(|c| c.name.clone()).collect();
        assert_eq!(
            names,
            [
                "femto",
                "harbour-club",
                "heavy-weight",
                "light-weight",
                "mega",
                "mega-steel",
                "micro",
                "mini",
                "mini-kit",
                "mini-remote",
                "nano",
                "pico"
            ]
        );
    }

    #[test]
    fn a_misspelt_class_gets_the_nearest_word() {
        let unknown = built_in().find("minni").unwrap_err();
        assert_eq!(unknown.nearest.as_deref(), Some("mini"));
        assert!(unknown.to_string().contains("did you mean \"mini\"?"));
        assert_eq!(built_in().find("quux").unwrap_err().nearest, None);
    }

    #[test]
    fn grandchildren_are_read_in_any_order() {
        let files = [
            file("a", &child("b", 5)),
            file("b", &child("c", 4)),
            file("c", &child("mini", 3)),
        ];
        let classes = built_in().with(&files).unwrap();
        for (name, points) in [("a", 5), ("b", 4), ("c", 3), ("mini", 2)] {
            assert_eq!(
                classes.find(name).unwrap().bout.points.value,
                points,
                "{name}"
            );
        }
    }

    #[test]
    fn a_class_that_replaces_one_may_inherit_it() {
        let classes = built_in().with(&[file("mini", &child("mini", 7))]).unwrap();
        assert_eq!(classes.find("mini").unwrap().bout.points.value, 7);
        assert!((classes.find("mini").unwrap().ring.diameter_m.value - 0.77).abs() < 1e-12);
        assert_eq!(
            classes.find("mini-kit").unwrap().bout.points.value,
            2,
            "keeps the old one"
        );
    }

    #[test]
    fn a_circle_is_refused_in_every_file_of_it() {
        let files = [file("a", &child("b", 1)), file("b", &child("a", 1))];
        let issues = built_in().with(&files).unwrap_err();
        assert_eq!(issues.len(), 2);
        assert!(
            issues
                .iter()
                .all(|i| i.what.contains("inherits itself") && i.place.line == 2)
        );
    }

    #[test]
    fn a_ring_may_be_uneven_and_says_how_much() {
        let built_in = built_in();
        let ring = |name: &str| built_in.find(name).expect("it is built in").ring();
        assert!(ring("mega").flatness_m == 0.0 && ring("mega").seam_m == 0.0);
        assert!((ring("mega-steel").flatness_m - 5e-4).abs() < 1e-12);
        assert!((ring("mega-steel").seam_m - 1e-4).abs() < 1e-12);
        assert!(ring("mega-steel").surface.is_steel());
    }

    #[test]
    fn a_broken_parent_is_reported_once() {
        let broken = child("mini", 3).replace("value = 3", "value = 3.5");
        let files = [file("a", &child("b", 5)), file("b", &broken)];
        let issues = built_in().with(&files).unwrap_err();
        assert_eq!(issues.len(), 1, "{issues:?}");
        assert_eq!(&*issues[0].place.file, "own/b.toml");
    }
}
