//! A test that lacks an outside program may skip itself on a bench, but never in the checks.

use house::{files, read};

/// Set by `.ci/run`: then skipping is an error.
const NO_SKIP: &str = "RINGWRIGHT_NO_SKIP";

/// Whether a test file says of a test that it was skipped.
fn skips(text: &str) -> bool {
    let printed = text.lines().filter(|l| l.contains("println!"));
    printed.map(str::to_lowercase).any(|l| l.contains("skip"))
}

#[test]
fn a_test_that_may_skip_itself_heeds_the_order_not_to() {
    assert!(read(".ci/run").contains(&format!("export {NO_SKIP}=1")));
    let tests = files("crates", "rs")
        .into_iter()
        .filter(|f| f.contains("/tests/"));
    for file in tests.filter(|f| !f.starts_with("crates/house/")) {
        let text = read(&file);
        assert!(!skips(&text) || text.contains(NO_SKIP), "{file}");
    }
}

#[test]
fn a_test_that_skips_itself_is_told_from_others() {
    assert!(skips(
        "if missing {\n eprintln!(\"Skipped: no compiler\");\n return;\n}"
    ));
    assert!(!skips("iter.skip(1);\nprintln!(\"{x}\");"));
}
