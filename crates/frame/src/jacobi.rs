//! All eigenvalues of a small dense symmetric matrix by Jacobi's rotations (Golub and Van Loan,
//! Matrix Computations, 4th ed., section 8.5): slow for large matrices, but accurate, always
//! converging, and of square roots only, so the same to the bit everywhere.

/// Entries below this share of the smallest wanted eigenvalue are left: they change it by less than
/// their own square over the distance to the next.
const LEFT: f64 = 1e-12;

/// Sweeps allowed. Matrices of a hundred rows take 6 to 9.
const SWEEPS: usize = 40;

/// Eigenvalues, falling, and their eigenvectors as the columns of a matrix (row by row, n × n), of
/// the symmetric matrix `a` (row by row). Only the `wanted` largest are settled to the last digits.
pub(crate) fn eigen(mut a: Vec<f64>, n: usize, wanted: usize) -> (Vec<f64>, Vec<f64>) {
    // Eigenvectors by rows.
    let mut v = vec![0.0; n * n];
    for i in 0..n {
        v[i * n + i] = 1.0;
    }
    for sweep in 0..SWEEPS {
        // The diagonal tells the wanted values only after some sweeps.
        let floor = if sweep < 3 {
            0.0
        } else {
            let mut diagonal: Vec<f64> = (0..n).map(|i| a[i * n + i]).collect();
            diagonal.sort_by(|x, y| y.total_cmp(x));
            LEFT * diagonal[wanted.clamp(1, n) - 1].abs()
        };
        let mut turned = false;
        for p in 0..n {
            for q in p + 1..n {
                turned |= rotate(&mut a, &mut v, n, p, q, floor);
            }
        }
        if !turned {
            break;
        }
    }
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|i, j| a[j * n + j].total_cmp(&a[i * n + i]));
    let values = order.iter().map(|i| a[i * n + i]).collect();
    let mut vectors = vec![0.0; n * n];
    for r in 0..n {
        for (c, &from) in order.iter().enumerate() {
            vectors[r * n + c] = v[from * n + r];
        }
    }
    (values, vectors)
}

/// Turns rows and columns p < q of `a` so that their common entry vanishes, and rows p and q of `v`
/// with them. False where there was nothing to do.
fn rotate(a: &mut [f64], v: &mut [f64], n: usize, p: usize, q: usize, floor: f64) -> bool {
    let apq = a[p * n + q];
    let (app, aqq) = (a[p * n + p], a[q * n + q]);
    // So small an entry changes neither value in its last digit, however far apart they are.
    if apq.abs() <= floor.max(2.0 * f64::EPSILON * (app * aqq).abs().sqrt()) {
        return false;
    }
    let tau = (aqq - app) / (2.0 * apq);
    let sign = if tau >= 0.0 { 1.0 } else { -1.0 };
    let t = sign / (tau.abs() + (1.0 + tau * tau).sqrt());
    let c = 1.0 / (1.0 + t * t).sqrt();
    let s = t * c;
    turn(a, n, p, q, c, s);
    turn(v, n, p, q, c, s);
    a[p * n + p] = app - t * apq;
    a[q * n + q] = aqq + t * apq;
    a[p * n + q] = 0.0;
    a[q * n + p] = 0.0;
    for i in (0..n).filter(|i| *i != p && *i != q) {
        a[i * n + p] = a[p * n + i];
        a[i * n + q] = a[q * n + i];
    }
    true
}

fn turn(a: &mut [f64], n: usize, p: usize, q: usize, c: f64, s: f64) {
    let (upper, lower) = a.split_at_mut(q * n);
    for (x, y) in upper[p * n..(p + 1) * n].iter_mut().zip(&mut lower[..n]) {
        (*x, *y) = (c * *x - s * *y, s * *x + c * *y);
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
        let (values, vectors) = eigen(a.clone(), n, n);
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
