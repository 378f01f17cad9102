//! What can be said of a tactic without the robot.

use robot::{Finding, Severity};

use crate::ast::{Ask, Cond};
use crate::log::Log;
use crate::tactic::Tactic;
use crate::walk::walk;

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
            }
        }
        let reflexes = &self.tree().reflexes;
        for (k, r) in reflexes.iter().enumerate() {
            if draws(&r.when) {
                continue;
            }
            if let Some(first) = reflexes[..k].iter().find(|f| f.when == r.when) {
                findings.push(Finding {
                    name: "reflex-shadowed",
                    severity: Severity::Warning,
                    what: format!("The reflex \"{}\" can never start.", r.name.word),
                    why: format!(
                        "\"{}\" stands before it with the same condition.",
                        first.name.word
                    ),
                    mend: "Change its condition, or take it out.".into(),
                    place: Some(log.place(r.name.span.clone())),
                });
            }
        }
        findings
    }
}

/// Whether a condition is up to chance, so that it may hold where the same one before it did not.
fn draws(cond: &Cond) -> bool {
    let mut found = false;
    walk(cond, &mut |c| found |= matches!(c.ask, Ask::Chance(_)));
    found
}
