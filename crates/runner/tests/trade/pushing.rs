//! Wheels, grip, being lifted and getting off again.

use bout::{EventKind, Record};

use crate::workshop::{
    Plan, blunt, compare, driven_behind, duel, mean, mini, nose_up, records, ring_of,
};

/// Slow motors that stall long before the tyres slip.
fn feeble(plan: &Plan) -> Plan {
    let motor = "part = \"gearmotor-strong-400\"";
    let figures = "stall-torque = \"25 mN.m\"\nstall-current = \"0.3 A\"";
    plan.clone().with(motor, &format!("{motor}\n{figures}"))
}

fn wheels(plan: &Plan, diameter: &str) -> Plan {
    let wheel = "part = \"wheel-34-silicone\"";
    let sized = format!("{wheel}\ndiameter = \"{diameter}\"");
    plan.clone().with(wheel, &sized)
}

/// Both robots, ours first, in the first frame from `after_s` after they met, or the last; none if
/// they passed by each other.
fn met(seat: usize, record: &Record, after_s: f64) -> Option<[&bout::Frame; 2]> {
    let hit = record.events.iter().find(|e| e.kind == EventKind::Hit);
    let hit_s = hit?.time_s;
    Some([seat, 1 - seat].map(|s| {
        let mut frames = record.frames[s].iter();
        let found = frames.find(|f| f.time_s >= hit_s + after_s);
        found.or(record.frames[s].last()).expect("there are frames")
    }))
}

/// How far on our side of the middle two robots meet on average, in m, after a run-up of 700 mm:
/// the slower one's side.
fn on_our_side(one: &Plan, two: &Plan) -> f64 {
    let far = |plan: &Plan| plan.clone().plays("130 mm behind", "700 mm behind");
    let bouts = records(&ring_of(2.5), &far(one), &far(two), 20);
    mean(bouts.iter().filter_map(|(seat, record)| {
        let side = if *seat == 0 { -1.0 } else { 1.0 };
        let both = met(*seat, record, 0.0)?;
        Some(side * mean(both.iter().map(|f| f.position[0])))
    }))
}

/// "Smaller driven wheels push harder but are slower." The model agrees where the motors are the
/// limit; with motors that can spin the tyres nothing is gained, and later it is all the same. Later
/// needs room, though: what pushes harder also gathers speed sooner, and with motors so feeble the
/// two meet 0.2 mm from the middle of a mini ring.
#[test]
fn a_smaller_wheel_pushes_harder_and_arrives_later_until_its_tyres_slip() {
    let strong = blunt();
    for (motors, gains) in [(feeble(&strong), true), (strong, false)] {
        let (small, large) = (wheels(&motors, "26 mm"), wheels(&motors, "36 mm"));
        let (tally, late) = (
            duel(&mini(), &small, &large, 60),
            on_our_side(&small, &large),
        );
        let share = tally.share();
        println!("{gains} {tally:?} {share:?}, {:.1} mm late", 1e3 * late);
        assert_eq!(share.low > 0.5, gains, "{tally:?}");
        assert!(share.high > 0.5, "{tally:?}");
        assert!(late > 0.02, "{late}");
    }
}

/// How far the first pushes the second on average within 0.8 s of meeting it, in m.
fn pushes(grip: f64, one: &Plan, two: &Plan) -> f64 {
    let mut arena = mini();
    (arena.ring.grip, arena.ring.grip_varies, arena.longest_s) = (grip, 0.0, 4.0);
    let near = |plan: &Plan| plan.clone().plays("130 mm behind", "1 mm behind");
    let bouts = records(&arena, &near(one), &near(two), 12);
    mean(bouts.iter().filter_map(|(seat, record)| {
        let way = if *seat == 0 { 1.0 } else { -1.0 };
        let (from, to) = (met(*seat, record, 0.0)?, met(*seat, record, 0.8)?);
        Some(way * (to[1].position[0] - from[1].position[0]))
    }))
}

