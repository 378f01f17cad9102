//! Sizes of robots that skeletons are made in, and the parts of each.
//!
//! The layout is one: four driven wheels, a blade in front, eyes to the front and the flanks, an edge
//! sensor at each corner. What differs is how large it is and which parts there are at that size. Our
//! own design; which parts go with which style is common practice, no source.

use robot::Style;

use super::wishes::Source;

/// A size of robot. Lengths in mm, masses in g.
#[derive(Debug)]
pub(crate) struct Family {
    /// Length, width, height as it stands at the start.
    pub(crate) size: [f64; 3],
    /// Most it is filled up to: more its motors and wheels are not made for.
    pub(crate) most_g: f64,
    /// Where the body ends in front; the blade lies before it.
    pub(crate) front: f64,
    /// Height of the body's lower face.
    pub(crate) floor: f64,
    /// x and y of the wheels: front and back, left and right.
    pub(crate) wheels: [f64; 2],
    /// y and height of the motors.
    pub(crate) motors: [f64; 2],
    /// Motors on each side: 1 drives both wheels, 2 drive one each.
    pub(crate) motors_a_side: usize,
    /// x of the centre eye, x and y of the slanted ones, y of the flank ones, height of all.
    pub(crate) eyes: [f64; 5],
    /// x, y and height of the edge sensors.
    pub(crate) edges: [f64; 3],
    /// Height of the blade's edge with its spreads.
    pub(crate) tip_height: &'static str,
    /// Ballast: part, mass of one, x, height.
    pub(crate) ballast: (&'static str, f64, f64, f64),
    /// Mass that screws and wires take, and how high they lie.
    pub(crate) wiring: (&'static str, f64, f64),
    /// Further lines of an edge sensor, where the part at hand is cut down.
    pub(crate) edge_lines: &'static str,
    /// Further lines of the tilt sensor.
    pub(crate) tilt_lines: &'static str,
    /// Further lines of an eye.
    pub(crate) eye_lines: &'static str,
    /// Distance in mm from which the program pushes at full effort.
    pub(crate) close: f64,
    /// Ways to build it, the dearest first.
    pub(crate) builds: &'static [Build],
}

/// Which parts a robot is made of.
#[derive(Debug)]
pub(crate) struct Build {
    /// Where its parts come from.
    pub(crate) source: Source,
    /// Whether its pack is lithium.
    pub(crate) lithium: bool,
    /// What a reader is told of it.
    pub(crate) words: &'static str,
    /// Base plate of a pusher and of the others; none: the body carries itself.
    pub(crate) plates: Option<[&'static str; 2]>,
    /// Body shell.
    pub(crate) shell: &'static str,
    /// Motors of pusher, dodger, trickster, all-rounder.
    pub(crate) motors: [&'static str; 4],
    /// Wheel.
    pub(crate) wheel: &'static str,
    /// Blade.
    pub(crate) blade: &'static str,
    /// Pack, its height.
    pub(crate) pack: (&'static str, f64),
    /// Driver.
    pub(crate) driver: &'static str,
    /// Board.
    pub(crate) board: &'static str,
    /// Distance sensor.
    pub(crate) eye: &'static str,
    /// Edge sensor.
    pub(crate) edge: &'static str,
    /// Whether eyes look to the flanks.
    pub(crate) flanks: bool,
    /// Tilt sensor, if there is one.
    pub(crate) tilt: Option<&'static str>,
}

impl Build {
    pub(crate) fn motor(&self, style: Style) -> &'static str {
        self.motors[index(style)]
    }

    pub(crate) fn plate(&self, style: Style) -> Option<&'static str> {
        self.plates.map(|p| p[usize::from(style != Style::Pusher)])
    }

    /// The tilt sensor, for the styles that use one.
    pub(crate) fn tilt_of(&self, style: Style) -> Option<&'static str> {
        self.tilt.filter(|_| style != Style::Pusher)
    }
}

pub(crate) fn index(style: Style) -> usize {
    match style {
        Style::Pusher => 0,
        Style::Dodger => 1,
        Style::Trickster => 2,
        Style::AllRounder => 3,
    }
}

/// All sizes, the largest first.
pub(crate) const FAMILIES: [&Family; 4] = [&MEGA, &MINI, &MICRO, &NANO];

const MINI: Family = Family {
    size: [99.0, 98.0, 54.0],
    most_g: 650.0,
    front: 15.0,
    floor: 3.0,
    wheels: [28.0, 38.0],
    motors: [22.0, 17.0],
    motors_a_side: 1,
    eyes: [17.0, 40.0, 28.0, 40.0, 30.0],
    edges: [44.0, 40.0, 3.0],
    tip_height: "0.3 +- 0.1 ~ 0.1 mm",
    ballast: ("ballast-lead-20", 20.0, 8.0, 6.0),
    wiring: ("screws-wires", 30.0, 20.0),
    edge_lines: "",
    tilt_lines: "",
    eye_lines: "",
    close: 75.0,
    builds: &[
        Build {
            source: Source::Free,
            lithium: true,
            words: "strong motors, soft urethane tyres, a lithium pack",
            plates: Some(["plate-steel-98", "plate-aluminium-98"]),
            shell: "body-printed-light",
            motors: [
                "gearmotor-strong-400",
                "gearmotor-strong-650",
                "gearmotor-strong-650",
                "gearmotor-strong-400",
            ],
            wheel: "wheel-34-urethane",
            blade: "blade-thin-100",
            pack: ("pack-lipo-2-300", 14.0),
            driver: "driver-medium",
            board: "board-quick",
            eye: "ir-range-400",
            edge: "edge-sensor",
            flanks: true,
            tilt: Some("tilt-sensor"),
        },
        Build {
            source: Source::Free,
            lithium: false,
            words: "strong motors, silicone tyres, no lithium",
            plates: Some(["plate-steel-98", "plate-aluminium-98"]),
            shell: "body-printed-light",
            motors: [
                "gearmotor-strong-400",
                "gearmotor-strong-650",
                "gearmotor-strong-650",
                "gearmotor-strong-400",
            ],
            wheel: "wheel-34-silicone",
            blade: "blade-thin-100",
            pack: ("pack-nimh-4-small", 30.0),
            driver: "driver-medium",
            board: "board-quick",
            eye: "ir-range-400",
            edge: "edge-sensor",
            flanks: true,
            tilt: Some("tilt-sensor"),
        },
        Build {
            source: Source::Starter,
            lithium: false,
            words: "kit parts, silicone tyres, eyes all round",
            plates: Some(["plate-steel-98", "plate-aluminium-98"]),
            shell: "body-printed-98",
            motors: [
                "gearmotor-small-400",
                "gearmotor-small-600",
                "gearmotor-small-600",
                "gearmotor-small-400",
            ],
            wheel: "wheel-34-silicone",
            blade: "blade-steel-100",
            pack: ("pack-nimh-4-small", 30.0),
            driver: "driver-small",
            board: "board-beginner",
            eye: "ir-range-400",
            edge: "edge-sensor",
            flanks: true,
            tilt: None,
        },
        Build {
            source: Source::Starter,
            lithium: false,
            words: "kit parts, rubber tyres, eyes to the front only",
            plates: Some(["plate-steel-98", "plate-aluminium-98"]),
            shell: "body-printed-98",
            motors: [
                "gearmotor-small-400",
                "gearmotor-small-600",
                "gearmotor-small-600",
                "gearmotor-small-400",
            ],
            wheel: "wheel-34-rubber",
            blade: "blade-aluminium-100",
            pack: ("pack-nimh-4-small", 30.0),
            driver: "driver-small",
            board: "board-beginner",
            eye: "ir-range-400",
            edge: "edge-sensor",
            flanks: false,
            tilt: None,
        },
    ],
};

const MEGA: Family = Family {
    size: [198.0, 198.0, 85.0],
    most_g: 3900.0,
    front: 34.0,
    floor: 5.0,
    wheels: [55.0, 78.0],
    motors: [40.0, 25.0],
    motors_a_side: 2,
    eyes: [34.0, 80.0, 56.0, 80.0, 45.0],
    edges: [88.0, 80.0, 3.0],
    tip_height: "0.5 +- 0.15 ~ 0.15 mm",
    ballast: ("ballast-steel-100", 100.0, 0.0, 14.0),
    wiring: ("screws-wires", 110.0, 40.0),
    edge_lines: "",
    tilt_lines: "",
    eye_lines: "",
    close: 150.0,
    builds: &[
        Build {
            source: Source::Free,
            lithium: true,
            words: "four motors, soft urethane tyres, a lithium pack",
            wheel: "wheel-50-urethane",
            ..MEGA_SILICONE
        },
        MEGA_SILICONE,
    ],
};

const MEGA_SILICONE: Build = Build {
    source: Source::Free,
    lithium: true,
    words: "four motors, silicone tyres, a lithium pack",
    plates: Some(["plate-steel-196", "plate-aluminium-196"]),
    shell: "body-printed-196",
    motors: [
        "gearmotor-big-500",
        "gearmotor-big-1000",
        "gearmotor-big-500",
        "gearmotor-big-500",
    ],
    wheel: "wheel-50-silicone",
    blade: "blade-thin-195",
    pack: ("pack-lipo-3-1300", 25.0),
    driver: "driver-big",
    board: "board-quick",
    eye: "ir-range-700-wide",
    edge: "edge-sensor-long",
    flanks: true,
    tilt: Some("tilt-sensor"),
};

const MICRO: Family = Family {
    size: [49.0, 49.0, 38.0],
    most_g: 130.0,
    front: 8.0,
    floor: 2.0,
    wheels: [13.0, 19.0],
    motors: [10.0, 8.0],
    motors_a_side: 1,
    eyes: [20.0, 20.0, 14.0, 20.0, 14.0],
    edges: [21.0, 18.0, 2.0],
    tip_height: "0.26 +- 0.08 ~ 0.08 mm",
    ballast: ("ballast-steel-10", 10.0, 0.0, 4.0),
    wiring: ("screws-wires-small", 6.0, 14.0),
    edge_lines: "mass = \"0.6 g\"\nfading-height = \"4 +- 1 mm\"\n",
    tilt_lines: "mass = \"0.3 g\"\n",
    eye_lines: "",
    close: 38.0,
    builds: &[Build {
        source: Source::Free,
        lithium: true,
        words: "micro gear motors, silicone tyres, a lithium cell",
        plates: None,
        shell: "body-printed-48",
        motors: ["gearmotor-micro-700"; 4],
        wheel: "wheel-16-silicone",
        blade: "blade-steel-48",
        pack: ("pack-lipo-1-150", 10.0),
        driver: "driver-tiny",
        board: "board-tiny",
        eye: "ir-range-300-tiny",
        edge: "edge-sensor",
        flanks: true,
        tilt: Some("tilt-sensor"),
    }],
};

const NANO: Family = Family {
    size: [24.6, 24.6, 21.0],
    most_g: 33.0,
    front: 4.0,
    floor: 1.2,
    wheels: [6.0, 9.8],
    motors: [5.0, 4.5],
    motors_a_side: 1,
    eyes: [10.0, 10.0, 7.0, 10.0, 9.0],
    edges: [10.5, 9.0, 1.2],
    tip_height: "0.2 +- 0.05 ~ 0.06 mm",
    ballast: ("ballast-steel-10", 1.0, 0.0, 2.5),
    wiring: ("screws-wires-small", 1.5, 8.0),
    edge_lines: "mass = \"0.1 g\"\nspot = \"2 mm\"\nfading-height = \"3 +- 1 mm\"\n",
    tilt_lines: "mass = \"0.1 g\"\n",
    eye_lines: "mass = \"0.2 g\"\n",
    close: 18.0,
    builds: &[Build {
        source: Source::Free,
        lithium: true,
        words: "pinhead gear motors, silicone tyres, a lithium cell",
        plates: None,
        shell: "body-printed-24",
        motors: ["gearmotor-pin-900"; 4],
        wheel: "wheel-9-silicone",
        blade: "blade-steel-24",
        pack: ("pack-lipo-1-40", 8.0),
        driver: "driver-tiny",
        board: "board-tiny",
        eye: "ir-range-300-tiny",
        edge: "edge-sensor",
        flanks: true,
        tilt: Some("tilt-sensor"),
    }],
};
