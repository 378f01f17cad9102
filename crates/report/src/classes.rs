//! One class in full, and two classes side by side with what a robot would have to change.

use std::path::Path;

use rules::{Class, Difference, FigureWords, GROUPS, Row, Verdict, differences, inspect};
use serde::Serialize;

use crate::check::InspectionRow;
use crate::setting::{Setting, Trouble, class_named, library};
use crate::text::{Ink, Layout, Sheet, Table};

/// A figure of a class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct ClassFigure {
    /// Section of the class file: `robot`, `kits`, `bans`, `ring`, `bout` or `judging`.
    pub section: String,
    /// Its name there.
    pub figure: String,
    /// Its value with its unit.
    pub value: String,
    /// What the rulebook says, in short.
    pub wording: String,
    /// Who says so.
    pub source: String,
    /// What other rulebooks say.
    pub elsewhere: Vec<OtherFigure>,
}

/// What another rulebook says of a figure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct OtherFigure {
    /// Its value with its unit.
    pub value: String,
    /// What it says, in short.
    pub wording: String,
    /// Who says so.
    pub source: String,
}

impl From<&FigureWords> for ClassFigure {
    fn from(f: &FigureWords) -> Self {
        Self {
            section: f.group.into(),
            figure: f.name.clone(),
            value: f.value.clone(),
            wording: f.wording.to_string(),
            source: f.source.to_string(),
            elsewhere: (f.elsewhere.iter())
                .map(|e| OtherFigure {
                    value: e.value.clone(),
                    wording: e.wording.to_string(),
                    source: e.source.to_string(),
                })
                .collect(),
        }
    }
}

/// One class in full.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct ClassPage {
    /// `ringwright/class/1`.
    pub schema: String,
    /// Its name on the command line.
    pub class: String,
    /// Its title.
    pub title: String,
    /// What is particular about it.
    pub about: String,
    /// The file it was read from.
    pub file: String,
    /// The class whose figures it takes where it has none of its own.
    pub inherits: Option<String>,
    /// The field its robots fight against.
    pub field: String,
    /// Whether such a field is there.
    pub has_field: bool,
    /// Its figures, in the order of the sections of its file.
    pub figures: Vec<ClassFigure>,
}

/// What a section is about.
fn heading(group: &str) -> &'static str {
    match group {
        "robot" => "The robot",
        "kits" => "Parts of a kit",
        "bans" => "What is forbidden",
        "ring" => "The ring",
        "bout" => "The bout and the match",
        _ => "What the judge says",
    }
}

impl ClassPage {
    /// The class called `name`, or in the file of that name.
    ///
    /// # Errors
    /// When there is no such class, and everything wrong in a class file.
    pub fn of(name: &str, home: Option<&Path>) -> Result<Self, Trouble> {
        let class = class_named(name, &library(home)?.1)?;
        Ok(Self {
            schema: "ringwright/class/1".into(),
            class: class.name.clone(),
            title: class.title.clone(),
            about: class.about.clone(),
            file: class.file.clone(),
            inherits: class.inherits.clone(),
            field: class.field.clone(),
            has_field: store::has_field(&class.field, home)?,
            figures: class.figures().iter().map(ClassFigure::from).collect(),
        })
    }

