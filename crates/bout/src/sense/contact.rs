//! A contact switch behind a piece of the outline.

use glam::{DVec2, DVec3};
use quantity::{Draws, Figure, Force, Length, maths};

use super::{Scene, Silhouette, silhouette::plan};

/// How far the point of contact may lie in front of or behind the outline and still press on it,
/// in m: contact points lie between two overlapping or rounded bodies.
const DEPTH: f64 = 0.01;

/// A switch that closes when its piece of the outline is pressed.
#[derive(Debug, Clone)]
pub(crate) struct Contact {
    /// The middle of the piece of outline it covers, in the design frame.
    middle: DVec2,
    /// Unit vector outwards.
    outward: DVec2,
    /// Half of the width it covers in m.
    half_width: f64,
    /// Force that closes it in N.
    trip: f64,
}

impl Contact {
    /// The sensor as drawn: it covers the outline where a ray from `at` along `facing` leaves the
    /// robot's own hull, or just itself when that ray meets no hull.
    pub(crate) fn new(
        at: DVec3,
        facing: f64,
        name: &str,
        draws: &Draws,
        own: &Silhouette,
        (width, trip): (&Figure<Length>, &Figure<Force>),
    ) -> Self {
        let outward = DVec2::new(maths::cos(facing), maths::sin(facing));
        let out = own.exit(plan(at), outward).unwrap_or(0.0);
        Self {
            middle: plan(at) + outward * out,
            outward,
            half_width: draws.of(width, name).abs() / 2.0,
            trip: draws.of(trip, name).max(0.0),
        }
    }

    /// Whether the part of the opponent's push that goes straight into this piece of the outline
    /// is strong enough. Assumed: the whole contact acts at its mean point.
    pub(crate) fn pressed(&self, scene: &Scene<'_>) -> bool {
        scene.touch.is_some_and(|t| {
            let from_middle = plan(t.at_body) - self.middle;
            let press = -plan(t.push_body).dot(self.outward);
            press >= self.trip
                && press > 0.0
                && from_middle.perp_dot(self.outward).abs() <= self.half_width
                && from_middle.dot(self.outward).abs() <= DEPTH
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{body, scene_at};
    use super::*;
    use crate::dynamics::Touch;

    fn pressed_at(facing: f64, at: [f64; 2], push: [f64; 2]) -> bool {
        let draws = Draws::nominal();
        let width = Figure::derived(0.03, "sensor/bumper/width");
        let trip = Figure::derived(0.5, "sensor/bumper/trip_force");
        let middle = DVec3::new(0.0, 0.0, 0.02);
        let c = Contact::new(middle, facing, "bumper", &draws, &body(), (&width, &trip));
        let mut s = scene_at([0.0; 3], [0.1, 0.0, 0.0]);
        s.touch = Some(Touch {
            at_body: DVec3::new(at[0], at[1], 0.02),
            push_body: DVec3::new(push[0], push[1], 0.0),
        });
        c.pressed(&s.borrow())
    }

    #[test]
    fn it_closes_when_its_own_piece_of_the_outline_is_pressed_hard_enough() {
        assert!(pressed_at(0.0, [0.05, 0.0], [-1.0, 0.0]));
        assert!(pressed_at(0.0, [0.05, 0.0149], [-1.0, 0.0]));
        assert!(
            !pressed_at(0.0, [0.05, 0.0151], [-1.0, 0.0]),
            "beside its width"
        );
        assert!(!pressed_at(0.0, [0.05, 0.0], [-0.4, 0.0]), "too weak");
        assert!(
            !pressed_at(0.0, [-0.05, 0.0], [1.0, 0.0]),
            "pressed from behind"
        );
        assert!(
            !pressed_at(0.0, [0.08, 0.0], [-1.0, 0.0]),
            "at a blade far in front"
        );
        assert!(
            !pressed_at(0.0, [0.05, 0.0], [-0.1, 3.0]),
            "a push along the outline"
        );
    }

    #[test]
    fn its_bearing_says_which_side_it_watches() {
        assert!(pressed_at(maths::FRAC_PI_2, [0.0, 0.05], [0.0, -1.0]));
        assert!(!pressed_at(maths::FRAC_PI_2, [0.05, 0.0], [-1.0, 0.0]));
        assert!(pressed_at(maths::PI, [-0.05, 0.0], [1.0, 0.0]));
    }
}
