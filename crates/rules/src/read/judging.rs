//! Reading `[judging]`: every rule may be left out, for what is usual.

use quantity::Time;
use robot::reader::Section;

use super::figure::{self, Group};
use crate::{EarlyStart, JudgingRules, OutWhen, Rule, Undecided};

const OUT: &[(&str, OutWhen)] = &[
    ("floor", OutWhen::Floor),
    ("tyre", OutWhen::TyreOff),
    ("rim", OutWhen::PastRim),
];
const EARLY: &[(&str, EarlyStart)] = &[
    ("round", EarlyStart::Round),
    ("warning", EarlyStart::Warning),
];
const UNDECIDED: &[(&str, Undecided)] =
    &[("tie", Undecided::Tie), ("decision", Undecided::Decision)];

/// Reads `[judging]`.
pub(super) fn read(group: &Group<'_>, parent: Option<&JudgingRules>) -> Option<JudgingRules> {
    let usual = JudgingRules::usual();
    let p = parent.unwrap_or(&usual);
    let loses = |key: &str, parent: &Rule<bool>| {
        group.rule(key, Some(parent), "loses = true", |s| flag(s, "loses"))
    };
    let undecided = |key: &str, parent: &Rule<Undecided>| {
        group.rule(key, Some(parent), "then = \"tie\"", |s| {
            word(s, "then", UNDECIDED)
        })
    };
    let count = |key: &str, parent: &Rule<u32>| {
        group.rule(key, Some(parent), "value = 2", |s| {
            super::required_count(s, 1)
        })
    };
    let out = group.rule("out", Some(&p.out), "counts = \"floor\"", |s| {
        word(s, "counts", OUT)
    });
    let fallen = loses("fallen", &p.fallen);
    let dropped = loses("dropped", &p.dropped);
    let early_start = group.rule(
        "early-start",
        Some(&p.early_start),
        "costs = \"round\"",
        |s| word(s, "costs", EARLY),
    );
    let warnings = count("warnings", &p.warnings);
    let stood_first = loses("stood-first", &p.stood_first);
    let stuck = undecided("stuck", &p.stuck);
    let time_up = undecided("time-up", &p.time_up);
    let rounds = count("rounds", &p.rounds);
    let extension_s = group.rule(
        "extension",
        Some(&p.extension_s),
        "value = \"3 min\"",
        |s| figure::required::<Time>(s, "value", [0.0, 43_200.0]),
    );
    Some(JudgingRules {
        out: out?,
        fallen: fallen?,
        dropped: dropped?,
        early_start: early_start?,
        warnings: warnings?,
        stood_first: stood_first?,
        stuck: stuck?,
        time_up: time_up?,
        rounds: rounds?,
        extension_s: extension_s?,
    })
}

/// A yes or no that must be written.
fn flag(section: &Section<'_>, key: &str) -> Option<bool> {
    if !section.has(key) {
        let what = format!("\"{key}\" is missing in {}", section.path());
        section.complain(what, format!("{key} = true or {key} = false"), None);
    }
    section.optional_flag(key)
}

/// One of some words.
fn word<T: Copy>(section: &Section<'_>, key: &str, words: &[(&str, T)]) -> Option<T> {
    let known: Vec<&str> = words.iter().map(|w| w.0).collect();
    let chosen = section.choice(key, &known)?;
    words.iter().find(|w| w.0 == chosen).map(|w| w.1)
}

#[cfg(test)]
mod tests {
    use crate::{Class, Classes, EarlyStart, OutWhen, Undecided};

    fn with(section: &str, values: &str) -> Result<Class, usize> {
        let text = format!(
            "title = \"Ours\"\ninherits = \"mini\"\n[sources.ours]\ntitle = \"Ours\"\n\
             found = \"\"\ndate = \"\"\n[judging.{section}]\n{values}\nsource = \"ours\"\n\
             wording = \"as written\"\n"
        );
        Class::read("ours.toml", &text, &Classes::built_in().unwrap()).map_err(|i| i.len())
    }

    #[test]
    fn every_word_of_judging_is_read() {
        let out = |w: &str| {
            let c = with("out", &format!("counts = \"{w}\"")).unwrap();
            c.judging.out.value
        };
        assert_eq!(
            [out("floor"), out("tyre"), out("rim")],
            [OutWhen::Floor, OutWhen::TyreOff, OutWhen::PastRim]
        );
        let early = with("early-start", "costs = \"warning\"").unwrap();
        assert_eq!(early.judging.early_start.value, EarlyStart::Warning);
        let stuck = with("stuck", "then = \"decision\"").unwrap();
        assert_eq!(stuck.judging.stuck.value, Undecided::Decision);
        assert_eq!(stuck.judging.time_up.value, Undecided::Tie, "the parent's");
        assert!(with("fallen", "loses = true").unwrap().judging.fallen.value);
        assert_eq!(
            with("warnings", "value = 3")
                .unwrap()
                .judging
                .warnings
                .value,
            3
        );
        let extended = with("extension", "value = \"30 s\"").unwrap();
        assert!((extended.judging.extension_s.value - 30.0).abs() < 1e-12);
    }

    #[test]
    fn a_wrong_word_of_judging_is_one_mistake() {
        for (section, values) in [
            ("out", "counts = \"wall\""),
            ("fallen", "loses = \"yes\""),
            ("fallen", ""),
            ("early-start", "costs = \"nothing\""),
            ("stuck", "then = \"coin\""),
            ("warnings", "value = 0"),
            ("extension", "value = \"3 m\""),
            ("overtime", "value = 3"),
        ] {
            assert_eq!(with(section, values), Err(1), "{section} {values}");
        }
    }
}
