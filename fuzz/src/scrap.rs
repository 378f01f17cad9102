//! The fuzzer's bytes, taken one after the other.

use crate::invent::Dice;

/// Bytes that decide. Once they are used up, all that follows is 0.
#[derive(Debug)]
pub struct Scrap<'b> {
    bytes: core::slice::Iter<'b, u8>,
}

impl<'b> Scrap<'b> {
    /// All of `bytes`.
    #[must_use]
    pub fn new(bytes: &'b [u8]) -> Self {
        Self {
            bytes: bytes.iter(),
        }
    }

    /// The next byte.
    pub fn byte(&mut self) -> u8 {
        self.bytes.next().copied().unwrap_or(0)
    }

    /// The next two bytes.
    pub fn word(&mut self) -> u16 {
        u16::from_le_bytes([self.byte(), self.byte()])
    }

    /// Something a sensor could read, often at one of the ends of what a program can hold.
    pub fn reading(&mut self) -> i16 {
        match self.byte() {
            0 => 0,
            1 => 1,
            2 => i16::MAX,
            3 => i16::MIN,
            small @ 4..128 => i16::from(small) * 10,
            _ => i16::from_ne_bytes(self.word().to_ne_bytes()),
        }
    }

    /// Time in ms from one run to the next: mostly short, now and then nearly once around the clock.
    pub fn pause(&mut self) -> u16 {
        match self.byte() {
            255 => self.word(),
            ms => u16::from(ms),
        }
    }
}

impl Dice for Scrap<'_> {
    fn below(&mut self, n: usize) -> usize {
        let drawn = if n <= 256 {
            usize::from(self.byte())
        } else {
            usize::from(self.word())
        };
        drawn % n
    }

    fn any(&mut self) -> u32 {
        u32::from(self.word()) << 16 | u32::from(self.word())
    }
}
