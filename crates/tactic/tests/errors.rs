//! What is wrong is said at once, with its line, what was expected and what may have been meant.

mod common;

use common::{parsed, ports};
use robot::Issue;

fn issues(text: &str) -> Vec<Issue> {
    tactic::parse("t.tactic", text).expect_err(text)
}

/// Line, what, suggestion of each.
fn told(text: &str) -> Vec<(u32, String, Option<String>)> {
    let told = |i: Issue| {
        assert!(!i.expected.is_empty(), "{i:?}");
        assert_eq!(&*i.place.file, "t.tactic");
        assert!(i.place.span.end <= text.len() && text.is_char_boundary(i.place.span.start));
        (i.place.line, i.what, i.suggestion)
    };
    issues(text).into_iter().map(told).collect()
}

#[track_caller]
fn one(text: &str) -> (u32, String, Option<String>) {
    let mut all = told(text);
    assert_eq!(all.len(), 1, "{all:#?}");
    all.remove(0)
}

/// One mistake in a state's line.
#[track_caller]
fn line(line: &str) -> (String, Option<String>) {
    let text = format!("counter n = 0\ntimer t\nstate a {{\n {line}\n}}\n");
    let (at, what, suggestion) = one(&text);
    assert_eq!(at, 4);
    (what, suggestion)
}

