//! From a frame to its stiffness and mass matrices.
//!
//! Unknowns are the free movements of the nodes and, where a member's end is not rigidly joined,
//! the movement of the end itself along that axis of the member. A joint's spring acts between the
//! two. So joints are exact, in modes too, and rigid axes need no stiff springs that would spoil
//! the arithmetic.

use crate::{
    Axes, Frame, Hold, Link, Load, Loose, Mechanism, Member, Of, Trouble,
    beam::{self, Square12},
    ldl::Ldl,
    order::least_degree,
    sparse::{Entry, Pair},
};

/// A sum of unknowns, each with its factor.
pub(crate) type Row = Vec<(usize, f64)>;

/// A spring of stiffness `k` on a sum of unknowns that takes hold beyond `slack` to either side.
#[derive(Debug, Clone)]
pub(crate) struct Sprung {
    pub(crate) row: Row,
    pub(crate) k: f64,
    pub(crate) slack: f64,
}

/// What an unknown is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unknown {
    Node(usize, usize),
    End(usize, usize, usize),
}

/// A frame made ready for solving.
#[derive(Debug)]
pub(crate) struct Assembly<'a> {
    pub(crate) frame: &'a Frame,
    pub(crate) axes: Vec<Axes>,
    pub(crate) lengths: Vec<f64>,
    pub(crate) unknowns: Vec<Unknown>,
    of_node: Vec<[Option<usize>; 6]>,
    of_end: Vec<[[Option<usize>; 6]; 2]>,
    entries: Vec<Entry>,
    /// The joints with play.
    pub(crate) sprung: Vec<Sprung>,
}

/// A pivot below this share of its diagonal entry is taken for that of a mechanism. Rounding leaves
/// some 1e-16 times the number of sums of one that is zero; a wire of a hundred pieces, askew,
/// passes (see the tests of mechanisms).
const MECHANISM: f64 = 1e-12;

impl<'a> Assembly<'a> {
    pub(crate) fn of(frame: &'a Frame) -> Self {
        let axes = frame
            .members
            .iter()
            .map(|m| {
                let [a, b] = m.nodes.map(|n| frame.nodes[n].at_m);
                Axes::of(a, b, m.up, m.section.turn_rad).unwrap_or(Axes([[0.0; 3]; 3]))
            })
            .collect();
        let lengths = (0..frame.members.len())
            .map(|m| frame.length_m(m))
            .collect();
        let mut it = Self {
            frame,
            axes,
            lengths,
            unknowns: Vec::new(),
            of_node: vec![[None; 6]; frame.nodes.len()],
            of_end: vec![[[None; 6]; 2]; frame.members.len()],
            entries: Vec::new(),
            sprung: Vec::new(),
        };
        it.number();
        for m in 0..frame.members.len() {
            it.member(m);
        }
        it.lumps();
        it.holds();
        it
    }

    /// How many unknowns there are.
    pub(crate) fn n(&self) -> usize {
        self.unknowns.len()
    }

    /// Numbers the unknowns in an order of little fill.
    fn number(&mut self) {
        let frame = self.frame;
        // Groups: the nodes, then those ends of members that have movements of their own.
        let mut group_of_end = vec![[None; 2]; frame.members.len()];
        let mut ends = Vec::new();
        for (m, member) in frame.members.iter().enumerate() {
            for e in 0..2 {
                if member.ends[e].links.iter().any(|l| *l != Link::Rigid) {
                    group_of_end[m][e] = Some(frame.nodes.len() + ends.len());
                    ends.push((m, e));
                }
            }
        }
        let couples: Vec<Vec<usize>> = frame
            .members
            .iter()
            .zip(&group_of_end)
            .map(|(member, own)| {
                let mut all: Vec<usize> = member.nodes.to_vec();
                all.extend(own.iter().flatten());
                all
            })
            .collect();
        for group in least_degree(frame.nodes.len() + ends.len(), &couples) {
            if let Some(node) = frame.nodes.get(group) {
                for axis in 0..6 {
                    if node.held[axis] != Hold::Fixed {
                        self.of_node[group][axis] = Some(self.unknowns.len());
                        self.unknowns.push(Unknown::Node(group, axis));
                    }
                }
            } else {
                let (m, e) = ends[group - frame.nodes.len()];
                for axis in 0..6 {
                    if frame.members[m].ends[e].links[axis] != Link::Rigid {
                        self.of_end[m][e][axis] = Some(self.unknowns.len());
                        self.unknowns.push(Unknown::End(m, e, axis));
                    }
                }
            }
        }
    }

