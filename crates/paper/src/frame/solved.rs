//! From a sketch to beams and joints with numbers, and to what they do under loads.

use ::frame::{End as Joined, Frame as Beams, Hold, Link, Load, Lump, Node, Section, Trouble};
use quantity::{Figure, Length};
use robot::{Bar, End, JointKind};

use super::sketch::{Beam, Role, Sketch};

/// Within its spreads a frame may be the one described, the softest, or the stiffest: since nothing gets
/// softer by stiffening a part (the work of a load falls with every stiffness, Rayleigh), these bound
/// how far a point gives way to a push on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Corner {
    /// Nominal figures.
    Nominal,
    /// Everything at its softest.
    Soft,
    /// Everything at its stiffest.
    Stiff,
}

impl Corner {
    fn sign(self) -> f64 {
        match self {
            Self::Nominal => 0.0,
            Self::Soft => -1.0,
            Self::Stiff => 1.0,
        }
    }

    /// `factor` at the stiffest, one over it at the softest.
    fn times(self, factor: f64) -> f64 {
        match self {
            Self::Nominal => 1.0,
            Self::Soft => 1.0 / factor,
            Self::Stiff => factor,
        }
    }
}

/// Within this factor the thickness of a derived blade's sheet is known.
const SHEET_FACTOR: f64 = 1.25;
/// Nodes without any mass of their own get a grain of this, kg, so that they can swing.
const GRAIN_KG: f64 = 1e-6;

/// What a push does.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Answer {
    /// Of each node: three shifts, m, and three turns, rad.
    pub(super) moves: Vec<[f64; 6]>,
    /// Of each beam: most stress as a share of its strength.
    pub(super) stress_share: Vec<f64>,
    /// Of each beam and end: bending moment the joint takes, and the one it bears, N·m.
    pub(super) joints: Vec<[(f64, f64); 2]>,
}

/// A sketch with numbers.
pub(super) struct Solved {
    /// For the solver.
    pub(super) beams: Beams,
    strengths_pa: Vec<f64>,
    /// Of each beam and end: moments its joint bears about the beam's y and z, N·m.
    bears_nm: Vec<[[f64; 2]; 2]>,
}

fn length(figure: &Figure<Length>) -> f64 {
    figure.si()
}

/// The section of a bar; `sheet`: a factor on the thickness of a strip.
pub(super) fn section(bar: &Bar, sheet: f64) -> Section {
    match bar {
        Bar::Strip { width, height } => Section::rectangle(length(width), sheet * length(height)),
        Bar::Tube {
            width,
            height,
            wall,
        } => Section::rectangular_tube(length(width), length(height), length(wall)),
        Bar::Rod { diameter } => Section::round(length(diameter), 0.0),
        Bar::Pipe { diameter, wall } => {
            Section::round(length(diameter), length(diameter) - 2.0 * length(wall))
        }
        Bar::Angle {
            width,
            height,
            wall,
        } => Section::angle(length(width), length(height), length(wall)),
        Bar::Channel {
            width,
            height,
            wall,
        } => Section::channel(length(width), length(height), length(wall)),
    }
}

impl Solved {
    /// The sketch at a corner of its spreads.
    pub(super) fn of(sketch: &Sketch, corner: Corner) -> Self {
        let mut beams = Beams::default();
        for n in &sketch.nodes {
            // Brakes on: a held hub neither shifts nor turns about its axle.
            let (x, o) = (Hold::Fixed, Hold::Free);
            let held = if n.held {
                [x, x, x, o, x, o]
            } else {
                ::frame::free()
            };
            let k = beams.node(Node::new(n.name.clone(), n.at).held(held));
            beams.lumps.push(Lump::point(k, n.mass_kg.max(GRAIN_KG)));
        }
        let (mut strengths_pa, mut bears_nm) = (Vec::new(), Vec::new());
        for b in &sketch.beams {
            let strength = sketch.materials[b.material].least_strength_pa();
            let made = member(sketch, b, corner);
            bears_nm.push(
                b.ends
                    .each_ref()
                    .map(|e| bears(e, b, &made.section, strength)),
            );
            strengths_pa.push(strength);
            beams.member(made);
        }
        Self {
            beams,
            strengths_pa,
            bears_nm,
        }
    }

