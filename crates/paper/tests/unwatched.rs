//! A mask, a `for` or another reflex in the way of an edge sensor: told where there is no room for it.

use paper::{Paper, Unwatched};
use robot::{PartsBox, Robot, Severity};
use rules::Classes;
use tactic::Tactic;

/// The demo, its edge sensors 10 mm further forward than its file has them: there is room for some time.
fn demo(parts: &PartsBox) -> Robot {
    let lookup = |tactic: &str| shelf::file(&format!("robots/{tactic}"));
    let text = shelf::file("robots/demo.toml").expect("it is there");
    let mut robot =
        robot::read("demo.toml", &text, parts, &lookup).unwrap_or_else(|e| panic!("{e:#?}"));
    for s in &mut robot.sensors {
        if s.item.name.starts_with("edge") {
            s.item.at[0] = s.item.at[0].clone().with_si(0.042);
        }
    }
    robot
}

fn examined(text: &str) -> Paper {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let class = classes.find("mini").unwrap_or_else(|e| panic!("{e:?}"));
    let tactic: Tactic = tactic::parse("t.tactic", text).unwrap_or_else(|e| panic!("{e:#?}"));
    paper::examine(&demo(&parts), class, &tactic, &parts)
}

/// A state that drives with 25 %, and the reflexes.
fn slow(reflexes: &str) -> Paper {
    examined(&format!(
        "{reflexes}state go-on {{\n  drive 25 % 25 %\n}}\n"
    ))
}

fn names(paper: &Paper) -> Vec<(&'static str, Severity)> {
    let ours = ["ignored-too-long", "border-waits"];
    let findings = paper.findings.iter().filter(|f| ours.contains(&f.name));
    findings.map(|f| (f.name, f.severity)).collect()
}

const EDGE: &str = "reflex edge when edge-left on border or edge-right on border {\n  drive -100 % -100 % for \
                    200 ms\n}\n";

#[test]
fn at_an_even_speed_the_room_is_way_by_speed() {
    let mask = "reflex edge when edge-left on border or edge-right on border {\n  ignore edge-left for 1 s\n  \
                drive 20 % 20 % for 1 s\n  drive -100 % -100 % for 200 ms\n}\n";
    let paper = slow(mask);
    let way = paper
        .edge
        .as_ref()
        .and_then(|e| e.forward.clone())
        .expect("its edge sensors lead");
    let v = paper.edge.as_ref().map_or(0.0, |e| e.reached_m_s);
    assert!(v < way.safe_m_s, "it stops from there");
    let [u] = paper.unwatched.as_slice() else {
        panic!("{:#?}", paper.unwatched);
    };
    let longest = u.longest_s.expect("a second is too long");
    assert!((u.way_m.unwrap_or(0.0) / v - 1.0).abs() < 0.02, "{u:?}");
    let room = way.room_m(v) / v;
    // It is told in whole milliseconds.
    assert!(
        (0.0..1e-3).contains(&(room - longest)),
        "{longest} and {room}"
    );
    // What is left of the way behind the rim brakes worse than the whole of it does on the average.
    let even = way.distance_m - v * way.delay_s - v * v / (2.0 * way.deceleration_m_s2);
    assert!(way.room_m(v) < even, "{even}");
    assert_eq!(names(&paper), [("ignored-too-long", Severity::Warning)]);
    // Some ms less than there is room for: nothing to be said.
    let ms = 1e3 * longest;
    let fits = mask.replace("for 1 s", &format!("for {:.0} ms", ms - 5.0));
    assert_eq!(names(&slow(&fits)), []);
    let too_long = mask.replace("for 1 s", &format!("for {:.0} ms", ms + 5.0));
    assert_eq!(names(&slow(&too_long)).len(), 1);
}

#[test]
fn backing_off_behind_the_step_uses_up_its_time() {
    let mask = "reflex edge when edge-left on border or edge-right on border {\n  ignore edge-left for 400 ms\n  \
                drive -100 % -100 % for 250 ms\n  pivot 80 % right for 150 ms\n}\n";
    let paper = slow(mask);
    assert_eq!(names(&paper), []);
    let forward = |u: &&Unwatched| u.forward;
    assert_eq!(paper.unwatched.iter().filter(forward).count(), 0);
    // From standstill it takes its time to get anywhere.
    let rest = |ms: u32| mask.replace("left for 400 ms", &format!("left for {ms} ms"));
    let from_rest = slow(&rest(1400));
    assert_eq!(names(&from_rest), [("ignored-too-long", Severity::Warning)]);
    let moving = slow(
        &mask
            .replace(
                "  drive -100 % -100 % for 250 ms\n  pivot 80 % right for 150 ms\n",
                "  drive 25 % 25 % for 1 s\n",
            )
            .replace("400 ms", "1 s"),
    );
    let longest = |p: &Paper| {
        let all = p.unwatched.iter().filter(forward);
        all.filter_map(|u| u.longest_s).fold(0.0, f64::max)
    };
    assert!(longest(&from_rest) - 0.4 > longest(&moving));
}

#[test]
fn a_reflex_in_the_way_is_a_fault_if_it_drives_and_nothing_if_it_backs_off() {
    let ram = "reflex ram when centre sees {\n  drive 100 % 100 % for 100 ms\n}\n";
    assert_eq!(names(&slow(&format!("{EDGE}{ram}"))), []);
    let first = slow(&format!("{ram}{EDGE}"));
    assert_eq!(names(&first), [("border-waits", Severity::Fault)]);
    assert!(first.answers.iter().all(|a| a.program_s.is_none()));
    let away = ram.replace("100 % 100 %", "-50 % -50 %");
    assert_eq!(names(&slow(&format!("{away}{EDGE}"))), []);
}

#[test]
fn looks_from_the_border_to_the_motors_count_what_is_asked_to_last() {
    let paper = slow(EDGE);
    let board = &demo(&PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"))).board;
    let loop_s = board.loop_time.si();
    for a in &paper.answers {
        assert_eq!(a.program_s, Some(0.0));
        let looks = a.looks.map_or(0.0, f64::from);
        assert!((looks - 1.0) * loop_s < a.hardware_s && a.hardware_s <= looks * loop_s);
    }
    let lasting = EDGE.replace("on border", "on border for 200 ms");
    let paper = slow(&lasting);
    assert_eq!(paper.answers.len(), 2);
    for a in &paper.answers {
        assert_eq!(a.program_s, Some(0.2));
    }
    assert_eq!(names(&paper), [("border-waits", Severity::Warning)]);
    assert_eq!(
        names(&slow(&EDGE.replace("on border", "on border for 10 ms"))),
        []
    );
}
