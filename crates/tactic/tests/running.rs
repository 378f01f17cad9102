//! Reflexes, states, steps, timers: what one tick does.

mod common;

use common::{Bench, NOTHING};

#[test]
fn steps_follow_each_other_and_begin_again() {
    let mut bench = Bench::new(
        "state a {\n drive 10 10 for 20 ms\n drive 20 20 for 10 ms\n wait for 10 ms\n}\n",
    );
    assert_eq!(
        bench.drives(8).iter().map(|d| d.0).collect::<Vec<_>>(),
        [10, 10, 20, 0, 10, 10, 20, 0]
    );
}

#[test]
fn then_goes_on_when_the_steps_are_done() {
    let mut bench =
        Bench::new("state a {\n drive 10 10 for 20 ms\n then b\n}\nstate b {\n drive 20 20\n}\n");
    assert_eq!(bench.drives(4), [(10, 10), (10, 10), (20, 20), (20, 20)]);
    assert_eq!(bench.doing(), "b");
}

#[test]
fn until_ends_a_step_early() {
    let mut bench =
        Bench::new("state a {\n pivot 50 left for 1 s until centre sees\n drive 20 20\n}\n");
    assert_eq!(bench.tick(), (-50, 50));
    bench.set("centre", 100);
    assert_eq!(bench.tick(), (20, 20));
    bench.set("centre", NOTHING);
    assert_eq!(bench.tick(), (20, 20), "it does not come back");
}

#[test]
fn stay_leaves_a_state_whatever_its_steps_and_ways_say() {
    let text = "state a {\n stay 30 ms then b\n go c when centre sees\n drive 10 10\n}\nstate b {\n drive 20 20\n}\nstate c {\n drive 30 30\n}\n";
    let mut bench = Bench::new(text);
    assert_eq!(bench.doings(4), ["a", "a", "a", "b"]);
    let mut bench = Bench::new(text);
    bench.doings(3);
    bench.set("centre", 100);
    bench.tick();
    assert_eq!(bench.doing(), "b", "time is up comes before the ways out");
}

#[test]
fn the_first_way_out_that_holds_is_taken() {
    let mut bench = Bench::new(
        "state a {\n go b when left sees\n go c when centre sees\n wait\n}\nstate b {\n wait\n}\nstate c {\n wait\n}\n",
    );
    bench.set("centre", 100);
    bench.set("left", 100);
    bench.tick();
    assert_eq!(bench.doing(), "b");
}

#[test]
fn one_change_of_state_a_tick() {
    let ring = "state a {\n go b when 1 = 1\n wait\n}\nstate b {\n go c when 1 = 1\n wait\n}\nstate c {\n go a when 1 = 1\n wait\n}\n";
    assert_eq!(Bench::new(ring).doings(4), ["b", "c", "a", "b"]);
    let ring = "state a {\n then b\n}\nstate b {\n then c\n}\nstate c {\n then a\n}\n";
    assert_eq!(Bench::new(ring).doings(4), ["b", "c", "a", "b"]);
}

#[test]
fn a_new_state_acts_in_the_tick_it_is_entered() {
    let mut bench = Bench::new(
        "state a {\n go b when centre sees\n drive 10 10\n}\nstate b {\n drive 20 20\n}\n",
    );
    assert_eq!(bench.tick(), (10, 10));
    bench.set("centre", 100);
    assert_eq!(bench.tick(), (20, 20));
}

#[test]
fn follow_does_the_first_rule_that_holds_and_else_what_it_did() {
    let mut bench = Bench::new(
        "state a {\n follow {\n  left sees: drive 1 1\n  centre sees: drive 2 2\n }\n}\n",
    );
    assert_eq!(bench.tick(), (0, 0), "nothing has been asked for yet");
    bench.set("centre", 100);
    assert_eq!(bench.tick(), (2, 2));
    bench.set("left", 100);
    assert_eq!(bench.tick(), (1, 1));
    bench.set("left", NOTHING);
    bench.set("centre", NOTHING);
    assert_eq!(bench.tick(), (1, 1), "no rule holds: it goes on");
}

