//! Magnets that press a robot down on a steel ring.

use quantity::{Figure, Force, Length, Ratio};

use crate::{Item, Surface};

/// A magnet, or a block of them with its yoke, that faces the ring.
#[derive(Debug, Clone, PartialEq)]
pub struct Magnet {
    /// The thing itself; its pull acts at its middle.
    pub item: Item,
    /// Height of its lower face above the ring with all wheels down.
    pub gap: Figure<Length>,
    /// Pull on the ring's steel when the face touches it.
    pub pull: Figure<Force>,
    /// Gap at which a quarter of that is left.
    pub reach: Figure<Length>,
    /// Friction of its face on the ring.
    pub friction: Figure<Ratio>,
}

impl Surface {
    /// Whether magnets hold on it.
    #[must_use]
    pub fn is_steel(self) -> bool {
        self == Self::Steel
    }
}
