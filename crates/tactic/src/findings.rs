//! What can be said of a tactic without the robot.

use std::collections::BTreeSet;

use robot::{Finding, Severity};

use crate::ast::{Action, Ask, Cond, Reflex, State};
use crate::implies::{Patience, draws};
use crate::log::Log;
use crate::tactic::Tactic;
use crate::walk::{each_act, step_conds};

impl Tactic {
    /// What can be said of the tactic without the robot.
    #[must_use]
    pub fn findings(&self) -> Vec<Finding> {
        let log = Log::new(self.file(), self.text());
        let mut findings = Vec::new();
        for (s, reached) in self.tree().states.iter().zip(self.reachable()) {
            if !reached {
                findings.push(Finding {
                    name: "state-unreachable",
                    severity: Severity::Warning,
                    what: format!("The tactic never gets into its state \"{}\".", s.name.word),
                    why: "No opening begins there, and no way out, stay or reflex leads to it."
                        .into(),
                    mend: format!(
                        "Add `go {} when …` to a state, or take it out.",
                        s.name.word
                    ),
                    place: Some(log.place(s.name.span.clone())),
                });
            } else if self.keeps(s) {
                findings.push(without_exit(s, &log));
            }
        }
        findings.extend(self.crawls(&log));
        let reflexes = &self.tree().reflexes;
        let mut patience = Patience::default();
        for (k, r) in reflexes.iter().enumerate() {
            findings.extend(self.never_starts(r, &reflexes[..k], &mut patience, &log));
        }
        findings
    }

    /// Whether a reflex has no chance because of those before it. Whenever it may start, they are asked
    /// at the same tick before it, be it that none runs or that it would break into one behind it; so
    /// neither `firm` nor `until` nor `then` of any of them changes that.
    fn never_starts(
        &self,
        r: &Reflex,
        before: &[Reflex],
        patience: &mut Patience,
        log: &Log,
    ) -> Option<Finding> {
        let same = before.iter().find(|f| f.when == r.when && !draws(&r.when));
        let (name, why) = if let Some(first) = same {
            let first = &first.name.word;
            let why = format!("\"{first}\" stands before it with the same condition.");
            ("reflex-shadowed", why)
        } else {
            let mut by = BTreeSet::new();
            if !self.covered(&r.when, before, &mut by, patience) {
                return None;
            }
            let by: Vec<String> = by
                .into_iter()
                .map(|k| before[k].name.word.clone())
                .collect();
            let first = by.join("\" or \"");
            let why = format!(
                "Whenever its condition holds, so does that of \"{first}\", which stands before it."
            );
            ("reflex-hidden", why)
        };
        Some(Finding {
            name,
            severity: Severity::Warning,
            what: format!("The reflex \"{}\" can never start.", r.name.word),
            why,
            mend: if name == "reflex-hidden" {
                "Put the narrower condition first, or take the reflex out.".into()
            } else {
                "Change its condition, or take it out.".into()
            },
            place: Some(log.place(r.name.span.clone())),
        })
    }

    /// Whether some reflex of `before` starts whenever `when` holds; `by` gets those that do, for each
    /// part of an `or` the first.
    fn covered(
        &self,
        when: &Cond,
        before: &[Reflex],
        by: &mut BTreeSet<usize>,
        patience: &mut Patience,
    ) -> bool {
        let mut hides = |f: &Reflex| self.implies(when, &f.when, patience);
        if let Some(k) = before.iter().position(&mut hides) {
            by.insert(k);
            return true;
        }
        match &when.ask {
            Ask::Or(a, b) => {
                self.covered(a, before, by, patience) && self.covered(b, before, by, patience)
            }
            _ => false,
        }
    }

    /// Whether the robot drives in a state that it never leaves, though there is another.
    fn keeps(&self, s: &State) -> bool {
        let tree = self.tree();
        let away = |to: &crate::ast::Name| *to != s.name;
        let out = (s.ways.iter().map(|w| &w.0))
            .chain(s.stay.iter().map(|x| &x.to))
            .chain(&s.then)
            .chain(tree.reflexes.iter().filter_map(|r| r.then.as_ref()))
            .any(away);
        tree.states.len() > 1 && !out && self.drives(s)
    }

    /// Whether a step of a state may give a side an effort.
    fn drives(&self, s: &State) -> bool {
        let mut drives = false;
        for step in &s.steps {
            each_act(&step.action, &mut |a| match a {
                Action::Drive(l, r) | Action::Arc(l, r, _) => {
                    drives |= self.efforts(l) != [0, 0] || self.efforts(r) != [0, 0];
                }
                Action::Pivot(e, _) | Action::Bend(_, _, _, e) => {
                    drives |= self.efforts(e) != [0, 0];
                }
                _ => {}
            });
        }
        drives
    }
}

/// A state that looks about itself may be meant for good; one that asks nothing drives blindly.
fn without_exit(s: &State, log: &Log) -> Finding {
    let mut asks = false;
    for step in &s.steps {
        step_conds(step, &mut |_| asks = true);
    }
    let blind = if asks {
        ""
    } else {
        " Its steps ask no sensor: but for the reflexes it drives on whatever it meets."
    };
    Finding {
        name: "state-without-exit",
        severity: if asks {
            Severity::Note
        } else {
            Severity::Warning
        },
        what: format!("The tactic never leaves its state \"{}\".", s.name.word),
        why: format!("It has no way out, no stay and no `then`, and no reflex leads away.{blind}"),
        mend: format!(
            "Add `go … when …` or `stay … then …` to \"{}\", unless it is meant to be the last.",
            s.name.word
        ),
        place: Some(log.place(s.name.span.clone())),
    }
}