#[test]
fn the_first_reflex_wins_and_breaks_into_later_ones() {
    let text = "reflex edge when edge-front-left on border {\n drive 1 1 for 20 ms\n}\nreflex low when tilt below 0 {\n drive 2 2 for 100 ms\n}\nstate a {\n drive 9 9\n}\n";
    let mut bench = Bench::new(text);
    assert_eq!(bench.tick(), (9, 9));
    bench.set("tilt", -10);
    assert_eq!(bench.doings(2), ["low", "low"]);
    bench.set("edge-front-left", 900);
    assert_eq!(bench.doings(1), ["edge"]);
    bench.set("edge-front-left", 0);
    bench.set("tilt", 0);
    assert_eq!(
        bench.doings(2),
        ["edge", "a"],
        "the broken one does not come back"
    );
}

#[test]
fn a_firm_reflex_is_not_broken_into() {
    let text = "reflex edge when edge-front-left on border {\n drive 1 1 for 20 ms\n}\nreflex low firm when tilt below 0 {\n drive 2 2 for 40 ms\n}\nstate a {\n drive 9 9\n}\n";
    let mut bench = Bench::new(text);
    bench.set("tilt", -10);
    bench.tick();
    bench.set("tilt", 0);
    bench.set("edge-front-left", 900);
    // It ends at 40 ms; the state has that tick, the edge the next.
    assert_eq!(bench.doings(5), ["low", "low", "low", "a", "edge"]);
}

#[test]
fn a_reflex_ends_in_the_state_it_names_or_in_the_one_it_broke_into() {
    let text = "reflex edge when edge-front-left on border {\n drive 1 1 for 10 ms\n THEN\n}\nstate a {\n drive 7 7 for 10 ms\n drive 8 8\n}\nstate b {\n drive 9 9\n}\n";
    let run = |then: &str| {
        let mut bench = Bench::new(&text.replace("THEN", then));
        assert_eq!(bench.drives(2), [(7, 7), (8, 8)]);
        bench.set("edge-front-left", 900);
        assert_eq!(bench.tick(), (1, 1));
        bench.set("edge-front-left", 0);
        bench.tick()
    };
    assert_eq!(run("then b"), (9, 9));
    assert_eq!(run(""), (7, 7), "its steps begin again");
}

#[test]
fn instant_steps_take_no_time_and_happen_once_a_tick() {
    let mut bench = Bench::new(
        "counter n = 0\nreflex count when centre sees {\n set n = n + 1\n}\nstate a {\n drive n 0\n}\n",
    );
    bench.set("centre", 100);
    assert_eq!(bench.drives(3), [(1, 0), (2, 0), (3, 0)]);
    // In a state: once a tick even if nothing in it takes time.
    let mut bench = Bench::new(
        "counter n = 0\nstate a {\n go b when centre sees\n set n = n + 1\n}\nstate b {\n drive n n\n}\n",
    );
    bench.doings(5);
    bench.set("centre", 100);
    assert_eq!(bench.tick(), (5, 5));
    // Round by round: once each.
    let mut bench =
        Bench::new("counter n = 0\nstate a {\n set n = n + 1\n drive n n for 20 ms\n}\n");
    assert_eq!(
        bench.drives(6).iter().map(|d| d.0).collect::<Vec<_>>(),
        [1, 1, 2, 2, 3, 3]
    );
}

#[test]
fn timers_run_from_the_start_and_from_each_restart() {
    let text = "timer t\nreflex again when centre sees {\n restart t\n}\nstate a {\n follow {\n  t over 20 ms: drive 2 2\n  otherwise: drive 1 1\n }\n}\n";
    let mut bench = Bench::new(text);
    assert_eq!(bench.drives(4), [(1, 1), (1, 1), (1, 1), (2, 2)]);
    bench.set("centre", 100);
    assert_eq!(bench.tick(), (1, 1));
    bench.set("centre", NOTHING);
    assert_eq!(bench.drives(3), [(1, 1), (1, 1), (2, 2)]);
}

