//! What decides for a robot: a compiled tactic, or somebody else in its place.

use quantity::{Stream, maths};
use robot::Robot;
use tactic::{Memory, Program};

use crate::Fighter;
use crate::carry::Carry;
use crate::control::{Beginning, Controller, Driver, Orders};
use crate::placing::Spot;

/// What a bout needs of a program.
pub(crate) trait Pilot {
    /// The opening it means to play.
    fn opening(&self) -> usize {
        0
    }
    /// How many openings it has.
    fn openings(&self) -> usize {
        1
    }
    /// Where an opening puts the robot.
    fn spot(&self, opening: usize) -> Spot;
    /// What the robot brings from earlier rounds.
    fn carry(&self) -> Option<&Carry> {
        None
    }
    /// The program, ready for its first run. `chance` feeds its own random numbers.
    fn start(&self, opening: usize, chance: Stream) -> Box<dyn Controller>;
}

/// One side of a bout: a robot and what it runs.
#[derive(Clone, Copy)]
pub(crate) struct Side<'a> {
    pub(crate) robot: &'a Robot,
    pub(crate) pilot: &'a dyn Pilot,
}

/// A program with its memory.
#[derive(Debug)]
struct Running {
    program: Program,
    memory: Memory,
}

impl Controller for Running {
    fn run(&mut self, readings: &[i16], elapsed_ms: u32) -> Option<Orders> {
        #[allow(
            clippy::cast_possible_truncation,
            reason = "the program's clock wraps at 16 bits"
        )]
        let now = elapsed_ms as u16;
        let drive = self.program.tick(&mut self.memory, readings, now);
        Some(Orders {
            effort: [drive.left, drive.right],
            gadgets: self.memory.gadgets(),
        })
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
        let memory = self.program.start(opening, dice(chance));
        Box::new(Running {
            program: self.program.clone(),
            memory,
        })
    }
}

/// A fighter for whom somebody else decides.
#[derive(Clone, Copy)]
pub(crate) struct Driven<'a> {
    pub(crate) fighter: &'a Fighter<'a>,
    pub(crate) driver: &'a dyn Driver,
}

impl Pilot for Driven<'_> {
    fn opening(&self) -> usize {
        self.fighter.opening()
    }

    fn openings(&self) -> usize {
        self.fighter.openings()
    }

    fn spot(&self, opening: usize) -> Spot {
        self.fighter.spot(opening)
    }

    fn carry(&self) -> Option<&Carry> {
        self.fighter.carry()
    }

    fn start(&self, opening: usize, chance: Stream) -> Box<dyn Controller> {
        self.driver.start(Beginning {
            opening,
            dice: dice(chance),
        })
    }
}

/// What a program's own random numbers begin with.
#[allow(
    clippy::cast_possible_truncation,
    reason = "16 of the key's 64 scattered bits"
)]
fn dice(chance: Stream) -> u16 {
    chance.key() as u16
}
