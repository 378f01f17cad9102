//! The lowest natural modes.
//!
//! Block Lanczos on the shifted inverse, B = (K + σM)⁻¹M, whose largest eigenvalues belong to the
//! lowest modes (Grimes, Lewis and Simon, SIAM Journal on Matrix Analysis 15 (1994) 228). The basis
//! is orthogonal in M throughout, so that no mode appears twice. At the end the residual of every
//! mode is checked, and the signs of the pivots of K − μM count the modes below μ, so that none is
//! missed (Sylvester's law of inertia).

use quantity::maths::TAU;

use crate::{Frame, Trouble, assembly::Assembly, check::check, jacobi, ldl::Ldl, sparse::Pair};

/// What joints with play do in small vibrations.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slack {
    /// They are pressed against one side and act as their springs: pre-loaded, or a hard blow.
    TakenUp,
    /// They lie inside their play and pass nothing on: a light touch.
    Inside,
}

/// One natural mode.
#[derive(Debug, Clone, PartialEq)]
pub struct Mode {
    /// Frequency in Hz, undamped. Zero where the frame, or part of it, moves freely.
    pub frequency_hz: f64,
    /// Movement of each node, shifts and turns, scaled to a modal mass of 1 kg: φᵀMφ = 1.
    pub shape: Vec<[f64; 6]>,
    /// How well it fulfils its equation: |Bφ − θφ| / θ in the measure of M. The frequency is off by
    /// much less than this share.
    pub residual: f64,
}

/// The lowest modes of a frame, rising in frequency.
#[derive(Debug, Clone, PartialEq)]
pub struct Modes {
    /// The modes.
    pub modes: Vec<Mode>,
}

impl Modes {
    /// The lowest frequency in Hz that is not a free movement.
    #[must_use]
    pub fn first_hz(&self) -> Option<f64> {
        let mut elastic = self.modes.iter().map(|m| m.frequency_hz);
        elastic.find(|f| *f > 0.0)
    }
}

/// Residual that a mode must come down to.
const SETTLED: f64 = 1e-8;

/// Vectors in the first block: more than a frame of a robot has modes of one frequency. Doubled
/// where the count of modes finds some missing.
const BLOCK: usize = 8;

/// Vectors in the basis before it starts again from its best, beyond four for each wanted mode.
const BASIS: usize = 48;

/// Times it may start again.
const RESTARTS: usize = 40;

/// Shift for frames that can move freely, as a share of the least stiffness over mass among the
/// unknowns: far above the rounding of zero, and low enough to tell the lowest modes apart.
const FREE_SHIFT: f64 = 1e-6;

/// Eigenvalues below this share of the shift are those of free movements.
const STILL: f64 = 1e-5;

impl Frame {
    /// The `count` lowest modes, or all there are if fewer. A frame that moves freely as a whole or in
    /// part is allowed: those movements come first, with frequency zero.
    ///
    /// # Errors
    /// [`Trouble::Flawed`] with every flaw of the description; [`Trouble::Massless`] where nothing
    /// has mass; [`Trouble::Mechanism`] where something without mass moves freely;
    /// [`Trouble::Unconverged`] where residuals or the count of modes are not as promised.
    pub fn modes(&self, count: usize, slack: Slack) -> Result<Modes, Trouble> {
        check(self, &[])?;
        let assembly = Assembly::of(self);
        let pair = assembly.matrices(|_, s| match slack {
            Slack::TakenUp => s.k,
            Slack::Inside => 0.0,
        });
        let mass = pair.diagonal(&pair.m);
        if !mass.iter().any(|m| *m > 0.0) {
            return Err(Trouble::Massless);
        }
        let (shift, ldl) = match assembly.factor(&pair, &pair.k) {
            Ok(ldl) => (0.0, ldl),
            Err(_) => {
                let least = pair
                    .diagonal(&pair.k)
                    .iter()
                    .zip(&mass)
                    .filter(|(k, m)| **k > 0.0 && **m > 0.0)
                    .map(|(k, m)| k / m)
                    .fold(f64::INFINITY, f64::min);
                let shift = FREE_SHIFT * if least.is_finite() { least } else { 1.0 };
                (shift, assembly.factor(&pair, &pair.shifted(shift))?)
            }
        };
        let operator = Operator {
            pair: &pair,
            ldl: &ldl,
            shift,
        };
        let mut block = BLOCK;
        loop {
            let found = operator.lowest(count, block)?;
            if found.len() < count.min(1) || operator.none_missing(&found) {
                let modes = found.into_iter().map(|p| Mode {
                    frequency_hz: p.lambda.sqrt() / TAU,
                    shape: assembly.of_nodes(&p.vector),
                    residual: p.residual,
                });
                return Ok(Modes {
                    modes: modes.collect(),
                });
            }
            block *= 2;
            if block > 16 * BLOCK {
                return Err(Trouble::Unconverged { residual: 1.0 });
            }
        }
    }
}

