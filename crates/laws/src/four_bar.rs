//! A four-bar linkage: two hinges on the body, a crank, a coupler and a rocker.

use quantity::maths;

/// Below this sine of the angle between coupler and rocker it stands on a dead point.
const DEAD: f64 = 1e-6;

/// A four-bar linkage. The line from the crank's hinge to the rocker's is its base; angles are
/// counted from it, counter-clockwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FourBar {
    /// Distance of the two hinges on the body, m.
    pub base_m: f64,
    /// Crank: what the motor turns, m.
    pub crank_m: f64,
    /// Coupler between the ends of crank and rocker, m.
    pub coupler_m: f64,
    /// Rocker: what turns the load, m.
    pub rocker_m: f64,
}

/// Where a four-bar stands at one angle of its crank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stand {
    /// Angle of the rocker, rad.
    pub rocker_rad: f64,
    /// Turning of the rocker for one of the crank, ω₄/ω₂: without friction the rocker has the crank's
    /// torque divided by this. Negative where they turn against each other.
    pub ratio: f64,
    /// Angle between coupler and rocker, rad, 0 to π: near 0 or π little of the coupler's force turns
    /// the rocker.
    pub transmission_rad: f64,
}

impl FourBar {
    /// Where it stands with its crank at `crank_rad`; none where the links do not reach. Of the two
    /// ways to close it the one with the coupler's far end to the left of the line from the crank's
    /// end to the rocker's hinge if `open`, else to the right.
    ///
    /// Closure of the loop: with c the line from the crank's end to the rocker's hinge, coupler and
    /// rocker close a triangle over it (law of cosines); ω₄/ω₂ = a sin(θ₂ − θ₃)/(b sin(θ₄ − θ₃)) (Norton,
    /// *Design of Machinery*, velocity analysis; from memory).
    #[must_use]
    pub fn at(&self, crank_rad: f64, open: bool) -> Option<Stand> {
        let (x, y) = (
            self.crank_m * maths::cos(crank_rad),
            self.crank_m * maths::sin(crank_rad),
        );
        let (dx, dy) = (self.base_m - x, -y);
        let c = maths::hypot(dx, dy);
        let cosine = (self.coupler_m * self.coupler_m + c * c - self.rocker_m * self.rocker_m)
            / (2.0 * self.coupler_m * c);
        if !(-1.0..=1.0).contains(&cosine) {
            return None;
        }
        let side = if open { 1.0 } else { -1.0 };
        let coupler = maths::atan2(dy, dx) + side * maths::acos(cosine);
        let far = (
            x + self.coupler_m * maths::cos(coupler),
            y + self.coupler_m * maths::sin(coupler),
        );
        let rocker_rad = maths::atan2(far.1, far.0 - self.base_m);
        let between = maths::sin(rocker_rad - coupler);
        if between.abs() < DEAD {
            return None;
        }
        let ratio = self.crank_m * maths::sin(crank_rad - coupler) / (self.rocker_m * between);
        let lap = maths::wrap_angle(rocker_rad - coupler).abs();
        Some(Stand {
            rocker_rad,
            ratio,
            transmission_rad: lap,
        })
    }

    /// Whether the crank can turn all the way round: the shortest link is the crank or the base, and
    /// shortest and longest together are no longer than the other two (Grashof's rule).
    #[must_use]
    pub fn crank_turns_round(&self) -> bool {
        let mut links = [self.base_m, self.crank_m, self.coupler_m, self.rocker_m];
        links.sort_by(f64::total_cmp);
        let grashof = links[0] + links[3] <= links[1] + links[2];
        grashof && (self.crank_m <= links[0] || self.base_m <= links[0])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    const BARS: FourBar = FourBar {
        base_m: 0.060,
        crank_m: 0.020,
        coupler_m: 0.050,
        rocker_m: 0.040,
    };

    /// A parallelogram turns its rocker as its crank.
    #[test]
    fn a_parallelogram_passes_the_turn_on_unchanged() {
        let even = FourBar {
            base_m: 0.05,
            crank_m: 0.02,
            coupler_m: 0.05,
            rocker_m: 0.02,
        };
        for deg in [40.0_f64, 70.0, 110.0] {
            let stand = even.at(deg.to_radians(), true).expect("it closes");
            near(stand.rocker_rad, deg.to_radians(), 1e-9);
            near(stand.ratio, 1.0, 1e-9);
        }
    }

    /// The ratio is the slope of the rocker's angle: central differences of 1e-5 rad, worst seen 2e-10.
    #[test]
    fn the_ratio_is_how_fast_the_rocker_follows() {
        let h = 1e-5;
        for open in [true, false] {
            for k in 0..36 {
                let a = f64::from(k).mul_add(10.0, 3.0).to_radians();
                let angle = |a: f64| BARS.at(a, open).expect("it closes").rocker_rad;
                let slope = maths::wrap_angle(angle(a + h) - angle(a - h)) / (2.0 * h);
                let ratio = BARS.at(a, open).expect("it closes").ratio;
                assert!((slope - ratio).abs() < 1e-7, "{a}: {slope} {ratio}");
            }
        }
    }

    /// Freudenstein's equation K₁cos θ₄ − K₂cos θ₂ + K₃ = cos(θ₂ − θ₄), K₁ = d/a, K₂ = d/c,
    /// K₃ = (a² − b² + c² + d²)/(2ac) (1955; from memory) holds wherever it stands.
    #[test]
    fn it_stands_where_the_equation_of_the_loop_holds() {
        let (d, a, b, c) = (BARS.base_m, BARS.crank_m, BARS.coupler_m, BARS.rocker_m);
        for k in 0..24 {
            let t2 = f64::from(k).mul_add(15.0, 1.0).to_radians();
            let t4 = BARS.at(t2, true).expect("it closes").rocker_rad;
            let k3 = (a * a - b * b + c * c + d * d) / (2.0 * a * c);
            let left = d / a * maths::cos(t4) - d / c * maths::cos(t2) + k3;
            assert!((left - maths::cos(t2 - t4)).abs() < 1e-9, "{t2}");
        }
    }

    #[test]
    fn a_short_crank_turns_round_and_links_too_short_do_not_close() {
        assert!(BARS.crank_turns_round());
        let short = FourBar {
            coupler_m: 0.015,
            ..BARS
        };
        assert!(!short.crank_turns_round());
        assert_eq!(short.at(maths::PI, true), None);
    }
}
