//! Turning figures into numbers for one imagined robot.

use crate::{Dimension, Figure, HALF_WIDTH_95, Stream};

/// Draws are cut at this many standard deviations: beyond it a normal says nothing about parts.
const CUT: f64 = 3.0;

/// The draws of one imagined robot in one bout, or the nominal robot.
#[derive(Debug, Clone, Copy)]
pub struct Draws {
    stream: Option<Stream>,
    /// Key of the one figure that is off, and by how many half-widths.
    shift: Option<(u64, f64)>,
}

/// What a figure's path is known by.
fn key_of(path: &str) -> u64 {
    Stream::root(0).named(path).key()
}

impl Draws {
    /// No draws: every figure at its nominal value.
    #[must_use]
    pub fn nominal() -> Self {
        Self {
            stream: None,
            shift: None,
        }
    }

    /// No draws, but the figure of this path off by so many half-widths of what is not known well.
    #[must_use]
    pub fn shifted(path: &str, half_widths: f64) -> Self {
        Self {
            stream: None,
            shift: Some((key_of(path), half_widths)),
        }
    }

    /// Draws keyed by `stream`, which must already stand for (seed, opponent, bout, seat).
    #[must_use]
    pub fn keyed(stream: Stream) -> Self {
        Self {
            stream: Some(stream),
            shift: None,
        }
    }

    /// The drawn value of `figure` in SI. What is not known well is keyed by the figure's own
    /// path, so copies of a part share it; what varies is keyed by `copy` as well, so each copy
    /// has its own. Cut at three standard deviations and at the dimension's physical limit.
    #[must_use]
    pub fn of<D: Dimension>(&self, figure: &Figure<D>, copy: &str) -> f64 {
        let Some(stream) = self.stream else {
            return match self.shift {
                Some((key, by)) if figure.unsure() > 0.0 && key_of(figure.path()) == key => {
                    (figure.si() + by * figure.unsure()).max(D::LEAST)
                }
                _ => figure.si(),
            };
        };
        if figure.unsure() == 0.0 && figure.varies() == 0.0 {
            return figure.si();
        }
        let here = stream.named(figure.path());
        let unsure = here.named("unsure").normal().clamp(-CUT, CUT) * figure.unsure();
        let varies = here.named("varies").named(copy).normal().clamp(-CUT, CUT) * figure.varies();
        (figure.si() + (unsure + varies) / HALF_WIDTH_95).max(D::LEAST)
    }

    /// The standard normal, cut at three, that stands for what is not known well of the figure of
    /// this path; 0 for the nominal robot.
    #[must_use]
    pub fn unknown(&self, path: &str) -> f64 {
        self.stream.map_or(0.0, |s| {
            s.named(path).named("unsure").normal().clamp(-CUT, CUT)
        })
    }

    /// A standard normal keyed by `name`, cut at three; 0 for the nominal robot.
    #[must_use]
    pub fn normal(&self, name: &str) -> f64 {
        self.stream
            .map_or(0.0, |s| s.named(name).normal().clamp(-CUT, CUT))
    }

    /// The sub-stream keyed by `name`, for what is drawn many times in a bout; none when nominal.
    #[must_use]
    pub fn stream(&self, name: &str) -> Option<Stream> {
        self.stream.map(|s| s.named(name))
    }
}
