//! Faults in whole bouts: each against its twin without.

use quantity::{Figure, Stream, maths};
use robot::{Fault, Robot};

use super::scenery::{Scripted, Steady, arena, plain, pusher};
use super::staging::EVERYTHING;
use crate::arena::Arena;
use crate::fight::{Setup, fight_set_up};
use crate::pilot::{Pilot, Side};
use crate::placing::Spot;
use crate::record::{Cause, End, EventKind, Record};
use crate::{Judging, Measure};

fn faulty(fault: Fault) -> Robot {
    let mut r = plain("faulty");
    r.faults.rates = vec![(fault, Figure::derived(1.0, fault.word()))];
    r
}

/// Fights `robot` with `program` in seat 0 against one that stands behind its line.
fn fought(arena: &Arena, robot: &Robot, program: [i16; 2], k: u64) -> Record {
    let other = plain("other");
    let spots = [
        Spot {
            aside_m: 0.15,
            ..Spot::default()
        },
        Spot {
            behind_m: 0.1,
            aside_m: 0.2,
            ..Spot::default()
        },
    ];
    let pilots = [
        Scripted {
            spot: spots[0],
            program: Steady(program),
        },
        Scripted {
            spot: spots[1],
            program: Steady([0, 0]),
        },
    ];
    let sides = [
        Side {
            robot,
            pilot: &pilots[0] as &dyn Pilot,
        },
        Side {
            robot: &other,
            pilot: &pilots[1],
        },
    ];
    let draws = Stream::root(12).numbered(k);
    fight_set_up(arena, sides, draws, EVERYTHING, Setup::default())
}

/// A bout of twelve seconds that nobody wins: slow turning on the spot.
fn patient() -> Arena {
    let mut arena = arena();
    (arena.longest_s, arena.no_progress_s) = (12.0, 60.0);
    arena
}

fn when(r: &Record, kind: EventKind) -> Option<f64> {
    r.events
        .iter()
        .find(|e| e.kind == kind && e.seat == 0)
        .map(|e| e.time_s)
}

/// How fast seat 0 turns on average between two times, in rad/s, from its frames.
fn turning(r: &Record, from_s: f64, to_s: f64) -> f64 {
    let yaw = |f: &crate::Frame| {
        let [x, y, z, w] = f.orientation;
        maths::atan2(2.0 * (w * z + x * y), 1.0 - 2.0 * (y * y + z * z))
    };
    let within = |f: &&crate::Frame| f.time_s >= from_s && f.time_s <= to_s;
    let yaws: Vec<f64> = r.frames[0].iter().filter(within).map(yaw).collect();
    let turned: f64 = yaws
        .windows(2)
        .map(|w| maths::wrap_angle(w[1] - w[0]))
        .sum();
    turned / (0.02 * (yaws.len() - 1) as f64)
}

#[test]
fn without_faults_nothing_strikes_and_the_bits_are_the_same() {
    let clean = plain("faulty");
    let mut never = clean.clone();
    never.faults.rates = vec![(Fault::LostTyre, Figure::derived(0.0, "never"))];
    let (a, b) = (
        fought(&patient(), &clean, [200, -200], 1),
        fought(&patient(), &never, [200, -200], 1),
    );
    assert_eq!(a, b);
    assert!(a.events.iter().all(|e| e.kind != EventKind::LostTyre));
}

#[test]
fn a_loose_plug_stops_one_side() {
    let clean = fought(&patient(), &plain("faulty"), [200, -200], 2);
    let r = fought(&patient(), &faulty(Fault::LoosePlug), [200, -200], 2);
    let t = when(&r, EventKind::LoosePlug).expect("it strikes");
    let (before, after) = (turning(&r, 0.5, t), turning(&r, t + 0.3, 11.9));
    let whole = turning(&clean, t + 0.3, 11.9);
    assert!(
        (before - whole).abs() < 0.1 * whole.abs(),
        "{before} {whole}"
    );
    // One wheel drives, the other rolls: half the turning.
    let share = after / whole;
    assert!((0.35..0.7).contains(&share), "{share}");
}

