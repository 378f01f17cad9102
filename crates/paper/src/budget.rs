//! Mass, price, current, parts list.

use std::collections::BTreeMap;

use quantity::Draws;
use robot::{Finding, Place, Robot, Severity};
use rules::Class;

use crate::Drive;

/// Share of the mass limit that may stay unused without a word.
const UNUSED_SHARE: f64 = 0.05;

/// One line of the parts list.
#[derive(Debug, Clone, PartialEq)]
pub struct PartLine {
    /// Parts-box entry, or the name in the file.
    pub part: String,
    /// How many.
    pub count: u32,
    /// Mass of all of them in kg.
    pub mass_kg: f64,
    /// Price of all of them; none if not all are priced.
    pub price: Option<f64>,
}

/// The budget.
#[derive(Debug, Clone, PartialEq)]
pub struct Budget {
    /// Parts, by name.
    pub parts: Vec<PartLine>,
    /// Mass in kg.
    pub mass_kg: f64,
    /// Mass limit of the class in kg.
    pub limit_kg: f64,
    /// Price of all parts that have one.
    pub price: f64,
    /// Parts without a price.
    pub unpriced: u32,
    /// Current with the motors still, A.
    pub idle_a: f64,
    /// Current with the motors stalled at full effort, A.
    pub stalled_a: f64,
    /// Time in s for which the pack lasts at half the stall current.
    pub lasts_s: f64,
}

impl Budget {
    /// The budget of `robot` in `class`.
    #[must_use]
    pub fn of(robot: &Robot, class: &Class, drive: &Drive) -> Self {
        let mut lines: BTreeMap<String, PartLine> = BTreeMap::new();
        let (mut price, mut unpriced) = (0.0, 0);
        for item in robot.items() {
            let name = item.part.clone().unwrap_or_else(|| item.name.clone());
            let line = lines.entry(name.clone()).or_insert(PartLine {
                part: name,
                count: 0,
                mass_kg: 0.0,
                price: Some(0.0),
            });
            line.count += 1;
            line.mass_kg += item.mass.si();
            line.price = line.price.zip(item.price).map(|(a, b)| a + b);
            match item.price {
                Some(p) => price += p,
                None => unpriced += 1,
            }
        }
        let idle_a = laws::supply::idle_a(robot, &Draws::nominal());
        let working = 0.5 * (idle_a + drive.stalled_a);
        Self {
            parts: lines.into_values().collect(),
            mass_kg: robot.mass_properties(&Draws::nominal()).mass_kg,
            limit_kg: class.robot.mass_kg.value.si,
            price,
            unpriced,
            idle_a,
            stalled_a: drive.stalled_a,
            lasts_s: if working > 0.0 {
                robot.battery.capacity.si() / working
            } else {
                f64::INFINITY
            },
        }
    }

    /// Mass in kg up to the limit; negative above it.
    #[must_use]
    pub fn unused_kg(&self) -> f64 {
        self.limit_kg - self.mass_kg
    }

    /// What is to be said about it; `driven_share` is the share of the weight on driven wheels.
    pub(crate) fn findings(&self, robot: &Robot, drive: &Drive, driven_share: f64) -> Vec<Finding> {
        let mut found = Vec::new();
        let unused = self.unused_kg();
        if unused > UNUSED_SHARE * self.limit_kg {
            found.push(Finding {
                name: "mass-unused",
                severity: Severity::Warning,
                what: format!("{:.0} g of the mass limit are unused.", 1e3 * unused),
                why: format!(
                    "It weighs {:.0} g of {:.0} g. Grip grows with load: over the driven wheels \
                     they would let the tyres hold about {:.0} % more (now {:.2} N).",
                    1e3 * self.mass_kg,
                    1e3 * self.limit_kg,
                    100.0 * unused / (self.mass_kg * driven_share.max(1e-6)),
                    drive.grip_n
                ),
                mend: "Add ballast low and over the driven wheels; leave 2 g for the scale.".into(),
                place: Some(Place::whole(&robot.file)),
            });
        }
        found
    }
}
