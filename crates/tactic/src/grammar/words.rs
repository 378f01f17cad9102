//! The words of the language.

/// Words that start a section.
pub(crate) const SECTIONS: &[&str] = &[
    "constant", "counter", "timer", "remember", "opening", "reflex", "state",
];
/// Words that start a line of an opening.
pub(super) const OPENING: &[&str] = &["switch", "place", "facing", "side", "begin"];
/// Words that start a line of a state or reflex.
pub(super) const LINES: &[&str] = &[
    "drive", "veer", "pivot", "arc", "bend", "wait", "follow", "set", "restart", "ignore", "go",
    "stay", "then",
];
/// Words that start what a rule of a `follow` does.
pub(super) const RULES: &[&str] = &["drive", "veer", "pivot", "arc", "wait"];
/// Sides to turn to.
pub(super) const TURNS: &[&str] = &["left", "right", "seen", "unseen", "chosen", "unchosen"];
/// Words behind the name of a sensor or timer in a condition.
pub(super) const VERBS: &[&str] = &["sees", "on", "touched", "above", "below", "over"];
/// Words that stand between others.
const JOINTS: &[&str] = &[
    "when",
    "for",
    "until",
    "from",
    "to",
    "off",
    "within",
    "beyond",
    "border",
    "and",
    "or",
    "not",
    "chance",
    "share",
    "otherwise",
    "firm",
    "at",
];

/// Whether `word` belongs to the language, so that no name may be the same. `left`, `right` and
/// `behind` stay free: they are the natural names of sensors and stand where no name can.
pub(super) fn reserved(word: &str) -> bool {
    let turns = &TURNS[2..];
    [SECTIONS, OPENING, LINES, turns, VERBS, JOINTS]
        .iter()
        .any(|group| group.contains(&word))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every word with a meaning, those that may be names too.
    fn all() -> Vec<&'static str> {
        let groups = [SECTIONS, OPENING, LINES, RULES, TURNS, VERBS, JOINTS];
        let mut words: Vec<&str> = groups.iter().flat_map(|g| g.iter().copied()).collect();
        words.push("behind");
        words.sort_unstable();
        words.dedup();
        words
    }

    #[test]
    fn the_documents_grammar_names_every_word_of_the_language_and_no_other() {
        let doc = include_str!("../../../../docs/tactic-language.md");
        let grammar = doc
            .split("```ebnf\n")
            .nth(1)
            .and_then(|rest| rest.split("```").next())
            .expect("the document has a grammar");
        // Words of the language are the quoted texts that begin with a letter; the rest is signs,
        // units and ranges of characters.
        let mut quoted: Vec<&str> = grammar
            .split('"')
            .skip(1)
            .step_by(2)
            .filter(|w| w.starts_with(|c: char| c.is_ascii_lowercase()))
            .filter(|w| !crate::lex::UNITS.iter().any(|u| u.0 == *w))
            .collect();
        quoted.sort_unstable();
        quoted.dedup();
        assert_eq!(quoted, all());
        for (unit, _) in crate::lex::UNITS {
            assert!(grammar.contains(&format!("\"{unit}\"")), "{unit}");
        }
    }

    #[test]
    fn natural_names_of_sensors_are_free() {
        for name in ["left", "right", "behind", "centre", "edge-left", "tilt"] {
            assert!(!reserved(name), "{name}");
        }
        for word in ["seen", "chosen", "border", "for", "state", "switch"] {
            assert!(reserved(word), "{word}");
        }
    }
}
