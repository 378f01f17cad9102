//! What a crate's `Cargo.toml` says it depends on.

use toml::{Table, Value};

/// A crate's name and dependencies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Manifest {
    /// Name of the package.
    pub name: String,
    /// What it is built with, build scripts and single platforms included.
    pub dependencies: Vec<String>,
    /// What only its tests and benches use.
    pub dev_dependencies: Vec<String>,
    /// Dependencies that do not come from the workspace's table.
    pub own: Vec<String>,
    /// Whether it takes the lints of the workspace.
    pub workspace_lints: bool,
}

/// Why a text is not a manifest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotAManifest(pub String);

fn tables<'a>(whole: &'a Table, names: &[&str]) -> Vec<&'a Table> {
    let platforms = whole.get("target").and_then(Value::as_table);
    let platforms = platforms
        .into_iter()
        .flat_map(|t| t.values().filter_map(Value::as_table));
    let mut found = Vec::new();
    for place in std::iter::once(whole).chain(platforms) {
        found.extend(
            names
                .iter()
                .filter_map(|n| place.get(*n).and_then(Value::as_table)),
        );
    }
    found
}

fn flag(value: &Value, name: &str) -> bool {
    value.get(name).and_then(Value::as_bool) == Some(true)
}

impl Manifest {
    /// Reads a crate's manifest.
    ///
    /// # Errors
    /// When it is not TOML or has no package name.
    pub fn of(text: &str) -> Result<Self, NotAManifest> {
        let whole: Table = text.parse().map_err(|e| NotAManifest(format!("{e}")))?;
        let name = whole
            .get("package")
            .and_then(|p| p.get("name"))
            .and_then(Value::as_str)
            .ok_or_else(|| NotAManifest("no package name".into()))?;
        let built = tables(&whole, &["dependencies", "build-dependencies"]);
        let tested = tables(&whole, &["dev-dependencies"]);
        let names = |tables: &[&Table]| tables.iter().flat_map(|t| t.keys().cloned()).collect();
        let own = built.iter().chain(&tested).flat_map(|t| t.iter());
        let own = own
            .filter(|(_, v)| !flag(v, "workspace"))
            .map(|(n, _)| n.clone())
            .collect();
        Ok(Self {
            name: name.into(),
            dependencies: names(&built),
            dev_dependencies: names(&tested),
            own,
            workspace_lints: whole.get("lints").is_some_and(|l| flag(l, "workspace")),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_of_dependency_is_seen() {
        let text = "package.name = \"shed\"\n[dependencies]\nwood.workspace = true\n\
            [build-dependencies]\nsaw = \"1\"\n[dev-dependencies]\nlevel.workspace = true\n\
            [target.'cfg(unix)'.dependencies]\nrope = { workspace = true }\n[lints]\nworkspace = true\n";
        let read = Manifest::of(text).unwrap();
        assert_eq!(read.name, "shed");
        assert_eq!(read.dependencies, ["wood", "saw", "rope"]);
        assert_eq!(read.dev_dependencies, ["level"]);
        assert_eq!(read.own, ["saw"]);
        assert!(read.workspace_lints);
    }

    #[test]
    fn a_manifest_without_a_package_is_refused() {
        assert!(Manifest::of("[workspace]\n").is_err());
        assert!(Manifest::of("not toml").is_err());
    }
}