#[test]
fn times_do_not_care_where_the_clock_turns_over() {
    let text = "timer t\nstate a {\n stay 80 ms then b\n go b when left sees for 30 ms\n follow {\n  t over 40 ms: drive 2 2\n  otherwise: drive 1 1\n }\n}\nstate b {\n drive 5 5 for 30 ms\n drive 6 6\n}\n";
    let run = |now: u16| {
        let mut bench = Bench::with(text, 0, 1, now);
        let mut drives = bench.drives(3);
        bench.set("left", 90);
        drives.extend(bench.drives(10));
        drives
    };
    let plain = run(0);
    assert!(plain.contains(&(6, 6)));
    for start in [65526, 65510, 65500, 65490, 65480, 32760, 32730] {
        assert_eq!(run(start), plain, "{start}");
    }
}

#[test]
fn a_timer_starts_anew_after_65_seconds() {
    let text =
        "timer t\nstate a {\n follow {\n  t over 20 ms: drive 2 2\n  otherwise: drive 1 1\n }\n}\n";
    let mut bench = Bench::new(text);
    let drives = bench.drives(6560);
    assert_eq!(drives[6553], (2, 2), "65.53 s");
    assert_eq!(
        drives[6554],
        (1, 1),
        "65.54 s, which is 4 ms after 65.536 s"
    );
}

#[test]
fn a_negative_time_is_no_time() {
    let mut bench = Bench::new("state a {\n drive 1 1 for -5 ms\n drive 2 2\n}\n");
    assert_eq!(bench.tick(), (2, 2));
}

#[test]
fn the_side_seen_last_is_remembered() {
    let text = "remember left when left sees\nremember right when right sees\nopening o {\n side right\n}\nstate a {\n follow {\n  centre sees: arc 10 20 unseen\n  otherwise: pivot 50 seen\n }\n}\n";
    let mut bench = Bench::new(text);
    assert_eq!(
        bench.tick(),
        (50, -50),
        "before it saw anything: the opening's side"
    );
    bench.set("left", 100);
    assert_eq!(bench.tick(), (-50, 50));
    bench.set("left", NOTHING);
    assert_eq!(bench.tick(), (-50, 50));
    bench.set("right", 100);
    assert_eq!(bench.tick(), (50, -50));
    bench.set("left", 100);
    assert_eq!(bench.tick(), (-50, 50), "both at once: left comes first");
    bench.set("centre", 100);
    assert_eq!(
        bench.tick(),
        (20, 10),
        "away from the left is right: the right side is the inner"
    );
}

#[test]
fn openings_say_where_to_stand_what_to_do_and_which_switch() {
    let text = "opening one {\n place 30 mm behind\n place 20 mm left\n facing -90 deg\n side left\n begin b\n}\nopening two {\n switch 5\n place 15 mm right\n side right\n}\nstate a {\n pivot 10 chosen\n}\nstate b {\n pivot 20 unchosen\n}\n";
    let bench = Bench::new(text);
    let [one, two] = bench.program.openings() else {
        panic!("two openings")
    };
    assert_eq!((one.name.as_str(), one.switch), ("one", 0));
    assert_eq!(
        (one.behind_mm, one.aside_mm, one.facing_tenth_deg),
        (30, 20, -900)
    );
    assert_eq!((two.name.as_str(), two.switch), ("two", 5));
    assert_eq!((two.behind_mm, two.aside_mm), (0, -15));
    assert_eq!(
        Bench::with(text, 0, 1, 0).tick(),
        (20, -20),
        "b, away from left"
    );
    assert_eq!(
        Bench::with(text, 1, 1, 0).tick(),
        (10, -10),
        "a, toward right"
    );
    let none = Bench::new("state a {\n wait\n}\n");
    assert_eq!(none.program.openings().len(), 1, "without one: straight on");
    assert_eq!(
        Bench::with(text, 9, 1, 0).tick(),
        (20, -20),
        "no such opening: the first"
    );
}
