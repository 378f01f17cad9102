//! Mistakes that beginners make, one robot file each: does the check name them first?

use std::path::Path;

use report::{Check, Layout, Setting, Trouble};

/// How many findings a reader reads at once.
const FIRST: usize = 3;
/// Of the twelve, this many must be named among the first findings.
const LEAST: usize = 10;

/// The file, and the findings that name its mistake; or, for what a file cannot mean, a word of the
/// error and of its suggestion.
const MISTAKES: [(&str, &[&str]); 12] = [
    ("blade-past-the-limit", &["too-long"]),
    ("blind-behind", &["no-edge-sensor-behind"]),
    ("driver-too-weak", &["driver-limits-push"]),
    ("edge-sensors-behind-the-axle", &["no-edge-sensor-ahead"]),
    ("edge-sensors-too-high", &["edge-threshold"]),
    ("grams-for-kilograms", &["over-mass", "0.06 kg"]),
    ("mass-left-over", &["mass-unused"]),
    ("pin-twice", &["pin-used-twice"]),
    ("sensor-nobody-asks", &["sensor-never-read"]),
    ("weight-behind-the-wheels", &["rests-on-body"]),
    ("weight-on-the-nose", &["light-on-wheels"]),
    ("wheels-too-big", &["motors-stall-first"]),
];

fn load(name: &str) -> Result<Setting, Trouble> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/mistakes");
    let file = folder.join(format!("{name}.toml"));
    Setting::load(file.to_str().expect("a path of letters"), None, None)
}

/// What a reader is told first, in order: names of findings, or the errors of a file that cannot be
/// meant.
fn told(name: &str) -> Vec<String> {
    match load(name) {
        Ok(setting) => {
            let check = Check::of(&setting);
            check.findings.into_iter().map(|f| f.name).collect()
        }
        Err(trouble @ Trouble::Files(_)) => vec![report::trouble(&trouble, Layout::default())],
        Err(other) => panic!("{name}: {other:?}"),
    }
}

#[test]
fn the_robot_the_mistakes_are_planted_in_has_none_of_them() {
    let found = told("sound");
    for (file, names) in MISTAKES {
        assert!(
            !found.iter().any(|f| names.contains(&f.as_str())),
            "{file}: {found:?}"
        );
    }
}

#[test]
fn the_finding_that_names_the_mistake_is_among_the_first_three() {
    let mut named = 0;
    let mut table = String::new();
    for (file, names) in MISTAKES {
        let told = told(file);
        let is_named = |t: &String| {
            names
                .iter()
                .any(|n| t == n || t.contains(&format!("\"{n}\"")))
        };
        let place = told.iter().position(is_named);
        let words = match place {
            Some(k) if told[k].contains('\n') => "refused, with the right figure".to_owned(),
            Some(k) => format!("place {} of {}: {}", k + 1, told.len(), told[k]),
            None => format!("not named: {told:?}"),
        };
        table.push_str(&format!("{file:<30} {words}\n"));
        named += usize::from(place.is_some_and(|k| k < FIRST));
    }
    println!(
        "{table}{named} of {} among the first {FIRST}",
        MISTAKES.len()
    );
    assert!(named >= LEAST, "{named} of {}\n{table}", MISTAKES.len());
}

/// A screen of text: columns and lines.
const COLUMNS: usize = 100;
const LINES: usize = 50;

#[test]
fn a_check_fits_into_two_screens_whatever_is_found() {
    let mut robots: Vec<Setting> = (MISTAKES.iter())
        .filter_map(|(f, _)| load(f).ok())
        .collect();
    robots.push(Setting::load("demo", None, None).expect("it loads"));
    // A class it was not built for: nearly every rule is broken.
    robots.push(Setting::load("demo", Some("nano"), None).expect("it loads"));
    for setting in robots {
        let text = Check::of(&setting).text(Layout::default());
        let lines = text.lines().count();
        assert!(lines <= 2 * LINES, "{lines} lines:\n{text}");
        for l in text.lines() {
            assert!(
                l.chars().count() <= COLUMNS || l.contains("ringwright "),
                "{l}"
            );
        }
        let whole = Check::of(&setting).whole(Layout::default());
        assert!(whole.lines().count() > lines, "--all says more");
    }
}
