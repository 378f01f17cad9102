//! `bout --drive`: who drives is told, and what goes wrong with it is no answer.

use serde_json::Value;

use crate::{PROGRAM, call};

/// A bout driven by `command`, with more of the call behind.
fn driven(command: &str, more: &[&str]) -> crate::Ran {
    let bout = ["bout", "demo", "mini/anvil", "--drive", command];
    call(&[&bout, more].concat())
}

/// A program that is on every system that builds this, and that is no driver: it says its version.
const NO_DRIVER: &str = "rustc --version";

#[test]
fn a_bout_whose_driver_fails_is_told_and_exits_1() {
    let ran = driven(NO_DRIVER, &[]);
    assert_eq!((ran.status, ran.stderr.as_str()), (Some(1), ""));
    for told in [
        "driven by: rustc --version",
        "wrote a line that is no answer before it was ready",
        "counts for nobody",
        "The line: rustc ",
        "--drive 'rustc --version' --drive-limit 200ms",
    ] {
        assert!(ran.stdout.contains(told), "{told}: {}", ran.stdout);
    }
    let ran = driven(NO_DRIVER, &["--json", "--drive-limit", "3 s"]);
    assert_eq!(ran.status, Some(1));
    let told: Value = serde_json::from_str(&ran.stdout).expect("it is JSON");
    assert_eq!(told["ending"]["winner"], Value::Null);
    assert_eq!(told["ending"]["cause"], "program-failed");
    assert_eq!(told["driven"]["command"], NO_DRIVER);
    assert_eq!(told["driven"]["limit_ms"], 3000);
    assert_eq!(told["driven"]["failure"]["what"], "wrong-answer");
    assert_eq!(told["driven"]["failure"]["look"], 0);
}

#[test]
fn a_bout_that_nobody_else_drives_says_nothing_of_it() {
    let told = call(&["bout", "demo", "mini/anvil", "--json"]).json();
    assert_eq!(told.get("driven"), None);
}

#[test]
fn a_wrong_call_is_refused_before_the_bout() {
    for (command, more, told) in [
        (
            "./no-such-program",
            &[] as &[&str],
            "\"./no-such-program\" cannot be started",
        ),
        ("drive 'half", &[], "a quotation mark is not closed"),
        ("", &[], "there is no command in it"),
        (NO_DRIVER, &["--drive-limit", "200"], "--drive-limit"),
        (NO_DRIVER, &["--drive-limit", "0 ms"], "from 1 ms to 60 s"),
        (NO_DRIVER, &["--drive-limit", "1 h"], "--drive-limit"),
    ] {
        let ran = driven(command, more);
        ran.is_refused();
        assert!(ran.stderr.contains(told), "{told}: {}", ran.stderr);
    }
    let ran = call(&["bout", "demo", "mini/anvil", "--drive-limit", "1 s"]);
    ran.is_refused();
    assert!(ran.stderr.contains("--drive <COMMAND>"), "{}", ran.stderr);
}

#[test]
fn the_help_says_whose_rights_the_command_has() {
    let ran = call(&["bout", "--help"]);
    assert_eq!(ran.status, Some(0));
    let words: Vec<&str> = ran.stdout.split_whitespace().collect();
    assert!(
        words.join(" ").contains("with your rights"),
        "{}",
        ran.stdout
    );
}

#[test]
#[cfg(unix)]
fn a_driver_is_stopped_with_the_bout() {
    let script = "echo '{\"ready\":true}'; exec sleep 600";
    let mut command = std::process::Command::new(PROGRAM);
    let drive = format!("sh -c '{}'", script.replace('\'', r"'\''"));
    command.args(["bout", "demo", "mini/anvil", "--json", "--drive", &drive]);
    command.args(["--drive-limit", "60 s"]);
    let ran = crate::stopping::interrupted(&mut command);
    assert_eq!(ran.status, Some(130), "{}{}", ran.stdout, ran.stderr);
    let told: Value = serde_json::from_str(&ran.stdout).expect("it is JSON");
    assert_eq!(told["driven"]["failure"]["what"], "stopped");
}
