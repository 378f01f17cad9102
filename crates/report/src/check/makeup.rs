//! What the robot is made of: mass and money, the heaviest part first.

use quantity::Draws;
use serde::Serialize;

use super::Examined;
use super::sections::Section;
use crate::number::percent;
use crate::text::{Sheet, Table};

/// Rows told in text; the others are summed up.
const ROWS: usize = 14;

/// One part.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct MakeupLine {
    /// Its name in the robot file.
    pub name: String,
    /// Its entry in the parts box, if it comes from there.
    pub part: Option<String>,
    /// Mass in kg.
    pub mass_kg: f64,
    /// Share of the robot's mass.
    pub mass_share: f64,
    /// Price, if it has one.
    pub price: Option<f64>,
    /// Where its middle is, in m: forward of the middle, left, above the ring.
    pub at_m: [f64; 3],
}

/// What the robot is made of.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Makeup {
    /// Every part, the heaviest first.
    pub lines: Vec<MakeupLine>,
    /// Mass of all in kg.
    pub mass_kg: f64,
    /// Price of those that have one.
    pub price: f64,
}

impl Section for Makeup {
    const TITLE: &'static str = "What it is made of";

    fn of(e: &Examined<'_>) -> Option<Self> {
        let robot = &e.setting.robot;
        let mass_kg = robot.mass_properties(&Draws::nominal()).mass_kg;
        let mut lines: Vec<MakeupLine> = (robot.items())
            .map(|i| MakeupLine {
                name: i.name.clone(),
                part: i.part.clone(),
                mass_kg: i.mass.si(),
                mass_share: i.mass.si() / mass_kg.max(1e-12),
                price: i.price,
                at_m: i.at.each_ref().map(quantity::Figure::si),
            })
            .collect();
        lines.sort_by(|a, b| b.mass_kg.total_cmp(&a.mass_kg));
        let price = e.paper.budget.price;
        Some(Self {
            lines,
            mass_kg,
            price,
        })
    }

    fn text(&self, s: &mut Sheet) {
        let mut table =
            Table::new(&["Part", "From the parts box", "Mass", "Share", "Price"]).right(&[2, 3, 4]);
        for l in self.lines.iter().take(ROWS) {
            table.row([
                l.name.clone(),
                l.part.clone().unwrap_or_default(),
                format!("{:.1} g", 1e3 * l.mass_kg),
                percent(l.mass_share),
                l.price.map_or(String::new(), |p| format!("{p:.2}")),
            ]);
        }
        let rest = self.lines.get(ROWS..).unwrap_or_default();
        if !rest.is_empty() {
            let mass: f64 = rest.iter().map(|l| l.mass_kg).sum();
            table.row([
                format!("{} lighter parts", rest.len()),
                String::new(),
                format!("{:.1} g", 1e3 * mass),
                percent(mass / self.mass_kg.max(1e-12)),
                format!("{:.2}", rest.iter().filter_map(|l| l.price).sum::<f64>()),
            ]);
        }
        table.row([
            "all".to_owned(),
            String::new(),
            format!("{:.1} g", 1e3 * self.mass_kg),
            String::new(),
            format!("{:.2}", self.price),
        ]);
        s.table(&table);
    }
}