    /// As text: every figure with its wording, and below them the rulebooks by number.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let mut s = Sheet::new(layout);
        s.title(&format!("{} ({})", self.title, self.class));
        let from = match &self.inherits {
            Some(parent) => format!("{} · what it does not say is that of {parent}", self.file),
            None => self.file.clone(),
        };
        s.small(&from);
        s.gap();
        s.paragraph(&self.about);
        if !self.has_field {
            s.paragraph(
                "There is no field of opponents for it yet: robots can be checked, not fought.",
            );
        }
        let mut books: Vec<&str> = Vec::new();
        for group in GROUPS {
            let figures: Vec<&ClassFigure> =
                self.figures.iter().filter(|f| f.section == group).collect();
            if figures.is_empty() {
                continue;
            }
            s.heading(heading(group));
            let mut table = Table::new(&["Figure", "Value", "What the book says", "Book"]);
            for f in figures {
                let book = numbered(&mut books, &f.source);
                table.row([
                    f.figure.replace('-', " "),
                    f.value.clone(),
                    f.wording.clone(),
                    book.to_string(),
                ]);
                for e in &f.elsewhere {
                    let book = numbered(&mut books, &e.source);
                    table.row([
                        "  elsewhere".to_owned(),
                        e.value.clone(),
                        e.wording.clone(),
                        book.to_string(),
                    ]);
                }
            }
            s.table(&table);
        }
        s.heading("Books");
        for (k, book) in books.iter().enumerate() {
            s.point(&format!("{}.", k + 1), book);
        }
        s.gap();
        s.aside(
            "Books differ and change: read your event's own, and write its differences into a class file \
             (docs/class-file.md). Where it and this disagree, the event is right.",
        );
        s.finish()
    }
}

/// The number of a book in the list, from 1; a new one is added.
fn numbered<'b>(books: &mut Vec<&'b str>, book: &'b str) -> usize {
    let at = books.iter().position(|b| *b == book);
    at.unwrap_or_else(|| {
        books.push(book);
        books.len() - 1
    }) + 1
}

/// A figure in which two classes differ.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct FigureDifference {
    /// Section of the class file.
    pub section: String,
    /// Its name there.
    pub figure: String,
    /// What the first class says; none: it has no such figure.
    pub from: Option<String>,
    /// What the second class says; none: it has no such figure.
    pub to: Option<String>,
    /// What the second class's rulebook says, in short.
    pub wording: Option<String>,
}

/// What a robot would have to change to enter a class.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Entering {
    /// The robot.
    pub robot: String,
    /// Whether it is legal in the first class, and in the second.
    pub legal: [bool; 2],
    /// Odds of passing all that is measured in the second class, 0 to 1.
    pub odds: f64,
    /// What it would have to change, and by how much.
    pub changes: Vec<String>,
    /// The rows of the second class that it breaks or comes close to.
    pub rows: Vec<InspectionRow>,
}

/// Two classes side by side.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct ClassComparison {
    /// `ringwright/class-comparison/1`.
    pub schema: String,
    /// The first class.
    pub from: String,
    /// The second class.
    pub to: String,
    /// In what they differ.
    pub differences: Vec<FigureDifference>,
    /// What the robot would have to change, if one was named.
    pub entering: Option<Entering>,
}

impl From<&Difference> for FigureDifference {
    fn from(d: &Difference) -> Self {
        let [from, to] = &d.says;
        Self {
            section: d.group.into(),
            figure: d.name.clone(),
            from: from.as_ref().map(|f| f.value.clone()),
            to: to.as_ref().map(|f| f.value.clone()),
            wording: to.as_ref().map(|f| f.wording.to_string()),
        }
    }
}

/// What would bring a row inside its limit.
fn change(row: &Row) -> Option<String> {
    let less = match row.rule.as_str() {
        "mass" => "lighter",
        "least mass" => "heavier",
        "length" => "shorter",
        "width" => "narrower",
        "height" => "lower",
        "least length" => "longer",
        "least width" => "wider",
        _ => "",
    };
    match row.verdict {
        Verdict::Fail => {
            let by = row.margin.map(|m| -m).filter(|m| *m > 0.0);
            Some(match (by, row.unit) {
                (Some(m), "kg") => format!("{:.1} g {less}: {}", 1e3 * m, row.limit_text),
                (Some(m), "m") => format!("{:.1} mm {less}: {}", 1e3 * m, row.limit_text),
                // Exactly on a limit that is itself too much.
                _ if !less.is_empty() => format!("a little {less}: {}", row.limit_text),
                _ => format!("{}: {}", row.rule.replace('-', " "), row.ours_text),
            })
        }
        Verdict::Close => row.odds.map(|odds| {
            format!(
                "measure the {}: it passes {:.0} times of 100",
                row.rule,
                100.0 * odds
            )
        }),
        Verdict::Pass | Verdict::AskTheJudge => None,
    }
}

