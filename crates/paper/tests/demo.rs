//! The demo robot: what its builder did wrong, and that each mistake can be mended by itself.

use paper::{Paper, examine};
use robot::{PartsBox, Robot};
use rules::{Class, Classes};
use tactic::Tactic;

struct Bench {
    parts: PartsBox,
    class: Class,
    robot: Robot,
}

fn bench() -> Bench {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let text = shelf::file("robots/demo.toml").expect("it is there");
    let lookup = |name: &str| shelf::file(&format!("robots/{name}"));
    let robot =
        robot::read("demo.toml", &text, &parts, &lookup).unwrap_or_else(|e| panic!("{e:#?}"));
    Bench {
        class: classes.find("mini").expect("it is there").clone(),
        parts,
        robot,
    }
}

fn tactic_of(robot: &Robot) -> Tactic {
    let t = &robot.tactic;
    tactic::parse(&t.file, &t.text).unwrap_or_else(|e| panic!("{e:#?}"))
}

fn paper(b: &Bench, robot: &Robot) -> Paper {
    examine(robot, &b.class, &tactic_of(robot), &b.parts)
}

fn names(p: &Paper) -> Vec<&'static str> {
    let mut names: Vec<_> = p.findings.iter().map(|f| f.name).collect();
    names.sort_unstable();
    names
}

const MISTAKES: [&str; 7] = [
    "edge-threshold",
    "edge-too-fast",
    "guard-gap",
    "mass-unused",
    "motors-stall-first",
    "no-edge-sensor-behind",
    "sensor-never-read",
];

#[test]
fn the_demo_has_exactly_the_mistakes_of_a_beginner() {
    let b = bench();
    let p = paper(&b, &b.robot);
    assert_eq!(names(&p), MISTAKES);
    assert!(p.findings.is_sorted_by_key(|f| f.severity));
    assert!(p.findings.iter().all(|f| f.place.is_some()));
}

#[track_caller]
fn near(value: f64, expected: f64, relative: f64) {
    assert!(
        (value - expected).abs() <= relative * expected.abs(),
        "{value} for {expected}"
    );
}

/// Worked by hand from the file's figures: two motors of 45 mN·m and 0.8 A at 6 V (7.5 Ω each)
/// behind 0.4 Ω of driver on four cells of 4.8 V and 0.15 Ω; the board draws 50 mA, five sensors 20 mA each.
#[test]
fn the_push_of_the_demo_is_what_ohm_and_the_lever_say() {
    let b = bench();
    let d = paper(&b, &b.robot).drive.expect("it stands");
    let volts = (4.8 - 0.15 * 0.15) / (1.0 + 0.15 * 2.0 / 7.9);
    near(d.stalled_v, volts, 1e-9);
    near(d.motor_stalled_a, volts / 7.9, 1e-9);
    // Friction eats the current without load, 8 % of the stall current.
    let free = 0.08 * 0.8;
    near(
        d.push_n,
        2.0 * 0.045 * (volts / 7.9 - free) / (0.8 - free) / 0.030,
        1e-9,
    );
    near(d.push_n, 2.114, 1e-3);
    // Free speed: 1000 rpm at 6 V less 8 % for friction, so about (4.77 − 0.48) V ÷ 5.52 V of it;
    // the drop over the driver is small.
    near(
        d.free_speed_m_s,
        1000.0 / 60.0 * std::f64::consts::TAU * 0.030 * 4.29 / 5.52,
        0.01,
    );
}

/// Three quarters of the weight stand on the wheels: levers about the axle 12 mm behind and the
/// blade's edge 49 mm ahead of the middle.
#[test]
fn the_weight_of_the_demo_stands_where_the_levers_say() {
    let b = bench();
    let f = paper(&b, &b.robot).footing.expect("it stands");
    near(f.mass_kg, 0.438, 2e-3);
    near(f.driven_share, (0.049 - f.centre_m.x) / 0.061, 1e-6);
    near(f.driven_share, 0.75, 0.01);
}

/// v·t + v²/2a fills the distance exactly at the safe speed.
#[test]
fn the_safe_speed_of_the_demo_uses_up_the_border_and_the_lead() {
    let b = bench();
    let e = paper(&b, &b.robot).edge.expect("it stands");
    let way = e.forward.expect("it has edge sensors");
    near(way.lead_over_axle_m, 0.004, 1e-9);
    near(way.delay_s, 0.010 + 0.001 + 0.0001 + 0.001, 1e-9);
    let v = way.safe_m_s;
    near(
        v * way.delay_s + v * v / (2.0 * way.deceleration_m_s2),
        way.distance_m,
        1e-9,
    );
    assert!(e.reached_m_s > way.safe_m_s && e.backward.is_none());
}

