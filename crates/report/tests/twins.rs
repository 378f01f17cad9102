//! Findings on programs: for each a small program that has it, and a twin one small change apart that
//! has it not.

use robot::PartsBox;
use rules::Classes;

/// Words and what stands in their place.
type Edit<'t> = (&'t str, &'t str);

/// A robot and a program of the box, edited until they have the finding; and one more change of the
/// program that takes it away.
struct Twin {
    finding: &'static str,
    robot: &'static str,
    built: &'static [Edit<'static>],
    program: &'static str,
    with: &'static [Edit<'static>],
    without: Edit<'static>,
}

const DEMO: &str = "robots/demo.toml";
const CHARGE: &str = "robots/demo.tactic";
const LIFTER: &str = "robots/mini/crowbar.toml";
const HEAVE: &str = "robots/tactics/lift.tactic";

/// Edge sensors at the front corners, where the demo could stop in time if it were slower.
const SENSORS_AHEAD: &[Edit<'_>] = &[
    (
        "[\"-8 mm\", \"36 mm\", \"3 mm\"]",
        "[\"42 mm\", \"36 mm\", \"3 mm\"]",
    ),
    (
        "[\"-8 mm\", \"-36 mm\", \"3 mm\"]",
        "[\"42 mm\", \"-36 mm\", \"3 mm\"]",
    ),
];
const SENSOR_BEHIND: &[Edit<'_>] = &[(
    "[[sensor]]\nname = \"edge-left\"",
    "[[sensor]]\nname = \"edge-back\"\npart = \"edge-sensor\"\nat = [\"-45 mm\", \"0 mm\", \"3 mm\"]\n\n\
     [[sensor]]\nname = \"edge-left\"",
)];

/// A sensor ahead that reaches past the free space around the ring.
const FAR_SIGHT: &[Edit<'_>] = &[(
    "name = \"centre\"\npart = \"ir-range-400\"",
    "name = \"centre\"\npart = \"ir-range-400\"\nfarthest = \"2 m\"",
)];

/// A charge as a reflex, and the demo's reflex at the edge: which comes first decides.
macro_rules! ram {
    () => {
        "reflex ram when centre sees {\n  drive 100 % 100 % for 400 ms\n}\n\n"
    };
}
macro_rules! edge {
    () => {
        "reflex edge when edge-left on border or edge-right on border {\n  drive -100 % -100 % for 120 ms\n  \
         pivot 80 % right for 200 ms\n}\n"
    };
}

