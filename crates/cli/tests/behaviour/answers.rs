//! Answers are the same every time, and what they claim can be looked at.

use std::process::Command;

use serde_json::Value;

use crate::{PROGRAM, Ran, call, call_in, files_in, folder, read};

/// Few bouts: what is tested does not depend on their number.
const BOUTS: [&str; 2] = ["--bouts", "12"];

fn with_bouts<'a>(arguments: &[&'a str]) -> Vec<&'a str> {
    [arguments, &BOUTS].concat()
}

#[test]
fn a_report_is_the_same_to_the_byte_on_any_threads_and_every_time() {
    let report = |more: &[&str]| {
        let ran = call(&with_bouts(&[&["report", "--json"], more].concat()));
        assert_eq!((ran.status, ran.stderr.as_str()), (Some(0), ""));
        ran.stdout
    };
    let one = report(&["--threads", "1"]);
    assert!(one == report(&["--threads", "2"]), "on two threads");
    assert!(one == report(&["--seed", "1"]), "again, on all cores");
    assert!(one != report(&["--seed", "2"]), "another seed, same answer");
}

#[test]
fn the_time_used_is_told_on_demand_only() {
    for command in ["report", "spar", "whatif"] {
        let call = |more: &[&str]| call(&with_bouts(&[&[command, "--json"], more].concat()));
        let (plain, timed) = (call(&[]).json(), call(&["--timing"]).json());
        assert!(plain.get("timing").is_none(), "{command}");
        let timing = &timed["timing"];
        for key in ["wall_s", "cpu_s", "simulated_s"] {
            let s = timing[key]
                .as_f64()
                .unwrap_or_else(|| panic!("{command}: no {key}"));
            assert!(s > 0.0 && s < 1e4, "{command}: {key} = {s}");
        }
        assert_eq!(timing.as_object().map(serde_json::Map::len), Some(3));
        let mut rest = timed.clone();
        rest.as_object_mut().expect("an object").remove("timing");
        assert_eq!(rest, plain, "{command} with its time is another answer");
    }
}

/// A line of a shell with the program on its path, in `folder`.
#[cfg(unix)]
fn shell(line: &str, folder: &std::path::Path) -> Ran {
    let home = std::path::Path::new(PROGRAM)
        .parent()
        .expect("it is in a folder");
    let path = std::env::var("PATH").unwrap_or_default();
    let mut shell = Command::new("sh");
    shell.args(["-c", line]).current_dir(folder);
    shell.env("PATH", format!("{}:{path}", home.display()));
    shell.output().expect("it starts").into()
}

#[cfg(unix)]
fn every_next_command_works(folder: &std::path::Path, report: &Value) {
    let next = report["next"].as_array().expect("a list");
    assert!(!next.is_empty());
    for line in next {
        let line = line.as_str().expect("a text");
        assert!(line.starts_with("ringwright "), "{line}");
        // A whole what-if takes half a minute; fewer bouts show as well that the line is right.
        let fights = ["report", "spar", "whatif"];
        let study = fights
            .iter()
            .any(|f| line.starts_with(&format!("ringwright {f}")));
        let ran = shell(
            &format!("{line}{}", if study { " --bouts 6" } else { "" }),
            folder,
        );
        assert_eq!(ran.status, Some(0), "{line}: {}", ran.stderr);
        assert!(!ran.stdout.is_empty(), "{line}");
    }
    let pictures: Vec<String> = files_in(folder)
        .into_iter()
        .filter(|f| f.ends_with(".svg"))
        .collect();
    assert_eq!(pictures.len(), 1, "{pictures:?}");
    let text = read(&folder.join(&pictures[0]));
    let picture = roxmltree::Document::parse(&text).unwrap_or_else(|e| panic!("{e}"));
    let root = picture.root_element();
    assert_eq!(root.tag_name().name(), "svg");
    assert_eq!(
        root.tag_name().namespace(),
        Some("http://www.w3.org/2000/svg")
    );
}

