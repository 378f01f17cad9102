//! What a robot will weigh, and how sure that is.

use std::collections::BTreeMap;

use robot::Robot;

/// Mass of a whole robot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighed {
    /// Sum of all parts in kg.
    pub mass_kg: f64,
    /// Half-width in kg of the range one would bet 19 to 1 on.
    pub spread_kg: f64,
}

/// Adds up the masses of all parts.
///
/// Spreads of different parts add in quadrature, as independent errors do. Copies of one
/// parts-box entry share what is not known about it (they carry the same path), so that adds up
/// straight: four wheels from one bag are all light or all heavy. What varies is each copy's own.
#[must_use]
pub fn weigh(robot: &Robot) -> Weighed {
    let mut mass_kg = 0.0;
    let mut shared: BTreeMap<&str, f64> = BTreeMap::new();
    let mut squares = 0.0;
    for item in robot.items() {
        mass_kg += item.mass.si();
        *shared.entry(item.mass.path()).or_insert(0.0) += item.mass.unsure();
        squares += item.mass.varies() * item.mass.varies();
    }
    squares += shared.values().map(|s| s * s).sum::<f64>();
    Weighed {
        mass_kg,
        spread_kg: squares.sqrt(),
    }
}

/// Names and masses in kg of the heaviest parts, heaviest first, at most `count`.
#[must_use]
pub(crate) fn heaviest(robot: &Robot, count: usize) -> Vec<(&str, f64)> {
    let mut items: Vec<(&str, f64)> = robot
        .items()
        .map(|i| (i.name.as_str(), i.mass.si()))
        .collect();
    items.sort_by(|a, b| b.1.total_cmp(&a.1));
    items.truncate(count);
    items
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_robot::{Boxy, g, item};

    #[test]
    fn masses_of_all_sections_add_up() {
        // 120 g body part, battery 100 g, driver 10 g, board 8 g, two wheels of 14 g
        let robot = Boxy::default().wheels(2, g(14.0)).build();
        assert!((weigh(&robot).mass_kg - 0.266).abs() < 1e-12);
        assert!(weigh(&robot).spread_kg.abs() < 1e-15);
    }

    #[test]
    fn copies_share_what_is_not_known_and_differ_in_what_varies() {
        let unsure = Boxy::default()
            .wheels(4, g(14.0).with_spread(0.001, 0.0))
            .build();
        assert!((weigh(&unsure).spread_kg - 0.004).abs() < 1e-12, "4 × 1 g");
        let varies = Boxy::default()
            .wheels(4, g(14.0).with_spread(0.0, 0.001))
            .build();
        assert!((weigh(&varies).spread_kg - 0.002).abs() < 1e-12, "√4 × 1 g");
    }

    #[test]
    fn different_parts_add_in_quadrature() {
        let mut robot = Boxy::default().build();
        robot.parts[0].mass = robot.parts[0].mass.clone().with_spread(0.003, 0.0);
        robot
            .parts
            .push(item("plate", g(20.0).with_spread(0.0, 0.004)));
        assert!(
            (weigh(&robot).spread_kg - 0.005).abs() < 1e-12,
            "√(3² + 4²) g"
        );
    }

    #[test]
    fn the_heaviest_come_first() {
        let robot = Boxy::default().build();
        let names: Vec<&str> = heaviest(&robot, 2).into_iter().map(|h| h.0).collect();
        assert_eq!(names, ["body", "battery"]);
    }
}
