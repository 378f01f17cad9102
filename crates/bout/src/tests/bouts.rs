//! Whole bouts.

use std::cell::RefCell;
use std::rc::Rc;

use quantity::{Figure, Stream, maths};
use robot::{Robot, SensorKind};

use super::scenery::{Hunting, Scripted, Steady, arena, mirror, plain, pusher};
use crate::control::Controller;
use crate::fight::{Pilot, Side, fight_mirrored};
use crate::placing::Spot;
use crate::record::{Cause, End, EventKind, Record};
use crate::{Arena, Fighter, Wanted, fight};

const NOTHING_EXTRA: Wanted = Wanted {
    frames: false,
    events: false,
};
const EVERYTHING: Wanted = Wanted {
    frames: true,
    events: true,
};

/// Half a robot behind the line, a little aside, facing somewhere: decided by `k`.
fn somewhere(k: u64) -> Spot {
    let u = |name: &str| Stream::root(77).named(name).numbered(k).uniform() - 0.5;
    Spot {
        behind_m: 0.08 + 0.1 * u("behind"),
        aside_m: 0.2 * u("aside"),
        facing_rad: 3.0 * u("facing"),
    }
}

fn hunters(
    arena: &Arena,
    robots: [&Robot; 2],
    spots: [Spot; 2],
    draws: Stream,
    mirrored: bool,
) -> Record {
    let pilots = spots.map(Hunting);
    let sides = [0, 1].map(|i: usize| Side {
        robot: robots[i],
        pilot: &pilots[i],
    });
    fight_mirrored(arena, sides, draws, NOTHING_EXTRA, mirrored)
}

/// A bout between robots without blades that run scripted programs.
fn scripted<C: Controller + Clone + 'static>(
    arena: &Arena,
    programs: [C; 2],
    spots: [Spot; 2],
    wanted: Wanted,
) -> Record {
    let robot = plain("scripted");
    let [a, b] = programs;
    let pilots = [
        Scripted {
            spot: spots[0],
            program: a,
        },
        Scripted {
            spot: spots[1],
            program: b,
        },
    ];
    let sides = [0, 1].map(|i: usize| Side {
        robot: &robot,
        pilot: &pilots[i] as &dyn Pilot,
    });
    fight_mirrored(arena, sides, Stream::root(1), wanted, false)
}

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
                End::Out { loser } => {
                    decided += 1;
                    won += u64::try_from(loser).expect("0 or 1");
                }
                End::Tie => ties += 1,
                End::NotFinite => panic!("not finite: seed {seed}, bout {k}"),
            }
        }
    }
    println!("{won} of {decided} decided bouts won by seat 0, {ties} ties");
    assert!(decided > 1600, "{decided}");
    // Two-sided 99.9 % exact binomial acceptance region around one half.
    let p = tail(decided, won.min(decided - won));
    assert!(p > 0.0005, "{won} of {decided}: one-sided chance {p}");
}

#[test]
fn a_robot_that_drives_straight_out_loses_by_itself() {
    let ahead = Spot {
        behind_m: 0.1,
        aside_m: 0.0,
        facing_rad: maths::PI,
    };
    let r = scripted(
        &arena(),
        [Steady([1000, 1000]), Steady([0, 0])],
        [ahead, Spot::default()],
        EVERYTHING,
    );
    assert_eq!(r.outcome.end, End::Out { loser: 0 });
    assert_eq!(r.outcome.cause, Cause::EdgeSeenTooLate, "{:?}", r.outcome);
    assert!(r.outcome.decided_s < r.outcome.time_s && r.outcome.time_s < 2.0);
    let left = r.outcome.left_at.expect("it left").abs();
    assert!(
        (left - maths::PI).abs() < 0.3,
        "over the side of negative x: {left}"
    );
    let kinds: Vec<EventKind> = r
        .events
        .iter()
        .filter(|e| e.seat == 0)
        .map(|e| e.kind)
        .collect();
    assert_eq!(kinds.first(), Some(&EventKind::Start));
    assert_eq!(kinds.last(), Some(&EventKind::Out));
    assert!(kinds.contains(&EventKind::Edge) && kinds.contains(&EventKind::Decided));
    assert!(r.events.windows(2).all(|w| w[0].time_s <= w[1].time_s));
}

