//! Mistakes that beginners make in programs, each planted in a sound one: does the check name it, or do
//! the bouts tell it as the cause of most losses? Where neither does, it stands here as not told yet.

use std::path::Path;
use std::sync::atomic::AtomicBool;

use report::{Check, Setting, Spar, Work};
use robot::PartsBox;
use runner::Runner;

/// How many findings a reader reads at once.
const FIRST: usize = 3;
/// Bouts a program fights, and the seed of their draws.
const BOUTS: u32 = 120;
const SEED: u64 = 5;
/// A cause that the sound program has too must be this many times as frequent.
const TIMES: u32 = 3;

/// Who tells of a mistake.
enum Told {
    /// A finding among the first of a check.
    Check(&'static str),
    /// Nobody: not even the bouts, which should tell this as the first cause of losses. Most losses of
    /// the sound program come of being lifted, and so do those of the others.
    NotYet(&'static str),
}

struct Mistake {
    name: &'static str,
    edits: &'static [(&'static str, &'static str)],
    told: Told,
}

const EDGE_BEHIND: &str =
    "reflex edge-behind when edge-back on border {\n  drive 30 % 30 % for 110 ms\n}\n";

const MISTAKES: [Mistake; 10] = [
    Mistake {
        name: "no reflex for the edge behind",
        edits: &[(EDGE_BEHIND, "")],
        told: Told::Check("no-edge-sensor-behind"),
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
        told: Told::NotYet("edge-not-left"),
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
        told: Told::NotYet("gave-way"),
    },
    Mistake {
        name: "the border taken for the ring",
        edits: &[(
            "edge-left on border or edge-right on border",
            "edge-left below 25 % or edge-right below 25 %",
        )],
        told: Told::NotYet("reversed-out"),
    },
    Mistake {
        name: "a search that drives out of the ring",
        edits: &[(
            "  drive 30 % 30 % for 200 ms\n",
            "  drive 100 % 100 % for 1500 ms\n",
        )],
        told: Told::Check("edge-too-fast"),
    },
    Mistake {
        name: "the names of left and right exchanged",
        edits: &[
            ("left sees: drive", "LEFT sees: drive"),
            ("right sees: drive", "left sees: drive"),
            ("LEFT sees: drive", "right sees: drive"),
        ],
        told: Told::NotYet("taken-from-side"),
    },
    Mistake {
        name: "the edge sensors ignored for too long",
        edits: &[(
            "  drive -60 % -60 % for 120 ms\n",
            "  ignore edge-left for 3 s\n  ignore edge-right for 3 s\n  drive -60 % -60 % for 120 ms\n",
        )],
        told: Told::Check("ignored-too-long"),
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
        told: Told::NotYet("taken-from-side"),
    },
    Mistake {
        name: "the opponent before the edge",
        edits: &[(
            "reflex edge-ahead",
            "reflex ram when centre sees or left sees or right sees {\n  drive 100 % 100 % for 400 ms\n}\n\
             reflex edge-ahead",
        )],
        told: Told::Check("border-waits"),
    },
    Mistake {
        name: "a state that is never left",
        edits: &[(
            "  go charge when centre sees or left sees or right sees\n",
            "",
        )],
        told: Told::Check("state-without-exit"),
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

fn causes(setting: &Setting) -> Vec<(String, u32)> {
    let runner = Runner::new(None).expect("threads start");
    let work = Work {
        runner: &runner,
        progress: &|_, _, _| {},
        stop: &AtomicBool::new(false),
    };
    let spar = Spar::fight(setting, SEED, BOUTS, &work).unwrap_or_else(|e| panic!("{e:?}"));
    spar.losses
        .into_iter()
        .map(|l| (l.cause, l.count))
        .collect()
}

/// Whether a cause comes first and is far more frequent than with the sound program.
fn stands_out(cause: &str, lost: &[(String, u32)], sound: &[(String, u32)]) -> bool {
    let before = sound.iter().find(|l| l.0 == cause).map_or(0, |l| l.1);
    (lost.first()).is_some_and(|l| l.0 == cause && l.1 >= TIMES * before.max(1))
}

#[test]
fn a_mistake_is_named_by_the_check_or_known_not_to_be_told_yet() {
    let sound = setting(&[]);
    let (found_sound, lost_sound) = (findings(&sound), causes(&sound));
    let mut table = format!("sound: {found_sound:?} {lost_sound:?}\n");
    let (mut missed, mut news) = (Vec::new(), Vec::new());
    for mistake in &MISTAKES {
        let planted = setting(mistake.edits);
        let found = findings(&planted);
        match mistake.told {
            Told::Check(name) => {
                table.push_str(&format!("{}: {found:?}\n", mistake.name));
                let first = found.iter().take(FIRST).any(|f| f == name);
                if !first || found_sound.iter().any(|f| f == name) {
                    missed.push(mistake.name);
                }
            }
            Told::NotYet(cause) => {
                let lost = causes(&planted);
                table.push_str(&format!("{}: {found:?} {lost:?}\n", mistake.name));
                if stands_out(cause, &lost, &lost_sound) {
                    news.push(mistake.name);
                }
            }
        }
    }
    println!("{table}");
    assert!(missed.is_empty(), "no longer told: {missed:?}\n{table}");
    assert!(
        news.is_empty(),
        "told by now, so say so above: {news:?}\n{table}"
    );
}
