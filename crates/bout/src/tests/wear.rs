//! What the rounds of a match leave on the robots.

use quantity::{Figure, Origin, Stream};
use robot::Robot;

use super::scenery::{Hunting, arena, pusher};
use super::staging::{NOTHING_EXTRA, somewhere};
use crate::fight::{Setup, fight_set_up};
use crate::pilot::Side;
use crate::rounds::{MatchRecord, match_of};
use crate::{Arena, Carry};

/// A pusher whose tyres lose a third of their grip to dirt.
fn dusty(name: &str) -> Robot {
    let mut robot = pusher(name);
    for w in &mut robot.wheels {
        w.tyre.dirt_loss = Figure::new(0.33, Origin::Stated, "tyre/dirt_loss");
        w.tyre.since_cleaned = Figure::new(5.0, Origin::Stated, "tyre/since_cleaned");
    }
    robot
}

/// Three rounds at least.
fn three_rounds(pause_s: f64) -> Arena {
    let mut arena = arena();
    (arena.match_rules.points, arena.match_rules.rounds) = (3, 5);
    arena.match_rules.pause_s = pause_s;
    arena
}

fn fought(arena: &Arena, robots: &[Robot; 2]) -> MatchRecord {
    let pilots = [somewhere(1), somewhere(2)].map(Hunting);
    let sides = [0, 1].map(|i: usize| Side {
        robot: &robots[i],
        pilot: &pilots[i],
    });
    match_of(arena, sides, Stream::root(5))
}

fn warmest_k(carry: &Carry) -> f64 {
    (carry.motors.iter())
        .map(|w| w.winding_k)
        .fold(0.0, f64::max)
}

#[test]
fn the_third_round_is_fought_with_warmer_motors_an_emptier_pack_and_dirtier_tyres() {
    let record = fought(&three_rounds(10.0), &[dusty("a"), dusty("b")]);
    assert!(record.rounds.len() >= 3);
    for seat in 0..2 {
        let brought: Vec<&Carry> = record.rounds.iter().map(|r| &r.brought[seat]).collect();
        assert_eq!(brought[0], &Carry::default(), "nothing into the first");
        for k in 1..3 {
            let (before, now) = (brought[k - 1], brought[k]);
            assert!(now.used_c > before.used_c, "{k}: {now:?}");
            assert!(now.tyres_m.iter().all(|m| *m > 0.0), "{k}: {now:?}");
            assert!(
                (before.tyres_m.iter().zip(&now.tyres_m)).all(|(a, b)| b > a),
                "{k}"
            );
            let case = |c: &Carry| c.motors.iter().map(|w| w.case_k).sum::<f64>();
            assert!(case(now) > case(before), "{k}: {now:?}");
        }
        println!("{:?}", brought[2]);
    }
}

#[test]
fn the_pause_cools_the_motors_and_leaves_pack_and_tyres() {
    let robots = [dusty("a"), dusty("b")];
    let [short, long] = [1.0, 3600.0].map(|s| fought(&three_rounds(s), &robots));
    let [short, long] = [&short, &long].map(|r| &r.rounds[1].brought[0]);
    assert!(
        warmest_k(short) > 5.0 * warmest_k(long).max(1e-3),
        "{short:?} {long:?}"
    );
    assert!((short.used_c - long.used_c).abs() < 1e-12);
    assert_eq!(short.tyres_m, long.tyres_m);
    let clean = long.clone().wiped().recharged();
    assert_eq!((clean.used_c, clean.tyres_m.len()), (0.0, 0));
    assert_eq!(clean.motors, long.motors);
}

/// The same draws with and without what a hard day leaves: only the carry differs.
#[test]
fn a_bout_alone_is_the_first_round_and_wear_changes_its_course() {
    let (arena, robots) = (arena(), [dusty("a"), dusty("b")]);
    let pilots = [somewhere(1), somewhere(2)].map(Hunting);
    let sides = [0, 1].map(|i: usize| Side {
        robot: &robots[i],
        pilot: &pilots[i],
    });
    let fight = |carry: Option<&[Carry; 2]>| {
        let setup = Setup {
            carry,
            ..Setup::default()
        };
        fight_set_up(&arena, sides, Stream::root(5), NOTHING_EXTRA, setup).state_hash
    };
    let alone = fight(None);
    assert_eq!(alone, fight(Some(&[const { nothing() }; 2])));
    for worn in [
        Carry {
            used_c: 500.0,
            ..nothing()
        },
        Carry {
            tyres_m: vec![60.0; 2],
            ..nothing()
        },
    ] {
        assert_ne!(alone, fight(Some(&[worn, nothing()])));
    }
}

const fn nothing() -> Carry {
    Carry {
        used_c: 0.0,
        motors: Vec::new(),
        tyres_m: Vec::new(),
    }
}
