//! Who does the bouts: this machine's cores, progress, stop.
//!
//! Results come back by index, so that any number of threads gives the same bits. A study asked to
//! stop finishes the bouts under way and returns what is done.
//!
//! Here too: [`drive`], a process of the user's own that decides for a robot.

pub mod drive;

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use rayon::prelude::*;
use study::{Fought, Task};

/// This machine's cores.
#[derive(Debug)]
pub struct Runner {
    pool: rayon::ThreadPool,
}

impl Runner {
    /// A runner on `threads` threads, or as many as the machine has cores.
    ///
    /// # Errors
    /// When the threads cannot be started.
    pub fn new(threads: Option<usize>) -> Result<Self, rayon::ThreadPoolBuildError> {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads.unwrap_or(0))
            .build()?;
        Ok(Self { pool })
    }

    /// Fights all `tasks`. `progress` is told how many are done; once `stop` is set no further
    /// bout begins. A bout that was not fought is `None`.
    pub fn run(
        &self,
        tasks: &[Task],
        fight: &(dyn Fn(Task) -> Fought + Sync),
        progress: &(dyn Fn(usize, usize) + Sync),
        stop: &AtomicBool,
    ) -> Vec<Option<Fought>> {
        let done = AtomicUsize::new(0);
        self.pool.install(|| {
            tasks
                .par_iter()
                .with_max_len(1)
                .map(|task| {
                    if stop.load(Ordering::Relaxed) {
                        return None;
                    }
                    let fought = fight(*task);
                    progress(done.fetch_add(1, Ordering::Relaxed) + 1, tasks.len());
                    Some(fought)
                })
                .collect()
        })
    }
}

#[cfg(test)]
mod tests {
    use bout::Cause;
    use study::{Verdict, plan};

    use super::*;

    fn made_up(task: Task) -> Fought {
        let key = task.key(1, "someone").key();
        let verdict = if key.is_multiple_of(3) {
            Verdict::Win
        } else {
            Verdict::Loss
        };
        Fought {
            verdict,
            cause: Cause::Stuck,
            time_s: 1.0,
            left_at: None,
            state_hash: key,
        }
    }

    #[test]
    fn any_number_of_threads_gives_the_same_results() {
        let tasks = plan(0, 3, 500);
        let run = |n| {
            let runner = Runner::new(Some(n)).unwrap();
            runner.run(&tasks, &made_up, &|_, _| {}, &AtomicBool::new(false))
        };
        assert_eq!(run(1), run(2));
        assert_eq!(run(1), run(8));
    }

    #[test]
    fn a_stopped_run_keeps_what_is_done() {
        let tasks = plan(0, 1, 200);
        let stop = AtomicBool::new(false);
        let runner = Runner::new(Some(2)).unwrap();
        let halfway = |done, _| stop.store(done >= 20, Ordering::Relaxed);
        let results = runner.run(&tasks, &made_up, &halfway, &stop);
        let done = results.iter().flatten().count();
        assert!((20..200).contains(&done), "{done}");
        for (task, result) in tasks.iter().zip(results) {
            assert!(result.is_none_or(|r| r == made_up(*task)));
        }
    }
}
