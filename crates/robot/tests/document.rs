//! The document of the robot file: its robots read, its keys are the reader's, and what it says
//! happens to what is left out does happen.

use robot::{FigureLine, Issue, PartsBox, Robot};

const DOCUMENT: &str = include_str!("../../../docs/robot-file.md");

fn reading(text: &str) -> Result<Robot, Vec<Issue>> {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let lookup = |name: &str| shelf::file(&format!("robots/tactics/{name}"));
    robot::read("robot-file.md", text, &parts, &lookup)
}

/// The blocks of the document that are whole robots.
fn robots() -> Vec<&'static str> {
    let blocks = DOCUMENT.split("```toml robot\n").skip(1);
    blocks
        .map(|b| b.split("```").next().unwrap_or_default())
        .collect()
}

#[test]
fn every_whole_robot_reads_without_an_issue() {
    assert!(robots().len() >= 2);
    for text in robots() {
        reading(text).unwrap_or_else(|e| panic!("{e:#?}"));
    }
}

/// One of each section, as short as can be; `[[hull]]` and the types of sensor in all forms.
const SECTIONS: [(&str, &str); 35] = [
    (
        "[size]",
        "length = \"90 mm\"\nwidth = \"90 mm\"\nheight = \"50 mm\"\n",
    ),
    (
        "[[hull]]",
        "name = \"a box\"\nlength = \"62 mm\"\nwidth = \"60 mm\"\nfrom = \"4 mm\"\nto = \"50 mm\"\n",
    ),
    (
        "[[hull]]",
        "name = \"outlined\"\noutline = [[\"13 mm\", \"-40 mm\"], [\"13 mm\", \"40 mm\"], [\"-45 mm\", \"0 mm\"]]\nfrom = \"4 mm\"\nto = \"50 mm\"\n",
    ),
    (
        "[[part]]",
        "name = \"ballast\"\nmass = \"20 g\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
    (
        "[[motor]]",
        "name = \"a motor\"\nside = \"left\"\nmass = \"9 g\"\nrated-voltage = \"6 V\"\nno-load-speed = \"500 rpm\"\nstall-torque = \"100 mNm\"\nstall-current = \"1 A\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
    (
        "[[wheel]]",
        "name = \"a wheel\"\nmotor = \"a motor\"\nmass = \"9 g\"\ndiameter = \"30 mm\"\nwidth = \"9 mm\"\ngrip = 0.9\nat = [\"0 mm\", \"0 mm\"]\n",
    ),
    (
        "[[track]]",
        "name = \"a track\"\nmass = \"22 g\"\ndiameter = \"22 mm\"\nground-length = \"44 mm\"\nwidth = \"9 mm\"\ngrip = 0.9\nat = [\"0 mm\", \"10 mm\"]\n",
    ),
    (
        "[[skid]]",
        "name = \"ball\"\ntype = \"ball\"\nmass = \"8 g\"\nat = [\"-40 mm\", \"0 mm\"]\n",
    ),
    (
        "[[magnet]]",
        "name = \"puller\"\nmass = \"8 g\"\ngap = \"1 mm\"\npull = \"20 N\"\nat = [\"0 mm\", \"0 mm\"]\n",
    ),
    (
        "[blade]",
        "mass = \"9 g\"\ntip-x = \"45 mm\"\ntip-height = \"0 mm\"\nwidth = \"90 mm\"\nlength = \"30 mm\"\nangle = \"25 deg\"\nmount = \"sprung\"\n",
    ),
    (
        "[[gadget]]",
        "type = \"lifter\"\nname = \"tray\"\nmass = \"20 g\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\ntravel = \"40 deg\"\ntip-x = \"45 mm\"\ntip-height = \"2 mm\"\nwidth = \"40 mm\"\nlength = \"30 mm\"\nangle = \"10 deg\"\nrated-voltage = \"6 V\"\nno-load-speed = \"90 rpm\"\nstall-torque = \"0.5 N·m\"\nstall-current = \"1 A\"\n",
    ),
    (
        "[[gadget]]",
        "type = \"jack\"\nname = \"pole\"\nmass = \"20 g\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\ntravel = \"12 mm\"\nfoot = [\"-20 mm\", \"0 mm\", \"3 mm\"]\npinion-radius = \"6 mm\"\nrated-voltage = \"6 V\"\nno-load-speed = \"90 rpm\"\nstall-torque = \"0.5 N·m\"\nstall-current = \"1 A\"\n",
    ),
    (
        "[[gadget]]",
        "type = \"flap\"\nname = \"skirt\"\nmass = \"4 g\"\nat = [\"-40 mm\", \"0 mm\", \"8 mm\"]\ntravel = \"40 deg\"\ntip-x = \"-45 mm\"\ntip-height = \"0 mm\"\nfacing = \"180 deg\"\nwidth = \"60 mm\"\nlength = \"15 mm\"\nangle = \"30 deg\"\n",
    ),
    (
        "[[gadget]]",
        "type = \"arm\"\nname = \"feeler\"\nmass = \"10 g\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\ntravel = \"-90 deg\"\nhinge = [\"40 mm\", \"-40 mm\", \"5 mm\"]\ntip-x = \"45 mm\"\ntip-height = \"1 mm\"\nwidth = \"20 mm\"\nlength = \"25 mm\"\nangle = \"10 deg\"\nrated-voltage = \"6 V\"\nno-load-speed = \"90 rpm\"\nstall-torque = \"0.2 N·m\"\nstall-current = \"1 A\"\n",
    ),
    (
        "[battery]",
        "chemistry = \"NiMH\"\nmass = \"52 g\"\nvoltage = \"5 V\"\ncapacity = \"800 mAh\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
    (
        "[driver]",
        "mass = \"4 g\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
    (
        "[board]",
        "mass = \"4 g\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
    (
        "[[sensor]]",
        "name = \"reflectance\"\ntype = \"reflectance\"\nmass = \"2 g\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
    (
        "[[sensor]]",
        "name = \"range\"\ntype = \"range\"\nmass = \"2 g\"\nnearest = \"30 mm\"\nfarthest = \"400 mm\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
    (
        "[[sensor]]",
        "name = \"contact\"\ntype = \"contact\"\nmass = \"2 g\"\nwidth = \"30 mm\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
    (
        "[[sensor]]",
        "name = \"tilt\"\ntype = \"tilt\"\nmass = \"2 g\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
    (
        "[[sensor]]",
        "name = \"time-of-flight\"\ntype = \"time-of-flight\"\nmass = \"2 g\"\nfarthest = \"1 m\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
    (
        "[[sensor]]",
        "name = \"ultrasonic\"\ntype = \"ultrasonic\"\nmass = \"2 g\"\nfarthest = \"1 m\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
    (
        "[[sensor]]",
        "name = \"proximity\"\ntype = \"proximity\"\nmass = \"2 g\"\nfarthest = \"100 mm\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
    (
        "[[sensor]]",
        "name = \"turn-rate\"\ntype = \"turn-rate\"\nmass = \"2 g\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
    (
        "[[sensor]]",
        "name = \"wheel-speed\"\ntype = \"wheel-speed\"\nmass = \"2 g\"\nside = \"left\"\ncounts = 90\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
    ("[[wire]]", "name = \"start button\"\ntype = \"button\"\n"),
    ("[wiring]", "battery-wire = \"22 AWG\"\n"),
    (
        "[[frame.material]]",
        "name = \"my plastic\"\nmodulus = \"2 GPa\"\npoisson = 0.36\ndensity = \"1100 kg/m3\"\nstrength = \"40 MPa\"\n",
    ),
    (
        "[[frame.node]]",
        "name = \"front\"\nat = [\"40 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
    (
        "[[frame.node]]",
        "name = \"back\"\nat = [\"-40 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
    (
        "[[frame.member]]",
        "name = \"spine\"\nfrom = \"front\"\nto = \"back\"\nmaterial = \"my plastic\"\nsection = \"tube\"\nwidth = \"10 mm\"\nheight = \"10 mm\"\nwall = \"1 mm\"\n",
    ),
    ("[[frame.joint]]", "member = \"spine\"\nnode = \"front\"\n"),
    ("[[frame.hang]]", "part = \"battery\"\nnode = \"back\"\n"),
    (
        "[[sensor]]",
        "name = \"current\"\ntype = \"current\"\nmass = \"2 g\"\nside = \"left\"\nat = [\"0 mm\", \"0 mm\", \"8 mm\"]\n",
    ),
];

const TOP: &str = "name = \"R\"\nstyle = \"pusher\"\ntactic = \"charger.tactic\"\n";

/// A robot of all sections with `line` added in the section number `place`; past the last one,
/// `[put-down]` with that line.
fn with_line(place: usize, line: &str) -> String {
    let mut text = TOP.to_owned();
    for (k, (header, body)) in SECTIONS.iter().enumerate() {
        text += &format!("\n{header}\n{body}");
        if k == place {
            text += line;
        }
    }
    if place == SECTIONS.len() {
        text += &format!("\n[put-down]\n{line}");
    }
    text
}

/// The same without any hull, with `line` at its top.
fn without_hull(line: &str) -> String {
    let sections = SECTIONS.iter().filter(|s| s.0 != "[[hull]]");
    let sections: Vec<String> = sections.map(|(h, b)| format!("\n{h}\n{b}")).collect();
    format!("{TOP}{line}{}", sections.concat())
}

/// What the reader would take instead of a key or section nobody knows: it says so itself.
fn known(text: &str, kind: &str) -> Vec<String> {
    let issues = reading(text).expect_err("an unknown word");
    let what = format!("unknown {kind} \"qqq\"");
    let found = issues.iter().find(|i| i.what.starts_with(&what));
    let issue = found.unwrap_or_else(|| panic!("{issues:#?}"));
    let words = issue.expected.trim_start_matches("one of ");
    words.split(", ").map(str::to_owned).collect()
}

/// The chapter of a section, from its heading to the next.
fn chapter(heading: &str) -> &'static str {
    let from = DOCUMENT.split(&format!("\n## {heading}\n")).nth(1);
    let from = from.unwrap_or_else(|| panic!("no chapter {heading}"));
    from.split("\n## ").next().unwrap_or_default()
}

#[test]
fn every_key_the_reader_knows_is_described_in_its_chapter() {
    let shared = chapter("What all parts share");
    let mut seen = 0;
    let mut check = |heading: &str, keys: Vec<String>| {
        let own = chapter(heading);
        let item = ![
            "Top of the file",
            "`[size]`",
            "`[[hull]]`",
            "`[[wire]]`",
            "`[wiring]`",
            "`[[frame.material]]`",
            "`[[frame.node]]`",
            "`[[frame.member]]`",
            "`[[frame.joint]]`",
            "`[[frame.hang]]`",
            "`[put-down]`",
            "`[faults]`",
        ]
        .contains(&heading);
        for key in keys {
            let written = format!("`{key}`");
            let found = own.contains(&written) || (item && shared.contains(&written));
            assert!(found, "{key} in {heading}");
            seen += 1;
        }
    };
    check("Top of the file", known(&without_hull("qqq = 1\n"), "key"));
    for (k, (header, _)) in SECTIONS.iter().enumerate() {
        check(
            &format!("`{header}`"),
            known(&with_line(k, "qqq = 1\n"), "key"),
        );
    }
    check(
        "`[put-down]`",
        known(&with_line(SECTIONS.len(), "qqq = 1\n"), "key"),
    );
    let faults = format!("{}\n[faults]\nqqq = 1\n", without_hull(""));
    check("`[faults]`", known(&faults, "key"));
    assert!(seen > 127, "{seen}");
}

#[test]
fn every_section_the_reader_knows_has_a_chapter() {
    let sections = known(&without_hull("[qqq]\n"), "section");
    assert!(sections.len() >= 12, "{sections:?}");
    for section in sections {
        chapter(&format!("`{section}`"));
    }
}

/// Rows of the tables in a text: key, what is said of leaving it out, example.
fn rows(text: &'static str) -> Vec<(&'static str, &'static str, &'static str)> {
    let cells = |line: &'static str| -> Vec<&str> { line.split('|').map(str::trim).collect() };
    let rows = text.lines().filter(|l| l.starts_with("| `")).map(cells);
    rows.map(|c| (c[1].trim_matches('`'), c[3], c[4])).collect()
}

/// The tables that hold for the section number `place`.
fn tables(place: usize) -> &'static str {
    let Some((header, body)) = SECTIONS.get(place) else {
        return chapter("`[put-down]`");
    };
    let chapter = chapter(&format!("`{header}`"));
    let kinds = [
        "reflectance",
        "range",
        "time-of-flight",
        "ultrasonic",
        "proximity",
        "contact",
        "tilt",
        "turn-rate",
        "wheel-speed",
        "current",
        "lifter",
        "jack",
        "flap",
        "arm",
    ];
    let kind = kinds
        .into_iter()
        .find(|k| body.contains(&format!("type = \"{k}\"")));
    match kind {
        None => chapter,
        Some(kind) => {
            let own = chapter
                .split(&format!("\nType `{kind}`"))
                .nth(1)
                .expect("its table");
            own.split("\nType `").next().unwrap_or_default()
        }
    }
}

fn figures(text: &str) -> Vec<FigureLine> {
    let robot = reading(text).unwrap_or_else(|e| panic!("{e:#?}\n{text}"));
    robot.figures()
}

/// How far a typical value in the document may lie from the reader's: angles are rounded to whole
/// degrees in one and to milliradians in the other (worst 4.5 %: 6 degrees for 0.1 rad).
const ROUNDED: f64 = 0.05;

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= ROUNDED * a.abs().max(b.abs())
}

#[test]
fn what_is_left_out_gets_the_typical_value_the_document_names() {
    let mut compared = 0;
    let mut compare = |key: &str, written: &str, with: &str, without: &str| {
        let with = figures(with);
        let changed: Vec<_> = (figures(without).into_iter())
            .filter(|f| f.origin == quantity::Origin::Typical)
            .filter(|f| {
                with.iter()
                    .any(|w| w.path == f.path && w.origin == quantity::Origin::Stated)
            })
            .collect();
        assert_eq!(changed.len(), 1, "{key} = {written}: {changed:?}");
        let stated = with
            .iter()
            .find(|w| w.path == changed[0].path)
            .expect("found above");
        for (a, b) in [
            (stated.si, changed[0].si),
            (stated.unsure, changed[0].unsure),
            (stated.varies, changed[0].varies),
        ] {
            assert!(same(a, b), "{key} = {written}: {a}, typical {b}");
        }
        compared += 1;
    };
    let typical = |text: &str| {
        let inner = text.strip_prefix('`')?.strip_suffix('`')?;
        inner
            .starts_with(|c: char| c.is_ascii_digit())
            .then(|| inner.to_owned())
    };
    for place in 0..=SECTIONS.len() {
        for (key, left_out, _) in rows(tables(place)) {
            if let Some(written) = typical(left_out) {
                let line = format!("{key} = \"{written}\"\n");
                compare(
                    key,
                    &written,
                    &with_line(place, &line),
                    &with_line(SECTIONS.len(), ""),
                );
            }
        }
    }
    for (key, left_out, _) in rows(chapter("Top of the file")) {
        if let Some(written) = typical(left_out) {
            let line = format!("{key} = \"{written}\"\n");
            compare(key, &written, &without_hull(&line), &without_hull(""));
        }
    }
    assert!(compared >= 30, "{compared}");
}

#[test]
fn every_example_line_reads_in_its_section() {
    let mut tried = 0;
    let places = (0..=SECTIONS.len()).map(|p| (Some(p), tables(p)));
    let shared = chapter("What all parts share");
    let all = places.chain([(None, chapter("Top of the file")), (Some(3), shared)]);
    for (place, text) in all {
        for (key, _, example) in rows(text) {
            let example = example.trim_matches('`');
            // Keys of a `length`, `width` row come one by one in the sections themselves; a box
            // and an outline exclude each other.
            let body = place.and_then(|p| SECTIONS.get(p)).map_or(TOP, |s| s.1);
            let given = body.lines().any(|l| {
                l.starts_with(&format!(
                    "{} = ",
                    example.split(' ').next().unwrap_or_default()
                ))
            });
            let outlined = body.contains("outline");
            let of_a_box = ["length`, `width", "at"].contains(&key);
            // Needs another motor than its own: see `two_motors_turn_one_shaft`.
            let of_another = example.starts_with("part = ") || key == "with";
            if given || key == "outline" || (outlined && of_a_box) || of_another {
                continue;
            }
            let line = format!("{example}\n");
            let text = match place {
                Some(place) => with_line(place, &line),
                None => without_hull(&line),
            };
            reading(&text).unwrap_or_else(|e| panic!("{example}: {e:#?}"));
            tried += 1;
        }
    }
    assert!(tried >= 40, "{tried}");
}

#[test]
fn two_motors_turn_one_shaft() {
    let second = |with: &str| {
        let body = SECTIONS.iter().find(|s| s.0 == "[[motor]]").expect("one").1;
        let body = body.replace("\"a motor\"", "\"another motor\"");
        let text = with_line(SECTIONS.len(), "");
        reading(&format!("{text}\n[[motor]]\n{body}with = \"{with}\"\n"))
    };
    let robot = second("a motor").unwrap_or_else(|e| panic!("{e:#?}"));
    assert_eq!(robot.motors[1].with, Some(0));
    assert!(DOCUMENT.contains("`with = \"a motor\"`"));
    let issues = second("another motor").expect_err("it has no other shaft");
    assert!(
        issues[0].what.contains("no shaft of its own"),
        "{issues:#?}"
    );
    let issues = second("no such motor").expect_err("there is none");
    assert_eq!(issues[0].what, "no motor \"no such motor\"");
}
