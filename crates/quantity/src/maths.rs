//! The one door to transcendental functions.
//!
//! `std` hands these to the platform's C library, whose last bits differ from machine to machine.
//! Everything here comes from `libm`, compiled with the program, so the same inputs give the same
//! bits everywhere. `f64::sqrt`, `abs`, `floor`, `mul` and friends are exact by IEEE 754 and stay
//! as they are.

pub use core::f64::consts::{FRAC_PI_2, PI, TAU};

/// Standard gravity in m/s², exact (BIPM SI brochure, 9th edition; 3rd CGPM 1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;

macro_rules! one {
    ($($(#[$doc:meta])* $name:ident = $from:ident;)*) => {
        $($(#[$doc])* #[inline] #[must_use] pub fn $name(x: f64) -> f64 { libm::$from(x) })*
    };
}

one! {
    /// Sine of an angle in rad.
    sin = sin;
    /// Cosine of an angle in rad.
    cos = cos;
    /// Tangent of an angle in rad.
    tan = tan;
    /// Arc sine in rad.
    asin = asin;
    /// Arc cosine in rad.
    acos = acos;
    /// Arc tangent in rad.
    atan = atan;
    /// e to the x.
    exp = exp;
    /// Natural logarithm.
    ln = log;
    /// Natural logarithm of 1 + x, good near zero.
    ln_1p = log1p;
    /// Logarithm to base ten.
    log10 = log10;
    /// Error function.
    erf = erf;
    /// Hyperbolic tangent.
    tanh = tanh;
}

/// Angle of the vector (x, y) in rad, in (−π, π].
#[inline]
#[must_use]
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// `x` to the power `y`.
#[inline]
#[must_use]
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}

/// Length of the vector (x, y).
#[inline]
#[must_use]
pub fn hypot(x: f64, y: f64) -> f64 {
    (x * x + y * y).sqrt()
}

/// An angle in rad brought into (−π, π].
#[must_use]
pub fn wrap_angle(a: f64) -> f64 {
    let turns = ((a + PI) / TAU).floor();
    let w = a - turns * TAU;
    if w <= -PI { w + TAU } else { w }
}