const TWINS: &[Twin] = &[
    Twin {
        finding: "state-unreachable",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[
            ("  go charge when", "  go look-around when"),
            ("begin charge", "begin look-around"),
        ],
        without: ("go look-around when centre", "go charge when centre"),
    },
    Twin {
        finding: "state-without-exit",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[(
            "  go look-around when not (centre sees or left sees) for 80 ms\n",
            "",
        )],
        without: (
            "state charge {\n",
            "state charge {\n  stay 2 s then look-around\n",
        ),
    },
    Twin {
        finding: "hardly-drives",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[("otherwise: drive 50 % 50 %", "otherwise: drive 50 50")],
        without: ("drive 50 50", "drive 50 % 50"),
    },
    Twin {
        finding: "reflex-shadowed",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[(
            "state charge",
            "reflex again when edge-left on border or edge-right on border {\n  drive -50 % -50 % for 50 ms\n}\n\n\
             state charge",
        )],
        without: (
            "again when edge-left on border or edge-right on border",
            "again when right sees",
        ),
    },
    Twin {
        finding: "reflex-hidden",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[(
            "state charge",
            "reflex corner when edge-left on border and edge-right on border {\n  drive -100 % -100 % for \
             200 ms\n}\n\nstate charge",
        )],
        without: (
            "edge when edge-left on border or edge-right on border",
            "edge when edge-left on border and not edge-right on border",
        ),
    },
    Twin {
        finding: "sensor-never-read",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[],
        without: (
            "when centre sees or left sees\n",
            "when centre sees or left sees or right sees\n",
        ),
    },
    Twin {
        finding: "sensor-changes-nothing",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[(
            "state charge",
            "reflex glance when right sees and 1 > 2 {\n  drive 80 % -30 % for 60 ms\n}\n\nstate charge",
        )],
        without: ("1 > 2", "2 > 1"),
    },
    Twin {
        finding: "motor-never-driven",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[
            ("drive -100 % -100 %", "drive -100 % 0 %"),
            ("pivot 80 % right", "drive 80 % 0 %"),
            ("drive cruise cruise", "drive cruise 0 %"),
            ("drive -30 % 80 %", "drive -30 % 0 %"),
            ("drive 50 % 50 %", "drive 50 % 0 %"),
            ("pivot 60 % left", "drive -60 % 0 %"),
            ("drive 40 % 40 %", "drive 40 % 0 %"),
        ],
        without: ("drive cruise 0 %", "drive cruise cruise"),
    },
    Twin {
        finding: "edge-threshold",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[],
        without: (
            "constant cruise",
            "constant border-level = 25 %\nconstant cruise",
        ),
    },
    Twin {
        finding: "edge-too-fast",
        robot: DEMO,
        built: SENSORS_AHEAD,
        program: CHARGE,
        with: &[("otherwise: drive 50 % 50 %", "otherwise: drive 30 % 30 %")],
        without: ("constant cruise = 100 %", "constant cruise = 30 %"),
    },
    Twin {
        finding: "edge-too-fast-backward",
        robot: DEMO,
        built: SENSOR_BEHIND,
        program: CHARGE,
        with: &[
            (
                "state charge",
                "reflex edge-behind when edge-back on border {\n  drive 100 % 100 % for 110 ms\n}\n\nstate charge",
            ),
            ("for 120 ms", "for 1 s"),
        ],
        without: ("drive -100 % -100 %", "drive -20 % -20 %"),
    },
    Twin {
        finding: "ignored-too-long",
        robot: DEMO,
        built: SENSORS_AHEAD,
        program: CHARGE,
        with: &[(
            "right on border {\n",
            "right on border {\n  ignore edge-left for 3 s\n",
        )],
        without: ("for 3 s", "for 1 ms"),
    },
    Twin {
        finding: "border-waits",
        robot: DEMO,
        built: SENSORS_AHEAD,
        program: CHARGE,
        with: &[("reflex edge when", concat!(ram!(), "reflex edge when"))],
        without: (concat!(ram!(), edge!()), concat!(edge!(), "\n", ram!())),
    },
    Twin {
        finding: "no-edge-sensor-behind",
        robot: DEMO,
        built: SENSOR_BEHIND,
        program: CHARGE,
        with: &[],
        without: (
            "state charge",
            "reflex edge-behind when edge-back on border {\n  drive 100 % 100 % for 110 ms\n}\n\nstate charge",
        ),
    },
    Twin {
        finding: "no-edge-sensor-ahead",
        robot: DEMO,
        built: SENSORS_AHEAD,
        program: CHARGE,
        with: &[(
            "edge-left on border or edge-right on border",
            "left sees within 1 cm",
        )],
        without: (
            "left sees within 1 cm",
            "edge-left on border or edge-right on border",
        ),
    },
    Twin {
        finding: "blind-ahead",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[
            ("centre sees or left sees", "left sees"),
            ("centre sees:", "left sees:"),
        ],
        without: ("not (left sees)", "not (left sees or centre sees)"),
    },
    Twin {
        finding: "folds-back",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[("    centre sees:", "    centre sees within 90 mm:")],
        without: ("centre sees within 90 mm:", "centre sees:"),
    },
    Twin {
        finding: "sees-people",
        robot: DEMO,
        built: FAR_SIGHT,
        program: CHARGE,
        with: &[],
        without: (
            "centre sees: drive cruise",
            "centre sees within 30 cm: drive cruise",
        ),
    },
    Twin {
        finding: "gadget-never-moved",
        robot: LIFTER,
        built: &[],
        program: HEAVE,
        with: &[("  lifter to up\n", "")],
        without: ("state heave {\n", "state heave {\n  lifter to up\n"),
    },
    Twin {
        finding: "gadget-one-way",
        robot: LIFTER,
        built: &[],
        program: HEAVE,
        with: &[("  lifter to down\n", "")],
        without: (
            "  drive 100 % 100 % for 200 ms\n",
            "  lifter to down\n  drive 100 % 100 % for 200 ms\n",
        ),
    },
    Twin {
        finding: "gadget-changes-nothing",
        robot: LIFTER,
        built: &[],
        program: HEAVE,
        with: &[(
            "state heave {\n",
            "state heave {\n  drive 50 % 50 % until 1 > 2\n",
        )],
        without: ("until 1 > 2", "until 2 > 1"),
    },
    // Left taken for right, ahead and not at it, a side remembered wrongly.
    Twin {
        finding: "turns-from-seen",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[("left sees: drive -30 % 80 %", "left sees: drive 80 % -30 %")],
        without: ("left sees: drive 80 % -30 %", "left sees: drive 50 % 80 %"),
    },
    Twin {
        finding: "turns-from-seen",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[("drive cruise cruise", "drive cruise -cruise")],
        without: ("drive cruise -cruise", "drive cruise 0 %"),
    },
    Twin {
        finding: "turns-from-seen",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[(
            "opening nose-on",
            "remember left when right sees\n\nopening nose-on",
        )],
        without: ("remember left when right", "remember right when right"),
    },
    Twin {
        finding: "waits-when-seen",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[
            (
                "state charge {\n",
                "state charge {\n  go think when centre sees within 9 cm\n",
            ),
            (
                "state look-around {",
                "state think {\n  wait for 1 s\n  then charge\n}\nstate look-around {",
            ),
        ],
        without: ("wait for 1 s", "wait for 1 s until left sees"),
    },
    Twin {
        finding: "border-inverted",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[
            ("edge-left on border", "edge-left below 30 %"),
            ("edge-right on border", "edge-right below 30 %"),
        ],
        without: (
            "edge-left below 30 % or edge-right below 30 %",
            "edge-left above 30 % or edge-right above 30 %",
        ),
    },
    Twin {
        finding: "opening-not-allowed",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[("  facing 0 deg\n", "  place -20 mm behind\n")],
        without: ("-20 mm behind", "20 mm behind"),
    },
    Twin {
        finding: "opening-not-allowed",
        robot: DEMO,
        built: &[],
        program: CHARGE,
        with: &[("  facing 0 deg\n", "  place 300 mm behind\n")],
        without: ("300 mm behind", "150 mm behind"),
    },
    Twin {
        finding: "opening-not-allowed",
        robot: DEMO,
        built: &[("class = \"mini\"", "class = \"mini-remote\"")],
        program: CHARGE,
        with: &[("  facing 0 deg\n", "  facing 90 deg\n")],
        without: ("facing 90 deg", "facing 0 deg"),
    },
    Twin {
        finding: "opening-not-allowed",
        robot: DEMO,
        built: &[("class = \"mini\"", "class = \"mini-remote\"")],
        program: CHARGE,
        with: &[("  facing 0 deg\n", "  place 20 mm left\n")],
        without: ("  place 20 mm left\n", ""),
    },
    Twin {
        finding: "search-must-drive",
        robot: DEMO,
        built: &[(
            "part = \"ir-range-400\"",
            "part = \"ir-range-400\"\nfarthest = \"150 mm\"",
        )],
        program: CHARGE,
        with: &[("  drive 40 % 40 % for 200 ms\n", "")],
        without: (
            "  pivot 60 % left for 900 ms\n",
            "  pivot 60 % left for 900 ms\n  drive 30 % 30 % for 200 ms\n",
        ),
    },
    Twin {
        finding: "border-between-readings",
        robot: DEMO,
        built: &[(
            "part = \"board-beginner\"",
            "part = \"board-beginner\"\nloop-time = \"40 ms\"",
        )],
        program: CHARGE,
        with: &[
            ("drive 50 % 50 %", "drive 30 % 30 %"),
            ("drive 40 % 40 %", "drive 30 % 30 %"),
        ],
        without: ("constant cruise = 100 %", "constant cruise = 30 %"),
    },
];

