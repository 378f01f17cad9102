//! A whole controller in an emulator: what its lines do from the reset to the stop, under every cause of a
//! reset, in every class.

mod common;

use common::chip::{CAUSES, Chip, Shown, is_here};
use common::projects::{board, built, class, classes, project, size};
use common::shipped::{self, Shipped};
use firmware::Project;
use rules::{Class, Start};

fn demo() -> Shipped {
    shipped::robot("demo", |t| t)
}

/// The demo's controller in `class`, over the black of a ring, nobody in sight.
fn controller(robot: &Shipped, class: &Class, name: &str) -> Chip {
    let board = board("atmega328p");
    let made = project(robot, class, &board);
    let at = built(name, &made);
    idle(Chip::with(&made, &at, &board), robot)
}

fn idle(chip: Chip, robot: &Shipped) -> Chip {
    let mut chip = chip.volts(0, "battery divider", 2600);
    for sensor in &robot.robot.sensors {
        let name = sensor.item.name.as_str();
        chip = chip.volts(0, name, if name.starts_with("edge") { 4500 } else { 100 });
    }
    chip
}

fn is_remote(class: &Class) -> bool {
    matches!(class.bout.start.value, Start::Remote { .. })
}

/// The first of the classes with each project that differs.
fn different() -> Vec<(Class, Project)> {
    let (robot, board) = (demo(), board("atmega328p"));
    let mut found: Vec<(Class, Project)> = Vec::new();
    for class in classes() {
        let made = project(&robot, &class, &board);
        let same = |p: &Project| {
            let code = |p: &Project| {
                let code = p.files.iter().filter(|f| f.path != "README.md");
                code.cloned().collect::<Vec<_>>()
            };
            code(p) == code(&made)
        };
        if !found.iter().any(|(_, p)| same(p)) {
            found.push((class, made));
        }
    }
    found
}

#[test]
fn motors_are_off_before_the_start_under_every_cause_of_a_reset_in_every_class() {
    if !is_here() {
        return;
    }
    let (robot, board) = (demo(), board("atmega328p"));
    let all = different();
    assert!(all.iter().any(|c| is_remote(&c.0)) && all.iter().any(|c| !is_remote(&c.0)));
    for (class, made) in all {
        let at = built(&format!("before-{}", class.name), &made);
        let chip = idle(Chip::with(&made, &at, &board), &robot);
        for (flags, said) in CAUSES {
            let shown = chip.runs(flags, 700);
            let of = format!("{} after {said}", class.name);
            assert!(shown.moves().is_empty(), "{of}: {shown:?}");
            assert!(shown.rests(), "{of}: {shown:?}");
            assert!(shown.says(said), "{of}: {:?}", shown.said);
            // Driven low within the first millisecond.
            assert!(shown.rests_from_ms() < 1.0, "{of}: {shown:?}");
        }
        // What its README says beforehand, in every class.
        let (flash, ram) = size(made.kind, &at).expect("it is in C");
        let told = made.size.expect("it is in C");
        let misses = f64::from(told.flash_bytes) / f64::from(flash) - 1.0;
        assert!(misses.abs() < 0.1, "{}: {flash}, {told:?}", class.name);
        assert!(
            told.ram_bytes.abs_diff(ram) <= 24,
            "{}: {ram}, {told:?}",
            class.name
        );
    }
}

#[test]
fn a_delay_is_waited_out_whole_and_hardly_longer() {
    if !is_here() {
        return;
    }
    let chip = || controller(&demo(), &class("mini"), "delay");
    let pressed = |chip: Chip, from: u32, to: u32| {
        let down = chip.level(from, "start button", false);
        down.level(to, "start button", true)
    };
    let shown = pressed(chip(), 1000, 1200).runs(1, 6300);
    let first = shown.first_move_ms().expect("it moves");
    // Five seconds stand in the class; three looks, and what the clock may be off (0.5 %), come on top.
    assert!((6000.0..6000.0 + 25.0 + 30.0).contains(&first), "{first}");

    // Held since before it was switched on: not until it has been let go of.
    let shown = pressed(chip(), 0, 7000).runs(1, 6500);
    assert!(shown.moves().is_empty(), "{shown:?}");
    // Still held when the time is over: it waits for the hand to leave.
    let shown = pressed(chip(), 1000, 6500).runs(1, 6900);
    let first = shown.first_move_ms().expect("it moves");
    assert!((6500.0..6560.0).contains(&first), "{first}");
    // Pressed again before it moved.
    let shown = pressed(pressed(chip(), 1000, 1200), 3000, 3200).runs(1, 9000);
    assert!(shown.moves().is_empty(), "{shown:?}");
    // A spark of 5 ms is no press.
    let shown = pressed(chip(), 1000, 1005).runs(1, 6500);
    assert!(shown.moves().is_empty(), "{shown:?}");
    // Pressed while it drives: it stops, and stays.
    let shown = pressed(pressed(chip(), 1000, 1200), 6500, 6700).runs(1, 8000);
    assert!(shown.rests(), "{shown:?}");
    assert!(
        (6500.0..6560.0).contains(&shown.rests_from_ms()),
        "{shown:?}"
    );
    assert!(shown.says("# stopped, late looks: 0"), "{:?}", shown.said);
}

