//! Getting under, lifting and jacking, on robots that are changed so that they do and do not work.

use paper::{Foe, Paper, examine};
use robot::{PartsBox, Severity};
use rules::Classes;

/// The paper of a built-in robot of the class, its text changed.
fn paper(class: &str, file: &str, change: impl Fn(String) -> String) -> Paper {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let text = change(shelf::file(&format!("robots/{file}.toml")).expect("it is there"));
    let lookup = |name: &str| {
        shelf::file(&format!("robots/tactics/{name}"))
            .or_else(|| shelf::file(&format!("robots/{name}")))
    };
    let robot = robot::read(file, &text, &parts, &lookup).unwrap_or_else(|e| panic!("{e:#?}"));
    let tactic =
        tactic::parse(&robot.tactic.file, &robot.tactic.text).unwrap_or_else(|e| panic!("{e:#?}"));
    let class = classes.find(class).expect("it is there");
    examine(&robot, class, &tactic, &parts)
}

fn swap(from: &'static str, to: &'static str) -> impl Fn(String) -> String {
    move |text| {
        assert!(text.contains(from), "no {from}");
        text.replace(from, to)
    }
}

fn severity(p: &Paper, name: &str) -> Option<Severity> {
    p.findings
        .iter()
        .find(|f| f.name == name)
        .map(|f| f.severity)
}

#[test]
fn a_blade_set_high_is_said_and_one_set_low_is_not() {
    let high = paper(
        "mini",
        "mini/badger",
        swap("tip-height = \"0.34 +- 0.1", "tip-height = \"2.2 +- 0.1"),
    );
    assert_eq!(severity(&high, "blade-too-high"), Some(Severity::Warning));
    let low = paper("mini", "mini/badger", |t| t);
    assert_eq!(severity(&low, "blade-too-high"), None);
    let odds = |p: &Paper| {
        let under = p.under.as_ref().expect("it stands");
        under.with(Foe::Plain).expect("a meeting").under
    };
    assert!(odds(&high) < 0.01 && odds(&low) > 0.9);
}

#[test]
fn a_steep_rough_blade_is_not_pushed_under() {
    let steep = swap(
        "tip-x = \"49 mm\"",
        "angle = \"62 deg\"\nfriction = 0.5\ntip-x = \"49 mm\"",
    );
    let p = paper("mini", "mini/badger", steep);
    assert_eq!(severity(&p, "blade-too-steep"), Some(Severity::Warning));
    let flat = paper("mini", "mini/badger", |t| t);
    assert_eq!(severity(&flat, "blade-too-steep"), None);
}

/// Statics: what the upper one loses the lower one carries; with four driven wheels each and blades off
/// the ring, the push moves over with the weight.
#[test]
fn who_is_under_pushes_more_and_who_is_above_less() {
    let p = paper("mini", "mini/badger", |t| t);
    let under = p.under.as_ref().expect("it stands");
    assert!(!under.carried.is_empty());
    for c in &under.carried {
        assert!(c.carried_n > 0.2 * under.weight_n && c.carried_n < 0.6 * under.weight_n);
        assert!(c.upper_push_n < under.push_n && c.lower_push_n > under.push_n);
    }
    assert!(
        under
            .carried
            .is_sorted_by(|a, b| a.carried_n >= b.carried_n)
    );
}

/// On two wheels and a tail skid the upper one's wheels leave the ring: nothing pushes any more.
#[test]
fn on_its_tail_skid_nothing_pushes() {
    let p = paper("mini", "mini/whirligig", |t| t);
    let under = p.under.as_ref().expect("it stands");
    assert!(under.carried.iter().all(|c| c.upper_push_n.abs() < 1e-9));
}

#[test]
fn a_weak_lifter_is_said_with_what_it_lifts() {
    let strong = paper("mini", "mini/crowbar", |t| t);
    let weak = paper(
        "mini",
        "mini/crowbar",
        swap(
            "part = \"servo-9g\"",
            "part = \"servo-9g\"\nstall-torque = \"0.3 kgf·cm\"",
        ),
    );
    assert_eq!(severity(&strong, "lifter-too-weak"), None);
    assert_eq!(severity(&weak, "lifter-too-weak"), Some(Severity::Warning));
    let lifter = |p: &Paper| p.lifting.as_ref().expect("it stands").lifters[0].clone();
    let (s, w) = (lifter(&strong), lifter(&weak));
    assert!(
        s.heaviest_kg > 1.5 && w.heaviest_kg < 0.477,
        "{}",
        w.heaviest_kg
    );
    assert!(s.empty_s < s.loaded_s && s.loaded_s < 0.2 && w.loaded_s.is_infinite());
    let band = s.force_band_n.expect("a band");
    assert!(band.low < s.line[0].force_n && s.line[0].force_n < band.high);
}

/// Front wheels moved back under the centre of mass: the lift turns it over them.
#[test]
fn a_lifter_far_ahead_of_the_wheels_raises_its_own_rear() {
    let back = paper("mini", "mini/crowbar", |t| {
        let t = t.replace("at = [\"28 mm\", \"38 mm\"]", "at = [\"6 mm\", \"38 mm\"]");
        t.replace(
            "at = [\"28 mm\", \"-38 mm\"]",
            "at = [\"6 mm\", \"-38 mm\"]",
        )
    });
    assert_eq!(severity(&back, "lifter-tips-self"), Some(Severity::Warning));
    let forward = paper("mini", "mini/crowbar", |t| t);
    assert_eq!(severity(&forward, "lifter-tips-self"), None);
}

