//! Words in a picture: escaped, and broken where the room ends.

use crate::text::plain;

/// Mean width of a letter of a common sans-serif face in heights of a letter, a little on the wide
/// side so that no line runs out of its room. Lines of a check in DejaVu Sans, a wide face: 0.46 to
/// 0.54.
const LETTER_WIDTH: f64 = 0.54;

/// Where the words stand to their place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    /// They begin there.
    Start,
    /// Their middle is there.
    Middle,
    /// They end there.
    End,
}

impl Anchor {
    pub(super) fn attribute(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// Words as XML takes them.
pub(crate) fn escaped(words: &str) -> String {
    plain(words)
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

/// About how wide these words are in letters of this height.
pub(crate) fn width(words: &str, letter: f64) -> f64 {
    LETTER_WIDTH * letter * words.chars().count() as f64
}

/// The words in lines that fit into `room`. A number keeps its unit.
pub(crate) fn fitted(words: &str, room: f64, letter: f64) -> Vec<String> {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to a few hundred letters"
    )]
    let letters = (room / (LETTER_WIDTH * letter)).clamp(4.0, 400.0) as usize;
    crate::text::wrap(words, letters)
}

/// The words in one line that fits `room`, cut short where they do not.
pub(crate) fn cut(words: &str, room: f64, letter: f64) -> String {
    let mut cut = words.to_owned();
    while width(&cut, letter) > room && cut.chars().count() > 2 {
        let kept = cut.chars().count() - 2;
        let kept: String = cut.chars().take(kept).collect();
        cut = kept.trim_end().to_owned() + "…";
    }
    cut
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_keep_to_the_room() {
        let lines = fitted("a word and another word and 4 mm of steel", 80.0, 12.0);
        assert!(lines.len() > 2 && lines.iter().all(|l| width(l, 12.0) <= 80.0));
    }
}
