//! Load on two axles: at rest, when braking, when the front is raised.

use quantity::maths;

/// Loads in N on the front and rear axle of a weight `weight_n`, its centre `behind_front_m` behind
/// the front axle and `height_m` up, on `wheelbase_m`, while decelerating by `deceleration_g`
/// (moment balance; negative loads mean it has tipped).
#[must_use]
pub fn axle_loads_n(
    weight_n: f64,
    wheelbase_m: f64,
    behind_front_m: f64,
    height_m: f64,
    deceleration_g: f64,
) -> [f64; 2] {
    let moved = weight_n * deceleration_g * height_m / wheelbase_m;
    let front = weight_n * (1.0 - behind_front_m / wheelbase_m) + moved;
    [front, weight_n - front]
}

/// Deceleration in g at which the rear axle lifts: b/h.
#[must_use]
pub fn tips_forward_at_g(behind_front_m: f64, height_m: f64) -> f64 {
    behind_front_m / height_m
}

/// Load in N on the front contact when the front is raised by `rise_m`: W(a − h tan θ)/L with
/// sin θ = rise/L and a the distance of the centre of mass from the rear contact.
#[must_use]
pub fn raised_front_load_n(
    weight_n: f64,
    base_m: f64,
    from_rear_m: f64,
    height_m: f64,
    rise_m: f64,
) -> f64 {
    let angle = maths::asin((rise_m / base_m).clamp(-1.0, 1.0));
    weight_n * (from_rear_m - height_m * maths::tan(angle)) / base_m
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    const G: f64 = maths::STANDARD_GRAVITY;

    /// machinecalcs.com, "Weight Transfer Calculator", worked example (260 kg); axle totals computed.
    #[test]
    fn a_braking_car_moves_260_kg_to_the_front() {
        let behind = 2.7 * (1.0 - 0.55);
        let [front, rear] = axle_loads_n(1500.0, 2.7, behind, 0.520, 0.9);
        near(front, 1085.0, 5e-4);
        near(rear, 415.0, 1.3e-3);
    }

    /// Moment balance at robot size, computed.
    #[test]
    fn a_braking_robot_stands_on_its_front() {
        let w = 3.0 * G;
        let [front, rear] = axle_loads_n(w, 0.12, 0.05, 0.03, 0.0);
        near(front, 17.162, 1e-3);
        near(rear, 12.258, 1e-3);
        let [front, rear] = axle_loads_n(w, 0.12, 0.05, 0.03, 0.8);
        near(front, 23.046, 1e-3);
        near(rear, 6.374, 1e-3);
    }

    /// Moment balance: the same geometry as above.
    #[test]
    fn tipping_is_where_an_axle_load_vanishes() {
        let g = tips_forward_at_g(0.05, 0.03);
        near(g, 1.667, 1e-3);
        let [_, rear] = axle_loads_n(1.0, 0.12, 0.05, 0.03, g);
        assert!(rear.abs() < 1e-9);
    }

    /// Moment balance, computed; the same as in a centre-of-gravity tilt test.
    #[test]
    fn a_raised_front_carries_less() {
        let w = 3.0 * G;
        let expected = [
            (0.0, 14.710),
            (0.003, 14.526),
            (0.010, 14.095),
            (0.020, 13.467),
            (0.030, 12.811),
        ];
        for (rise, load) in expected {
            near(raised_front_load_n(w, 0.12, 0.06, 0.03, rise), load, 1e-3);
        }
    }
}
