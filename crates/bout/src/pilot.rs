//! A compiled tactic as a pilot.

use quantity::{Stream, maths};
use tactic::{Memory, Program};

use crate::Fighter;
use crate::carry::Carry;
use crate::control::{Controller, Orders};
use crate::fight::Pilot;
use crate::placing::Spot;

/// A program with its memory.
#[derive(Debug)]
struct Running {
    program: Program,
    memory: Memory,
}

impl Controller for Running {
    fn run(&mut self, readings: &[i16], elapsed_ms: u32) -> Orders {
        #[allow(
            clippy::cast_possible_truncation,
            reason = "the program's clock wraps at 16 bits"
        )]
        let now = elapsed_ms as u16;
        let drive = self.program.tick(&mut self.memory, readings, now);
        Orders {
            effort: [drive.left, drive.right],
            gadgets: self.memory.gadgets(),
        }
    }
}

impl Pilot for Fighter<'_> {
    fn opening(&self) -> usize {
        self.opening
    }

    fn openings(&self) -> usize {
        self.program.openings().len()
    }

    fn spot(&self, opening: usize) -> Spot {
        let openings = self.program.openings();
        let opening = openings.get(opening).unwrap_or(&openings[0]);
        Spot {
            behind_m: f64::from(opening.behind_mm) / 1000.0,
            aside_m: f64::from(opening.aside_mm) / 1000.0,
            facing_rad: f64::from(opening.facing_tenth_deg) * maths::PI / 1800.0,
        }
    }

    fn carry(&self) -> Option<&Carry> {
        self.carry
    }

    fn start(&self, opening: usize, chance: Stream) -> Box<dyn Controller> {
        #[allow(
            clippy::cast_possible_truncation,
            reason = "16 of the key's 64 scattered bits"
        )]
        let noise = chance.key() as u16;
        let memory = self.program.start(opening, noise);
        Box::new(Running {
            program: self.program.clone(),
            memory,
        })
    }
}
