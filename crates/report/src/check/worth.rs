//! What each sensor and gadget is good for, and what it costs.

use paper::{Paper, Use, Worth};
use serde::Serialize;

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
