//! Small physical laws, each with its source. A law is written once and used both on paper and in
//! the bout. Everything is SI; names carry units where they are not plain.

pub mod battery;
pub mod braking;
pub mod clock;
pub mod four_bar;
pub mod heat;
pub mod lift;
pub mod magnet;
pub mod motor;
pub mod odds;
pub mod push;
pub mod reflect;
pub mod rolling;
pub mod run_up;
pub mod scrub;
pub mod search;
pub mod shine;
pub mod sound;
pub mod supply;
pub mod tilt;
pub mod transfer;
pub mod tyre;
pub mod view;
pub mod wedge;
pub mod wire;

#[cfg(test)]
mod near {
    /// Asserts `value` within a relative `tolerance` of `expected`.
    #[track_caller]
    pub(crate) fn near(value: f64, expected: f64, tolerance: f64) {
        let allowed = tolerance * expected.abs() + 1e-12;
        assert!(
            (value - expected).abs() <= allowed,
            "{value} for {expected}"
        );
    }
}
