//! What is noted of a robot during a bout, for telling afterwards why it went out.

use glam::DVec2;

/// What is noted of a robot every 10 ms.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Fact {
    /// Time in ms from the first permitted motion.
    pub(crate) time_ms: u32,
    /// Where the middle of its footprint is, in m from the ring's centre.
    pub(crate) at: DVec2,
    /// Speed over the ring in m/s.
    pub(crate) speed_m_s: f64,
    /// Speed away from the centre in m/s.
    pub(crate) outward_m_s: f64,
    /// Speed along its own nose in m/s.
    pub(crate) forward_m_s: f64,
    /// Height of the body's up axis: 1 level, 0 on its side, −1 on its back.
    pub(crate) upright: f64,
    /// Whether the opponent touched it since the fact before.
    pub(crate) touched: bool,
    /// The opponent's push on it since the fact before, over its mass, in its own axes: m/s.
    pub(crate) push_m_s: DVec2,
    /// The same push in the ring's axes, m/s.
    pub(crate) shove_m_s: DVec2,
    /// The same as a mean force, N.
    pub(crate) shove_n: DVec2,
    /// What its tyres can hold at their loads, N.
    pub(crate) hold_n: f64,
    /// Share of its weight on the opponent.
    pub(crate) borne: f64,
    /// Whether its driven tyres slide.
    pub(crate) sliding: bool,
    /// Whether its motors stall.
    pub(crate) stalled: bool,
    /// Mean effort of both sides, −1 to 1.
    pub(crate) effort: f64,
    /// Whether an edge sensor on the side it moves to last read the border.
    pub(crate) edge_ahead: bool,
    /// Whether its program has seen the opponent since it was put down, false alarms aside.
    pub(crate) saw: bool,
}

impl Fact {
    /// How far from the ring's centre, m.
    pub(crate) fn distance_m(&self) -> f64 {
        self.at.length()
    }
}

/// Facts kept: ten seconds.
const KEPT: usize = 1000;

/// The last facts about a robot, oldest overwritten first.
#[derive(Debug)]
pub(crate) struct Trail {
    facts: Vec<Fact>,
    next: usize,
}

impl Trail {
    /// Without any fact.
    pub(crate) fn new() -> Self {
        Self {
            facts: Vec::with_capacity(KEPT),
            next: 0,
        }
    }

    /// Takes in a fact; the oldest goes when the trail is full.
    pub(crate) fn push(&mut self, fact: Fact) {
        if self.facts.len() < KEPT {
            self.facts.push(fact);
        } else {
            self.facts[self.next] = fact;
        }
        self.next = (self.next + 1) % KEPT;
    }

    /// Forgets all.
    pub(crate) fn clear(&mut self) {
        self.facts.clear();
        self.next = 0;
    }

    /// The facts, oldest first.
    pub(crate) fn in_order(&self) -> Vec<Fact> {
        let full = self.facts.len() == KEPT;
        let (newer, older) = self.facts.split_at(if full { self.next } else { 0 });
        older.iter().chain(newer).copied().collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_last_ten_seconds_are_kept_in_order() {
        let mut trail = Trail::new();
        for k in 0..2345 {
            trail.push(Fact {
                time_ms: k * 10,
                ..Fact::default()
            });
        }
        let times: Vec<u32> = trail.in_order().iter().map(|f| f.time_ms).collect();
        assert_eq!((times.len(), times[0], times[999]), (1000, 13_450, 23_440));
        assert!(times.windows(2).all(|w| w[1] == w[0] + 10));
    }
}