/// The same charge integrated step by step in time with the motor lines, the sagging pack and the
/// grip: an independent way to the closed form.
#[test]
fn the_charge_agrees_with_an_integration_in_small_steps() {
    let b = bench();
    let p = paper(&b, &b.robot);
    let (f, d) = (p.footing.expect("it stands"), p.drive.expect("it stands"));
    let push_at = |v: f64| {
        let k = d
            .line
            .iter()
            .rposition(|q| q.speed_m_s <= v)
            .expect("it starts at 0");
        let (q, r) = (&d.line[k], &d.line[(k + 1).min(d.line.len() - 1)]);
        let t = if r.speed_m_s > q.speed_m_s {
            (v - q.speed_m_s) / (r.speed_m_s - q.speed_m_s)
        } else {
            0.0
        };
        (q.motors_n + t * (r.motors_n - q.motors_n)).min(d.grip_n)
    };
    let m = &b.robot.motors[0];
    let r = 0.030;
    let rotors = 2.0 * m.reflected_inertia.si() / (r * r);
    let wheels: f64 = b.robot.wheels.iter().map(|w| 0.5 * w.item.mass.si()).sum();
    let mass = f.mass_kg + rotors + wheels;
    let (mut x, mut v, mut t) = (0.0, 0.0, 0.0);
    while x < d.charge_m {
        v += push_at(v) / mass * 1e-5;
        x += v * 1e-5;
        t += 1e-5;
    }
    near(d.charge_s, t, 1e-3);
    near(d.charge_speed_m_s, v, 1e-3);
}

#[test]
fn small_wheels_push_harder_and_charge_quicker_than_the_demos() {
    let b = bench();
    let p = paper(&b, &b.robot);
    let ours = p.wheels.iter().find(|w| w.ours).expect("it is there");
    let small = p
        .wheels
        .iter()
        .find(|w| w.part == "wheel-34-silicone")
        .expect("it is there");
    assert!(small.push_n > ours.push_n && small.charge_s < ours.charge_s);
    assert!(small.best_trade && !ours.best_trade);
}

#[test]
fn a_robot_whose_weight_lies_ahead_of_its_supports_does_not_stand() {
    let b = bench();
    let mut robot = b.robot.clone();
    let at = &robot.battery.item.at[0];
    robot.battery.item.at[0] = at.clone().with_si(0.5);
    let p = paper(&b, &robot);
    assert!(names(&p).contains(&"does-not-stand"));
    assert!(p.drive.is_none() && p.edge.is_none());
}

#[test]
fn motors_that_stall_all_day_are_said_to_get_hot_and_well_cooled_ones_are_not() {
    let b = bench();
    let named = |robot: &Robot| names(&paper(&b, robot)).contains(&"hot-motors");
    assert!(
        !named(&b.robot),
        "little more than a tenth of the push goes"
    );
    let mut boxed_in = b.robot.clone();
    for m in &mut boxed_in.motors {
        let to_air = &mut m.cooling.case_to_air;
        *to_air = to_air.clone().with_si(4.0 * to_air.si());
        let between = &mut m.cooling.winding_to_case;
        *between = between.clone().with_si(2.0 * between.si());
    }
    assert!(named(&boxed_in));
    let heat = paper(&b, &boxed_in).heat.expect("it has motors");
    assert!(heat.left < 0.85 && heat.peak.winding_k > 40.0, "{heat:?}");
}

#[test]
fn the_first_program_fits_the_demo_and_makes_no_mistake_of_its_own() {
    let b = bench();
    let mut robot = b.robot.clone();
    robot.tactic.text = shelf::file("robots/tactics/first.tactic").expect("it is there");
    let tactic = tactic_of(&robot);
    assert_eq!(tactic.findings(), []);
    let compiled = tactic::compile(&tactic, &tactic::Ports::of(&robot));
    assert!(compiled.is_ok(), "{compiled:#?}");
    assert_eq!(tactic.sensors_read(), ["centre", "edge-left", "edge-right"]);
    // All that is wrong was wrong before: the robot's own mistakes, and side sensors never read.
    for name in names(&examine(&robot, &b.class, &tactic, &b.parts)) {
        assert!(MISTAKES.contains(&name), "{name}");
    }
}
