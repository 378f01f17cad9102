//! Exit statuses, and what goes to stdout and what to stderr.

use crate::{call, call_in, folder, newt};

#[test]
fn a_legal_robot_exits_0_and_says_so_in_its_last_line() {
    let ran = call(&["check"]);
    assert_eq!((ran.status, ran.stderr.as_str()), (Some(0), ""));
    assert_eq!(ran.stdout.lines().last(), Some("Finished: legal."));
}

#[test]
fn an_illegal_robot_exits_1_and_says_so_in_its_last_line() {
    let folder = folder("illegal");
    newt(&folder, |t| {
        t.replace("width = \"98 mm\"", "width = \"131 mm\"")
    });
    let ran = call_in(&folder, &["check", "newt.toml"]);
    assert_eq!((ran.status, ran.stderr.as_str()), (Some(1), ""));
    assert_eq!(ran.stdout.lines().last(), Some("Finished: not legal."));
    let ran = call_in(&folder, &["report", "newt.toml", "--bouts", "6", "--json"]);
    assert_eq!((ran.status, ran.stderr.as_str()), (Some(1), ""));
    let answer: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
    assert_eq!(answer["legal"], false);
}

#[test]
fn a_broken_robot_file_exits_2_with_every_error_on_stderr_and_nothing_on_stdout() {
    let folder = folder("broken");
    newt(&folder, |t| {
        t.replacen("[size]", "[size]\nlenght = \"9 cm\"", 1)
            .replacen("[battery]", "[battery]\nvoltage = \"7.4 A\"", 1)
    });
    for command in ["report", "check", "spar", "whatif"] {
        let ran = call_in(&folder, &[command, "newt.toml"]);
        ran.is_refused();
        for told in ["newt.toml:", "lenght", "7.4 A"] {
            assert!(ran.stderr.contains(told), "{told}: {}", ran.stderr);
        }
    }
    call_in(&folder, &["bout", "newt.toml", "demo"]).is_refused();
    call_in(&folder, &["bout", "demo", "newt.toml"]).is_refused();
}

#[test]
fn a_wrong_call_exits_2_and_prints_nothing_to_stdout() {
    for wrong in [
        &["fight"][..],
        &["check", "--colour"],
        &["check", "no-such-robot"],
        &["check", "no/such/file.toml"],
        &["check", "--class", "minni"],
        &["spar", "--bouts", "0"],
        &["spar", "--bouts", "many"],
        &["spar", "--threads", "0"],
        &["spar", "--seed", "-1"],
        &["bout", "demo"],
        &["parts", "wings"],
        &["boards", "rp2041"],
        &["wiring", "no-such-robot"],
        &["field", "--class", "minni"],
        &["field", "--class", "pico"],
        &["report", "nano/mote", "--class", "pico"],
        &["classes", "show"],
        &["tactic"],
        &["tactic", "source"],
        &[
            "tactic",
            "source",
            "demo",
            "--language",
            "pascal",
            "--out",
            "no-such",
        ],
        &["tactic", "format", "no-such.tactic"],
        &["classes", "show", "minni"],
        &["classes", "compare", "mini"],
        &["classes", "compare", "mini", "mirco"],
        &["classes", "compare", "mini", "micro", "no-such-robot"],
        &["explain", "no-such-page"],
        &["new", "Newt"],
        &["new", "Newt", "--style", "runner", "--out", "newt.toml"],
        &["check", "--home", "no-such-folder"],
        &[],
    ] {
        let ran = call(wrong);
        assert_eq!(ran.status, Some(2), "{wrong:?}: {}", ran.stderr);
        ran.is_refused();
    }
}

#[test]
fn help_version_and_lists_are_answers() {
    for right in [
        &["--help"][..],
        &["spar", "--help"],
        &["--version"],
        &["classes"],
        &["parts"],
        &["parts", "motor"],
        &["boards"],
        &["boards", "esp32"],
        &["wiring"],
        &["wiring", "mini/bellows"],
        &["field"],
        &["field", "--class", "mega"],
        &["explain"],
        &["explain", "edge-too-fast"],
    ] {
        let ran = call(right);
        assert_eq!(ran.status, Some(0), "{right:?}: {}", ran.stderr);
        assert_eq!(ran.stderr, "", "{right:?}");
        assert!(!ran.stdout.trim().is_empty(), "{right:?}");
    }
}

#[test]
fn progress_and_colours_are_for_terminals_only() {
    let ran = call(&["report", "--bouts", "12"]);
    assert_eq!((ran.status, ran.stderr.as_str()), (Some(0), ""));
    assert!(!ran.stdout.contains('\u{1b}'));
}
