//! What each sensor and gadget is good for, and what it costs.

use paper::{Paper, Use, Worth};
use serde::Serialize;

use super::Check;
use crate::text::{Sheet, Table};

/// One sensor or gadget.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct WorthLine {
    /// Its name.
    pub name: String,
    /// `sensor`, or the kind of gadget.
    pub kind: String,
    /// `never asked`, `never moved`, `changes nothing`, `counts`, or `works by itself`.
    pub used: String,
    /// Its mass in kg.
    pub mass_kg: f64,
    /// Its price, if it has one.
    pub price: Option<f64>,
    /// Current in A: what a sensor draws all the time, what a gadget draws stalled.
    pub current_a: f64,
}

impl From<&Worth> for WorthLine {
    fn from(w: &Worth) -> Self {
        let used = match w.used {
            Use::Never if w.kind == "sensor" => "never asked",
            Use::Never => "never moved",
            Use::ChangesNothing => "changes nothing",
            Use::Counts => "counts",
            Use::ByItself => "works by itself",
        };
        Self {
            name: w.name.clone(),
            kind: w.kind.to_owned(),
            used: used.to_owned(),
            mass_kg: w.mass_kg,
            price: w.price,
            current_a: w.current_a,
        }
    }
}

/// All of them, sensors first.
pub(super) fn of(paper: &Paper) -> Vec<WorthLine> {
    paper.worth.iter().map(WorthLine::from).collect()
}

impl Check {
    /// All of them as a table.
    pub(super) fn worth_part(&self, s: &mut Sheet) {
        if self.paper.worth.is_empty() {
            return;
        }
        s.heading("What each sensor and gadget is good for");
        let mut table =
            Table::new(&["Name", "Kind", "Use", "Mass", "Price", "Current"]).right(&[3, 4, 5]);
        for w in &self.paper.worth {
            table.row([
                w.name.clone(),
                w.kind.clone(),
                w.used.clone(),
                format!("{:.1} g", 1e3 * w.mass_kg),
                w.price.map_or(String::new(), |p| format!("{p:.2}")),
                format!("{:.0} mA", 1e3 * w.current_a),
            ]);
        }
        s.table(&table);
    }
}
