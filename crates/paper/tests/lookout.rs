//! Edge sensors held against the program's level, and the search for the opponent.

use paper::{Kind, Paper, Pattern, examine};
use quantity::Figure;
use robot::{PartsBox, Robot, SensorKind, Severity};
use rules::Classes;

fn demo(edits: &[(&str, &str)]) -> Robot {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let text = shelf::file("robots/demo.toml").expect("it is there");
    let tactic = shelf::file("robots/demo.tactic").expect("it is there");
    let tactic = edits.iter().fold(tactic, |t, (from, to)| {
        assert!(t.contains(from), "{from}");
        t.replace(from, to)
    });
    robot::read("demo.toml", &text, &parts, &|_: &str| Some(tactic.clone()))
        .unwrap_or_else(|e| panic!("{e:#?}"))
}

fn paper(robot: &Robot, class: &str) -> Paper {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let tactic =
        tactic::parse("demo.tactic", &robot.tactic.text).unwrap_or_else(|e| panic!("{e:#?}"));
    examine(
        robot,
        classes.find(class).expect("it is there"),
        &tactic,
        &parts,
    )
}

fn severity(p: &Paper, name: &str) -> Option<Severity> {
    let found: Vec<_> = p.findings.iter().filter(|f| f.name == name).collect();
    assert!(found.len() <= 1, "{name} is said {} times", found.len());
    found.first().map(|f| f.severity)
}

/// 3 mm up with a fading height of 5 ± 2 mm a border of 0.8 reads 59 %, and less than 50 % where the fading
/// height is below 3.9 mm: 1.1 of its standard deviations of 1.02 mm, 14 of 100; dirt makes that more.
#[test]
fn half_of_full_scale_is_too_much_to_ask_of_many_sensors_three_millimetres_up() {
    let p = paper(&demo(&[]), "mini");
    assert_eq!(p.thresholds.len(), 1, "both sensors read alike");
    let t = &p.thresholds[0];
    assert!((t.border.reads - 0.594).abs() < 2e-3, "{t:?}");
    assert!((0.15..0.35).contains(&t.misses), "{t:?}");
    assert!(t.off.reads < 0.05 && t.lifted.reads < 0.1);
    assert_eq!(severity(&p, "edge-threshold"), Some(Severity::Warning));
}

#[test]
fn a_level_half_way_between_ring_and_border_mends_it() {
    let mended = demo(&[(
        "constant cruise = 100 %",
        "constant border-level = 25 %\nconstant cruise = 100 %",
    )]);
    let p = paper(&mended, "mini");
    assert_eq!(severity(&p, "edge-threshold"), None);
    assert!(p.thresholds[0].misses < 1e-3 && p.thresholds[0].alarms < 1e-3);
}

#[test]
fn sensors_too_high_to_see_the_border_at_all_are_a_fault() {
    let mut high = demo(&[]);
    for s in &mut high.sensors {
        if matches!(s.kind, SensorKind::Reflectance { .. }) {
            s.item.at[2] = s.item.at[2].clone().with_si(0.012);
        }
    }
    let p = paper(&high, "mini");
    assert_eq!(severity(&p, "edge-threshold"), Some(Severity::Fault));
}

/// A level in the noise of the plain ring sees borders everywhere.
#[test]
fn a_level_below_what_the_ring_reads_is_a_fault_as_well() {
    let nervous = demo(&[(
        "constant cruise = 100 %",
        "constant border-level = 3 %\nconstant cruise = 100 %",
    )]);
    let p = paper(&nervous, "mini");
    assert_eq!(severity(&p, "edge-threshold"), Some(Severity::Fault));
    assert!(p.thresholds[0].alarms > 0.5);
}

/// The demo robot with this reach, its program edited.
fn with_reach(m: f64, edits: &[(&str, &str)]) -> Robot {
    let mut robot = demo(edits);
    for s in &mut robot.sensors {
        if let SensorKind::Range { farthest, .. } = &mut s.kind {
            *farthest = Figure::derived(m, "farthest");
        }
    }
    robot
}

