//! A = LDLᵀ of a sparse symmetric matrix, row by row of L along the elimination tree (Liu, SIAM
//! Journal on Matrix Analysis 11 (1990) 134; Davis, Direct Methods for Sparse Linear Systems, SIAM
//! 2006, chapter 4). No pivoting: for positive definite matrices none is needed, and for others
//! the signs of D still count the eigenvalues below zero (Sylvester's law of inertia) unless a
//! pivot comes close to zero, which is told.

use crate::sparse::Pair;

/// The factors.
#[derive(Debug, Clone)]
pub(crate) struct Ldl {
    n: usize,
    start: Vec<usize>,
    row: Vec<usize>,
    value: Vec<f64>,
    pub(crate) d: Vec<f64>,
    /// The smallest pivot as a share of the diagonal entry that it came from, and where.
    pub(crate) weakest: (f64, usize),
}

const NONE: usize = usize::MAX;

/// Elimination tree and the number of entries in each column of L below the diagonal.
fn tree(a: &Pair) -> (Vec<usize>, Vec<usize>) {
    let (mut parent, mut count) = (vec![NONE; a.n], vec![0; a.n]);
    let mut seen = vec![NONE; a.n];
    for k in 0..a.n {
        seen[k] = k;
        for &i in &a.row[a.start[k]..a.start[k + 1]] {
            let mut i = i;
            while seen[i] != k {
                if parent[i] == NONE {
                    parent[i] = k;
                }
                count[i] += 1;
                seen[i] = k;
                i = parent[i];
            }
        }
    }
    (parent, count)
}

impl Ldl {
    /// Factors of the matrix with `values` on the pattern of `a`. Look at `weakest` before solving:
    /// a pivot that is exactly zero is replaced by the smallest number there is.
    pub(crate) fn of(a: &Pair, values: &[f64]) -> Self {
        let n = a.n;
        let (parent, count) = tree(a);
        let mut start = vec![0; n + 1];
        for i in 0..n {
            start[i + 1] = start[i] + count[i];
        }
        let mut end = start.clone();
        let (mut row, mut value) = (vec![0; start[n]], vec![0.0; start[n]]);
        let mut d = vec![0.0; n];
        let mut weakest = (f64::INFINITY, 0);
        let (mut y, mut seen) = (vec![0.0; n], vec![NONE; n]);
        // The row's pattern, in an order in which children come before parents.
        let (mut pattern, mut path) = (vec![0; n], Vec::new());
        for k in 0..n {
            let mut top = n;
            seen[k] = k;
            for p in a.start[k]..a.start[k + 1] {
                let mut i = a.row[p];
                y[i] += values[p];
                while seen[i] != k {
                    path.push(i);
                    seen[i] = k;
                    i = parent[i];
                }
                while let Some(i) = path.pop() {
                    top -= 1;
                    pattern[top] = i;
                }
            }
            let diagonal = y[k];
            let mut pivot = diagonal;
            y[k] = 0.0;
            for &i in &pattern[top..n] {
                let yi = y[i];
                y[i] = 0.0;
                for p in start[i]..end[i] {
                    y[row[p]] -= value[p] * yi;
                }
                let l = yi / d[i];
                pivot -= l * yi;
                row[end[i]] = k;
                value[end[i]] = l;
                end[i] += 1;
            }
            let strength = if diagonal == 0.0 {
                0.0
            } else {
                pivot / diagonal
            };
            d[k] = if pivot == 0.0 {
                f64::MIN_POSITIVE
            } else {
                pivot
            };
            if strength < weakest.0 {
                weakest = (strength, k);
            }
        }
        Self {
            n,
            start,
            row,
            value,
            d,
            weakest,
        }
    }

    /// How many eigenvalues lie below zero.
    pub(crate) fn below_zero(&self) -> usize {
        self.d.iter().filter(|&&d| d < 0.0).count()
    }

    /// Solves for each of `q` right sides, stored row by row (n rows of q), in place.
    pub(crate) fn solve(&self, x: &mut [f64], q: usize) {
        let mut own = vec![0.0; q];
        for j in 0..self.n {
            own.copy_from_slice(&x[j * q..(j + 1) * q]);
            for p in self.start[j]..self.start[j + 1] {
                let (i, l) = (self.row[p], self.value[p]);
                for (x, o) in x[i * q..(i + 1) * q].iter_mut().zip(&own) {
                    *x -= l * o;
                }
            }
        }
        for (j, d) in self.d.iter().enumerate() {
            for x in &mut x[j * q..(j + 1) * q] {
                *x /= d;
            }
        }
        for j in (0..self.n).rev() {
            own.copy_from_slice(&x[j * q..(j + 1) * q]);
            for p in self.start[j]..self.start[j + 1] {
                let (i, l) = (self.row[p], self.value[p]);
                for (o, x) in own.iter_mut().zip(&x[i * q..(i + 1) * q]) {
                    *o -= l * x;
                }
            }
            x[j * q..(j + 1) * q].copy_from_slice(&own);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sparse::Entry;

    fn matrix() -> Pair {
        // Diagonally dominant, with fill: a ring of ten with two chords.
        let mut entries = Vec::new();
        for i in 0..10 {
            let e = |i, j, k| Entry { i, j, k, m: 0.0 };
            entries.push(e(i, i, 5.0 + i as f64));
            entries.push(e(i, (i + 1) % 10, -1.5));
        }
        entries.push(Entry {
            i: 2,
            j: 7,
            k: 0.7,
            m: 0.0,
        });
        entries.push(Entry {
            i: 4,
            j: 9,
            k: -0.3,
            m: 0.0,
        });
        Pair::sum(10, &entries)
    }

    #[test]
    fn what_is_solved_satisfies_the_equations() {
        let a = matrix();
        let b: Vec<f64> = (0..20).map(|i| f64::from(i) - 7.0).collect();
        let mut x = b.clone();
        let ldl = Ldl::of(&a, &a.k);
        ldl.solve(&mut x, 2);
        for (got, want) in a.times(&a.k, &x, 2).iter().zip(&b) {
            assert!((got - want).abs() < 1e-12, "{got} {want}");
        }
        assert_eq!(ldl.below_zero(), 0);
    }

    #[test]
    fn signs_of_the_pivots_count_the_eigenvalues_below_zero() {
        let mut a = matrix();
        for j in 0..4 {
            let at = a.start[j + 1] - 1;
            a.k[at] -= 40.0;
        }
        // Dominant negative diagonals: Gershgorin's circles keep four eigenvalues below zero.
        assert_eq!(Ldl::of(&a, &a.k).below_zero(), 4);
    }

    #[test]
    fn a_singular_matrix_shows_in_its_weakest_pivot() {
        let e = |i, j, k| Entry { i, j, k, m: 0.0 };
        let a = Pair::sum(2, &[e(0, 0, 1.0), e(0, 1, -1.0), e(1, 1, 1.0)]);
        assert!(Ldl::of(&a, &a.k).weakest.0 < 1e-15);
    }
}
