//! Sayings of the trade about one robot (common practice, no source), held against the numbers; and the parts
//! box held against published figures.

use paper::{Paper, examine};
use robot::{PartsBox, Robot, SensorKind};
use rules::Classes;

fn parts() -> PartsBox {
    PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"))
}

/// The demo with these changes to its text.
fn demo(edits: &[(&str, &str)]) -> Robot {
    let text = shelf::file("robots/demo.toml").expect("it is there");
    let text = edits.iter().fold(text, |t, (from, to)| {
        assert!(t.contains(from), "{from}");
        t.replace(from, to)
    });
    let lookup = |name: &str| shelf::file(&format!("robots/{name}"));
    robot::read("demo.toml", &text, &parts(), &lookup).unwrap_or_else(|e| panic!("{e:#?}"))
}

fn paper(robot: &Robot) -> Paper {
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let tactic = tactic::parse(&robot.tactic.file, &robot.tactic.text).expect("it reads");
    examine(
        robot,
        classes.find("mini").expect("it is there"),
        &tactic,
        &parts(),
    )
}

/// Small wheels, so that the tyres decide the push.
const SMALL: [(&str, &str); 3] = [
    ("wheel-60-silicone", "wheel-34-silicone"),
    ("[\"-12 mm\", \"43 mm\"]", "[\"-12 mm\", \"40 mm\"]"),
    ("[\"-12 mm\", \"-43 mm\"]", "[\"-12 mm\", \"-40 mm\"]"),
];

/// "Build to the mass limit: weight is traction." Over the driven wheels 50 g more hold more, though less than
/// in proportion, for grip falls under load.
#[test]
fn weight_over_the_driven_wheels_is_traction() {
    let light = paper(&demo(&SMALL));
    let mut heavy = demo(&SMALL);
    let more = heavy.battery.item.mass.si() + 0.050;
    heavy.battery.item.mass = heavy.battery.item.mass.clone().with_si(more);
    heavy.battery.item.at[0] = heavy.battery.item.at[0].clone().with_si(-0.012);
    let heavy = paper(&heavy);
    let grip = |p: &Paper| p.drive.as_ref().expect("it drives").grip_n;
    let load = |p: &Paper| p.footing.as_ref().expect("it stands").driven_load_n();
    let (more_grip, more_load) = (grip(&heavy) / grip(&light), load(&heavy) / load(&light));
    assert!(
        more_grip > 1.1 && more_grip < more_load,
        "{more_grip} for {more_load}"
    );
}

/// "Put the mass low and over the driven wheels." Lower it tips later, further back it loads the wheels more.
#[test]
fn mass_low_and_over_the_driven_wheels_stands_better() {
    let with = |x: f64, z: f64| {
        let mut robot = demo(&[]);
        robot.battery.item.at[0] = robot.battery.item.at[0].clone().with_si(x);
        robot.battery.item.at[2] = robot.battery.item.at[2].clone().with_si(z);
        paper(&robot)
    };
    let (low, high, ahead) = (with(-0.012, 0.010), with(-0.012, 0.050), with(0.020, 0.010));
    let weakest = |p: &Paper| {
        let tipping = p.tipping.as_ref().expect("it stands");
        tipping.weakest().expect("it has bearings").over_m_s2
    };
    assert!(weakest(&low) > 1.2 * weakest(&high));
    let share = |p: &Paper| p.footing.as_ref().expect("it stands").driven_share;
    assert!(share(&low) > share(&ahead) + 0.05);
}

/// "Clean the tyres before every round." A tyre that has run 20 m since it was cleaned holds less.
#[test]
fn tyres_that_were_not_cleaned_hold_less() {
    let dirty = demo(&[(
        "part = \"wheel-60-silicone\"",
        "part = \"wheel-60-silicone\"\nsince-cleaned = \"20 m\"",
    )]);
    let grip = |r: &Robot| paper(r).drive.expect("it drives").grip_n;
    assert!(grip(&dirty) < 0.95 * grip(&demo(&[])));
}

/// "Tracks grip most but are slow to turn": over the same length they scrub half as much as four corner wheels
/// and much more than two wheels beside the centre of mass, μWL/4 (Wong, from memory).
#[test]
fn two_wheels_turn_on_the_spot_with_next_to_no_scrub() {
    let p = paper(&demo(&[]));
    let turning = p.drive.and_then(|d| d.turning).expect("both sides drive");
    let weight = 9.806_65 * p.footing.expect("it stands").mass_kg;
    assert!(turning.scrub_nm < laws::scrub::tracks_nm(0.8, weight, 0.098));
}

/// "Expect the loop period, not the sensor, to set the reaction at the edge": of the demo's 12 ms its loop of 10
/// ms is most. A reflectance sensor of the QRE1113 class rises and falls in 20 µs (onsemi data sheet).
#[test]
fn the_loop_sets_the_reaction_at_the_edge() {
    let robot = demo(&[]);
    let way = paper(&robot)
        .edge
        .and_then(|e| e.forward)
        .expect("it has sensors");
    let looping = robot.board.loop_time.si();
    assert!(looping > 0.75 * way.delay_s && way.delay_s > 100.0 * 20e-6);
}

