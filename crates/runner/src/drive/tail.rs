//! The last lines of a stream that nobody waits for.

use std::collections::VecDeque;
use std::io::Read;
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::Duration;

use super::line::shown;

/// Lines that are kept.
const KEPT: usize = 10;
/// Bytes of a line that are kept.
const KEPT_BYTES: usize = 1000;

/// Reads a stream to its end in a thread of its own, as fast as it comes, and keeps its last lines.
#[derive(Debug)]
pub(super) struct Tail {
    kept: Arc<Mutex<Kept>>,
    ended: Receiver<()>,
}

/// Lines, the last of them perhaps not at its end.
#[derive(Debug, Default)]
struct Kept {
    lines: VecDeque<Vec<u8>>,
    is_open: bool,
}

impl Kept {
    fn take(&mut self, bytes: &[u8]) {
        for piece in bytes.split_inclusive(|b| *b == b'\n') {
            if !self.is_open {
                self.lines.push_back(Vec::new());
                if self.lines.len() > KEPT {
                    self.lines.pop_front();
                }
            }
            self.is_open = piece.last() != Some(&b'\n');
            if let Some(line) = self.lines.back_mut() {
                let room = KEPT_BYTES.saturating_sub(line.len());
                line.extend(piece.iter().take(room));
            }
        }
    }
}

impl Tail {
    /// The tail of `from`.
    pub(super) fn of(mut from: impl Read + Send + 'static) -> Self {
        let kept = Arc::new(Mutex::new(Kept::default()));
        let (at_end, ended) = channel();
        let own = Arc::clone(&kept);
        thread::spawn(move || {
            let mut buffer = vec![0; 64 * 1024];
            while let Ok(n @ 1..) = from.read(&mut buffer) {
                let bytes = buffer.get(..n).unwrap_or_default();
                own.lock()
                    .unwrap_or_else(PoisonError::into_inner)
                    .take(bytes);
            }
            // Whether anybody still waits does not matter.
            let _ = at_end.send(());
        });
        Self { kept, ended }
    }

    /// The last lines so far, after waiting at most `patience` for the end of the stream.
    pub(super) fn lines(&self, patience: Duration) -> Vec<String> {
        // Either it has ended or it is not waited for any longer.
        let _ = self.ended.recv_timeout(patience);
        let kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        let lines = kept.lines.iter().map(|l| shown(l));
        lines.filter(|l| !l.is_empty()).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_lines_are_kept_and_long_ones_cut() {
        let mut text: String = (0..30).map(|k| format!("line {k}\n")).collect();
        text.push_str(&"x".repeat(200_000));
        let lines = Tail::of(std::io::Cursor::new(text)).lines(Duration::from_secs(5));
        assert_eq!(lines.len(), KEPT);
        assert_eq!(lines[0], "line 21");
        assert!(lines[9].starts_with("xxx") && lines[9].len() < 300);
    }
}
