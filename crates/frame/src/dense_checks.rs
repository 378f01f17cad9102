//! The sparse solver against dense ones of a library, on random frames.

use nalgebra::{Cholesky, DMatrix, DVector, SymmetricEigen};
use quantity::maths::TAU;

use crate::{
    End, Frame, Link, Load, Lump, Material, Member, Node, Section, Slack, assembly::Assembly, fixed,
};

/// Numbers between 0 and 1 without a pattern, the same each time.
struct Numbers(u64);

impl Numbers {
    fn next(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }
}

/// A tree of nodes with some rings closed, members of all kinds, some joints with springs, some
/// lumps off their nodes; one node or two fixed.
fn random(seed: u64, held: bool) -> Frame {
    let mut r = Numbers(seed * 0x9e37_79b9 + 0x1234_5678_9abc);
    let mut f = Frame::default();
    let n = 5 + (seed % 12) as usize;
    for i in 0..n {
        let at = [0.0; 3].map(|_: f64| r.between(-0.2, 0.2));
        let node = Node::new(format!("n{i}"), at);
        let stay = held && (i == 0 || (i == 3 && seed.is_multiple_of(2)));
        f.node(if stay { node.held(fixed()) } else { node });
    }
    let mut pairs: Vec<(usize, usize)> = (1..n).map(|i| (i / 2, i)).collect();
    pairs.extend((2..n).step_by(3).map(|i| (i - 2, i)));
    pairs.sort_unstable();
    pairs.dedup();
    for (i, (a, b)) in pairs.into_iter().enumerate() {
        let (w, h) = (r.between(0.004, 0.02), r.between(0.002, 0.02));
        let section = match i % 4 {
            0 => Section::rectangle(w, h),
            1 => Section::rectangular_tube(0.01 + w, 0.01 + h, 0.001),
            2 => Section::round(w, 0.3 * w),
            _ => Section::angle(0.01 + w, 0.01 + h, 0.0015),
        };
        let material = Material::isotropic(r.between(2e9, 2e11), 0.3, r.between(1e3, 8e3));
        let mut m = Member::new(format!("m{i}"), a, b, section, material);
        m.shear = i % 3 == 0;
        m.up = Some([0.0; 3].map(|_: f64| r.between(-1.0, 1.0)));
        if i % 5 == 1 {
            m.ends[0] = End::sprung(r.between(1.0, 300.0));
            m.ends[1].links[0] = Link::Spring(r.between(1e4, 1e7));
        }
        f.member(m);
    }
    for node in (1..n).step_by(2) {
        f.lumps.push(Lump {
            node,
            mass_kg: r.between(0.01, 0.3),
            offset_m: [0.0; 3].map(|_: f64| r.between(-0.02, 0.02)),
            inertia_kg_m2: [0.0; 3].map(|_: f64| r.between(0.0, 1e-4)),
        });
    }
    f
}

fn dense(f: &Frame) -> (DMatrix<f64>, DMatrix<f64>) {
    let a = Assembly::of(f);
    let pair = a.matrices(|_, s| s.k);
    let mut k = DMatrix::zeros(pair.n, pair.n);
    let mut m = DMatrix::zeros(pair.n, pair.n);
    for j in 0..pair.n {
        for p in pair.start[j]..pair.start[j + 1] {
            let i = pair.row[p];
            (k[(i, j)], k[(j, i)]) = (pair.k[p], pair.k[p]);
            (m[(i, j)], m[(j, i)]) = (pair.m[p], pair.m[p]);
        }
    }
    (k, m)
}

/// Lowest frequencies of K φ = λ M φ from the largest eigenvalues 1/(λ + σ) of L⁻¹ M L⁻ᵀ with
/// K + σM = LLᵀ, by a dense symmetric solver.
fn dense_hz(f: &Frame, count: usize, shift_hz: f64) -> Vec<f64> {
    let (k, m) = dense(f);
    let shift = (TAU * shift_hz) * (TAU * shift_hz);
    let l = Cholesky::new(k + shift * &m)
        .expect("nothing moves freely")
        .l();
    let a = l.solve_lower_triangular(&m).expect("not singular");
    let a = l
        .solve_lower_triangular(&a.transpose())
        .expect("not singular");
    let a = 0.5 * (&a + a.transpose());
    let eigen = SymmetricEigen::try_new(a, f64::EPSILON, 10_000).expect("it settles");
    let mut values: Vec<f64> = eigen.eigenvalues.iter().copied().collect();
    values.sort_by(|a, b| b.total_cmp(a));
    values
        .into_iter()
        .take(count)
        .map(|theta| (1.0 / theta - shift).max(0.0).sqrt() / TAU)
        .collect()
}

