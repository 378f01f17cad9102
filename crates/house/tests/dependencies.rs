//! Every dependency is declared once, in the workspace's table, and used.

use std::collections::BTreeSet;

use house::{Code, Manifest, files, read};

/// Every crate with its folder.
fn folders() -> Vec<(String, Manifest)> {
    let files = files("crates", "toml").into_iter();
    files
        .filter_map(|f| {
            let folder = f.strip_suffix("/Cargo.toml")?.to_owned();
            let manifest = Manifest::of(&read(&f)).unwrap_or_else(|e| panic!("{f}: {e:?}"));
            Some((folder, manifest))
        })
        .collect()
}

fn crates() -> Vec<Manifest> {
    folders()
        .into_iter()
        .map(|(_, manifest)| manifest)
        .collect()
}

#[test]
fn every_dependency_of_the_workspace_is_used_by_some_crate() {
    let whole: toml::Table = read("Cargo.toml").parse().unwrap();
    let table = whole["workspace"]["dependencies"].as_table().unwrap();
    let crates = crates();
    let all = crates
        .iter()
        .flat_map(|c| c.dependencies.iter().chain(&c.dev_dependencies));
    let used: BTreeSet<&String> = all.collect();
    let unused: Vec<&String> = table.keys().filter(|n| !used.contains(n)).collect();
    assert!(
        unused.is_empty(),
        "in the workspace's table, but used by no crate: {unused:?}"
    );
}

#[test]
fn no_crate_brings_a_dependency_of_its_own_or_its_own_lints() {
    for one in crates() {
        assert!(
            one.own.is_empty(),
            "{}: not from the workspace's table: {:?}",
            one.name,
            one.own
        );
        assert!(
            one.workspace_lints,
            "{} does not take the workspace's lints",
            one.name
        );
    }
}

#[test]
fn every_dependency_of_a_crate_is_named_in_its_code() {
    let mut idle = Vec::new();
    for (folder, one) in folders() {
        let code: String = files(&folder, "rs")
            .iter()
            .map(|f| Code::of(&read(f)).text)
            .collect();
        let tests: String = files(&folder, "rs").iter().map(|f| read(f)).collect();
        let used = |name: &str, text: &str| {
            let path = name.replace('-', "_");
            [format!("{path}::"), format!("use {path}")]
                .iter()
                .any(|p| text.contains(p))
        };
        let built = one.dependencies.iter().filter(|d| !used(d, &code));
        let tested = one.dev_dependencies.iter().filter(|d| !used(d, &tests));
        idle.extend(built.chain(tested).map(|d| format!("{folder}: {d}")));
    }
    assert!(idle.is_empty(), "declared, but not used: {idle:?}");
}