fn edited(text: &str, edits: &[Edit<'_>]) -> String {
    edits.iter().fold(text.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from:?} is not there:\n{text}");
        text.replace(from, to)
    })
}

struct Desk {
    parts: PartsBox,
    classes: Classes,
}

impl Desk {
    /// Names of what is found on paper.
    fn found(&self, toml: &str, program: &str) -> Vec<&'static str> {
        let lookup = |_: &str| Some(program.to_owned());
        let robot = robot::read("twin.toml", toml, &self.parts, &lookup)
            .unwrap_or_else(|e| panic!("{e:#?}"));
        let class = (self.classes)
            .find(robot.class.as_deref().expect("it names its class"))
            .expect("there is such a class");
        let tactic =
            tactic::parse("twin.tactic", program).unwrap_or_else(|e| panic!("{e:#?}\n{program}"));
        let paper = paper::examine(&robot, class, &tactic, &self.parts);
        paper.findings.iter().map(|f| f.name).collect()
    }
}

#[test]
fn each_finding_on_a_program_comes_with_its_mistake_and_goes_with_one_change() {
    let desk = Desk {
        parts: PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}")),
        classes: Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}")),
    };
    let mut wrong = String::new();
    for twin in TWINS {
        let file = |name| shelf::file(name).unwrap_or_else(|| panic!("no file {name}"));
        let toml = edited(&file(twin.robot), twin.built);
        let with = edited(&file(twin.program), twin.with);
        let without = edited(&with, &[twin.without]);
        let (has, has_not) = (desk.found(&toml, &with), desk.found(&toml, &without));
        if !has.contains(&twin.finding) {
            wrong.push_str(&format!("{} is missing: {has:?}\n", twin.finding));
        }
        if has_not.contains(&twin.finding) {
            wrong.push_str(&format!("{} stays: {has_not:?}\n", twin.finding));
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}
