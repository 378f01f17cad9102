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

    /// Says the first line and waits for the answer no longer than `patience`. What was written before it was
    /// read is as good an answer: which of the two comes first is up to the system.
    ///
    /// # Errors
    /// That there is no such line, and why.
    pub(super) fn greet(&self, line: String, patience: Duration) -> Result<Vec<u8>, What> {
        self.tell(line);
        self.hear(patience)
    }

    /// Asks for one line and waits for it no longer than `patience`.
    ///
    /// # Errors
    /// That there is no such line, or one before it was asked for, and why.
    pub(super) fn ask(&self, line: String, patience: Duration) -> Result<Vec<u8>, What> {
        match self.from.try_recv() {
            Ok(Ok(early)) => return Err(What::Unasked(shown(&early))),
            Ok(Err(what)) => return Err(what),
            Err(TryRecvError::Empty) => {}
            Err(TryRecvError::Disconnected) => return Err(What::Closed),
        }
        self.tell(line);
        self.hear(patience)
    }

    fn hear(&self, patience: Duration) -> Result<Vec<u8>, What> {
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

#[cfg(test)]
mod tests {
    use std::io::sink;

    use super::*;

    const SOON: Duration = Duration::from_secs(20);

    /// Waits until the first line of the process is there; a line behind it stays where it is.
    fn once_heard(link: &mut Link) {
        let heard = link.from.recv_timeout(SOON).expect("it writes");
        let (again, from) = sync_channel(WAITING);
        again.send(heard).expect("somebody listens");
        link.from = from;
    }

    fn written_at_once() -> Link {
        let mut link = Link::over(sink(), &b"here\n"[..], Arc::default());
        once_heard(&mut link);
        link
    }

    #[test]
    fn a_line_before_the_question_answers_the_first_line_and_no_other() {
        let line = || "asked\n".to_owned();
        assert_eq!(written_at_once().greet(line(), SOON), Ok(b"here".to_vec()));
        let unasked = What::Unasked("here".to_owned());
        assert_eq!(written_at_once().ask(line(), SOON), Err(unasked));
    }

    #[test]
    fn nothing_is_waited_for_once_it_is_stopped() {
        let (silent, _open) = std::io::pipe().expect("there is one");
        let link = Link::over(sink(), silent, Arc::new(AtomicBool::new(true)));
        assert_eq!(link.greet(String::new(), SOON), Err(What::Stopped));
        assert_eq!(link.ask(String::new(), SOON), Err(What::Stopped));
    }
}
