//! Two robots pushing.

use crate::transfer::raised_front_load_n;

/// Acceleration in m/s² of two locked robots toward the weaker: net force over both masses.
#[must_use]
pub fn pair_acceleration_m_s2(push_n: [f64; 2], mass_kg: [f64; 2]) -> f64 {
    (push_n[0] - push_n[1]) / (mass_kg[0] + mass_kg[1])
}

/// Grip-limited push in N of two equal robots after one got under the other: (upper, lower). The
/// upper one's front, raised by `rise_m`, is carried by the lower one; friction of the wedge's face
/// is left out (statics).
#[must_use]
pub fn push_after_lift_n(
    weight_n: f64,
    base_m: f64,
    from_rear_m: f64,
    height_m: f64,
    rise_m: f64,
    grip: f64,
) -> [f64; 2] {
    let carried = raised_front_load_n(weight_n, base_m, from_rear_m, height_m, rise_m);
    [grip * (weight_n - carried), grip * (weight_n + carried)]
}

/// Speeds of the left and right wheels to speed, turn rate and radius of the middle's path:
/// ((l + r)/2, (r − l)/b, their ratio).
#[must_use]
pub fn differential_drive(left_m_s: f64, right_m_s: f64, separation_m: f64) -> (f64, f64, f64) {
    let v = 0.5 * (left_m_s + right_m_s);
    let w = (right_m_s - left_m_s) / separation_m;
    (v, w, v / w)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;
    use quantity::maths::STANDARD_GRAVITY as G;

    #[test]
    fn the_grippier_robot_wins_head_on() {
        let push = [0.8 * 0.5 * G, 0.6 * 0.5 * G];
        near(pair_acceleration_m_s2(push, [0.5, 0.5]), 0.981, 1e-3);
    }

    /// Statics, computed.
    #[test]
    fn getting_under_triples_the_difference() {
        let w = 3.0 * G;
        near(0.8 * w, 23.54, 2e-3);
        let [upper, lower] = push_after_lift_n(w, 0.12, 0.06, 0.03, 0.003, 0.8);
        near(upper, 11.92, 2e-3);
        near(lower, 35.16, 2e-3);
        near(lower / upper, 2.951, 2e-3);
    }

    #[test]
    fn differential_drive_turns_about_its_centre() {
        let (v, w, r) = differential_drive(0.4, 0.8, 0.160);
        near(v, 0.600, 1e-12);
        near(w, 2.50, 1e-12);
        near(r, 0.240, 1e-12);
    }
}
