//! Symmetric sparse matrices by columns, and the pair of stiffness and mass on one pattern.

/// The upper triangles of two symmetric matrices with one pattern, by columns: column j has the
/// rows `row[start[j]..start[j + 1]]`, rising, the last of them j itself.
#[derive(Debug, Clone)]
pub(crate) struct Pair {
    pub(crate) n: usize,
    pub(crate) start: Vec<usize>,
    pub(crate) row: Vec<usize>,
    pub(crate) k: Vec<f64>,
    pub(crate) m: Vec<f64>,
}

/// One entry of either matrix, any order and triangle.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Entry {
    pub(crate) i: usize,
    pub(crate) j: usize,
    pub(crate) k: f64,
    pub(crate) m: f64,
}

impl Pair {
    /// The sum of the entries. Of the two entries (i, j) and (j, i) of a symmetric sum only the
    /// upper is to be given.
    pub(crate) fn sum(n: usize, entries: &[Entry]) -> Self {
        // Two passes of sorting by counting, rows first: stable, so sums have one order.
        let upper = |e: &Entry| (e.i.min(e.j), e.i.max(e.j));
        let by_row = sorted(n, entries, |e| upper(e).0);
        let by_both = sorted(n, &by_row, |e| upper(e).1);
        let mut it = Self {
            n,
            start: vec![0],
            row: Vec::new(),
            k: Vec::new(),
            m: Vec::new(),
        };
        let mut at = 0;
        for j in 0..n {
            while at < by_both.len() && upper(&by_both[at]).1 == j {
                let e = &by_both[at];
                let i = upper(e).0;
                let new = it.row.len() == it.start[j] || it.row[it.row.len() - 1] != i;
                if new {
                    it.row.push(i);
                    it.k.push(0.0);
                    it.m.push(0.0);
                }
                let last = it.row.len() - 1;
                it.k[last] += e.k;
                it.m[last] += e.m;
                at += 1;
            }
            if it.row.len() == it.start[j] || it.row[it.row.len() - 1] != j {
                it.row.push(j);
                it.k.push(0.0);
                it.m.push(0.0);
            }
            it.start.push(it.row.len());
        }
        it
    }

    /// Values of K + shift·M on the pattern.
    pub(crate) fn shifted(&self, shift: f64) -> Vec<f64> {
        self.k
            .iter()
            .zip(&self.m)
            .map(|(k, m)| k + shift * m)
            .collect()
    }

    /// The diagonal of `values` on the pattern.
    pub(crate) fn diagonal(&self, values: &[f64]) -> Vec<f64> {
        (0..self.n).map(|j| values[self.start[j + 1] - 1]).collect()
    }

    /// `values` times each of `q` vectors, stored row by row (n rows of q).
    pub(crate) fn times(&self, values: &[f64], x: &[f64], q: usize) -> Vec<f64> {
        let mut y = vec![0.0; x.len()];
        for j in 0..self.n {
            for p in self.start[j]..self.start[j + 1] {
                let (i, v) = (self.row[p], values[p]);
                for c in 0..q {
                    y[i * q + c] += v * x[j * q + c];
                }
                if i != j {
                    for c in 0..q {
                        y[j * q + c] += v * x[i * q + c];
                    }
                }
            }
        }
        y
    }
}

fn sorted(n: usize, entries: &[Entry], key: impl Fn(&Entry) -> usize) -> Vec<Entry> {
    let mut start = vec![0; n + 1];
    for e in entries {
        start[key(e) + 1] += 1;
    }
    for i in 0..n {
        start[i + 1] += start[i];
    }
    let mut out = entries.to_vec();
    for e in entries {
        let k = key(e);
        out[start[k]] = *e;
        start[k] += 1;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn entries_of_one_place_are_summed_and_the_diagonal_is_always_there() {
        let e = |i, j, k| Entry { i, j, k, m: 1.0 };
        let a = Pair::sum(3, &[e(2, 0, 1.0), e(0, 0, 4.0), e(0, 2, 2.0)]);
        assert_eq!(a.start, [0, 1, 2, 4]);
        assert_eq!(a.row, [0, 1, 0, 2]);
        assert_eq!(a.k, [4.0, 0.0, 3.0, 0.0]);
        assert_eq!(a.times(&a.k, &[1.0, 10.0, 100.0], 1), [304.0, 0.0, 3.0]);
    }
}
