//! The tactic as MicroPython: the same functions as in C99, as methods of a class.

use tactic::program::Program;
use tactic::{OFF, Ports};

use crate::dialect::PYTHON;
use crate::expression::number;
use crate::file::File;
use crate::words::Words;
use crate::writer::{Gives, Writer};

/// The tactic as `tactic.py` and `whole.py`.
///
/// `Tactic().start(opening, noise)` is [`Program::start`], `tick(readings, now)` is [`Program::tick`] with
/// the readings in the order of the ports; what is driven is left in `left`, `right` and `gadget`.
#[must_use]
pub fn micropython(program: &Program, ports: &Ports) -> Vec<File> {
    let words = Words::of(program, ports);
    vec![
        File::new("whole.py", include_str!("whole.py")),
        File::new("tactic.py", whole(program, &words)),
    ]
}

/// `tactic.py`.
fn whole(program: &Program, words: &Words) -> String {
    let mut w = Writer::new(program, words, &PYTHON);
    w.page.lines([
        "# What the robot does about what it sees. Written from the tactic: change that, not this.",
        "from micropython import const",
        "from whole import add, subtract, times, quotient, share, effort, ms, on_its_way",
        "",
    ]);
    let groups = [
        ("Readings, in this order.", &words.inputs),
        ("Gadgets, in this order.", &words.gadgets),
        ("States.", &words.states),
        ("Reflexes.", &words.reflexes),
        ("Openings.", &words.openings),
    ];
    for (what, names) in groups {
        if !names.is_empty() {
            w.page.line(format!("# {what}"));
            for (k, name) in names.iter().enumerate() {
                w.page.line(format!("{name} = const({k})"));
            }
            w.page.line("");
        }
    }
    tables(&mut w);
    w.page.line("");
    w.page.line("");
    w.block("class Tactic:", |w| {
        beginning(w);
        w.remember();
        w.holds();
        w.reflexes();
        w.released();
        w.blocks();
    });
    // Written with its indentation.
    w.page.lines(include_str!("tactic.py").lines());
    w.page.finish()
}

/// What the frame looks up by the number of a state, reflex or opening.
fn tables(w: &mut Writer<'_>) {
    let (program, words) = (w.program, w.words);
    let then = |to: Option<u8>, states: &[String]| {
        to.map_or("NONE".to_owned(), |k| states[usize::from(k)].clone())
    };
    let states: Vec<String> = (program.states.iter())
        .map(|s| then(s.then, &words.states))
        .collect();
    let reflexes: Vec<String> = (program.reflexes.iter())
        .map(|r| then(r.then, &words.states))
        .collect();
    let openings: Vec<String> = (program.openings.iter())
        .map(|o| {
            let left = if o.left_first { "True" } else { "False" };
            format!("({}, {left})", words.states[usize::from(o.begin)])
        })
        .collect();
    // For each step 1 if it takes time; and how many there are.
    let rounds: Vec<String> = (program.states.iter())
        .map(|s| {
            let timed: Vec<String> = (s.steps.iter())
                .map(|s| u8::from(!s.act.is_instant()).to_string())
                .collect();
            format!("({}, {})", tuple(&timed), s.steps.len())
        })
        .collect();
    let mut switches = Vec::new();
    let mut claimed = Vec::new();
    for (k, o) in program.openings.iter().enumerate() {
        if !claimed.contains(&o.switch) {
            claimed.push(o.switch);
            switches.push(format!("{}: {k}", o.switch));
        }
    }
    w.page.lines([
        "NONE = const(255)".to_owned(),
        "TO_THE_END = const(255)".to_owned(),
        "# A gadget without power.".to_owned(),
        format!("OFF = const({OFF})"),
        "# The opening that a position of the switch selects.".to_owned(),
        format!("SWITCH = {{{}}}", switches.join(", ")),
        "# For each opening its first state, and whether it chooses the left side.".to_owned(),
        format!("OPENING = {}", tuple(&openings)),
        "# The state that comes when all steps are done; NONE: they begin again.".to_owned(),
        format!("STATE_THEN = {}", tuple(&states)),
        "# The state that comes when a reflex is done; NONE: the one broken into.".to_owned(),
        format!("REFLEX_THEN = {}", tuple(&reflexes)),
        "# For each state: which steps take time, and how many there are.".to_owned(),
        format!("ONCE_ROUND = {}", tuple(&rounds)),
    ]);
}

fn beginning(w: &mut Writer<'_>) {
    let (program, words) = (w.program, w.words);
    let methods = |names: &[String], what: &str| {
        tuple(
            &names
                .iter()
                .map(|n| format!("self.{n}_{what}"))
                .collect::<Vec<_>>(),
        )
    };
    let (leave, steps) = (
        methods(&words.states, "leave"),
        methods(&words.states, "steps"),
    );
    let reflex_steps = methods(&words.reflexes, "steps");
    w.function(Gives::Nothing, "__init__", None, |w| {
        w.page.lines([
            format!("self.leave = {leave}"),
            format!("self.steps = {steps}"),
            format!("self.reflex_steps = {reflex_steps}"),
            "self.start(0, 1)".to_owned(),
        ]);
    });
    w.remarks("At the start signal. `noise` makes the rolls of the die; any number does.");
    w.function(Gives::Nothing, "start", Some("opening, noise"), |w| {
        let counters: Vec<String> = (program.counters.iter())
            .map(|v| number(*v, &PYTHON))
            .collect();
        let (holds, masks) = (program.holds.len(), program.masks.len());
        w.page.lines([
            "self.state, left = OPENING[opening if opening < len(OPENING) else 0]".to_owned(),
            "self.step = 0".to_owned(),
            "self.reflex = NONE".to_owned(),
            "self.fresh = True".to_owned(),
            "self.now = self.state_since = self.step_since = 0".to_owned(),
            "self.seen_left = self.chosen_left = left".to_owned(),
            "# Nothing comes of 0 in the die.".to_owned(),
            "self.noise = noise if noise != 0 else 0x5EED".to_owned(),
            format!("self.is_held = [False] * {holds}"),
            format!("self.hold_since = [0] * {holds}"),
            format!("self.timer_since = [0] * {}", program.timer_count()),
            format!("self.is_ignored = [False] * {masks}"),
            format!("self.ignored_since = [0] * {masks}"),
            format!("self.ignored_for = [0] * {masks}"),
            format!("self.counter = [{}]", counters.join(", ")),
            "self.left = self.right = 0".to_owned(),
            format!("self.gadget = [0] * {}", words.gadgets.len()),
        ]);
    });
}

/// A tuple of these, also of one or none.
fn tuple(of: &[String]) -> String {
    let comma = if of.len() == 1 { "," } else { "" };
    format!("({}{comma})", of.join(", "))
}
