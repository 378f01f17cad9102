//! Deflection under loads.

use crate::{
    Frame, Hold, Joint, Load, Trouble, Worked, assembly::Assembly, axes::cross, check::check,
    forces, play,
};

/// The balance of a frame under loads.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// Of each node: shifts (m) along x, y, z and turns (rad) about them.
    pub moved: Vec<[f64; 6]>,
    /// Of each node: forces (N) and moments (N·m) from the ground on it; zero where it is free.
    pub reactions: Vec<[f64; 6]>,
    /// Of each member: its end forces and its worst place.
    pub members: Vec<Worked>,
    /// Of each member and its two ends: what goes through the joint.
    pub joints: Vec<[Joint; 2]>,
}

impl Solution {
    /// Shift in m of a point that rides stiffly on a node at `offset_m` from it.
    #[must_use]
    pub fn at(&self, node: usize, offset_m: [f64; 3]) -> [f64; 3] {
        let m = self.moved[node];
        let turned = cross([m[3], m[4], m[5]], offset_m);
        core::array::from_fn(|i| m[i] + turned[i])
    }

    /// The member with the largest stress, and that stress in Pa.
    #[must_use]
    pub fn most_stressed(&self) -> Option<(usize, f64)> {
        let all = self.members.iter().map(|w| w.stress.worst_pa).enumerate();
        all.max_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// The joint that uses most of what it bears: member, end, and the share used. `None` where no
    /// joint's capacity is known.
    #[must_use]
    pub fn most_used_joint(&self) -> Option<(usize, usize, f64)> {
        let mut most = None;
        for (m, ends) in self.joints.iter().enumerate() {
            for (e, joint) in ends.iter().enumerate() {
                if let Some(used) = joint.used
                    && most.is_none_or(|(_, _, u)| used > u)
                {
                    most = Some((m, e, used));
                }
            }
        }
        most
    }
}

impl Frame {
    /// The balance under `loads`, with small deflections.
    ///
    /// # Errors
    /// [`Trouble::Flawed`] with every flaw of the description; [`Trouble::Mechanism`] where part of
    /// the frame moves freely, also with every joint with play in contact; [`Trouble::Unsettled`]
    /// where joints with play find no balance.
    pub fn solve(&self, loads: &[Load]) -> Result<Solution, Trouble> {
        let mut all = self.solve_each(&[loads])?;
        Ok(all.remove(0))
    }

    /// The balance under each of several sets of loads. Without play the stiffness is factored
    /// once, so that many cases cost little more than one.
    ///
    /// # Errors
    /// As [`Frame::solve`].
    pub fn solve_each(&self, cases: &[&[Load]]) -> Result<Vec<Solution>, Trouble> {
        check(self, &cases.concat())?;
        let assembly = Assembly::of(self);
        let forces: Vec<Vec<f64>> = cases.iter().map(|loads| assembly.loads(loads)).collect();
        let moved = play::settle_each(&assembly, &forces)?;
        let solutions = cases
            .iter()
            .zip(&moved)
            .map(|(loads, x)| solution(&assembly, loads, x));
        Ok(solutions.collect())
    }
}

fn solution(assembly: &Assembly<'_>, loads: &[Load], x: &[f64]) -> Solution {
    let frame = assembly.frame;
    let moved = assembly.of_nodes(x);
    let members: Vec<Worked> = (0..frame.members.len())
        .map(|m| forces::worked(assembly, m, loads, x))
        .collect();
    let joints = (0..frame.members.len())
        .map(|m| core::array::from_fn(|e| forces::joint(assembly, m, e, &members[m], x)))
        .collect();
    Solution {
        reactions: reactions(assembly, loads, &members, &moved),
        moved,
        members,
        joints,
    }
}

/// What the ground gives: the members' end forces less the loads at held nodes.
fn reactions(
    assembly: &Assembly<'_>,
    loads: &[Load],
    members: &[Worked],
    moved: &[[f64; 6]],
) -> Vec<[f64; 6]> {
    let frame = assembly.frame;
    let mut r = vec![[0.0; 6]; frame.nodes.len()];
    for (m, worked) in members.iter().enumerate() {
        for e in 0..2 {
            let own = worked.ends[e];
            let force = assembly.axes[m].back([own[0], own[1], own[2]]);
            let moment = assembly.axes[m].back([own[3], own[4], own[5]]);
            let of = &mut r[frame.members[m].nodes[e]];
            for i in 0..3 {
                of[i] += force[i];
                of[3 + i] += moment[i];
            }
        }
    }
    for load in loads {
        if let Load::At {
            node,
            force_n,
            moment_n_m,
        } = load
        {
            for i in 0..3 {
                r[*node][i] -= force_n[i];
                r[*node][3 + i] -= moment_n_m[i];
            }
        }
    }
    for ((r, node), moved) in r.iter_mut().zip(&frame.nodes).zip(moved) {
        for axis in 0..6 {
            match node.held[axis] {
                Hold::Free => r[axis] = 0.0,
                Hold::Fixed => {}
                Hold::Spring(k) => r[axis] = -k * moved[axis],
            }
        }
    }
    r
}