/// A motor nine times as strong pushes the other off a dry ring and hardly moves it on ice.
#[test]
fn without_grip_the_wheels_spin_and_nothing_is_pushed_whatever_the_motor() {
    let weak = feeble(&blunt());
    let [dry, ice] = [1.0, 0.05].map(|grip| pushes(grip, &blunt(), &weak));
    println!("dry {:.1} mm, ice {:.1} mm", 1e3 * dry, 1e3 * ice);
    assert!(dry > 0.1, "{dry}");
    assert!(ice.abs() < 0.1 * dry, "{ice}");
}

/// "A raised front takes weight off the driven wheels, so that robot can no longer push." True of
/// robots driven in front as well: the raised one's driven wheels keep 0.58 of their load. The saying
/// is wrong for one driven only behind: its rear wheels keep carrying what they did, as the balance of
/// moments says (measured 1.14 of their load), and who is raised decides nothing.
#[test]
fn a_raised_front_cannot_push_back_unless_it_is_driven_behind() {
    let low = Plan::of("mini/badger").charging();
    let high = low.clone().with("0.34 +- 0.1 ~ 0.1 mm", "1.5 mm");
    let all = duel(&mini(), &low, &high, 50);
    let behind = duel(&mini(), &driven_behind(&low), &driven_behind(&high), 50);
    println!("all driven {all:?}, driven behind {behind:?}");
    assert!(all.share().low > 0.8, "{all:?}");
    assert!(behind.share().estimate < all.share().low, "{behind:?}");
    let rear = [driven_behind(&low), driven_behind(&high)];
    let [of_all, of_rear] = [([&low, &high], 0), ([&rear[0], &rear[1]], 2)].map(|(pair, first)| {
        let load = |f: &bout::Frame| f.wheels[first..].iter().map(|w| w.load_n).sum::<f64>();
        let bouts = records(&mini(), pair[0], pair[1], 20);
        let kept = bouts.iter().filter_map(|(seat, record)| {
            let [_, theirs] = met(*seat, record, 0.15)?;
            let raised = nose_up(theirs.orientation) > 0.01;
            raised.then(|| load(theirs) / load(&record.frames[1 - seat][0]))
        });
        let kept: Vec<f64> = kept.collect();
        println!(
            "{} raised keep {:.2}",
            kept.len(),
            mean(kept.iter().copied())
        );
        assert!(kept.len() >= 10, "{kept:?}");
        mean(kept.into_iter())
    });
    assert!(of_all < 0.65 && of_rear > 0.95, "{of_all} {of_rear}");
}

/// Drives under what stands before it, lifts, waits, and pushes.
const HERON: &str = "state under {\n  drive 35 % 35 % for 550 ms\n  then lift\n}\n\
                     state lift {\n  lifter to up\n  wait for 1000 ms\n  then shove\n}\n\
                     state shove {\n  drive 100 % 100 %\n}\n";

/// Is lifted, turns to the left and drives aside, on its pole for a while where `pole` says so.
fn stork(pole: &str) -> String {
    format!(
        "state sit {{\n  wait for 800 ms\n  {pole}\n  wait for 300 ms\n  pivot 60 % left for 300 ms\n  \
         pole to up\n  drive 60 % 60 % for 200 ms\n  wait\n}}\n"
    )
}

/// The turn alone undoes nothing: the wheels that should turn the robot carry too little of it.
#[test]
fn a_jack_that_comes_down_and_a_turn_away_undo_a_lift() {
    let bird = include_str!("../../../bout/src/tests/stork.toml");
    let heron = Plan::from_text(include_str!("../../../bout/src/tests/heron.toml"), HERON);
    let versions = ["wait for 1 ms", "pole to down"].map(|p| Plan::from_text(bird, &stork(p)));
    let mut arena = mini();
    (arena.longest_s, arena.no_progress_s) = (3.5, 10.0);
    let both = compare(&arena, [&versions[0], &versions[1]], &[&heron], 60);
    println!("{:?} losses {:?}", both.tallies(), both.losses());
    assert!(both.losses().high < 0.0, "{:?}", both.tallies());
}