/// An eigenpair of K φ = λ M φ.
struct Found {
    lambda: f64,
    vector: Vec<f64>,
    residual: f64,
}

struct Operator<'a> {
    pair: &'a Pair,
    ldl: &'a Ldl,
    shift: f64,
}

/// Vectors of n numbers, M-orthonormal, with their products by M and by B.
#[derive(Default)]
struct Basis {
    v: Vec<Vec<f64>>,
    mv: Vec<Vec<f64>>,
    bv: Vec<Vec<f64>>,
    /// Vᵀ M B V, the lower triangle by rows.
    h: Vec<Vec<f64>>,
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn take(x: &mut [f64], factor: f64, y: &[f64]) {
    for (x, y) in x.iter_mut().zip(y) {
        *x -= factor * y;
    }
}

impl Operator<'_> {
    /// B times each of the vectors whose products by M are given.
    fn apply(&self, mv: &[Vec<f64>]) -> Vec<Vec<f64>> {
        let q = mv.len();
        let mut x = vec![0.0; self.pair.n * q];
        for (c, v) in mv.iter().enumerate() {
            for (i, value) in v.iter().enumerate() {
                x[i * q + c] = *value;
            }
        }
        self.ldl.solve(&mut x, q);
        (0..q)
            .map(|c| (0..self.pair.n).map(|i| x[i * q + c]).collect())
            .collect()
    }

    fn mass(&self, v: &[f64]) -> Vec<f64> {
        self.pair.times(&self.pair.m, v, 1)
    }

    /// Adds those of `candidates` to the basis that are not in it yet, made orthogonal to it, and
    /// says how many they were.
    fn extend(&self, basis: &mut Basis, candidates: Vec<Vec<f64>>) -> usize {
        let first = basis.v.len();
        for mut x in candidates {
            let mut mx = self.mass(&x);
            let before = dot(&x, &mx).max(0.0).sqrt();
            // Twice is enough (Parlett, The Symmetric Eigenvalue Problem, section 6.9).
            for _ in 0..2 {
                for (v, mv) in basis.v.iter().zip(&basis.mv) {
                    let c = dot(&x, mv);
                    take(&mut x, c, v);
                }
            }
            mx = self.mass(&x);
            let after = dot(&x, &mx).max(0.0).sqrt();
            // What is left of a vector that was in the basis already is rounding.
            if !(after > 1e-10 * before && after > 0.0) {
                continue;
            }
            for (x, mx) in x.iter_mut().zip(&mut mx) {
                *x /= after;
                *mx /= after;
            }
            basis.v.push(x);
            basis.mv.push(mx);
        }
        let new = basis.v.len() - first;
        if new > 0 {
            basis.bv.extend(self.apply(&basis.mv[first..]));
            for i in first..basis.v.len() {
                let row = (0..=i).map(|j| dot(&basis.mv[j], &basis.bv[i])).collect();
                basis.h.push(row);
            }
        }
        new
    }

    /// The best approximations in the basis to the `count` lowest modes, with B times each.
    fn ritz(&self, basis: &Basis, count: usize) -> Vec<(f64, Vec<f64>, Vec<f64>, f64)> {
        let q = basis.v.len();
        let mut h = vec![0.0; q * q];
        for (i, row) in basis.h.iter().enumerate() {
            for (j, x) in row.iter().enumerate() {
                h[i * q + j] = *x;
                h[j * q + i] = *x;
            }
        }
        let (theta, s) = jacobi::eigen(h, q, count);
        let mix = |from: &[Vec<f64>], c: usize| {
            let mut x = vec![0.0; self.pair.n];
            for (r, v) in from.iter().enumerate() {
                take(&mut x, -s[r * q + c], v);
            }
            x
        };
        (0..count.min(q))
            .map(|c| {
                let (x, bx) = (mix(&basis.v, c), mix(&basis.bv, c));
                let mut left = bx.clone();
                take(&mut left, theta[c], &x);
                let left = dot(&left, &self.mass(&left)).max(0.0).sqrt() / theta[c].abs();
                (theta[c], x, bx, left)
            })
            .collect()
    }