#[cfg(unix)]
#[test]
fn every_command_a_report_names_works_as_printed_and_its_picture_is_well_formed() {
    let folder = folder("next");
    let report = call_in(&folder, &with_bouts(&["report", "--json"])).json();
    every_next_command_works(&folder, &report);
    assert!(
        folder.join("my-robot.toml").exists(),
        "{:?}",
        files_in(&folder)
    );
}

#[cfg(unix)]
#[test]
fn names_with_spaces_and_quotes_work_all_the_way() {
    let folder = folder("it's a name with spaces");
    let file = "little owl's robot.toml";
    let made = call_in(&folder, &["new", "Little Owl", "--out", file]);
    assert_eq!(made.status, Some(0), "{}", made.stderr);
    let line = made
        .stdout
        .lines()
        .find(|l| l.contains("ringwright report"));
    let line = line.expect("it says what to ask next").trim();
    let ran = shell(
        &format!("{line} --bouts 12 --json --class harbour-club"),
        &folder,
    );
    let report: Value = serde_json::from_str(&ran.stdout).expect("it is JSON");
    assert_eq!(report["robot"], "Little Owl");
    every_next_command_works(&folder, &report);
}

#[test]
fn called_through_cargo_it_prints_commands_that_work_in_a_clone() {
    let mut command = std::process::Command::new(crate::PROGRAM);
    command.args(["check"]).env("CARGO", "cargo");
    let said = command.output().expect("it starts");
    let said = String::from_utf8(said.stdout).expect("it is text");
    let commands: Vec<&str> = said.lines().filter(|l| l.starts_with("     ")).collect();
    let release = if cfg!(debug_assertions) {
        ""
    } else {
        " --release"
    };
    let report = format!("cargo run{release} -- report");
    assert!(commands.iter().any(|l| l.trim() == report), "{commands:#?}");
}

#[test]
fn a_bout_named_as_an_example_ends_with_that_cause_for_us() {
    let spar = call(&["spar", "--bouts", "240", "--seed", "3", "--json"]).json();
    let mut looked_at = 0;
    for (list, lost) in [("losses", true), ("ties", false)] {
        for line in spar[list].as_array().expect("a list") {
            let example = &line["example"];
            let opponent = example["opponent"].as_str().expect("a text");
            let (seed, bout) = (example["seed"].to_string(), example["bout"].to_string());
            let numbers = ["--seed", &seed, "--bout", &bout, "--json"];
            let told = call(&[&["bout", "demo", opponent][..], &numbers].concat()).json();
            let ending = &told["ending"];
            assert_eq!(ending["cause"], line["cause"], "{line:#}");
            let winner = if lost {
                &told["robots"][1]
            } else {
                &Value::Null
            };
            assert_eq!(&ending["winner"], winner, "{line:#}");
            looked_at += 1;
        }
    }
    assert!(looked_at >= 3, "{looked_at}");
}

#[test]
fn a_class_is_shown_whole_and_two_are_compared_for_a_robot() {
    let shown = call(&["classes", "show", "mini"]);
    assert_eq!((shown.status, shown.stderr.as_str()), (Some(0), ""));
    for told in ["25 mm", "elsewhere", "19 mm", "OSHWDem"] {
        assert!(shown.stdout.contains(told), "{told}: {}", shown.stdout);
    }
    let may = call(&["classes", "compare", "mini", "harbour-club", "demo"]);
    assert_eq!(may.status, Some(0), "{}", may.stdout);
    let may_not = call(&["classes", "compare", "mini", "micro", "demo"]);
    assert_eq!(may_not.status, Some(1), "{}", may_not.stdout);
    assert!(may_not.stdout.contains("mm shorter"), "{}", may_not.stdout);
    let last = may_not.stdout.lines().last();
    assert_eq!(last, Some("Finished: not legal in micro."));
    let data = call(&["classes", "compare", "mini", "micro", "demo", "--json"]);
    let data: serde_json::Value = serde_json::from_str(&data.stdout).expect("it is JSON");
    assert_eq!(data["entering"]["legal"], serde_json::json!([true, false]));
}
