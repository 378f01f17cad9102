//! What goes through members and joints, and where they are stressed most.

use crate::{Link, Load, assembly::Assembly, axes, beam, play};

/// The worst place of a member.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Stress {
    /// How far along the member, 0 to 1.
    pub along: f64,
    /// Of the fibre furthest from rest there, in Pa: axial force and both bendings together.
    pub fibre_pa: f64,
    /// The largest shear stress of torsion there, in Pa.
    pub torsion_pa: f64,
    /// √(fibre² + 3 torsion²) in Pa, von Mises' comparison with a pull. It takes the two for
    /// stresses of one point, though they may be largest at different ones: on the safe side. Shear
    /// of bending is left out: it is zero where the fibre's stress is largest, and small in members
    /// longer than a few times their depth.
    pub worst_pa: f64,
}

/// What a member does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worked {
    /// Forces (N) and moments (N·m) that its two joints put on its ends, along the member's own
    /// axes.
    pub ends: [[f64; 6]; 2],
    /// Its worst place.
    pub stress: Stress,
}

/// What a joint does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint {
    /// Force in N on the member's end, along the member's own axes.
    pub force_n: [f64; 3],
    /// Moment in N·m on the member's end.
    pub moment_n_m: [f64; 3],
    /// How far the end has moved against its node along its axes: m, then rad.
    pub give: [f64; 6],
    /// Whether it has play in some axis and lies inside it there.
    pub rattles: bool,
    /// Share of its capacity in use: force over force plus moment over moment (a straight line
    /// between the two, on the safe side for most fasteners). `None` where it is not known.
    pub used: Option<f64>,
}

/// Places at which stress is looked for, beside those of the loads. Between loads moments run
/// straight, so that the ends are enough; under an even load they bow.
const PLACES: usize = 16;

pub(crate) fn worked(assembly: &Assembly<'_>, m: usize, loads: &[Load], x: &[f64]) -> Worked {
    let member = &assembly.frame.members[m];
    let length = assembly.lengths[m];
    let moved: [f64; 12] = {
        let rows = assembly.end_rows(m);
        core::array::from_fn(|i| play::along(&rows[i], x))
    };
    let k = beam::stiffness(member, length);
    let between = assembly.between(m, loads);
    let all: [f64; 12] = core::array::from_fn(|i| {
        k[i].iter().zip(&moved).map(|(k, u)| k * u).sum::<f64>() - between[i]
    });
    let ends = [
        core::array::from_fn(|i| all[i]),
        core::array::from_fn(|i| all[6 + i]),
    ];
    Worked {
        ends,
        stress: worst(assembly, m, loads, ends[0]),
    }
}

/// Walks along the member with the forces at its first end.
fn worst(assembly: &Assembly<'_>, m: usize, loads: &[Load], first: [f64; 6]) -> Stress {
    let section = &assembly.frame.members[m].section;
    let length = assembly.lengths[m];
    let (mut even, mut points) = ([0.0; 3], Vec::new());
    for load in loads {
        match load {
            Load::Spread { member, force_n_m } if *member == m => {
                let own = assembly.axes[m].own(*force_n_m);
                even = core::array::from_fn(|i| even[i] + own[i]);
            }
            Load::On {
                member,
                along,
                force_n,
            } if *member == m => points.push((*along, assembly.axes[m].own(*force_n))),
            Load::On { .. } | Load::Spread { .. } | Load::At { .. } => {}
        }
    }
    let mut places: Vec<f64> = vec![0.0, 1.0];
    places.extend(points.iter().map(|(s, _)| *s));
    if axes::length(even) > 0.0 {
        places.extend((1..PLACES).map(|i| i as f64 / PLACES as f64));
    }
    let mut stress = Stress::default();
    for s in places {
        let d = s * length;
        // Balance of the piece up to here: what the rest puts on it.
        let mut axial = -first[0] - even[0] * d;
        let mut about_y = -first[4] - d * first[2] - even[2] * d * d / 2.0;
        let mut about_z = -first[5] + d * first[1] + even[1] * d * d / 2.0;
        for (at, force) in points.iter().filter(|(at, _)| *at < s) {
            let arm = (s - at) * length;
            axial -= force[0];
            about_y -= arm * force[2];
            about_z += arm * force[1];
        }
        let fibre_pa = section.fibre_pa(axial, about_y, about_z);
        let torsion_pa = first[3].abs() / section.torsion_m3;
        let worst_pa = (fibre_pa * fibre_pa + 3.0 * torsion_pa * torsion_pa).sqrt();
        if worst_pa > stress.worst_pa {
            stress = Stress {
                along: s,
                fibre_pa,
                torsion_pa,
                worst_pa,
            };
        }
    }
    stress
}

pub(crate) fn joint(
    assembly: &Assembly<'_>,
    m: usize,
    e: usize,
    worked: &Worked,
    x: &[f64],
) -> Joint {
    let end = &assembly.frame.members[m].ends[e];
    let give: [f64; 6] =
        core::array::from_fn(|axis| play::along(&assembly.joint_row(m, e, axis), x));
    let own = worked.ends[e];
    let force_n = [own[0], own[1], own[2]];
    let moment_n_m = [own[3], own[4], own[5]];
    let rattles = end
        .links
        .iter()
        .zip(give)
        .any(|(link, d)| matches!(link, Link::Play { slack, .. } if d.abs() < *slack));
    let used = end
        .capacity
        .map(|c| axes::length(force_n) / c.force_n + axes::length(moment_n_m) / c.moment_n_m);
    Joint {
        force_n,
        moment_n_m,
        give,
        rattles,
        used,
    }
}
