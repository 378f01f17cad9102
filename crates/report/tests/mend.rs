//! Each mistake of the demo robot mended as its builder would, in the files.

use std::sync::atomic::AtomicBool;

use robot::{PartsBox, Robot};
use rules::Classes;
use runner::Runner;
use study::{Entrant, Pit, plan, spar, whatif};

/// Bouts each mended robot fights, on the draws of the demo itself.
const BOUTS: u32 = 480;

/// A record that is no worse may still come out this much lower by chance: the standard error of a
/// change here is 0.02. Measured: −0.008 (wheels), −0.023 (edge), +0.010 (right sensor), +0.004
/// (back sensor), +0.008 (ballast).
const WITHIN_NOISE: f64 = 0.025;

struct Mend {
    finding: &'static str,
    toml: Vec<(&'static str, &'static str)>,
    tactic: Vec<(&'static str, &'static str)>,
}

fn mends() -> Vec<Mend> {
    vec![
        Mend {
            finding: "motors-stall-first",
            toml: vec![
                ("wheel-60-silicone", "wheel-42-silicone"),
                // Wider: its outer face stays where it was.
                ("[\"-12 mm\", \"43 mm\"]", "[\"-12 mm\", \"40 mm\"]"),
                ("[\"-12 mm\", \"-43 mm\"]", "[\"-12 mm\", \"-40 mm\"]"),
            ],
            tactic: vec![],
        },
        Mend {
            finding: "edge-too-fast",
            toml: vec![
                (
                    "[\"-8 mm\", \"36 mm\", \"3 mm\"]",
                    "[\"42 mm\", \"36 mm\", \"3 mm\"]",
                ),
                (
                    "[\"-8 mm\", \"-36 mm\", \"3 mm\"]",
                    "[\"42 mm\", \"-36 mm\", \"3 mm\"]",
                ),
                // A sensor that can be asked for a short distance: infra-red triangulation folds back.
                (
                    "name = \"centre\"\npart = \"ir-range-400\"",
                    "name = \"centre\"\npart = \"ir-range-700-wide\"",
                ),
            ],
            tactic: vec![
                ("constant cruise = 100 %", "constant cruise = 30 %"),
                (
                    "    centre sees: drive cruise cruise\n",
                    "    centre sees within 90 mm: drive 100 % 100 %\n    centre sees: drive cruise \
                     cruise\n",
                ),
                ("otherwise: drive 50 % 50 %", "otherwise: drive 30 % 30 %"),
            ],
        },
        Mend {
            finding: "edge-threshold",
            toml: vec![],
            tactic: vec![(
                "constant cruise = 100 %",
                "constant border-level = 25 %\nconstant cruise = 100 %",
            )],
        },
        Mend {
            finding: "sensor-never-read",
            toml: vec![],
            tactic: vec![
                (
                    "not (centre sees or left sees)",
                    "not (centre sees or left sees or right sees)",
                ),
                (
                    "    left sees: drive -30 % 80 %\n",
                    "    left sees: drive -30 % 80 %\n    right sees: drive 80 % -30 %\n",
                ),
                (
                    "when centre sees or left sees\n",
                    "when centre sees or left sees or right sees\n",
                ),
            ],
        },
        Mend {
            finding: "no-edge-sensor-behind",
            toml: vec![(
                "[[sensor]]\nname = \"edge-left\"",
                "[[sensor]]\nname = \"edge-back\"\npart = \"edge-sensor\"\nat = [\"-45 mm\", \"0 mm\", \
                 \"3 mm\"]\n\n[[sensor]]\nname = \"edge-left\"",
            )],
            tactic: vec![(
                "state charge {",
                "reflex edge-behind when edge-back on border {\n  drive 100 % 100 % for 110 ms\n}\n\n\
                 state charge {",
            )],
        },
        Mend {
            finding: "mass-unused",
            toml: vec![(
                "[[motor]]\nname = \"left motor\"",
                "[[part]]\nname = \"ballast\"\npart = \"ballast-lead-20\"\nmass = \"60 g\"\nat = \
                 [\"-12 mm\", \"0 mm\", \"10 mm\"]\n\n[[motor]]\nname = \"left motor\"",
            )],
            tactic: vec![],
        },
    ]
}

fn edited(text: &str, edits: &[(&str, &str)]) -> String {
    edits.iter().fold(text.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from:?} is not there");
        text.replace(from, to)
    })
}

fn read(toml: &str, tactic: &str, parts: &PartsBox) -> Robot {
    let lookup = |_: &str| Some(tactic.to_owned());
    robot::read("demo.toml", toml, parts, &lookup).unwrap_or_else(|e| panic!("{e:#?}"))
}

#[test]
fn mending_one_mistake_takes_its_finding_away_adds_none_and_does_not_make_the_record_worse() {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let class = classes.find("mini").expect("it is there");
    let toml = shelf::file("robots/demo.toml").expect("it is there");
    let tactic = shelf::file("robots/demo.tactic").expect("it is there");
    let field = store::field("mini", &parts, None).unwrap_or_else(|e| panic!("{e:#?}"));
    let names = |robot: &Robot| {
        let tactic = tactic::parse(&robot.tactic.file, &robot.tactic.text).expect("it reads");
        let paper = paper::examine(robot, class, &tactic, &parts);
        let inspection = rules::inspect(robot, class);
        assert!(inspection.legal());
        let all = paper.findings.iter().chain(&inspection.findings);
        all.map(|f| f.name).collect::<Vec<_>>()
    };
    let demo = read(&toml, &tactic, &parts);
    let before = names(&demo);
    let entrant = |r: &Robot| Entrant::of_robot(r).unwrap_or_else(|e| panic!("{e:#?}"));
    let mut ours = vec![entrant(&demo)];
    for mend in mends() {
        let robot = read(
            &edited(&toml, &mend.toml),
            &edited(&tactic, &mend.tactic),
            &parts,
        );
        let expected: Vec<_> = before
            .iter()
            .copied()
            .filter(|n| *n != mend.finding)
            .collect();
        assert_eq!(names(&robot), expected, "after mending {}", mend.finding);
        ours.push(entrant(&robot));
    }
    let pit = Pit {
        arena: bout::Arena::of(class),
        seed: 11,
        ours,
        field: field.iter().map(entrant).collect(),
    };
    let runner = Runner::new(None).expect("threads start");
    let fight = |variant| {
        let tasks = plan(variant, field.len(), BOUTS);
        let results = runner.run(
            &tasks,
            &|t| pit.fight(t),
            &|_, _| {},
            &AtomicBool::new(false),
        );
        (spar::fold(&tasks, &results, field.len()), results)
    };
    let (record, base) = fight(0);
    println!("demo {:?}", record.total);
    let mut worse = Vec::new();
    for (k, mend) in mends().iter().enumerate() {
        let (record, changed) = fight(k + 1);
        let effect = whatif::effect(&base, &changed, mends().len());
        println!("{} {:?} {effect:?}", mend.finding, record.total);
        if effect.clearly_worse() || effect.win_rate_change.estimate < -WITHIN_NOISE {
            worse.push(mend.finding);
        }
    }
    assert!(worse.is_empty(), "worse: {worse:?}");
}