    fn lowest(&self, count: usize, block: usize) -> Result<Vec<Found>, Trouble> {
        let n = self.pair.n;
        let mut start: Vec<Vec<f64>> = (0..block).map(|c| scatter(n, c)).collect();
        let most = BASIS.max(6 * block) + 4 * count;
        let mut residual = f64::INFINITY;
        for _ in 0..RESTARTS {
            let mut basis = Basis::default();
            let mut new = self.extend(&mut basis, start);
            let mut all = new == 0;
            while !all && basis.v.len() < most {
                let from = basis.bv.len() - new;
                let candidates = basis.bv[from..].to_vec();
                new = self.extend(&mut basis, candidates);
                all = new == 0;
                if basis.v.len() < 3 * count + block && !all {
                    continue;
                }
                let pairs = self.ritz(&basis, count);
                residual = pairs.iter().map(|p| p.3).fold(0.0, f64::max);
                if residual <= SETTLED {
                    return Ok(self.found(pairs));
                }
            }
            let pairs = self.ritz(&basis, count + block);
            if all {
                // The basis holds every movement that has mass and that the start leads to.
                let pairs: Vec<_> = pairs.into_iter().take(count).collect();
                residual = pairs.iter().map(|p| p.3).fold(0.0, f64::max);
                if residual <= SETTLED {
                    return Ok(self.found(pairs));
                }
                break;
            }
            start = pairs.into_iter().map(|p| p.1).collect();
        }
        Err(Trouble::Unconverged { residual })
    }

    fn found(&self, pairs: Vec<(f64, Vec<f64>, Vec<f64>, f64)>) -> Vec<Found> {
        pairs
            .into_iter()
            .map(|(theta, _, bx, residual)| {
                let lambda = 1.0 / theta - self.shift;
                // One step of the iteration more, which costs nothing, as the shape.
                let size = dot(&bx, &self.mass(&bx)).max(0.0).sqrt();
                Found {
                    lambda: if lambda < STILL * self.shift {
                        0.0
                    } else {
                        lambda
                    },
                    vector: bx.iter().map(|x| x / size).collect(),
                    residual,
                }
            })
            .collect()
    }

    /// Whether there are no more modes below the highest found than were found.
    fn none_missing(&self, found: &[Found]) -> bool {
        let Some(last) = found.last() else {
            return true;
        };
        // Just below it, so that modes of one frequency are not cut apart.
        let mu = last.lambda * (1.0 - 1e-6);
        if mu <= 0.0 {
            return true;
        }
        let below = found.iter().filter(|f| f.lambda < mu).count();
        Ldl::of(self.pair, &self.pair.shifted(-mu)).below_zero() <= below
    }
}

/// Numbers without a pattern between −1 and 1, the same each time (Marsaglia's xorshift with the
/// shifts 13, 7, 17, Journal of Statistical Software 8 (2003) 14).
fn scatter(n: usize, which: usize) -> Vec<f64> {
    let mut x = 0x9e37_79b9_7f4a_7c15_u64 ^ ((which as u64 + 1) << 32);
    (0..n)
        .map(|_| {
            x ^= x << 13;
            x ^= x >> 7;
            x ^= x << 17;
            (x >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Material, Member, Node, Section, fixed};

    #[test]
    fn a_mode_left_out_is_noticed_by_the_count() {
        let mut f = Frame::default();
        let a = f.node(Node::new("root", [0.0; 3]).held(fixed()));
        let b = f.node(Node::new("tip", [0.15, 0.02, 0.0]));
        let material = Material::isotropic(68.9e9, 0.33, 2700.0);
        let strip = Member::new("strip", a, b, Section::rectangle(0.02, 0.003), material);
        f.chain(&strip, 6);
        let assembly = Assembly::of(&f);
        let pair = assembly.matrices(|_, s| s.k);
        let ldl = assembly.factor(&pair, &pair.k).expect("it stands");
        let operator = Operator {
            pair: &pair,
            ldl: &ldl,
            shift: 0.0,
        };
        let mut found = operator.lowest(8, BLOCK).expect("it swings");
        assert!(operator.none_missing(&found));
        found.remove(3);
        assert!(!operator.none_missing(&found));
    }
}
