//! The chance in one reading of one sensor.

use quantity::Stream;

/// Noise is cut at this many standard deviations, like every other draw.
const CUT: f64 = 3.0;

/// Standard deviations in the half-width of a central 95 % range of a normal.
const HALF_WIDTH_95: f64 = 1.959_963_984_540_054;

/// Random numbers of one reading, keyed by (sensor's name, put-down, number of the reading):
/// other sensors, and readings nobody looks at, change nothing here.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Luck(Stream);

impl Luck {
    /// The luck of the reading numbered `reading` of the sensor keyed by `sensor`.
    pub(crate) fn new(sensor: Stream, reading: u64) -> Self {
        Self(sensor.numbered(reading))
    }

    /// An error whose 19-to-1 half-width is `half_width`.
    pub(crate) fn error(self, half_width: f64) -> f64 {
        if half_width == 0.0 {
            return 0.0;
        }
        self.0.numbered(0).normal().clamp(-CUT, CUT) * half_width / HALF_WIDTH_95
    }

    /// Whether a reading that should show something misses it.
    pub(crate) fn misses(self, share: f64) -> bool {
        share > 0.0 && self.0.numbered(1).uniform() < share
    }

    /// A number from 0 to 1 for where something else is in its own cycle.
    pub(crate) fn elsewhere(self) -> f64 {
        self.0.numbered(4).uniform()
    }

    /// Where between 0 and 1 of its span a false alarm lies, if this reading is one.
    pub(crate) fn false_alarm(self, share: f64) -> Option<f64> {
        (share > 0.0 && self.0.numbered(2).uniform() < share).then(|| self.0.numbered(3).uniform())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nineteen_of_twenty_errors_lie_within_the_half_width() {
        let key = Stream::root(5).named("sensor/front");
        let n = 20_000;
        let inside = (0..n)
            .filter(|&k| Luck::new(key, k).error(0.2).abs() <= 0.2)
            .count();
        let share = inside as f64 / n as f64;
        // Standard error 0.0015.
        assert!((share - 0.95).abs() < 0.006, "{share}");
    }

    #[test]
    fn misses_and_false_alarms_come_at_their_rates() {
        let key = Stream::root(6).named("sensor/front");
        let n = 20_000;
        let missed = (0..n).filter(|&k| Luck::new(key, k).misses(0.1)).count() as f64 / n as f64;
        let alarms: Vec<f64> = (0..n)
            .filter_map(|k| Luck::new(key, k).false_alarm(0.1))
            .collect();
        let mean = alarms.iter().sum::<f64>() / alarms.len() as f64;
        // Standard errors 0.002, 0.002 and 0.0065.
        assert!((missed - 0.1).abs() < 0.008, "{missed}");
        assert!(
            (alarms.len() as f64 / n as f64 - 0.1).abs() < 0.008,
            "{}",
            alarms.len()
        );
        assert!((mean - 0.5).abs() < 0.03, "{mean}");
    }
}
