//! What a set of sensors covers of the horizon.

use quantity::maths::{PI, TAU};

/// Share of the circle covered by beams of (direction, full opening angle) in rad, and the gaps
/// between them as (start, width), counter-clockwise; the widest gap comes last.
#[must_use]
pub fn coverage(beams: &[(f64, f64)]) -> (f64, Vec<(f64, f64)>) {
    let mut pieces: Vec<(f64, f64)> = Vec::new();
    for (direction, opening) in beams {
        let start = (direction - 0.5 * opening).rem_euclid(TAU);
        let end = start + opening.min(TAU);
        pieces.push((start, end.min(TAU)));
        if end > TAU {
            pieces.push((0.0, end - TAU));
        }
    }
    pieces.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut gaps = Vec::new();
    let (mut reached, mut covered) = (0.0_f64, 0.0);
    for (start, end) in pieces {
        if start > reached {
            gaps.push((reached, start - reached));
        }
        if end > reached {
            covered += end - start.max(reached);
            reached = end;
        }
    }
    if reached < TAU {
        gaps.push((reached, TAU - reached));
    }
    // A gap through direction 0 was cut in two.
    if gaps.len() > 1
        && let (Some(first), Some(last)) = (gaps.first().copied(), gaps.last().copied())
        && first.0.abs() < 1e-12
        && (last.0 + last.1 - TAU).abs() < 1e-12
    {
        gaps.remove(0);
        let n = gaps.len();
        gaps[n - 1].1 += first.1;
    }
    gaps.sort_by(|a, b| a.1.total_cmp(&b.1));
    (covered / TAU, gaps)
}

/// Half-angle in rad that an opponent of `radius_m` at `distance_m` (to its middle) subtends.
#[must_use]
pub fn half_angle_rad(radius_m: f64, distance_m: f64) -> f64 {
    if radius_m >= distance_m {
        PI / 2.0
    } else {
        quantity::maths::asin(radius_m / distance_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// Three 25° sensors at −45°, 0° and 45°: exact.
    #[test]
    fn three_beams_leave_two_small_gaps_and_a_blind_back() {
        let beam = |deg: f64| (deg.to_radians(), 25.0_f64.to_radians());
        let (share, gaps) = coverage(&[beam(-45.0), beam(0.0), beam(45.0)]);
        near(share, 75.0 / 360.0, 1e-12);
        assert_eq!(gaps.len(), 3);
        near(gaps[0].1.to_degrees(), 20.0, 1e-9);
        near(gaps[1].1.to_degrees(), 20.0, 1e-9);
        near(gaps[2].1.to_degrees(), 245.0, 1e-9);
    }

    /// asin(50/350) (closed form).
    #[test]
    fn a_near_opponent_is_wide() {
        near(half_angle_rad(0.05, 0.35).to_degrees(), 8.213, 1e-3);
    }
}
