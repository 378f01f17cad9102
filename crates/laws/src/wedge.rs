//! A wedge driven under a load, with friction on its face.

use quantity::maths;

/// Force in N along the ring for each newton of load that drives a wedge of slope `angle_rad` under
/// a load that is held from going along but free to rise: tan(α + φ) with tan φ the friction of the
/// face (closed form, any statics text). Infinite where α + φ reaches a right angle: no force does.
///
/// Assumed: the wedge itself runs on wheels, without friction of its own.
#[must_use]
pub fn push_per_load(angle_rad: f64, friction: f64) -> f64 {
    let whole = angle_rad + maths::atan(friction.max(0.0));
    if whole < maths::FRAC_PI_2 {
        maths::tan(whole)
    } else {
        f64::INFINITY
    }
}

/// The same of a wedge that lies on the ring and rubs there too, with all the load on it:
/// tan(α + φ) + μ (closed form).
#[must_use]
pub fn push_per_load_on_ring(angle_rad: f64, friction: f64, on_ring: f64) -> f64 {
    push_per_load(angle_rad, friction) + on_ring.max(0.0)
}

/// Steepest slope in rad at which `push_n` still drives the wedge under `load_n`: atan(F/N) − φ,
/// below zero where even a flat one stays out.
#[must_use]
pub fn steepest_rad(push_n: f64, load_n: f64, friction: f64) -> f64 {
    maths::atan2(push_n, load_n) - maths::atan(friction.max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// tan(α + φ), closed form; nine values computed to four digits. The form is that of the worked
    /// example of 25° and friction 0.35 in the mechanics notes at coconote.app (φ 19.29°, 97.55 N for a
    /// load of 100 N). Firmly held.
    #[test]
    fn friction_on_the_face_adds_its_angle_to_the_slope() {
        let expected = [
            (15.0, [0.2679, 0.4944, 0.6819]),
            (30.0, [0.5774, 0.8788, 1.1622]),
            (45.0, [1.0000, 1.5000, 2.0769]),
        ];
        for (deg, values) in expected {
            for (friction, value) in [0.0, 0.2, 0.35].into_iter().zip(values) {
                let found = push_per_load(f64::to_radians(deg), friction);
                assert!(
                    (found - value).abs() < 5e-4,
                    "{deg} {friction}: {found} for {value}"
                );
            }
        }
        near(
            100.0 * push_per_load(25.0_f64.to_radians(), 0.35),
            97.55,
            1e-3,
        );
    }

    /// Closed form, computed. Firmly held.
    #[test]
    fn friction_on_the_ring_comes_on_top() {
        let of = |deg: f64, mu: f64| push_per_load_on_ring(deg.to_radians(), mu, mu);
        assert!((of(15.0, 0.3) - 0.9176).abs() < 5e-4);
        assert!((of(10.0, 0.25) - 0.6960).abs() < 5e-4);
    }

    #[test]
    fn the_steepest_slope_is_the_one_that_uses_up_the_push() {
        let slope = steepest_rad(3.0, 2.4, 0.2);
        near(2.4 * push_per_load(slope, 0.2), 3.0, 1e-12);
        assert!(steepest_rad(0.1, 2.4, 0.2) < 0.0);
        assert!(push_per_load(80.0_f64.to_radians(), 0.2).is_infinite());
    }
}
