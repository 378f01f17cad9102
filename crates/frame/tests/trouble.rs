//! Bad input and frames that fall apart.

mod common;

use common::{ALUMINIUM, strip};
use frame::{End, Frame, Hold, Link, Load, Lump, Member, Node, Of, Section, Trouble, fixed, free};

fn flaws(f: &Frame, loads: &[Load]) -> Vec<(Of, String)> {
    match f.solve(loads) {
        Err(Trouble::Flawed(flaws)) => flaws.into_iter().map(|x| (x.of, x.what)).collect(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn every_flaw_is_told_at_once_with_the_name_of_the_thing() {
    let (mut f, chain) = strip(2, fixed(), free());
    f.nodes[chain[1]].at_m = f.nodes[chain[0]].at_m;
    f.members[1].material.youngs_pa = -1.0;
    f.members[1].ends[0].links[4] = Link::Play {
        stiffness: 10.0,
        slack: -0.001,
    };
    f.members[1].ends[1].links[4] = Link::Spring(f64::NAN);
    f.lumps.push(Lump::point(chain[2], 0.0));
    f.lumps.push(Lump::point(99, 1.0));
    f.members.push(Member::new(
        "brace",
        0,
        42,
        Section::rectangle(0.01, 0.01),
        ALUMINIUM,
    ));
    let got = flaws(&f, &[Load::force(77, [f64::INFINITY, 0.0, 0.0])]);
    for (of, what) in [
        (Of::Member(0), "strip: its length is zero"),
        (Of::Member(1), "strip: Young's modulus is -1"),
        (Of::End(1, 0), "strip: the play of its joint is -0.001"),
        (Of::End(1, 1), "strip: the stiffness of its joint is NaN"),
        (Of::Lump(0), "mass on right: the mass is 0"),
        (Of::Lump(1), "mass number 1: it rides on node number 99"),
        (Of::Member(2), "brace: it joins node number 42"),
        (Of::Load(0), "load number 0: what it acts on is not there"),
        (
            Of::Load(0),
            "load number 0: its force is not a finite number",
        ),
    ] {
        let told = got.iter().any(|(o, w)| *o == of && w.starts_with(what));
        assert!(told, "{what} is missing in {got:#?}");
    }
    assert_eq!(got.len(), 9, "{got:#?}");
}

#[test]
fn an_empty_frame_is_a_flaw() {
    assert_eq!(flaws(&Frame::default(), &[]).len(), 1);
}

fn mechanism(f: &Frame) -> frame::Mechanism {
    match f.solve(&[Load::force(0, [1.0, 1.0, 1.0])]) {
        Err(Trouble::Mechanism(m)) => m,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_portal_on_hinges_at_every_corner_is_named_a_mechanism() {
    let mut f = Frame::default();
    let r = Link::Rigid;
    let hinge = End {
        links: [r, r, r, r, Link::Released, r],
        capacity: None,
    };
    let at = [[0.0; 3], [0.0, 0.0, 0.1], [0.2, 0.0, 0.1], [0.2, 0.0, 0.0]];
    for (i, at) in at.into_iter().enumerate() {
        let held = if i == 0 || i == 3 { fixed() } else { free() };
        f.node(Node::new(["foot", "left top", "right top", "other foot"][i], at).held(held));
    }
    let tube = Section::rectangular_tube(0.01, 0.01, 0.001);
    for i in 0..3 {
        let ends = match i {
            0 => (hinge, End::RIGID),
            1 => (hinge, hinge),
            _ => (End::RIGID, hinge),
        };
        // so that every bar's own y is across the portal's plane
        let bar = Member::new("bar", i, i + 1, tube.clone(), ALUMINIUM).upright([-1.0, 0.0, 0.1]);
        f.member(bar.joined(ends.0, ends.1));
    }
    let m = mechanism(&f);
    let tops: Vec<&frame::Loose> = m
        .loose
        .iter()
        .filter(|l| matches!(l.of, Of::Node(1 | 2)))
        .collect();
    assert_eq!(tops.len(), 2, "{m:#?}");
    for top in tops {
        assert!(top.moves[0].abs() > 0.4, "sways along x: {top:?}");
        assert!(top.moves[1].abs() < 1e-6, "not across: {top:?}");
    }
    let said = Trouble::Mechanism(m).to_string();
    assert!(said.contains("left top shifts along x"), "{said}");
}

#[test]
fn a_node_that_nothing_holds_is_named() {
    let (mut f, _) = strip(3, fixed(), free());
    f.node(Node::new("lost", [0.0, 0.1, 0.0]));
    let m = mechanism(&f);
    assert_eq!(m.loose[0].name, "lost");
    assert!(m.loose.iter().all(|l| l.name == "lost"), "{m:#?}");
}

#[test]
fn a_frame_that_nothing_holds_is_a_mechanism() {
    let (f, _) = strip(3, free(), free());
    assert!(!mechanism(&f).loose.is_empty());
}

#[test]
fn a_bar_that_spins_in_its_bearings_is_named_by_its_turn() {
    let (mut f, chain) = strip(2, fixed(), fixed());
    for (m, e) in [(0, 0), (1, 1)] {
        f.members[m].ends[e].links[3] = Link::Released;
    }
    let m = mechanism(&f);
    let middle = m
        .loose
        .iter()
        .find(|l| l.of == Of::Node(chain[1]))
        .expect("it turns");
    assert_eq!(middle.ways(), "turns about x");
}

#[test]
fn a_long_soft_cantilever_is_no_mechanism() {
    // A wire of 0.5 mm, 1 m long, askew, in a hundred pieces, bends by tens of centimetres a newton.
    let mut f = Frame::default();
    let a = f.node(Node::new("root", [0.0; 3]).held(fixed()));
    let b = f.node(Node::new("tip", [0.6, 0.5, 0.62]));
    let wire = Member::new("wire", a, b, Section::round(0.0005, 0.0), ALUMINIUM);
    let l = (0.36_f64 + 0.25 + 0.3844).sqrt();
    let chain = f.chain(&wire, 100);
    let tip = chain[100];
    let across = [-0.5, 0.6, 0.0].map(|c| c / 0.61_f64.sqrt() * 1e-4);
    let got = f
        .solve(&[Load::force(tip, across)])
        .expect("it stands")
        .moved[tip];
    let moved = (got[0] * got[0] + got[1] * got[1] + got[2] * got[2]).sqrt();
    let want = 1e-4 * l * l * l / (3.0 * 68.9e9 * f.members[0].section.about_y_m4);
    // The stiffness along the wire is some 1e6 times that across a piece, and rounding grows by it.
    assert!((moved / want - 1.0).abs() < 1e-3, "{moved} {want}");
}

#[test]
fn a_turn_held_by_nothing_but_a_soft_spring_is_no_mechanism() {
    let (mut f, chain) = strip(2, [Hold::Fixed; 6], free());
    f.members[0].ends[0].links[4] = Link::Spring(1e-3);
    let s = f
        .solve(&[Load::force(chain[2], [0.0, 0.0, 1e-4])])
        .expect("it stands");
    // P L² / k, and the strip's own bend
    let want = 1e-4 * 0.15 * 0.15 / 1e-3;
    assert!((s.moved[chain[2]][2] / want - 1.0).abs() < 1e-3, "{s:?}");
}
