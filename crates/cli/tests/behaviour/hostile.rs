//! Robot files from others cannot drive the terminal or break a picture.

use std::path::Path;

use crate::{Ran, call_in, folder, newt};

/// Clears the screen, sets the window's title, rings, moves the cursor back (7- and 8-bit forms),
/// and what a picture would take for a tag.
const NAME: &str = r#"E\u001b[2J\u001b]0;x\u0007\b\u009b1m<&\u0000l\"'>"#;

#[track_caller]
fn is_tame(ran: &Ran) {
    for text in [&ran.stdout, &ran.stderr] {
        let wild = text.chars().find(|c| c.is_control() && *c != '\n');
        assert_eq!(wild, None, "{text:?}");
    }
    assert!(!ran.stderr.contains("panicked"), "{}", ran.stderr);
}

fn hostile(name: &str) -> std::path::PathBuf {
    let folder = folder(name);
    newt(&folder, |t| {
        t.replacen("\"Newt\"", &format!("\"{NAME}\""), 1)
    });
    folder
}

fn run_all(folder: &Path, commands: &[&[&str]]) {
    for command in commands {
        is_tame(&call_in(folder, command));
        is_tame(&call_in(folder, &[command, &["--json"][..]].concat()));
    }
}

#[test]
fn a_robots_name_cannot_drive_the_terminal() {
    let folder = hostile("hostile-name");
    run_all(
        &folder,
        &[
            &["check", "newt.toml"],
            &["report", "newt.toml", "--bouts", "6"],
            &["spar", "newt.toml", "--bouts", "6"],
            &["whatif", "newt.toml", "--bouts", "6"],
            &["bout", "newt.toml", "demo"],
            &["bout", "demo", "newt.toml"],
        ],
    );
}

#[test]
fn errors_about_hostile_texts_are_tame() {
    let folder = folder("hostile-errors");
    newt(&folder, |t| {
        let section = format!("[size]\n\"{NAME}\" = \"{NAME}\"\nraw = \"\u{9b}1m\"");
        t.replacen("[size]", &section, 1).replacen(
            "class = \"mini\"",
            &format!("class = \"{NAME}\""),
            1,
        )
    });
    let wild = "no\u{1b}[2J\u{9b}such";
    run_all(
        &folder,
        &[
            &["check", "newt.toml"],
            &["check", wild],
            &["check", "--class", wild],
            &["check", "--home", wild],
            &["parts", wild],
            &["field", "--class", wild],
            &["explain", wild],
            &["new", "Newt", "--style", wild, "--out", "n.toml"],
            &["new", "Newt", "--out", "no\u{1b}/n.toml"],
        ],
    );
}

#[test]
fn a_picture_of_a_robot_with_a_hostile_name_is_well_formed() {
    let folder = hostile("hostile-picture");
    let ran = call_in(&folder, &["bout", "newt.toml", "demo", "--svg", "bout.svg"]);
    // A name that cannot be used may be refused; one that is used must not break anything.
    if ran.status == Some(0) {
        let text = crate::read(&folder.join("bout.svg"));
        roxmltree::Document::parse(&text).unwrap_or_else(|e| panic!("{e}"));
    } else {
        ran.is_refused();
    }
}