impl Entering {
    fn of(setting: &Setting, from: &Class, to: &Class) -> Self {
        let [here, there] = [from, to].map(|class| inspect(&setting.robot, class));
        let rows = there.rows.iter();
        let wrong = rows.filter(|r| matches!(r.verdict, Verdict::Fail | Verdict::Close));
        Self {
            robot: setting.robot.name.clone(),
            legal: [here.legal(), there.legal()],
            odds: there.odds(),
            changes: wrong.clone().filter_map(change).collect(),
            rows: wrong.map(InspectionRow::from).collect(),
        }
    }
}

impl ClassComparison {
    /// The classes `from` and `to`, by name or file; and what `robot` would have to change.
    ///
    /// # Errors
    /// When there is no such class or robot, and everything wrong in their files.
    pub fn of(
        from: &str,
        to: &str,
        robot: Option<&str>,
        home: Option<&Path>,
    ) -> Result<Self, Trouble> {
        let classes = library(home)?.1;
        let [from, to] = [class_named(from, &classes)?, class_named(to, &classes)?];
        let entering = match robot {
            Some(robot) => {
                let setting = Setting::alone(robot, None, home)?;
                Some(Entering::of(&setting, &from, &to))
            }
            None => None,
        };
        Ok(Self {
            schema: "ringwright/class-comparison/1".into(),
            differences: (differences(&from, &to).iter())
                .map(FigureDifference::from)
                .collect(),
            from: from.name,
            to: to.name,
            entering,
        })
    }

    /// Whether the robot is legal in the second class; true if none was named.
    #[must_use]
    pub fn may_enter(&self) -> bool {
        self.entering.as_ref().is_none_or(|e| e.legal[1])
    }

    /// As text.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let mut s = Sheet::new(layout);
        s.title(&format!("From {} to {}", self.from, self.to));
        if self.differences.is_empty() {
            s.gap();
            s.paragraph("They say the same.");
        }
        let none = || "not said".to_owned();
        for group in GROUPS {
            let mut of = (self.differences.iter())
                .filter(|d| d.section == group)
                .peekable();
            if of.peek().is_none() {
                continue;
            }
            s.heading(heading(group));
            let mut table = Table::new(&["Figure", &self.from, &self.to]);
            for d in of {
                table.row([
                    d.figure.replace('-', " "),
                    d.from.clone().unwrap_or_else(none),
                    d.to.clone().unwrap_or_else(none),
                ]);
            }
            s.table(&table);
        }
        if let Some(e) = &self.entering {
            self.entering_text(&mut s, e);
        }
        s.finish()
    }

    fn entering_text(&self, s: &mut Sheet, e: &Entering) {
        s.heading(&format!("What {} would have to change", e.robot));
        if !e.legal[0] {
            s.paragraph(&format!("It is not legal in {} either.", self.from));
        }
        for change in &e.changes {
            s.point("–", change);
        }
        if e.changes.is_empty() {
            s.paragraph("Nothing that the files can show.");
        } else if e.legal[1] {
            s.paragraph(&format!(
                "As the file has it, it passes all that is measured {:.0} times of 100.",
                100.0 * e.odds
            ));
        }
        s.aside("A ring, border or start of another kind changes how it fares: ringwright report --class tells.");
        s.gap();
        if e.legal[1] {
            s.last(Ink::Good, &format!("Finished: legal in {}.", self.to));
        } else {
            s.last(Ink::Bad, &format!("Finished: not legal in {}.", self.to));
        }
    }
}
