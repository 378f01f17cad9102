//! The ten kinds of sensor in whole bouts: nothing but their readings reaches a program, and robots
//! that cannot see, see late or ask for the wrong thing do worse.

use std::cell::RefCell;
use std::rc::Rc;

use quantity::{Figure, Stream};
use robot::Robot;

use super::scenery::{Scripted, Steady, arena, pusher};
use super::sensing::{acts_at, from_file, program};
use super::staging::{NOTHING_EXTRA, somewhere};
use crate::control::{Controller, Orders};
use crate::fight::fight_mirrored;
use crate::pilot::{Pilot, Side};
use crate::placing::Spot;
use crate::{Arena, Fighter};

/// A sensor of each kind by its part, and what a program can ask of it.
const KINDS: [(&str, &str); 10] = [
    ("edge-sensor", "s on border"),
    ("ir-range-400", "s sees within 20 cm"),
    ("tof-1200", "s sees within 20 cm"),
    ("ultrasonic-module", "s sees within 20 cm"),
    ("proximity-module", "s sees"),
    ("bumper-switch", "s touched"),
    ("tilt-sensor", "s above 2 deg"),
    ("gyro", "s above 100 deg"),
    ("encoder-360\"\nside = \"left", "s above 150 mm"),
    ("current-sensor\"\nside = \"left", "s above 350 mA"),
];

/// A robot with a sensor of each kind, s0 to s9, and a program that asks all of them and throws dice.
fn all_kinds() -> (Robot, tactic::Program) {
    let mut sensors = String::new();
    let mut rules = String::new();
    for (k, (part, asked)) in KINDS.iter().enumerate() {
        let at = format!("at = [\"{} mm\", \"0 mm\", \"20 mm\"]", 10 + 3 * k);
        sensors += &format!("[[sensor]]\nname = \"s{k}\"\npart = \"{part}\"\n{at}\n");
        let asked = asked.replacen("s ", &format!("s{k} "), 1);
        rules += &format!(
            "    {asked} and chance 40 %: drive {} % {} %\n",
            10 * k,
            90 - 10 * k
        );
    }
    let text = format!(
        "opening o {{\n  begin go-on\n}}\nstate go-on {{\n  go back when s0 > 500 and chance 5 %\n  \
         follow {{\n{rules}    otherwise: drive 20 % -20 %\n  }}\n}}\nstate back {{\n  \
         drive -50 % -50 % for 60 ms\n  then go-on\n}}\n"
    );
    let robot = from_file(&sensors);
    let program = program(&robot, &text);
    (robot, program)
}

/// What the sensors said and what the program ordered, run by run.
type Log = Vec<(Vec<i16>, Orders)>;

/// A pilot whose program gets readings that somebody else has written, whatever its sensors say.
struct Frozen<'a> {
    fighter: Fighter<'a>,
    spot: Spot,
    log: Rc<RefCell<Log>>,
}

#[derive(Debug)]
struct Fed {
    inner: Box<dyn Controller>,
    runs: i16,
    log: Rc<RefCell<Log>>,
}

impl Controller for Fed {
    fn run(&mut self, readings: &[i16], elapsed_ms: u32) -> Option<Orders> {
        self.runs = self.runs.wrapping_add(1);
        let written: Vec<i16> = (0..10)
            .map(|k| (self.runs.wrapping_mul(37 + k)) % 1200)
            .collect();
        let orders = self.inner.run(&written, elapsed_ms)?;
        self.log.borrow_mut().push((readings.to_vec(), orders));
        Some(orders)
    }
}

impl Pilot for Frozen<'_> {
    fn spot(&self, _opening: usize) -> Spot {
        self.spot
    }

    fn start(&self, opening: usize, chance: Stream) -> Box<dyn Controller> {
        Box::new(Fed {
            inner: self.fighter.start(opening, chance),
            runs: 0,
            log: Rc::clone(&self.log),
        })
    }
}

/// A bout of the robot with all kinds.
fn ordered(arena: &Arena, opponent: &Robot, spots: [Spot; 2], does: [i16; 2]) -> Log {
    let (robot, program) = all_kinds();
    let own = Frozen {
        fighter: Fighter {
            carry: None,
            robot: &robot,
            program: &program,
            opening: 0,
        },
        spot: spots[0],
        log: Rc::default(),
    };
    let other = Scripted {
        spot: spots[1],
        program: Steady(does),
    };
    let sides = [
        Side {
            robot: &robot,
            pilot: &own,
        },
        Side {
            robot: opponent,
            pilot: &other,
        },
    ];
    fight_mirrored(arena, sides, Stream::root(31), NOTHING_EXTRA, false);
    own.log.take()
}

