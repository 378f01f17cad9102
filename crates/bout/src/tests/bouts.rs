//! What any bout must keep to, whoever fights: fairness, repeatability, senses alone.

use std::cell::RefCell;
use std::rc::Rc;

use quantity::{Figure, Stream, maths};
use robot::Robot;

use super::scenery::{Hunting, Scripted, Steady, arena, mirror, pusher};
use super::staging::{EVERYTHING, NOTHING_EXTRA, hunters, somewhere};
use crate::control::{Controller, Orders};
use crate::fight::fight_mirrored;
use crate::pilot::{Pilot, Side};
use crate::placing::Spot;
use crate::record::{End, Record};
use crate::{Arena, Fighter, fight};

#[test]
fn the_same_inputs_give_the_same_bits_whatever_is_kept() {
    let robot = pusher("twin");
    for k in 0..10 {
        let pilots = [Hunting(somewhere(2 * k)), Hunting(somewhere(2 * k + 1))];
        let sides = [0, 1].map(|i: usize| Side {
            robot: &robot,
            pilot: &pilots[i] as &dyn Pilot,
        });
        let run = |wanted| fight_mirrored(&arena(), sides, Stream::root(k), wanted, false);
        let (a, b, kept) = (run(NOTHING_EXTRA), run(NOTHING_EXTRA), run(EVERYTHING));
        assert_eq!(a, b);
        assert_eq!((a.state_hash, a.outcome), (kept.state_hash, kept.outcome));
        let other = fight_mirrored(&arena(), sides, Stream::root(k + 100), NOTHING_EXTRA, false);
        assert_ne!(a.state_hash, other.state_hash, "other draws, other bits");
    }
}

#[test]
fn the_mirrored_scene_gives_the_mirrored_result() {
    let (robot, image) = (pusher("chiral"), mirror(&pusher("chiral")));
    let n = 200;
    let mut differ = Vec::new();
    for k in 0..n {
        let spots = [somewhere(2 * k), somewhere(2 * k + 1)];
        let draws = Stream::root(8).numbered(k);
        let a = hunters(&arena(), [&robot, &robot], spots, draws, false);
        let b = hunters(&arena(), [&image, &image], spots, draws, true);
        if a.outcome.end != b.outcome.end {
            differ.push((k, a.outcome, b.outcome));
        }
    }
    assert!(
        differ.len() as f64 <= 0.01 * n as f64,
        "{} of {n}: {differ:#?}",
        differ.len()
    );
}

/// ln of the chance of at most `k` heads in `n` throws of a fair coin, for `k` ≤ n/2.
fn tail(n: u64, k: u64) -> f64 {
    let mut term = -(n as f64) * maths::ln(2.0);
    let mut sum = 0.0;
    for i in 0..=k {
        sum += maths::exp(term);
        term += maths::ln((n - i) as f64) - maths::ln((i + 1) as f64);
    }
    sum
}

#[test]
fn the_same_robot_on_both_sides_wins_half_of_the_decided_bouts() {
    let robot = pusher("twin");
    let (mut won, mut decided, mut ties) = (0, 0, 0);
    for seed in [1, 2, 3] {
        for k in 0..667 {
            let spots = [somewhere(2 * k), somewhere(2 * k + 1)];
            let draws = Stream::root(seed).numbered(k);
            let record = hunters(&arena(), [&robot, &robot], spots, draws, false);
            match record.outcome.end {
                End::Out { loser } | End::Ruled { loser } => {
                    decided += 1;
                    won += u64::try_from(loser).expect("0 or 1");
                }
                End::Tie => ties += 1,
                End::NotFinite | End::Abandoned { .. } => panic!("failed: seed {seed}, bout {k}"),
            }
        }
    }
    println!("{won} of {decided} decided bouts won by seat 0, {ties} ties");
    assert!(decided > 1600, "{decided}");
    // Two-sided 99.9 % exact binomial acceptance region around one half.
    let p = tail(decided, won.min(decided - won));
    assert!(p > 0.0005, "{won} of {decided}: one-sided chance {p}");
}

/// A hunter whose every decision is noted.
struct Logged {
    spot: Spot,
    log: Rc<RefCell<Vec<[i16; 2]>>>,
}

#[derive(Debug)]
struct Logging {
    hunter: Box<dyn Controller>,
    log: Rc<RefCell<Vec<[i16; 2]>>>,
}

impl Controller for Logging {
    fn run(&mut self, readings: &[i16], elapsed_ms: u32) -> Option<Orders> {
        let orders = self.hunter.run(readings, elapsed_ms)?;
        self.log.borrow_mut().push(orders.effort);
        Some(orders)
    }
}

impl Pilot for Logged {
    fn spot(&self, _opening: usize) -> Spot {
        self.spot
    }

    fn start(&self, opening: usize, chance: Stream) -> Box<dyn Controller> {
        Box::new(Logging {
            hunter: Hunting(self.spot).start(opening, chance),
            log: Rc::clone(&self.log),
        })
    }
}

