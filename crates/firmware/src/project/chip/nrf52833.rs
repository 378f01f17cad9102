//! nRF52833: pins as `board_nrf52833.c` knows them.

use super::super::lines::Wire;

/// Port and bit of a port such as `P0.31`.
fn place(port: &str) -> (u8, u8) {
    let (port, bit) = port.split_once('.').unwrap_or(("P0", "0"));
    let port = u8::from(port == "P1");
    (port, bit.parse().unwrap_or(0))
}

/// A port as the chip counts its pins.
pub(in super::super) fn number(port: &str) -> u8 {
    let (port, bit) = place(port);
    port * 32 + bit
}

/// The row of `PINS` for a line; `output`: which of the four makes its pulses.
pub(in super::super) fn row(wire: &Wire, output: Option<usize>) -> String {
    let begins = wire.begins.in_c();
    let (port, bit) = place(&wire.pin.port);
    let channel = wire.pin.adc.as_deref().unwrap_or("0");
    let output = output.map_or_else(|| "NO_PULSES".to_owned(), |k| k.to_string());
    format!("{{ {port}, {bit}, {channel}, {output}, {begins} }}")
}