#[test]
fn with_all_ten_kinds_frozen_nothing_in_the_world_changes_a_command() {
    let mut dark = arena();
    // Nobody is put back: programs begin anew then, and when is the world's affair.
    (dark.no_progress_s, dark.longest_s) = (60.0, 4.0);
    let mut bright = dark.clone();
    bright.ring.hall.light = 1.6;
    let mut crowded = dark.clone();
    crowded.ring.hall.free_space_m = 0.1;
    let mut slippery = dark.clone();
    slippery.ring.grip = 0.4;
    let mut heavy = pusher("opponent");
    heavy.parts[0].mass = Figure::derived(0.6, "mass");
    for piece in &mut heavy.hull {
        piece.reflectance = Figure::derived(0.05, "reflectance");
    }
    let plain = pusher("opponent");
    // Facing away: people are seen where the opponent does not hide them.
    let away = Spot {
        facing_rad: 2.6,
        ..somewhere(1)
    };
    let away = [away, somewhere(2)];
    let here = [somewhere(1), somewhere(2)];
    for (what, arena, opponent, before, spots, does) in [
        ("light", &bright, &plain, here, here, [0, 0]),
        ("people", &crowded, &plain, away, away, [0, 0]),
        ("grip", &slippery, &plain, here, here, [0, 0]),
        ("opponent", &dark, &heavy, here, here, [0, 0]),
        ("its program", &dark, &plain, here, here, [900, 700]),
        (
            "its place",
            &dark,
            &plain,
            here,
            [here[0], somewhere(5)],
            [0, 0],
        ),
        (
            "own place",
            &dark,
            &plain,
            here,
            [somewhere(6), here[1]],
            [0, 0],
        ),
    ] {
        let first = ordered(&dark, &plain, before, [0, 0]);
        let second = ordered(arena, opponent, spots, does);
        let both = first.len().min(second.len());
        assert!(both > 30, "{what}: {both}");
        let orders = |log: &Log| log[..both].iter().map(|l| l.1).collect::<Vec<_>>();
        assert!(
            orders(&first) == orders(&second),
            "{what} reached the program"
        );
        let sensed = first.iter().zip(&second).any(|(a, b)| a.0 != b.0);
        assert!(sensed, "{what} is the same for the sensors, too");
    }
    let decided = ordered(&dark, &plain, here, [0, 0]);
    let efforts = decided.iter().map(|l| l.1.effort[0]);
    let efforts: std::collections::BTreeSet<i16> = efforts.collect();
    assert!(
        efforts.len() > 5,
        "the program does decide by them: {efforts:?}"
    );
}

/// What is asked of a sensor of each kind, what it is asked when the threshold is wrong, and what the
/// robot does until then.
const WATCHES: [(usize, &str, &str, &str); 10] = [
    (0, "drive -45 % -45 %", "s above 400", "s above 999"),
    (1, "wait", "s sees within 12 cm", "s sees within 7 cm"),
    (2, "wait", "s sees within 12 cm", "s sees within 6 cm"),
    (3, "wait", "s sees within 12 cm", "s sees within 6 cm"),
    (4, "wait", "s sees", "s > 1"),
    (5, "wait", "s touched", "s > 1"),
    (6, "wait", "s above 1 deg", "s above 40 deg"),
    (7, "pivot 60 % left", "s above 100 deg", "s above 3000 deg"),
    (8, "drive 50 % 50 %", "s above 150 mm", "s above 3000 mm"),
    (9, "drive 100 % 100 %", "s above 350 mA", "s above 5 A"),
];

#[test]
fn blindfold_delay_and_a_wrong_threshold_hurt_with_every_kind() {
    for (k, first, asked, wrong) in WATCHES {
        let part = KINDS[k].0;
        let behind = if k == 0 {
            "\nat = [\"-44 mm\", \"0 mm\", \"3 mm\"]"
        } else {
            ""
        };
        let acts = |latency: &str, asked: &str| {
            let sensor = format!("part = \"{part}\"\nlatency = \"{latency}\"{behind}");
            acts_at(&sensor, first, asked)
        };
        let sound = acts("0 ms", asked);
        let (blind, late) = (acts("60 s", asked), acts("100 ms", asked));
        let shifted = acts("0 ms", wrong);
        println!("{part}: {sound:?}, blind {blind:?}, late {late:?}, wrong {shifted:?}");
        let sound = sound.unwrap_or_else(|| panic!("{part} never acts"));
        assert_eq!(blind, None, "{part}");
        assert!(
            shifted.is_none_or(|t| t > sound + 0.03),
            "{part}: {shifted:?}"
        );
        // Frames are 20 ms apart. Seen too late, the border is not seen at all.
        let by = late.map(|t| t - sound);
        assert!(
            by.map_or(k == 0, |by| (by - 0.1).abs() < 0.021),
            "{part}: {by:?}"
        );
    }
}

