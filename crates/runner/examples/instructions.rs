//! Work to be counted: `docs/speed.md` says how and holds the figures.
//!
//! `bouts` fights whole bouts of the built-in mini field and of two heavy robots, `scramble` moves
//! the reference scene with scripted efforts and nothing else. Both print the simulated time.

#![allow(
    clippy::print_stdout,
    reason = "it prints what the count is divided by"
)]

use bout::scene::{Bench, Build, SCENE};
use robot::PartsBox;
use rules::Classes;
use study::{Entrant, Pit};

/// Who fights whom, by class.
const PAIRS: [(&str, &str, &str); 7] = [
    ("mini", "demo", "mini/anvil"),
    ("mini", "demo", "mini/badger"),
    ("mini", "demo", "mini/bumble"),
    ("mini", "demo", "mini/lapwing"),
    ("mini", "demo", "mini/magpie"),
    ("mini", "demo", "mini/whirligig"),
    ("mega", "mega/mastiff", "mega/otter"),
];
/// Bouts of each pair.
const BOUTS: u32 = 4;
/// Rounds of the scramble.
const ROUNDS: u32 = 20;
/// Longest round, ms.
const ROUND_MS: u32 = 2000;

fn main() {
    match std::env::args().nth(1).as_deref() {
        Some("bouts") => bouts(),
        Some("scramble") => scramble(),
        _ => println!("say bouts or scramble"),
    }
}

fn bouts() {
    let parts = PartsBox::built_in().expect("the built-in parts are sound");
    let classes = Classes::built_in().expect("the built-in classes are sound");
    let entrant = |name: &str| {
        let robot = store::load_robot(name, &parts).expect("a built-in robot");
        Entrant::of_robot(&robot).expect("with a sound tactic")
    };
    let pits = PAIRS.map(|(class, ours, theirs)| Pit {
        arena: bout::Arena::of(classes.find(class).expect("a built-in class")),
        seed: 1,
        ours: vec![entrant(ours)],
        field: vec![entrant(theirs)],
    });
    println!("{:.0} ms simulated", counted_bouts(&pits));
}

/// Kept whole, so that counting can be confined to it.
#[inline(never)]
fn counted_bouts(pits: &[Pit]) -> f64 {
    let tasks = study::plan(0, 1, BOUTS);
    let fought = pits.iter().flat_map(|p| tasks.iter().map(|t| p.fight(*t)));
    fought.map(|f| 1000.0 * f64::from(f.time_s)).sum()
}

fn scramble() {
    let build = Build {
        scene: SCENE,
        torque: SCENE.stall_torque,
        blade: true,
    };
    let mut simulated = 0;
    for round in 0..ROUNDS {
        let mut bench = Bench::new(&SCENE, [build; 2]);
        let aside = 0.01 * f64::from(round % 5) - 0.02;
        bench.put_down(0, -0.15, aside, 0.0);
        bench.put_down(1, 0.15, 0.0, core::f64::consts::PI);
        simulated += counted_scramble(&mut bench, round as usize);
    }
    println!("{simulated} ms simulated");
}

/// Each robot drives at the other with one side at full effort and changes the other side ten
/// times a second.
#[inline(never)]
fn counted_scramble(bench: &mut Bench, round: usize) -> u32 {
    const EFFORTS: [[f64; 2]; 7] = [
        [1.0, 0.9],
        [0.6, 0.7],
        [0.9, 1.0],
        [-0.2, 0.4],
        [1.0, -0.3],
        [0.8, 1.0],
        [0.5, 0.8],
    ];
    let mut ms = 0;
    while ms < ROUND_MS && !bench.on_floor(0) && !bench.on_floor(1) {
        let [right, left] = EFFORTS[(ms as usize / 100 + 3 * round) % EFFORTS.len()];
        ms += bench.step([[1.0, right], [left, 1.0]], 2);
    }
    ms
}
