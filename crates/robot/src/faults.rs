//! What goes wrong with a robot now and then, and how often.

use quantity::{Figure, Mass, Ratio};

/// A fault that can strike in a bout.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fault {
    /// A tyre comes off its rim.
    LostTyre,
    /// The plug of a motor channel comes loose: its motors neither drive nor brake.
    LoosePlug,
    /// A sensor reads nothing any more.
    DeadSensor,
    /// The robot moves before the signal.
    FalseStart,
    /// The controller starts anew.
    ControllerReset,
    /// A screw falls off.
    DroppedScrew,
}

impl Fault {
    /// Every fault with the word a robot file has for it.
    pub const ALL: [(&str, Self); 6] = [
        ("lost-tyre", Self::LostTyre),
        ("loose-plug", Self::LoosePlug),
        ("dead-sensor", Self::DeadSensor),
        ("false-start", Self::FalseStart),
        ("controller-reset", Self::ControllerReset),
        ("dropped-screw", Self::DroppedScrew),
    ];

    /// The word a robot file has for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        let found = Self::ALL.iter().find(|f| f.1 == self);
        found.map_or("fault", |f| f.0)
    }
}

/// What goes wrong with a robot and how often: nothing, unless its file says so.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Faults {
    /// Faults with their rates: in which share of the bouts each strikes.
    pub rates: Vec<(Fault, Figure<Ratio>)>,
    /// Mass of what a dropped screw takes with it; none: typical.
    pub screw_mass: Option<Figure<Mass>>,
}

impl Faults {
    /// Whether nothing goes wrong.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rates.is_empty()
    }

    /// The rate of a fault, if it has one.
    #[must_use]
    pub fn rate(&self, fault: Fault) -> Option<&Figure<Ratio>> {
        self.rates.iter().find(|r| r.0 == fault).map(|r| &r.1)
    }
}
