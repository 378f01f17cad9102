//! Question and answer over two streams, each in a thread of its own, so that neither can block the
//! bout.

use std::io::{Read, Write};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, TryRecvError, channel, sync_channel};
use std::thread;
use std::time::Duration;

use super::failure::What;
use super::line::{Lines, shown};

/// Lines that may wait to be read; a process that writes more than it is asked for waits itself then.
const WAITING: usize = 16;
/// Longest wait before looking whether the user wants to stop.
const SLICE: Duration = Duration::from_millis(50);

/// What came of the process's output: a line, or why there are no more.
type Heard = Result<Vec<u8>, What>;

/// Both streams.
#[derive(Debug)]
pub(super) struct Link {
    /// Lines on their way to the process; none: its input is closed.
    to: Option<Sender<String>>,
    from: Receiver<Heard>,
    stop: Arc<AtomicBool>,
}

impl Link {
    /// The link to a process that reads `input` and writes `output`. Once `stop` is set, no answer is
    /// waited for any longer.
    pub(super) fn over(
        mut input: impl Write + Send + 'static,
        output: impl Read + Send + 'static,
        stop: Arc<AtomicBool>,
    ) -> Self {
        let (to, lines) = channel::<String>();
        thread::spawn(move || {
            for line in lines {
                let written = input.write_all(line.as_bytes());
                if written.and_then(|()| input.flush()).is_err() {
                    // It reads no more; whether that matters shows in its answers.
                    return;
                }
            }
        });
        let (heard, from) = sync_channel(WAITING);
        thread::spawn(move || {
            let mut lines = Lines::of(output);
            loop {
                let next = lines.next();
                let goes_on = matches!(next, Ok(Some(_)));
                let next = next.and_then(|line| line.ok_or(What::Closed));
                if heard.send(next).is_err() || !goes_on {
                    return;
                }
            }
        });
        Self {
            to: Some(to),
            from,
            stop,
        }
    }

    /// Writes a line that is not answered. A process that reads no more misses it.
    pub(super) fn tell(&self, line: String) {
        if let Some(to) = &self.to {
            let _ = to.send(line);
        }
    }

    /// Asks for one line and waits for it no longer than `patience`.
    ///
    /// # Errors
    /// That there is no such line, and why.
    pub(super) fn ask(&self, line: String, patience: Duration) -> Result<Vec<u8>, What> {
        match self.from.try_recv() {
            Ok(Ok(early)) => return Err(What::Unasked(shown(&early))),
            Ok(Err(what)) => return Err(what),
            Err(TryRecvError::Empty) => {}
            Err(TryRecvError::Disconnected) => return Err(What::Closed),
        }
        self.tell(line);
        let mut left = patience;
        loop {
            if self.stop.load(Ordering::Relaxed) {
                return Err(What::Stopped);
            }
            let slice = left.min(SLICE);
            match self.from.recv_timeout(slice) {
                Ok(heard) => return heard,
                Err(RecvTimeoutError::Disconnected) => return Err(What::Closed),
                Err(RecvTimeoutError::Timeout) => left -= slice,
            }
            if left.is_zero() {
                let ms = u64::try_from(patience.as_millis()).unwrap_or(u64::MAX);
                return Err(What::Late(ms));
            }
        }
    }

    /// Closes the process's input, once all that was told is written.
    pub(super) fn close(&mut self) {
        self.to = None;
    }

    /// Throws away what the process still writes, for at most `patience`; whether its output has ended.
    pub(super) fn drain(&self, patience: Duration) -> bool {
        !matches!(
            self.from.recv_timeout(patience),
            Ok(Ok(_)) | Err(RecvTimeoutError::Timeout)
        )
    }
}
