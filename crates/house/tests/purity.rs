//! Inner crates only compute: no files, clock, threads, environment or printing, and no maths
//! whose last bits depend on the machine.

use std::collections::BTreeSet;

use house::{Code, files, group_members, read};

/// Crates that deal with the outside world, and this one.
const OUTER: [&str; 4] = ["cli", "house", "runner", "store"];

/// Modules of `std` that reach outside. `std::io` is not among them: its traits also write to memory.
const OUTSIDE: [&str; 6] = ["env", "fs", "net", "process", "thread", "time"];

/// What prints or reads the terminal.
const PRINTING: [&str; 8] = [
    "println!",
    "eprintln!",
    "print!",
    "eprint!",
    "dbg!",
    "stdin",
    "stdout",
    "stderr",
];

/// Methods of `f64` whose last bits are the platform's (`log` with any base is left to the lint: the
/// name is too common).
const PLATFORM_MATHS: [&str; 26] = [
    "sin", "cos", "tan", "sin_cos", "asin", "acos", "atan", "atan2", "sinh", "cosh", "tanh",
    "asinh", "acosh", "atanh", "exp", "exp2", "exp_m1", "ln", "ln_1p", "log2", "log10", "powf",
    "powi", "hypot", "cbrt", "gamma",
];

/// Whether `word` stands in `code` as a word of its own.
fn has_word(code: &str, word: &str) -> bool {
    code.match_indices(word).any(|(at, _)| {
        let part = |c: char| c.is_alphanumeric() || c == '_';
        let ends = word.ends_with(|c| !part(c));
        !code[..at].ends_with(part) && (ends || !code[at + word.len()..].starts_with(part))
    })
}

/// What an inner crate must not say outside its tests.
fn impure(code: &Code) -> Vec<String> {
    let mut wrong = Vec::new();
    let members: BTreeSet<String> = group_members(&code.text, "std::").into_iter().collect();
    for module in OUTSIDE {
        let path = format!("std::{module}");
        if has_word(&code.text, &path) || members.contains(module) {
            wrong.push(path);
        }
    }
    wrong.extend(
        PRINTING
            .iter()
            .filter(|w| has_word(&code.text, w))
            .map(|w| (*w).into()),
    );
    for method in PLATFORM_MATHS {
        let called = [
            format!(".{method}("),
            format!("f64::{method}"),
            format!("f32::{method}"),
        ];
        let qualified = |c: &String| has_word(&code.text, c);
        if code.text.contains(&called[0]) || called[1..].iter().any(qualified) {
            wrong.push(format!("{method} of floats; use quantity::maths"));
        }
    }
    wrong
}

/// Whether `file` belongs to a module that exists only in tests.
fn only_in_tests(file: &str, test_modules: &BTreeSet<String>) -> bool {
    test_modules
        .iter()
        .any(|m| file == format!("{m}.rs") || file.starts_with(&format!("{m}/")))
}

#[test]
fn inner_crates_only_compute() {
    let all = files("crates", "rs");
    let sources = all.iter().filter(|f| {
        let parts: Vec<&str> = f.split('/').collect();
        parts.get(2) == Some(&"src") && !OUTER.contains(&parts[1])
    });
    let read_all: Vec<(&String, Code)> = sources.map(|f| (f, Code::of(&read(f)))).collect();
    assert!(
        read_all.len() > 50,
        "only {} files were seen",
        read_all.len()
    );
    let mut test_modules = BTreeSet::new();
    for (file, code) in &read_all {
        let (folder, name) = file.rsplit_once('/').unwrap();
        let own = match name {
            "lib.rs" | "mod.rs" => folder.to_owned(),
            other => format!("{folder}/{}", other.trim_end_matches(".rs")),
        };
        test_modules.extend(code.test_modules.iter().map(|m| format!("{own}/{m}")));
    }
    let mut wrong = Vec::new();
    for (file, code) in read_all
        .iter()
        .filter(|(f, _)| !only_in_tests(f, &test_modules))
    {
        wrong.extend(impure(code).iter().map(|w| format!("{file}: {w}")));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_way_out_is_seen() {
    for (source, expected) in [
        ("use std::fs;", "std::fs"),
        ("use std::{sync::Arc, time::Instant};", "std::time"),
        ("fn a() { std::thread::spawn(b); }", "std::thread"),
        ("fn a() { println!(\"x\"); }", "println!"),
        (
            "fn a(x: f64) -> f64 { x.sin() }",
            "sin of floats; use quantity::maths",
        ),
        (
            "fn a(x: &[f64]) { x.iter().map(|x| f64::exp(*x)); }",
            "exp of floats; use quantity::maths",
        ),
    ] {
        assert!(
            impure(&Code::of(source)).contains(&expected.to_owned()),
            "{source}"
        );
    }
    for source in [
        "use std::sync::Arc;",
        "// std::fs and println! are for others\nfn a() {}",
        "#[cfg(test)]\nmod tests { fn a() { println!(); } }",
        "fn a(x: f64) -> f64 { maths::sin(x) + x.sqrt() + writeln!(s, \"\") }",
    ] {
        assert_eq!(impure(&Code::of(source)), Vec::<String>::new(), "{source}");
    }
}

#[test]
fn a_file_of_a_test_module_is_told_from_others() {
    let modules = BTreeSet::from(["crates/a/src/wild".to_owned()]);
    assert!(only_in_tests("crates/a/src/wild.rs", &modules));
    assert!(only_in_tests("crates/a/src/wild/b.rs", &modules));
    assert!(!only_in_tests("crates/a/src/wilder.rs", &modules));
}

#[test]
fn the_lint_forbids_platform_maths_and_no_inner_crate_is_excused() {
    let list: toml::Table = read("clippy.toml").parse().unwrap();
    let paths: BTreeSet<&str> = list["disallowed-methods"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|m| m.get("path").and_then(toml::Value::as_str))
        .collect();
    for method in [
        "sin", "cos", "tan", "sin_cos", "asin", "acos", "atan", "atan2", "exp", "ln", "log10",
        "powf", "powi", "hypot", "tanh",
    ] {
        assert!(
            paths.contains(format!("f64::{method}").as_str()),
            "{method}"
        );
    }
    let workspace: toml::Table = read("Cargo.toml").parse().unwrap();
    let lint = &workspace["workspace"]["lints"]["clippy"]["disallowed_methods"];
    assert!(matches!(lint.as_str(), Some("warn" | "deny" | "forbid")));
    let excuse = ["disallowed", "_methods"].concat();
    for file in files("crates", "rs") {
        let outer = OUTER
            .iter()
            .any(|c| file.starts_with(&format!("crates/{c}/")));
        assert!(
            outer || !read(&file).contains(&excuse),
            "{file} excuses itself"
        );
    }
}
