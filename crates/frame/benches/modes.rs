//! What solving costs: a robot's frame of some tens of nodes, one of 300, and the dense way beside
//! the sparse on a frame that a dense solver can still do.

use divan::{Bencher, black_box};
use frame::{Frame, Load, Lump, Material, Member, Node, Point, Section, Slack, Tap, fixed};
use nalgebra::{DMatrix, SymmetricEigen};

fn main() {
    divan::main();
}

/// A box of tubes on four feet, each edge in `pieces` pieces: 12 pieces have 140 nodes, 25 have 300.
fn boxed(pieces: usize) -> (Frame, usize) {
    let mut f = Frame::default();
    let plan = [(0.0, 0.0), (0.18, 0.0), (0.18, 0.14), (0.0, 0.14)];
    let tube = Section::rectangular_tube(0.01, 0.01, 0.001);
    let aluminium = Material::isotropic(68.9e9, 0.33, 2700.0);
    let [low, high] =
        [0.0, 0.06].map(|z| plan.map(|(x, y)| f.node(Node::new("corner", [x, y, z]))));
    f.nodes[low[0]].held = fixed();
    f.nodes[low[2]].held = fixed();
    for i in 0..4 {
        for (a, b) in [
            (low[i], low[(i + 1) % 4]),
            (high[i], high[(i + 1) % 4]),
            (low[i], high[i]),
        ] {
            f.chain(&Member::new("tube", a, b, tube.clone(), aluminium), pieces);
        }
        f.lumps.push(Lump::point(high[i], 0.1));
    }
    (f, high[1])
}

#[divan::bench(args = [3, 8, 25])]
fn twelve_modes(bencher: Bencher<'_, '_>, pieces: usize) {
    let (f, _) = boxed(pieces);
    bencher.bench(|| black_box(&f).modes(12, Slack::TakenUp));
}

/// The eigenvalues alone of a dense matrix of the size that `twelve_modes` with 8 pieces has.
#[divan::bench]
fn dense_eigenvalues_of_8_pieces(bencher: Bencher<'_, '_>) {
    let (f, _) = boxed(8);
    let n = 6 * (f.nodes.len() - 2);
    let a = DMatrix::from_fn(n, n, |i, j| {
        if i == j {
            4.0 + i as f64
        } else {
            1.0 / (1.0 + i.abs_diff(j) as f64)
        }
    });
    bencher.bench(|| SymmetricEigen::new(black_box(a.clone())).eigenvalues[0]);
}

#[divan::bench(args = [3, 8, 25])]
fn deflection(bencher: Bencher<'_, '_>, pieces: usize) {
    let (f, corner) = boxed(pieces);
    let load = [Load::force(corner, [10.0, 5.0, 0.0])];
    bencher.bench(|| black_box(&f).solve(&load));
}

#[divan::bench]
fn tap(bencher: Bencher<'_, '_>) {
    let (f, corner) = boxed(3);
    let modes = f.modes(12, Slack::TakenUp).expect("it swings");
    let at = Point::at(corner, [0.0, 0.0, 1.0]);
    let tap = Tap {
        on: at,
        impulse_n_s: 0.1,
        lasts_s: 1e-3,
        damping: 0.02,
    };
    bencher.bench(|| black_box(&modes).tap(&tap, &[at], 0.1));
}
