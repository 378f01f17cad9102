//! Tilting: when it tips, when it slips, and what a tilt test says.

use quantity::maths;

/// Angle in rad at which something tips over an edge `half_base_m` from under its centre of mass.
#[must_use]
pub fn tips_at_rad(half_base_m: f64, height_m: f64) -> f64 {
    maths::atan2(half_base_m, height_m)
}

/// Sideways acceleration in g at which it tips.
#[must_use]
pub fn tips_at_g(half_base_m: f64, height_m: f64) -> f64 {
    half_base_m / height_m
}

/// What something on a board does as the board is tilted more and more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Gives {
    /// It slides first, at this angle in rad.
    Slides(f64),
    /// It tips over its lower edge first, at this angle in rad.
    Tips(f64),
}

/// Which comes first: sliding at tan θ = μ, or tipping at tan θ = half base over height.
#[must_use]
pub fn tips_or_slides(half_base_m: f64, height_m: f64, grip: f64) -> Gives {
    let tips = tips_at_rad(half_base_m, height_m);
    let slides = maths::atan(grip);
    if slides < tips {
        Gives::Slides(slides)
    } else {
        Gives::Tips(tips)
    }
}

/// Slope in rad that can be climbed with all wheels driven: tan θ = μ.
#[must_use]
pub fn grade_all_driven_rad(grip: f64) -> f64 {
    maths::atan(grip)
}

/// Slope in rad that can be climbed with the rear axle driven: tan θ = μb/(L − μh) (moment balance;
/// Gillespie, Fundamentals of Vehicle Dynamics, from memory).
#[must_use]
pub fn grade_rear_driven_rad(
    grip: f64,
    wheelbase_m: f64,
    behind_front_m: f64,
    height_m: f64,
) -> f64 {
    maths::atan(grip * behind_front_m / (wheelbase_m - grip * height_m))
}

/// Grip from the angle at which it starts to slip: μ = tan θ.
#[must_use]
pub fn grip_from_slip_angle(angle_rad: f64) -> f64 {
    maths::tan(angle_rad)
}

/// Height of the centre of mass above the axles in m from a tilt test: L·cot X·(W′ − W)/M, with one
/// axle raised so that sin X = rise/L and the scale under the other reading W level and W′ tilted
/// (R. Gray, "cgrav" page, 1997).
#[must_use]
pub fn height_from_tilt_m(
    wheelbase_m: f64,
    rise_m: f64,
    total: f64,
    level: f64,
    tilted: f64,
) -> f64 {
    let x = maths::asin(rise_m / wheelbase_m);
    wheelbase_m / maths::tan(x) * (tilted - level) / total
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    #[test]
    fn tip_angles_are_those_of_the_triangle() {
        near(tips_at_rad(0.080, 0.030).to_degrees(), 69.44, 1e-4);
        near(tips_at_g(0.080, 0.030), 2.667, 1e-3);
        near(tips_at_rad(0.040, 0.060).to_degrees(), 33.69, 1e-4);
    }

    /// Halliday, Resnick and Walker, exercise on a cube of 1.2 m with its mass centre 0.30 m above its
    /// middle (statement at solutioninn.com); angles computed. Firmly held.
    #[test]
    fn a_cube_slides_with_little_grip_and_tips_with_more() {
        let angle = |found: Gives| match found {
            Gives::Slides(a) | Gives::Tips(a) => a.to_degrees(),
        };
        let slippery = tips_or_slides(0.6, 0.9, 0.60);
        let grippy = tips_or_slides(0.6, 0.9, 0.70);
        assert!(matches!(slippery, Gives::Slides(_)) && (angle(slippery) - 30.96).abs() < 0.01);
        assert!(matches!(grippy, Gives::Tips(_)) && (angle(grippy) - 33.69).abs() < 0.01);
    }

    #[test]
    fn grades_follow_the_moment_balance() {
        near(grade_all_driven_rad(0.8).to_degrees(), 38.66, 1e-4);
        near(
            grade_rear_driven_rad(0.8, 0.12, 0.05, 0.03).to_degrees(),
            22.62,
            1e-4,
        );
    }

    #[test]
    fn a_slip_angle_gives_the_grip_with_its_error() {
        let grip = |deg: f64| grip_from_slip_angle(deg.to_radians());
        near(grip(35.0), 0.7002, 5e-4);
        near(grip(34.0), 0.6745, 5e-4);
        near(grip(36.0), 0.7265, 5e-4);
    }

    /// R. Gray's formula, numbers computed.
    #[test]
    fn a_tilt_test_finds_the_height_of_the_mass() {
        near(
            height_from_tilt_m(2.5, 0.6, 1000.0, 550.0, 585.0),
            0.3539,
            1e-3,
        );
    }
}
