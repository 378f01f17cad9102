//! Efforts with which hardly any motor turns: most often a unit that was left out.

use robot::{Finding, Severity};

use crate::ast::{Action, Expr, Step};
use crate::log::Log;
use crate::tactic::Tactic;
use crate::walk::{all_steps, each_act};

/// Effort in per mille up to which a geared motor hardly turns. Common practice, no source.
const CRAWL: i16 = 100;

impl Tactic {
    /// What is to be said of steps that drive with next to nothing. What depends on counters or sensors counts
    /// with the most that it may be.
    pub(crate) fn crawls(&self, log: &Log) -> Option<Finding> {
        let crawling = |s| Some((s, self.least_drive(s).filter(|e| *e <= CRAWL)?));
        let steps: Vec<(&Step, i16)> = all_steps(self.tree()).filter_map(crawling).collect();
        let (first, effort) = steps.first()?;
        let share = format!("{} %", f64::from(*effort) / 10.0);
        Some(Finding {
            name: "hardly-drives",
            severity: Severity::Warning,
            what: match steps.len() {
                1 => format!("A step drives with {share} of full effort."),
                n => format!(
                    "{n} steps drive with 10 % of full effort or less, the first with {share}."
                ),
            },
            why: "A number without a unit counts thousandths: 50 is 5 %. With 10 % or less hardly any \
                  motor turns."
                .into(),
            mend: "Write the unit, such as 50 %, or `wait` where it is to stand.".into(),
            place: Some(log.place(first.written.0.clone())),
        })
    }

    /// The greatest effort of either side, per mille, of that of a step's actions which drives the least; none:
    /// it drives nowhere.
    fn least_drive(&self, step: &Step) -> Option<i16> {
        let mut least = None;
        each_act(&step.action, &mut |a| {
            let efforts: &[&Expr] = match a {
                Action::Drive(l, r) | Action::Arc(l, r, _) => &[l, r],
                Action::Pivot(e, _) | Action::Bend(_, _, _, e) => &[e],
                _ => &[],
            };
            let sides = efforts.iter().flat_map(|e| self.efforts(e));
            let most = sides.map(i16::saturating_abs).max().filter(|e| *e > 0);
            least = least.into_iter().chain(most).min();
        });
        least
    }
}

#[cfg(test)]
mod tests {
    /// What is said, and the line.
    fn said(text: &str) -> Option<(String, u32)> {
        let tactic = crate::parse("t.tactic", text).unwrap_or_else(|e| panic!("{e:#?}"));
        let found = tactic.findings().into_iter();
        let mut told = found.filter(|f| f.name == "hardly-drives");
        let first = told.next().map(|f| (f.what, f.place.map_or(0, |p| p.line)));
        assert_eq!(told.next(), None, "once is enough");
        first
    }

    #[test]
    fn a_unit_left_out_is_told_once() {
        let one = "state a {\n  drive 100 % 100 % for 1 s\n  drive 50 50 for 1 s\n}\n";
        let words = "A step drives with 5 % of full effort.".to_owned();
        assert_eq!(said(one), Some((words, 3)));
        let rules = "state a {\n  follow {\n    left sees: pivot 100 left\n    otherwise: pivot 60 % left\n  } for 1 s\n  \
                     arc 20 105 left for 1 s\n  bend 30 cm 90 deg left at 70\n}\n";
        let words =
            "2 steps drive with 10 % of full effort or less, the first with 10 %.".to_owned();
        assert_eq!(said(rules), Some((words, 2)));
    }

    #[test]
    fn what_drives_stands_or_may_drive_is_not_told() {
        for step in [
            "drive 5 % 11 %",
            "drive 0 0",
            "wait",
            "pivot x left",
            "arc 5 % 100 % left",
        ] {
            let text = format!("counter x = 3\nstate a {{\n  {step}\n}}\n");
            assert_eq!(said(&text), None, "{step}");
        }
        let text = "constant slow = 8 % from 5 % to 20 %\nstate a {\n  drive slow slow\n}\n";
        assert!(said(text).is_some_and(|s| s.0.contains("8 %")));
    }
}
