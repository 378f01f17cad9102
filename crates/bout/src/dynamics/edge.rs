//! A tyre on an edge: the rim of the ring, the edge of a blade, the border of a hull's top.
//!
//! The tyre is its middle circle. Its plane cuts the edge in a point e. Circle and edge are two
//! lines there, so what keeps them apart is square to both; measuring along c − e instead, which
//! lies in the wheel's plane, would be right only for wheels that meet the edge head-on: otherwise e
//! runs along the edge as the wheel moves, the gap changes faster than the speed along c − e says,
//! and the contact gives energy away.

use glam::DVec3;

/// Sine of the angle (11.5°) between the wheel's circle and the edge below which the wheel lies along
/// the edge and does not rest on it: what is square to both then turns over from one millisecond to
/// the next, and a push along it would give energy away.
const LEAST_FACING: f64 = 0.2;

/// An edge that cuts deeper into the wheel's circle than this in m did not get there by its tread, but
/// through its side.
const DEEPEST: f64 = 3e-3;

/// Where a tyre touches an edge.
#[derive(Debug, Clone, Copy)]
pub(super) struct OnEdge {
    /// Point of the tyre.
    pub(super) point: DVec3,
    /// Unit normal that pushes the wheel.
    pub(super) normal: DVec3,
    /// Distance left along it in m.
    pub(super) gap: f64,
}

/// A wheel of centre `c`, unit axle `a` and radius `r` on an edge of unit direction `along`, which
/// its middle plane cuts in `e`.
pub(super) fn tyre_on_edge(c: DVec3, a: DVec3, r: f64, e: DVec3, along: DVec3) -> Option<OnEdge> {
    let away = c - e;
    let distance = away.length();
    if distance < 1e-9 || distance < r - DEEPEST {
        return None;
    }
    let in_plane = away / distance;
    let both = along.cross(a.cross(in_plane));
    let facing = both.dot(in_plane);
    let length = both.length();
    if facing.abs() < LEAST_FACING {
        return None;
    }
    let normal = both * (1.0_f64.copysign(facing) / length);
    Some(OnEdge {
        point: c - in_plane * r,
        normal,
        gap: (distance - r) * (facing.abs() / length),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::maths;

    /// A wheel 15 mm in radius with its centre at (`x`, 0, 10 mm) and its plane turned by `turn` from
    /// square to the edge, which is the y axis.
    fn at(x: f64, turn: f64) -> OnEdge {
        let axle = DVec3::new(maths::sin(turn), maths::cos(turn), 0.0);
        let c = DVec3::new(x, 0.0, 0.010);
        let e = DVec3::new(0.0, x * maths::sin(turn) / maths::cos(turn), 0.0);
        tyre_on_edge(c, axle, 0.015, e, DVec3::Y).expect("it faces the edge")
    }

    #[test]
    fn a_gap_closes_as_fast_as_the_speed_along_the_normal() {
        for turn in [0.0, 0.3, -0.7, 1.2] {
            // Where it just touches.
            let x = (0.015_f64 * 0.015 - 0.010 * 0.010).sqrt() * maths::cos(turn);
            let now = at(x, turn);
            assert!(now.gap.abs() < 1e-12, "{turn}: {}", now.gap);
            let step = 1e-7;
            let slope = (at(x + step, turn).gap - at(x - step, turn).gap) / (2.0 * step);
            assert!(
                (slope - now.normal.x).abs() < 1e-6,
                "{turn}: {slope} for {}",
                now.normal.x
            );
        }
    }

    #[test]
    fn a_wheel_along_the_edge_does_not_rest_on_it() {
        let c = DVec3::new(1e-4, 0.0, 0.010);
        let e = DVec3::new(0.0, 0.008, 0.0);
        assert!(tyre_on_edge(c, DVec3::X, 0.015, e, DVec3::Y).is_none());
    }
}
