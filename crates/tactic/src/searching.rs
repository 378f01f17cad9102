//! Whether the robot moves from where it is while it looks for the other.

use robot::Place;

use crate::ast::{Ask, Cond, State, Step};
use crate::charges::only_seen;
use crate::log::Log;
use crate::tactic::Tactic;

/// A state that is left after this long without a sight of the other, ms, is still part of a pursuit, not of a
/// search. Common practice, no source.
const PURSUIT_MS: i16 = 500;

impl Tactic {
    /// The first state in which it searches, if it drives in none of them: it turns on the spot or stands until
    /// the other comes by. None too when it never searches.
    ///
    /// It searches in the states that it can come back to, that are entered not only because the other is seen,
    /// and that it does not leave at once when nothing is seen. Steps under a condition that sees the other are no
    /// search; efforts that depend on counters or sensors may drive.
    #[must_use]
    pub fn searches_on_the_spot(&self) -> Option<Place> {
        let (seen, reachable) = (self.states_of_the_seen(), self.reachable());
        let again = self.comes_again();
        let states = self.tree().states.iter().enumerate();
        let searches: Vec<&State> = states
            .filter(|(k, s)| {
                let kept = s.stay.is_none() && s.ways.is_empty() && s.then.is_none();
                !seen[*k] && reachable[*k] && (kept || again[*k]) && !self.left_unseen(s)
            })
            .map(|(_, s)| s)
            .collect();
        let drives = |s: &&State| s.steps.iter().any(|step| self.moves_on(step));
        if searches.iter().any(drives) {
            return None;
        }
        let log = Log::new(self.file(), self.text());
        searches.first().map(|s| log.place(s.name.span.clone()))
    }

    /// Whether a step may drive somewhere although nothing is seen.
    fn moves_on(&self, step: &Step) -> bool {
        let mut found = Vec::new();
        for sense in [1, -1] {
            self.charge(step, &only_seen, sense, &mut found);
        }
        !found.is_empty()
    }

    /// Whether a way out of a state holds soon for the one reason that nothing is seen.
    fn left_unseen(&self, s: &State) -> bool {
        s.ways.iter().any(|w| self.unseen(&w.1) == Some(true))
    }

    /// What a condition says when no sensor sees or touches the other; none: that depends on something else, or
    /// it says so too late.
    fn unseen(&self, cond: &Cond) -> Option<bool> {
        match &cond.ask {
            Ask::Sees(_) | Ask::Within(..) | Ask::Beyond(..) | Ask::Touched(_) => Some(false),
            Ask::Not(c) => self.unseen(c).map(|yes| !yes),
            Ask::For(c, time) => {
                let soon = self.fixed(time).is_some_and(|ms| ms < PURSUIT_MS);
                self.unseen(c).filter(|yes| soon || !yes)
            }
            Ask::And(a, b) => match (self.unseen(a), self.unseen(b)) {
                (Some(false), _) | (_, Some(false)) => Some(false),
                (a, b) => Some(a? && b?),
            },
            Ask::Or(a, b) => match (self.unseen(a), self.unseen(b)) {
                (Some(true), _) | (_, Some(true)) => Some(true),
                (a, b) => Some(a? || b?),
            },
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    /// Line of the state in which the demo's program, with these edits, searches on the spot.
    fn line(edits: &[(&str, &str)]) -> Option<u32> {
        let text = shelf::file("robots/demo.tactic").expect("it is there");
        let text = edits.iter().fold(text, |t, (from, to)| {
            assert!(t.contains(from), "{from}");
            t.replace(from, to)
        });
        let tactic = crate::parse("demo.tactic", &text).unwrap_or_else(|e| panic!("{e:#?}"));
        tactic.searches_on_the_spot().map(|p| p.line)
    }

    const STILL: (&str, &str) = ("  drive 40 % 40 % for 200 ms\n", "");

    #[test]
    fn a_search_that_drives_now_and_then_is_none_on_the_spot() {
        assert_eq!(line(&[]), None);
        assert_eq!(line(&[STILL]), Some(24));
        let back = ("drive 40 % 40 % for", "drive -40 % -40 % for");
        assert_eq!(line(&[back]), None);
        let spun = ("drive 40 % 40 % for", "drive -40 % 40 % for");
        assert_eq!(line(&[spun]), Some(24));
    }

    #[test]
    fn what_is_left_soon_when_nothing_is_seen_is_no_search() {
        // Two seconds straight on are.
        let long = ("for 80 ms\n", "for 2000 ms\n");
        assert_eq!(line(&[STILL, long]), None);
        let left = (
            "not (centre sees or left sees)",
            "not centre sees beyond 300 mm",
        );
        assert_eq!(line(&[STILL, left]), Some(24));
        let left = (
            "not (centre sees or left sees)",
            "centre sees beyond 300 mm",
        );
        assert_eq!(line(&[STILL, left]), None);
    }

    #[test]
    fn what_only_begins_the_bout_is_no_search() {
        let first = (
            "state charge {",
            "state lunge {\n  drive 60 % 60 % for 300 ms\n  then charge\n}\nstate charge {",
        );
        let begin = ("begin charge", "begin lunge");
        assert_eq!(line(&[STILL, first, begin]), Some(28));
        // Unless it is what comes next after each flight from the border.
        let again = ("for 200 ms\n}", "for 200 ms\n  then lunge\n}");
        assert_eq!(line(&[STILL, first, begin, again]), None);
    }

    #[test]
    fn what_is_done_about_one_that_is_seen_is_no_search() {
        let seen = ("otherwise: drive 50 % 50 %", "otherwise: pivot 50 % left");
        let kept = (
            "  go look-around when not (centre sees or left sees) for 80 ms\n",
            "",
        );
        assert_eq!(line(&[seen, kept]), Some(16));
        assert_eq!(line(&[kept]), None);
    }
}
