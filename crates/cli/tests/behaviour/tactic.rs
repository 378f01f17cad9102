//! What can be done with a program by itself.

use crate::{call_in, files_in, folder, read};

const TWO: &str = "state look {\n  go strike when n > 3\n  drive 40 % 40 % for 1 s\n}\n\
                   state strike {\n  drive 90 % 90 %\n}\ncounter n = 0\n";

#[test]
fn a_program_is_drawn_from_its_file_alone_and_never_over_another() {
    let folder = folder("program-picture");
    std::fs::write(folder.join("two.tactic"), TWO).unwrap();
    let draw = ["tactic", "picture", "two.tactic", "--svg", "two.svg"];
    let ran = call_in(&folder, &draw);
    assert_eq!((ran.status, ran.stdout.as_str()), (Some(0), ""));
    assert!(ran.stderr.contains("two.svg"), "{}", ran.stderr);
    let svg = read(&folder.join("two.svg"));
    for words in [
        "strike",
        "go strike when n &gt; 3",
        "drive 40 % 40 % for 1 s",
    ] {
        assert!(svg.contains(words), "{words}: {svg}");
    }
    call_in(&folder, &draw).is_refused();
    let ran = call_in(&folder, &["tactic", "picture", "two.tactic"]);
    assert!(ran.stdout.contains("→"), "{}", ran.stdout);
    let data = call_in(&folder, &["tactic", "picture", "two.tactic", "--json"]).json();
    assert_eq!(data["ways"][1]["written"], "go strike when n > 3");
    assert_eq!(files_in(&folder), ["two.svg", "two.tactic"]);
}

#[test]
fn a_program_that_cannot_be_read_is_not_drawn() {
    let folder = folder("program-wrong");
    std::fs::write(
        folder.join("two.tactic"),
        TWO.replace("go strike", "go stroke"),
    )
    .unwrap();
    let ran = call_in(
        &folder,
        &["tactic", "picture", "two.tactic", "--svg", "two.svg"],
    );
    ran.is_refused();
    assert!(ran.stderr.contains("try: strike"), "{}", ran.stderr);
    call_in(&folder, &["tactic", "picture", "none.tactic"]).is_refused();
    call_in(&folder, &["tactic", "picture", "mini/lapwin"]).is_refused();
    assert_eq!(files_in(&folder), ["two.tactic"]);
}

const TABLE: &str = "ms,centre,left,right,edge-left,edge-right,drive-left\n\
                     0,none,none,none,40,45,500\n10,,,,812,,-1000\n";

fn traced(name: &str, table: &str, more: &[&str]) -> crate::Ran {
    let folder = folder(name);
    std::fs::write(folder.join("run.csv"), table).expect("it can be written");
    let call = ["tactic", "trace", "demo", "--readings", "run.csv"];
    call_in(&folder, &[&call, more].concat())
}

#[test]
fn a_trace_tells_why_and_says_with_its_status_whether_the_robot_did_the_same() {
    let ran = traced("trace", TABLE, &[]);
    assert_eq!(ran.status, Some(0), "{}", ran.stderr);
    let words: Vec<&str> = ran.stdout.split_whitespace().collect();
    let told = words.join(" ");
    assert!(told.contains("edge-left reads 812, above 500"), "{told}");
    let data = traced("trace-json", TABLE, &["--json"]).json();
    assert_eq!(data["ticks"][1]["reflex"], "edge");
    let other = traced("trace-other", &TABLE.replace("-1000", "-900"), &[]);
    assert_eq!(other.status, Some(1));
    assert!(
        other.stdout.contains("differs first in line 3"),
        "{}",
        other.stdout
    );
}

#[test]
fn a_table_that_is_wrong_is_refused_with_all_that_is_wrong() {
    let wrong = TABLE
        .replace("edge-right", "edge-rihgt")
        .replace("10,", "0,");
    let ran = traced("trace-wrong", &wrong, &[]);
    ran.is_refused();
    for told in [
        "run.csv:1:",
        "try: edge-right",
        "run.csv:3:1",
        "from 0 to 0 ms",
    ] {
        assert!(ran.stderr.contains(told), "{told}: {}", ran.stderr);
    }
    traced("trace-opening", TABLE, &["--opening", "nose-of"]).is_refused();
    traced("trace-seed", TABLE, &["--seed", "70000"]).is_refused();
}
