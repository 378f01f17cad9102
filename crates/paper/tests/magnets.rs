//! Robots with magnets on paper: on steel and on other rings.

use paper::{Paper, examine};
use robot::{PartsBox, Robot};
use rules::{Class, Classes};

fn class(name: &str) -> Class {
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    classes
        .find(name)
        .unwrap_or_else(|_| panic!("no {name}"))
        .clone()
}

/// The mega robot `mastiff` with two bars of magnets this high up.
fn magnetic(gap_mm: f64) -> Robot {
    let text = shelf::file("robots/mega/mastiff.toml").expect("it is there");
    let magnet = |name: &str, y: i32| {
        format!(
            "\n[[magnet]]\nname = \"{name}\"\npart = \"magnet-bar-40\"\ngap = \"{gap_mm} mm\"\n\
             at = [\"0 mm\", \"{y} mm\"]\n"
        )
    };
    read(&format!(
        "{text}{}{}",
        magnet("left bar", 40),
        magnet("right bar", -40)
    ))
}

fn read(text: &str) -> Robot {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let lookup = |name: &str| shelf::file(&format!("robots/tactics/{name}"));
    robot::read("mastiff.toml", text, &parts, &lookup).unwrap_or_else(|e| panic!("{e:#?}"))
}

fn paper(robot: &Robot, class: &Class) -> Paper {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let tactic = tactic::parse(&robot.tactic.file, &robot.tactic.text).expect("it reads");
    examine(robot, class, &tactic, &parts)
}

/// The pull of the law at the gap that is left when the tyres have given way under it.
#[test]
fn a_steel_ring_adds_the_pull_to_what_the_supports_carry() {
    let robot = magnetic(2.0);
    let (wood, steel) = (
        paper(&robot, &class("mega")),
        paper(&robot, &class("mega-steel")),
    );
    let carried = |p: &Paper| -> f64 {
        let f = p.footing.as_ref().expect("it stands");
        f.supports.iter().map(|s| s.load_n).sum()
    };
    let weight = robot.mass_properties(&quantity::Draws::nominal()).mass_kg
        * quantity::maths::STANDARD_GRAVITY;
    assert!((carried(&wood) / weight - 1.0).abs() < 1e-6);
    let pull = steel.footing.as_ref().expect("it stands").pull_n();
    assert!((carried(&steel) / (weight + pull) - 1.0).abs() < 1e-6);
    // 2 mm without any give: 2 × 120 N/1.8². The tyres give some tenths of a millimetre.
    let stiff = 240.0 / (1.8 * 1.8);
    assert!(pull > stiff && pull < 1.35 * stiff, "{pull}");
}

#[test]
fn grip_grows_with_the_pull_and_falls_with_the_gap() {
    let steel = class("mega-steel");
    let drive = |gap| {
        let d = paper(&magnetic(gap), &steel).drive.expect("it drives");
        (d.grip_n, d.motors_push_n)
    };
    let ((near_grip, near_motors), (far_grip, far_motors)) = (drive(1.5), drive(6.0));
    assert!(near_grip > 1.8 * far_grip, "{near_grip} {far_grip}");
    assert!((near_motors / far_motors - 1.0).abs() < 1e-9);
}

#[test]
fn magnets_are_no_fault_on_steel_idle_on_board_and_forbidden_in_mini() {
    let robot = magnetic(2.0);
    let names = |class: &str| -> Vec<&str> {
        let found = rules::inspect(&robot, &self::class(class));
        found.findings.iter().map(|f| f.name).collect()
    };
    for (class, name, told) in [
        ("mega-steel", "magnets-idle", false),
        ("mega-steel", "weighed-only", false),
        ("mega-steel", "forbidden-part", false),
        ("mega", "magnets-idle", true),
        ("mini", "forbidden-part", true),
    ] {
        assert_eq!(names(class).contains(&name), told, "{class}: {name}");
    }
    // Called anything else it is a magnet still.
    let mut disguised = robot.clone();
    for m in &mut disguised.magnets {
        m.item.name = format!("brick {}", m.item.at[1].si());
        m.item.part = None;
    }
    let found = rules::inspect(&disguised, &class("mini"));
    assert!(found.findings.iter().any(|f| f.name == "forbidden-part"));
}
