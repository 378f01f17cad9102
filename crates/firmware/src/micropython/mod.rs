//! The tactic as MicroPython: the same functions as in C99, as methods of a class.

mod blocks;

use tactic::program::{Code, Program};
use tactic::{OFF, Ports, Turn};

use crate::expression::{Dialect, Said, constant, number, said};
use crate::file::File;
use crate::names::named;
use crate::page::Page;

const PYTHON: Dialect = Dialect {
    and: " and ",
    or: " or ",
    not: "not ",
    reading: ["self.i[", "]"],
    counter: ["self.counter[", "]"],
    own: "self.",
    keep: ["", ""],
    least: "-32768",
};

/// The tactic as `tactic.py` and `whole.py`.
///
/// `Tactic().start(opening, noise)` is [`Program::start`], `tick(readings, now)` is [`Program::tick`] with
/// the readings in the order of the ports; what is driven is left in `left`, `right` and `gadget`.
#[must_use]
pub fn micropython(program: &Program, ports: &Ports) -> Vec<File> {
    vec![
        File::new("whole.py", include_str!("whole.py")),
        File::new("tactic.py", Writer::new(program, ports).whole()),
    ]
}

/// Writes the module.
struct Writer<'p> {
    program: &'p Program,
    inputs: Vec<String>,
    gadgets: Vec<String>,
    states: Vec<String>,
    reflexes: Vec<String>,
    openings: Vec<String>,
    page: Page,
    /// Throws of the die so far in the method at hand.
    thrown: usize,
}

impl<'p> Writer<'p> {
    fn new(program: &'p Program, ports: &Ports) -> Self {
        Self {
            program,
            inputs: named("in", ports.inputs.iter().map(|p| p.name.as_str())),
            gadgets: named("gadget", ports.gadgets.iter().map(|g| g.name.as_str())),
            states: named("state", program.states.iter().map(|s| s.name.as_str())),
            reflexes: named("reflex", program.reflexes.iter().map(|r| r.name.as_str())),
            openings: named("opening", program.openings.iter().map(|o| o.name.as_str())),
            page: Page::default(),
            thrown: 0,
        }
    }

    fn whole(mut self) -> String {
        self.page.lines([
            "# What the robot does about what it sees. Written from the tactic: change that, not this.",
            "from micropython import const",
            "from whole import add, subtract, times, quotient, share, effort, ms",
            "",
        ]);
        let groups = [
            ("Readings, in this order.", self.inputs.clone()),
            ("Gadgets, in this order.", self.gadgets.clone()),
            ("States.", self.states.clone()),
            ("Reflexes.", self.reflexes.clone()),
            ("Openings.", self.openings.clone()),
        ];
        for (what, names) in groups {
            if !names.is_empty() {
                self.page.line(format!("# {what}"));
                for (k, name) in names.iter().enumerate() {
                    self.page.line(format!("{name} = const({k})"));
                }
                self.page.line("");
            }
        }
        self.tables();
        self.page.line("");
        self.page.line("");
        self.block("class Tactic:", |w| {
            w.beginning();
            w.remember();
            w.holds();
            w.look_at_reflexes();
            w.blocks();
        });
        // Written with its indentation.
        self.page.lines(include_str!("tactic.py").lines());
        self.page.finish()
    }

    /// What the frame looks up by the number of a state, reflex or opening.
    fn tables(&mut self) {
        let program = self.program;
        let then = |to: Option<u8>, states: &[String]| {
            to.map_or("NONE".to_owned(), |k| states[usize::from(k)].clone())
        };
        let states: Vec<String> = (program.states.iter())
            .map(|s| then(s.then, &self.states))
            .collect();
        let reflexes: Vec<String> = (program.reflexes.iter())
            .map(|r| then(r.then, &self.states))
            .collect();
        let openings: Vec<String> = (program.openings.iter())
            .map(|o| {
                let left = if o.left_first { "True" } else { "False" };
                format!("({}, {left})", self.states[usize::from(o.begin)])
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
        self.page.lines([
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

    fn beginning(&mut self) {
        let program = self.program;
        let methods = |names: &[String], what: &str| {
            tuple(
                &names
                    .iter()
                    .map(|n| format!("self.{n}_{what}"))
                    .collect::<Vec<_>>(),
            )
        };
        let (leave, steps) = (
            methods(&self.states, "leave"),
            methods(&self.states, "steps"),
        );
        let reflex_steps = methods(&self.reflexes, "steps");
        self.method("__init__(self)", |w| {
            w.page.lines([
                format!("self.leave = {leave}"),
                format!("self.steps = {steps}"),
                format!("self.reflex_steps = {reflex_steps}"),
                "self.start(0, 1)".to_owned(),
            ]);
        });
        self.page
            .line("# At the start signal. `noise` makes the rolls of the die; any number does.");
        self.method("start(self, opening, noise)", |w| {
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
                format!("self.gadget = [0] * {}", w.gadgets.len()),
            ]);
        });
    }

    fn said(&mut self, code: Code) -> Said {
        said(self.program, code, &PYTHON, &self.inputs, &mut self.thrown)
    }

    /// A value without a throw of the die in it: values have none.
    fn value(&mut self, code: Code) -> String {
        self.said(code).value
    }

    fn effort(&mut self, code: Code) -> String {
        match constant(self.program, code) {
            Some(v) => v.clamp(-1000, 1000).to_string(),
            None => format!("effort({})", self.value(code)),
        }
    }

    fn time(&mut self, code: Code) -> String {
        match constant(self.program, code) {
            Some(v) => v.max(0).to_string(),
            None => format!("ms({})", self.value(code)),
        }
    }

    /// `if condition:` and what `then` writes; the throws of the die before it.
    fn when(&mut self, code: Code, then: impl FnOnce(&mut Self)) {
        let said = self.said(code);
        self.page.lines(&said.before);
        self.block(format!("if {}:", said.value), then);
    }

    fn block(&mut self, line: impl AsRef<str>, inner: impl FnOnce(&mut Self)) {
        let mut page = core::mem::take(&mut self.page);
        page.block(line, "", |page| {
            core::mem::swap(&mut self.page, page);
            inner(self);
            core::mem::swap(&mut self.page, page);
        });
        self.page = page;
    }

    /// A method with an empty line behind it.
    fn method(&mut self, head: &str, inner: impl FnOnce(&mut Self)) {
        self.thrown = 0;
        self.block(format!("def {head}:"), inner);
        self.page.line("");
    }
}

/// A tuple of these, also of one or none.
fn tuple(of: &[String]) -> String {
    let comma = if of.len() == 1 { "," } else { "" };
    format!("({}{comma})", of.join(", "))
}

/// Whether it turns to the left, as an expression.
fn to_left(turn: Turn) -> &'static str {
    match turn {
        Turn::Left => "True",
        Turn::Right => "False",
        Turn::Seen => "self.seen_left",
        Turn::Unseen => "not self.seen_left",
        Turn::Chosen => "self.chosen_left",
        Turn::Unchosen => "not self.chosen_left",
    }
}