#[test]
fn a_sleeper_is_pushed_out_and_gave_way() {
    let r = scripted(
        &arena(),
        [Steady([1000, 1000]), Steady([0, 0])],
        [
            Spot::default(),
            Spot {
                behind_m: 0.1,
                ..Spot::default()
            },
        ],
        EVERYTHING,
    );
    assert_eq!(
        r.outcome.end,
        End::Out { loser: 1 },
        "{:?} {:#?}",
        r.outcome,
        r.events
    );
    assert_eq!(
        r.outcome.cause,
        Cause::GaveWay,
        "it saw the other come: {:?}",
        r.outcome
    );
    let hit = r
        .events
        .iter()
        .find(|e| e.kind == EventKind::Hit)
        .expect("they meet");
    assert!(
        r.outcome.decided_s >= hit.time_s - 0.02,
        "{:?} {hit:?}",
        r.outcome
    );
    let frames = &r.frames[1];
    assert!(frames[0].time_s.abs() < 1e-12);
    assert!(
        frames
            .windows(3)
            .all(|w| (w[1].time_s - w[0].time_s - 0.02).abs() < 1e-9)
    );
    assert!((frames[frames.len() - 1].time_s - r.outcome.time_s).abs() < 1e-9);
    assert!(
        frames[0].wheels.iter().all(|w| w.load_n > 0.5),
        "{:?}",
        frames[0]
    );
}

#[test]
fn two_sleepers_are_put_back_once_and_tie() {
    let r = scripted(
        &arena(),
        [Steady([0, 0]); 2],
        [Spot::default(); 2],
        EVERYTHING,
    );
    assert_eq!((r.outcome.end, r.outcome.cause), (End::Tie, Cause::Stuck));
    assert!((r.outcome.time_s - 10.0).abs() < 0.02, "{:?}", r.outcome);
    let restarts = r
        .events
        .iter()
        .filter(|e| e.kind == EventKind::Restart)
        .count();
    assert_eq!(restarts, 2, "one for each robot");
    // Put down anew with another error of the hand.
    let place = |t: f64| {
        let frame = r.frames[0]
            .iter()
            .find(|f| f.time_s >= t)
            .expect("there are frames");
        frame.position
    };
    let way = maths::hypot(place(4.0)[0] - place(6.0)[0], place(4.0)[1] - place(6.0)[1]);
    assert!((1e-4..0.03).contains(&way), "{way}");
}

#[test]
fn the_time_limit_ends_a_bout_without_a_winner() {
    let mut arena = arena();
    (arena.longest_s, arena.no_progress_s) = (3.0, 60.0);
    let r = scripted(
        &arena,
        [Steady([0, 0]); 2],
        [Spot::default(); 2],
        NOTHING_EXTRA,
    );
    assert_eq!(
        (r.outcome.end, r.outcome.cause),
        (End::Tie, Cause::TimedOut)
    );
    assert!((r.outcome.time_s - 3.0).abs() < 0.011);
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
    fn run(&mut self, readings: &[i16], elapsed_ms: u32) -> [i16; 2] {
        let effort = self.hunter.run(readings, elapsed_ms);
        self.log.borrow_mut().push(effort);
        effort
    }
}

impl Pilot for Logged {
    fn spot(&self) -> Spot {
        self.spot
    }

