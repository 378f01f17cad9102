//! What there is: classes, parts, the field.

use std::path::Path;

use robot::PartsBox;
use rules::{Class, Classes, Start};
use serde::Serialize;

use crate::setting::{Opponent, Trouble, home_option, id_of, quoted};
use crate::text::{Layout, Sheet, Table};
use crate::words::style_name;

/// A class in the list.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct ClassLine {
    /// Its name on the command line.
    pub class: String,
    /// Its title.
    pub title: String,
    /// What is particular about it.
    pub about: String,
    /// Length limit in m.
    pub length_m: f64,
    /// Width limit in m.
    pub width_m: f64,
    /// Mass limit in kg.
    pub mass_kg: f64,
    /// Ring diameter in m.
    pub ring_m: f64,
    /// Motionless time after the signal in s; 0 where a remote starts both.
    pub start_delay_s: f64,
    /// Field its robots fight against.
    pub field: String,
    /// Rulebooks its figures are taken from.
    pub sources: Vec<String>,
}

/// All classes.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct ClassList {
    /// `ringwright/classes/1`.
    pub schema: String,
    /// The classes.
    pub classes: Vec<ClassLine>,
}

fn class_line(c: &Class) -> ClassLine {
    ClassLine {
        class: c.name.clone(),
        title: c.title.clone(),
        about: c.about.clone(),
        length_m: c.robot.length_m.value.si,
        width_m: c.robot.width_m.value.si,
        mass_kg: c.robot.mass_kg.value.si,
        ring_m: c.ring.diameter_m.value,
        start_delay_s: c.start_delay_s(),
        field: c.field.clone(),
        sources: c.sources.values().map(ToString::to_string).collect(),
    }
}

impl ClassList {
    /// The list.
    #[must_use]
    pub fn of(classes: &Classes) -> Self {
        Self {
            schema: "ringwright/classes/1".into(),
            classes: classes.iter().map(class_line).collect(),
        }
    }

    /// As text.
    #[must_use]
    pub fn text(&self, layout: Layout, classes: &Classes) -> String {
        let mut s = Sheet::new(layout);
        s.title("Rule classes");
        s.gap();
        let header = ["Class", "Footprint", "Mass", "Ring", "Start"];
        let mut table = Table::new(&header);
        for c in classes.iter() {
            let start = match c.bout.start.value {
                Start::Delay { still_s } => format!("after {still_s:.0} s"),
                Start::Remote { .. } => "by remote".into(),
            };
            let limit = &c.robot.mass_kg.value;
            table.row([
                c.name.clone(),
                format!(
                    "{} × {} mm",
                    in_mm(c.robot.length_m.value.si),
                    in_mm(c.robot.width_m.value.si)
                ),
                quantity::show_si::<quantity::Mass>(limit.si),
                format!("Ø {:.1} cm", 1e2 * c.ring.diameter_m.value),
                start,
            ]);
        }
        s.table(&table);
        for c in &self.classes {
            s.gap();
            s.point(&format!("{}:", c.class), &c.about);
        }
        s.heading("Rulebooks the figures are taken from");
        let mut sources: Vec<&String> = self.classes.iter().flat_map(|c| &c.sources).collect();
        sources.sort_unstable();
        sources.dedup();
        for source in sources {
            s.point("–", source);
        }
        s.gap();
        s.paragraph(
            "Rulebooks differ: each figure names the one it was taken from. Write your event's \
             differences into a class file of your own and name it with --class FILE.",
        );
        s.finish()
    }
}

/// A length in mm, with a decimal where it has one.
fn in_mm(m: f64) -> String {
    let text = format!("{:.1}", 1e3 * m);
    text.trim_end_matches(".0").to_owned()
}

/// A part in the list.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct PartEntry {
    /// What a robot file calls it.
    pub part: String,
    /// Its kind.
    pub kind: String,
    /// What it is.
    pub title: String,
    /// Mass in kg.
    pub mass_kg: f64,
    /// Price, as far as a generic part can have one.
    pub price: Option<f64>,
    /// Kits it belongs to.
    pub kits: Vec<String>,
}

/// The parts box.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct PartList {
    /// `ringwright/parts/1`.
    pub schema: String,
    /// The parts.
    pub parts: Vec<PartEntry>,
}