#[test]
fn a_lost_tyre_slows_the_wheel_that_lost_it() {
    // On thin tyres: a wide one scrubs less without its rubber, which hides the smaller radius.
    let mut thin = faulty(Fault::LostTyre);
    for w in &mut thin.wheels {
        w.width = w.width.clone().with_si(1e-3);
    }
    let r = fought(&patient(), &thin, [150, -150], 2);
    let t = when(&r, EventKind::LostTyre).expect("it strikes");
    let (before, after) = (turning(&r, 0.5, t), turning(&r, t + 0.5, 11.9));
    // The rim has 0.85 of the radius: (1 + 0.85)/2 = 0.925 of the turning, less what slips.
    let share = after / before;
    assert!((0.85..0.97).contains(&share), "{share}");
}

#[test]
fn a_controller_that_starts_anew_stands_while_it_boots() {
    let mut robot = faulty(Fault::ControllerReset);
    robot.board.boot_time = Figure::derived(0.5, "boot");
    let r = fought(&patient(), &robot, [200, -200], 2);
    let t = when(&r, EventKind::ControllerReset).expect("it strikes");
    assert!(turning(&r, t + 0.1, t + 0.45).abs() < 0.1);
    let (before, after) = (turning(&r, 0.5, t), turning(&r, t + 0.8, 11.9));
    assert!(
        (before - after).abs() < 0.1 * before.abs(),
        "{before} {after}"
    );
}

/// Where a button starts it, nobody presses that in the middle of a bout; the judge, who puts both down again
/// once nothing has happened for a while, lets it be pressed.
#[test]
fn one_that_a_button_starts_stands_after_a_reset_until_it_is_put_down_again() {
    let mut robot = faulty(Fault::ControllerReset);
    robot.board.boot_time = Figure::derived(0.5, "boot");
    let mut arena = Arena {
        start_delay_s: 5.0,
        ..patient()
    };
    let r = fought(&arena, &robot, [200, -200], 2);
    let t = when(&r, EventKind::ControllerReset).expect("it strikes");
    assert!(turning(&r, 0.5, t).abs() > 1.0);
    assert!(turning(&r, t + 0.2, 11.9).abs() < 0.01);
    arena.no_progress_s = t + 1.0;
    let r = fought(&arena, &robot, [200, -200], 2);
    assert_eq!(when(&r, EventKind::ControllerReset), Some(t));
    let back = when(&r, EventKind::Restart).expect("nobody got anywhere");
    assert!(turning(&r, t + 0.2, back - 0.1).abs() < 0.01);
    assert!(turning(&r, back + 0.5, back + 2.0).abs() > 1.0);
}

#[test]
fn a_dropped_screw_loses_only_where_it_weighs_too_much() {
    let mut robot = faulty(Fault::DroppedScrew);
    robot.faults.screw_mass = Some(Figure::derived(0.006, "screw"));
    let mut arena = patient();
    let classes = rules::Classes::built_in().expect("they read");
    let mini = classes.find("mini").expect("it is built in");
    let let_it = fought(&arena, &robot, [200, -200], 2);
    assert_eq!(let_it.outcome.cause, Cause::TimedOut);
    assert!(when(&let_it, EventKind::DroppedScrew).is_some());
    arena.judging = Judging {
        dropped: Some(mini.robot.dropped_kg.value),
        ..arena.judging
    };
    let lost = fought(&arena, &robot, [200, -200], 2);
    assert_eq!(
        (lost.outcome.end, lost.outcome.cause),
        (End::Ruled { loser: 0 }, Cause::DroppedParts)
    );
    let mass = lost.outcome.grounds.get(Measure::DroppedMass);
    assert!(mass.is_some_and(|g| g.against == Some(0.005)), "{mass:?}");
    robot.faults.screw_mass = Some(Figure::derived(0.001, "screw"));
    assert_eq!(
        fought(&arena, &robot, [200, -200], 2).outcome.cause,
        Cause::TimedOut
    );
}

/// A charge at another, which drives with this effort, by a robot with this pack resistance and this least
/// voltage.
fn charges(arena: &Arena, resistance: f64, least_v: Option<f64>, others: i16) -> Record {
    let mut robot = plain("sagging");
    robot.battery.resistance = Figure::derived(resistance, "pack");
    robot.board.brown_out = least_v.map(|v| Figure::derived(v, "brown-out"));
    let other = plain("other");
    let pilots = [[1000; 2], [others; 2]].map(|p| Scripted {
        spot: Spot::default(),
        program: Steady(p),
    });
    let sides = [
        Side {
            robot: &robot,
            pilot: &pilots[0] as &dyn Pilot,
        },
        Side {
            robot: &other,
            pilot: &pilots[1],
        },
    ];
    fight_set_up(arena, sides, Stream::root(4), EVERYTHING, Setup::default())
}

