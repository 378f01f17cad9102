//! `start`: what it asks, what it answers, what it writes.

use crate::{call, call_in, files_in, folder, read};

/// All six answers.
const ANSWERS: [&str; 12] = [
    "--class",
    "mini",
    "--parts",
    "starter",
    "--money",
    "any",
    "--evenings",
    "14",
    "--experience",
    "none",
    "--ring",
    "class",
];

fn start<'a>(more: &[&'a str]) -> Vec<&'a str> {
    let mut all = vec!["start", "--bouts", "16"];
    all.extend(ANSWERS);
    all.extend(more);
    all
}

#[test]
fn without_a_terminal_every_answer_that_is_missing_is_named() {
    let ran = call(&["start", "--class", "mini", "--money", "any"]);
    ran.is_refused();
    for option in ["--parts", "--evenings", "--experience", "--ring"] {
        assert!(ran.stderr.contains(option), "{option}: {}", ran.stderr);
    }
    assert!(!ran.stderr.contains("--money is missing"), "{}", ran.stderr);
}

#[test]
fn all_answers_given_it_lists_four_styles_with_cost_and_record() {
    let ran = call(&start(&["--json"])).json();
    assert_eq!(ran["schema"], "ringwright/start/1");
    let styles = ran["styles"].as_array().expect("a list");
    assert_eq!(styles.len(), 4);
    for s in styles {
        assert!(s["price"].as_f64().expect("a number") > 50.0, "{s:#}");
        assert_eq!(s["record"]["bouts"], 4, "{s:#}");
        assert_eq!(s["lithium"], false, "{s:#}");
        assert_eq!(s["faults"].as_array().map(Vec::len), Some(0), "{s:#}");
    }
    let fits = |k: usize| styles[k]["fits"] == true;
    assert!(fits(0) || !(1..4).any(fits), "what fits stands first");
    let trickster = styles.iter().find(|s| s["style"] == "trickster");
    assert_eq!(trickster.expect("it is there")["fits"], false);
}

#[test]
fn it_writes_the_robot_it_describes_and_a_report_accepts_it() {
    let folder = folder("start");
    let out = [
        "--style",
        "all-rounder",
        "--out",
        "newt.toml",
        "--name",
        "Newt",
    ];
    let ran = call_in(&folder, &start(&out));
    assert_eq!((ran.status, ran.stderr.as_str()), (Some(0), ""));
    assert!(ran.stdout.contains("Wrote newt.toml and newt.tactic"));
    assert_eq!(files_in(&folder), ["newt.tactic", "newt.toml"]);
    assert!(read(&folder.join("newt.toml")).contains("style = \"all-rounder\""));
    let answer = call_in(&folder, &["check", "newt.toml", "--json"]).json();
    assert_eq!(
        (&answer["robot"], &answer["legal"]),
        (&"Newt".into(), &true.into())
    );
    let fault = |f: &serde_json::Value| f["severity"] == "fault";
    assert!(
        !answer["findings"]
            .as_array()
            .expect("a list")
            .iter()
            .any(fault)
    );
    // A second time it writes neither.
    call_in(&folder, &start(&out)).is_refused();
}

#[test]
fn wrong_answers_and_a_style_that_is_none_are_refused() {
    let folder = folder("start-wrong");
    call_in(
        &folder,
        &start(&["--style", "brawler", "--out", "newt.toml"]),
    )
    .is_refused();
    let mut wrong = start(&["--out", "newt.toml"]);
    for answer in &mut wrong {
        match *answer {
            "14" => *answer = "many",
            "none" => *answer = "14",
            _ => {}
        }
    }
    let ran = call_in(&folder, &wrong);
    for option in ["--evenings", "--experience"] {
        assert!(ran.stderr.contains(option), "{option}: {}", ran.stderr);
    }
    ran.is_refused();
    assert_eq!(files_in(&folder), [""; 0]);
}

#[test]
fn the_same_answers_and_seed_give_the_same_json_on_any_number_of_threads() {
    let one = call(&start(&["--json", "--threads", "1"]));
    let two = call(&start(&["--json", "--threads", "2"]));
    assert_eq!(one.stdout, two.stdout);
    assert_eq!(one.status, Some(0));
}
