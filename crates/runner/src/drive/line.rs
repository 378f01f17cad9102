//! Lines of bounded length out of a stream.

use std::io::{BufRead, BufReader, Read};

use super::failure::What;

/// Longest line in bytes that is read, without its end.
pub const LONGEST_LINE: usize = 64 * 1024;

/// Most characters of a line that are shown.
const SHOWN: usize = 200;

/// A stream as lines.
#[derive(Debug)]
pub(super) struct Lines<R> {
    from: BufReader<R>,
}

impl<R: Read> Lines<R> {
    /// The lines of `from`.
    pub(super) fn of(from: R) -> Self {
        Self {
            from: BufReader::new(from),
        }
    }

    /// The next line without its end; none: the stream has ended, and what follows the last line end is
    /// no line.
    ///
    /// # Errors
    /// A line that is too long, and what the system says of the stream.
    pub(super) fn next(&mut self) -> Result<Option<Vec<u8>>, What> {
        let most = u64::try_from(LONGEST_LINE).unwrap_or(u64::MAX) + 1;
        let mut line = Vec::new();
        let read = self.from.by_ref().take(most).read_until(b'\n', &mut line);
        if let Err(e) = read {
            return Err(What::Unreadable(e.to_string()));
        }
        if line.last() == Some(&b'\n') {
            line.pop();
            return Ok(Some(line));
        }
        if line.len() > LONGEST_LINE {
            return Err(What::Endless);
        }
        Ok(None)
    }
}

/// A line for people: its beginning, with whatever is no text replaced.
pub(super) fn shown(line: &[u8]) -> String {
    let head = line.get(..4 * SHOWN).unwrap_or(line);
    let text = String::from_utf8_lossy(head);
    let plain = |c: char| if c.is_control() { '\u{FFFD}' } else { c };
    let mut short: String = text.trim_end().chars().take(SHOWN).map(plain).collect();
    if line.len() > short.len() && text.trim_end().chars().count() > SHOWN {
        short.push_str(" …");
    }
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_end_with_their_end_and_a_torn_one_is_none() {
        let mut lines = Lines::of(&b"one\n\ntwo"[..]);
        assert_eq!(lines.next(), Ok(Some(b"one".to_vec())));
        assert_eq!(lines.next(), Ok(Some(Vec::new())));
        assert_eq!(lines.next(), Ok(None));
    }

    #[test]
    fn a_line_of_the_longest_length_is_read_and_one_byte_more_is_not() {
        let mut text = vec![b'x'; LONGEST_LINE];
        text.push(b'\n');
        assert_eq!(
            Lines::of(&text[..]).next().map(|l| l.map(|l| l.len())),
            Ok(Some(LONGEST_LINE))
        );
        text.insert(0, b'x');
        assert_eq!(Lines::of(&text[..]).next(), Err(What::Endless));
    }

    #[test]
    fn a_long_or_wild_line_is_shown_short_and_plain() {
        assert_eq!(shown(b"{\"left\":1}\r"), "{\"left\":1}");
        assert_eq!(shown(b"a\x1b[31m\xff"), "a\u{FFFD}[31m\u{FFFD}");
        let long = shown(&vec![b'y'; 70_000]);
        assert!(long.ends_with("y …") && long.chars().count() == SHOWN + 2);
    }
}
