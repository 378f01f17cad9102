//! Which figure that is not known well moves the result most.
//!
//! Every bout drew every unknown once, and the draws can be worked out again from their keys. So
//! the record's own bouts show how winning goes with each of them: the slope of win (0 or 1) on
//! the drawn standard normal. No bout is fought for it.

use quantity::Stream;
use robot::Robot;

use crate::task::{Fought, Task, Verdict};

/// One unknown and what it does.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknown {
    /// Path of the figure.
    pub path: String,
    /// The figure with its unit.
    pub shown: String,
    /// Half-width of what is not known, with its unit.
    pub unsure_shown: String,
    /// Whether nobody said it at all: the typical value of its class was taken.
    pub guessed: bool,
    /// Change of the win rate when the figure is one half-width (19 to 1) higher.
    pub win_rate_per_half_width: f64,
    /// Standard error of that change.
    pub standard_error: f64,
}

impl Unknown {
    /// Whether the effect stands out of the noise of the bouts, allowing for `tried` unknowns.
    #[must_use]
    pub fn stands_out(&self, tried: usize) -> bool {
        let tried = u32::try_from(tried.max(1)).unwrap_or(u32::MAX);
        let z = crate::interval::z_of(1.0 - 0.05 / f64::from(tried));
        self.win_rate_per_half_width.abs() > z * self.standard_error
    }
}

/// Standard deviations in the half-width of a central 95 % range of a normal.
const HALF_WIDTH_95: f64 = 1.959_963_984_540_054;

/// Unknowns of `robot`, the one that moves the win rate most first. `names` are the opponents'.
#[must_use]
pub fn rank(
    robot: &Robot,
    seed: u64,
    names: &[String],
    tasks: &[Task],
    results: &[Option<Fought>],
) -> Vec<Unknown> {
    let mut bouts: Vec<(Stream, f64)> = Vec::new();
    for (task, fought) in tasks.iter().zip(results) {
        let (Some(fought), Some(name)) = (fought, names.get(task.opponent)) else {
            continue;
        };
        if fought.verdict == Verdict::Failed {
            continue;
        }
        let seat = u64::from(task.seat() == 1);
        let key = task.key(seed, name).named("seat").numbered(seat);
        bouts.push((key, f64::from(u8::from(fought.verdict == Verdict::Win))));
    }
    let mut unknowns: Vec<Unknown> = robot
        .figures()
        .into_iter()
        .filter(|f| f.unsure > 0.0)
        .map(|f| {
            let points: Vec<(f64, f64)> = bouts
                .iter()
                .map(|(key, won)| {
                    let z = key.named(&f.path).named("unsure").normal().clamp(-3.0, 3.0);
                    (z / HALF_WIDTH_95, *won)
                })
                .collect();
            let (slope, error) = slope(&points);
            Unknown {
                path: f.path,
                shown: f.shown,
                unsure_shown: f.unsure_shown,
                guessed: f.origin == quantity::Origin::Typical,
                win_rate_per_half_width: slope,
                standard_error: error,
            }
        })
        .collect();
    let size = |u: &Unknown| u.win_rate_per_half_width.abs();
    unknowns.sort_by(|a, b| size(b).total_cmp(&size(a)).then(a.path.cmp(&b.path)));
    unknowns
}

/// Least-squares slope of y on x with its standard error; 0 and infinity where nothing can be said.
fn slope(points: &[(f64, f64)]) -> (f64, f64) {
    let n = points.len() as f64;
    if points.len() < 3 {
        return (0.0, f64::INFINITY);
    }
    let (mx, my) = (
        points.iter().map(|p| p.0).sum::<f64>() / n,
        points.iter().map(|p| p.1).sum::<f64>() / n,
    );
    let sxx: f64 = points.iter().map(|p| (p.0 - mx) * (p.0 - mx)).sum();
    let sxy: f64 = points.iter().map(|p| (p.0 - mx) * (p.1 - my)).sum();
    if sxx <= 0.0 {
        return (0.0, f64::INFINITY);
    }
    let b = sxy / sxx;
    let left: f64 = points
        .iter()
        .map(|p| {
            let e = p.1 - my - b * (p.0 - mx);
            e * e
        })
        .sum();
    (b, (left / (n - 2.0) / sxx).sqrt())
}

#[cfg(test)]
mod tests {
    use super::slope;

    /// Four points worked by hand: slope 1.4, residuals −0.2, 0.4, −0.2 …, s.e. √(0.6/2/5)... by
    /// the textbook formula.
    #[test]
    fn the_slope_is_the_textbook_one() {
        let (b, se) = slope(&[(0.0, 1.0), (1.0, 2.0), (2.0, 4.0), (3.0, 5.0)]);
        assert!((b - 1.4).abs() < 1e-12);
        assert!((se - (0.2_f64 / 2.0 / 5.0).sqrt()).abs() < 1e-12, "{se}");
    }
}
