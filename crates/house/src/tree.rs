//! The files of the repository.

use std::path::{Path, PathBuf};

/// The folder of the repository.
#[must_use]
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// The text of the file at `path`, counted from the repository's folder.
///
/// # Panics
/// When it cannot be read: a check that cannot see its subject must not pass.
#[must_use]
pub fn read(path: &str) -> String {
    let full = root().join(path);
    std::fs::read_to_string(&full).unwrap_or_else(|e| panic!("{}: {e}", full.display()))
}

fn collect(folder: &Path, ending: &str, found: &mut Vec<PathBuf>) {
    let entries = std::fs::read_dir(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() {
            if path.file_name().is_none_or(|n| n != "target") {
                collect(&path, ending, found);
            }
        } else if path.extension().is_some_and(|e| e == ending) {
            found.push(path);
        }
    }
}

/// Every file below `folder` (counted from the repository's folder) whose name ends in `.ending`,
/// as paths from the repository's folder with forward slashes, sorted. `target` is left out.
///
/// # Panics
/// When a folder cannot be read.
#[must_use]
pub fn files(folder: &str, ending: &str) -> Vec<String> {
    let root = root();
    let mut found = Vec::new();
    collect(&root.join(folder), ending, &mut found);
    let mut names: Vec<String> = found
        .iter()
        .filter_map(|p| p.strip_prefix(&root).ok())
        .map(|p| p.to_string_lossy().replace('\\', "/"))
        .collect();
    names.sort();
    names
}

#[cfg(test)]
mod tests {
    #[test]
    fn files_are_found_at_any_depth() {
        let found = super::files("crates/house", "rs");
        assert!(
            found.contains(&"crates/house/src/tree.rs".into()),
            "{found:?}"
        );
        assert!(
            found.contains(&"crates/house/src/bin/excerpts.rs".into()),
            "{found:?}"
        );
        assert!(!found.contains(&"crates/house/Cargo.toml".into()));
    }
}
