//! The chips a project can be written for, and how each of them names its pins.

pub(super) mod avr;
pub(super) mod nrf52833;
pub(super) mod stm32f103;

use robot::{BoardSheet, Pin};

/// In what a project is written, and for which family of chips.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// C99 for ATmega328P and ATmega32U4.
    Avr,
    /// C99 for the STM32F103.
    Stm32f103,
    /// C99 for the nRF52833.
    Nrf52833,
    /// MicroPython, which the board must have on it.
    MicroPython,
}

/// Chips as they are told to users.
pub(super) const NAMES: [&str; 6] = [
    "ATmega328P",
    "ATmega32U4",
    "STM32F103",
    "nRF52833",
    "RP2040",
    "ESP32",
];

/// The kind of project for the chip of a board; none: none is written.
#[must_use]
pub fn kind(sheet: &BoardSheet) -> Option<Kind> {
    let chip = sheet.chip.to_ascii_lowercase();
    let is = |name: &str| chip.starts_with(name);
    if is("atmega328p") || is("atmega32u4") {
        Some(Kind::Avr)
    } else if is("stm32f103") {
        Some(Kind::Stm32f103)
    } else if is("nrf52833") {
        Some(Kind::Nrf52833)
    } else if is("rp2040") || chip == "esp32" {
        Some(Kind::MicroPython)
    } else {
        None
    }
}

impl Kind {
    /// The language, for people.
    #[must_use]
    pub const fn language(self) -> &'static str {
        match self {
            Self::Avr | Self::Stm32f103 | Self::Nrf52833 => "C99",
            Self::MicroPython => "MicroPython",
        }
    }

    /// Whether a line may pull itself down inside the chip.
    pub(super) const fn pulls_down(self) -> bool {
        !matches!(self, Self::Avr)
    }

    /// Whether the project's own code can make pulses on `pin`; `gadgets`: a timer is taken by theirs.
    pub(super) fn pulses(self, pin: &Pin, gadgets: bool) -> bool {
        match self {
            Self::Avr => avr::pulses(pin, gadgets).is_some(),
            Self::Stm32f103 => stm32f103::pulses(pin).is_some(),
            Self::Nrf52833 | Self::MicroPython => true,
        }
    }
}