/// Measured: 6e-11 at worst.
#[test]
fn modes_of_random_frames_agree_with_a_dense_solver() {
    for seed in 1..40 {
        let f = random(seed, true);
        let modes = f.modes(12, Slack::TakenUp).expect("it swings").modes;
        let want = dense_hz(&f, modes.len(), 0.0);
        assert_eq!(modes.len(), 12);
        for (mode, want) in modes.iter().zip(want) {
            let off = mode.frequency_hz / want - 1.0;
            assert!(off.abs() < 1e-8, "{seed}: {} {want}", mode.frequency_hz);
        }
    }
}

#[test]
fn free_random_frames_have_six_free_movements_and_the_dense_solvers_frequencies() {
    for seed in 1..20 {
        let f = random(seed, false);
        let modes = f.modes(12, Slack::TakenUp).expect("it swings").modes;
        let want = dense_hz(&f, 12, 20.0);
        for (i, (mode, want)) in modes.iter().zip(want).enumerate() {
            if i < 6 {
                assert!(mode.frequency_hz == 0.0, "{seed}: {mode:?}");
            } else {
                let off = mode.frequency_hz / want - 1.0;
                assert!(off.abs() < 1e-8, "{seed}: {} {want}", mode.frequency_hz);
            }
        }
    }
}

#[test]
fn shapes_are_orthogonal_in_mass_and_stiffness() {
    for seed in 1..10 {
        let f = random(seed, true);
        let a = Assembly::of(&f);
        let pair = a.matrices(|_, s| s.k);
        let modes = f.modes(8, Slack::TakenUp).expect("it swings").modes;
        // Nodes only: ends with springs have movements that shapes do not tell.
        let plain = f.members.iter().all(|m| m.ends == [End::RIGID; 2]);
        if !plain {
            continue;
        }
        let vector = |i: usize| -> Vec<f64> {
            a.unknowns
                .iter()
                .map(|u| match u {
                    crate::assembly::Unknown::Node(n, axis) => modes[i].shape[*n][*axis],
                    crate::assembly::Unknown::End(..) => 0.0,
                })
                .collect()
        };
        for i in 0..8 {
            let mx = pair.times(&pair.m, &vector(i), 1);
            for j in 0..8 {
                let product: f64 = mx.iter().zip(vector(j)).map(|(a, b)| a * b).sum();
                let want = if i == j { 1.0 } else { 0.0 };
                assert!((product - want).abs() < 1e-7, "{seed} {i} {j}: {product}");
            }
        }
    }
}

#[test]
fn deflections_of_random_frames_agree_with_a_dense_solver() {
    for seed in 1..60 {
        let f = random(seed, true);
        let loads = [
            Load::force(f.nodes.len() - 1, [3.0, -4.0, 5.0]),
            Load::On {
                member: 1,
                along: 0.3,
                force_n: [1.0, 2.0, -3.0],
            },
        ];
        let (k, _) = dense(&f);
        let b = Assembly::of(&f).loads(&loads);
        let x = Cholesky::new(k)
            .expect("it stands")
            .solve(&DVector::from_vec(b));
        let want = Assembly::of(&f).of_nodes(x.as_slice());
        let got = f.solve(&loads).expect("it stands").moved;
        for axes in [0..3, 3..6] {
            let most = want.iter().flat_map(|m| m[axes.clone()].iter());
            let most = most.fold(0.0, |a: f64, b| a.max(b.abs()));
            for (got, want) in got.iter().zip(&want) {
                for i in axes.clone() {
                    assert!((got[i] - want[i]).abs() < 1e-9 * most, "{seed}");
                }
            }
        }
    }
}

/// Forces and moments of ground and loads cancel, whatever is in between.
#[test]
fn reactions_balance_the_loads() {
    for seed in 1..40 {
        let f = random(seed, true);
        let loads = f.weight([0.5, -1.0, -9.8]);
        let s = f.solve(&loads).expect("it stands");
        let mass = f.mass_kg();
        for (axis, g) in [0.5, -1.0, -9.8].into_iter().enumerate() {
            let held: f64 = s.reactions.iter().map(|r| r[axis]).sum();
            assert!((held + mass * g).abs() < 1e-7 * mass * 9.8, "{seed} {axis}");
        }
    }
}
