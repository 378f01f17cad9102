//! The quantities that decided a bout.

/// What was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// The opponent's mean push away from the centre, N; against what the tyres could hold.
    Push,
    /// Share of the loser's weight on the opponent.
    Borne,
    /// Share of the push that came from the side or from behind.
    FromSide,
    /// Mean effort of its program against the push, −1 to 1.
    Effort,
    /// Share of the push with its tyres sliding.
    Sliding,
    /// Share of the push with its motors stalled.
    Stalled,
    /// Speed towards the edge, m/s.
    EdgeSpeed,
    /// Time from seeing the border to the rim, s.
    TimeLeft,
    /// How far the loser leaned from upright, rad.
    Lean,
    /// Time without seeing the opponent, s.
    Unseen,
    /// Time it stood still, s.
    Stood,
    /// Time in which nobody got anywhere, s.
    NoProgress,
    /// Time of the bout, s.
    Time,
    /// Mean distance from the centre, m; against the other's.
    FromCentre,
    /// Motionless time the class asks before the start, s.
    StartDelay,
    /// Mass that dropped off, kg.
    DroppedMass,
    /// Voltage of the loaded pack, V.
    PackVoltage,
    /// When the fault struck, s from the first permitted motion.
    FaultAt,
}

/// One quantity that spoke for the cause of a bout's end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ground {
    /// What.
    pub measure: Measure,
    /// Its value, SI.
    pub value: f64,
    /// What it was held against, SI: the limit, or what would have been needed.
    pub against: Option<f64>,
}

impl Ground {
    /// A quantity and what it was held against.
    pub(crate) fn of(measure: Measure, value: f64, against: f64) -> Self {
        Self {
            measure,
            value,
            against: Some(against),
        }
    }

    /// A quantity by itself.
    pub(crate) fn alone(measure: Measure, value: f64) -> Self {
        Self {
            measure,
            value,
            against: None,
        }
    }
}

/// Most grounds a cause has.
const MOST: usize = 4;

/// The grounds of a cause, the weightiest first.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Grounds([Option<Ground>; MOST]);

impl Grounds {
    /// These grounds; those beyond the fourth are left out.
    pub(crate) fn of(grounds: &[Ground]) -> Self {
        let mut list = [None; MOST];
        for (slot, ground) in list.iter_mut().zip(grounds) {
            *slot = Some(*ground);
        }
        Self(list)
    }

    /// One after the other.
    pub fn iter(&self) -> impl Iterator<Item = Ground> + '_ {
        self.0.iter().flatten().copied()
    }

    /// One of them.
    #[must_use]
    pub fn get(&self, measure: Measure) -> Option<Ground> {
        self.iter().find(|g| g.measure == measure)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grounds_keep_their_order_and_are_found_by_what_was_measured() {
        let push = Ground::of(Measure::Push, 1.9, 2.4);
        let lean = Ground::alone(Measure::Lean, 0.1);
        let grounds = Grounds::of(&[push, lean]);
        assert_eq!(grounds.iter().collect::<Vec<_>>(), [push, lean]);
        assert_eq!(grounds.get(Measure::Lean), Some(lean));
        assert_eq!(Grounds::of(&[push; 6]).iter().count(), MOST);
    }
}