    /// What each of several pushes does: node, force and moment.
    pub(super) fn push(&self, pushes: &[(usize, [f64; 6])]) -> Result<Vec<Answer>, Trouble> {
        let loads: Vec<[Load; 1]> = (pushes.iter())
            .map(|(node, f)| {
                [Load::At {
                    node: *node,
                    force_n: [f[0], f[1], f[2]],
                    moment_n_m: [f[3], f[4], f[5]],
                }]
            })
            .collect();
        let cases: Vec<&[Load]> = loads.iter().map(|l| &l[..]).collect();
        let solutions = self.beams.solve_each(&cases)?;
        Ok((solutions.into_iter())
            .map(|s| Answer {
                stress_share: (s.members.iter().zip(&self.strengths_pa))
                    .map(|(w, strength)| w.stress.worst_pa / strength)
                    .collect(),
                joints: (s.joints.iter().zip(&self.bears_nm))
                    .map(|(ends, bears)| [0, 1].map(|e| hardest(ends[e].moment_n_m, bears[e])))
                    .collect(),
                moves: s.moved,
            })
            .collect())
    }
}

fn member(sketch: &Sketch, b: &Beam, corner: Corner) -> ::frame::Member {
    let of = &sketch.materials[b.material];
    let sheet = if sketch.derived && b.role == Role::Blade {
        corner.times(SHEET_FACTOR)
    } else {
        1.0
    };
    let mut section = section(&b.bar, sheet);
    section.torsion_m4 *= b.twist;
    let sign = corner.sign();
    let stiff = |f: &Figure<quantity::Stress>| b.fill * (f.si() + sign * f.unsure());
    let youngs_pa = stiff(&of.modulus);
    let axes = [
        (youngs_pa * section.about_y_m4, b.bar.height_m()),
        (youngs_pa * section.about_z_m4, b.bar.width_m()),
    ];
    let ends = b.ends.each_ref().map(|e| joined(e, axes, corner));
    ::frame::Member {
        name: b.name.clone(),
        nodes: b.nodes,
        material: ::frame::Material {
            youngs_pa,
            shear_pa: stiff(&of.shear_modulus),
            // Its mass is known whatever its thickness is.
            density_kg_m3: b.density / sheet,
        },
        section,
        up: Some(b.up),
        ends,
        // Deep walls and short members give in shear as well.
        shear: matches!(b.role, Role::Wall | Role::Member),
    }
}

/// Moments that the joint of `end` bears about the member's y and z: what the file says, or a share of
/// what the member bears.
fn bears(end: &End, b: &Beam, section: &Section, strength_pa: f64) -> [f64; 2] {
    if let Some(said) = &end.bears {
        return [said.si(); 2];
    }
    let share = end.kind.bears_share() * end.screw_factor();
    let of = |i: f64, depth: f64| share * strength_pa * i / (0.5 * depth);
    [
        of(section.about_y_m4, b.bar.height_m()),
        of(section.about_z_m4, b.bar.width_m()),
    ]
}

/// Of the moments about y and z the one that asks more of what is borne about its axis.
fn hardest([_, y, z]: [f64; 3], bears: [f64; 2]) -> (f64, f64) {
    let (y, z) = ((y.abs(), bears[0]), (z.abs(), bears[1]));
    if y.0 / y.1 >= z.0 / z.1 { y } else { z }
}

/// A joint: `axes` are bending stiffness EI, N·m², and depth, m, about the member's y and z.
fn joined(end: &End, axes: [(f64, f64); 2], corner: Corner) -> Joined {
    let softness = end.kind.softness();
    let link = |(ei, depth): (f64, f64)| {
        let stiffness = match &end.stiffness {
            Some(k) => (k.si() + corner.sign() * k.unsure()).max(0.05 * k.si()),
            None if softness <= 0.0 => return Link::Rigid,
            None => ei / (softness * depth) * end.screw_factor() * corner.times(JointKind::FACTOR),
        };
        let slack = end.play.si();
        if slack > 0.0 {
            Link::Play { stiffness, slack }
        } else {
            Link::Spring(stiffness)
        }
    };
    let r = Link::Rigid;
    Joined {
        links: [r, r, r, r, link(axes[0]), link(axes[1])],
        capacity: None,
    }
}
