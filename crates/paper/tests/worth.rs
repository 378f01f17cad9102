//! What sensors and gadgets are good for: told of those that do nothing, silent about all others.

use paper::{Paper, Use, examine};
use robot::{PartsBox, Robot};
use rules::Classes;

fn read(file: &str, text: &str, program: Option<&str>) -> Robot {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let lookup = |name: &str| match program {
        Some(p) => Some(p.to_owned()),
        None => shelf::file(&format!("robots/{name}"))
            .or_else(|| shelf::file(&format!("robots/tactics/{name}"))),
    };
    robot::read(file, text, &parts, &lookup).unwrap_or_else(|e| panic!("{e:#?}"))
}

fn on_paper(robot: &Robot) -> Paper {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let class = classes.find(robot.class.as_deref().unwrap_or("mini"));
    let t = &robot.tactic;
    let tactic = tactic::parse(&t.file, &t.text).unwrap_or_else(|e| panic!("{e:#?}"));
    examine(robot, class.expect("it is there"), &tactic, &parts)
}

fn uses(paper: &Paper, name: &str) -> Use {
    let found = paper.worth.iter().find(|w| w.name == name);
    found.expect("it is listed").used
}

fn told(paper: &Paper, name: &str) -> usize {
    paper.findings.iter().filter(|f| f.name == name).count()
}

fn demo(edit: impl Fn(&str) -> String) -> Paper {
    let robot = shelf::file("robots/demo.toml").expect("it is there");
    let program = shelf::file("robots/demo.tactic").expect("it is there");
    on_paper(&read("demo.toml", &robot, Some(&edit(&program))))
}

#[test]
fn the_demo_never_reads_its_right_sensor_and_uses_all_others() {
    let p = demo(str::to_owned);
    assert_eq!(uses(&p, "right"), Use::Never);
    for name in ["centre", "left", "edge-left", "edge-right"] {
        assert_eq!(uses(&p, name), Use::Counts, "{name}");
    }
    assert_eq!(told(&p, "sensor-never-read"), 1);
    assert_eq!(told(&p, "sensor-changes-nothing"), 0);
    let right = p.worth.iter().find(|w| w.name == "right").expect("listed");
    // The parts box: 4 g, 7 in price, 30 mA.
    assert!((right.mass_kg - 0.004).abs() < 1e-12 && right.price == Some(7.0));
    assert!(
        (right.current_a - 0.03).abs() < 0.016,
        "{}",
        right.current_a
    );
}

#[test]
fn a_sensor_asked_for_what_it_cannot_read_changes_nothing_and_its_cost_is_told() {
    // It sees to 400 mm and is asked whether something is beyond 900 mm.
    let p = demo(|t| {
        t.replace(
            "    left sees: drive -30 % 80 %",
            "    left sees: drive -30 % 80 %\n    right sees beyond 900 mm: drive 80 % -30 %",
        )
    });
    assert_eq!(uses(&p, "right"), Use::ChangesNothing);
    let finding = p
        .findings
        .iter()
        .find(|f| f.name == "sensor-changes-nothing");
    let finding = finding.expect("it is told");
    assert!(
        finding.why.contains("4 g, 7 in price and"),
        "{}",
        finding.why
    );
    let near = demo(|t| {
        t.replace(
            "    left sees: drive -30 % 80 %",
            "    left sees: drive -30 % 80 %\n    right sees beyond 90 mm: drive 80 % -30 %",
        )
    });
    assert_eq!(uses(&near, "right"), Use::Counts);
    assert_eq!(told(&near, "sensor-changes-nothing"), 0);
}

#[test]
fn a_rule_that_orders_the_same_as_the_next_makes_its_sensor_dead_weight() {
    let same = demo(|t| {
        t.replace(
            "    otherwise: drive 50 % 50 %",
            "    right sees: drive 50 % 50 %\n    otherwise: drive 50 % 50 %",
        )
    });
    assert_eq!(uses(&same, "right"), Use::ChangesNothing);
    let other = demo(|t| {
        t.replace(
            "    otherwise: drive 50 % 50 %",
            "    right sees: drive 80 % -30 %\n    otherwise: drive 50 % 50 %",
        )
    });
    assert_eq!(uses(&other, "right"), Use::Counts);
}

/// Robots of the fields that carry a sensor their program does not ask, on purpose.
const CARELESS: [&str; 2] = ["robots/mega/maypole.toml", "robots/mini/steeple.toml"];

#[test]
fn every_sensor_and_gadget_of_the_fields_does_something() {
    let mut looked = 0;
    for class in ["mini", "mega", "micro", "nano"] {
        for (path, text) in shelf::files(&format!("robots/{class}")) {
            let p = on_paper(&read(&path, &text, None));
            for w in &p.worth {
                looked += 1;
                let fine = match w.used {
                    Use::Counts | Use::ByItself => true,
                    Use::Never => CARELESS.contains(&path.as_str()),
                    Use::ChangesNothing => false,
                };
                assert!(fine, "{path}: {} {:?}", w.name, w.used);
            }
        }
    }
    assert!(looked > 200, "{looked}");
}
