//! Files that are written: both or none, never over others.

use std::process::{Command, Stdio};

use crate::{PROGRAM, call_in, files_in, folder, read};

const NEW: [&str; 4] = ["new", "Newt", "--out", "newt.toml"];

#[test]
fn new_writes_two_files_of_every_style_that_a_report_accepts() {
    let folder = folder("new");
    for style in report::STYLES {
        let file = format!("{style}.toml");
        let ran = call_in(&folder, &["new", "Newt", "--style", style, "--out", &file]);
        assert_eq!((ran.status, ran.stderr.as_str()), (Some(0), ""));
        assert!(folder.join(format!("{style}.tactic")).exists());
        let answer = call_in(&folder, &["report", &file, "--bouts", "6", "--json"]).json();
        assert_eq!(
            (&answer["robot"], &answer["legal"]),
            (&"Newt".into(), &true.into())
        );
    }
    assert_eq!(files_in(&folder).len(), 2 * report::STYLES.len());
}

#[test]
fn new_never_writes_over_a_file_and_then_writes_neither() {
    let folder = folder("new-again");
    assert_eq!(call_in(&folder, &NEW).status, Some(0));
    for file in ["newt.toml", "newt.tactic"] {
        std::fs::write(folder.join(file), "mine").unwrap();
    }
    call_in(&folder, &NEW).is_refused();
    for (kept, gone) in [("newt.toml", "newt.tactic"), ("newt.tactic", "newt.toml")] {
        std::fs::write(folder.join(kept), "mine").unwrap();
        std::fs::remove_file(folder.join(gone)).unwrap();
        call_in(&folder, &NEW).is_refused();
        assert_eq!(files_in(&folder), [kept]);
        assert_eq!(read(&folder.join(kept)), "mine");
    }
}

#[test]
fn nothing_is_left_behind_where_writing_fails() {
    let folder = folder("new-nowhere");
    call_in(
        &folder,
        &["new", "Newt", "--out", "no/such/folder/newt.toml"],
    )
    .is_refused();
    call_in(&folder, &["new", "Ne\"wt", "--out", "newt.toml"]).is_refused();
    call_in(
        &folder,
        &["new", "Newt", "--class", "minni", "--out", "n.toml"],
    )
    .is_refused();
    let picture = "no/such/folder/bout.svg";
    call_in(&folder, &["bout", "demo", "mini/anvil", "--svg", picture]).is_refused();
    assert_eq!(files_in(&folder), [""; 0]);
}

#[test]
fn a_picture_never_replaces_a_file() {
    let folder = folder("picture-again");
    std::fs::write(folder.join("bout.svg"), "mine").unwrap();
    call_in(
        &folder,
        &["bout", "demo", "mini/anvil", "--svg", "bout.svg"],
    )
    .is_refused();
    assert_eq!(read(&folder.join("bout.svg")), "mine");
}

#[test]
fn a_bout_as_a_table_has_a_row_for_each_robot_and_frame() {
    let folder = folder("table");
    let ran = call_in(
        &folder,
        &["bout", "demo", "mini/anvil", "--csv", "bout.csv", "--json"],
    )
    .json();
    let text = read(&folder.join("bout.csv"));
    let rows: Vec<Vec<&str>> = text
        .lines()
        .map(|l| l.trim_end_matches('\r').split(',').collect())
        .collect();
    let head = &rows[0];
    assert!(rows.iter().all(|r| r.len() == head.len()));
    let column = |name: &str| head.iter().position(|h| *h == name).expect("it is there");
    let number = |row: &[&str], name: &str| -> f64 { row[column(name)].parse().expect("a number") };
    // A frame every 20 ms for each robot, and the end.
    let end = ran["ending"]["time_s"].as_f64().expect("a number");
    let frames = (end / 0.02).floor() + 1.0;
    let off = (rows.len() - 1) as f64 - 2.0 * frames;
    assert!((0.0..=2.0).contains(&off), "{}", rows.len());
    let decided = ran["ending"]["decided_s"].as_f64().expect("a number");
    for row in &rows[1..] {
        let after = number(row, "time_s") >= decided;
        assert_eq!(number(row, "decided") > 0.5, after, "{row:?}");
    }
    // At rest at the start the tyres of the demo carry three quarters of its 438 g.
    let load = number(&rows[1], "load_n");
    assert!((2.5..4.0).contains(&load), "{load} N");
}

