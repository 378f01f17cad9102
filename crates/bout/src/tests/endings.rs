//! How bouts end, and why.

use quantity::{Figure, Stream, maths};
use robot::{Robot, SensorKind};

use super::scenery::{Scripted, Steady, arena, plain, pusher};
use super::staging::{EVERYTHING, NOTHING_EXTRA, hunters, scripted, somewhere};
use crate::fight::fight_mirrored;
use crate::pilot::{Pilot, Side};
use crate::placing::Spot;
use crate::record::{Cause, End, EventKind};

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

/// A robot without blade and without anything that varies, put down without error.
fn exact(name: &str) -> Robot {
    let mut r = plain(name);
    for m in &mut r.motors {
        m.stall_torque = Figure::derived(0.07, "stall");
    }
    for w in &mut r.wheels {
        w.tyre.grip_peak = Figure::derived(0.9, "peak");
        w.tyre.grip_sliding = Figure::derived(0.8, "sliding");
    }
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
    // Measured 81, 25, 49. A fair share is 75 with a standard error of 6.1: within three of them
    // for equals, and at least three below for late and blind. The blind one keeps the sight it was
    // put down with, so it still wins where its first charge hits.
    assert!((57..=93).contains(&equal), "{equal}");
    assert!(late < 57 && blind < 57, "{late} {blind}");
}
