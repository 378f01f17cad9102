//! Lifting another robot's front on a lever, and what that does to the one who lifts.

/// Force in N straight up at the end of a lever whose end is `lever_m` from the hinge, seen from
/// above: torque over lever.
#[must_use]
pub fn force_n(torque_nm: f64, lever_m: f64) -> f64 {
    torque_nm / lever_m.max(1e-9)
}

/// Heaviest robot in kg whose front `force_n` lifts, `front_share` of its weight resting there.
#[must_use]
pub fn heaviest_kg(force_n: f64, front_share: f64) -> f64 {
    force_n / (front_share * quantity::maths::STANDARD_GRAVITY)
}

/// Load in N on the lifter's edge at which the one who lifts stands only on its foremost support, its
/// rear about to rise: W·r/d, with r from there back to its centre of mass and d from there forward
/// to the edge (moment balance). Infinite where the edge is not ahead of the support; 0 where the
/// centre of mass is.
#[must_use]
pub fn tips_self_n(weight_n: f64, behind_m: f64, ahead_m: f64) -> f64 {
    if ahead_m <= 0.0 {
        return f64::INFINITY;
    }
    weight_n * behind_m.max(0.0) / ahead_m
}

/// Time in s a motor takes through `way_rad` against a constant `load_nm`: φ/(ω₀(1 − T/T_s)), with
/// free speed ω₀ and standstill torque T_s at the voltage it has. Infinite where it stalls. Running up
/// is left out: some 10 ms.
#[must_use]
pub fn time_s(way_rad: f64, load_nm: f64, free_rad_s: f64, stall_nm: f64) -> f64 {
    let speed = free_rad_s * (1.0 - load_nm.max(0.0) / stall_nm.max(1e-12));
    if speed > 0.0 {
        way_rad / speed
    } else {
        f64::INFINITY
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;
    use crate::transfer::raised_front_load_n;
    use quantity::maths::STANDARD_GRAVITY as G;

    /// Statics, computed: 0.98 N·m on 80 mm against a robot of 3 kg, base 120 mm, centre of mass mid-way
    /// and 30 mm high. Firmly held.
    #[test]
    fn a_lifter_too_weak_for_three_kilograms_lifts_two_and_a_half() {
        let force = force_n(0.98, 0.080);
        near(force, 12.25, 1e-3);
        let needed = raised_front_load_n(3.0 * G, 0.12, 0.06, 0.03, 0.0);
        near(needed, 14.71, 1e-3);
        assert!(force < needed);
        near(heaviest_kg(force, 0.5), 2.498, 1e-3);
    }

    /// Moment balance: a robot of 1 kg, 40 mm behind its front wheels, lifts 60 mm ahead of them.
    #[test]
    fn who_lifts_far_ahead_rises_behind() {
        let most = tips_self_n(G, 0.040, 0.060);
        near(most, G * 2.0 / 3.0, 1e-12);
        near(most * 0.060, G * 0.040, 1e-12);
        assert!(tips_self_n(G, 0.04, -0.01).is_infinite());
        assert!(tips_self_n(G, -0.01, 0.05) <= 0.0);
    }

    /// Half the stall torque halves the speed, by the straight line.
    #[test]
    fn load_slows_the_lift() {
        near(time_s(0.5, 0.0, 10.0, 0.2), 0.05, 1e-12);
        near(time_s(0.5, 0.1, 10.0, 0.2), 0.10, 1e-12);
        assert!(time_s(0.5, 0.2, 10.0, 0.2).is_infinite());
    }
}
