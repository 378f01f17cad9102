//! No crate depends on one that is not on a floor below its own.

use std::collections::BTreeMap;

use house::{Manifest, files, floors, read};

/// Floor of every crate. The picture in `ARCHITECTURE.md` shows the same.
const FLOORS: [(&str, u8); 15] = [
    ("quantity", 0),
    ("shelf", 0),
    ("frame", 1),
    ("robot", 1),
    ("laws", 2),
    ("rules", 2),
    ("tactic", 2),
    ("bout", 3),
    ("paper", 3),
    ("firmware", 4),
    ("store", 4),
    ("study", 4),
    ("runner", 5),
    ("report", 6),
    ("ringwright", 7),
];

/// Crates whose tests may use one that is not below them, with the reason.
const TESTS_REACH_UP: [(&str, &str, &str); 0] = [];

/// This crate: on no floor, it looks at the house from outside.
const OUTSIDE: &str = "house";

fn manifests() -> Vec<Manifest> {
    let files = files("crates", "toml")
        .into_iter()
        .filter(|f| f.ends_with("/Cargo.toml"));
    files
        .map(|f| Manifest::of(&read(&f)).unwrap_or_else(|e| panic!("{f}: {e:?}")))
        .collect()
}

/// What breaks the order of `floors`.
fn broken(
    floors: &BTreeMap<&str, u8>,
    crates: &[Manifest],
    excused: &[(&str, &str, &str)],
) -> Vec<String> {
    let mut wrong = Vec::new();
    for one in crates.iter().filter(|c| c.name != OUTSIDE) {
        let Some(own) = floors.get(one.name.as_str()) else {
            wrong.push(format!("{} is on no floor", one.name));
            continue;
        };
        let built = one.dependencies.iter().map(|d| (d, false));
        let tested = one.dev_dependencies.iter().map(|d| (d, true));
        for (other, in_tests) in built.chain(tested) {
            let below = floors
                .get(other.as_str())
                .map_or(other != OUTSIDE, |f| f < own);
            let excuse = excused.iter().any(|(a, b, _)| *a == one.name && b == other);
            if !(below || in_tests && excuse) {
                let place = if in_tests { " in tests" } else { "" };
                wrong.push(format!("{} may not use {other}{place}", one.name));
            }
        }
    }
    wrong
}

#[test]
fn no_crate_uses_one_that_is_not_below_it() {
    let wrong = broken(&BTreeMap::from(FLOORS), &manifests(), &TESTS_REACH_UP);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_floor_is_a_crate_and_every_excuse_is_needed() {
    let crates = manifests();
    for (name, _) in FLOORS {
        assert!(
            crates.iter().any(|c| c.name == name),
            "{name} is not a crate"
        );
    }
    for (one, other, reason) in TESTS_REACH_UP {
        let user = crates.iter().find(|c| c.name == one);
        let used = user.is_some_and(|c| c.dev_dependencies.iter().any(|d| d == other));
        assert!(used && !reason.is_empty(), "{one} does not use {other}");
    }
}

#[test]
fn the_picture_of_the_architecture_shows_these_floors() {
    let mut expected: Vec<(u8, String)> = FLOORS.map(|(n, f)| (f, n.to_owned())).into();
    expected.sort();
    assert_eq!(floors(&read("ARCHITECTURE.md")), expected);
}

#[test]
fn reaching_up_is_seen_wherever_it_is_written() {
    let floors = BTreeMap::from([("cellar", 0), ("hall", 1), ("roof", 2)]);
    let of = |text: &str| Manifest::of(&format!("package.name = \"hall\"\n{text}")).unwrap();
    for (text, expected) in [
        (
            "[dependencies]\ncellar.workspace = true\nserde.workspace = true\n",
            None,
        ),
        (
            "[dependencies]\nroof.workspace = true\n",
            Some("hall may not use roof"),
        ),
        (
            "[dependencies]\nhouse.workspace = true\n",
            Some("hall may not use house"),
        ),
        (
            "[build-dependencies]\nhall.workspace = true\n",
            Some("hall may not use hall"),
        ),
        (
            "[dev-dependencies]\nroof.workspace = true\n",
            Some("hall may not use roof in tests"),
        ),
    ] {
        let wrong = broken(&floors, &[of(text)], &[]);
        assert_eq!(wrong.first().map(String::as_str), expected, "{text}");
    }
    let tests = of("[dev-dependencies]\nroof.workspace = true\n");
    assert!(broken(&floors, &[tests], &[("hall", "roof", "a reason")]).is_empty());
    let built = of("[dependencies]\nroof.workspace = true\n");
    assert!(!broken(&floors, &[built], &[("hall", "roof", "a reason")]).is_empty());
}
