//! What the long checks share: putting robots of the program's own fields into a pit and fighting
//! many bouts on all cores. And the comparison with other engines.

pub mod blade_height;
pub mod engines;
pub mod fisher;
pub mod frames;
pub mod half_step;
pub mod league;
pub mod mass;
pub mod undo;

use std::sync::atomic::AtomicBool;

use robot::{PartsBox, Robot};
use rules::Classes;
use runner::Runner;
use study::{Entrant, Fought, Pit, Task, plan};

fn parts() -> PartsBox {
    PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"))
}

fn entrant(robot: &Robot) -> Entrant {
    Entrant::of_robot(robot).unwrap_or_else(|e| panic!("{e:#?}"))
}

/// The built-in robot `name`, such as `demo` or `mini/anvil`.
///
/// # Panics
/// When it cannot be read.
#[must_use]
pub fn load(name: &str) -> Robot {
    store::load_robot(name, &parts()).unwrap_or_else(|e| panic!("{e:#?}"))
}

/// The robots of the built-in field `name`.
///
/// # Panics
/// When they cannot be read.
#[must_use]
pub fn field(name: &str) -> Vec<Robot> {
    store::field(name, &parts(), None).unwrap_or_else(|e| panic!("{e:#?}"))
}

/// A pit of the class `name` in which `ours` meets `field`.
///
/// # Panics
/// When the class or a tactic cannot be read.
#[must_use]
pub fn pit(name: &str, seed: u64, ours: &Robot, field: &[Robot]) -> Pit {
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let class = classes.find(name).unwrap_or_else(|e| panic!("{e:?}"));
    Pit {
        arena: bout::Arena::of(class),
        seed,
        ours: vec![entrant(ours)],
        field: field.iter().map(entrant).collect(),
    }
}

/// Fights `total` bouts in `pit` on all cores: every task with what came of it.
///
/// # Panics
/// When no threads can be started.
#[must_use]
pub fn fight(pit: &Pit, total: u32) -> Vec<(Task, Fought)> {
    let tasks = plan(0, pit.field.len(), total);
    let fought = fight_tasks(pit, &tasks);
    tasks.into_iter().zip(fought).collect()
}

/// Fights `tasks` in `pit` on all cores.
///
/// # Panics
/// When no threads can be started.
#[must_use]
pub fn fight_tasks(pit: &Pit, tasks: &[Task]) -> Vec<Fought> {
    let runner = Runner::new(None).unwrap_or_else(|e| panic!("{e}"));
    let never = AtomicBool::new(false);
    let results = runner.run(tasks, &|t| pit.fight(t), &|_, _| {}, &never);
    results.into_iter().flatten().collect()
}
