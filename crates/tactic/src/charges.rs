//! How hard and how long the program drives forward or backward.

use crate::ast::{Action, Ask, Cond, Expr, Name, Step};
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
        self.charges(&|c| self.only_near(c, near_mm), &|_| false, 1)
    }

    /// Every step that drives forward although nothing needs to have been seen: what it searches
    /// with. Left out is what stands under a condition that holds only while a sensor sees or touches
    /// the opponent, and the states that are entered only under such conditions.
    #[must_use]
    pub fn searching_charges(&self) -> Vec<Charge> {
        let seen = self.states_of_the_seen();
        self.charges(&only_seen, &|k| seen[k], 1)
    }

    /// Every step that drives backward, whatever is in front.
    #[must_use]
    pub fn backward_charges(&self) -> Vec<Charge> {
        self.charges(&|_| false, &|_| false, -1)
    }

    /// Steps in the sense of `sense`, without those under conditions that are `left_out` and without
    /// the states `passed` over, by their index.
    fn charges(
        &self,
        left_out: &dyn Fn(&Cond) -> bool,
        passed: &dyn Fn(usize) -> bool,
        sense: i16,
    ) -> Vec<Charge> {
        let mut found = Vec::new();
        let mut add = |s: &Step| self.charge(s, left_out, sense, &mut found);
        for (k, state) in self.tree().states.iter().enumerate() {
            if !passed(k) {
                state.steps.iter().for_each(&mut add);
            }
        }
        for reflex in &self.tree().reflexes {
            if !left_out(&reflex.when) {
                reflex.steps.iter().for_each(&mut add);
            }
        }
        found
    }

    /// By index, whether a state is entered only when the opponent is seen: from everywhere under a
    /// condition that says so, or after a state of which that is true.
    pub(crate) fn states_of_the_seen(&self) -> Vec<bool> {
        let tree = self.tree();
        let index = |name: &Name| self.index(name);
        let begins = tree.openings.iter().filter_map(|o| o.begin.as_ref());
        let ways = tree.states.iter().flat_map(|s| &s.ways);
        let blind = ways.filter(|(_, cond)| !only_seen(cond)).map(|(to, _)| to);
        let reflexes = tree.reflexes.iter().filter(|r| !only_seen(&r.when));
        let after = reflexes.filter_map(|r| r.then.as_ref());
        // From the first state and all that are entered unseen, on along the ways without a condition: what
        // follows such a state knows no more than that one.
        let mut todo: Vec<usize> = begins.chain(blind).chain(after).filter_map(index).collect();
        todo.push(0);
        let mut seen = vec![true; tree.states.len()];
        while let Some(k) = todo.pop() {
            let Some(state) = tree.states.get(k).filter(|_| seen[k]) else {
                continue;
            };
            seen[k] = false;
            let stay = state.stay.as_ref().map(|s| &s.to);
            todo.extend(state.then.iter().chain(stay).filter_map(index));
        }
        seen
    }

    /// Greatest mean effort of both sides that a step may drive with in the sense of `sense` (1 or −1), per
    /// mille; 0: it does not drive that way.
    pub(crate) fn hardest_effort(&self, step: &Step, sense: i16) -> i16 {
        let mut found = Vec::new();
        self.charge(step, &|_| false, sense, &mut found);
        found.iter().map(|c| c.effort).max().unwrap_or(0)
    }

    pub(crate) fn charge(
        &self,
        step: &Step,
        left_out: &dyn Fn(&Cond) -> bool,
        sense: i16,
        found: &mut Vec<Charge>,
    ) {
        let longest_ms = step.lasting.as_ref().and_then(|e| self.fixed(e));
        let longest_ms = longest_ms.map(|ms| u16::try_from(ms).unwrap_or(0));
        let mut add = |action: &Action| {
            if let Action::Drive(a, b) | Action::Arc(a, b, _) = action {
                let effort = self.mean_effort(a, b, sense);
                if effort > 0 {
                    found.push(Charge { effort, longest_ms });
                }
            }
            // Its middle is never quicker than its outer side.
            if let Action::Bend(_, _, _, e) = action {
                let effort = self.mean_effort(e, e, sense);
                if effort > 0 {
                    found.push(Charge { effort, longest_ms });
                }
            }
        };
        match &step.action {
            Action::Follow(rules) => {
                for (when, action) in rules {
                    if !when.as_ref().is_some_and(left_out) {
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
        match &cond.ask {
            Ask::Within(_, e) => near(e),
            Ask::And(a, b) => self.only_near(a, near_mm) || self.only_near(b, near_mm),
            Ask::Or(a, b) => self.only_near(a, near_mm) && self.only_near(b, near_mm),
            Ask::For(c, _) => self.only_near(c, near_mm),
            _ => false,
        }
    }
}

/// Whether the condition can hold only while a sensor sees or touches the opponent.
pub(crate) fn only_seen(cond: &Cond) -> bool {
    match &cond.ask {
        Ask::Sees(_) | Ask::Within(..) | Ask::Beyond(..) | Ask::Touched(_) => true,
        Ask::And(a, b) => only_seen(a) || only_seen(b),
        Ask::Or(a, b) => only_seen(a) && only_seen(b),
        Ask::For(c, _) => only_seen(c),
        _ => false,
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
    fn what_is_done_only_at_an_opponent_in_sight_is_no_search() {
        let text = "state look {\n  go strike when ahead sees\n  drive 40 % 40 %\n}\n\
                    state strike {\n  drive 100 % 100 % for 300 ms\n  then press\n}\n\
                    state press {\n  drive 90 % 90 % for 200 ms\n  then look\n}\n";
        let t = crate::parse("t.tactic", text).unwrap_or_else(|e| panic!("{e:#?}"));
        let efforts = |t: &crate::Tactic| -> Vec<i16> {
            t.searching_charges().iter().map(|c| c.effort).collect()
        };
        assert_eq!(efforts(&t), [400]);
        // Once it may also be entered when nothing is seen any more, it is part of the search.
        let lost = text.replace("go strike when ahead sees", "go strike when not ahead sees");
        let t = crate::parse("t.tactic", &lost).unwrap_or_else(|e| panic!("{e:#?}"));
        assert_eq!(efforts(&t), [400, 1000, 900]);
        let t = crate::parse("t.tactic", TEXT).unwrap_or_else(|e| panic!("{e:#?}"));
        assert_eq!(efforts(&t), [800]);
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
