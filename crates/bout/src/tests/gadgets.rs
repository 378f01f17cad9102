//! Gadgets in whole bouts: a robot on a lifter frees itself with its jack.

use quantity::Stream;
use robot::{PartsBox, Robot};

use super::scenery::arena;
use super::staging::EVERYTHING;
use crate::record::{EventKind, Record};
use crate::{Fighter, fight};

/// Drives under what stands before it, lifts, and keeps it up.
const HERON: &str = "state under {\n  drive 35 % 35 % for 550 ms\n  then lift\n}\n\
                     state lift {\n  lifter to up\n  wait\n}\n";

/// Stands still for 1.5 s, then turns to the left, on its pole where `pole` says so.
fn stork(pole: &str) -> String {
    format!(
        "state sit {{\n  wait for 1500 ms\n  {pole}\n  wait for 500 ms\n  pivot 60 % left for 900 ms\n  \
         wait\n}}\n"
    )
}

fn read(text: &str, program: &str) -> (Robot, tactic::Program) {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let lookup = |_: &str| Some(program.to_owned());
    let robot = robot::read("r.toml", text, &parts, &lookup).unwrap_or_else(|e| panic!("{e:#?}"));
    let tactic = tactic::parse("r.tactic", program).unwrap_or_else(|e| panic!("{e:#?}"));
    let ports = tactic::Ports::of(&robot);
    let program = tactic::compile(&tactic, &ports).unwrap_or_else(|e| panic!("{e:#?}"));
    (robot, program)
}

fn bout(pole: &str, seed: u64) -> Record {
    let sides = [
        read(include_str!("heron.toml"), HERON),
        read(include_str!("stork.toml"), &stork(pole)),
    ];
    let fighters = [0, 1].map(|i: usize| Fighter {
        carry: None,
        robot: &sides[i].0,
        program: &sides[i].1,
        opening: 0,
    });
    let mut arena = arena();
    arena.longest_s = 3.4;
    fight(&arena, fighters, Stream::root(seed), EVERYTHING)
}

/// Direction of the jack's robot in rad at a time of the bout.
fn heading(record: &Record, at_s: f64) -> f64 {
    let frame = record.frames[1]
        .iter()
        .find(|f| f.time_s >= at_s - 1e-9)
        .unwrap_or_else(|| panic!("{:?} {:?}", record.outcome, record.events));
    let [x, y, z, w] = frame.orientation;
    quantity::maths::atan2(2.0 * (w * z + x * y), 1.0 - 2.0 * (y * y + z * z))
}

/// Turned between two times, at most half a turn, rad.
fn turned(record: &Record) -> f64 {
    let full = quantity::maths::TAU;
    let raw = heading(record, 2.9) - heading(record, 1.9);
    (raw - full * (raw / full).round()).abs()
}

/// Times of the events of the jack's robot of a kind, s.
fn times(record: &Record, kind: EventKind) -> Vec<f64> {
    let of_stork = record.events.iter().filter(|e| e.seat == 1);
    of_stork
        .filter(|e| e.kind == kind)
        .map(|e| e.time_s)
        .collect()
}

/// Whether it stands on the other robot at a time.
fn lies_on(record: &Record, at_s: f64) -> bool {
    let last = |kind| {
        let before = times(record, kind).into_iter().filter(|t| *t <= at_s);
        before.fold(0.0, f64::max)
    };
    last(EventKind::Lifted) > last(EventKind::SetDown)
}

#[test]
fn a_robot_caught_on_a_lifter_frees_itself_with_its_jack_and_turns_away() {
    let mut freed = 0;
    for seed in 0..8 {
        let (caught, jacked) = (bout("wait for 1 ms", seed), bout("pole to down", seed));
        let held = lies_on(&caught, 1.5) && lies_on(&caught, 1.99);
        let free = !lies_on(&jacked, 1.99);
        let turned = turned(&jacked);
        println!("{seed}: held without jack {held}, free with it {free}, turned {turned:.2} rad");
        freed += u32::from(held && free && turned > 0.8);
    }
    // Measured 8; two for other ways the lifter may catch it.
    assert!(freed >= 6, "{freed} of 8");
}
