//! What several tests build.
#![allow(dead_code, reason = "each test program uses a part of it")]

use frame::{End, Frame, Hold, Link, Lump, Material, Member, Node, Outline, Section, fixed};

/// Says that `got` lies within the share `tolerance` of `want`.
pub(crate) fn near(got: f64, want: f64, tolerance: f64) {
    assert!(
        (got - want).abs() <= tolerance * want.abs(),
        "{got} is not within {tolerance} of {want}"
    );
}

/// 6061-T6 with the E and G that its data sheets print.
pub(crate) const ALUMINIUM: Material = Material {
    youngs_pa: 68.9e9,
    shear_pa: 26.0e9,
    density_kg_m3: 2700.0,
};

/// A section of which only the figures of a textbook are known.
pub(crate) fn bare(area: f64, about_y: f64, about_z: f64, torsion: f64) -> Section {
    Section {
        area_m2: area,
        about_y_m4: about_y,
        about_z_m4: about_z,
        torsion_m4: torsion,
        torsion_m3: torsion,
        shear_y_m2: area,
        shear_z_m2: area,
        turn_rad: 0.0,
        outline: Outline::Round(1.0),
    }
}

/// Square tube 10 x 10 x 1 mm with the rounded 492 mm^4 of the worked examples.
pub(crate) fn tube() -> Section {
    Section {
        about_y_m4: 4.92e-10,
        about_z_m4: 4.92e-10,
        ..Section::rectangular_tube(0.010, 0.010, 0.001)
    }
}

/// The same tube with so large an area that it does not shorten.
pub(crate) fn unshortened() -> Section {
    Section {
        area_m2: 36.0,
        ..tube()
    }
}

/// A strip 20 x 3 mm, 150 mm long, along x, of `pieces` pieces, lying flat.
pub(crate) fn strip(pieces: usize, first: [Hold; 6], last: [Hold; 6]) -> (Frame, Vec<usize>) {
    let mut f = Frame::default();
    let a = f.node(Node::new("left", [0.0; 3]).held(first));
    let b = f.node(Node::new("right", [0.150, 0.0, 0.0]).held(last));
    let strip = Member::new("strip", a, b, Section::rectangle(0.020, 0.003), ALUMINIUM);
    let chain = f.chain(&strip, pieces);
    (f, chain)
}

/// A spring about the member's y axis, rigid otherwise.
pub(crate) fn hinge(stiffness: Option<f64>) -> End {
    let r = Link::Rigid;
    let turn = stiffness.map_or(Link::Released, Link::Spring);
    End {
        links: [r, r, r, r, turn, r],
        capacity: None,
    }
}

/// A portal 100 mm high and 200 mm wide in the plane xz, feet fixed, kept in its plane. `corner` at
/// both ends of the beam. Gives the top corners.
pub(crate) fn portal(section: &Section, corner: End, pieces: usize) -> (Frame, [usize; 2]) {
    let mut f = Frame::default();
    let (x, o) = (Hold::Fixed, Hold::Free);
    let plane = [o, x, o, x, o, x];
    let feet = [0.0, 0.2].map(|at| f.node(Node::new("foot", [at, 0.0, 0.0]).held(fixed())));
    let tops = [0.0, 0.2].map(|at| f.node(Node::new("corner", [at, 0.0, 0.1]).held(plane)));
    for i in 0..2 {
        let post = Member::new("post", feet[i], tops[i], section.clone(), ALUMINIUM);
        f.chain(&post, pieces);
    }
    let beam = Member::new("beam", tops[0], tops[1], section.clone(), ALUMINIUM);
    f.chain(&beam.joined(corner, corner), pieces);
    for node in f.nodes.iter_mut().skip(4) {
        node.held = plane;
    }
    (f, tops)
}

/// Four posts 60 mm high with fixed feet, 180 x 140 mm apart, and a ring on top of them, 0.1 kg on
/// each corner. `corner` joins the posts to the ring. Gives the top corners.
pub(crate) fn boxed(shear: bool, corner: End, pieces: usize) -> (Frame, [usize; 4]) {
    let mut f = Frame::default();
    let plan = [(0.0, 0.0), (0.18, 0.0), (0.18, 0.14), (0.0, 0.14)];
    let feet = plan.map(|(x, y)| f.node(Node::new("foot", [x, y, 0.0]).held(fixed())));
    let tops = plan.map(|(x, y)| f.node(Node::new("corner", [x, y, 0.06])));
    let member = |name, from, to| Member {
        shear,
        ..Member::new(name, from, to, tube(), ALUMINIUM)
    };
    for i in 0..4 {
        f.chain(
            &member("post", feet[i], tops[i]).joined(End::RIGID, corner),
            pieces,
        );
        f.chain(&member("ring", tops[i], tops[(i + 1) % 4]), pieces);
        f.lumps.push(Lump::point(tops[i], 0.1));
    }
    (f, tops)
}
