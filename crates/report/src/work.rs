//! Who fights the bouts of an answer, and who is told how far they are.

use std::sync::atomic::{AtomicBool, Ordering};

use runner::Runner;
use study::{Fought, Pit, Task};

/// Is told which stage is under way and how many of its bouts are done.
pub type Progress<'a> = dyn Fn(&str, usize, usize) + Sync + 'a;

/// Who fights the bouts.
pub struct Work<'a> {
    /// The cores.
    pub runner: &'a Runner,
    /// Is told of progress.
    pub progress: &'a Progress<'a>,
    /// Once set, no further bout begins.
    pub stop: &'a AtomicBool,
}

impl core::fmt::Debug for Work<'_> {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_struct("Work").finish_non_exhaustive()
    }
}

impl Work<'_> {
    /// Fights `tasks`; what was not fought any more is `None`.
    pub(crate) fn fight(&self, stage: &str, pit: &Pit, tasks: &[Task]) -> Vec<Option<Fought>> {
        let progress = |done, all| (self.progress)(stage, done, all);
        self.runner
            .run(tasks, &|t| pit.fight(t), &progress, self.stop)
    }

    /// Whether it was asked to stop.
    pub(crate) fn stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }
}