    /// The movement of the node at end `e` of member `m` along the member's own `axis`.
    fn node_row(&self, m: usize, e: usize, axis: usize) -> Row {
        let of = &self.of_node[self.frame.members[m].nodes[e]];
        let (first, along) = if axis < 3 { (0, axis) } else { (3, axis - 3) };
        (0..3)
            .filter_map(|g| of[first + g].map(|u| (u, self.axes[m].0[along][g])))
            .filter(|(_, f)| *f != 0.0)
            .collect()
    }

    /// The movement of the member's end itself, in the order of [`beam`].
    pub(crate) fn end_rows(&self, m: usize) -> [Row; 12] {
        core::array::from_fn(|i| {
            let (e, axis) = (i / 6, i % 6);
            match self.of_end[m][e][axis] {
                Some(u) => vec![(u, 1.0)],
                None => self.node_row(m, e, axis),
            }
        })
    }

    /// How far the end has moved against its node.
    pub(crate) fn joint_row(&self, m: usize, e: usize, axis: usize) -> Row {
        let mut row: Row = self.node_row(m, e, axis);
        for x in &mut row {
            x.1 = -x.1;
        }
        if let Some(u) = self.of_end[m][e][axis] {
            row.push((u, 1.0));
        } else {
            row.clear();
        }
        row
    }

    fn member(&mut self, m: usize) {
        let member: &Member = &self.frame.members[m];
        let length = self.lengths[m];
        let (k, mass) = (beam::stiffness(member, length), beam::mass(member, length));
        let rows = self.end_rows(m);
        self.entries.extend(folded(&rows, &k, &mass));
        for e in 0..2 {
            for axis in 0..6 {
                match member.ends[e].links[axis] {
                    Link::Rigid | Link::Released => {}
                    Link::Spring(k) => {
                        let row = self.joint_row(m, e, axis);
                        self.entries.extend(spring(&row, k));
                    }
                    Link::Play { stiffness, slack } => self.sprung.push(Sprung {
                        row: self.joint_row(m, e, axis),
                        k: stiffness,
                        slack,
                    }),
                }
            }
        }
    }

    /// A stiff body's mass about its node: with r to its centre of mass, the shifts couple with the
    /// turns by m [r]×, and the inertia grows by m (r² 1 − r rᵀ) (parallel axes).
    fn lumps(&mut self) {
        for l in &self.frame.lumps {
            let (m, r) = (l.mass_kg, l.offset_m);
            let mut body = [[0.0; 6]; 6];
            let r2 = crate::axes::dot(r, r);
            for a in 0..3 {
                body[a][a] = m;
                body[3 + a][3 + a] = l.inertia_kg_m2[a] + m * r2;
                for b in 0..3 {
                    body[3 + a][3 + b] -= m * r[a] * r[b];
                }
                let (b, c) = ((a + 1) % 3, (a + 2) % 3);
                // velocity of the centre: v + ω × r
                body[a][3 + b] = m * r[c];
                body[a][3 + c] = -m * r[b];
            }
            let of = self.of_node[l.node];
            for i in 0..6 {
                for j in i..6 {
                    if let (Some(u), Some(v)) = (of[i], of[j])
                        && body[i][j] != 0.0
                    {
                        self.entries.push(Entry {
                            i: u,
                            j: v,
                            k: 0.0,
                            m: body[i][j],
                        });
                    }
                }
            }
        }
    }