#[test]
fn with_frozen_sensors_a_changed_truth_changes_no_decision() {
    // Readings a minute old: nothing that happens in the bout is ever seen.
    let mut blind = pusher("blind");
    for s in &mut blind.sensors {
        s.latency = Figure::derived(60.0, "latency");
    }
    let mut heavy = pusher("opponent");
    heavy.parts[0].mass = Figure::derived(0.5, "mass");
    let decisions = |opponent: &Robot, program: [i16; 2], grip: f64| {
        let log = Rc::new(RefCell::new(Vec::new()));
        let own = Logged {
            spot: somewhere(3),
            log: Rc::clone(&log),
        };
        let other = Scripted {
            spot: somewhere(4),
            program: Steady(program),
        };
        let sides = [
            Side {
                robot: &blind,
                pilot: &own,
            },
            Side {
                robot: opponent,
                pilot: &other,
            },
        ];
        let mut arena = arena();
        arena.ring.grip = grip;
        let record = fight_mirrored(&arena, sides, Stream::root(12), NOTHING_EXTRA, false);
        let log = log.borrow().clone();
        (log, record)
    };
    let (calm, first) = decisions(&pusher("opponent"), [0, 0], 1.0);
    for (opponent, program, grip) in [
        (&pusher("opponent"), [1000, 1000], 1.0),
        (&heavy, [-500, 700], 1.0),
        (&heavy, [0, 0], 0.4),
    ] {
        let (other, second) = decisions(opponent, program, grip);
        assert_ne!(first.state_hash, second.state_hash, "the truth is another");
        let both = calm.len().min(other.len());
        assert!(both > 50);
        assert_eq!(calm[..both], other[..both]);
    }
}

#[test]
fn where_hands_start_the_robots_one_is_a_little_later() {
    let mut arena = arena();
    arena.start_delay_s = 5.0;
    let mut waits = Vec::new();
    for seed in 0..40 {
        let robot = pusher("started");
        let pilots = [0, 1].map(|_| Scripted {
            spot: Spot::default(),
            program: Steady([1000, 1000]),
        });
        let sides = [0, 1].map(|i: usize| Side {
            robot: &robot,
            pilot: &pilots[i] as &dyn Pilot,
        });
        let r = fight_mirrored(&arena, sides, Stream::root(seed), EVERYTHING, false);
        let begins = [0, 1].map(|seat: usize| {
            let moving = |f: &&crate::Frame| f.effort[0] > 0.0;
            r.frames[seat]
                .iter()
                .find(moving)
                .expect("it starts")
                .time_s
        });
        assert!(begins[0].min(begins[1]) <= 0.02, "{begins:?}");
        waits.push((begins[0] - begins[1]).abs());
    }
    let mean = waits.iter().sum::<f64>() / waits.len() as f64;
    // Mean |difference| of two normals of 51 ms: 51·√2·√(2/π) = 58 ms; standard error 7 ms.
    assert!((0.035..0.081).contains(&mean), "{mean}");
}

/// A small tactic for the pusher.
const CHARGE: &str = "
opening nose-on {
  switch 0
  place 20 mm behind
  begin charge
}
opening turned {
  switch 1
  place 20 mm behind
  place 25 mm left
  facing -90 deg
  begin charge
}
reflex edge when front-left on border or front-right on border {
  drive -100 % -100 % for 120 ms
  pivot 80 % right for 200 ms
}
state charge {
  follow {
    centre sees: drive 100 % 100 %
    left-eye sees: drive -30 % 80 %
    right-eye sees: drive 80 % -30 %
    otherwise: pivot 50 % left
  }
}
";

#[test]
fn a_tactic_from_text_fights_through_its_own_openings() {
    let robot = pusher("charger");
    let tactic = tactic::parse("charge.tactic", CHARGE).expect("it reads");
    let program = tactic::compile(&tactic, &tactic::Ports::of(&robot)).expect("it fits");
    let mut decided = 0;
    for k in 0..10 {
        let fighter = |opening| Fighter {
            carry: None,
            robot: &robot,
            program: &program,
            opening,
        };
        let run = |openings: [usize; 2]| {
            fight(&arena(), openings.map(fighter), Stream::root(k), EVERYTHING)
        };
        let (a, b) = (run([0, 1]), run([0, 1]));
        assert_eq!(a, b);
        let start = |r: &Record, seat: usize| r.frames[seat][0].position;
        // Nose-on 20 mm behind the line of 50 mm, foremost part 50 mm; aside 25 mm to the left
        // of the one that faces −x. Hands err by 10 mm, 19 to 1.
        assert!((start(&a, 0)[0] + 0.12).abs() < 0.02 && start(&a, 0)[1].abs() < 0.02);
        assert!((start(&a, 1)[1] + 0.025).abs() < 0.02, "{:?}", start(&a, 1));
        let charges = |f: &crate::Frame| f.effort.iter().all(|&e| e > 0.99);
        assert!(
            a.frames[0][1..8].iter().any(charges),
            "it sees the other and charges"
        );
        decided += usize::from(a.winner().is_some());
    }
    assert!(decided >= 5, "{decided} of 10");
}

#[test]
fn where_rings_differ_each_bout_draws_its_surface() {
    let (one, mut two) = (arena(), arena());
    two.ring.also = vec![robot::Surface::Wood];
    let robot = pusher("rubber");
    let spots = [somewhere(1), somewhere(2)];
    let hash = |arena: &Arena, k| {
        let draws = Stream::root(3).named("surface").numbered(k);
        hunters(arena, [&robot, &robot], spots, draws, false).state_hash
    };
    let changed = (0..40).filter(|&k| hash(&one, k) != hash(&two, k)).count();
    // Half of 40, within three standard deviations.
    assert!((11..=29).contains(&changed), "{changed}");
}
