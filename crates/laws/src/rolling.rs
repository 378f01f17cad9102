//! Rolling resistance: what a wheel takes to roll, and how far it coasts.

use quantity::maths::STANDARD_GRAVITY;

/// Force in N that rolling takes under a load: c N.
#[must_use]
pub fn drag_n(coefficient: f64, load_n: f64) -> f64 {
    coefficient * load_n
}

/// How far in m something coasts on the level from a speed: v²/(2 c g).
#[must_use]
pub fn coast_m(speed_m_s: f64, coefficient: f64) -> f64 {
    speed_m_s * speed_m_s / (2.0 * coefficient * STANDARD_GRAVITY)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// 3 kg with c = 0.015: 0.4413 N; from 1 m/s with 0.02 it slows by 0.1961 m/s² and coasts 2.549 m
    /// (closed form).
    #[test]
    fn a_robot_coasts_metres() {
        near(drag_n(0.015, 3.0 * STANDARD_GRAVITY), 0.4413, 1e-3);
        near(drag_n(0.02, STANDARD_GRAVITY), 0.1961, 1e-3);
        near(coast_m(1.0, 0.02), 2.549, 1e-3);
    }
}
