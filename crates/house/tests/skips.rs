//! Tests that need an outside program may skip themselves, but never in the checks.

use house::{files, read};

/// Set by `.ci/run`: then skipping is an error.
const NO_SKIP: &str = "RINGWRIGHT_NO_SKIP";

/// Whether a test file starts a program other than one of its own package.
fn needs_an_outside_program(text: &str) -> bool {
    let calls = text.matches("Command::new(").count();
    let own = text.matches("Command::new(env!(\"CARGO_BIN_EXE_").count();
    text.contains("process::") && calls > own
}

#[test]
fn a_test_that_needs_an_outside_program_heeds_the_order_not_to_skip() {
    assert!(read(".ci/run").contains(&format!("export {NO_SKIP}=1")));
    let tests = files("crates", "rs")
        .into_iter()
        .filter(|f| f.contains("/tests/"));
    for file in tests.filter(|f| !f.starts_with("crates/house/")) {
        let text = read(&file);
        assert!(
            !needs_an_outside_program(&text) || text.contains(NO_SKIP),
            "{file}"
        );
    }
}

#[test]
fn an_outside_program_is_told_from_ones_own() {
    let start = "use std::process::Command;\nfn a() { Command::new(";
    assert!(needs_an_outside_program(&format!("{start}\"diff\") }}")));
    assert!(!needs_an_outside_program(&format!(
        "{start}env!(\"CARGO_BIN_EXE_x\")) }}"
    )));
    assert!(!needs_an_outside_program(
        "struct Command; fn a() { Command::new(); }"
    ));
}
