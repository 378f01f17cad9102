//! What is worked out on paper against what happens in bouts: two ways to the same numbers that
//! share the laws of motor and tyre, but neither statics nor motion.

use bout::{Arena, End, Record, Wanted, fight};
use paper::{Drive, Footing};
use quantity::{Draws, Stream};
use report::Setting;
use robot::Robot;
use study::Entrant;

/// An opponent that does nothing.
const STILL: &str = "opening aside {\n  switch 0\n  facing 180 deg\n}\nstate still {\n  wait\n}\n";

struct Bench {
    setting: Setting,
    still: Entrant,
    arena: Arena,
}

fn bench() -> Bench {
    let setting = Setting::load("demo", None, None).unwrap_or_else(|e| panic!("{e:#?}"));
    let still = entrant(&setting.field[0].robot, STILL);
    Bench {
        arena: Arena::of(&setting.class),
        setting,
        still,
    }
}

fn entrant(robot: &Robot, text: &str) -> Entrant {
    let tactic = tactic::parse("made up", text).unwrap_or_else(|e| panic!("{e:#?}"));
    Entrant::new(robot, &tactic, 0).unwrap_or_else(|e| panic!("{e:#?}"))
}

fn bout(b: &Bench, ours: &Entrant, number: u64) -> Record {
    let wanted = Wanted {
        frames: true,
        events: true,
    };
    let draws = Stream::root(3).named("paper and bout").numbered(number);
    fight(&b.arena, [ours.fighter(), b.still.fighter()], draws, wanted)
}

/// Time from the first turn of effort, way and speed of our robot in a frame.
fn ways(record: &Record) -> Vec<(f64, f64)> {
    let frames = &record.frames[0];
    let start = frames
        .iter()
        .find(|f| f.effort[0] > 0.0)
        .expect("it drives");
    let away = |f: &bout::Frame| {
        let d = [0, 1].map(|k: usize| f.position[k] - start.position[k]);
        (d[0] * d[0] + d[1] * d[1]).sqrt()
    };
    let after = frames.iter().filter(|f| f.time_s >= start.time_s);
    after.map(|f| (f.time_s - start.time_s, away(f))).collect()
}

/// The demo turned away from its opponent charges at full effort over 150 mm of free ring. Forty
/// imagined robots scatter by some 6 % each (motors ± 8 % and ± 10 %), their mean by 1 %.
#[test]
fn a_charge_takes_as_long_as_on_paper() {
    const WAY_M: f64 = 0.15;
    let b = bench();
    let charge = "opening away {\n  switch 0\n  facing 180 deg\n}\nstate go-on {\n  drive 100 % 100 \
                  %\n}\n";
    let ours = entrant(&b.setting.robot, charge);
    let mut sum = 0.0;
    for number in 0..40 {
        let ways = ways(&bout(&b, &ours, number));
        let k = ways
            .iter()
            .position(|w| w.1 >= WAY_M)
            .expect("it gets there");
        let ((t0, w0), (t1, w1)) = (ways[k - 1], ways[k]);
        sum += t0 + (t1 - t0) * (WAY_M - w0) / (w1 - w0);
    }
    let measured = sum / 40.0;
    let robot = &b.setting.robot;
    let footing =
        Footing::of(robot, robot::Surface::default(), &Draws::nominal()).expect("it stands");
    let drive = Drive::of(robot, &footing, 1.0, WAY_M, &Draws::nominal());
    println!("bout {measured:.4} s, paper {:.4} s", drive.charge_s);
    assert!((measured / drive.charge_s - 1.0).abs() < 0.05);
}

