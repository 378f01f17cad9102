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
    /// Current in A it draws all the time, if it draws any; of a gadget, stalled.
    pub current_a: Option<f64>,
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
    /// Current in A of the board and all sensors, the motors still.
    pub idle_a: f64,
    /// Current in A with both sides stalled.
    pub stalled_a: f64,
}

/// Current in A of the thing called `name`, if it draws any.
fn current_of(robot: &robot::Robot, name: &str) -> Option<f64> {
    let sensor = (robot.sensors.iter())
        .find(|s| s.item.name == name)
        .map(|s| s.current.si());
    let board = (robot.board.item.name == name).then(|| robot.board.current.si());
    let gadget = || {
        let g = robot.gadgets.iter().find(|g| g.item.name == name)?;
        Some(g.drive.as_ref()?.stall_current.si())
    };
    sensor.or(board).or_else(gadget)
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
                current_a: current_of(robot, &i.name),
                at_m: i.at.each_ref().map(quantity::Figure::si),
            })
            .collect();
        lines.sort_by(|a, b| b.mass_kg.total_cmp(&a.mass_kg));
        let budget = &e.paper.budget;
        Some(Self {
            lines,
            mass_kg,
            price: budget.price,
            idle_a: budget.idle_a,
            stalled_a: budget.stalled_a,
        })
    }

    fn text(&self, s: &mut Sheet) {
        let mut table = Table::new(&[
            "Part",
            "From the parts box",
            "Mass",
            "Share",
            "Price",
            "Current",
        ])
        .right(&[2, 3, 4, 5]);
        let milliamperes = |a: f64| format!("{:.0} mA", 1e3 * a);
        for l in self.lines.iter().take(ROWS) {
            table.row([
                l.name.clone(),
                l.part.clone().unwrap_or_default(),
                format!("{:.1} g", 1e3 * l.mass_kg),
                percent(l.mass_share),
                l.price.map_or(String::new(), |p| format!("{p:.2}")),
                l.current_a.map_or(String::new(), milliamperes),
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
                milliamperes(rest.iter().filter_map(|l| l.current_a).sum()),
            ]);
        }
        table.row([
            "all".to_owned(),
            String::new(),
            format!("{:.1} g", 1e3 * self.mass_kg),
            String::new(),
            format!("{:.2}", self.price),
            milliamperes(self.idle_a),
        ]);
        s.table(&table);
        s.aside(&format!(
            "The current at the foot is that of board and sensors; with both sides stalled the pack gives \
             {:.1} A.",
            self.stalled_a
        ));
    }
}