    fn start(&self, chance: Stream) -> Box<dyn Controller> {
        Box::new(Logging {
            hunter: Hunting(self.spot).start(chance),
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

/// A robot without blade, put down without error.
fn exact(name: &str) -> Robot {
    let mut r = plain(name);
    r.put_down = Figure::derived(0.0, "put_down");
    r.put_down_heading = Figure::derived(0.0, "put_down_heading");
    r
}

/// How `loser` (program, facing) goes out against `winner` charging straight at the centre.
fn loss(loser: &Robot, program: [i16; 2], spot: Spot, winner: [i16; 2]) -> Cause {
    let strong = exact("strong");
    let lost = Scripted {
        spot,
        program: Steady(program),
    };
    let won = Scripted {
        spot: Spot {
            behind_m: 0.05,
            ..Spot::default()
        },
        program: Steady(winner),
    };
    let sides = [
        Side {
            robot: loser,
            pilot: &lost,
        },
        Side {
            robot: &strong,
            pilot: &won,
        },
    ];
    let r = fight_mirrored(&arena(), sides, Stream::root(2), NOTHING_EXTRA, false);
    assert_eq!(r.outcome.end, End::Out { loser: 0 }, "{:?}", r.outcome);
    r.outcome.cause
}

#[test]
fn the_cause_of_a_staged_loss_is_what_was_staged() {
    let ahead = [1000, 1000];
    let facing = |deg: f64| Spot {
        behind_m: 0.05,
        aside_m: 0.0,
        facing_rad: deg * maths::PI / 180.0,
    };
    let full = exact("staged");

    let mut weak = full.clone();
    for m in &mut weak.motors {
        m.stall_torque = Figure::derived(0.01, "weak");
    }
    assert_eq!(
        loss(&weak, ahead, facing(0.0), ahead),
        Cause::PushedMotorsStalled
    );

    let mut slippery = full.clone();
    for w in &mut slippery.wheels {
        w.tyre.grip_peak = Figure::derived(0.5, "slippery");
        w.tyre.grip_sliding = Figure::derived(0.4, "slippery");
    }
    assert_eq!(
        loss(&slippery, ahead, facing(0.0), ahead),
        Cause::PushedTyresSlid
    );

    assert_eq!(loss(&full, [0, 0], facing(0.0), ahead), Cause::GaveWay);
    assert_eq!(
        loss(&full, [0, 0], facing(90.0), ahead),
        Cause::TakenFromSide
    );
    assert_eq!(
        loss(&full, [0, 0], facing(180.0), ahead),
        Cause::NeverSaw,
        "no eye at the back"
    );

    let still = [0, 0];
    assert_eq!(
        loss(&full, ahead, facing(180.0), still),
        Cause::EdgeSeenTooLate
    );
    assert_eq!(
        loss(&full, [150, 150], facing(180.0), still),
        Cause::EdgeIgnored
    );
    assert_eq!(
        loss(&full, [-1000, -1000], facing(0.0), still),
        Cause::EdgeSeenTooLate
    );
    let mut unwary = full.clone();
    unwary
        .sensors
        .retain(|s| !matches!(s.kind, SensorKind::Reflectance { .. }));
    assert_eq!(
        loss(&unwary, ahead, facing(180.0), still),
        Cause::EdgeUnseen
    );
    assert_eq!(
        loss(&unwary, [-1000, -1000], facing(0.0), still),
        Cause::ReversedOut
    );

    let mut unbladed = full.clone();
    unbladed.skids.clear();
    unbladed.blade = pusher("blade").blade;
    if let Some(b) = &mut unbladed.blade {
        b.tip_height = Figure::derived(0.003, "high");
    }
    let bladed = pusher("under");
    let under = |k: u64| {
        let spot = facing(0.0);
        let pilots = [0, 1].map(|_| Scripted {
            spot,
            program: Steady(ahead),
        });
        let sides = [
            Side {
                robot: &unbladed,
                pilot: &pilots[0] as &dyn Pilot,
            },
            Side {
                robot: &bladed,
                pilot: &pilots[1] as &dyn Pilot,
            },
        ];
        let r = fight_mirrored(&arena(), sides, Stream::root(k), NOTHING_EXTRA, false);
        r.outcome.end == (End::Out { loser: 0 }) && r.outcome.cause == Cause::Lifted
    };
    let lifted = (0..10).filter(|&k| under(k)).count();
    assert!(lifted >= 7, "a blade 3 mm up is got under: {lifted} of 10");
}

#[test]
fn old_readings_and_blindness_lose_bouts() {
    let sharp = pusher("sharp");
    let n = 150;
    let wins = |latency_s: f64| {
        let mut dull = sharp.clone();
        for s in &mut dull.sensors {
            s.latency = Figure::derived(latency_s, "latency");
        }
        let bout = |k: u64| {
            let spots = [somewhere(2 * k), somewhere(2 * k + 1)];
            let draws = Stream::root(21).numbered(k);
            hunters(&arena(), [&dull, &sharp], spots, draws, false).winner() == Some(0)
        };
        (0..n).filter(|&k| bout(k)).count()
    };
    let (equal, late, blind) = (wins(0.002), wins(0.15), wins(60.0));
    println!("of {n}: {equal} equal, {late} late, {blind} blind");
    // A fair share is 75, standard error 6.
    assert!(equal > 50 && equal < 100, "{equal}");
    assert!(late < 50 && blind < 35, "{late} {blind}");
}
