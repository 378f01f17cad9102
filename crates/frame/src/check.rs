//! Flaws of a description, all at once.

use crate::{
    Axes, Flaw, Frame, Hold, Link, Load, Of, Trouble,
    axes::{length, minus},
};

struct Flaws(Vec<Flaw>);

impl Flaws {
    fn say(&mut self, of: Of, what: String) {
        self.0.push(Flaw { of, what });
    }

    /// Says so unless `value` is a number above zero.
    fn positive(&mut self, of: Of, name: &str, what: &str, value: f64) {
        if !(value > 0.0 && value.is_finite()) {
            self.say(
                of,
                format!("{name}: {what} is {value}; it must be a number above zero"),
            );
        }
    }

    /// Says so unless `value` is a number of zero or more.
    fn not_below_zero(&mut self, of: Of, name: &str, what: &str, value: f64) {
        if !(value >= 0.0 && value.is_finite()) {
            self.say(
                of,
                format!("{name}: {what} is {value}; it must be a number not below zero"),
            );
        }
    }

    fn finite(&mut self, of: Of, name: &str, what: &str, values: &[f64]) {
        if values.iter().any(|v| !v.is_finite()) {
            self.say(of, format!("{name}: {what} is not a finite number"));
        }
    }
}

/// Everything in `frame` and `loads` that cannot be.
pub(crate) fn check(frame: &Frame, loads: &[Load]) -> Result<(), Trouble> {
    let mut flaws = Flaws(Vec::new());
    if frame.nodes.is_empty() {
        flaws.say(Of::Frame, "the frame has no nodes".into());
    }
    nodes(frame, &mut flaws);
    for i in 0..frame.members.len() {
        member(frame, i, &mut flaws);
    }
    lumps(frame, &mut flaws);
    for (i, load) in loads.iter().enumerate() {
        on(frame, i, load, &mut flaws);
    }
    if flaws.0.is_empty() {
        Ok(())
    } else {
        Err(Trouble::Flawed(flaws.0))
    }
}

fn nodes(frame: &Frame, flaws: &mut Flaws) {
    for (i, node) in frame.nodes.iter().enumerate() {
        let of = Of::Node(i);
        flaws.finite(of, &node.name, "its place", &node.at_m);
        for hold in node.held {
            if let Hold::Spring(k) = hold {
                flaws.positive(of, &node.name, "the stiffness that holds it", k);
            }
        }
    }
}

fn member(frame: &Frame, i: usize, flaws: &mut Flaws) {
    let m = &frame.members[i];
    let of = Of::Member(i);
    for n in m.nodes {
        if n >= frame.nodes.len() {
            let have = frame.nodes.len();
            flaws.say(
                of,
                format!(
                    "{}: it joins node number {n}; there are {have}, counted from 0",
                    m.name
                ),
            );
        }
    }
    if m.nodes.iter().all(|&n| n < frame.nodes.len()) {
        let [a, b] = m.nodes.map(|n| &frame.nodes[n]);
        let finite = a.at_m.iter().chain(&b.at_m).all(|c| c.is_finite());
        if finite && length(minus(b.at_m, a.at_m)) <= 0.0 {
            flaws.say(
                of,
                format!(
                    "{}: its length is zero, {} and {} are at the same place",
                    m.name, a.name, b.name
                ),
            );
        } else if finite && Axes::of(a.at_m, b.at_m, m.up, 0.0).is_none() {
            flaws.say(
                of,
                format!(
                    "{}: the direction that its section stands up towards runs along it",
                    m.name
                ),
            );
        }
    }
    let s = &m.section;
    for (what, value) in [
        ("Young's modulus", m.material.youngs_pa),
        ("the shear modulus", m.material.shear_pa),
        ("the area of its section", s.area_m2),
        ("the second moment of area about y", s.about_y_m4),
        ("the second moment of area about z", s.about_z_m4),
        ("the torsion constant", s.torsion_m4),
        ("the torsion modulus", s.torsion_m3),
        ("the shear area along y", s.shear_y_m2),
        ("the shear area along z", s.shear_z_m2),
    ] {
        flaws.positive(of, &m.name, what, value);
    }
    flaws.not_below_zero(of, &m.name, "the density", m.material.density_kg_m3);
    flaws.finite(of, &m.name, "the turn of its section", &[s.turn_rad]);
    for e in 0..2 {
        end(frame, i, e, flaws);
    }
}

fn end(frame: &Frame, i: usize, e: usize, flaws: &mut Flaws) {
    let m = &frame.members[i];
    let of = Of::End(i, e);
    for link in m.ends[e].links {
        match link {
            Link::Rigid | Link::Released => {}
            Link::Spring(k) => flaws.positive(of, &m.name, "the stiffness of its joint", k),
            Link::Play { stiffness, slack } => {
                flaws.positive(of, &m.name, "the stiffness of its joint", stiffness);
                flaws.not_below_zero(of, &m.name, "the play of its joint", slack);
            }
        }
    }
    if let Some(c) = m.ends[e].capacity {
        flaws.positive(of, &m.name, "the force that its joint bears", c.force_n);
        flaws.positive(of, &m.name, "the moment that its joint bears", c.moment_n_m);
    }
}

fn lumps(frame: &Frame, flaws: &mut Flaws) {
    for (i, l) in frame.lumps.iter().enumerate() {
        let of = Of::Lump(i);
        let Some(node) = frame.nodes.get(l.node) else {
            let have = frame.nodes.len();
            flaws.say(
                of,
                format!(
                    "mass number {i}: it rides on node number {}; there are {have}, counted from 0",
                    l.node
                ),
            );
            continue;
        };
        let name = format!("mass on {}", node.name);
        flaws.positive(of, &name, "the mass", l.mass_kg);
        flaws.finite(of, &name, "its place", &l.offset_m);
        for inertia in l.inertia_kg_m2 {
            flaws.not_below_zero(of, &name, "a moment of inertia", inertia);
        }
    }
}

fn on(frame: &Frame, i: usize, load: &Load, flaws: &mut Flaws) {
    let of = Of::Load(i);
    let name = format!("load number {i}");
    let (there, values): (bool, Vec<f64>) = match load {
        Load::At {
            node,
            force_n,
            moment_n_m,
        } => (*node < frame.nodes.len(), [*force_n, *moment_n_m].concat()),
        Load::On {
            member,
            along,
            force_n,
        } => {
            if !(0.0..=1.0).contains(along) {
                flaws.say(
                    of,
                    format!(
                        "{name}: it acts at {along} of the member; that must lie between 0 and 1"
                    ),
                );
            }
            (*member < frame.members.len(), force_n.to_vec())
        }
        Load::Spread { member, force_n_m } => (*member < frame.members.len(), force_n_m.to_vec()),
    };
    if !there {
        flaws.say(of, format!("{name}: what it acts on is not there"));
    }
    flaws.finite(of, &name, "its force", &values);
}
