//! Power and wiring of the demo and of robots with a mistake planted.

use robot::{Finding, PartsBox, Robot};
use rules::{Class, Classes};

use super::Power;

mod pins;
mod supply;

struct Bench {
    parts: PartsBox,
    class: Class,
}

fn bench(class: &str) -> Bench {
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    Bench {
        parts: PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}")),
        class: classes.find(class).expect("a class").clone(),
    }
}

impl Bench {
    fn read(&self, text: &str) -> Robot {
        let lookup = |_: &str| Some(String::new());
        robot::read("demo.toml", text, &self.parts, &lookup).unwrap_or_else(|e| panic!("{e:#?}"))
    }

    fn power(&self, robot: &Robot) -> Power {
        Power::of(robot, &self.class, None)
    }
}

/// The demo with lines added below the headers named, each once.
fn demo(lines: &[(&str, &str)]) -> (Robot, Power) {
    let mut text = shelf::file("robots/demo.toml").expect("the demo");
    for (header, line) in lines {
        assert!(text.contains(header), "{header}");
        text = text.replacen(header, &format!("{header}\n{line}"), 1);
    }
    let b = bench("mini");
    let robot = b.read(&text);
    let power = b.power(&robot);
    (robot, power)
}

fn found(lines: &[(&str, &str)]) -> Vec<Finding> {
    let (robot, power) = demo(lines);
    power.findings(&robot)
}

fn names(findings: &[Finding]) -> Vec<&'static str> {
    findings.iter().map(|f| f.name).collect()
}

/// The one finding of that name.
#[track_caller]
fn one(findings: &[Finding], name: &str) -> Finding {
    let all: Vec<&Finding> = findings.iter().filter(|f| f.name == name).collect();
    assert_eq!(all.len(), 1, "{name} among {:?}", names(findings));
    assert!(all[0].place.is_some(), "{name} has no place");
    all[0].clone()
}

const TOP: &str = "tactic = \"demo.tactic\"";
const BOARD: (&str, &str) = ("[board]", "board = \"atmega328p\"");
const ESP32: (&str, &str) = ("[board]", "board = \"esp32\"");
const CENTRE: &str = "name = \"centre\"";
const LEFT: &str = "name = \"left\"";
