//! Bends of a given radius and angle, from how the robot rolls.

use quantity::maths::PI;

use crate::ports::Rolling;

/// What a bend drives, and for how long.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Driven {
    /// Effort of the inner side, per mille.
    pub(crate) inner: i16,
    /// Effort of the outer side, per mille.
    pub(crate) outer: i16,
    /// How long it takes, ms.
    pub(crate) ms: i16,
}

/// What is driven for a bend whose middle has `radius_mm` through `angle_tenths` (tenths of a degree) with
/// `effort` on the outer side.
///
/// Rolling without slip, both sides turn about one point: speeds are as the radii R ∓ t/2, t the distance of the
/// sides. The outer side is as quick as its effort's share of the full speed v, so that the angle θ takes
/// θ·(R + t/2) / (v·|effort|). Kinematics of two driven wheels; slip, load and a sagging pack make it slower.
///
/// # Errors
/// What was expected instead, in words.
pub(crate) fn bend(
    rolling: Rolling,
    radius_mm: i16,
    angle_tenths: i16,
    effort: i16,
) -> Result<Driven, &'static str> {
    if radius_mm < 0 {
        return Err("a radius of 0 or more, such as 120 mm; the side says which way");
    }
    if angle_tenths <= 0 {
        return Err("an angle above 0, such as 90 deg; the side says which way");
    }
    let effort = effort.clamp(-1000, 1000);
    if effort == 0 {
        return Err("an effort other than 0: it would never end");
    }
    let half = f64::from(rolling.apart_mm) / 2.0;
    let (inner_mm, outer_mm) = (f64::from(radius_mm) - half, f64::from(radius_mm) + half);
    let angle = f64::from(angle_tenths) * PI / 1800.0;
    let share = f64::from(effort.unsigned_abs()) / 1000.0;
    let ms = 1000.0 * angle * outer_mm / (f64::from(rolling.full_mm_s) * share);
    if !ms.is_finite() || ms > f64::from(i16::MAX) {
        return Err("a bend of at most 32.767 s: a smaller radius or angle, or more effort");
    }
    #[allow(
        clippy::cast_possible_truncation,
        reason = "between the efforts −1000 and 1000, and below 32768 ms"
    )]
    let whole = |x: f64| x.round() as i16;
    Ok(Driven {
        inner: whole(f64::from(effort) * inner_mm / outer_mm),
        outer: effort,
        ms: whole(ms),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROLLING: Rolling = Rolling {
        apart_mm: 80,
        full_mm_s: 1000,
    };

    /// Arithmetic on paper: R = 120, t = 80: 80/160 inside; a quarter turn of 160 mm is 251.3 mm.
    #[test]
    fn a_quarter_turn_takes_its_way() {
        let driven = |r, a, e| bend(ROLLING, r, a, e).map(|d| (d.inner, d.outer, d.ms));
        assert_eq!(driven(120, 900, 1000), Ok((500, 1000, 251)));
        assert_eq!(driven(120, 900, 500), Ok((250, 500, 503)));
        assert_eq!(driven(120, 900, -500), Ok((-250, -500, 503)));
        // On the spot; about the inner side; the sign of the inner side turns over between them.
        assert_eq!(driven(0, 1800, 1000), Ok((-1000, 1000, 126)));
        assert_eq!(driven(40, 900, 1000), Ok((0, 1000, 126)));
        assert_eq!(driven(20, 900, 1000), Ok((-333, 1000, 94)));
    }

    #[test]
    fn what_is_no_curve_is_refused() {
        for (r, a, e) in [
            (-1, 900, 500),
            (100, 0, 500),
            (100, 900, 0),
            (32767, 32767, 1),
        ] {
            assert!(bend(ROLLING, r, a, e).is_err(), "{r} {a} {e}");
        }
    }
}