/// A car tyre at 2.5 bar and 100 km/h has c = 0.005 + (1/p)(0.01 + 0.0095 (v/100)²) = 0.0128 (Engineering
/// ToolBox, "Rolling Resistance", equation 3): small soft wheels roll no more easily. A lever arm of 2 mm, of
/// plastic on steel in a table for heavy rollers (Engineering Guide CDA3000, table 7.22), would make 0.133 of a
/// wheel of 15 mm: such tables do not hold for centimetre wheels.
#[test]
fn small_wheels_roll_worse_than_a_car_tyre_and_better_than_roller_tables_say() {
    let car = 0.005 + (0.01 + 0.0095) / 2.5;
    let roller = 2.0 / 15.0;
    let robot = demo(&[]);
    for w in &robot.wheels {
        let c = w.tyre.rolling.si();
        assert!(c > car && c < 0.5 * roller, "{c}");
    }
    // The wheels alone, and the blade that slides in front.
    let p = paper(&robot);
    let (footing, drive) = (p.footing.expect("it stands"), p.drive.expect("it drives"));
    let rolling = laws::rolling::drag_n(robot.wheels[0].tyre.rolling.si(), footing.driven_load_n());
    assert!(
        drive.drag_n > rolling && drive.drag_n < 0.3 * drive.push_n,
        "{}",
        drive.drag_n
    );
}

/// Rubber on smooth solids: 0.64 to 0.86 on steel (e-motionsupply.com, which credits the Engineering ToolBox), 1
/// to 4 on "other solid surfaces" (library.thinkquest.org/15433, table 2.1). The sources disagree by a factor of
/// two to four, so no tyre here may be known better than a tenth, nor lie outside of both.
#[test]
fn tyres_of_the_parts_box_grip_as_rubber_does_and_say_that_it_is_not_known_well() {
    let parts = parts();
    let wheels: Vec<_> = parts
        .entries()
        .iter()
        .filter(|e| e.kind == "wheel")
        .collect();
    assert!(wheels.len() > 10);
    for e in wheels {
        let grip = parts.section(e).optional_figure::<quantity::Ratio>("grip");
        let grip = grip.unwrap_or_else(|| panic!("{} has no grip", e.id));
        assert!((0.6..=4.0).contains(&grip.si()), "{}: {}", e.id, grip.si());
        assert!(
            grip.unsure() >= 0.1 * grip.si(),
            "{}: {}",
            e.id,
            grip.unsure()
        );
    }
}

/// Figures of distance sensors as published: Sharp GP2Y0A21YK (10 to 80 cm, about 30 mA), GP2Y0D02YK (a reading
/// each 38.3 ± 9.6 ms), GP2Y0D815Z0F (150 mm, 2.56 ms, at most 3.77), ST VL53L0X (25° in all, budgets of 20 and 33
/// ms; reach of 1.2 m weakly held), HC-SR04 (15°, at most 20 readings a second).
#[test]
fn sensors_of_the_parts_box_are_like_the_published_ones() {
    let with = |part: &str| {
        let robot = demo(&[("part = \"ir-range-400\"", &format!("part = \"{part}\""))]);
        robot.sensors[0].clone()
    };
    let (classic, short) = (with("ir-range-800"), with("ir-range-150"));
    let near = |s: &robot::Sensor, far: f64| {
        let (farthest, _) = s.kind.sight().expect("it sees");
        assert!((farthest.si() - far).abs() < 0.01, "{}", farthest.si());
    };
    near(&classic, 0.80);
    assert!((28.7e-3..=47.9e-3).contains(&(1.0 / classic.rate.si())));
    assert!((classic.current.si() - 0.030).abs() <= 0.010);
    near(&short, 0.15);
    assert!((2.56e-3..=3.78e-3).contains(&(1.0 / short.rate.si())));
    let flight = with("tof-1200");
    near(&flight, 1.2);
    let (_, opening) = flight.kind.sight().expect("it sees");
    assert!((opening.si().to_degrees() - 25.0).abs() < 1e-6);
    let SensorKind::TimeOfFlight { time_budget, .. } = &flight.kind else {
        panic!("it times light")
    };
    assert!((time_budget.si() - 0.033).abs() < 1e-9);
    let sound = with("ultrasonic-module");
    let (_, opening) = sound.kind.sight().expect("it hears");
    let known = opening.unsure().to_degrees();
    assert!((opening.si().to_degrees() - 15.0).abs() <= known && sound.rate.si() <= 20.0);
}

/// Dry sliding friction as handbooks print it: metal on wood 0.3 (OpenStax University Physics, table 6.1; the
/// same at howwhy.nfshost.com), steel on wood 0.30 to 0.60, steel on plastic 0.18 to 0.35 (Engineering Guide
/// CDA3000, table 7.21). Bodies, blades and skids on each other and on a board lie in such bands, and the
/// bands are wide: no figure that nobody measured may be known better than a quarter of itself.
#[test]
fn what_slides_does_so_within_the_handbooks_bands_and_no_more_surely_than_they() {
    let robot = demo(&[]);
    let hull = &robot.hull[0].friction;
    let blade = &robot.blade.as_ref().expect("it has one").friction;
    let band = |f: &quantity::Figure<quantity::Ratio>| {
        let off = quantity::maths::hypot(f.unsure(), f.varies());
        [f.si() - off, f.si() + off]
    };
    for (what, figure, printed) in [("body", hull, [0.18, 0.60]), ("blade", blade, [0.18, 0.35])] {
        let [low, high] = band(figure);
        assert!(
            low < printed[1] && high > printed[0],
            "{what}: {low} to {high}"
        );
        assert!((printed[0]..=printed[1]).contains(&figure.si()), "{what}");
        assert!(
            (high - low) / 2.0 > 0.25 * figure.si(),
            "{what}: {low} to {high}"
        );
    }
    let [low, high] = band(hull);
    assert!(low < 0.3 && 0.3 < high);
}
