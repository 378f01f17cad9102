//! What an edge sensor gets back from below.

use quantity::maths;

/// Share of light the floor outside a ring sends back. Rulebooks ask for a floor that is not white;
/// common practice, no source for the figure. At ring height little of it reaches a sensor.
pub const FLOOR_REFLECTANCE: f64 = 0.2;

/// Share of the light around that gets under a robot to a sensor right on the surface (common
/// practice, no source: edge sensors sit near the outline). Higher makes bright halls blind robots
/// with well-placed sensors too.
const UNDER_THE_BODY: f64 = 0.2;
/// Height over the surface in m at which half of the rest gets in too: about the gap under a
/// lifted nose (common practice, no source).
const OPEN_HEIGHT: f64 = 0.03;

/// What height leaves of the signal: 1/(1 + (h/h½)²), half at the fading height. A model: data sheets of
/// reflectance sensors show curves of about that shape beyond their best distance.
#[inline]
#[must_use]
pub fn faded(height_m: f64, fading_height_m: f64) -> f64 {
    let h = height_m.max(0.0) / fading_height_m;
    1.0 / (1.0 + h * h)
}

/// Share of the light around that falls on a sensor at `height_m` over what it looks at: little under the
/// body, all of it high above the floor.
#[inline]
#[must_use]
pub fn open_share(height_m: f64) -> f64 {
    let h = height_m.max(0.0) / OPEN_HEIGHT;
    UNDER_THE_BODY + (1.0 - UNDER_THE_BODY) * h * h / (1.0 + h * h)
}

/// Share of a round spot that lies beyond a straight edge, `inside` being how far its middle is before the
/// edge in radii of the spot: the circular segment (acos d − d√(1−d²))/π.
#[inline]
#[must_use]
pub fn share_beyond(inside: f64) -> f64 {
    let d = inside;
    if d >= 1.0 {
        0.0
    } else if d <= -1.0 {
        1.0
    } else {
        (maths::acos(d) - d * (1.0 - d * d).sqrt()) / maths::PI
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    #[test]
    fn the_fading_height_halves_the_signal() {
        near(faded(0.0, 0.005), 1.0, 1e-12);
        near(faded(0.005, 0.005), 0.5, 1e-12);
        // 1/(1 + (3/5)²).
        near(faded(0.003, 0.005), 0.7353, 1e-3);
    }

    #[test]
    fn light_gets_under_a_lifted_nose() {
        near(open_share(0.0), 0.2, 1e-12);
        near(open_share(0.03), 0.6, 1e-12);
        assert!(open_share(1.0) > 0.99);
    }

    /// Half of a spot whose middle is on the edge; of one a quarter of its radius before it
    /// (acos ¼ − ¼√(15/16))/π = 0.34252 (closed form).
    #[test]
    fn a_spot_goes_over_an_edge_little_by_little() {
        near(share_beyond(0.0), 0.5, 1e-12);
        near(share_beyond(0.25), 0.342_52, 1e-4);
        near(share_beyond(-0.25), 1.0 - 0.342_52, 1e-4);
        near(share_beyond(1.5), 0.0, 1e-12);
    }
}
