//! Turning figures into numbers for one imagined robot.

use crate::{Dimension, Figure, Stream};

/// Standard deviations in the half-width of a central 95 % range of a normal.
const HALF_WIDTH_95: f64 = 1.959_963_984_540_054;

/// Draws are cut at this many standard deviations: beyond it a normal says nothing about parts.
const CUT: f64 = 3.0;

/// The draws of one imagined robot in one bout, or the nominal robot.
#[derive(Debug, Clone, Copy)]
pub struct Draws {
    stream: Option<Stream>,
}

impl Draws {
    /// No draws: every figure at its nominal value.
    #[must_use]
    pub fn nominal() -> Self {
        Self { stream: None }
    }

    /// Draws keyed by `stream`, which must already stand for (seed, opponent, bout, seat).
    #[must_use]
    pub fn keyed(stream: Stream) -> Self {
        Self {
            stream: Some(stream),
        }
    }

    /// The drawn value of `figure` in SI. What is not known well is keyed by the figure's own
    /// path, so copies of a part share it; what varies is keyed by `copy` as well, so each copy
    /// has its own. Cut at three standard deviations and at the dimension's physical limit.
    #[must_use]
    pub fn of<D: Dimension>(&self, figure: &Figure<D>, copy: &str) -> f64 {
        let Some(stream) = self.stream else {
            return figure.si();
        };
        if figure.unsure() == 0.0 && figure.varies() == 0.0 {
            return figure.si();
        }
        let here = stream.named(figure.path());
        let unsure = here.named("unsure").normal().clamp(-CUT, CUT) * figure.unsure();
        let varies = here.named("varies").named(copy).normal().clamp(-CUT, CUT) * figure.varies();
        (figure.si() + (unsure + varies) / HALF_WIDTH_95).max(D::LEAST)
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
