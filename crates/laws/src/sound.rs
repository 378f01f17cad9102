//! How fast sound is.

/// Speed of sound in dry air in m/s at a temperature in °C: 331.3·√(1 + T/273.15), the ideal gas.
/// Humidity adds up to 0.6 %.
#[must_use]
pub fn sound_m_s(celsius: f64) -> f64 {
    331.3 * (1.0 + celsius / 273.15).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sound_is_as_fast_as_tables_say() {
        // 331.3·√(1 + T/273.15) as quoted at use.as/speed-sound-m.
        for (celsius, m_s) in [
            (0.0, 331.30),
            (10.0, 337.31),
            (20.0, 343.21),
            (25.0, 346.13),
            (30.0, 349.02),
        ] {
            assert!((sound_m_s(celsius) - m_s).abs() < 0.02, "{celsius}");
        }
    }
}
