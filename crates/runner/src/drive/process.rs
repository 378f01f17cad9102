//! The process itself: started without a shell, and never left behind.

use std::io;
use std::process::{Child, ChildStdin, ChildStdout, Command, ExitStatus, Stdio};
use std::thread;
use std::time::Duration;

use super::tail::Tail;

/// How often it is looked whether the process has ended.
const LOOK: Duration = Duration::from_millis(2);
/// Longest wait for the end of its standard error once it has ended: something it started may hold that
/// open.
const LAST_WORDS: Duration = Duration::from_secs(1);

/// Why a command could not be started.
#[derive(Debug)]
pub enum NotLaunched {
    /// Its words cannot be told apart.
    Unclear,
    /// There is no word in it.
    Empty,
    /// The system does not start this program, for this reason.
    Refused(String, io::Error),
}

/// A process with its standard error.
#[derive(Debug)]
pub(super) struct Process {
    child: Child,
    errors: Option<Tail>,
    /// How it ended, once it is put away; then its number may be somebody else's.
    status: Option<Option<ExitStatus>>,
}

impl Process {
    /// Starts `command`, which is split into words as a shell does.
    ///
    /// # Errors
    /// When there is no such program, or no program at all.
    pub(super) fn launch(
        command: &str,
    ) -> Result<(Self, Option<ChildStdin>, Option<ChildStdout>), NotLaunched> {
        let words = shell_words::split(command).map_err(|_| NotLaunched::Unclear)?;
        let (program, rest) = words.split_first().ok_or(NotLaunched::Empty)?;
        let mut start = Command::new(program);
        start
            .args(rest)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        own_group(&mut start);
        let mut child = start
            .spawn()
            .map_err(|e| NotLaunched::Refused(program.clone(), e))?;
        let streams = (child.stdin.take(), child.stdout.take());
        let errors = child.stderr.take().map(Tail::of);
        let status = None;
        let process = Self {
            child,
            errors,
            status,
        };
        Ok((process, streams.0, streams.1))
    }

    /// Whether it ends by itself within `patience`.
    pub(super) fn ends_within(&mut self, patience: Duration) -> bool {
        if self.status.is_some() {
            return true;
        }
        let mut left = patience;
        loop {
            if has_ended(&mut self.child) {
                return true;
            }
            if left.is_zero() {
                return false;
            }
            thread::sleep(left.min(LOOK));
            left = left.saturating_sub(LOOK);
        }
    }

    /// Ends it and, on Unix, everything it started; how it ended, if it had before.
    pub(super) fn put_away(&mut self) -> Option<ExitStatus> {
        *self.status.get_or_insert_with(|| {
            kill_all(&mut self.child);
            self.child.wait().ok()
        })
    }

    /// The last lines of its standard error.
    pub(super) fn last_words(&self) -> Vec<String> {
        self.errors
            .as_ref()
            .map_or_else(Vec::new, |tail| tail.lines(LAST_WORDS))
    }
}

impl Drop for Process {
    fn drop(&mut self) {
        self.put_away();
    }
}

/// A process group of its own, so that all of it can be ended, and so that Ctrl-C reaches this program
/// only.
#[cfg(unix)]
fn own_group(start: &mut Command) {
    use std::os::unix::process::CommandExt as _;
    start.process_group(0);
}

#[cfg(not(unix))]
fn own_group(_start: &mut Command) {}

/// Whether it has ended. It is not reaped: its number stays taken, so that its group can still be ended
/// and nobody else's is.
#[cfg(unix)]
fn has_ended(child: &mut Child) -> bool {
    use rustix::process::{Pid, WaitId, WaitIdOptions, waitid};
    let which = WaitId::Pid(Pid::from_child(child));
    let options = WaitIdOptions::EXITED | WaitIdOptions::NOHANG | WaitIdOptions::NOWAIT;
    // An error says that there is no such process any more.
    !matches!(waitid(which, options), Ok(None))
}

#[cfg(not(unix))]
fn has_ended(child: &mut Child) -> bool {
    !matches!(child.try_wait(), Ok(None))
}

/// An error says that there is nobody left to end.
#[cfg(unix)]
fn kill_all(child: &mut Child) {
    use rustix::process::{Pid, Signal, kill_process_group};
    let _ = kill_process_group(Pid::from_child(child), Signal::KILL);
}

#[cfg(not(unix))]
fn kill_all(child: &mut Child) {
    let _ = child.kill();
}
