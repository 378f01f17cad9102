//! Balance with joints that have play.
//!
//! A joint with play stores ½k(|d| − slack)² once it has moved beyond its slack. The frame's energy
//! is then convex and smooth, so its minimum is *the* balance and a search that always goes down
//! finds it: Newton's method on the joints in contact, with an exact search along each step
//! (Nocedal and Wright, Numerical Optimization, 2nd ed., chapter 3). Where nothing resists a joint
//! inside its play, it stays where the step that closed in on the balance left it.

use crate::{
    Trouble,
    assembly::{Assembly, Row, Sprung},
    ldl::Ldl,
    sparse::Pair,
};

/// Steps allowed. The worst of the random frames in the tests took 9.
const STEPS: usize = 200;

/// Stiffness inside the play, as a share of that in contact, for choosing a step only: the balance
/// itself has none.
const GHOST: f64 = 1e-8;

/// Imbalance that counts as balance, as a share of the load.
const BALANCED: f64 = 1e-9;

pub(crate) fn along(row: &Row, x: &[f64]) -> f64 {
    row.iter().map(|(u, f)| f * x[*u]).sum()
}

/// Force in the spring of a joint that has moved by d.
pub(crate) fn force(s: &Sprung, d: f64) -> f64 {
    if d > s.slack {
        s.k * (d - s.slack)
    } else if d < -s.slack {
        s.k * (d + s.slack)
    } else {
        0.0
    }
}

/// The balance under each of the load cases `forces`.
pub(crate) fn settle_each(
    assembly: &Assembly<'_>,
    forces: &[Vec<f64>],
) -> Result<Vec<Vec<f64>>, Trouble> {
    // Mechanisms are sought with every joint in contact: inside its play anything may move.
    let closed = assembly.matrices(|_, s| s.k);
    let ldl = assembly.factor(&closed, &closed.k)?;
    forces
        .iter()
        .map(|f| {
            if assembly.sprung.is_empty() {
                Ok(straight(&closed, &ldl, f))
            } else {
                settle(assembly, &closed, f)
            }
        })
        .collect()
}

/// The balance without play. One step of refinement takes off most of what rounding left.
fn straight(stiffness: &Pair, ldl: &Ldl, f: &[f64]) -> Vec<f64> {
    let mut x = f.to_vec();
    ldl.solve(&mut x, 1);
    let carried = stiffness.times(&stiffness.k, &x, 1);
    let mut more: Vec<f64> = f.iter().zip(&carried).map(|(f, c)| f - c).collect();
    ldl.solve(&mut more, 1);
    for (x, m) in x.iter_mut().zip(&more) {
        *x += m;
    }
    x
}

/// The balance with play. `closed` is the stiffness with every joint in contact.
fn settle(assembly: &Assembly<'_>, closed: &Pair, f: &[f64]) -> Result<Vec<f64>, Trouble> {
    let bare = assembly.matrices(|_, _| 0.0);
    let weight = closed.diagonal(&closed.k);
    let size = |g: &[f64]| -> f64 {
        g.iter()
            .zip(&weight)
            .map(|(g, w)| g * g / w)
            .sum::<f64>()
            .sqrt()
    };
    let scale = size(f);
    let mut x = vec![0.0; f.len()];
    let mut imbalance = 0.0;
    for _ in 0..STEPS {
        let g = gradient(assembly, &bare, f, &x);
        imbalance = if scale > 0.0 { size(&g) / scale } else { 0.0 };
        if imbalance <= BALANCED {
            return Ok(x);
        }
        let moved: Vec<f64> = assembly.sprung.iter().map(|s| along(&s.row, &x)).collect();
        let tangent = assembly.matrices(|i, s| {
            if moved[i].abs() > s.slack {
                s.k
            } else {
                GHOST * s.k
            }
        });
        let step_ldl = Ldl::of(&tangent, &tangent.k);
        let mut step: Vec<f64> = g.iter().map(|g| -g).collect();
        step_ldl.solve(&mut step, 1);
        let a = length(assembly, &bare, &g, &moved, &step);
        for (x, s) in x.iter_mut().zip(&step) {
            *x += a * s;
        }
    }
    Err(Trouble::Unsettled {
        steps: STEPS,
        imbalance,
    })
}

/// Imbalance: slope of the energy.
fn gradient(assembly: &Assembly<'_>, bare: &Pair, f: &[f64], x: &[f64]) -> Vec<f64> {
    let mut g = bare.times(&bare.k, x, 1);
    for (g, f) in g.iter_mut().zip(f) {
        *g -= f;
    }
    for s in &assembly.sprung {
        let pull = force(s, along(&s.row, x));
        for (u, factor) in &s.row {
            g[*u] += factor * pull;
        }
    }
    g
}

/// How far along `step` the energy is least. Its slope there is piecewise straight and rising, with
/// kinks where joints come into contact or leave it.
fn length(assembly: &Assembly<'_>, bare: &Pair, g: &[f64], moved: &[f64], step: &[f64]) -> f64 {
    let dot = |a: &[f64], b: &[f64]| -> f64 { a.iter().zip(b).map(|(a, b)| a * b).sum() };
    let curve = dot(step, &bare.times(&bare.k, step, 1)).max(0.0);
    let rates: Vec<f64> = assembly
        .sprung
        .iter()
        .map(|s| along(&s.row, step))
        .collect();
    let joints = || assembly.sprung.iter().zip(moved).zip(&rates);
    let start: f64 = dot(g, step);
    let slope = |a: f64| -> f64 {
        let springs: f64 = joints()
            .map(|((s, d), r)| r * (force(s, d + a * r) - force(s, *d)))
            .sum();
        start + a * curve + springs
    };
    let mut kinks: Vec<f64> = joints()
        .filter(|(_, r)| **r != 0.0)
        .flat_map(|((s, d), r)| [(s.slack - d) / r, (-s.slack - d) / r])
        .filter(|a| *a > 0.0 && a.is_finite())
        .collect();
    kinks.sort_by(f64::total_cmp);
    let (mut low, mut at_low) = (0.0, start);
    for kink in kinks {
        let here = slope(kink);
        if here >= 0.0 {
            return low + (kink - low) * at_low / (at_low - here);
        }
        (low, at_low) = (kink, here);
    }
    // Beyond the last kink the slope is straight.
    let probe = low + 1.0_f64.max(low);
    let rise = (slope(probe) - at_low) / (probe - low);
    if rise > 0.0 {
        low - at_low / rise
    } else {
        probe
    }
}
