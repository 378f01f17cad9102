//! Random streams keyed by what they are for.
//!
//! A stream is a 64-bit key. Keys are built by mixing in names and numbers: (seed, opponent, bout,
//! seat, the quantity's path). Nothing is ever drawn in sequence from one shared generator, so
//! adding a part to a robot leaves every other draw as it was, and paired comparison holds.

use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::SeedableRng;

/// A key from which numbers are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stream(u64);

/// Finaliser of `SplitMix64` (Steele, Lea, Flood 2014): every input bit reaches every output bit.
fn scatter(mut z: u64) -> u64 {
    z = z.wrapping_add(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

impl Stream {
    /// The root stream of a seed.
    #[must_use]
    pub fn root(seed: u64) -> Self {
        Self(scatter(seed))
    }

    /// The sub-stream for a name (FNV-1a of its bytes, then scattered with the parent's key).
    #[must_use]
    pub fn named(self, name: &str) -> Self {
        let mut h = 0xcbf2_9ce4_8422_2325_u64;
        for b in name.bytes() {
            h = (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3);
        }
        Self(scatter(self.0 ^ scatter(h)))
    }

    /// The sub-stream for a number.
    #[must_use]
    pub fn numbered(self, n: u64) -> Self {
        Self(scatter(self.0 ^ scatter(n ^ 0x5851_F42D_4C95_7F2D)))
    }

    /// The key itself.
    #[must_use]
    pub fn key(self) -> u64 {
        self.0
    }

    /// A named, portable generator started from this key.
    #[must_use]
    pub fn generator(self) -> Pcg64Mcg {
        Pcg64Mcg::seed_from_u64(self.0)
    }

    /// One standard normal number: always the same for the same key.
    #[must_use]
    pub fn normal(self) -> f64 {
        StandardNormal.sample(&mut self.generator())
    }

    /// One number uniform in [0, 1): the key's upper 53 bits, scattered once more.
    #[must_use]
    pub fn uniform(self) -> f64 {
        (scatter(self.0) >> 11) as f64 * (1.0 / (1_u64 << 53) as f64)
    }
}
