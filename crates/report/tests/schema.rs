//! The JSON of every answer: its described form, its promises, its numbers.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use report::{
    Amount, Answer, BoardList, BoardPage, Check, ClassComparison, ClassList, ClassPage,
    ControllerProject, Drive, Effort, FieldList, Formatted, Layout, PartList, ProgramPicture,
    ProgramSource, ProjectBoards, Setting, Spar, StartNames, StyleFirst, Tale, Timing, Trace,
    TraceOptions, WhatIf, WiringPlan, Wishes, Work, library,
};
use runner::Runner;
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};
use serde_json::Value;

/// What `--json` prints of an answer.
trait Printed: serde::Serialize + Sized {
    fn json(&self) -> String {
        report::json(self)
    }
}

impl<T: serde::Serialize> Printed for T {}

/// Few bouts: the form does not depend on their number.
const BOUTS: u32 = 24;
const EFFORT: Effort = Effort {
    changes: 4,
    pairs: 12,
};
const SEED: u64 = 7;

fn demo() -> Setting {
    Setting::load("demo", None, None).unwrap_or_else(|e| panic!("{e:#?}"))
}

fn with_work<T>(study: impl FnOnce(&Work<'_>) -> T) -> T {
    let runner = Runner::new(None).expect("threads start");
    study(&Work {
        runner: &runner,
        progress: &|_, _, _| {},
        stop: &AtomicBool::new(false),
    })
}

fn answer() -> Answer {
    let amount = Amount {
        bouts: BOUTS,
        effort: EFFORT,
    };
    with_work(|w| Answer::to(&demo(), SEED, amount, w)).expect("the demo has a field")
}

fn value(json: &str) -> Value {
    serde_json::from_str(json).expect("it is JSON")
}

/// The schema of what is written of `T`.
fn schema<T: JsonSchema>() -> Schema {
    SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator()
        .into_root_schema_for::<T>()
}

/// Compares the schema of `T` with the file that describes it, and `outputs` with the schema.
#[track_caller]
fn described<T: JsonSchema>(name: &str, outputs: &[String]) {
    let schema = schema::<T>().to_value();
    let file = format!("docs/schema/{name}-1.json");
    let path = format!("{}/../../{file}", env!("CARGO_MANIFEST_DIR"));
    if std::env::var_os("RINGWRIGHT_WRITE_SCHEMA").is_some() {
        let text = serde_json::to_string_pretty(&schema).expect("it is JSON");
        std::fs::write(&path, text + "\n").unwrap_or_else(|e| panic!("{file}: {e}"));
    }
    let written = std::fs::read_to_string(&path).unwrap_or_default();
    let written: Value = serde_json::from_str(&written).unwrap_or_default();
    assert!(
        written == schema,
        "{file} does not describe what is written. If the change is wanted and older readers can \
         live with it, renew the file with\n    RINGWRIGHT_WRITE_SCHEMA=1 cargo test -p report \
         --test schema\nelse give the new form the next number.\nWritten now: {schema:#}"
    );
    let validator = jsonschema::validator_for(&schema).unwrap_or_else(|e| panic!("{file}: {e}"));
    for output in outputs {
        let output = value(output);
        let wrong: Vec<String> = validator
            .iter_errors(&output)
            .map(|e| format!("{} {e}", e.instance_path()))
            .collect();
        assert!(wrong.is_empty(), "{file}: {wrong:#?}");
        assert_eq!(output["schema"], format!("ringwright/{name}/1").as_str());
        no_key_is_undescribed(&output, &schema, &schema, name);
    }
}

/// Every key that is written is described; a schema by itself allows others.
fn no_key_is_undescribed(output: &Value, schema: &Value, root: &Value, path: &str) {
    let mut schema = schema;
    loop {
        if let Some(name) = schema["$ref"].as_str() {
            let name = name.rsplit('/').next().unwrap_or_default();
            schema = &root["$defs"][name];
        } else if let Some(any) = schema["anyOf"].as_array() {
            // A nullable value: the first form is that of what is there.
            schema = &any[0];
        } else {
            break;
        }
    }
    match output {
        Value::Object(fields) => {
            for (key, inner) in fields {
                let described = schema["properties"].get(key);
                let described = described.unwrap_or_else(|| panic!("{path}.{key} is undescribed"));
                no_key_is_undescribed(inner, described, root, &format!("{path}.{key}"));
            }
        }
        Value::Array(items) => {
            for item in items {
                no_key_is_undescribed(item, &schema["items"], root, path);
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

#[test]
fn a_report_is_as_described_with_and_without_its_timing() {
    let plain = answer();
    let mut timed = plain.clone();
    timed.timing = Some(Timing {
        wall_s: 1.0,
        cpu_s: 2.0,
        simulated_s: 3.0,
    });
    described::<Answer>("report", &[plain.json(), timed.json()]);
}

#[test]
fn a_check_is_as_described_legal_or_not() {
    let illegal = Setting::load("demo", Some("nano"), None).unwrap_or_else(|e| panic!("{e:#?}"));
    let checks = [Check::of(&demo()), Check::of(&illegal)];
    assert!(checks[0].legal && !checks[1].legal);
    described::<Check>("check", &checks.map(|c| c.json()));
}

#[test]
fn style_first_is_as_described() {
    let (parts, classes) = library(None).unwrap_or_else(|e| panic!("{e:#?}"));
    let answers = ["nano", "free", "any", "20", "many", "class"].map(str::to_owned);
    let wishes = Wishes::of(&answers, &classes).unwrap_or_else(|e| panic!("{e:#?}"));
    let names = StartNames {
        robot: "Newt",
        stem: "newt",
    };
    let numbers = [SEED, BOUTS.into()];
    let first = with_work(|w| StyleFirst::of(&wishes, names, parts, None, numbers, w));
    let first = first.unwrap_or_else(|e| panic!("{e:#?}"));
    described::<StyleFirst>("start", &[first.json()]);
}

#[test]
fn a_record_is_as_described() {
    let spar = with_work(|w| Spar::fight(&demo(), SEED, BOUTS, w)).expect("it has a field");
    described::<Spar>("spar", &[spar.json()]);
}

#[test]
fn stated_faults_give_a_second_line_beside_the_record_without_them() {
    let mut s = demo();
    let plain = with_work(|w| Spar::fight(&s, SEED, BOUTS, w)).expect("it has a field");
    assert!(
        plain.with_faults.is_none() && !plain.text(Layout::default()).contains("With its faults")
    );
    let rate = quantity::Figure::derived(1.0, "false-start");
    s.robot.faults.rates = vec![(robot::Fault::FalseStart, rate)];
    let faulty = with_work(|w| Spar::fight(&s, SEED, BOUTS, w)).expect("it has a field");
    assert_eq!(faulty.record, plain.record, "the first line stays");
    let second = faulty.with_faults.as_ref().expect("rates are stated");
    assert_eq!(
        (second.bouts, second.losses),
        (BOUTS, BOUTS),
        "every start is early"
    );
    assert_eq!(second.by_fault, BOUTS);
    let text = faulty.text(Layout::default());
    assert!(text.contains("With its faults (false-start 100"), "{text}");
    described::<Spar>("spar", &[plain.json(), faulty.json()]);
}

#[test]
fn a_what_if_is_as_described() {
    let whatif = with_work(|w| WhatIf::fight(&demo(), SEED, BOUTS, EFFORT, w));
    described::<WhatIf>("whatif", &[whatif.expect("it has a field").json()]);
}

#[test]
fn a_bout_is_as_described() {
    let s = demo();
    let mut bouts: Vec<String> = (0..4)
        .map(|k| Tale::tell(&s.robot, &s.field[0].robot, &s.class, SEED, k, None))
        .map(|t| t.expect("both programs read").json())
        .collect();
    // It built this test, so it is there; it says its version, which is no answer.
    let drive = Drive::asked("rustc --version", "20 s", Arc::default()).expect("it is a time");
    let theirs = &s.field[0].robot;
    let driven = Tale::driven(&s.robot, theirs, &s.class, SEED, 0, None, &drive);
    let driven = driven.unwrap_or_else(|e| panic!("{e:#?}"));
    assert!(driven.failed() && driven.ending.winner.is_none());
    bouts.push(driven.json());
    described::<Tale>("bout", &bouts);
}

#[test]
fn a_wiring_is_as_described() {
    let plans = ["demo", "mini/bellows", "nano/tick"].map(|robot| {
        let setting = Setting::load(robot, None, None).unwrap_or_else(|e| panic!("{e:#?}"));
        WiringPlan::of(&setting).json()
    });
    described::<WiringPlan>("wiring", &plans);
}

#[test]
fn pages_are_as_described() {
    let setting = demo();
    let page = |name: &str| report::Page::named(name).unwrap_or_else(|e| panic!("{e:#?}"));
    let pages = [
        page("grip").json(),
        page("edge-too-fast")
            .on(&report::Examined::of(&setting))
            .json(),
    ];
    described::<report::Page>("page", &pages);
}

#[test]
fn the_lists_are_as_described() {
    let (parts, classes) = library(None).unwrap_or_else(|e| panic!("{e:#?}"));
    let sources = report::LANGUAGES.map(|(language, _)| {
        let source = ProgramSource::of(&demo(), language);
        source.unwrap_or_else(|e| panic!("{e:#?}")).json()
    });
    described::<ProgramSource>("source", &sources);
    let projects = ["atmega328p", "stm32f103", "esp32"].map(|board| {
        let project = ControllerProject::of(&demo(), board);
        project.unwrap_or_else(|e| panic!("{e:#?}")).json()
    });
    described::<ControllerProject>("firmware", &projects);
    let boards = ProjectBoards::of(parts.boards());
    described::<ProjectBoards>("firmware-boards", &[boards.json()]);
    let program = concat!(env!("CARGO_MANIFEST_DIR"), "/../../robots/demo.tactic");
    let formatted = Formatted::of(program).unwrap_or_else(|e| panic!("{e:#?}"));
    assert!(!formatted.changed);
    described::<Formatted>("formatted", &[formatted.json()]);
    let pictures = ["demo", "mini/magpie"].map(|name| ProgramPicture::of(name, None));
    let pictures = pictures.map(|p| p.unwrap_or_else(|e| panic!("{e:#?}")).json());
    described::<ProgramPicture>("program", &pictures);
    let trace = Trace::of(&demo(), "tests/pebble.csv", TraceOptions::default());
    let trace = trace.unwrap_or_else(|e| panic!("{e:#?}"));
    assert!(trace.differs.is_some(), "the last row is wrong");
    described::<Trace>("trace", &[trace.json()]);
    described::<ClassList>("classes", &[ClassList::of(&classes).json()]);
    let pages = classes.iter().map(|c| ClassPage::of(&c.name, None));
    let pages: Vec<String> = pages
        .map(|p| p.unwrap_or_else(|e| panic!("{e:#?}")).json())
        .collect();
    described::<ClassPage>("class", &pages);
    let both = [("mini", "micro", Some("demo")), ("mini", "mini", None)];
    let both = both.map(|(from, to, robot)| ClassComparison::of(from, to, robot, None));
    let both = both.map(|c| c.unwrap_or_else(|e| panic!("{e:#?}")).json());
    described::<ClassComparison>("class-comparison", &both);
    let list = PartList::of(&parts, None).unwrap_or_else(|e| panic!("{e:#?}"));
    described::<PartList>("parts", &[list.json()]);
    let boards = parts.boards();
    described::<BoardList>("boards", &[BoardList::of(boards).json()]);
    let pages = boards.iter().map(|s| BoardPage::of(boards, &s.name));
    let pages: Vec<String> = pages.map(|p| p.expect("it is there").json()).collect();
    described::<BoardPage>("board", &pages);
    let robots = store::field("mini", &parts, None).unwrap_or_else(|e| panic!("{e:#?}"));
    let list = FieldList::of("mini", robots, None).unwrap_or_else(|e| panic!("{e:#?}"));
    described::<FieldList>("field", &[list.json()]);
}

#[track_caller]
fn has(value: &Value, keys: &[&str]) {
    for key in keys {
        assert!(value.get(key).is_some(), "no {key} in {value:#}");
    }
}

/// The items of a list that must not be empty: an empty one would show nothing.
#[track_caller]
fn items<'v>(value: &'v Value, key: &str) -> &'v [Value] {
    let list = value[key].as_array().expect("it is a list");
    assert!(!list.is_empty(), "{key} is empty");
    list
}

#[test]
fn a_report_keeps_the_fields_that_scripts_rely_on() {
    let r = value(&answer().json());
    has(
        &r,
        &[
            "schema",
            "robot",
            "class",
            "seed",
            "legal",
            "inspection",
            "findings",
            "record",
        ],
    );
    has(&r, &["losses", "changes", "unknowns"]);
    for row in items(&r, "inspection") {
        has(row, &["rule", "unit", "limit", "ours", "margin", "verdict"]);
    }
    for finding in items(&r, "findings") {
        has(
            finding,
            &["name", "severity", "what", "why", "mend", "file", "line"],
        );
    }
    let record = &r["record"];
    has(record, &["bouts", "wins", "losses", "ties"]);
    has(&record["win_rate"], &["estimate", "low", "high"]);
    for row in items(record, "per_opponent") {
        has(
            row,
            &["opponent", "bouts", "wins", "losses", "ties", "win_rate"],
        );
    }
    for loss in items(&r, "losses") {
        has(loss, &["cause", "count"]);
        has(&loss["example"], &["opponent", "bout", "seed"]);
    }
    for change in items(&r, "changes") {
        has(change, &["change", "bouts"]);
        has(&change["win_rate_change"], &["estimate", "low", "high"]);
    }
    items(&r, "unknowns");
    assert!(r.get("timing").is_none(), "a time nobody asked for");
}

fn whole(value: &Value, key: &str) -> u64 {
    value[key].as_u64().expect("it is a count")
}

#[test]
fn wins_losses_and_ties_add_up_over_opponents_and_causes() {
    let r = value(&answer().json());
    let record = &r["record"];
    let rows = items(record, "per_opponent");
    for row in rows.iter().chain([record]) {
        let ended = whole(row, "wins") + whole(row, "losses") + whole(row, "ties");
        assert_eq!(ended, whole(row, "bouts"), "{row:#}");
    }
    for key in ["bouts", "wins", "losses", "ties"] {
        let sum: u64 = rows.iter().map(|o| whole(o, key)).sum();
        assert_eq!(sum, whole(record, key), "{key}");
    }
    assert_eq!(
        whole(record, "bouts") + whole(record, "failed"),
        u64::from(BOUTS)
    );
    for key in ["losses", "ties"] {
        let causes = r[key].as_array().expect("it is a list");
        let sum: u64 = causes.iter().map(|c| whole(c, "count")).sum();
        assert_eq!(sum, whole(record, key), "{key} by cause");
    }
    let rate = &record["win_rate"];
    let [low, estimate, high] =
        ["low", "estimate", "high"].map(|k| rate[k].as_f64().expect("a number"));
    assert!(0.0 <= low && low <= estimate && estimate <= high && high <= 1.0);
}

/// Significant digits of every number with a fraction or an exponent in `json`, outside strings.
fn digits(json: &str) -> Vec<(String, usize)> {
    let outside: String = json
        .replace("\\\"", "")
        .split('"')
        .step_by(2)
        .collect::<Vec<_>>()
        .join(" ");
    outside
        .split(|c: char| !(c.is_ascii_alphanumeric() || "+-.".contains(c)))
        .filter(|w| w.contains('.') || w.contains('e') && w.parse::<f64>().is_ok())
        .map(|w| {
            let mantissa = w.split(['e', 'E']).next().unwrap_or_default();
            let all = mantissa.replace(['.', '-'], "");
            let significant = all.trim_start_matches('0').trim_end_matches('0').len();
            (w.to_owned(), significant)
        })
        .collect()
}

#[test]
fn no_number_has_more_than_six_significant_digits() {
    assert_eq!(digits("{\"a1.23456789\": [-0.0123450, 1.2e-7]}").len(), 2);
    assert_eq!(digits("[0.01234567]"), [("0.01234567".to_owned(), 7)]);
    let s = demo();
    let tale = Tale::tell(&s.robot, &s.field[0].robot, &s.class, SEED, 0, None);
    let (parts, _) = library(None).unwrap_or_else(|e| panic!("{e:#?}"));
    let list = PartList::of(&parts, None).unwrap_or_else(|e| panic!("{e:#?}"));
    let outputs = [
        answer().json(),
        Check::of(&s).json(),
        tale.expect("both programs read").json(),
        list.json(),
    ];
    for output in outputs {
        let all = digits(&output);
        assert!(all.len() > 10, "{}", all.len());
        let long: Vec<_> = all.iter().filter(|n| n.1 > 6).collect();
        assert!(long.is_empty(), "{long:?}");
    }
}