    fn holds(&mut self) {
        for (node, of) in self.frame.nodes.iter().zip(&self.of_node) {
            for axis in 0..6 {
                if let (Hold::Spring(k), Some(u)) = (node.held[axis], of[axis]) {
                    self.entries.extend(spring(&vec![(u, 1.0)], k));
                }
            }
        }
    }

    /// Stiffness and mass, with each joint with play as a spring of the stiffness that `contact`
    /// gives for it.
    pub(crate) fn matrices(&self, contact: impl Fn(usize, &Sprung) -> f64) -> Pair {
        let mut entries = self.entries.clone();
        for (i, s) in self.sprung.iter().enumerate() {
            entries.extend(spring(&s.row, contact(i, s)));
        }
        Pair::sum(self.n(), &entries)
    }

    /// The loads on the unknowns.
    pub(crate) fn loads(&self, loads: &[Load]) -> Vec<f64> {
        let mut f = vec![0.0; self.n()];
        for load in loads {
            if let Load::At {
                node,
                force_n,
                moment_n_m,
            } = load
            {
                for axis in 0..6 {
                    let pull = if axis < 3 {
                        force_n[axis]
                    } else {
                        moment_n_m[axis - 3]
                    };
                    if let Some(u) = self.of_node[*node][axis] {
                        f[u] += pull;
                    }
                }
            }
        }
        for m in 0..self.frame.members.len() {
            let own = self.between(m, loads);
            for (row, pull) in self.end_rows(m).iter().zip(own) {
                for (u, factor) in row {
                    f[*u] += factor * pull;
                }
            }
        }
        f
    }

    /// What the loads between a member's ends amount to at its ends, in its own axes.
    pub(crate) fn between(&self, m: usize, loads: &[Load]) -> [f64; 12] {
        let mut own = [0.0; 12];
        let mut add = |more: [f64; 12]| {
            for (o, x) in own.iter_mut().zip(more) {
                *o += x;
            }
        };
        for load in loads {
            match load {
                Load::On {
                    member,
                    along,
                    force_n,
                } if *member == m => {
                    let force = self.axes[m].own(*force_n);
                    add(beam::point(
                        &self.frame.members[m],
                        self.lengths[m],
                        *along,
                        force,
                    ));
                }
                Load::Spread { member, force_n_m } if *member == m => {
                    add(beam::spread(self.lengths[m], self.axes[m].own(*force_n_m)));
                }
                Load::On { .. } | Load::Spread { .. } | Load::At { .. } => {}
            }
        }
        own
    }

    /// The six movements of each node.
    pub(crate) fn of_nodes(&self, x: &[f64]) -> Vec<[f64; 6]> {
        self.of_node
            .iter()
            .map(|of| of.map(|u| u.map_or(0.0, |u| x[u])))
            .collect()
    }

    /// The factors of a matrix that must be positive definite, or the mechanism that makes it not.
    pub(crate) fn factor(&self, pair: &Pair, values: &[f64]) -> Result<Ldl, Trouble> {
        let ldl = Ldl::of(pair, values);
        if ldl.weakest.0 > MECHANISM {
            return Ok(ldl);
        }
        Err(Trouble::Mechanism(self.mechanism(pair, values)))
    }

    /// The movement that costs least: inverse iteration on the matrix, lifted by a ten-billionth of
    /// its diagonal so that it can be solved with.
    fn mechanism(&self, pair: &Pair, values: &[f64]) -> Mechanism {
        const LIFT: f64 = 1e-10;
        let n = self.n();
        let diagonal = pair.diagonal(values);
        let mean = diagonal.iter().sum::<f64>() / n as f64;
        let mean = if mean > 0.0 { mean } else { 1.0 };
        let weight: Vec<f64> = diagonal
            .iter()
            .map(|d| if *d > 0.0 { *d } else { mean })
            .collect();
        let mut lifted = values.to_vec();
        for j in 0..n {
            lifted[pair.start[j + 1] - 1] += LIFT * weight[j];
        }
        let ldl = Ldl::of(pair, &lifted);
        // A start that is orthogonal to no likely movement: all ones, bent a little.
        let mut x: Vec<f64> = (0..n).map(|i| 1.0 + 0.1 * ((i * 7) % 11) as f64).collect();
        for _ in 0..4 {
            for (x, w) in x.iter_mut().zip(&weight) {
                *x *= w;
            }
            ldl.solve(&mut x, 1);
            let most = x.iter().fold(0.0, |m: f64, v| m.max(v.abs()));
            for v in &mut x {
                *v /= most;
            }
        }
        Mechanism {
            loose: self.loose(&x),
        }
    }

