//! Somebody else decides in place of a robot's program.

use std::cell::Cell;
use std::rc::Rc;

use quantity::Stream;
use robot::Robot;
use tactic::{Memory, Ports, Program};

use super::scenery::{arena, pusher};
use crate::{
    Beginning, Cause, Controller, Driver, End, Fighter, Orders, Record, Wanted, fight, fight_driven,
};

/// Plays a program until it has run `fails_at` times.
struct Player {
    program: Program,
    fails_at: u32,
    starts: Rc<Cell<u32>>,
}

#[derive(Debug)]
struct Playing {
    program: Program,
    memory: Memory,
    left: u32,
}

impl Controller for Playing {
    fn run(&mut self, readings: &[i16], elapsed_ms: u32) -> Option<Orders> {
        self.left = self.left.checked_sub(1)?;
        let now = u16::try_from(elapsed_ms % 65_536).expect("16 bits");
        let drive = self.program.tick(&mut self.memory, readings, now);
        Some(Orders {
            effort: [drive.left, drive.right],
            gadgets: self.memory.gadgets(),
        })
    }
}

impl Driver for Player {
    fn start(&self, beginning: Beginning) -> Box<dyn Controller> {
        self.starts.set(self.starts.get() + 1);
        Box::new(Playing {
            program: self.program.clone(),
            memory: self.program.start(beginning.opening, beginning.dice),
            left: self.fails_at,
        })
    }
}

/// Turns by chance, so that what its dice begin with counts.
const HUNT: &str = "\
opening straight {
  switch 0
}
state hunt {
  go turn when chance 2 %
  drive 60 % 60 %
}
state turn {
  pivot 70 % left for 90 ms
  then hunt
}
";

/// Gets nowhere, until the judge has both put down again.
const STAND: &str = "state stand {\n  wait\n}\n";

struct Bench {
    robot: Robot,
    program: Program,
    starts: Rc<Cell<u32>>,
}

impl Bench {
    fn new(text: &str) -> Self {
        let robot = pusher("driven");
        let tactic = tactic::parse("own.tactic", text).expect("it reads");
        let program = tactic::compile(&tactic, &Ports::of(&robot)).expect("it fits");
        Self {
            robot,
            program,
            starts: Rc::default(),
        }
    }

    fn fighters(&self) -> [Fighter<'_>; 2] {
        [0, 1].map(|_| Fighter {
            carry: None,
            robot: &self.robot,
            program: &self.program,
            opening: 0,
        })
    }

    /// As a bout without anybody in the program's place, but with a player in this seat.
    fn driven(&self, seat: usize, key: u64, fails_at: u32) -> Record {
        self.starts.set(0);
        let player = Player {
            program: self.program.clone(),
            fails_at,
            starts: Rc::clone(&self.starts),
        };
        let draws = Stream::root(key);
        fight_driven(
            &arena(),
            self.fighters(),
            (seat, &player),
            draws,
            EVERYTHING,
        )
    }
}

const EVERYTHING: Wanted = Wanted {
    frames: true,
    events: true,
};

#[test]
fn who_decides_as_the_program_does_gives_the_same_bout() {
    let mut starts = Vec::new();
    for (text, keys) in [(HUNT, 12), (STAND, 1)] {
        let bench = Bench::new(text);
        for key in 0..keys {
            let own = fight(&arena(), bench.fighters(), Stream::root(key), EVERYTHING);
            for seat in [0, 1] {
                assert_eq!(bench.driven(seat, key, u32::MAX), own, "bout {key}");
                starts.push(bench.starts.get());
            }
        }
    }
    assert!(starts.contains(&1), "{starts:?}");
    assert!(starts.iter().any(|n| *n > 1), "none began anew: {starts:?}");
}

#[test]
fn a_bout_whose_driver_fails_is_abandoned_at_that_look() {
    let bench = Bench::new(HUNT);
    for (seat, looks) in [(0, 0), (1, 0), (0, 20), (1, 20)] {
        let record = bench.driven(seat, 1, looks);
        assert_eq!(record.outcome.end, End::Abandoned { seat });
        assert_eq!(record.outcome.cause, Cause::ProgramFailed);
        assert_eq!((record.winner(), record.outcome.end.loser()), (None, None));
        // Both wait up to a fifth of a second for the hands at the buttons.
        let loop_s = bench.robot.board.loop_time.si();
        let at = f64::from(looks) * loop_s;
        let time = record.outcome.time_s;
        assert!((at - 0.002..at + 0.5).contains(&time), "{looks}: {time}");
    }
}
