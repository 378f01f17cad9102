//! Turning on the spot: what grinding over the ring takes.

/// Moment in N·m with which a tread under `load_n` holds against turning about a point `ahead_m` from
/// it along its rolling direction, rolling freely: μ N √(d² + (w/4)²). Two halves of its `width_m`, each
/// w/4 from its middle, slide straight across and along (own derivation). A thin tread has μ N d; one
/// above the point μ N w/4, the integral of an even pressure along a line.
#[must_use]
pub fn tread_nm(grip: f64, load_n: f64, ahead_m: f64, width_m: f64) -> f64 {
    let half = 0.25 * width_m;
    grip * load_n * (ahead_m * ahead_m + half * half).sqrt()
}

/// Moment in N·m of turning tracks of `length_m` on the ground on the spot under an even pressure:
/// μ W L/4 (Wong, *Theory of Ground Vehicles*, skid-steering; Steeds, *Mechanics of Road Vehicles*; both
/// from memory, confirmed by integration).
#[must_use]
pub fn tracks_nm(grip: f64, weight_n: f64, length_m: f64) -> f64 {
    0.25 * grip * weight_n * length_m
}

/// Greatest ratio of a track's length on the ground to the distance of the tracks at which they still
/// turn the robot on the spot: 2 (μ_l − c)/μ_t with the grip along, the rolling resistance and the grip
/// across (Wong, from memory: skid-steering without loss of traction on frictional ground).
#[must_use]
pub fn longest_for_its_width(grip_along: f64, rolling: f64, grip_across: f64) -> f64 {
    2.0 * (grip_along - rolling) / grip_across
}

/// Moment in N·m of a flat round pad of `radius_m` that turns on the spot under an even pressure: ⅔ μ N R.
#[must_use]
pub fn pad_nm(friction: f64, load_n: f64, radius_m: f64) -> f64 {
    2.0 / 3.0 * friction * load_n * radius_m
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;
    use quantity::maths::STANDARD_GRAVITY as G;

    /// 3 kg, 150 mm, 160 mm apart, μ 0.8: 0.8826 N·m; ±5.516 N for each track; 0.1103 N·m at a 20 mm
    /// sprocket; 5.546 W at a turn a second (computed from the closed form).
    #[test]
    fn tracks_turn_against_a_quarter_of_their_length() {
        let moment = tracks_nm(0.8, 3.0 * G, 0.15);
        near(moment, 0.8826, 1e-3);
        near(moment / 0.16, 5.516, 1e-3);
        near(moment / 0.16 * 0.02, 0.1103, 1e-3);
        near(moment * quantity::maths::TAU, 5.546, 1e-3);
    }

    /// 0.8 along and across, 0.05 of rolling: L/B up to 1.875.
    #[test]
    fn tracks_beyond_a_length_cannot_turn() {
        near(longest_for_its_width(0.8, 0.05, 0.8), 1.875, 1e-9);
    }

    /// The same weight on wheels over the same 150 mm: four μ W L/2, six μ W L/3, many μ W L/4 (computed).
    #[test]
    fn few_wheels_scrub_more_than_a_track_of_their_length() {
        let sum = |places: &[f64]| -> f64 {
            let share = 3.0 * G / places.len() as f64;
            places.iter().map(|x| tread_nm(0.8, share, *x, 0.0)).sum()
        };
        near(sum(&[0.075, -0.075]), 1.7652, 1e-3);
        near(sum(&[0.075, 0.0, -0.075]), 1.1768, 1e-3);
        let many: Vec<f64> = (0..1000)
            .map(|k| 0.15 * ((f64::from(k) + 0.5) / 1000.0 - 0.5))
            .collect();
        near(sum(&many), tracks_nm(0.8, 3.0 * G, 0.15), 1e-3);
    }

    /// 5 N on a pad of 30 mm with μ 0.5: 0.0500 N·m (closed form). A line of 30 mm: μ N w/4.
    #[test]
    fn pads_and_wide_treads_turn_against_their_size() {
        near(pad_nm(0.5, 5.0, 0.03), 0.05, 1e-9);
        near(tread_nm(0.5, 5.0, 0.0, 0.03), 0.018_75, 1e-9);
    }
}
