//! No text makes the reader of robot files fail.

use proptest::prelude::*;
use robot::{PartsBox, read};

thread_local! {
    static PARTS: PartsBox = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
}

fn shipped() -> Vec<(String, String)> {
    let files = shelf::files("robots");
    let robots: Vec<_> = files
        .into_iter()
        .filter(|f| f.0.ends_with(".toml"))
        .collect();
    assert!(robots.len() >= 18, "{}", robots.len());
    robots
}

/// Reads a text; what is wrong must point into it. Whether it is a robot.
fn reads(text: &str) -> bool {
    let lookup = |_: &str| Some(String::new());
    match PARTS.with(|parts| read("any.toml", text, parts, &lookup)) {
        Ok(robot) => {
            let finite = |f: f64| f.is_finite();
            assert!(
                robot
                    .items()
                    .all(|i| finite(i.mass.si()) && i.at.iter().all(|a| finite(a.si())))
            );
            true
        }
        Err(issues) => {
            assert!(!issues.is_empty(), "refused without a reason:\n{text}");
            let lines = u32::try_from(text.matches('\n').count() + 1).expect("a short text");
            for i in issues {
                assert!(text.get(i.place.span.clone()).is_some(), "{i:?}");
                assert!((1..=lines).contains(&i.place.line), "{i:?}");
                assert!(!i.what.is_empty() && !i.expected.is_empty(), "{i:?}");
            }
            false
        }
    }
}

#[test]
fn every_shipped_robot_reads() {
    for (name, text) in shipped() {
        assert!(reads(&text), "{name}");
    }
}

/// A shipped robot file with a few bytes deleted, inserted or replaced.
fn mutated() -> impl Strategy<Value = String> {
    let texts: Vec<String> = shipped().into_iter().map(|f| f.1).collect();
    let snippet = prop_oneof![
        any::<char>().prop_map(String::from),
        prop::sample::select(vec![
            "",
            "",
            "\n",
            "\"",
            "[",
            "]",
            "[[",
            "]]",
            "=",
            "-",
            "{",
            "}",
            "#",
            ",",
            "\u{201c}",
            "\u{fc}",
            "0",
            "9e99",
            "mm",
            "[[sensor]]\n",
            "[blade]\n",
            "a.b = 1\n",
            "'''",
            "\"\"\"",
            "\\",
            "1979-05-27",
            "true",
            "nan",
            "inf",
        ])
        .prop_map(str::to_owned),
    ];
    let change = (any::<prop::sample::Index>(), 0_usize..8, snippet);
    (
        prop::sample::select(texts),
        prop::collection::vec(change, 1..5),
    )
        .prop_map(|(text, changes)| {
            let mut chars: Vec<char> = text.chars().collect();
            for (at, gone, new) in changes {
                let from = at.index(chars.len() + 1);
                let to = (from + gone).min(chars.len());
                chars.splice(from..to, new.chars());
            }
            chars.into_iter().collect()
        })
}

/// Whole lines of shipped files in any order, some twice, some not at all.
fn shuffled() -> impl Strategy<Value = String> {
    let lines: Vec<String> = shipped()
        .iter()
        .flat_map(|f| f.1.lines().map(str::to_owned).collect::<Vec<_>>())
        .collect();
    prop::collection::vec(prop::sample::select(lines), 0..60).prop_map(|l| l.join("\n"))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        reads(&text);
    }

    #[test]
    fn any_lines_are_read_or_refused(text in shuffled()) {
        reads(&text);
    }

    #[test]
    fn a_shipped_robot_with_changes_is_read_or_refused(text in mutated()) {
        reads(&text);
    }
}
