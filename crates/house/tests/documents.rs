//! What the documents at the root say about the repository is so.

use house::excerpt::{EXCERPTS, place};
use house::{looks_like_a_path, mentioned, read, root};

/// Documents whose paths are checked.
const DOCUMENTS: [&str; 4] = [
    "ARCHITECTURE.md",
    "CONTRIBUTING.md",
    "README.md",
    "validation/README.md",
];

/// Whether `word` is a file or folder of the repository, or names a robot of a field, such as
/// `mini/anvil`.
fn exists(word: &str) -> bool {
    let robot = format!("robots/{word}.toml");
    root().join(word).exists() || root().join(robot).exists()
}

#[test]
fn every_path_in_the_documents_exists() {
    let mut wrong = Vec::new();
    for document in DOCUMENTS {
        let words = mentioned(&read(document));
        let paths: Vec<_> = words.iter().filter(|(_, w)| looks_like_a_path(w)).collect();
        assert!(!paths.is_empty(), "no path was seen in {document}");
        let missing = paths.iter().filter(|(_, w)| !exists(w));
        wrong.extend(missing.map(|(line, w)| format!("{document}, line {line}: {w}")));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_path_that_does_not_exist_is_seen() {
    assert!(exists("crates/house") && exists("mini/anvil") && exists("README.md"));
    assert!(!exists("crates/no-such") && !exists("mini/no-such"));
}

#[test]
fn every_crate_has_its_paragraph_in_the_architecture() {
    let text = read("ARCHITECTURE.md");
    for entry in std::fs::read_dir(root().join("crates")).unwrap().flatten() {
        let name = format!("`crates/{}`", entry.file_name().to_string_lossy());
        assert!(text.contains(&name), "{name} is not described");
    }
}

#[test]
fn every_excerpt_of_the_readme_is_known_and_there() {
    let readme = read("README.md");
    for what in &EXCERPTS {
        let inside = &readme[place(&readme, what.name).unwrap()];
        assert!(
            inside.starts_with("\n```text\n") && inside.ends_with("\n```\n"),
            "{inside}"
        );
        assert!(inside.lines().count() > 5, "{} is nearly empty", what.name);
    }
    assert_eq!(readme.matches("<!-- excerpt: ").count(), EXCERPTS.len());
    assert_eq!(readme.matches("<!-- end -->").count(), EXCERPTS.len());
}

#[test]
fn the_checks_run_the_test_command_of_the_readme() {
    let command = "cargo test --workspace";
    assert!(read("README.md").lines().any(|l| l.trim() == command));
    assert!(
        read(".ci/run")
            .lines()
            .any(|l| l.trim_end().ends_with(&format!(" {command}")))
    );
}
