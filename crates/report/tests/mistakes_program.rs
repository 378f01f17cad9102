//! Mistakes that beginners make in programs, each planted in a sound one: the check names every one of them
//! first.

use std::path::Path;

use report::{Check, Setting};
use robot::PartsBox;

/// How many findings a reader reads at once.
const FIRST: usize = 3;

struct Mistake {
    name: &'static str,
    edits: &'static [(&'static str, &'static str)],
    /// The finding that names it.
    told: &'static str,
}

const EDGE_BEHIND: &str =
    "reflex edge-behind when edge-back on border {\n  drive 30 % 30 % for 110 ms\n}\n";

const MISTAKES: [Mistake; 10] = [
    Mistake {
        name: "no reflex for the edge behind",
        edits: &[(EDGE_BEHIND, "")],
        told: "no-edge-sensor-behind",
    },
    Mistake {
        name: "the sign of one motor turned round",
        edits: &[
            ("drive -60 % -60 %", "drive -60 % 60 %"),
            ("drive 30 % 30 %", "drive 30 % -30 %"),
            ("drive 100 % 100 %", "drive 100 % -100 %"),
            ("drive cruise cruise", "drive cruise -cruise"),
            ("drive -30 % 50 %", "drive -30 % -50 %"),
            ("drive 50 % -30 %", "drive 50 % 30 %"),
            ("pivot 60 % right", "drive 60 % 60 %"),
            ("pivot 50 % left", "drive -50 % -50 %"),
        ],
        told: "turns-from-seen",
    },
    Mistake {
        name: "a wait in front of the opponent",
        edits: &[
            (
                "state charge {\n",
                "state charge {\n  go think when centre sees within 90 mm\n",
            ),
            (
                "state look-around {",
                "state think {\n  wait for 2500 ms\n  then charge\n}\nstate look-around {",
            ),
        ],
        told: "waits-when-seen",
    },
    Mistake {
        name: "the border taken for the ring",
        edits: &[(
            "edge-left on border or edge-right on border",
            "edge-left below 25 % or edge-right below 25 %",
        )],
        told: "border-inverted",
    },
    Mistake {
        name: "a search that drives out of the ring",
        edits: &[(
            "  drive 30 % 30 % for 200 ms\n",
            "  drive 100 % 100 % for 1500 ms\n",
        )],
        told: "edge-too-fast",
    },
    Mistake {
        name: "the names of left and right exchanged",
        edits: &[
            ("left sees: drive", "LEFT sees: drive"),
            ("right sees: drive", "left sees: drive"),
            ("LEFT sees: drive", "right sees: drive"),
        ],
        told: "turns-from-seen",
    },
    Mistake {
        name: "the edge sensors ignored for too long",
        edits: &[(
            "  drive -60 % -60 % for 120 ms\n",
            "  ignore edge-left for 3 s\n  ignore edge-right for 3 s\n  drive -60 % -60 % for 120 ms\n",
        )],
        told: "ignored-too-long",
    },
    Mistake {
        name: "a turn away from the opponent",
        edits: &[
            ("left sees: drive -30 % 50 %", "left sees: pivot 50 % right"),
            (
                "right sees: drive 50 % -30 %",
                "right sees: pivot 50 % left",
            ),
            (
                "centre sees or left sees or right sees\n",
                "left sees or right sees\n",
            ),
        ],
        told: "turns-from-seen",
    },
    Mistake {
        name: "the opponent before the edge",
        edits: &[(
            "reflex edge-ahead",
            "reflex ram when centre sees or left sees or right sees {\n  drive 100 % 100 % for 400 ms\n}\n\
             reflex edge-ahead",
        )],
        told: "border-waits",
    },
    Mistake {
        name: "a state that is never left",
        edits: &[(
            "  go charge when centre sees or left sees or right sees\n",
            "",
        )],
        told: "state-without-exit",
    },
];

/// The sound robot of the other mistakes, with its program edited.
fn setting(edits: &[(&str, &str)]) -> Setting {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/mistakes");
    let file = folder.join("sound.toml");
    let file = file.to_str().expect("a path of letters");
    let mut setting = Setting::load(file, None, None).unwrap_or_else(|e| panic!("{e:?}"));
    let program = edits
        .iter()
        .fold(setting.tactic.text().to_owned(), |text, (from, to)| {
            assert!(text.contains(from), "{from:?} is not there:\n{text}");
            text.replace(from, to)
        });
    let toml = std::fs::read_to_string(file).expect("it is there");
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let lookup = |_: &str| Some(program.clone());
    setting.robot = robot::read(file, &toml, &parts, &lookup).unwrap_or_else(|e| panic!("{e:#?}"));
    setting.tactic = tactic::parse("sound.tactic", &program).unwrap_or_else(|e| panic!("{e:#?}"));
    setting
}

fn findings(setting: &Setting) -> Vec<String> {
    let check = Check::of(setting);
    check.findings.into_iter().map(|f| f.name).collect()
}

#[test]
fn the_finding_that_names_the_mistake_is_among_the_first_three() {
    let sound = findings(&setting(&[]));
    let mut missed = Vec::new();
    let mut table = format!("sound: {sound:?}\n");
    for mistake in &MISTAKES {
        let found = findings(&setting(mistake.edits));
        table.push_str(&format!("{}: {found:?}\n", mistake.name));
        let named = found.iter().take(FIRST).any(|f| f == mistake.told);
        if !named || sound.iter().any(|f| f == mistake.told) {
            missed.push(mistake.name);
        }
    }
    assert!(missed.is_empty(), "not told: {missed:?}\n{table}");
}
