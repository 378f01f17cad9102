//! All eigenvalues of a small dense symmetric matrix by Jacobi's rotations (Golub and Van Loan,
//! Matrix Computations, 4th ed., section 8.5): slow for large matrices, but accurate, always
//! converging, and of square roots only, so the same to the bit everywhere.

/// Sweeps allowed. Matrices of a hundred rows take 6 to 9.
const SWEEPS: usize = 40;

/// Eigenvalues, falling, and their eigenvectors as the columns of a matrix (row by row, n × n), of
/// the symmetric matrix `a` (row by row).
pub(crate) fn eigen(mut a: Vec<f64>, n: usize) -> (Vec<f64>, Vec<f64>) {
    let mut v = vec![0.0; n * n];
    for i in 0..n {
        v[i * n + i] = 1.0;
    }
    let all: f64 = a.iter().map(|x| x * x).sum();
    for _ in 0..SWEEPS {
        let off: f64 = (0..n)
            .flat_map(|i| (i + 1..n).map(move |j| (i, j)))
            .map(|(i, j)| a[i * n + j] * a[i * n + j])
            .sum();
        if off <= f64::EPSILON * f64::EPSILON * all {
            break;
        }
        for p in 0..n {
            for q in p + 1..n {
                rotate(&mut a, &mut v, n, p, q);
            }
        }
    }
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|i, j| a[j * n + j].total_cmp(&a[i * n + i]));
    let values = order.iter().map(|i| a[i * n + i]).collect();
    let mut vectors = vec![0.0; n * n];
    for r in 0..n {
        for (c, &from) in order.iter().enumerate() {
            vectors[r * n + c] = v[r * n + from];
        }
    }
    (values, vectors)
}

/// Turns rows and columns p and q so that their common entry vanishes.
fn rotate(a: &mut [f64], v: &mut [f64], n: usize, p: usize, q: usize) {
    let apq = a[p * n + q];
    let (app, aqq) = (a[p * n + p], a[q * n + q]);
    if apq.abs() <= f64::EPSILON * f64::EPSILON * (app.abs() + aqq.abs()) {
        return;
    }
    let tau = (aqq - app) / (2.0 * apq);
    let sign = if tau >= 0.0 { 1.0 } else { -1.0 };
    let t = sign / (tau.abs() + (1.0 + tau * tau).sqrt());
    let c = 1.0 / (1.0 + t * t).sqrt();
    let s = t * c;
    for i in 0..n {
        let (x, y) = (a[i * n + p], a[i * n + q]);
        a[i * n + p] = c * x - s * y;
        a[i * n + q] = s * x + c * y;
    }
    for i in 0..n {
        let (x, y) = (a[p * n + i], a[q * n + i]);
        a[p * n + i] = c * x - s * y;
        a[q * n + i] = s * x + c * y;
    }
    a[p * n + q] = 0.0;
    a[q * n + p] = 0.0;
    for i in 0..n {
        let (x, y) = (v[i * n + p], v[i * n + q]);
        v[i * n + p] = c * x - s * y;
        v[i * n + q] = s * x + c * y;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::maths::{PI, cos};

    /// Second differences of n points: 2 − 2 cos(kπ/(n + 1)) (closed form).
    #[test]
    fn second_differences_have_their_known_eigenvalues() {
        let n = 30;
        let mut a = vec![0.0; n * n];
        for i in 0..n {
            a[i * n + i] = 2.0;
            if i > 0 {
                a[i * n + i - 1] = -1.0;
                a[(i - 1) * n + i] = -1.0;
            }
        }
        let (values, vectors) = eigen(a.clone(), n);
        for (k, value) in values.iter().rev().enumerate() {
            let want = 2.0 - 2.0 * cos((k + 1) as f64 * PI / (n + 1) as f64);
            assert!((value - want).abs() < 1e-13, "{value} {want}");
        }
        for c in 0..n {
            for r in 0..n {
                let av: f64 = (0..n).map(|j| a[r * n + j] * vectors[j * n + c]).sum();
                assert!((av - values[c] * vectors[r * n + c]).abs() < 1e-13);
            }
        }
    }
}