impl PartList {
    /// The parts of a kind, or all.
    ///
    /// # Errors
    /// When there is no part of that kind.
    pub fn of(parts: &PartsBox, kind: Option<&str>) -> Result<Self, Trouble> {
        let mut kinds: Vec<&str> = parts.entries().iter().map(|e| e.kind.as_str()).collect();
        kinds.sort_unstable();
        kinds.dedup();
        if let Some(kind) = kind
            && !kinds.contains(&kind)
        {
            return Err(Trouble::Call(format!(
                "There is no kind of part \"{kind}\"; the kinds are {}.",
                kinds.join(", ")
            )));
        }
        let mut list: Vec<PartEntry> = parts
            .entries()
            .iter()
            .filter(|e| kind.is_none_or(|k| e.kind == k))
            .map(|e| PartEntry {
                part: e.id.clone(),
                kind: e.kind.clone(),
                title: e.title.clone(),
                mass_kg: e.mass_kg,
                price: e.price,
                kits: e.kits.clone(),
            })
            .collect();
        list.sort_by(|a, b| {
            a.kind
                .cmp(&b.kind)
                .then(a.mass_kg.total_cmp(&b.mass_kg))
                .then(a.part.cmp(&b.part))
        });
        Ok(Self {
            schema: "ringwright/parts/1".into(),
            parts: list,
        })
    }

    /// As text.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let mut s = Sheet::new(layout);
        s.title("The parts box");
        s.small("Generic parts with plausible figures: replace them by what you measure.");
        s.gap();
        let mut table =
            Table::new(&["Part", "Kind", "What it is", "Mass", "Price", "Kits"]).right(&[3, 4]);
        for p in &self.parts {
            table.row([
                p.part.clone(),
                p.kind.clone(),
                p.title.clone(),
                quantity::show_si::<quantity::Mass>(p.mass_kg),
                p.price.map(|x| format!("{x:.1}")).unwrap_or_default(),
                p.kits.join(", "),
            ]);
        }
        s.table(&table);
        s.finish()
    }
}

/// A robot of a field.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct FieldLine {
    /// What a command calls it.
    pub opponent: String,
    /// Its name.
    pub name: String,
    /// Its style.
    pub style: String,
    /// Mass in kg.
    pub mass_kg: f64,
    /// Its openings.
    pub openings: Vec<String>,
}

/// A field.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct FieldList {
    /// `ringwright/field/1`.
    pub schema: String,
    /// Name of the field.
    pub field: String,
    /// The robots.
    pub opponents: Vec<FieldLine>,
    #[serde(skip)]
    #[schemars(skip)]
    home_option: String,
}

impl FieldList {
    /// The robots of a field; `home` is the user's folder, if some came from there.
    ///
    /// # Errors
    /// Everything wrong in any program.
    pub fn of(name: &str, robots: Vec<robot::Robot>, home: Option<&Path>) -> Result<Self, Trouble> {
        let mut opponents = Vec::new();
        for robot in robots {
            let tactic = crate::setting::tactic_of(&robot)?;
            let o = Opponent {
                id: id_of(&robot),
                robot,
            };
            opponents.push(FieldLine {
                opponent: o.id,
                name: o.robot.name.clone(),
                style: style_name(o.robot.style).to_owned(),
                mass_kg: o.robot.mass_properties(&quantity::Draws::nominal()).mass_kg,
                openings: tactic.opening_names(),
            });
        }
        Ok(Self {
            schema: "ringwright/field/1".into(),
            field: name.to_owned(),
            opponents,
            home_option: home_option(home),
        })
    }

    /// As text.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let mut s = Sheet::new(layout);
        s.title(&format!("The field \"{}\"", self.field));
        s.small("Invented robots. None beats all others; none is a dummy.");
        s.gap();
        let mut table = Table::new(&["Opponent", "Name", "Style", "Mass", "Openings"]).right(&[3]);
        for o in &self.opponents {
            table.row([
                o.opponent.clone(),
                o.name.clone(),
                o.style.clone(),
                quantity::show_si::<quantity::Mass>(o.mass_kg),
                o.openings.join(", "),
            ]);
        }
        s.table(&table);
        s.gap();
        s.paragraph("Check one, or let it fight:");
        if let [first, second, ..] = self.opponents.as_slice() {
            let home = &self.home_option;
            s.command(&format!(
                "ringwright check {}{home}",
                quoted(&first.opponent)
            ));
            s.command(&format!(
                "ringwright bout {} {}{home}",
                quoted(&first.opponent),
                quoted(&second.opponent)
            ));
        }
        s.finish()
    }
}
