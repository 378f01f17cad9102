//! The rows of an inspection about what is forbidden.

use robot::{Finding, Item, Robot, Severity};

use crate::class::Ban;
use crate::{Class, Inspection, Row, Verdict};

/// The ban that is about magnets.
const MAGNETS: &str = "magnets";

/// Magnets over a ring that is no steel.
fn idle(names: &[&str], first: Option<&Item>) -> Finding {
    Finding {
        name: "magnets-idle",
        severity: Severity::Note,
        what: format!("The ring is not steel: {} pull nothing.", names.join(", ")),
        why: "Magnets hold on steel only; here they count as mass.".into(),
        mend: "Leave them out and use their mass for ballast, or fight in a class whose ring is \
               steel."
            .into(),
        place: first.map(|i| i.place.clone()),
    }
}

/// Adds one row per ban and what they find.
pub(crate) fn look(robot: &Robot, class: &Class, found: &mut Inspection) {
    for ban in &class.bans {
        let magnets = || robot.magnets.iter().map(|m| &m.item);
        let is_magnet = |i: &&Item| ban.name == MAGNETS && magnets().any(|m| m.name == i.name);
        let given_away: Vec<&Item> = (robot.items())
            .filter(|i| ban.gives_away(i) || is_magnet(i))
            .collect();
        let names: Vec<&str> = given_away.iter().map(|i| i.name.as_str()).collect();
        let first = given_away.first();
        let row = |limit: &str, ours: String, verdict| {
            Row::said(&ban.name, &ban.forbidden, limit, ours, verdict)
        };
        let row = match (ban.forbidden.value, first) {
            (true, Some(first)) => {
                found.findings.push(Finding {
                    name: "forbidden-part",
                    severity: Severity::Fault,
                    what: format!(
                        "{} are forbidden here; the robot has {}.",
                        ban.plain(),
                        names.join(", ")
                    ),
                    why: format!("{} ({})", ban.forbidden.wording, ban.forbidden.source),
                    mend:
                        "Take it off. If it is something else with an unlucky name, rename it in \
                           the file."
                            .into(),
                    place: Some(first.place.clone()),
                });
                row("forbidden", names.join(", "), Verdict::Fail)
            }
            (true, None) if ban.watch.is_empty() => row(
                "forbidden",
                "the file cannot show it".into(),
                Verdict::AskTheJudge,
            ),
            (true, None) => {
                let verdict = if ban.by_hand.is_some() {
                    Verdict::AskTheJudge
                } else {
                    Verdict::Pass
                };
                row("forbidden", "no part is named so".into(), verdict)
            }
            (false, Some(_)) if given_away.iter().all(is_magnet) => {
                if !class.ring().surface.is_steel() {
                    found.findings.push(idle(&names, first.copied()));
                }
                row("allowed", names.join(", "), Verdict::Pass)
            }
            (false, Some(first)) => {
                found.findings.push(Finding {
                    name: "weighed-only",
                    severity: Severity::Note,
                    what: format!(
                        "{} are allowed; the bouts here count {} as mass only.",
                        ban.plain(),
                        names.join(", ")
                    ),
                    why: "A part has no pull towards the ring beyond its weight.".into(),
                    mend: if ban.name == MAGNETS {
                        "Write it as a [[magnet]] with its pull and its gap.".into()
                    } else {
                        "Expect a real robot like this to push harder than computed; measure its \
                         push with a luggage scale."
                            .into()
                    },
                    place: Some(first.place.clone()),
                });
                row("allowed", names.join(", "), Verdict::Pass)
            }
            (false, None) => row("allowed", "none named".into(), Verdict::Pass),
        };
        let by_hand = ban
            .by_hand
            .clone()
            .filter(|_| row.verdict == Verdict::AskTheJudge);
        found.rows.push(Row { by_hand, ..row });
    }
}

impl Ban {
    /// The name as the start of a sentence: `sharp-edges` becomes `Sharp edges`.
    fn plain(&self) -> String {
        let spaced = self.name.replace('-', " ");
        let mut letters = spaced.chars();
        letters
            .next()
            .map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
    }

    /// Whether a part's name, or that of its parts-box entry, has one of the watched words in it.
    fn gives_away(&self, item: &Item) -> bool {
        [Some(item.name.as_str()), item.part.as_deref()]
            .into_iter()
            .flatten()
            .any(|name| {
                name.split(|c: char| !c.is_alphanumeric())
                    .any(|word| self.watch.contains(&word.to_lowercase()))
            })
    }
}
