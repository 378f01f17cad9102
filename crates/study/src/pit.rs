//! Where bouts are fought: our versions, the field, the ring.

use bout::{Arena, Driver, End, Fighter, Wanted};
use quantity::Stream;
use robot::{Issue, Robot};
use tactic::{Ports, Program, Tactic};

use crate::task::{Fought, Task, Verdict};
use crate::whatif::Design;

/// A robot ready to fight.
#[derive(Debug, Clone)]
pub struct Entrant {
    /// The robot.
    pub robot: Robot,
    /// Its compiled program.
    pub program: Program,
    /// The opening it plays.
    pub opening: usize,
}

impl Entrant {
    /// Reads and compiles a robot's own tactic.
    ///
    /// # Errors
    /// Everything wrong in the tactic.
    pub fn of_robot(robot: &Robot) -> Result<Self, Vec<Issue>> {
        let tactic = tactic::parse(&robot.tactic.file, &robot.tactic.text)?;
        Self::new(robot, &tactic, 0)
    }

    /// The same with everything that goes wrong with it by its file.
    ///
    /// # Errors
    /// Everything wrong in the tactic.
    pub fn with_faults(robot: &Robot) -> Result<Self, Vec<Issue>> {
        let entrant = Self::of_robot(robot)?;
        Ok(Self {
            robot: robot.clone(),
            ..entrant
        })
    }

    /// Compiles `tactic` for `robot` as it is while nothing goes wrong with it.
    ///
    /// # Errors
    /// Sensors the robot does not have, or of the wrong kind.
    pub fn new(robot: &Robot, tactic: &Tactic, opening: usize) -> Result<Self, Vec<Issue>> {
        let program = tactic::compile(tactic, &Ports::of(robot))?;
        Ok(Self {
            robot: robot.without_faults(),
            program,
            opening,
        })
    }

    /// A design ready to fight.
    ///
    /// # Errors
    /// As [`Entrant::new`].
    pub fn of_design(design: &Design) -> Result<Self, Vec<Issue>> {
        Self::new(&design.robot, &design.tactic, design.opening)
    }

    /// As a bout takes it.
    #[must_use]
    pub fn fighter(&self) -> Fighter<'_> {
        Fighter {
            carry: None,
            robot: &self.robot,
            program: &self.program,
            opening: self.opening,
        }
    }
}

/// Our versions against a field on a ring.
#[derive(Debug, Clone)]
pub struct Pit {
    /// The ring and what the class says about bouts.
    pub arena: Arena,
    /// Seed of the study.
    pub seed: u64,
    /// Our versions: 0 is the robot as it is.
    pub ours: Vec<Entrant>,
    /// The field.
    pub field: Vec<Entrant>,
}

impl Pit {
    /// Fights one bout and keeps what a study needs of it.
    #[must_use]
    pub fn fight(&self, task: Task) -> Fought {
        let record = self.record(task, Wanted::default());
        let us = task.seat();
        let verdict = match record.outcome.end {
            End::Out { loser } | End::Ruled { loser } if loser == us => Verdict::Loss,
            End::Out { .. } | End::Ruled { .. } => Verdict::Win,
            End::Tie => Verdict::Tie,
            End::NotFinite | End::Abandoned { .. } => Verdict::Failed,
        };
        #[allow(
            clippy::cast_possible_truncation,
            reason = "kept for averages and pictures only"
        )]
        let small = |x: f64| x as f32;
        Fought {
            verdict,
            cause: record.outcome.cause,
            time_s: small(record.simulated_s),
            left_at: record.outcome.left_at.map(small),
            state_hash: record.state_hash,
        }
    }

    /// Fights one bout and keeps all of it.
    #[must_use]
    pub fn record(&self, task: Task, wanted: Wanted) -> bout::Record {
        bout::fight(&self.arena, self.fighters(task), self.draws(task), wanted)
    }

    /// The same with `driver` deciding for our robot in place of its program.
    #[must_use]
    pub fn driven(&self, task: Task, driver: &dyn Driver, wanted: Wanted) -> bout::Record {
        let ours = (task.seat(), driver);
        let (fighters, draws) = (self.fighters(task), self.draws(task));
        bout::fight_driven(&self.arena, fighters, ours, draws, wanted)
    }

    /// Both by their seats.
    fn fighters(&self, task: Task) -> [Fighter<'_>; 2] {
        let (us, them) = (&self.ours[task.variant], &self.field[task.opponent]);
        let mut fighters = [us.fighter(), them.fighter()];
        if task.seat() == 1 {
            fighters.swap(0, 1);
        }
        fighters
    }

    fn draws(&self, task: Task) -> Stream {
        task.key(self.seed, &self.field[task.opponent].robot.name)
    }
}