/// On 77 cm 0.8 m of reach hold everybody and 0.15 m hold 13 % of pairs of places (disc line picking).
#[test]
fn only_a_short_sighted_robot_that_never_drives_is_told_to_drive_while_it_searches() {
    let still = [("  drive 40 % 40 % for 200 ms\n", "")];
    let far = paper(&with_reach(0.8, &still), "mini");
    assert_eq!(severity(&far, "search-must-drive"), None);
    assert!(far.search.ours().expect("it has a ring").hardly_matters());
    let drives = paper(&with_reach(0.15, &[]), "mini");
    assert_eq!(severity(&drives, "search-must-drive"), None);
    let near = paper(&with_reach(0.15, &still), "mini");
    assert_eq!(
        severity(&near, "search-must-drive"),
        Some(Severity::Warning)
    );
    let ring = near.search.ours().expect("it has a ring");
    assert!(
        (ring.within_reach - 0.13).abs() < 0.01,
        "{}",
        ring.within_reach
    );
    let share = |p| ring.way(p).expect("it was tried").share;
    assert!(share(Pattern::Stand) < share(Pattern::Turn));
    assert!(share(Pattern::Turn) < share(Pattern::Straight));
}

/// The beams of the demo are 30 mm up and open 6° to each side: they come down to a wedge of 0.2 × 98 mm at
/// (30 − 19.6)/tan 6° = 99 mm. At 60 mm that is 384 mm, nearly all of their reach.
#[test]
fn beams_high_up_pass_over_a_low_opponent() {
    let p = paper(&demo(&[]), "mini");
    assert_eq!(severity(&p, "beam-over-low"), None);
    assert!((p.seen.looks[0].low_lost_m - 0.099).abs() < 1e-3);
    let mut high = demo(&[]);
    for s in high.sensors.iter_mut().filter(|s| s.kind.sight().is_some()) {
        s.item.at[2] = s.item.at[2].clone().with_si(0.060);
    }
    let p = paper(&high, "mini");
    assert_eq!(severity(&p, "beam-over-low"), Some(Severity::Warning));
    assert!((p.seen.looks[0].low_lost_m - 0.384).abs() < 2e-3);
    let of_ring = |k| p.seen.kind(k).expect("it was tried").of_ring;
    assert!(of_ring(Kind::Low) < 0.3 * of_ring(Kind::Light));
    assert!(of_ring(Kind::Dark) < of_ring(Kind::Slanted));
}

/// Free space is 1 m round the ring: 0.4 m of reach end before it, 2 m do not, unless the program asks for
/// what is near.
#[test]
fn sensors_that_reach_beyond_the_free_space_may_see_people() {
    assert_eq!(severity(&paper(&demo(&[]), "mini"), "sees-people"), None);
    let far = paper(&with_reach(2.0, &[]), "mini");
    let named = far.findings.iter().filter(|f| f.name == "sees-people");
    assert!(named.count() > 0 && far.seen.looks.iter().all(|l| l.people));
    let mut asks = with_reach(2.0, &[]);
    asks.tactic.text = asks.tactic.text.replace(" sees", " sees within 700 mm");
    assert_eq!(severity(&paper(&asks, "mini"), "sees-people"), None);
}

