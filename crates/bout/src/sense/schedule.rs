//! When readings are taken, and which of them anybody will look at.
//!
//! A reading of a sensor becomes visible after its latency; a run of the program sees the newest
//! visible one. Readings that are replaced before the program runs again need not be worked out:
//! their chance is keyed by their number, so leaving them out changes nothing.

/// Instants in ms, evenly spaced.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Beat {
    /// The first.
    pub(crate) first_ms: f64,
    /// From one to the next.
    pub(crate) period_ms: f64,
}

impl Beat {
    /// Shortest period in ms: keeps a rate or loop time without sense from stopping the bout.
    const SHORTEST_MS: f64 = 0.05;
    /// Longest period in ms.
    const LONGEST_MS: f64 = 60_000.0;

    /// A beat of `period_ms` whose first instant lies at the share `phase` (0 to 1) of a period.
    pub(crate) fn new(period_ms: f64, phase: f64) -> Self {
        let period_ms = if period_ms.is_nan() {
            Self::LONGEST_MS
        } else {
            period_ms
        };
        let period_ms = period_ms.clamp(Self::SHORTEST_MS, Self::LONGEST_MS);
        Self {
            first_ms: phase * period_ms,
            period_ms,
        }
    }

    /// The same beat, later by `wait_ms`.
    pub(crate) fn after(self, wait_ms: f64) -> Self {
        Self {
            first_ms: self.first_ms + wait_ms,
            ..self
        }
    }

    /// Whole periods in `span_ms`.
    pub(crate) fn count_within(&self, span_ms: f64) -> usize {
        usize::try_from(whole(span_ms / self.period_ms)).unwrap_or(usize::MAX)
    }

    /// The instant numbered `n` from 0.
    pub(crate) fn at(&self, n: u64) -> f64 {
        self.first_ms + n as f64 * self.period_ms
    }

    /// Number of the first instant not before `time_ms`.
    fn first_from(&self, time_ms: f64) -> u64 {
        let n = whole((time_ms - self.first_ms) / self.period_ms);
        if self.at(n) < time_ms { n + 1 } else { n }
    }

    /// Number of the last instant not after `time_ms`; 0 when there is none.
    fn last_until(&self, time_ms: f64) -> u64 {
        let n = whole((time_ms - self.first_ms) / self.period_ms);
        if n > 0 && self.at(n) > time_ms {
            n - 1
        } else {
            n
        }
    }
}

/// The whole part of a number of periods: the cast cuts off the rest; below 0 and NaN become 0.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the cast saturates, and saturation is what is meant"
)]
fn whole(periods: f64) -> u64 {
    periods as u64
}

/// Which readings of one sensor are worked out.
#[derive(Debug, Clone)]
pub(crate) struct Schedule {
    /// When the sensor takes readings.
    beat: Beat,
    /// Age of a reading when it becomes visible, in ms.
    latency_ms: f64,
    /// Number of the next reading somebody will look at.
    next: u64,
    /// When that is due, in ms.
    due_ms: f64,
}

impl Schedule {
    /// The schedule of a sensor under a program that runs at `runs`.
    pub(crate) fn new(beat: Beat, latency_ms: f64, runs: &Beat) -> Self {
        let mut s = Self {
            beat,
            latency_ms: latency_ms.max(0.0),
            next: 0,
            due_ms: 0.0,
        };
        s.look_from(0, runs);
        s
    }

    /// When the next reading is due, in ms.
    pub(crate) fn due_ms(&self) -> f64 {
        self.due_ms
    }

    /// Takes the reading that is due: its number and when it becomes visible; moves on to the
    /// next that a run of the program will see as its newest.
    pub(crate) fn take(&mut self, runs: &Beat) -> (u64, f64) {
        let (taken, due_ms) = (self.next, self.due_ms);
        self.look_from(taken + 1, runs);
        (taken, due_ms + self.latency_ms)
    }

    /// Sets `next` to the newest reading visible at the first run that sees one numbered at least
    /// `least`.
    fn look_from(&mut self, least: u64, runs: &Beat) {
        let run_ms = runs.at(runs.first_from(self.beat.at(least) + self.latency_ms));
        self.next = self.beat.last_until(run_ms - self.latency_ms).max(least);
        self.due_ms = self.beat.at(self.next);
    }

    /// Most readings that can be on their way at one time.
    pub(crate) fn most_in_flight(&self) -> usize {
        self.beat.count_within(self.latency_ms).min(1000) + 2
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a program sees when every reading is worked out: at each run, the newest reading
    /// whose latency is over.
    fn newest_by_hand(beat: Beat, latency: f64, runs: Beat, count: u64) -> Vec<Option<u64>> {
        (0..count)
            .map(|r| {
                let run = runs.at(r);
                (0..10_000)
                    .take_while(|&n| beat.at(n) + latency <= run)
                    .last()
            })
            .collect()
    }

    /// The same through the schedule.
    fn newest_by_schedule(beat: Beat, latency: f64, runs: Beat, count: u64) -> Vec<Option<u64>> {
        let mut s = Schedule::new(beat, latency, &runs);
        let mut flight = std::collections::VecDeque::new();
        let mut seen = None;
        (0..count)
            .map(|r| {
                let run = runs.at(r);
                while s.due_ms() <= run {
                    let (n, visible) = s.take(&runs);
                    flight.push_back((visible, n));
                    assert!(flight.len() <= s.most_in_flight());
                }
                while flight.front().is_some_and(|f| f.0 <= run) {
                    seen = flight.pop_front().map(|f| f.1);
                }
                seen
            })
            .collect()
    }

    #[test]
    fn a_program_sees_just_what_it_would_if_every_reading_were_worked_out() {
        for (period, latency, loop_ms) in [
            (1.0, 0.3, 5.0),
            (38.3, 5.0, 5.0),
            (30.0, 33.0, 10.0),
            (5.0, 0.0, 5.0),
            (7.0, 40.0, 1.0),
            (0.4, 2.0, 9.7),
        ] {
            for phase in [0.0, 0.21, 0.5, 0.97] {
                let beat = Beat::new(period, phase);
                let runs = Beat::new(loop_ms, 1.0 - phase);
                assert_eq!(
                    newest_by_schedule(beat, latency, runs, 400),
                    newest_by_hand(beat, latency, runs, 400),
                    "{period} {latency} {loop_ms} {phase}"
                );
            }
        }
    }

    #[test]
    fn readings_nobody_looks_at_are_left_out() {
        let runs = Beat::new(5.0, 0.3);
        let mut s = Schedule::new(Beat::new(0.5, 0.0), 1.0, &runs);
        let mut taken = 0;
        while s.due_ms() < 1000.0 {
            s.take(&runs);
            taken += 1;
        }
        assert!((199..=201).contains(&taken), "{taken} of 2000");
    }

    #[test]
    fn a_period_without_sense_is_brought_into_bounds() {
        assert!(Beat::new(0.0, 0.0).period_ms > 0.0);
        assert!(Beat::new(f64::NAN, 0.0).period_ms > 0.0);
        assert!(Beat::new(f64::INFINITY, 0.0).period_ms.is_finite());
    }
}
