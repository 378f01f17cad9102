//! Tactics by their seeds.

use rand::{Rng as _, RngExt as _, SeedableRng as _};
use rand_pcg::Pcg32;
use tactic::Program;

use super::invent::{self, Dice};

impl Dice for Pcg32 {
    fn below(&mut self, n: usize) -> usize {
        self.random_range(0..n)
    }

    fn any(&mut self) -> u32 {
        self.next_u32()
    }
}

/// The text and the program of the tactic of a seed. What the reader or the compiler refuses is invented
/// anew.
pub(crate) fn tactic(seed: u64) -> (String, Program) {
    let mut dice = Pcg32::seed_from_u64(seed);
    for _ in 0..200 {
        let text = invent::text(&mut dice);
        if let Ok(read) = tactic::parse("invented.tactic", &text)
            && let Ok(program) = tactic::compile(&read, &invent::ports())
        {
            return (text, program);
        }
    }
    panic!("nothing the reader takes came of seed {seed}");
}
