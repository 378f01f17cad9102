//! From seeing the border to standing still.

/// Distance in m to stop from `speed` with deceleration `deceleration` (m/s²) after `delay_s`:
/// v·t + v²/2a.
#[must_use]
pub fn stopping_m(speed_m_s: f64, delay_s: f64, deceleration_m_s2: f64) -> f64 {
    speed_m_s * delay_s + speed_m_s * speed_m_s / (2.0 * deceleration_m_s2)
}

/// Highest speed in m/s that stops within `distance_m`: the positive root of the above.
#[must_use]
pub fn safe_speed_m_s(distance_m: f64, delay_s: f64, deceleration_m_s2: f64) -> f64 {
    let a = deceleration_m_s2;
    let at = a * delay_s;
    if distance_m <= 0.0 {
        return 0.0;
    }
    (at * at + 2.0 * a * distance_m).sqrt() - at
}

/// Which axle brakes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Brakes {
    /// The front axle alone.
    Front,
    /// The rear axle alone.
    Rear,
}

/// Deceleration in g with one axle braking at the limit of grip μ: μ(L − b)/(L − μh) in front,
/// μb/(L + μh) behind, b the distance of the centre of mass behind the front axle (moment balance).
#[must_use]
pub fn one_axle_g(
    grip: f64,
    wheelbase_m: f64,
    behind_front_m: f64,
    height_m: f64,
    axle: Brakes,
) -> f64 {
    match axle {
        Brakes::Front => grip * (wheelbase_m - behind_front_m) / (wheelbase_m - grip * height_m),
        Brakes::Rear => grip * behind_front_m / (wheelbase_m + grip * height_m),
    }
}

/// Longest sampling time in s that puts two samples on a line of `width_m` crossed at `speed_m_s`.
#[must_use]
pub fn two_samples_s(width_m: f64, speed_m_s: f64) -> f64 {
    0.5 * width_m / speed_m_s
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;
    use quantity::maths::STANDARD_GRAVITY as G;

    /// v²/2μg; the 100 km/h case is the Engineering ToolBox "friction" car example.
    #[test]
    fn braking_distance_grows_with_the_square_of_speed() {
        near(stopping_m(1.0, 0.0, 0.8 * G), 63.73e-3, 1e-3);
        near(stopping_m(1.5, 0.0, 0.6 * G), 191.2e-3, 1e-3);
        near(stopping_m(100.0 / 3.6, 0.0, 0.7 * G), 56.20, 1e-3);
    }

    /// d = v(t + T) + v²/2μg at worst, half a period less on average; closed form.
    #[test]
    fn the_loop_adds_its_whole_period_at_worst() {
        let cases = [
            (1.0, 1.0, 5.0, 0.8, 69.73, 67.23),
            (1.5, 3.0, 10.0, 0.6, 210.7, 203.2),
            (0.6, 0.5, 2.0, 0.8, 24.44, 23.84),
        ];
        for (v, latency, period, grip, worst, mean) in cases {
            near(
                stopping_m(v, 1e-3 * (latency + period), grip * G),
                1e-3 * worst,
                1e-3,
            );
            near(
                stopping_m(v, 1e-3 * (latency + 0.5 * period), grip * G),
                1e-3 * mean,
                1e-3,
            );
        }
    }

    /// Common practice says that the loop decides how late the border is seen. With 6 ms of delay and a
    /// grip of 0.9 braking takes more way than reacting from 2 μ g t = 0.106 m/s on (closed form).
    #[test]
    fn from_a_tenth_of_a_metre_a_second_braking_takes_more_way_than_reacting() {
        let more = |v: f64| {
            let reacting = v * 0.006;
            stopping_m(v, 0.006, 0.9 * G) - reacting > reacting
        };
        assert!(!more(0.10) && more(0.11));
    }

    /// Positive root of the same; closed form.
    #[test]
    fn the_border_allows_so_much_speed() {
        near(safe_speed_m_s(0.025, 0.006, 0.8 * G), 0.581, 2e-3);
        near(safe_speed_m_s(0.060, 0.006, 0.8 * G), 0.924, 2e-3);
    }

    /// IBiB Sumobot arena rules: a 10 mm line.
    #[test]
    fn a_thin_border_needs_quick_sampling() {
        near(two_samples_s(0.010, 0.6), 8.3e-3, 5e-3);
    }

    /// Moment balance, computed.
    #[test]
    fn braking_on_one_axle_stops_less() {
        near(
            one_axle_g(0.8, 0.12, 0.05, 0.03, Brakes::Front),
            0.5833,
            1e-3,
        );
        near(
            one_axle_g(0.8, 0.12, 0.05, 0.03, Brakes::Rear),
            0.2778,
            1e-3,
        );
    }
}