#[test]
fn a_remote_starts_it_at_once_and_stops_it_for_good() {
    if !is_here() {
        return;
    }
    let remote = classes()
        .into_iter()
        .find(is_remote)
        .expect("a class with a remote");
    let chip = || controller(&demo(), &remote, "remote");
    let module = |chip: Chip, ms: u32, high: bool| chip.level(ms, "start module", high);
    let go = module(chip(), 1000, true);
    let first = go.runs(1, 1500).first_move_ms().expect("it moves");
    assert!((1000.0..1035.0).contains(&first), "{first}");
    let shown = module(module(go, 1500, false), 2000, true).runs(1, 2500);
    assert!(shown.rests(), "{shown:?}");
    assert!(
        (1500.0..1540.0).contains(&shown.rests_from_ms()),
        "{shown:?}"
    );
    // High when switched on, or reset by hand: not before it has been low.
    for flags in [1, 2] {
        let shown = module(chip(), 0, true).runs(flags, 1000);
        assert!(shown.moves().is_empty(), "{shown:?}");
        let shown =
            module(module(module(chip(), 0, true), 500, false), 700, true).runs(flags, 1000);
        let first = shown.first_move_ms().expect("it moves");
        assert!((700.0..740.0).contains(&first), "{first}");
    }
    // High after a brown-out or the watchdog: the judge has not stopped it.
    for flags in [4, 8] {
        let first = module(chip(), 0, true).runs(flags, 500).first_move_ms();
        assert!(first.is_some_and(|ms| ms < 60.0), "{first:?}");
    }
}

#[test]
fn a_program_that_hangs_is_off_within_a_fifth_of_a_second_and_stays_off() {
    if !is_here() {
        return;
    }
    let chip = controller(&demo(), &class("mini"), "hang");
    let chip = chip
        .level(500, "start button", false)
        .level(600, "start button", true);
    let shown = chip.hang(6000).runs(1, 12_000);
    let moved = shown.first_move_ms().expect("it moves");
    assert!(moved < 6000.0);
    assert!(shown.rests(), "{shown:?}");
    let off = shown.rests_from_ms();
    assert!((6000.0..6200.0).contains(&off), "{off}");
    assert!(shown.says("began by: watchdog"), "{:?}", shown.said);
}

/// Lines of the table a bout leaves, without remarks.
fn rows(shown: &Shown) -> Vec<Vec<String>> {
    let lines = shown.said.iter().map(|(_, line)| line.as_str());
    lines
        .filter(|l| l.starts_with(|c: char| c.is_ascii_digit()))
        .map(|l| l.split(',').map(str::to_owned).collect())
        .collect()
}