/// A distance sensor to 800 mm without chance, at the nose.
fn nose(name: &str, rate: f64, latency: f64) -> robot::Sensor {
    fn figure<D: quantity::Dimension>(si: f64) -> Figure<D> {
        Figure::derived(si, "x")
    }
    let mut s = pusher("x").sensors.remove(0);
    name.clone_into(&mut s.item.name);
    (s.rate, s.latency) = (
        Figure::derived(rate, "rate"),
        Figure::derived(latency, "latency"),
    );
    s.kind = robot::SensorKind::Range {
        nearest: figure(0.001),
        farthest: figure(0.8),
        field_of_view: figure(0.2),
        noise: figure(0.0),
        misses: figure(0.0),
        false_alarms: figure(0.0),
    };
    s
}

/// What the two sensors of [`nose`] say at each run of a program that stands.
#[derive(Debug, Clone)]
struct Notes(Rc<RefCell<Vec<[f64; 3]>>>);

impl Controller for Notes {
    fn run(&mut self, readings: &[i16], elapsed_ms: u32) -> Option<Orders> {
        let [sharp, old] = [0, 1].map(|k: usize| f64::from(readings[k]));
        self.0
            .borrow_mut()
            .push([f64::from(elapsed_ms), sharp, old]);
        Some(Orders::drive([0; 2]))
    }
}

/// A reading is as old as the sensor's latency and at most one measuring cycle more, and so far has
/// the opponent come since: 52.9 mm at 1 m/s with a cycle of 47.9 ms and 5 ms of settling (timing
/// chart of the Sharp GP2Y0D02YK data sheet: 38.3 ± 9.6 ms; the settling from memory).
#[test]
fn what_a_distance_sensor_says_is_old_by_the_way_travelled_in_its_latency() {
    for (cycle_ms, latency_ms) in [(1.0, 0.0), (38.3, 5.0), (47.9, 5.0), (2.56, 80.0)] {
        let mut watcher = pusher("watcher");
        watcher.board.loop_time = Figure::derived(0.001, "loop");
        watcher.sensors = vec![
            nose("sharp", 1000.0, 0.0),
            nose("old", 1e3 / cycle_ms, 1e-3 * latency_ms),
        ];
        let notes = Notes(Rc::default());
        let spot = Spot {
            behind_m: 0.2,
            ..Spot::default()
        };
        let own = Scripted {
            spot,
            program: notes.clone(),
        };
        let other = Scripted {
            spot,
            program: Steady([700, 700]),
        };
        let robots = [watcher, pusher("comes")];
        let pilots: [&dyn Pilot; 2] = [&own, &other];
        let sides = [0, 1].map(|i: usize| Side {
            robot: &robots[i],
            pilot: pilots[i],
        });
        fight_mirrored(&arena(), sides, Stream::root(3), NOTHING_EXTRA, false);
        let notes = notes.0.take();
        let (mut checked, mut oldest) = (0, 0.0_f64);
        for k in 150..notes.len() {
            let [now, sharp, old] = notes[k];
            if !(60.0..300.0).contains(&sharp) {
                continue;
            }
            let [before, was, _] = notes[k - 20];
            let speed = (was - sharp) / (now - before);
            // A millimetre of rounding in each reading, and the millisecond in which both are taken.
            let slack = 2.0 + 1.5 * speed;
            let (least, most) = (speed * latency_ms, speed * (latency_ms + cycle_ms));
            let way = old - sharp;
            assert!(
                way > least - slack && way < 1.1 * most + slack,
                "{now} ms: {way} mm"
            );
            oldest = oldest.max(way / speed);
            checked += 1;
        }
        println!("{cycle_ms} ms, {latency_ms} ms: {checked} runs, oldest {oldest:.1} ms");
        assert!(checked > 50, "{checked}");
        let limit = latency_ms + cycle_ms;
        assert!(
            (0.9 * limit - 3.0..1.1 * limit + 5.0).contains(&oldest),
            "{oldest} of {limit}"
        );
    }
}
