//! Every dependency is declared once, in the workspace's table, and used.

use std::collections::BTreeSet;

use house::{Manifest, files, read};

fn crates() -> Vec<Manifest> {
    let files = files("crates", "toml")
        .into_iter()
        .filter(|f| f.ends_with("/Cargo.toml"));
    files
        .map(|f| Manifest::of(&read(&f)).unwrap_or_else(|e| panic!("{f}: {e:?}")))
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
