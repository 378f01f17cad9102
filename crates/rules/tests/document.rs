//! `docs/class-file.md` and the reader of class files say the same.

use std::collections::BTreeSet;

use rules::{Class, Classes};

const DOCUMENT: &str = include_str!("../../../docs/class-file.md");
const HEAD: &str = "title = \"T\"\ninherits = \"mini\"\n";
const SOURCE: &str = "[sources.t]\ntitle = \"T\"\nfound = \"\"\ndate = \"\"\n";

/// Sections that the document describes, where the reader is asked, and the chapter they are in.
const SECTIONS: &[(&str, &str)] = &[
    ("", "The file"),
    ("[sources.x]", "A source"),
    ("[robot]", "`robot`"),
    ("[kits]", "`kits`"),
    ("[bans.x]", "`bans`"),
    ("[ring]", "`ring`"),
    ("[ring.placing]", "`ring`"),
    ("[ring.surface]", "`ring`"),
    ("[bout]", "`bout`"),
    ("[bout.start]", "`bout`"),
    ("[judging]", "`judging`"),
    ("[judging.out]", "`judging`"),
    ("[judging.fallen]", "`judging`"),
    ("[judging.early-start]", "`judging`"),
    ("[judging.stuck]", "`judging`"),
];

fn classes() -> Classes {
    Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"))
}

/// What the reader would take in `section` instead of a key or a section nobody knows: it says so itself.
fn known(section: &str) -> BTreeSet<String> {
    let unknown = if section.is_empty() {
        vec![
            format!("{HEAD}qqq = 1\n{SOURCE}"),
            format!("{HEAD}{SOURCE}[qqq]\n"),
        ]
    } else {
        vec![format!("{HEAD}{SOURCE}{section}\nqqq = 1\n")]
    };
    unknown
        .iter()
        .flat_map(|text| instead_of_qqq(text))
        .collect()
}

fn instead_of_qqq(text: &str) -> Vec<String> {
    let issues = Class::read("t.toml", text, &classes()).expect_err("nobody knows it");
    let unknown = issues.iter().find(|i| i.what.contains("qqq"));
    let words = &unknown.unwrap_or_else(|| panic!("{issues:#?}")).expected;
    let words = words.trim_start_matches("one of ").split(", ");
    let plain = words.map(|w| w.trim_matches(|c| c == '[' || c == ']' || c == '"'));
    plain
        .map(|w| w.rsplit('.').next().unwrap_or(w).to_owned())
        .collect()
}

fn chapter(heading: &str) -> &'static str {
    let after = DOCUMENT.split(&format!("\n## {heading}\n")).nth(1);
    let after = after.unwrap_or_else(|| panic!("no chapter {heading}"));
    after.split("\n## ").next().unwrap_or_default()
}

#[test]
fn the_document_describes_every_key_the_reader_knows() {
    let figure = chapter("A figure");
    let mut seen = 0;
    for (section, heading) in SECTIONS {
        for key in known(section) {
            let word = format!("`{key}`");
            let told = chapter(heading).contains(&word)
                || chapter(heading).contains(&format!("`{key} = "))
                || figure.contains(&word);
            assert!(told, "{key} of {section} in {heading}");
            seen += 1;
        }
    }
    // 11 of the file, 3 of a source, 12 of a robot, 18 of a ring, 7 of a bout, 10 of the judge, and more.
    assert!(seen > 75, "{seen}");
}

#[test]
fn the_reader_knows_every_key_of_the_documents_tables() {
    let mut seen = 0;
    for (heading, sections) in [
        ("The file", &[""][..]),
        ("A source", &["[sources.x]"]),
        (
            "A figure",
            &[
                "[ring.border]",
                "[ring.border.qqq]",
                "[robot.mass]",
                "[robot.least-mass]",
                "[robot.edge-radius]",
            ],
        ),
        ("`robot`", &["[robot]"]),
        ("`kits`", &["[kits]"]),
        ("`bans`", &["[bans.x]"]),
        ("`ring`", &["[ring]"]),
        ("`bout`", &["[bout]"]),
        ("`judging`", &["[judging]"]),
    ] {
        let reader: BTreeSet<String> = sections.iter().flat_map(|s| known(s)).collect();
        for row in chapter(heading)
            .lines()
            .filter_map(|l| l.strip_prefix("| `"))
        {
            let key = row.split('`').next().unwrap_or_default();
            assert!(reader.contains(key), "{key} of {heading}: {reader:?}");
            seen += 1;
        }
    }
    assert!(seen > 70, "{seen}");
}

#[test]
fn the_examples_of_the_document_are_read() {
    let blocks = DOCUMENT.split("```toml\n").skip(1);
    let blocks: Vec<&str> = blocks.filter_map(|b| b.split("```").next()).collect();
    let whole = blocks.first().expect("an example of a whole file");
    let class = Class::read("ours.toml", whole, &classes()).unwrap_or_else(|e| panic!("{e:#?}"));
    assert!((class.ring.border_m.value - 0.010).abs() < 1e-12);
    assert!((class.robot.scale_error_kg(0.5) - 0.002).abs() < 1e-12);
    let other = blocks.get(1).expect("what another book says");
    let text = format!(
        "{HEAD}{SOURCE}[ring.height]\nvalue = \"25 mm\"\nsource = \"t\"\nwording = \"w\"\n{other}"
    );
    let class = Class::read("t.toml", &text, &classes()).unwrap_or_else(|e| panic!("{e:#?}"));
    assert_eq!(class.ring.height_m.elsewhere.len(), 1);
    assert!((class.ring.height_m.elsewhere[0].value - 0.019).abs() < 1e-12);
}
