//! A number from a file with how well it is known and how much it varies.

use core::marker::PhantomData;
use std::sync::Arc;

use crate::Dimension;

/// Where a figure came from; the report tells the user.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Written in the robot's own file.
    Stated,
    /// Taken from a parts-box entry the file names.
    PartsBox,
    /// Nobody said: the typical value and band of its class.
    Typical,
    /// Worked out from other figures.
    Derived,
}

/// A quantity of dimension `D`, in SI, with its two kinds of spread.
///
/// Both spreads are half-widths of the range one would bet 19 to 1 on, in SI. `unsure`: fixed
/// for this robot but not known well. `varies`: drawn anew for every bout.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure<D> {
    si: f64,
    unsure: f64,
    varies: f64,
    origin: Origin,
    path: Arc<str>,
    dimension: PhantomData<D>,
}

impl<D: Dimension> Figure<D> {
    /// A figure without spread, worked out by the program; `path` names it in the file's terms.
    #[must_use]
    pub fn derived(si: f64, path: &str) -> Self {
        Self::new(si, Origin::Derived, path)
    }

    /// A figure without spread.
    #[must_use]
    pub fn new(si: f64, origin: Origin, path: &str) -> Self {
        Self {
            si,
            unsure: 0.0,
            varies: 0.0,
            origin,
            path: path.into(),
            dimension: PhantomData,
        }
    }

    /// The same with the half-widths (SI) of what is not known well and of what varies.
    #[must_use]
    pub fn with_spread(mut self, unsure: f64, varies: f64) -> Self {
        self.unsure = unsure;
        self.varies = varies;
        self
    }

    /// The same with another nominal value in SI; spreads, origin and path stay.
    #[must_use]
    pub fn with_si(mut self, si: f64) -> Self {
        self.si = si;
        self
    }

    /// Nominal value in SI units of `D`.
    #[inline]
    #[must_use]
    pub fn si(&self) -> f64 {
        self.si
    }

    /// Half-width in SI of what is not known well (19 to 1).
    #[must_use]
    pub fn unsure(&self) -> f64 {
        self.unsure
    }

    /// Half-width in SI of what varies from bout to bout (19 to 1).
    #[must_use]
    pub fn varies(&self) -> f64 {
        self.varies
    }

    /// Where the figure came from.
    #[must_use]
    pub fn origin(&self) -> Origin {
        self.origin
    }

    /// Stable name: `parts/ID/KEY` for a parts-box figure (shared by all copies of the part),
    /// `SECTION/NAME/KEY` for one of the robot's own. Keys the random draws.
    #[must_use]
    pub fn path(&self) -> &str {
        &self.path
    }
}
