//! The programs of `docs/own-program.md` fight as they stand there.

use std::io::{BufRead, BufReader, pipe};
use std::path::Path;
use std::process::Command;

use bout::{Cause, Record};
use runner::drive::{Own, PROTOCOL};
use serde_json::Value;

use crate::bench::{about, driven, folder, pit, rustc, task, word};

const DOCUMENT: &str = include_str!("../../../../docs/own-program.md");

/// Time for an answer in ms: a crowded machine takes its time.
const PLENTY_MS: u64 = 20_000;

/// Bouts that are fought with each.
const BOUTS: u32 = 4;

/// The blocks of the document in `language`.
fn blocks(language: &str) -> Vec<&'static str> {
    let fence = format!("```{language}\n");
    let rest = DOCUMENT.split(fence.as_str()).skip(1);
    rest.filter_map(|r| r.split("```").next()).collect()
}

/// The program in `language`, in a file of its own.
fn source(language: &str, ending: &str) -> std::path::PathBuf {
    let [text] = blocks(language)[..] else {
        panic!("not one program in {language}")
    };
    let at = folder("drive-document").join(format!("drive.{ending}"));
    std::fs::write(&at, text).unwrap_or_else(|e| panic!("{}: {e}", at.display()));
    at
}

/// Whether `program` can be called; if not, the test says that it is skipped, and where nothing may be
/// skipped, that is an error.
fn is_there(program: &str) -> bool {
    let found = Command::new(program).arg("--version").output().is_ok();
    if !found {
        let forced = std::env::var_os("RINGWRIGHT_NO_SKIP").is_some();
        assert!(
            !forced,
            "{program} is not there, and nothing may be skipped"
        );
        #[allow(clippy::print_stderr, reason = "a test that skips itself says so")]
        {
            eprintln!("SKIPPED: {program} is not there");
        }
    }
    found
}

/// Bouts of the demo robot driven by `command`.
#[track_caller]
fn fought(command: &str) -> Vec<Record> {
    let pit = pit("demo", "mini/anvil");
    let bout = |k| {
        let (record, ended) = driven(&pit, k, command, PLENTY_MS);
        assert_eq!(
            (ended.failure, ended.last_words),
            (None, Vec::new()),
            "bout {k}"
        );
        record
    };
    (0..BOUTS).map(bout).collect()
}

/// The bouts driven by the Rust program: rustc is always there.
fn by_rust() -> Vec<Record> {
    static FOUGHT: std::sync::OnceLock<Vec<Record>> = std::sync::OnceLock::new();
    let fought = FOUGHT.get_or_init(|| {
        let program =
            folder("drive-document").join(format!("by-rust{}", std::env::consts::EXE_SUFFIX));
        rustc(&source("rust", "rs"), &program);
        fought(&word(&program))
    });
    fought.clone()
}

#[test]
fn the_rust_program_charges_and_keeps_off_the_border() {
    let records = by_rust();
    let mut backed_off = 0;
    for (k, record) in (0..).zip(&records) {
        let us = task(k).seat();
        let efforts: Vec<[f64; 2]> = record.frames[us].iter().map(|f| f.effort).collect();
        let full = |e: &[f64; 2]| e.iter().all(|e| *e > 0.99);
        let back = |e: &[f64; 2]| e.iter().all(|e| *e < -0.85);
        assert!(efforts.iter().any(full), "bout {k}: it never charges");
        backed_off += u32::from(efforts.iter().any(back));
        let by_itself = [Cause::EdgeIgnored, Cause::EdgeUnseen, Cause::ReversedOut];
        let lost = record.outcome.end.loser() == Some(us);
        assert!(
            !lost || !by_itself.contains(&record.outcome.cause),
            "bout {k}"
        );
    }
    // Not where it was over before it came near the border.
    assert!(backed_off > 0);
    assert_ne!(records[0], records[1]);
}

#[test]
fn the_python_program_decides_as_the_rust_one_does() {
    if is_there("python3") {
        let command = format!("python3 {}", word(&source("python", "py")));
        assert_eq!(fought(&command), by_rust());
    }
}

#[test]
fn the_c_program_decides_as_the_rust_one_does() {
    if is_there("gcc") {
        let program = folder("drive-document").join("by-c");
        build_c(&source("c", "c"), &program);
        assert_eq!(fought(&word(&program)), by_rust());
    }
}

fn build_c(source: &Path, program: &Path) {
    let mut build = Command::new("gcc");
    build.args(["-std=c99", "-Wall", "-Wextra", "-Werror", "-O2", "-o"]);
    let built = build
        .arg(program)
        .arg(source)
        .output()
        .expect("gcc is there");
    let said = String::from_utf8_lossy(&built.stderr);
    assert!(built.status.success(), "{said}");
}

/// The keys of an object.
fn keys(of: &Value) -> Vec<&String> {
    let mut keys: Vec<_> = of.as_object().expect("an object").keys().collect();
    keys.sort();
    keys
}

#[test]
fn the_lines_in_the_document_are_those_that_are_written() {
    assert!(DOCUMENT.contains(PROTOCOL));
    let shown: Vec<Value> = (blocks("json").iter())
        .map(|b| serde_json::from_str(b).unwrap_or_else(|e| panic!("{b}: {e}")))
        .collect();
    let [first, look, _answer] = &shown[..] else {
        panic!("not three lines in the document")
    };
    let pit = pit("mini/crowbar", "mini/anvil");
    let (to_player, from_us) = pipe().expect("the system has pipes");
    let (to_us, from_player) = pipe().expect("the system has pipes");
    let own = Own::over(from_us, to_us, PLENTY_MS, about(&pit, 0));
    let playing = std::thread::spawn(move || {
        use std::io::Write as _;
        let mut lines = BufReader::new(to_player).lines();
        let mut line = || lines.next().expect("a line").expect("it is text");
        let first = line();
        let mut out = from_player;
        writeln!(out, "{{\"ready\":true}}").expect("somebody listens");
        [first, line()]
    });
    let record = pit.driven(task(0), &own, bout::Wanted::default());
    let written = playing.join().expect("it listens");
    let written = written.map(|l| serde_json::from_str::<Value>(&l).expect("it is JSON"));
    assert!(
        own.ended(&record, 0).failure.is_some(),
        "it went after a look"
    );
    assert_eq!(keys(first), keys(&written[0]));
    for list in ["sensors", "gadgets"] {
        assert_eq!(keys(&first[list][0]), keys(&written[0][list][0]), "{list}");
    }
    assert_eq!(keys(look), keys(&written[1]));
    let sensors = written[0]["sensors"].as_array().expect("a list").len();
    assert_eq!(keys(&written[1]["readings"]).len(), sensors);
    for kind in ["distance", "reflectance"] {
        let row = format!("| `{kind}` |");
        assert!(DOCUMENT.contains(&row), "{kind}");
        let named = written[0]["sensors"].as_array().expect("a list");
        assert!(named.iter().any(|s| s["kind"] == kind), "{kind}");
    }
}
