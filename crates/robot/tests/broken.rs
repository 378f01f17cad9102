//! Files with the slips beginners make: each is refused, with everything wrong in it.

use std::fmt::Write as _;
use std::path::Path;

use robot::{Issue, PartsBox, Robot, read};

/// Reads a robot as the workbench does, with one tactic on the shelf.
fn reading(file: &str, text: &str) -> Result<Robot, Vec<Issue>> {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let lookup = |name: &str| (name == "any.tactic").then(|| "state a {\n wait\n}\n".to_owned());
    read(file, text, &parts, &lookup)
}

/// Issues as plain text: line, what, what was expected, what may have been meant.
fn told(text: &str, issues: &[Issue]) -> String {
    let mut out = String::new();
    for i in issues {
        let line = text.lines().nth(i.place.line as usize - 1).unwrap_or("");
        let _ = writeln!(out, "{:>3} | {line}", i.place.line);
        let _ = writeln!(out, "      {}", i.what);
        let _ = writeln!(out, "      expected: {}", i.expected);
        if let Some(s) = &i.suggestion {
            let _ = writeln!(out, "      perhaps:  {s}");
        }
    }
    out
}

fn files() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/broken");
    let mut files: Vec<(String, String)> = std::fs::read_dir(folder)
        .expect("the folder is there")
        .map(|entry| {
            let path = entry.expect("an entry").path();
            let name = path.file_stem().expect("a name").to_string_lossy();
            let text = std::fs::read_to_string(&path).expect("it can be read");
            (name.into_owned(), text)
        })
        .collect();
    files.sort();
    files
}

#[test]
fn every_broken_file_is_refused_with_all_that_is_wrong() {
    let files = files();
    assert!(files.len() >= 20, "{}", files.len());
    let mut all = String::new();
    for (name, text) in &files {
        let issues = reading(&format!("{name}.toml"), text).expect_err(name);
        assert!(!issues.is_empty(), "{name}");
        for i in &issues {
            assert!(text.get(i.place.span.clone()).is_some(), "{name}: {i:?}");
            assert!(!i.expected.is_empty(), "{name}: {i:?}");
        }
        let first = text.lines().next().expect("a first line");
        let _ = writeln!(
            all,
            "{name}: {}\n{}",
            first.trim_start_matches("# "),
            told(text, &issues)
        );
    }
    insta::assert_snapshot!(all);
}

#[test]
fn the_robot_they_are_made_of_is_whole() {
    let text = include_str!("whole.toml");
    let robot = reading("whole.toml", text).unwrap_or_else(|i| panic!("{}", told(text, &i)));
    assert_eq!(robot.name, "Plover");
}