    /// Who moves in `x`, most first.
    fn loose(&self, x: &[f64]) -> Vec<Loose> {
        let turning = |u: &Unknown| match u {
            Unknown::Node(_, axis) | Unknown::End(_, _, axis) => *axis >= 3,
        };
        // The frame's own size makes a turn comparable with a shift.
        let reach = self.lengths.iter().copied().fold(0.0, f64::max);
        let reach = if reach > 0.0 { reach } else { 1.0 };
        let size = |u: &Unknown, v: f64| if turning(u) { v.abs() * reach } else { v.abs() };
        let most = self
            .unknowns
            .iter()
            .zip(x)
            .map(|(u, v)| size(u, *v))
            .fold(0.0, f64::max);
        let mut loose: Vec<Loose> = Vec::new();
        for (u, v) in self.unknowns.iter().zip(x) {
            let share = if turning(u) { v * reach } else { *v } / most;
            if share.abs() < 1e-3 {
                continue;
            }
            let (of, name, axis) = match *u {
                Unknown::Node(node, axis) => {
                    (Of::Node(node), self.frame.nodes[node].name.clone(), axis)
                }
                Unknown::End(m, e, axis) => {
                    let member = &self.frame.members[m];
                    let node = &self.frame.nodes[member.nodes[e]];
                    (
                        Of::End(m, e),
                        format!("{} at {}", member.name, node.name),
                        axis,
                    )
                }
            };
            if let Some(l) = loose.iter_mut().find(|l| l.of == of) {
                l.moves[axis] = share;
            } else {
                let mut moves = [0.0; 6];
                moves[axis] = share;
                loose.push(Loose { of, name, moves });
            }
        }
        let strength = |l: &Loose| l.moves.iter().fold(0.0, |m: f64, v| m.max(v.abs()));
        loose.sort_by(|a, b| strength(b).total_cmp(&strength(a)));
        loose
    }
}

/// The entries of a member: its matrices on sums of unknowns.
fn folded(rows: &[Row; 12], k: &Square12, mass: &Square12) -> Vec<Entry> {
    let mut used: Vec<usize> = rows.iter().flatten().map(|(u, _)| *u).collect();
    used.sort_unstable();
    used.dedup();
    let place = |u: usize| used.binary_search(&u).unwrap_or(0);
    let c = used.len();
    let (mut kk, mut mm) = (vec![0.0; c * c], vec![0.0; c * c]);
    for (i, ri) in rows.iter().enumerate() {
        for (j, rj) in rows.iter().enumerate() {
            if k[i][j] == 0.0 && mass[i][j] == 0.0 {
                continue;
            }
            for (u, fu) in ri {
                for (v, fv) in rj {
                    let at = place(*u) * c + place(*v);
                    kk[at] += fu * k[i][j] * fv;
                    mm[at] += fu * mass[i][j] * fv;
                }
            }
        }
    }
    let mut entries = Vec::with_capacity(c * (c + 1) / 2);
    for a in 0..c {
        for b in a..c {
            entries.push(Entry {
                i: used[a],
                j: used[b],
                k: kk[a * c + b],
                m: mm[a * c + b],
            });
        }
    }
    entries
}

/// The entries of a spring on a sum of unknowns.
fn spring(row: &Row, k: f64) -> Vec<Entry> {
    let mut entries = Vec::new();
    for (a, (u, fu)) in row.iter().enumerate() {
        for (v, fv) in &row[a..] {
            entries.push(Entry {
                i: *u,
                j: *v,
                k: fu * k * fv,
                m: 0.0,
            });
        }
    }
    entries
}