#[test]
fn a_jack_that_does_not_reach_is_a_fault_and_a_short_one_a_warning() {
    let with =
        |travel: &'static str| paper("mini", "mini/bellows", swap("travel = \"9 mm\"", travel));
    assert_eq!(
        severity(&with("travel = \"2 mm\""), "jack-too-short"),
        Some(Severity::Fault)
    );
    assert_eq!(
        severity(&with("travel = \"4 mm\""), "jack-too-short"),
        Some(Severity::Warning)
    );
    let fine = paper("mini", "mini/bellows", |t| t);
    assert_eq!(severity(&fine, "jack-too-short"), None);
    let jack = &fine.lifting.as_ref().expect("it stands").jacks[0];
    assert!(jack.down_s < jack.free_s && jack.free_s < 0.2, "{jack:?}");
    assert_eq!(severity(&fine, "jack-too-weak"), None);
    let weak = paper(
        "mini",
        "mini/bellows",
        swap(
            "pinion-radius = \"6 mm\"",
            "pinion-radius = \"90 mm\"\nstall-torque = \"0.5 kgf·cm\"",
        ),
    );
    assert_eq!(severity(&weak, "jack-too-weak"), Some(Severity::Warning));
}

/// The demo's battery reaches 18 mm out of the body, over the blade; set back it is behind the wall.
#[test]
fn a_battery_outside_the_body_is_reached_and_one_inside_is_not() {
    let out = paper("mini", "demo", |t| t);
    assert_eq!(severity(&out, "guard-gap"), Some(Severity::Note));
    let thing = |p: &Paper| {
        let battery = p.guard.things.iter().find(|t| t.name == "battery");
        battery.expect("a battery").clone()
    };
    assert!(thing(&out).largest_m > Some(0.015) && thing(&out).share > 0.1);
    let inside = paper(
        "mini",
        "demo",
        swap(
            "at = [\"6 mm\", \"0 mm\", \"17 mm\"]",
            "at = [\"-18 mm\", \"0 mm\", \"17 mm\"]",
        ),
    );
    assert_eq!(severity(&inside, "guard-gap"), None);
    assert_eq!(thing(&inside).largest_m, None);
}

#[test]
fn a_small_probe_reaches_whatever_a_large_one_does_not_less_often() {
    let p = paper("mini", "mini/badger", |t| t);
    // Above the blade: a larger ball never gets where a smaller one is stopped.
    let open = |probe: usize| {
        (0..paper::guard::HEIGHTS)
            .filter(|h| p.guard.guarded(probe, *h) < 1.0)
            .count()
    };
    assert!(open(0) >= open(3) && open(3) > 0);
    let tyre = p
        .guard
        .things
        .iter()
        .find(|t| t.name == "left wheel front")
        .expect("a wheel");
    // The front wheels stand out of the body ahead, to the left and right.
    assert!(tyre.bearing_rad.is_some_and(|b| b > 0.3 && b < 1.3));
}

#[test]
fn parts_in_one_place_are_said() {
    let at = "part = \"pack-nimh-4\"\nat = [\"6 mm\", \"0 mm\", \"17 mm\"]";
    let p = paper(
        "mini",
        "demo",
        swap(
            at,
            "part = \"pack-nimh-4\"\nat = [\"-12 mm\", \"30 mm\", \"30 mm\"]",
        ),
    );
    let finding = p
        .findings
        .iter()
        .find(|f| f.name == "parts-overlap")
        .expect("a finding");
    assert!(finding.what.contains("\"battery\"") && finding.place.is_some());
    let apart = paper("mini", "demo", |t| t);
    assert!(
        apart.overlaps.parts.is_empty(),
        "{:?}",
        apart.overlaps.parts
    );
}

#[test]
fn a_sensor_deep_in_the_body_or_behind_its_own_blade_is_said() {
    let moved = |to: &'static str| {
        paper(
            "mini",
            "demo",
            swap(
                "part = \"ir-range-400\"\nat = [\"40 mm\", \"0 mm\", \"30 mm\"]",
                to,
            ),
        )
    };
    let inside = moved("part = \"ir-range-400\"\nat = [\"-20 mm\", \"0 mm\", \"50 mm\"]");
    assert_eq!(severity(&inside, "sensor-inside"), Some(Severity::Warning));
    let behind = moved("part = \"ir-range-400\"\nat = [\"15 mm\", \"45 mm\", \"10 mm\"]");
    let found = behind
        .findings
        .iter()
        .find(|f| f.name == "sensor-blocked")
        .expect("a finding");
    assert!(found.what.contains("blade"), "{}", found.what);
    let fine = paper("mini", "demo", |t| t);
    assert!(fine.overlaps.blocked.is_empty());
}

#[test]
fn no_robot_of_the_field_is_said_to_hold_parts_in_one_place_or_look_at_itself() {
    for (path, _) in shelf::files("robots") {
        let name = path
            .strip_prefix("robots/")
            .and_then(|n| n.strip_suffix(".toml"));
        let Some((class, name)) = name.and_then(|n| Some((n.split_once('/')?.0, n))) else {
            continue;
        };
        let p = paper(class, name, |t| t);
        for wrong in [
            "parts-overlap",
            "sensor-inside",
            "sensor-blocked",
            "guard-gap",
            "lifter-too-weak",
            "lifter-tips-self",
            "jack-too-short",
            "jack-too-weak",
            "blade-too-steep",
        ] {
            assert_eq!(severity(&p, wrong), None, "{name}");
        }
    }
}
