//! The files that come with the program, as they stand in the repository: robots, classes, parts,
//! boards, materials, and the pages that explain findings, causes and ideas.
//!
//! They are embedded when the program is built, so that it works from a single binary; a user's
//! own folder takes precedence, which is the store's business.

use rust_embed::RustEmbed;

#[derive(RustEmbed)]
#[folder = "../../robots"]
#[prefix = "robots/"]
struct Robots;

#[derive(RustEmbed)]
#[folder = "../../classes"]
#[prefix = "classes/"]
struct Classes;

#[derive(RustEmbed)]
#[folder = "../../parts"]
#[prefix = "parts/"]
struct Parts;

#[derive(RustEmbed)]
#[folder = "../../boards"]
#[prefix = "boards/"]
struct Boards;

#[derive(RustEmbed)]
#[folder = "../../materials"]
#[prefix = "materials/"]
struct Materials;

/// Pages of the command `explain NAME`.
#[derive(RustEmbed)]
#[folder = "../../docs/explain"]
#[prefix = "docs/explain/"]
struct Explain;

fn names() -> impl Iterator<Item = String> {
    Robots::iter()
        .chain(Classes::iter())
        .chain(Parts::iter())
        .chain(Boards::iter())
        .chain(Materials::iter())
        .chain(Explain::iter())
        .map(|n| n.to_string())
}

/// The text of the file at `path`, such as `classes/mini.toml`, if there is one.
#[must_use]
pub fn file(path: &str) -> Option<String> {
    let found = match path.split('/').next() {
        Some("robots") => Robots::get(path),
        Some("classes") => Classes::get(path),
        Some("parts") => Parts::get(path),
        Some("boards") => Boards::get(path),
        Some("materials") => Materials::get(path),
        Some("docs") => Explain::get(path),
        _ => None,
    };
    found.and_then(|f| String::from_utf8(f.data.into_owned()).ok())
}

/// Name (path within the shelf) and text of every file anywhere below `folder`, sorted by name.
#[must_use]
pub fn files(folder: &str) -> Vec<(String, String)> {
    let start = format!("{}/", folder.trim_end_matches('/'));
    let mut found: Vec<(String, String)> = names()
        .filter(|n| n.starts_with(&start))
        .filter_map(|n| file(&n).map(|text| (n, text)))
        .collect();
    found.sort();
    found
}

#[cfg(test)]
mod tests {
    #[test]
    fn what_is_listed_can_be_read() {
        let files = super::files("parts");
        assert!(!files.is_empty());
        for (name, text) in files {
            assert_eq!(super::file(&name), Some(text));
        }
        assert_eq!(super::file("parts/no-such.toml"), None);
        assert_eq!(super::file("../Cargo.toml"), None);
    }
}