#[test]
fn a_pack_that_sags_too_low_takes_the_controller_with_it() {
    // Two motors of 1.4 A at 6 V with 0.2 Ω in series draw about 3 A at standstill from 7.4 V:
    // 0.6 V less at 0.2 Ω, 2.6 V less at 1.2 Ω (computed).
    let stiff = charges(&arena(), 0.2, Some(6.0), 1000);
    assert_eq!(when(&stiff, EventKind::BrownOut), None);
    let soft = charges(&arena(), 1.2, Some(6.0), 1000);
    let t = when(&soft, EventKind::BrownOut).expect("the start draws the most");
    assert!(t < 0.1, "{t}");
    assert_eq!(
        when(&charges(&arena(), 1.2, None, 1000), EventKind::BrownOut),
        None
    );
    assert_eq!(
        soft.outcome.end,
        End::Out { loser: 0 },
        "{:?}",
        soft.outcome
    );
    assert_eq!(soft.outcome.cause, Cause::BrownOut);
    let volts = soft
        .outcome
        .grounds
        .get(Measure::PackVoltage)
        .expect("said");
    assert!(volts.value < 6.0 && volts.against == Some(6.0));
    // It tries again and again, and browns out each time: at most one reset in a boot time.
    let resets: Vec<f64> = (soft.events.iter())
        .filter(|e| e.kind == EventKind::BrownOut)
        .map(|e| e.time_s)
        .collect();
    assert!(
        resets.windows(2).all(|w| w[1] - w[0] >= 0.299),
        "{resets:?}"
    );
    // Where a button starts it, once is enough, and the loss is laid to it however much later it comes.
    let button = Arena {
        start_delay_s: 5.0,
        no_progress_s: 60.0,
        ..arena()
    };
    let stands = charges(&button, 1.2, Some(6.0), 150);
    let browned = |e: &&crate::Event| e.kind == EventKind::BrownOut && e.seat == 0;
    assert_eq!(stands.events.iter().filter(browned).count(), 1);
    let since = stands.outcome.decided_s - when(&stands, EventKind::BrownOut).expect("once");
    assert!(since > 1.6, "the slow one needs its time: {since} s");
    assert_eq!(stands.outcome.end, End::Out { loser: 0 });
    assert_eq!(stands.outcome.cause, Cause::BrownOut);
}

#[test]
fn a_dead_sensor_blinds_a_robot_and_is_blamed() {
    // A hunter with one eye that dies at once against its twin.
    let mut one_eyed = pusher("one-eyed");
    one_eyed.sensors.truncate(1);
    one_eyed.faults.rates = vec![(Fault::DeadSensor, Figure::derived(1.0, "dead"))];
    let own = crate::sense::Silhouette::of(&one_eyed, &quantity::Draws::nominal());
    let draws = quantity::Draws::nominal();
    let board = crate::control::Board::new(&one_eyed, &draws, 0.0, 0.0);
    let runs = board.runs();
    let read = |dead: bool| {
        let mut senses = crate::sense::Senses::new(&one_eyed, &own, &draws, Stream::root(3), &runs);
        let scene = super::scenery::closing(&own);
        senses.settle(&scene);
        if dead {
            senses.kill(0.0);
        }
        senses.take(0.0, 50.0, &scene, &runs);
        (senses.readings(49.0)[0], senses.sees())
    };
    assert_eq!(read(true), (tactic::PortKind::NOTHING, false));
    assert!(read(false).1);
}

#[test]
fn a_loss_after_something_broke_is_laid_to_it_and_one_before_is_not() {
    // Crawls out slowly, just above what its friction eats; the dead sensor changes nothing, but it may have.
    let robot = faulty(Fault::DeadSensor);
    let (mut laid, mut not) = (0, 0);
    for k in 0..32 {
        let r = fought(&patient(), &robot, [-110, -110], k);
        if r.outcome.end != (End::Out { loser: 0 }) {
            continue;
        }
        let struck = when(&r, EventKind::DeadSensor);
        let before = struck.is_some_and(|t| t <= r.outcome.decided_s);
        let cause = r.outcome.cause;
        assert_eq!(cause == Cause::Fault, before, "{cause:?} {struck:?}");
        laid += u32::from(before);
        not += u32::from(!before);
    }
    assert!(laid >= 2 && not >= 2, "{laid} {not}");
}
