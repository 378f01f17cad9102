//! Reading a quantity as a builder writes it.

use crate::Dimension;

/// A quantity read from text, in SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parsed {
    /// Nominal value in SI.
    pub si: f64,
    /// Half-width in SI of what is not known well (`+-` or `±`), 0 if not written.
    pub unsure: f64,
    /// Half-width in SI of what varies (`~`), 0 if not written.
    pub varies: f64,
}

/// Why a text is not a quantity, with the corrected text where it can be guessed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotAQuantity {
    /// What is wrong, as a sentence without a full stop.
    pub what: String,
    /// What was expected.
    pub expected: String,
    /// The text as it should stand, if it can be guessed.
    pub instead: Option<String>,
}

/// Reads `text` as a quantity of dimension `D`.
///
/// # Errors
/// When it is no number, has an unknown unit or the unit of another dimension.
pub fn parse<D: Dimension>(text: &str) -> Result<Parsed, NotAQuantity> {
    let _ = text;
    Err(NotAQuantity { what: String::new(), expected: D::NAME.into(), instead: None })
}