#[test]
fn every_mistake_of_a_text_is_told_with_its_line() {
    let text = "\
constnt cruise = 90 %
reflx edge when edge-left on bordr {
  drve -100 % -100 % for 100 ms
  pivot 80 % rihgt for 200 ms
}
state hunt {
  go serch when centre sees
  follow {
    centre seees: drive 1 1
    otherwise: jump
  }
}
state search {
  stay 100 ms the hunt
  drive 100 % 40000
";
    let all = told(text);
    let lines: Vec<u32> = all.iter().map(|i| i.0).collect();
    assert_eq!(lines, [1, 2, 2, 3, 4, 7, 9, 10, 14, 15, 16], "{all:#?}");
    let suggestions: Vec<Option<&str>> = all.iter().map(|i| i.2.as_deref()).collect();
    assert_eq!(
        suggestions,
        [
            Some("constant"),
            Some("reflex"),
            Some("border"),
            Some("drive"),
            Some("right"),
            Some("search"),
            Some("sees"),
            None,
            Some("then"),
            None,
            None
        ],
        "{all:#?}"
    );
}

#[test]
fn a_block_without_its_end_does_not_hide_the_next() {
    let all = told("state a {\n drive 1 1\nstate b {\n drve 1 1\n}\n");
    assert_eq!(all.len(), 2, "{all:?}");
    assert_eq!((all[0].0, all[1].0), (3, 4));
    let all = told(
        "state a {\n follow {\n  centre sees: drive 1 1\nstate b {\n go a when 1 = 1\n wait\n}\n",
    );
    // Two ends are missing: that of the rules and that of the state.
    let lines: Vec<u32> = all.iter().map(|i| i.0).collect();
    assert_eq!(lines, [4, 4], "{all:?}");
    let all = told("opening o {\n switch 1\nstate b {\n wait\n}\n");
    assert_eq!((all.len(), all[0].0), (1, 3), "{all:?}");
}

/// Each mistake once: nothing behind it is taken for another.
#[test]
fn a_step_that_is_misspelt_hides_nothing_and_breaks_no_braces() {
    let text =
        "state a {\n folow {\n  left seees: drive 1 1\n  otherwise: wait\n } for 9 ms\n wat\n}\n";
    let told = told(text);
    let lines: Vec<_> = told.iter().map(|t| (t.0, t.2.as_deref())).collect();
    assert_eq!(
        lines,
        [(2, Some("follow")), (3, Some("sees")), (6, Some("wait"))]
    );
    // The brace behind a mistake ends the block, and what braces enclose goes with the line that opens them.
    assert_eq!(one("state a { wat }\nstate b { wait }\n").0, 1);
    let text = "state a {\n wait x {\n  { left }\n }\n wait\n}\nstate b { wait }\n";
    assert_eq!(one(text).0, 2);
    assert_eq!(one("opening o { sitch 1 }\nstate a { wait }\n").0, 1);
}

#[test]
fn every_line_of_an_opening_is_looked_at() {
    let all = told(
        "opening o {\n swich 0\n place 30 mm forward\n facing left\n side up\n begin b\n}\nstate a {\n wait\n}\n",
    );
    let lines: Vec<u32> = all.iter().map(|i| i.0).collect();
    assert_eq!(lines, [2, 3, 4, 5, 6], "{all:#?}");
    assert_eq!(all[0].2.as_deref(), Some("switch"));
}

#[test]
fn numbers_that_do_not_fit_or_have_no_known_unit_are_refused() {
    assert!(line("drive 1 40000").0.contains("does not fit"));
    assert!(line("wait for 33 s").0.contains("does not fit"));
    assert_eq!(line("wait for 20msec").0, "unknown unit \"msec\"");
    assert_eq!(line("wait for 20degs").1.as_deref(), Some("20 deg"));
    assert!(line("wait for 1.5.2 s").0.contains("is not a number"));
    assert_eq!(line("wait for 1,5 s").1.as_deref(), Some("1.5 s"));
}

#[test]
fn slips_from_other_languages_get_the_right_spelling() {
    assert_eq!(line("go a when n == 3").1.as_deref(), Some("="));
    assert_eq!(line("go a when n >= 3").1.as_deref(), Some("not … < …"));
    assert_eq!(line("go a when n <= 3").1.as_deref(), Some("not … > …"));
    assert_eq!(line("go a when n != 3").1.as_deref(), Some("not … = …"));
    assert_eq!(line("set n = n -1").1.as_deref(), Some("- 1"));
    assert_eq!(
        line("go a when centre within 40 mm").1.as_deref(),
        Some("sees within")
    );
    assert_eq!(
        line("go a when t > 40 ms").1.as_deref(),
        Some("t over 500 ms")
    );
    assert_eq!(line("go a when n above 4").1.as_deref(), Some("n > 3"));
    assert_eq!(line("wait;").0, "\";\" does not belong here");
}

#[test]
fn names_are_checked() {
    assert_eq!(line("go b when n = 1").0, "there is no state \"b\"");
    assert_eq!(line("set m = 1").0, "there is no counter \"m\"");
    assert_eq!(line("restart u").0, "there is no timer \"u\"");
    assert_eq!(line("go a when u over 3 s").0, "there is no timer \"u\"");
    assert_eq!(
        line("go state when n = 1").0,
        "\"state\" is a word of the language"
    );
    let all = told("counter n = 0\ntimer n\nstate a {\n wait\n}\nstate a {\n wait\n}\n");
    assert_eq!(all[0].1, "a second value called \"n\"");
    assert_eq!(all[1].1, "a second state called \"a\"");
    assert_eq!(one("").1, "there is no state");
}

#[test]
fn what_can_only_stand_once_is_refused_twice() {
    let a = "\nstate a {\n wait\n}\n";
    let twice = format!("remember left when left sees\nremember left when right sees{a}");
    assert_eq!(one(&twice).1, "a second \"remember left\"");
    let all = told("state a {\n then a\n then a\n stay 1 s then a\n stay 2 s then a\n}\n");
    assert_eq!((all.len(), all[0].0, all[1].0), (2, 3, 5), "{all:?}");
    let switches = format!("opening p {{\n switch 1\n}}\nopening q {{\n}}{a}");
    assert_eq!(one(&switches).1, "\"p\" is on switch 1 already");
    let switch = format!("opening p {{\n switch 256\n}}{a}");
    assert_eq!(one(&switch).1, "opening \"p\" has no such switch");
}

#[test]
fn a_reflex_must_end_by_itself() {
    let body = |line: &str| {
        one(&format!(
            "reflex r when 1 = 1 {{\n {line}\n}}\nstate a {{\n wait\n}}\n"
        ))
        .1
    };
    assert_eq!(body("drive 1 1"), "a step of reflex \"r\" never ends");
    assert_eq!(
        body("drive 1 1 until centre sees"),
        "a step of reflex \"r\" never ends"
    );
    assert_eq!(body("go a when 1 = 1"), "a reflex has no way out \"go a\"");
    assert!(body("stay 1 s then a").contains("no \"stay\""));
}

#[test]
fn a_constant_lies_in_its_range() {
    let (_, what, _) = one("constant c = 5 from 6 to 9\nstate a {\n wait\n}\n");
    assert_eq!(what, "\"c\" is outside its own range");
    let (_, what, _) = one("constant c = 5 from 9 to 1\nstate a {\n wait\n}\n");
    assert_eq!(what, "\"c\" is outside its own range");
}

#[test]
fn no_depth_or_length_exhausts_the_stack() {
    for text in [
        format!(
            "state a {{\n go a when {}1 = 1\n}}\n",
            "not ".repeat(100_000)
        ),
        format!(
            "state a {{\n go a when {}1 = 1{}\n}}\n",
            "(".repeat(5000),
            ")".repeat(5000)
        ),
        format!("state a {{\n drive {}1 1\n}}\n", "-".repeat(100_000)),
        format!("state a {{\n drive {}1 1\n}}\n", "1+".repeat(100_000)),
        format!("state a {{\n drive {}1 1\n}}\n", "2 * ".repeat(100_000)),
        format!(
            "state a {{\n go a when {}1 = 1\n}}\n",
            "1 = 1 or ".repeat(100_000)
        ),
        format!(
            "state a {{\n go a when {}1 = 1\n}}\n",
            "1 = 1 and ".repeat(100_000)
        ),
    ] {
        assert!(!issues(&text).is_empty());
    }
}

#[track_caller]
fn unbound(text: &str) -> Vec<Issue> {
    tactic::compile(&parsed(text), &ports()).expect_err("it does not fit the robot")
}

#[test]
fn sensors_the_robot_does_not_have_are_told_with_the_nearest_it_has() {
    let all =
        unbound("state a {\n go a when center sees\n go a when nose touched\n drive blob 1\n}\n");
    let told: Vec<_> = (all
        .iter()
        .map(|i| (i.place.line, i.what.as_str(), i.suggestion.as_deref())))
    .collect();
    assert_eq!(
        told,
        [
            (2, "the robot has no sensor \"center\"", Some("centre")),
            (3, "the robot has no sensor \"nose\"", None),
            (4, "the robot has no sensor \"blob\"", None),
        ]
    );
    assert!(
        all[0].expected.contains("edge-front-left"),
        "{}",
        all[0].expected
    );
}

#[test]
fn a_sensor_is_asked_only_what_it_can_tell() {
    let all = unbound(
        "state a {\n go a when tilt sees\n go a when centre on border\n go a when left touched\n go a when bumper sees within 3 cm\n go a when near sees beyond 3 cm\n go a when gyro touched\n go a when amps-left sees\n go a when wheels-left on border\n go a when edge-front-left sees\n}\n",
    );
    let told: Vec<_> = all
        .iter()
        .map(|i| {
            let instead = i.suggestion.as_deref().expect("what it can be asked");
            (i.place.line, i.expected.as_str(), instead)
        })
        .collect();
    assert_eq!(
        told,
        [
            (2, "a distance or proximity sensor", "tilt above 4 deg"),
            (3, "an edge sensor", "centre sees"),
            (4, "a contact switch", "left sees"),
            (5, "a distance sensor", "bumper touched"),
            (6, "a distance sensor", "near sees"),
            (7, "a contact switch", "gyro above 90 deg"),
            (
                8,
                "a distance or proximity sensor",
                "amps-left above 800 mA"
            ),
            (9, "an edge sensor", "wheels-left below 50 mm"),
            (
                10,
                "a distance or proximity sensor",
                "edge-front-left on border"
            ),
        ]
    );
    assert_eq!(all[4].what, "\"near\" is no sensor for \"sees within\"");
}

#[test]
fn a_value_with_the_name_of_a_sensor_is_refused() {
    let all = unbound("constant centre = 5\nstate a {\n drive centre 1\n}\n");
    assert_eq!(all[0].what, "\"centre\" is the name of a sensor too");
}

/// `what` so many times, with its number for each `@`.
fn many(what: &str, n: usize) -> String {
    let numbered = |k: usize| what.replace('@', &k.to_string());
    (0..n).map(numbered).collect()
}

#[test]
fn more_of_a_kind_than_a_controller_holds_is_refused_at_the_first_too_many() {
    let a = "state a {\n wait\n}\n";
    let reflex = "reflex r@ when centre sees {\n wait for 1 ms\n}\n";
    for (what, most, kind, lines) in [
        ("counter c@ = 0\n", 16, "counters", 1),
        ("timer t@\n", 16, "timers", 1),
        ("constant k@ = 1 from 0 to 2\n", 255, "constants", 1),
        (reflex, 255, "reflexes", 3),
        ("state s@ {\n wait\n}\n", 255, "states", 3),
    ] {
        // Of states, one is there already.
        let fits = if kind == "states" { most - 1 } else { most };
        assert!(
            tactic::parse("t", &(many(what, fits) + a)).is_ok(),
            "{kind}"
        );
        let all = issues(&(many(what, fits + 2) + a));
        let told: Vec<_> = all
            .iter()
            .map(|i| (i.place.line, i.what.as_str()))
            .collect();
        let first = u32::try_from(lines * most + 1).expect("few");
        let said = format!("{} {kind}", most + 2);
        assert_eq!(told, [(first, said.as_str())]);
        assert!(all[0].expected.starts_with(&format!("at most {most},")));
    }
    let steps = |n| format!("state a {{\n{}}}\n", many("wait for 9 ms\n", n));
    assert!(tactic::parse("t", &steps(255)).is_ok());
    assert_eq!(one(&steps(256)).1, "256 steps");
}

#[test]
fn more_than_a_small_controller_holds_is_refused() {
    let a = "state a {\n wait\n}\n";
    for (text, what) in [
        (
            many("reflex r@ when centre sees for 9 ms {\n}\n", 17) + a,
            "17 \"for\" conditions",
        ),
        (
            format!(
                "state a {{\n{}}}\n",
                " go a when 1 + 1 + 1 + 1 + 1 + 1 + 1 + 1 = 1\n".repeat(5000)
            ),
            "85000 operations",
        ),
    ] {
        let all = unbound(&text);
        assert!(all.iter().any(|i| i.what == what), "{what}: {:?}", all[0]);
    }
    let deep = format!(
        "state a {{\n drive {}1{} 1\n}}\n",
        "1 + (".repeat(30),
        ")".repeat(30)
    );
    assert_eq!(
        unbound(&deep)[0].what,
        "a condition or value in here is nested too deep"
    );
    assert_eq!(unbound(&deep)[0].place.line, 1);
}
