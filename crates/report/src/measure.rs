//! How to measure a figure with what a kitchen has.

/// How to take a measurement.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct How {
    /// The page of `explain` that says it at length.
    pub(crate) page: &'static str,
    /// With what, and how, in one sentence without a full stop.
    pub(crate) words: &'static str,
}

const MASS: How = How {
    page: "measure-mass",
    words: "put it on a kitchen scale, ten of them if they are light",
};
const CENTRE: How = How {
    page: "measure-centre",
    words: "balance the whole robot on a pencil and read the place with a ruler",
};
const LENGTHS: How = How {
    page: "measure-lengths",
    words: "use callipers or a ruler; for gaps slide paper (0.1 mm a sheet) or a coin under",
};
const GRIP: How = How {
    page: "measure-grip",
    words: "lock the wheels and tilt a piece of the ring until it slides: grip = rise ÷ run; or pull it \
            with a luggage scale",
};
const ROLLING: How = How {
    page: "measure-rolling",
    words: "let it roll down a board tilted by coins, motors unplugged, and note how many it needs to \
            keep rolling",
};
const TORQUE: How = How {
    page: "measure-torque",
    words: "hold the robot by a luggage scale, full effort for a second at most, and read the pull",
};
const SPEED: How = How {
    page: "measure-speed",
    words: "put a mark on the wheel, film it in slow motion and count turns; or film a run beside a ruler",
};
const ELECTRIC: How = How {
    page: "measure-electric",
    words: "use a multimeter: volts with and without a known load, amperes in series",
};
const SIGHT: How = How {
    page: "measure-sight",
    words: "move a box of an opponent's size along a ruler on the floor and note where the reading comes \
            and goes",
};
const DELAY: How = How {
    page: "measure-delay",
    words: "film a lamp the program switches beside what it reacts to, in slow motion, and count frames",
};
const STIFFNESS: How = How {
    page: "measure-stiffness",
    words: "hang a known mass (a bottle of water) on it and read with a ruler how far it gives",
};

/// What a figure is measured with, by the last word of its path.
const KEYS: [(How, &[&str]); 11] = [
    (MASS, &["mass", "moving-mass"]),
    (CENTRE, &["at", "x", "y", "z", "at-x", "at-y", "at-z"]),
    (
        GRIP,
        &[
            "grip",
            "sliding-grip",
            "reference-load",
            "load-exponent",
            "adhesion",
            "dirt-loss",
            "dirt-length",
            "since-cleaned",
            "friction",
            "on-wood",
            "on-steel",
            "on-vinyl",
            "on-rubber",
            "pull",
            "reach",
        ],
    ),
    (ROLLING, &["rolling"]),
    (
        TORQUE,
        &[
            "stall-torque",
            "gear-efficiency",
            "box-efficiency",
            "holds",
            "trip-force",
            "preload",
        ],
    ),
    (
        SPEED,
        &[
            "no-load-speed",
            "reflected-inertia",
            "gear-ratio",
            "ratio",
            "counts",
            "rebound",
        ],
    ),
    (
        ELECTRIC,
        &[
            "voltage",
            "resistance",
            "capacity",
            "charge",
            "current",
            "current-limit",
            "stall-current",
            "no-load-current",
            "brown-out",
            "rated-voltage",
        ],
    ),
    (
        SIGHT,
        &[
            "farthest",
            "nearest",
            "field-of-view",
            "facing",
            "misses",
            "false-alarms",
            "reflectance",
            "shine",
            "slant",
            "spot",
            "fading-height",
            "noise",
            "noise-share",
            "offset",
        ],
    ),
    (
        DELAY,
        &[
            "latency",
            "rate",
            "loop-time",
            "output-delay",
            "boot-time",
            "time-budget",
            "dead-time",
        ],
    ),
    (STIFFNESS, &["tip-stiffness", "stiffness"]),
    (
        LENGTHS,
        &[
            "tip-height",
            "tip-x",
            "tip-y",
            "edge",
            "width",
            "length",
            "height",
            "diameter",
            "run-out",
            "from",
            "to",
            "size",
            "angle",
            "droop",
            "lift",
            "gap",
            "ground-length",
            "pinion-radius",
            "position",
            "heading",
        ],
    ),
];

/// How the figure of this path is measured; none if a kitchen cannot.
pub(crate) fn how(path: &str) -> Option<How> {
    let key = path
        .split('/')
        .rev()
        .find(|word| !word.chars().all(|c| c.is_ascii_digit()))?;
    let has = |k: &&(How, &[&str])| k.1.contains(&key);
    KEYS.iter().find(has).map(|k| k.0)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use robot::PartsBox;

    use super::*;

    #[test]
    fn the_figures_that_matter_most_have_a_way_to_measure_them() {
        for (path, page) in [
            ("parts/gearmotor-small-1000/stall-torque", "measure-torque"),
            ("parts/wheel-60-silicone/sliding-grip", "measure-grip"),
            ("blade/tip-height", "measure-lengths"),
            ("battery/resistance", "measure-electric"),
            ("sensor/edge-left/latency", "measure-delay"),
        ] {
            assert_eq!(how(path).map(|h| h.page), Some(page), "{path}");
        }
        assert_eq!(how("motor/left motor/case-time"), None);
    }

    /// What heats how fast needs more than a kitchen.
    const NOT_AT_HOME: [&str; 6] = [
        "winding-to-case",
        "case-to-air",
        "winding-time",
        "case-time",
        "most",
        "set-for",
    ];

    #[test]
    fn every_unknown_of_the_robots_that_come_with_the_program_can_be_measured_or_is_said_not_to_be()
    {
        let parts = PartsBox::built_in().expect("it reads");
        let mut missing = BTreeSet::new();
        for name in store::robot_names() {
            let robot = store::load_robot(&name, &parts).expect("it loads");
            for f in robot.figures().iter().filter(|f| f.unsure > 0.0) {
                let last = f.path.rsplit('/').next().unwrap_or_default();
                if how(&f.path).is_none() && !NOT_AT_HOME.contains(&last) {
                    missing.insert(f.path.clone());
                }
            }
        }
        assert_eq!(missing, BTreeSet::new());
    }

    #[test]
    fn every_way_to_measure_has_its_page() {
        for (how, _) in KEYS {
            let page = format!("docs/explain/{}.md", how.page);
            assert!(shelf::file(&page).is_some(), "{page}");
        }
    }
}