/// What a pager that is closed at once, or `head`, does to a program that prints.
#[test]
fn a_reader_that_goes_away_is_no_error() {
    for arguments in [&["parts"][..], &["report", "--bouts", "6"]] {
        let mut command = Command::new(PROGRAM);
        command
            .args(arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(String::from_utf8_lossy(&output.stderr), "", "{arguments:?}");
        assert_eq!(output.status.code(), Some(0), "{arguments:?}");
    }
}

#[test]
fn the_pictures_of_a_check_are_written_once_and_never_over_others() {
    let folder = folder("check-svg");
    let ran = call_in(&folder, &["check", "demo", "--svg", "pictures"]);
    assert_eq!(ran.status, Some(0), "{}", ran.stderr);
    let pictures = files_in(&folder.join("pictures"));
    assert!(pictures.iter().any(|p| p == "findings.svg"), "{pictures:?}");
    std::fs::write(folder.join("pictures/findings.svg"), "mine").unwrap();
    call_in(&folder, &["check", "demo", "--svg", "pictures"]).is_refused();
    assert_eq!(read(&folder.join("pictures/findings.svg")), "mine");
    call_in(&folder, &["check", "demo", "--svg", "no/such"]).is_refused();
}

#[test]
fn pages_are_an_array_whether_all_or_one_and_a_robot_puts_its_numbers_in() {
    let folder = folder("explain-json");
    let all = call_in(&folder, &["explain", "--json"]).json();
    assert!(all.as_array().is_some_and(|a| a.len() >= 40));
    let one = call_in(&folder, &["explain", "sag", "--robot", "demo", "--json"]).json();
    assert_eq!(one.as_array().map(Vec::len), Some(1));
    assert_eq!(one[0]["name"], "sag");
    assert_eq!(one[0]["on_robot"]["robot"], "Pebble");
}

#[test]
fn a_program_is_formatted_beside_its_file_and_a_wrong_one_is_refused_with_its_lines() {
    let folder = folder("format");
    let rough = "state a{\n drive 90% 90%   # on\n}\n";
    let even = "state a {\n  drive 90 % 90 %  # on\n}\n";
    std::fs::write(folder.join("a.tactic"), rough).unwrap();
    let ran = call_in(&folder, &["tactic", "format", "a.tactic"]);
    assert_eq!((ran.status, ran.stdout.as_str()), (Some(0), even));
    let ran = call_in(
        &folder,
        &["tactic", "format", "a.tactic", "--out", "b.tactic"],
    );
    assert_eq!((ran.status, ran.stdout.as_str()), (Some(0), ""));
    assert_eq!(
        std::fs::read_to_string(folder.join("a.tactic")).unwrap(),
        rough
    );
    assert_eq!(
        std::fs::read_to_string(folder.join("b.tactic")).unwrap(),
        even
    );
    call_in(
        &folder,
        &["tactic", "format", "a.tactic", "--out", "b.tactic"],
    )
    .is_refused();
    std::fs::write(folder.join("c.tactic"), "state a {\n  drve 90 % 90 %\n}\n").unwrap();
    let ran = call_in(&folder, &["tactic", "format", "c.tactic"]);
    ran.is_refused();
    for told in ["c.tactic:2", "drve", "drive"] {
        assert!(ran.stderr.contains(told), "{told}: {}", ran.stderr);
    }
}

#[test]
fn a_program_is_written_for_a_controller_in_each_language() {
    let folder = folder("source");
    for (language, main) in [("c99", "tactic.c"), ("micropython", "tactic.py")] {
        let call = [
            "tactic",
            "source",
            "--language",
            language,
            "--out",
            language,
        ];
        let ran = call_in(&folder, &call);
        assert_eq!(
            (ran.status, ran.stdout.as_str()),
            (Some(0), ""),
            "{}",
            ran.stderr
        );
        let text = std::fs::read_to_string(folder.join(language).join(main)).unwrap();
        assert!(text.contains("reflex_edge"), "{text}");
        call_in(&folder, &call).is_refused();
    }
}

#[test]
fn a_project_for_a_board_is_written_once_and_a_board_without_pins_is_refused_with_advice() {
    let folder = folder("firmware");
    let listed = call_in(&folder, &["firmware", "--list", "--json"]);
    let boards = listed.json()["boards"].as_array().expect("a list").len();
    assert!(boards >= 7, "{}", listed.stdout);
    let call = ["firmware", "atmega328p", "--out", "controller"];
    let ran = call_in(&folder, &call);
    assert_eq!(ran.status, Some(0), "{}", ran.stderr);
    assert!(ran.stdout.contains("start button"), "{}", ran.stdout);
    let readme = std::fs::read_to_string(folder.join("controller/README.md")).unwrap();
    assert!(readme.contains("Wheels up"), "{readme}");
    call_in(&folder, &call).is_refused();
    let near = call_in(&folder, &["firmware", "atmega328", "--out", "other"]);
    near.is_refused();
    assert!(near.stderr.contains("atmega328p"), "{}", near.stderr);
    let full = call_in(&folder, &["firmware", "rp2040", "--out", "other"]);
    full.is_refused();
    assert!(
        full.stderr.contains("edge-left") && full.stderr.contains("digital"),
        "{}",
        full.stderr
    );
    assert!(!folder.join("other").exists());
}
