//! What each command prints, word for word. After a change that is meant to show, look at every
//! difference and accept it with `cargo insta review` or INSTA_UPDATE=always.

use std::sync::atomic::AtomicBool;

use report::{
    Amount, Answer, Check, ClassList, Effort, FieldList, Layout, PartList, ProgramPicture, Setting,
    Spar, Tale, Trace, TraceOptions, WhatIf, Work,
};
use runner::Runner;

/// Few bouts: the snapshots are about words, not about rates.
const BOUTS: u32 = 48;
const EFFORT: Effort = Effort {
    changes: 6,
    pairs: 24,
};

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

fn snapshot(name: &str, text: &str) {
    let too_wide = text
        .lines()
        .find(|l| l.chars().count() > 100 && !l.contains("ringwright "));
    assert_eq!(too_wide, None, "wider than the terminal");
    insta::assert_snapshot!(name, text);
}

#[test]
fn report() {
    let amount = Amount {
        bouts: BOUTS,
        effort: EFFORT,
    };
    let setting = demo();
    let answer = with_work(|w| Answer::to(&setting, 1, amount, w)).expect("it has a field");
    snapshot("report", &answer.text(Layout::default()));
}

#[test]
fn check() {
    snapshot("check", &Check::of(&demo()).text(Layout::default()));
}

#[test]
fn check_of_a_robot_in_a_class_it_is_too_large_for() {
    let setting = Setting::load("demo", Some("micro"), None).unwrap_or_else(|e| panic!("{e:#?}"));
    snapshot(
        "check-not-legal",
        &Check::of(&setting).text(Layout::default()),
    );
}

#[test]
fn spar() {
    let setting = demo();
    let spar = with_work(|w| Spar::fight(&setting, 1, BOUTS, w)).expect("it has a field");
    snapshot("spar", &spar.text(Layout::default()));
}

#[test]
fn whatif() {
    let setting = demo();
    let whatif = with_work(|w| WhatIf::fight(&setting, 1, BOUTS, EFFORT, w));
    snapshot(
        "whatif",
        &whatif.expect("it has a field").text(Layout::default()),
    );
}

#[test]
fn bout() {
    let setting = demo();
    let theirs = &setting.field[0].robot;
    let tale =
        Tale::tell(&setting.robot, theirs, &setting.class, 1, 3, None).expect("both compile");
    snapshot("bout", &tale.text(Layout::default()));
    insta::assert_snapshot!("bout-picture", tale.svg());
}

#[test]
fn program() {
    let program = ProgramPicture::of("mini/magpie", None).unwrap_or_else(|e| panic!("{e:#?}"));
    snapshot("program", &program.text(Layout::default()));
    insta::assert_snapshot!("program-picture", program.svg());
}

#[test]
fn trace() {
    let told = |file: &str| Trace::of(&demo(), file, TraceOptions::default());
    let trace = told("tests/pebble.csv").unwrap_or_else(|e| panic!("{e:#?}"));
    snapshot("trace", &trace.text(Layout::default()));
    let wrong = told("tests/broken.csv").expect_err("it is wrong");
    let shown = report::trouble(&wrong, Layout::default());
    insta::assert_snapshot!("trouble-readings", shown);
}

#[test]
fn lists() {
    let (parts, classes) = report::library(None).unwrap_or_else(|e| panic!("{e:#?}"));
    let list = ClassList::of(&classes);
    snapshot("classes", &list.text(Layout::default(), &classes));
    let wheels = PartList::of(&parts, Some("wheel")).expect("there are wheels");
    snapshot("parts-wheel", &wheels.text(Layout::default()));
    let robots = store::field("mini", &parts, None).unwrap_or_else(|e| panic!("{e:#?}"));
    let field = FieldList::of("mini", robots, None).unwrap_or_else(|e| panic!("{e:#?}"));
    snapshot("field", &field.text(Layout::default()));
}

#[test]
fn explain() {
    let page = report::explain("edge-too-fast", Layout::default()).expect("it is there");
    snapshot("explain", &page);
    snapshot("explain-contents", &report::contents(Layout::default()));
}

#[test]
fn new() {
    let (_, classes) = report::library(None).unwrap_or_else(|e| panic!("{e:#?}"));
    let mini = classes.find("mini").expect("it is there");
    let [(_, robot), (_, tactic)] =
        report::starting_files("Newt", "pusher", mini, "newt").expect("there is one");
    insta::assert_snapshot!("new-robot", robot);
    insta::assert_snapshot!("new-tactic", tactic);
}

#[test]
fn what_is_wrong_is_shown_where_it_stands() {
    let said = |robot: &str, class: Option<&str>| {
        let error = Setting::load(robot, class, None).expect_err("it is wrong");
        report::trouble(&error, Layout::default())
    };
    let broken = "tests/broken.toml";
    insta::assert_snapshot!("trouble-file", said(broken, None));
    insta::assert_snapshot!("trouble-name", said("mini/lapwin", None));
    insta::assert_snapshot!("trouble-class", said("demo", Some("minni")));
}

/// Every name that can be printed has a page.
#[test]
fn every_finding_of_every_built_in_robot_can_be_explained() {
    let names = report::explained_names();
    for robot in store::robot_names() {
        let setting = Setting::load(&robot, None, None).unwrap_or_else(|e| panic!("{e:#?}"));
        for f in Check::of(&setting).findings {
            assert!(names.contains(&f.name), "{robot}: {}", f.name);
        }
    }
}
