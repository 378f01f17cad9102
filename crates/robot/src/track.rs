//! Tracks: belts that carry and drive a robot.

use quantity::{Draws, Figure, Length, Ratio};

use crate::{Item, Robot, Tyre};

/// A belt on two sprockets. Assumed: it bears on the ring over its whole ground length, as rollers
/// close together or a slide under the belt make it.
#[derive(Debug, Clone, PartialEq)]
pub struct Track {
    /// The thing itself with sprockets and rollers; its middle is halfway along the ground length.
    pub item: Item,
    /// Index into [`Robot::motors`] of the motor that turns it; none: it rolls freely.
    pub motor: Option<usize>,
    /// A gear of its own between the motor's shaft and the sprocket: turns of the shaft for one of
    /// the sprocket.
    pub ratio: Figure<Ratio>,
    /// Radius over the belt on its sprocket.
    pub radius: Figure<Length>,
    /// Length of the belt on the ground.
    pub length: Figure<Length>,
    /// Width of the belt.
    pub width: Figure<Length>,
    /// In how many places it is reckoned with: odd, at least 3.
    pub patches: u32,
    /// What the belt is made of.
    pub tyre: Tyre,
}

/// One of the places in which a track touches the ring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Patch {
    /// How far ahead of the track's middle, as a share of its ground length.
    pub ahead: f64,
    /// Its share of the track's give, and of its load while that is even.
    pub share: f64,
}

impl Track {
    /// Its patches, evenly from front to back. Those at the ends are half as stiff as the others:
    /// then an even load has the same moment against turning, μNL/4, as an even pressure along the
    /// whole length (trapezoidal rule, exact for |x| with a patch in the middle).
    pub fn patches(&self) -> impl Iterator<Item = Patch> + use<> {
        let parts = f64::from(self.patches.max(3) - 1);
        let last = self.patches.max(3) - 1;
        (0..=last).map(move |k| Patch {
            ahead: 0.5 - f64::from(k) / parts,
            share: if k == 0 || k == last { 0.5 } else { 1.0 } / parts,
        })
    }

    /// Spin inertia in kg·m² at the sprocket, as if all of its mass ran with the belt: m r².
    #[must_use]
    pub fn spin_inertia(&self, draws: &Draws) -> f64 {
        let radius = draws.of(&self.radius, &self.item.name);
        draws.of(&self.item.mass, &self.item.name) * radius * radius
    }
}

impl Robot {
    /// Every place with a tyre on it and the name of the thing it belongs to: the wheels in file
    /// order, then each track's patches from front to back.
    pub fn treads(&self) -> impl Iterator<Item = (&Tyre, &str)> {
        let wheels = self.wheels.iter().map(|w| (&w.tyre, w.item.name.as_str()));
        let patches = |t: &'_ Track| t.patches().count();
        let tracks = self
            .tracks
            .iter()
            .flat_map(move |t| std::iter::repeat_n((&t.tyre, t.item.name.as_str()), patches(t)));
        wheels.chain(tracks)
    }

    /// Whether a motor turns the tread number `index` of [`Robot::treads`].
    #[must_use]
    pub fn tread_is_driven(&self, index: usize) -> bool {
        let patches = self.tracks.iter().flat_map(|t| {
            let driven = t.motor.is_some();
            t.patches().map(move |_| driven)
        });
        let wheels = self.wheels.iter().map(|w| w.motor.is_some());
        wheels.chain(patches).nth(index).unwrap_or(false)
    }

    /// Whether a motor turns anything that stands on the ring.
    #[must_use]
    pub fn is_driven(&self) -> bool {
        self.wheels.iter().any(|w| w.motor.is_some())
            || self.tracks.iter().any(|t| t.motor.is_some())
    }
}
