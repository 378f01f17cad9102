//! The frame as the robot file says it, and slips in it.

use robot::{Bar, Issue, JointKind, PartsBox, Robot};

const FRAME: &str = r#"
[[frame.node]]
name = "front"
at = ["40 mm", "0 mm", "8 mm"]

[[frame.node]]
name = "back"
at = ["-40 mm", "0 mm", "8 mm"]

[[frame.member]]
name = "spine"
from = "front"
to = "back"
material = "aluminium-6061-t6"
section = "tube"
width = "10 mm"
height = "12 mm"
wall = "1 mm"
of = "base plate"

[[frame.joint]]
member = "spine"
node = "back"
screws = 3
play = "0.5 deg"

[[frame.hang]]
part = "battery"
node = "back"
"#;

fn reading(frame: &str) -> Result<Robot, Vec<Issue>> {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let text = shelf::file("robots/demo.toml").expect("the demo");
    robot::read("demo.toml", &format!("{text}{frame}"), &parts, &|_| {
        Some(String::new())
    })
}

/// What is wrong with the frame above after replacing one piece of its text.
fn slips(from: &str, to: &str) -> Vec<(String, Option<String>)> {
    assert!(FRAME.contains(from), "{from}");
    let issues = reading(&FRAME.replacen(from, to, 1)).expect_err("a slip");
    issues.into_iter().map(|i| (i.what, i.suggestion)).collect()
}

fn one(from: &str, to: &str) -> (String, Option<String>) {
    let mut all = slips(from, to);
    assert_eq!(all.len(), 1, "{all:#?}");
    all.remove(0)
}

#[test]
fn a_robot_without_a_frame_section_describes_none() {
    assert_eq!(reading("").expect("the demo").frame, None);
}

#[test]
fn what_the_file_says_is_there() {
    let robot = reading(FRAME).unwrap_or_else(|e| panic!("{e:#?}"));
    let f = robot.frame.expect("it is described");
    assert_eq!((f.nodes.len(), f.members.len(), f.hangs.len()), (2, 1, 1));
    let m = &f.members[0];
    assert!(matches!(&m.bar, Bar::Tube { height, .. } if (height.si() - 0.012).abs() < 1e-12));
    assert_eq!(m.of.as_deref(), Some("base plate"));
    assert_eq!((m.ends[0].kind, m.ends[0].screws), (JointKind::Screwed, 2));
    assert_eq!(m.ends[1].screws, 3);
    assert!((m.ends[1].play.si() - 0.5_f64.to_radians()).abs() < 1e-12);
    assert_eq!(f.hangs[0].node, 1);
}

#[test]
fn a_joint_to_nowhere_is_told_with_the_ends_of_its_member() {
    let (what, perhaps) = one("node = \"back\"\nscrews", "node = \"bakc\"\nscrews");
    assert_eq!(what, "no node \"bakc\"");
    assert_eq!(perhaps.as_deref(), Some("node = \"back\""));
    let third = "[[frame.node]]\nname = \"third\"\nat = [\"0 mm\", \"9 mm\", \"8 mm\"]\n\n[[frame.member]]\nname = \"rib\"\nfrom = \"front\"\nto = \"third\"\nmaterial = \"steel\"\nsection = \"rod\"\ndiameter = \"3 mm\"\n\n[[frame.joint]]\nmember = \"rib\"\nnode = \"back\"\n\n[[frame.joint]]\nmember = \"spine\"";
    let (what, perhaps) = one("[[frame.joint]]\nmember = \"spine\"", third);
    assert_eq!(
        what,
        "the joint goes nowhere: \"rib\" does not end at \"back\""
    );
    assert_eq!(perhaps.as_deref(), Some("node = \"front\""));
}

#[test]
fn a_frame_in_pieces_is_told_with_the_node_that_is_loose() {
    let lone =
        "[[frame.node]]\nname = \"lone\"\nat = [\"0 mm\", \"9 mm\", \"8 mm\"]\n\n[[frame.member]]";
    let (what, _) = one("[[frame.member]]", lone);
    assert!(what.contains("node \"lone\" is not joined"), "{what}");
}

#[test]
fn units_off_by_a_thousand_are_told_with_the_right_length() {
    let (what, perhaps) = one("at = [\"40 mm\"", "at = [\"40 m\"");
    assert!(what.contains("beyond all sense"), "{what}");
    assert_eq!(
        perhaps.as_deref(),
        Some("at = [\"0.04 m\", \"0 mm\", \"8 mm\"]")
    );
    // What may be somewhere on a robot, but not on this one.
    let (what, _) = one("at = [\"40 mm\"", "at = [\"900 mm\"");
    assert!(what.contains("away from a robot of"), "{what}");
    let (what, perhaps) = one("width = \"10 mm\"", "width = \"10 m\"");
    assert!(what.contains("beyond all sense"), "{what}");
    assert_eq!(perhaps.as_deref(), Some("width = \"0.01 m\""));
    let (_, perhaps) = one("wall = \"1 mm\"", "wall = \"1 um\"");
    assert_eq!(perhaps.as_deref(), Some("wall = \"1 mm\""));
}

#[test]
fn what_cannot_be_is_refused() {
    for (from, to, told) in [
        (
            "play = \"0.5 deg\"",
            "play = \"-0.5 deg\"",
            "play cannot be negative",
        ),
        (
            "wall = \"1 mm\"",
            "wall = \"6 mm\"",
            "the wall leaves nothing hollow",
        ),
        (
            "to = \"back\"",
            "to = \"front\"",
            "this member ends where it begins",
        ),
        (
            "at = [\"-40 mm\"",
            "at = [\"40 mm\"",
            "member \"spine\" has no length",
        ),
        (
            "\"aluminium-6061-t6\"",
            "\"alu\"",
            "no material \"alu\" is known",
        ),
        (
            "of = \"base plate\"",
            "of = \"plate\"",
            "nothing on the robot is called \"plate\"",
        ),
        (
            "part = \"battery\"",
            "part = \"batery\"",
            "nothing on the robot is called \"batery\"",
        ),
        (
            "section = \"tube\"",
            "section = \"pipe\"",
            "a pipe has no \"width\"",
        ),
        (
            "screws = 3",
            "type = \"glued\"\nscrews = 3",
            "a glued joint has no screws",
        ),
        (
            "screws = 3",
            "stiffness = \"0 N m/rad\"",
            "this stiffness is out of any sense for a joint",
        ),
    ] {
        let all = slips(from, to);
        assert!(all.iter().any(|s| s.0 == told), "{told}: {all:#?}");
    }
}

#[test]
fn several_slips_are_told_at_once() {
    let text = FRAME
        .replace("\"aluminium-6061-t6\"", "\"alu\"")
        .replace("node = \"back\"\n\n", "node = \"bak\"\n\n")
        .replace("play = \"0.5 deg\"", "play = \"-1 deg\"")
        .replacen("name = \"back\"", "nome = \"back\"", 1);
    let issues = reading(&text).expect_err("four slips");
    assert!(issues.len() >= 4, "{issues:#?}");
}