/// The demo with its edge sensors at the front drives at a border with ever more effort. On paper
/// it stops from the safe speed; in the bouts half of the robots must go out at about that speed,
/// few at two thirds of it and nearly all at a sixth more.
#[test]
fn the_safe_speed_on_paper_divides_the_bouts() {
    let b = bench();
    let mut robot = b.setting.robot.clone();
    for s in &mut robot.sensors {
        if s.item.name.starts_with("edge") {
            let at = s.item.at[0].clone();
            s.item.at[0] = at.with_si(0.042);
        }
    }
    const TRIED: u32 = 100;
    let mut rows = Vec::new();
    for percent in [20, 30, 40, 45, 50, 55, 60, 80, 100] {
        let text = format!(
            "opening away {{\n  switch 0\n  facing 180 deg\n}}\nreflex edge when edge-left on border \
             or edge-right on border {{\n  drive -100 % -100 % for 300 ms\n  then rest\n}}\nstate \
             go-on {{\n  drive {percent} % {percent} %\n}}\nstate rest {{\n  wait\n}}\n"
        );
        let ours = entrant(&robot, &text);
        let tactic = tactic::parse("made up", &text).unwrap_or_else(|e| panic!("{e:#?}"));
        let paper = paper::examine(&robot, &b.setting.class, &tactic, &b.setting.parts);
        let safe = paper
            .edge
            .and_then(|e| e.forward)
            .expect("it has edge sensors")
            .safe_m_s;
        let (mut out, mut speed) = (0, 0.0);
        for number in 0..u64::from(TRIED) {
            let record = bout(&b, &ours, number);
            out += u32::from(record.outcome.end == End::Out { loser: 0 });
            let ways = ways(&record);
            let fastest = ways
                .windows(2)
                .map(|w| (w[1].1 - w[0].1) / (w[1].0 - w[0].0));
            speed += fastest.fold(0.0, f64::max) / f64::from(TRIED);
        }
        println!("{percent} %: {speed:.2} m/s, safe {safe:.2} m/s, out {out} of {TRIED}");
        rows.push((speed / safe, out));
    }
    // Imagined robots differ in grip, motors and phase of the loop, so the border is not sharp:
    // looked at is the speed at which half of them go out. Measured: 0.90 of the safe speed, with a
    // sampling error of 0.02: paper is that much too hopeful.
    let half = f64::from(TRIED / 2);
    let at = rows
        .windows(2)
        .find(|w| f64::from(w[0].1) < half && f64::from(w[1].1) >= half)
        .expect("half go out");
    let [(s0, n0), (s1, n1)] = [at[0], at[1]];
    let at = s0 + (s1 - s0) * (half - f64::from(n0)) / f64::from(n1 - n0);
    println!("half go out at {at:.3} of the safe speed");
    assert!((0.84..=1.1).contains(&at), "{at:.3}");
    assert!(
        rows.iter()
            .all(|(share, out)| *share > 0.67 || *out <= TRIED / 10)
    );
    assert!(
        rows.iter()
            .all(|(share, out)| *share < 1.15 || *out >= TRIED - TRIED / 10)
    );
}

/// A figure known exactly.
fn exact<D: quantity::Dimension>(figure: &mut quantity::Figure<D>) {
    *figure = figure.clone().with_spread(0.0, 0.0);
}

/// The demo pushes at something too heavy, with gears that lock, for a whole round, and stalls: the
/// winding of a motor must warm as on paper. What is not known of motors is set to its nominal value. In the
/// first third of a second it is still on its way. Measured: 1.00 of paper's rise.
#[test]
fn a_stalled_round_warms_the_motors_as_on_paper() {
    let mut b = bench();
    (b.arena.no_progress_s, b.arena.longest_s) = (1e3, 5.0);
    let mut robot = b.setting.robot.clone();
    for m in &mut robot.motors {
        exact(&mut m.stall_current);
        exact(&mut m.stall_torque);
        let cooling = &mut m.cooling;
        exact(&mut cooling.winding_to_case);
        exact(&mut cooling.case_to_air);
        exact(&mut cooling.winding_time);
        exact(&mut cooling.case_time);
    }
    let mut wall = robot.clone();
    wall.battery.item.mass = wall.battery.item.mass.with_si(20.0);
    for m in &mut wall.motors {
        m.box_efficiency = m.box_efficiency.clone().with_si(0.4).with_spread(0.0, 0.0);
    }
    let pushes = "opening ahead {\n  switch 0\n}\nstate push {\n  drive 100 % 100 %\n}\n";
    let [ours, wall] = [entrant(&robot, pushes), entrant(&wall, STILL)];
    let mut sum = 0.0;
    for number in 0..20 {
        let draws = Stream::root(3).named("heat").numbered(number);
        let fighters = [ours.fighter(), wall.fighter()];
        let record = fight(&b.arena, fighters, draws, Wanted::default());
        assert_eq!(record.outcome.end, End::Tie, "nothing moves");
        let motors = &record.carry[0].motors;
        // Now and then it slips off to one side, with one motor stalled.
        sum += motors.iter().map(|w| w.winding_k).fold(0.0, f64::max) / 20.0;
    }
    let footing =
        Footing::of(&robot, robot::Surface::default(), &Draws::nominal()).expect("it stands");
    let drive = Drive::of(&robot, &footing, 1.0, 0.15, &Draws::nominal());
    let day = paper::Day {
        matches: 1,
        rounds: 1,
        push_s: 5.0,
        ..paper::Day::of(&b.setting.class)
    };
    let heat = paper::Heat::of(&robot, &drive, day, &Draws::nominal()).expect("it has motors");
    println!(
        "bout {sum:.2} K, paper {:.2} K at {:.3} A",
        heat.peak.winding_k, heat.pushing_a
    );
    assert!((sum / heat.peak.winding_k - 1.0).abs() < 0.05, "{sum}");
}
