//! A quick 64-bit hash of the moving state.

/// Mixes numbers bit for bit: equal hashes mean equal bouts, for all practical purposes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct StateHash(u64);

impl StateHash {
    /// An empty hash.
    pub(crate) fn new() -> Self {
        Self(0x243F_6A88_85A3_08D3)
    }

    /// Mixes in `numbers` in order.
    pub(crate) fn numbers(&mut self, numbers: &[f64]) {
        for n in numbers {
            self.0 = (self.0.rotate_left(23) ^ n.to_bits()).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        }
    }

    /// The hash so far.
    pub(crate) fn finish(self) -> u64 {
        self.0 ^ (self.0 >> 32)
    }
}
