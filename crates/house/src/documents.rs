//! The paths that a document names.

/// Endings by which a name without a slash is taken for a file.
const ENDINGS: [&str; 6] = [".md", ".toml", ".rs", ".tactic", ".lock", ".svg"];

/// Whether `word` looks like a path of the repository. Names that begin with `my` stand for the
/// reader's own files, and what is in `target` a build makes.
#[must_use]
pub fn looks_like_a_path(word: &str) -> bool {
    let plain = word
        .chars()
        .all(|c| c.is_ascii_alphanumeric() || "._-/".contains(c));
    let names = word.contains('/') || ENDINGS.iter().any(|e| word.ends_with(e));
    let elsewhere = word.starts_with("my") || word.starts_with("target/");
    plain && (names || word.starts_with("LICENSE")) && !elsewhere
}

/// Everything a Markdown document writes in backticks or links to, with its line, counted from 1.
/// Fenced blocks are left out.
#[must_use]
pub fn mentioned(document: &str) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    let mut fenced = false;
    for (number, line) in (1..).zip(document.lines()) {
        if line.trim_start().starts_with("```") {
            fenced = !fenced;
        } else if !fenced {
            found.extend(
                line.split('`')
                    .skip(1)
                    .step_by(2)
                    .map(|w| (number, w.to_owned())),
            );
            let links = line.split("](").skip(1).filter_map(|l| l.split(')').next());
            let near = links.filter(|l| !l.contains("://") && !l.starts_with('#'));
            found.extend(near.map(|l| (number, l.split('#').next().unwrap_or(l).to_owned())));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn backticks_and_links_are_found_and_fences_left_out() {
        let text =
            "See `a/b.rs` and\n[c](d.md#part), [e](https://f.example).\n```\n`g/h`\n```\n`i`\n";
        let words = mentioned(text);
        let expected = [(1, "a/b.rs"), (2, "d.md"), (6, "i")];
        assert_eq!(words, expected.map(|(n, w)| (n, w.to_owned())));
    }

    #[test]
    fn paths_are_told_from_other_words() {
        for path in [
            "crates/cli",
            "README.md",
            ".ci/run",
            "LICENSE-MIT",
            "robots/",
        ] {
            assert!(looks_like_a_path(path), "{path}");
        }
        for word in [
            "f64",
            "cargo test",
            "study::plan",
            "my-robot.toml",
            "target/release/ringwright",
            "--json",
            "edge-unseen",
        ] {
            assert!(!looks_like_a_path(word), "{word}");
        }
    }
}
