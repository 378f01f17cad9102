//! Balance with joints that have play.
//!
//! A joint with play stores ½k(|d| − slack)² once it has moved beyond its slack. The frame's energy
//! is then convex and smooth, so its minimum is *the* balance and a search that always goes down
//! finds it: Newton's method on the joints in contact, with an exact search along each step
//! (Nocedal and Wright, Numerical Optimization, 2nd ed., chapter 3).

use crate::{
    Trouble,
    assembly::{Assembly, Row, Sprung},
    ldl::Ldl,
    sparse::Pair,
};

/// Steps allowed at each stage.
const STEPS: usize = 200;

/// Stiffness that a joint keeps inside its play, as a share of that in contact. The first stages
/// bring the search near to the balance; the last is what is solved. A hundred-millionth of the
/// stiffness is nothing to the load, but makes the answer the only one: what may lie anywhere
/// inside its play lies in the middle of it.
const STAGES: [f64; 6] = [1.0, 1e-1, 1e-2, 1e-4, 1e-6, 1e-8];

/// Imbalance that counts as balance, as a share of the load.
const BALANCED: f64 = 1e-9;

pub(crate) fn along(row: &Row, x: &[f64]) -> f64 {
    row.iter().map(|(u, f)| f * x[*u]).sum()
}

/// Force in the spring of a joint that has moved by d, with `inside` of its stiffness in the play.
fn force(s: &Sprung, d: f64, inside: f64) -> f64 {
    let within = d.clamp(-s.slack, s.slack);
    s.k * (inside * within + (d - within))
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
    let search = Search {
        assembly,
        bare: &bare,
        weight: closed.diagonal(&closed.k),
        f,
    };
    let mut x = vec![0.0; f.len()];
    for inside in STAGES {
        search.descend(&mut x, inside)?;
    }
    Ok(x)
}

struct Search<'a> {
    assembly: &'a Assembly<'a>,
    /// Stiffness without the joints with play.
    bare: &'a Pair,
    /// Diagonal of the stiffness with all of them: makes forces and moments comparable.
    weight: Vec<f64>,
    f: &'a [f64],
}

impl Search<'_> {
    /// Length of an imbalance of forces and moments: the root of twice the energy that it would
    /// store in springs of the diagonal's stiffness.
    fn size(&self, g: impl Iterator<Item = f64>) -> f64 {
        let squares = g.zip(&self.weight).map(|(g, w)| g * g / w);
        squares.sum::<f64>().sqrt()
    }

    /// Goes down to the balance with `inside` of the stiffness left inside the play.
    fn descend(&self, x: &mut [f64], inside: f64) -> Result<(), Trouble> {
        let scale = self.size(self.f.iter().copied());
        let mut imbalance = f64::INFINITY;
        for _ in 0..STEPS {
            let (g, rounding) = self.gradient(x, inside);
            let rounding = 4.0 * f64::EPSILON * self.size(rounding.iter().copied());
            let left = self.size(g.iter().copied());
            if left <= BALANCED * scale + rounding {
                return Ok(());
            }
            imbalance = left / scale;
            let moved: Vec<f64> = self.joints().map(|s| along(&s.row, x)).collect();
            let tangent = self.assembly.matrices(|i, s| {
                let contact = moved[i].abs() > s.slack;
                s.k * if contact { 1.0 } else { inside }
            });
            let mut step: Vec<f64> = g.iter().map(|g| -g).collect();
            Ldl::of(&tangent, &tangent.k).solve(&mut step, 1);
            let far = self.length(&g, &moved, &step, inside);
            for (x, s) in x.iter_mut().zip(&step) {
                *x += far * s;
            }
        }
        Err(Trouble::Unsettled {
            steps: STEPS,
            imbalance,
        })
    }

    fn joints(&self) -> core::slice::Iter<'_, Sprung> {
        self.assembly.sprung.iter()
    }

    /// Imbalance, the slope of the energy, and the sum of the sizes of what cancels in it.
    fn gradient(&self, x: &[f64], inside: f64) -> (Vec<f64>, Vec<f64>) {
        let absolute = |v: &[f64]| -> Vec<f64> { v.iter().map(|v| v.abs()).collect() };
        let mut g = self.bare.times(&self.bare.k, x, 1);
        let mut sizes = self.bare.times(&absolute(&self.bare.k), &absolute(x), 1);
        for ((g, size), f) in g.iter_mut().zip(&mut sizes).zip(self.f) {
            *g -= f;
            *size += f.abs();
        }
        for s in self.joints() {
            let d = along(&s.row, x);
            let pull = force(s, d, inside);
            for (u, factor) in &s.row {
                g[*u] += factor * pull;
                sizes[*u] += (factor * s.k * d).abs();
            }
        }
        (g, sizes)
    }

    /// How far along `step` the energy is least. Its slope there is piecewise straight and rising,
    /// with kinks where joints come into contact or leave it.
    fn length(&self, g: &[f64], moved: &[f64], step: &[f64], inside: f64) -> f64 {
        let dot = |a: &[f64], b: &[f64]| -> f64 { a.iter().zip(b).map(|(a, b)| a * b).sum() };
        let curve = dot(step, &self.bare.times(&self.bare.k, step, 1)).max(0.0);
        let rates: Vec<f64> = self.joints().map(|s| along(&s.row, step)).collect();
        let joints = || self.joints().zip(moved).zip(&rates);
        let start: f64 = dot(g, step);
        let slope = |a: f64| -> f64 {
            let springs: f64 = joints()
                .map(|((s, d), r)| r * (force(s, d + a * r, inside) - force(s, *d, inside)))
                .sum();
            start + a * curve + springs
        };
        let mut kinks: Vec<f64> = joints()
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
}
