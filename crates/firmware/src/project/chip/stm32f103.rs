//! STM32F103: pins as `board_stm32f103.c` knows them.

use robot::Pin;

use super::super::lines::Wire;

/// Timer and output of `pin` without moving any to other pins (ST, reference manual RM0008, alternate
/// function mapping); none: no pulses there.
pub(in super::super) fn pulses(pin: &Pin) -> Option<(u8, u8)> {
    const OUTPUTS: [(&str, u8, u8); 16] = [
        ("PA8", 1, 1),
        ("PA9", 1, 2),
        ("PA10", 1, 3),
        ("PA11", 1, 4),
        ("PA0", 2, 1),
        ("PA1", 2, 2),
        ("PA2", 2, 3),
        ("PA3", 2, 4),
        ("PA6", 3, 1),
        ("PA7", 3, 2),
        ("PB0", 3, 3),
        ("PB1", 3, 4),
        ("PB6", 4, 1),
        ("PB7", 4, 2),
        ("PB8", 4, 3),
        ("PB9", 4, 4),
    ];
    let found = OUTPUTS.iter().find(|o| o.0 == pin.port);
    found.map(|(_, timer, output)| (*timer, *output))
}

/// The row of `PINS` for a line.
pub(in super::super) fn row(wire: &Wire) -> String {
    let begins = wire.begins.in_c();
    let port = wire.pin.port.as_bytes().get(1).map_or(0, |p| p - b'A');
    let bit = wire.pin.port.get(2..).unwrap_or("0");
    let channel = wire.pin.adc.as_deref().unwrap_or("0");
    let (timer, output) = if wire.pulses {
        pulses(&wire.pin).unwrap_or((0, 0))
    } else {
        (0, 0)
    };
    format!("{{ {port}, {bit}, {channel}, {timer}, {output}, {begins} }}")
}
