//! Slips in a robot file: a unit mistaken by a factor of a thousand, a sign, a nought, the unit of
//! something else. None ends in a panic, and nearly all are told.

use std::collections::BTreeSet;

use robot::{Issue, PartsBox, Robot};
use rules::{Class, Classes, Verdict};

/// What came of reading a file.
enum Came {
    Refused(Vec<Issue>),
    /// Names of broken rules and findings.
    Told(BTreeSet<String>),
}

struct Bench {
    parts: PartsBox,
    class: Class,
}

impl Bench {
    fn of(class: &str) -> Self {
        let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
        Self {
            parts: PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}")),
            class: classes.find(class).expect("it is there").clone(),
        }
    }

    fn read(&self, text: &str) -> Result<Robot, Vec<Issue>> {
        let lookup = |name: &str| {
            shelf::file(&format!("robots/{name}"))
                .or_else(|| shelf::file(&format!("robots/tactics/{name}")))
        };
        robot::read("slip.toml", text, &self.parts, &lookup)
    }

    fn came(&self, text: &str) -> Came {
        let robot = match self.read(text) {
            Ok(robot) => robot,
            Err(issues) => return Came::Refused(issues),
        };
        let t = &robot.tactic;
        let tactic = tactic::parse(&t.file, &t.text).unwrap_or_else(|e| panic!("{e:#?}"));
        let inspection = rules::inspect(&robot, &self.class);
        let broken = inspection
            .rows
            .iter()
            .filter(|r| r.verdict == Verdict::Fail);
        let mut told: BTreeSet<String> = broken.map(|r| r.rule.clone()).collect();
        let paper = paper::examine(&robot, &self.class, &tactic, &self.parts);
        let findings = inspection.findings.iter().chain(&paper.findings);
        told.extend(findings.map(|f| f.name.to_owned()));
        Came::Told(told)
    }
}

/// The ways to slip.
const SLIPS: [&str; 5] = ["x1000", "/1000", "negative", "zero", "wrong unit"];

/// `"43 +- 1 mm"` slipped; none where it makes no other text.
fn slipped(quantity: &str, slip: &str) -> Option<String> {
    let end = quantity
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .unwrap_or(quantity.len());
    let (number, rest) = quantity.split_at(end);
    let value: f64 = number.parse().ok()?;
    let number = match slip {
        "x1000" => format!("{}", value * 1000.0),
        "/1000" => format!("{}", value / 1000.0),
        "negative" => format!("{}", -value),
        "zero" => "0".to_owned(),
        _ => {
            let unit = rest.trim_start_matches(|c: char| !c.is_alphabetic());
            let other = if unit == "V" { "A" } else { "V" };
            return Some(format!("{number} {other}"));
        }
    };
    let text = format!("{number}{rest}");
    (text != quantity && value != 0.0).then_some(text)
}

/// Every quantity in quotes of a line, as ranges.
fn quoted(line: &str) -> Vec<(usize, usize)> {
    let marks: Vec<usize> = line.match_indices('"').map(|m| m.0).collect();
    let pairs = marks.chunks_exact(2).map(|p| (p[0] + 1, p[1]));
    let number = |r: &(usize, usize)| {
        let text = &line[r.0..r.1];
        let digits = text.trim_start_matches('-');
        digits.starts_with(|c: char| c.is_ascii_digit())
    };
    pairs.filter(number).collect()
}

/// What came of all slips in one robot's file.
#[derive(Default)]
struct Count {
    refused: usize,
    told: usize,
    /// Lines after which nothing was said.
    silent: Vec<String>,
    /// Lines a thousand times off that were refused without the right figure.
    unhelped: Vec<String>,
    thousands: usize,
}

/// Slips every quantity of the file once in each way; like keys of like sections once.
fn slip_all(class: &str, name: &str) -> Count {
    let b = Bench::of(class);
    let text = shelf::file(&format!("robots/{name}.toml")).expect("it is there");
    let Came::Told(before) = b.came(&text) else {
        panic!("{name} reads")
    };
    let lines: Vec<&str> = text.lines().collect();
    let (mut section, mut seen, mut count) = ("", BTreeSet::new(), Count::default());
    for (k, line) in lines.iter().enumerate() {
        if line.starts_with('[') {
            section = line;
        }
        let key = line.split(" = ").next().unwrap_or_default();
        let quantities = quoted(line).into_iter().enumerate();
        for (n, (from, to)) in quantities.filter(|_| !line.starts_with('#')) {
            if !seen.insert((section, key, n)) {
                continue;
            }
            for slip in SLIPS {
                let Some(other) = slipped(&line[from..to], slip) else {
                    continue;
                };
                let slipped = format!("{}{other}{}", &line[..from], &line[to..]);
                let mut changed = lines.clone();
                changed[k] = &slipped;
                let shown = format!("{section} {slipped} ({slip})");
                let thousand = slip.contains("1000");
                count.thousands += usize::from(thousand);
                match b.came(&changed.join("\n")) {
                    Came::Refused(issues) => {
                        count.refused += 1;
                        let right = |i: &Issue| i.suggestion.as_deref() == Some(*line);
                        if thousand && !issues.iter().any(right) {
                            count.unhelped.push(shown);
                        }
                    }
                    Came::Told(told) if !told.is_subset(&before) => count.told += 1,
                    Came::Told(_) => count.silent.push(shown),
                }
            }
        }
    }
    count
}

/// Robots with a key of nearly every kind between them.
const SLIPPED: [(&str, &str); 3] = [
    ("mini", "demo"),
    ("mini", "mini/crowbar"),
    ("mega", "mega/limpet"),
];

#[test]
fn a_slip_never_ends_in_a_panic_and_is_told_unless_it_could_be_meant() {
    for (class, name) in SLIPPED {
        let c = slip_all(class, name);
        let all = c.refused + c.told + c.silent.len();
        println!(
            "{name}: {all} slips, {} refused, {} told, {} silent; {} of {} thousandfold ones without \
             the right figure",
            c.refused,
            c.told,
            c.silent.len(),
            c.unhelped.len(),
            c.thousands
        );
        // A wrong unit is always refused, and nothing outside a place stays silent: a part may stand on
        // the other side, in the middle, or on the ring, and a blade may be ground to nothing.
        for line in &c.silent {
            let place = [" at = [", " hinge = [", " tip-height = ", " edge = \"0 "];
            assert!(place.iter().any(|p| line.contains(p)), "{name}: {line}");
            assert!(!line.ends_with("(wrong unit)"), "{name}: {line}");
        }
        // Measured: see what is printed.
        assert!(10 * c.silent.len() < 3 * all, "{name}: {:#?}", c.silent);
        assert!(
            4 * c.unhelped.len() < c.thousands,
            "{name}: {:#?}",
            c.unhelped
        );
    }
}
