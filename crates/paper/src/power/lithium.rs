//! Lithium packs: the limits of a cell, and what goes with owning one.
//!
//! 4.20 V full, 3.8 V to store, about 3.0 V under load as the end, charging at 1C: tk233.gitbook.io,
//! "LiPo Safety" (read there); storage near 3.8 V and 4.20 V full also commonsenserc.com. On the end of
//! discharging sources disagree (2.5 to 3.7 V): the pack maker's figure comes first.

use laws::battery::Chemistry;
use quantity::{Charge, Current, Voltage, show_si};
use robot::{Finding, Robot, Severity};

use super::currents::Stalled;
use super::wires::Fuse;

/// Full, V a cell.
pub const FULL_V: f64 = 4.20;
/// To store, V a cell.
pub const STORE_V: f64 = 3.8;
/// End of discharging under load, V a cell.
pub const EMPTY_V: f64 = 3.0;

/// The limits of a lithium pack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lithium {
    /// Cells in series.
    pub cells: u32,
    /// Whether the file says so; else counted from the voltage.
    pub cells_stated: bool,
    /// Full, V.
    pub full_v: f64,
    /// To store, V.
    pub store_v: f64,
    /// End of discharging under load, V.
    pub empty_v: f64,
    /// Charging current at 1C, A.
    pub charge_a: f64,
    /// What is in it when full, J.
    pub energy_j: f64,
}

impl Lithium {
    /// The limits; none of a pack of another chemistry. Cells are counted as the fewest that are not
    /// overcharged at the pack's voltage (within 1 %).
    pub(super) fn of(robot: &Robot) -> Option<Self> {
        let battery = &robot.battery;
        if Chemistry::named(&battery.chemistry) != Chemistry::Lithium {
            return None;
        }
        let counted = (1..=30).find(|n| battery.voltage.si() <= 1.01 * FULL_V * f64::from(*n));
        let cells = robot.wiring.cells.or(counted)?;
        let n = f64::from(cells);
        Some(Self {
            cells,
            cells_stated: robot.wiring.cells.is_some(),
            full_v: FULL_V * n,
            store_v: STORE_V * n,
            empty_v: EMPTY_V * n,
            charge_a: battery.capacity.si() / 3600.0,
            energy_j: battery.capacity.si() * battery.voltage.si(),
        })
    }

    /// What is to be said about it: the cautions always, and a warning where a shove pulls the cells
    /// below their end.
    pub(super) fn findings(
        &self,
        robot: &Robot,
        stalled: &Stalled,
        fuse: Option<&Fuse>,
    ) -> Vec<Finding> {
        let battery = &robot.battery;
        let place = Some(battery.item.place.clone());
        let fused = fuse.map_or_else(
            || "Fuse its lead close to the pack".to_owned(),
            |f| {
                let rating = show_si::<Current>(f.rating_a);
                format!("Fuse its lead close to the pack ({rating})")
            },
        );
        let cells = if self.cells == 1 { "cell" } else { "cells" };
        let mut found = vec![Finding {
            name: "lithium-pack",
            severity: Severity::Note,
            what: format!(
                "The pack is {} ({} {cells}): lithium cells burn when abused.",
                battery.chemistry, self.cells
            ),
            why: format!(
                "A pierced, shorted, overcharged or deeply discharged lithium cell can vent and catch \
                 fire; this pack holds {:.1} kJ and gives {} into a short.",
                1e-3 * self.energy_j,
                show_si::<Current>(stalled.open_v / battery.resistance.si().max(1e-4))
            ),
            mend: format!(
                "{fused}; charge it watched, in a fire-resistant place, with a charger for lithium that \
                 balances, to {} at up to {} (1C of {}) or as its maker says; stop at about {} under load; \
                 store it at about {}; throw out a swollen or crashed one. The maker's papers, the event's \
                 rules, your school's and a responsible adult come first.",
                show_si::<Voltage>(self.full_v),
                show_si::<Current>(self.charge_a),
                show_si::<Charge>(battery.capacity.si()),
                show_si::<Voltage>(self.empty_v),
                show_si::<Voltage>(self.store_v)
            ),
            place: place.clone(),
        }];
        if stalled.volts < self.empty_v {
            found.push(Finding {
                name: "lithium-too-low",
                severity: Severity::Warning,
                what: format!(
                    "Full as it is, a shove pulls the pack down to {}: {} a cell.",
                    show_si::<Voltage>(stalled.volts),
                    show_si::<Voltage>(stalled.volts / f64::from(self.cells))
                ),
                why: format!(
                    "Everything stalled draws {} from {} behind its resistance; below about {EMPTY_V:.1} V a \
                     cell under load ({} in all) lithium cells are spoiled.",
                    show_si::<Current>(stalled.pack_a),
                    show_si::<Voltage>(stalled.open_v),
                    show_si::<Voltage>(self.empty_v)
                ),
                mend: "Take a pack that gives more current (bigger, or of a higher C rating), lower the \
                       driver's current limit, or measure the pack's resistance before you trust this."
                    .into(),
                place,
            });
        }
        found
    }
}
