//! How hard and how long the program drives forward or backward.

use crate::ast::{Action, Cond, Expr, Step};
use crate::tactic::Tactic;

/// A step that drives forward or backward.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Charge {
    /// Mean effort of both sides, per mille, above zero.
    pub effort: i16,
    /// Longest it can last in ms; none: as long as its state does.
    pub longest_ms: Option<u16>,
}

impl Tactic {
    /// Every step that drives forward, except what it does only while a distance sensor sees the
    /// opponent within `near_mm`: then the opponent stands in the way. What depends on counters or
    /// sensors may be full effort.
    #[must_use]
    pub fn forward_charges(&self, near_mm: i16) -> Vec<Charge> {
        self.charges(near_mm, 1)
    }

    /// Every step that drives backward, whatever is in front.
    #[must_use]
    pub fn backward_charges(&self) -> Vec<Charge> {
        self.charges(-1, -1)
    }

    fn charges(&self, near_mm: i16, sense: i16) -> Vec<Charge> {
        let mut found = Vec::new();
        let mut add = |s: &Step| self.charge(s, near_mm, sense, &mut found);
        for state in &self.tree().states {
            state.steps.iter().for_each(&mut add);
        }
        for reflex in &self.tree().reflexes {
            if !self.only_near(&reflex.when, near_mm) {
                reflex.steps.iter().for_each(&mut add);
            }
        }
        found
    }

    fn charge(&self, step: &Step, near_mm: i16, sense: i16, found: &mut Vec<Charge>) {
        let longest_ms = step.lasting.as_ref().and_then(|e| self.fixed(e));
        let longest_ms = longest_ms.map(|ms| u16::try_from(ms).unwrap_or(0));
        let mut add = |action: &Action| {
            if let Action::Drive(a, b) | Action::Arc(a, b, _) = action {
                let effort = self.mean_effort(a, b, sense);
                if effort > 0 {
                    found.push(Charge { effort, longest_ms });
                }
            }
        };
        match &step.action {
            Action::Follow(rules) => {
                for (when, action) in rules {
                    if !when.as_ref().is_some_and(|c| self.only_near(c, near_mm)) {
                        add(action);
                    }
                }
            }
            action => add(action),
        }
    }

    /// Greatest mean effort of two sides in the sense of `sense` (1 or −1).
    fn mean_effort(&self, left: &Expr, right: &Expr, sense: i16) -> i16 {
        let k = usize::from(sense > 0);
        sense * i16::midpoint(self.efforts(left)[k], self.efforts(right)[k])
    }

    /// Whether the condition can hold only with the opponent within `near_mm`.
    fn only_near(&self, cond: &Cond, near_mm: i16) -> bool {
        let near = |e: &Expr| self.fixed(e).is_some_and(|mm| mm <= near_mm);
        match cond {
            Cond::Within(_, e) => near(e),
            Cond::And(a, b) => self.only_near(a, near_mm) || self.only_near(b, near_mm),
            Cond::Or(a, b) => self.only_near(a, near_mm) && self.only_near(b, near_mm),
            Cond::For(c, _) => self.only_near(c, near_mm),
            _ => false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Charge;

    fn charges(text: &str, near_mm: i16) -> Vec<(i16, Option<u16>)> {
        let t = crate::parse("t.tactic", text).unwrap_or_else(|e| panic!("{e:#?}"));
        let plain = |c: Charge| (c.effort, c.longest_ms);
        t.forward_charges(near_mm).into_iter().map(plain).collect()
    }

    const TEXT: &str = "constant pace = 60 % from 10 % to 100 %\n\
                        reflex back when eye on border {\n  drive -100 % -100 % for 100 ms\n  \
                        drive 90 % 70 % for 110 ms\n}\n\
                        state go-on {\n  follow {\n    ahead sees within 60 mm: drive 100 % 100 %\n    \
                        ahead sees: drive pace pace\n    otherwise: pivot 50 % left\n  }\n}\n";

    #[test]
    fn what_is_done_only_near_the_opponent_is_no_charge() {
        assert_eq!(charges(TEXT, 100), [(600, None), (800, Some(110))]);
        assert_eq!(
            charges(TEXT, 50),
            [(1000, None), (600, None), (800, Some(110))]
        );
    }

    #[test]
    fn what_drives_backward_is_found_as_well() {
        let t = crate::parse("t.tactic", TEXT).unwrap_or_else(|e| panic!("{e:#?}"));
        let charge = Charge {
            effort: 1000,
            longest_ms: Some(100),
        };
        assert_eq!(t.backward_charges(), [charge]);
    }

    #[test]
    fn near_or_something_else_is_not_only_near() {
        let text = TEXT.replace(
            "ahead sees within 60 mm:",
            "ahead sees within 60 mm or eye on border:",
        );
        assert_eq!(charges(&text, 100)[0], (1000, None));
        let text = TEXT.replace(
            "ahead sees within 60 mm:",
            "ahead sees within 60 mm and eye on border:",
        );
        assert_eq!(charges(&text, 100)[0], (600, None));
    }
}
