//! ATmega328P and ATmega32U4: pins as `board_avr.c` knows them.

use robot::Pin;

use super::super::lines::{Begins, Wire};

/// The timer output of `pin` as an enumerator; none: no timer that the project uses makes pulses there.
/// With gadgets a 16-bit timer is theirs: 1 on the ATmega328P, 3 on the ATmega32U4 (which has pin PF7).
pub(in super::super) fn pulses(pin: &Pin, gadgets: bool) -> Option<&'static str> {
    let known = match (pin.timer.as_deref()?, pin.port.as_str()) {
        ("0A", "PD6" | "PB7") => "PULSES_0A",
        ("0B", "PD5" | "PD0") => "PULSES_0B",
        ("1A", "PB5") => "PULSES_1A",
        ("1B", "PB6") => "PULSES_1B",
        ("2A", "PB3") => "PULSES_2A",
        ("2B", "PD3") => "PULSES_2B",
        ("4A", "PC7") => "PULSES_4A",
        ("4D", "PD7") => "PULSES_4D",
        ("1A", "PB1") if !gadgets => "PULSES_1A",
        ("1B", "PB2") if !gadgets => "PULSES_1B",
        ("3A", "PC6") if !gadgets => "PULSES_3A",
        _ => return None,
    };
    Some(known)
}

/// The row of `PINS` for a line.
pub(in super::super) fn row(wire: &Wire, gadgets: bool) -> String {
    let begins = match wire.begins {
        Begins::OutLow => "OUT_LOW",
        Begins::PulledUp => "IN_PULLED_UP",
        // The chip has no pull-down; what measures stays as the reset leaves it.
        Begins::In | Begins::PulledDown => "IN",
        Begins::Measures => "LEAVE",
    };
    let port = wire.pin.port.as_str();
    let (letter, bit) = match port.as_bytes() {
        [b'P', letter, bit @ b'0'..=b'7'] => (char::from(*letter), char::from(*bit)),
        _ => return format!("{{ 0, 0, {}, NO_PULSES, LEAVE }}", channel(wire)),
    };
    let pulses = if wire.pulses {
        pulses(&wire.pin, gadgets).unwrap_or("NO_PULSES")
    } else {
        "NO_PULSES"
    };
    let channel = channel(wire);
    format!("{{ &PORT{letter}, 1 << {bit}, {channel}, {pulses}, {begins} }}")
}

fn channel(wire: &Wire) -> &str {
    wire.pin.adc.as_deref().unwrap_or("0")
}
