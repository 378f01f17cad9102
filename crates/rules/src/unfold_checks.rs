//! Gadgets that reach out, worked by hand.

use quantity::{Angle, Figure, Origin};
use robot::{Gadget, GadgetKind, Moved, Plate, Robot, Travel};

use crate::test_robot::{Boxy, g, item, mm};
use crate::{Class, Classes, Verdict, inspect, unfolded};

fn angle(deg: f64) -> Figure<Angle> {
    Figure::new(deg.to_radians(), Origin::Stated, "test")
}

/// A box of 90 × 90 × 60 mm with a sheet of 40 mm whose edge looks `facing`, moved by a gadget.
fn with(kind: GadgetKind, tip: [f64; 3], facing: f64, hinge: [f64; 3], travel: f64) -> Robot {
    let mut robot = Boxy {
        length_mm: 90.0,
        width_mm: 90.0,
        ..Boxy::default()
    }
    .build();
    robot.gadgets.push(Gadget {
        item: item("mover", g(20.0)),
        kind,
        moved: Moved::Plate(Plate {
            tip: tip.map(mm),
            facing: angle(facing),
            width: mm(20.0),
            length: mm(40.0),
            angle: angle(0.0),
            edge: mm(0.5),
            friction: Figure::new(0.3, Origin::Stated, "test"),
        }),
        moving_mass: g(10.0),
        hinge: hinge.map(mm),
        travel: Travel::Turn(angle(travel)),
        droop: None,
        ends: ["in".into(), "out".into()],
        drive: None,
    });
    robot
}

#[track_caller]
fn sides_mm(robot: &Robot, expected: [f64; 3]) {
    let out = unfolded(robot);
    for (side, mm) in out.sides.iter().zip(expected) {
        let found = 1e3 * side.length_m;
        assert!((found - mm).abs() < 0.05, "{found} for {mm}");
    }
}

#[test]
fn a_lifter_that_turns_upright_adds_height() {
    // Edge 30 mm ahead, level 10 mm up, hinge 40 mm behind the edge: upright it stands 50 mm high, the
    // body is 60 mm; with the hinge at 40 mm it stands 80 mm high. All of it stays over the body.
    let robot = with(
        GadgetKind::Lifter,
        [30.0, 0.0, 10.0],
        0.0,
        [-10.0, 0.0, 10.0],
        90.0,
    );
    sides_mm(&robot, [90.0, 90.0, 60.0]);
    let robot = with(
        GadgetKind::Lifter,
        [30.0, 0.0, 40.0],
        0.0,
        [-10.0, 0.0, 40.0],
        90.0,
    );
    sides_mm(&robot, [90.0, 90.0, 80.0]);
}

#[test]
fn an_arm_reaches_farthest_on_its_way() {
    // Upright hinge at the front edge (45 mm), the sheet across the robot to the left with its edge 40 mm
    // off: half way round its middle points forward. The corners of the edge, 10 mm to each side, are
    // √(40² + 10²) = 41.23 mm from the hinge: 86.23 mm forward of the middle, 131.23 mm in all.
    let robot = with(
        GadgetKind::Arm,
        [45.0, 40.0, 30.0],
        90.0,
        [45.0, 0.0, 30.0],
        -180.0,
    );
    let out = unfolded(&robot);
    assert!(
        (1e3 * out.sides[0].length_m - 131.23).abs() < 0.3,
        "{out:?}"
    );
    // At the start one corner of it stands 10 mm out.
    let start = crate::extent(&robot);
    assert!(
        (1e3 * start.sides[0].length_m - 100.0).abs() < 1e-9,
        "{start:?}"
    );
}

#[test]
fn a_class_that_forbids_unfolding_names_what_unfolds() {
    let forbids = {
        let text = "title = \"T\"\ninherits = \"mini\"\n[sources.t]\ntitle = \"T\"\nfound = \"\"\ndate = \"\"\n\
                    [robot.unfolding]\nvalue = \"nothing\"\nsource = \"t\"\nwording = \"nothing unfolds\"\n";
        let all = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
        Class::read("t.toml", text, &all).unwrap_or_else(|e| panic!("{e:#?}"))
    };
    let out = with(
        GadgetKind::Arm,
        [20.0, 40.0, 30.0],
        90.0,
        [40.0, 0.0, 30.0],
        -180.0,
    );
    let found = inspect(&out, &forbids);
    assert_eq!(
        found.row("unfolding").map(|r| r.verdict),
        Some(Verdict::Fail)
    );
    let finding = found.findings.iter().find(|f| f.name == "unfolds");
    assert!(
        finding.is_some_and(|f| f.what.contains("mover")),
        "{finding:?}"
    );
    let within = with(
        GadgetKind::Lifter,
        [30.0, 0.0, 10.0],
        0.0,
        [-10.0, 0.0, 10.0],
        90.0,
    );
    let row = inspect(&within, &forbids).row("unfolding").cloned();
    let row = row.expect("there is such a row");
    assert_eq!(row.verdict, Verdict::Pass);
    assert!(row.ours_text.contains("within"), "{}", row.ours_text);
}