#[test]
fn a_whole_bout_on_the_chip_decides_what_the_interpreter_decides() {
    if !is_here() {
        return;
    }
    let robot = demo();
    let mut chip = controller(&robot, &class("mini"), "bout").key(100, 'r');
    chip = chip
        .level(500, "start button", false)
        .level(600, "start button", true);
    // An opponent comes and goes, the border is met, on either side.
    for (k, mv) in [(0, 2000), (1, 300), (2, 2500), (3, 100)] {
        chip = chip.volts(6000 + 400 * k, "centre", mv);
        chip = chip.volts(6200 + 400 * k, "left", 2600 - mv);
    }
    chip = chip
        .volts(7000, "edge-left", 400)
        .volts(7060, "edge-left", 4500);
    chip = chip
        .volts(7500, "edge-right", 300)
        .volts(7540, "edge-right", 4500);
    let shown = chip.runs(1, 8500);
    let word = |what: &str| {
        let mut said = shown.said.iter().filter_map(|(_, s)| s.strip_prefix(what));
        said.next()
            .unwrap_or_else(|| panic!("{what}: {:?}", shown.said))
            .to_owned()
    };
    let noise: u16 = word("# noise ").parse().expect("a number");
    let names = robot.tactic.opening_names();
    let opening = names
        .iter()
        .position(|n| *n == word("# opening "))
        .expect("an opening");
    let rows = rows(&shown);
    assert!(rows.len() > 250, "{} rows", rows.len());
    assert!(!shown.says("# missed"), "{:?}", shown.said);
    let mut memory = robot.program.start(opening, noise);
    let mut reflexes = 0;
    for row in &rows {
        let n = |k: usize| {
            row[k]
                .parse::<i64>()
                .unwrap_or_else(|e| panic!("{row:?}: {e}"))
        };
        let readings: Vec<i16> = (1..=5)
            .map(|k| i16::try_from(n(k)).expect("16 bits"))
            .collect();
        let now = u16::try_from(n(0)).expect("a short bout");
        let drive = robot.program.tick(&mut memory, &readings, now);
        let (state, _, reflex) = memory.stands();
        reflexes += usize::from(reflex.is_some());
        assert_eq!(
            [i64::from(drive.left), i64::from(drive.right)],
            [n(6), n(7)],
            "{row:?}"
        );
        assert_eq!(robot.program.states[usize::from(state)].name, row[8]);
        let reflex = reflex.map_or("", |r| &robot.program.reflexes[usize::from(r)].name);
        assert_eq!(reflex, row[9]);
    }
    assert!(reflexes > 20, "the border was met: {reflexes}");
    let told = project(&robot, &class("mini"), &board("atmega328p")).size;
    let most = told
        .and_then(|s| s.stack_bytes)
        .expect("known for this chip");
    assert!(
        (64..=most).contains(&shown.stack),
        "{} of {most}",
        shown.stack
    );
}

#[test]
fn the_bench_moves_nothing_unasked_and_tells_what_sensors_see() {
    if !is_here() {
        return;
    }
    let chip = || controller(&demo(), &class("mini"), "bench");
    // Any other key than y after t is no.
    let shown = chip().key(200, 't').key(400, 'n').runs(1, 1500);
    assert!(shown.moves().is_empty(), "{shown:?}");
    assert!(shown.says("WHEELS UP"));
    let shown = chip().key(200, 't').key(400, 'y').runs(1, 4500);
    let moves: Vec<&str> = shown.moves().iter().map(|m| m.1.as_str()).collect();
    assert!(
        moves.contains(&"pulsesleft") && moves.contains(&"pulsesright"),
        "{moves:?}"
    );
    assert!(shown.moves().iter().all(|m| m.2 <= 300), "{shown:?}");
    assert!(shown.rests() && shown.says("# done"), "{shown:?}");
    for sensor in ["centre", "left", "right", "edge-left", "edge-right"] {
        assert!(shown.says(&format!("# {sensor} ")), "{:?}", shown.said);
    }
    assert!(shown.says("sees nothing"));
    // Black 4.5 V of 5 and white 0.5 V: 900 and 100 per mille, as the constants have it.
    let swept = chip().key(200, 'b').volts(900, "edge-left", 500);
    let shown = swept.volts(1500, "edge-left", 4500).runs(1, 2500);
    let last = shown
        .said
        .iter()
        .rev()
        .find(|s| s.1.starts_with("# edge-left"))
        .expect("it says");
    // The converter's steps of 5 mV take one off each.
    let told = "black 899 white 99 margin 499";
    assert!(last.1.contains(told), "{}", last.1);
    let never = shown
        .said
        .iter()
        .rev()
        .find(|s| s.1.starts_with("# edge-right"))
        .expect("it says");
    assert!(never.1.contains("TOO SMALL"), "{}", never.1);
}

#[test]
fn a_low_battery_makes_the_lamp_blink_quickly() {
    if !is_here() {
        return;
    }
    let blinks = |mv: u32| {
        let chip = controller(&demo(), &class("mini"), "lamp").volts(1, "battery divider", mv);
        let shown = chip.runs(1, 4000);
        shown
            .changes
            .iter()
            .filter(|c| c.1 == "lamp" && c.0 > 1500.0)
            .count()
    };
    let (full, low) = (blinks(2600), blinks(2000));
    assert!((3..10).contains(&full), "{full}");
    assert!(low > 30, "{low}");
}
