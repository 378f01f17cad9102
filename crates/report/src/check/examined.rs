//! A robot inspected and on paper: what the check, its sections and its pictures are made from.

use paper::Paper;
use robot::{Finding, Severity};
use rules::Inspection;

use crate::setting::Setting;
use crate::topic::{Topic, topic_of};

/// A robot with everything that can be said about it before a bout.
#[derive(Debug)]
pub struct Examined<'a> {
    /// What was examined.
    pub(crate) setting: &'a Setting,
    /// Rule by rule.
    pub(crate) inspection: Inspection,
    /// The robot on paper.
    pub(crate) paper: Paper,
}

/// Weight of a finding: the lower, the earlier it is told. First how much it matters; of two that
/// matter alike, the one whose topic decides earlier whether and how a bout goes: what keeps a robot
/// from being admitted, then from standing and moving at all, then what loses bouts by its own doing,
/// then what it sees, how it pushes and gets under, and last what is worth knowing.
fn weight(finding: &Finding) -> (Severity, usize) {
    let order = [
        Topic::Inspection,
        Topic::Standing,
        Topic::Wiring,
        Topic::Edge,
        Topic::Program,
        Topic::Sight,
        Topic::Drive,
        Topic::Under,
        Topic::Frame,
        Topic::Power,
        Topic::Budget,
        Topic::Measuring,
    ];
    let topic = topic_of(finding.name);
    let place = order.iter().position(|t| *t == topic);
    (finding.severity, place.unwrap_or(order.len()))
}

impl<'a> Examined<'a> {
    /// Holds the setting's robot against its class and examines it on paper.
    #[must_use]
    pub fn of(setting: &'a Setting) -> Self {
        Self {
            inspection: rules::inspect(&setting.robot, &setting.class),
            paper: paper::examine(
                &setting.robot,
                &setting.class,
                &setting.tactic,
                &setting.parts,
            ),
            setting,
        }
    }

    /// All findings, the most important first.
    pub(crate) fn findings(&self) -> Vec<&Finding> {
        let mut findings: Vec<&Finding> = (self.inspection.findings.iter())
            .chain(&self.paper.findings)
            .collect();
        findings.sort_by_key(|f| weight(f));
        findings
    }

    /// Pictures of it, in a fixed order.
    #[must_use]
    pub fn pictures(&self) -> Vec<crate::pictures::Picture> {
        crate::pictures::of(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn finding(name: &'static str, severity: Severity) -> Finding {
        Finding {
            name,
            severity,
            what: String::new(),
            why: String::new(),
            mend: String::new(),
            place: None,
        }
    }

    #[test]
    fn how_much_it_matters_comes_first_then_what_decides_earlier() {
        let mut all = [
            finding("mass-unused", Severity::Note),
            finding("motors-stall-first", Severity::Warning),
            finding("edge-too-fast", Severity::Warning),
            finding("hard-to-turn", Severity::Fault),
            finding("too-long", Severity::Fault),
            finding("does-not-stand", Severity::Fault),
        ];
        all.sort_by_key(weight);
        let names: Vec<&str> = all.iter().map(|f| f.name).collect();
        assert_eq!(
            names,
            [
                "too-long",
                "does-not-stand",
                "hard-to-turn",
                "edge-too-fast",
                "motors-stall-first",
                "mass-unused"
            ]
        );
    }
}