/// The demo with its parts this much higher and its wheels nearer together tips over before it slides.
#[test]
fn a_tall_narrow_robot_tips_before_it_slides_and_the_demo_does_not() {
    let p = paper(&demo(&[]), "mini");
    assert_eq!(severity(&p, "tips-before-it-slides"), None);
    let tipping = p.tipping.as_ref().expect("it stands");
    assert_eq!(tipping.tips.len(), 72);
    let footing = p.footing.as_ref().expect("it stands");
    let left = tipping.tips[18].lifts_m_s2;
    let old =
        quantity::maths::tan(footing.tips_sideways_rad[0]) * quantity::maths::STANDARD_GRAVITY;
    assert!(
        left <= 1.001 * old,
        "over the edge from wheel to blade, not over the wheel: {left} {old}"
    );
    let mut tall = demo(&[]);
    let battery = &mut tall.battery.item.at[2];
    *battery = battery.clone().with_si(0.30);
    for w in &mut tall.wheels {
        w.item.at[1] = w.item.at[1].clone().with_si(0.6 * w.item.at[1].si());
    }
    for p in &mut tall.hull {
        for c in &mut p.outline {
            c[1] *= 0.6;
        }
    }
    let blade = tall.blade.as_mut().expect("it has one");
    blade.width = blade.width.clone().with_si(0.05);
    let p = paper(&tall, "mini");
    assert_eq!(
        severity(&p, "tips-before-it-slides"),
        Some(Severity::Warning)
    );
}

/// Sensors in the middle of the front see an edge that comes up aslant only when the outer wheel is there.
#[test]
fn one_edge_sensor_in_the_middle_is_late_at_an_edge_that_comes_aslant() {
    let quick = demo(&[
        (
            "constant cruise = 100 % from 30 %",
            "constant cruise = 25 % from 10 %",
        ),
        ("otherwise: drive 50 % 50 %", "otherwise: drive 25 % 25 %"),
        ("drive 40 % 40 %", "drive 25 % 25 %"),
    ]);
    let placed = |x: f64, y: f64| {
        let mut robot = quick.clone();
        for s in &mut robot.sensors {
            if matches!(s.kind, SensorKind::Reflectance { .. }) {
                let side = s.item.at[1].si().signum();
                s.item.at[0] = s.item.at[0].clone().with_si(x);
                s.item.at[1] = s.item.at[1].clone().with_si(side * y);
            }
        }
        paper(&robot, "mini")
    };
    let (corners, middle) = (placed(0.044, 0.045), placed(0.030, 0.001));
    let worst = |p: &Paper| p.approach.as_ref().and_then(|a| a.worst().cloned());
    let (at_corners, in_middle) = (
        worst(&corners).expect("a way"),
        worst(&middle).expect("a way"),
    );
    assert!(
        at_corners.safe_m_s > 1.5 * in_middle.safe_m_s,
        "{at_corners:?} {in_middle:?}"
    );
    assert_eq!(severity(&corners, "edge-aslant"), None);
    assert_eq!(severity(&middle, "edge-aslant"), Some(Severity::Warning));
}

/// Smaller wheels push harder and are slower, until the tyres slip; then they push no harder (common practice;
/// force ∝ 1/r, speed ∝ r).
#[test]
fn a_small_wheel_pushes_and_a_tall_one_runs_until_grip_ends_it() {
    let p = paper(&demo(&[]), "mini");
    let of = |wheel: &str| {
        let mut pairs = p.pairs.iter();
        pairs.find(|q| q.wheel == wheel && q.motor == "gearmotor-small-1000")
    };
    let (small, tall) = (
        of("wheel-34-silicone").expect("it fits"),
        of("wheel-60-silicone").expect("ours"),
    );
    assert!(tall.ours && !tall.grip_ends_it() && small.grip_ends_it());
    let stall = small.motors_push_n / tall.motors_push_n;
    assert!((stall - 60.0 / 34.0).abs() < 1e-6, "force as 1/r: {stall}");
    assert!(small.push_n <= small.grip_n);
    // Worth having: each pushes harder than everything quicker.
    let best: Vec<_> = p.pairs.iter().filter(|q| q.best_trade).collect();
    assert!(
        best.len() > 1 && best.is_sorted_by(|a, b| a.charge_s <= b.charge_s && a.push_n < b.push_n)
    );
    // The two groups of wheels make the whole push.
    let d = p.drive.as_ref().expect("it drives");
    let whole: f64 = d.groups.iter().map(|g| g.push_n).sum();
    assert!(d.groups.len() == 2 && (whole - d.push_n).abs() < 1e-9);
    assert!(d.groups.iter().all(|g| !g.slips()));
}
