//! How long an answer took, for those who ask.

use serde::Serialize;

/// Time used. Not part of an answer unless asked for: it differs from run to run.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Timing {
    /// Time by the clock in s.
    pub wall_s: f64,
    /// Processor time in s, all threads together.
    pub cpu_s: f64,
    /// Simulated time in s of all bouts, from the first permitted motion.
    pub simulated_s: f64,
}

impl Timing {
    /// In words.
    #[must_use]
    pub fn words(&self) -> String {
        format!(
            "{:.1} s by the clock, {:.1} s of processor time for {:.0} s of bouts.",
            self.wall_s, self.cpu_s, self.simulated_s
        )
    }
}
