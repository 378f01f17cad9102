//! Why a program does what it does: each tick with what was decided, by which part of a condition, in the
//! words of the program.
//!
//! The interpreter itself does the tick and tells what it decides; here a condition that decided is taken
//! apart, and each part is put to the interpreter again, with the memory and the die of that moment.

use robot::Issue;

use crate::ast::{Action, Cond, Step};
use crate::compile::compile;
use crate::parted::{Fact, Parting};
use crate::ports::Ports;
use crate::program::{Act, Drive, GADGETS, Memory, Program};
use crate::tactic::Tactic;
use crate::watch::{Event, Moment, Over, Watch};

/// Something that was decided in a tick.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Decided {
    /// The opponent was seen on the other side than before.
    Side {
        /// Whether it is the left one now.
        left: bool,
        /// What told so.
        because: Vec<Fact>,
    },
    /// A reflex started.
    Reflex {
        /// Its name.
        name: String,
        /// The reflex it broke into.
        over: Option<String>,
        /// Its condition as written.
        when: String,
        /// What of it held.
        because: Vec<Fact>,
    },
    /// A reflex was released.
    Released {
        /// Its name.
        name: String,
        /// Its condition behind `until`, as written.
        until: String,
        /// What of it held.
        because: Vec<Fact>,
    },
    /// A reflex has done its steps, or was released.
    ReflexDone {
        /// Its name.
        name: String,
        /// The state that comes then; none: the one broken into goes on.
        then: Option<String>,
    },
    /// The state was left because its longest stay is over.
    Stay {
        /// The line as written.
        written: String,
        /// How long it was in the state, ms.
        stayed_ms: u16,
        /// How long it may be, ms.
        longest_ms: u16,
    },
    /// A way out was taken.
    Way {
        /// The line as written.
        written: String,
        /// What of its condition held.
        because: Vec<Fact>,
    },
    /// The state has done its steps and another one comes.
    Then {
        /// That one.
        to: String,
    },
    /// The state has done its steps and begins again.
    Again,
    /// A step took its time.
    TimeOver {
        /// The step as written.
        written: String,
        /// How long it lasted, ms.
        lasted_ms: u16,
        /// How long it should, ms.
        time_ms: u16,
    },
    /// A step was ended by its `until`.
    Until {
        /// The step as written.
        written: String,
        /// What of its `until` held.
        because: Vec<Fact>,
    },
    /// A counter was set.
    Set {
        /// The step as written.
        written: String,
        /// What it counts now.
        value: i16,
    },
    /// A timer was set to 0.
    Restart {
        /// The step as written.
        written: String,
    },
    /// A gadget was sent somewhere.
    Gadget {
        /// The step as written.
        written: String,
        /// Where: per mille of its way, or [`crate::OFF`].
        to: i16,
    },
    /// The rule of a `follow` that says what to drive.
    Rule {
        /// The rule as written.
        written: String,
        /// What of its condition held.
        because: Vec<Fact>,
    },
}

/// One tick with its reasons.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Explained {
    /// What it drives.
    pub drive: Drive,
    /// The state it is in, or that a reflex broke into.
    pub state: String,
    /// The reflex that runs.
    pub reflex: Option<String>,
    /// The step it is at, counted from 1, and as written; none: there is none, or all are done.
    pub step: Option<(usize, String)>,
    /// Whether the opponent was seen on the left last.
    pub seen_left: bool,
    /// What each counter counts.
    pub counters: Vec<(String, i16)>,
    /// What each timer shows, ms.
    pub timers: Vec<(String, u16)>,
    /// Where each gadget is sent: per mille of its way, or [`crate::OFF`].
    pub gadgets: Vec<(String, i16)>,
    /// What was decided, in order.
    pub decided: Vec<Decided>,
}

/// Runs a program and explains it.
#[derive(Debug, Clone)]
pub struct Explainer<'t> {
    tactic: &'t Tactic,
    ports: &'t Ports,
    program: Program,
}

impl<'t> Explainer<'t> {
    /// The tactic bound to a robot's ports.
    ///
    /// # Errors
    /// What [`compile`] finds.
    pub fn new(tactic: &'t Tactic, ports: &'t Ports) -> Result<Self, Vec<Issue>> {
        let program = compile(tactic, ports)?;
        Ok(Self {
            tactic,
            ports,
            program,
        })
    }

    /// The program it runs.
    #[must_use]
    pub fn program(&self) -> &Program {
        &self.program
    }

    /// One tick as [`Program::tick`] does it, explained.
    pub fn tick(&self, memory: &mut Memory, readings: &[i16], now_ms: u16) -> Explained {
        let mut listener = Listener {
            explainer: self,
            before: memory.clone(),
            decided: Vec::new(),
        };
        let drive = (self.program).tick_watched(memory, readings, now_ms, &mut listener);
        let decided = listener.decided;
        let (state, step, reflex) = memory.stands();
        let tree = self.tactic.tree();
        let steps = self.steps_at(memory);
        let step = usize::from(step);
        let gadgets = memory.gadgets();
        let named = self.ports.gadgets.iter().map(|g| g.name.clone());
        Explained {
            drive,
            state: self.state_name(state),
            reflex: reflex.map(|r| self.reflex_name(r)),
            step: steps.get(step).map(|s| (step + 1, self.step_words(s))),
            seen_left: memory.seen_left,
            counters: (tree.counters.iter().zip(memory.counters))
                .map(|(c, value)| (c.0.word.clone(), value))
                .collect(),
            timers: (tree.timers.iter().zip(memory.timer_since))
                .map(|(t, since)| (t.word.clone(), now_ms.wrapping_sub(since)))
                .collect(),
            gadgets: named.zip(gadgets).take(GADGETS).collect(),
            decided,
        }
    }

    fn state_name(&self, state: u8) -> String {
        let state = self.tactic.tree().states.get(usize::from(state));
        state.map(|s| s.name.word.clone()).unwrap_or_default()
    }

    fn reflex_name(&self, reflex: u8) -> String {
        let reflex = self.tactic.tree().reflexes.get(usize::from(reflex));
        reflex.map(|r| r.name.word.clone()).unwrap_or_default()
    }

    /// The steps of the reflex that runs, else of the state.
    fn steps_at(&self, memory: &Memory) -> &'t [Step] {
        let tree = self.tactic.tree();
        let (state, _, reflex) = memory.stands();
        match reflex {
            Some(r) => tree.reflexes.get(usize::from(r)).map(|r| &r.steps),
            None => tree.states.get(usize::from(state)).map(|s| &s.steps),
        }
        .map_or(&[], Vec::as_slice)
    }

    /// A step in one line.
    fn step_words(&self, step: &Step) -> String {
        self.step(step).written
    }

    fn step(&self, step: &Step) -> crate::outline::StepOutline {
        self.tactic.step(step)
    }
}

/// Takes note of what the interpreter decides.
struct Listener<'e, 't> {
    explainer: &'e Explainer<'t>,
    /// The memory before the tick.
    before: Memory,
    decided: Vec<Decided>,
}

impl Watch for Listener<'_, '_> {
    fn told(&mut self, event: Event, moment: Moment<'_>) {
        if let Some(decided) = self.put(event, moment) {
            self.decided.push(decided);
        }
    }
}

impl Listener<'_, '_> {
    fn put(&self, event: Event, moment: Moment<'_>) -> Option<Decided> {
        let e = self.explainer;
        let tree = e.tactic.tree();
        let memory = moment.memory;
        let (state, _, reflex) = memory.stands();
        let in_state = tree.states.get(usize::from(state));
        match event {
            Event::Seen { left } if memory.seen_left == left => None,
            Event::Seen { left } => {
                let [on_left, on_right] = e.program.remember;
                let (cond, code) = if left {
                    (&tree.remember_left, on_left)
                } else {
                    (&tree.remember_right, on_right)
                };
                Some(Decided::Side {
                    left,
                    because: self.because(cond.as_ref()?, code?, moment),
                })
            }
            Event::Reflex(k) => {
                let r = tree.reflexes.get(k)?;
                Some(Decided::Reflex {
                    name: r.name.word.clone(),
                    over: reflex.map(|r| e.reflex_name(r)),
                    when: e.tactic.words(&r.when.written),
                    because: self.because(&r.when, e.program.reflexes.get(k)?.when, moment),
                })
            }
            Event::Released => {
                let k = usize::from(reflex?);
                let until = tree.reflexes.get(k)?.until.as_ref()?;
                let code = e.program.reflexes.get(k)?.until?;
                Some(Decided::Released {
                    name: e.reflex_name(u8::try_from(k).ok()?),
                    until: e.tactic.words(&until.written),
                    because: self.because(until, code, moment),
                })
            }
            Event::ReflexDone => {
                let r = tree.reflexes.get(usize::from(reflex?))?;
                Some(Decided::ReflexDone {
                    name: r.name.word.clone(),
                    then: r.then.as_ref().map(|n| n.word.clone()),
                })
            }
            Event::Stay => {
                let stay = in_state?.stay.as_ref()?;
                let (time, _) = e.program.states.get(usize::from(state))?.stay?;
                let longest = self.parting(moment).value(time);
                Some(Decided::Stay {
                    written: e.tactic.words(&stay.written),
                    stayed_ms: moment.now.wrapping_sub(memory.state_since),
                    longest_ms: u16::try_from(longest).unwrap_or(0),
                })
            }
            Event::Way(k) => {
                let (to, cond) = in_state?.ways.get(k)?;
                let (_, code) = *e.program.states.get(usize::from(state))?.ways.get(k)?;
                let when = e.tactic.words(&cond.written);
                Some(Decided::Way {
                    written: format!("go {} when {when}", to.word),
                    because: self.because(cond, code, moment),
                })
            }
            Event::Then => Some(Decided::Then {
                to: in_state?.then.as_ref()?.word.clone(),
            }),
            Event::Again => Some(Decided::Again),
            Event::Passed(over) => self.passed(over, moment),
            Event::Rule(k) => self.rule(k, moment),
        }
    }

    /// The step at which the memory stands, as written and as compiled.
    fn at(&self, memory: &Memory) -> Option<(&Step, crate::program::StepCode)> {
        let e = self.explainer;
        let (state, step, reflex) = memory.stands();
        let codes = match reflex {
            Some(r) => &e.program.reflexes.get(usize::from(r))?.steps,
            None => &e.program.states.get(usize::from(state))?.steps,
        };
        let step = usize::from(step);
        Some((e.steps_at(memory).get(step)?, *codes.get(step)?))
    }

    fn passed(&self, over: Over, moment: Moment<'_>) -> Option<Decided> {
        let memory = moment.memory;
        let (step, code) = self.at(memory)?;
        let written = self.explainer.step_words(step);
        Some(match (over, code.act) {
            (Over::Instant, Act::Set(k, _)) => Decided::Set {
                written,
                value: *memory.counters.get(usize::from(k))?,
            },
            (Over::Instant, Act::Move(k, _) | Act::Release(k)) => Decided::Gadget {
                written,
                to: *memory.gadgets.get(usize::from(k))?,
            },
            (Over::Instant, _) => Decided::Restart { written },
            (Over::Time, _) => Decided::TimeOver {
                written,
                lasted_ms: moment.now.wrapping_sub(memory.step_since),
                time_ms: u16::try_from(self.parting(moment).value(code.lasting?)).unwrap_or(0),
            },
            (Over::Until, _) => Decided::Until {
                written,
                because: self.because(step.until.as_ref()?, code.until?, moment),
            },
        })
    }

    fn rule(&self, k: usize, moment: Moment<'_>) -> Option<Decided> {
        let (step, code) = self.at(moment.memory)?;
        let (Action::Follow(rules), Act::Follow(from, _)) = (&step.action, code.act) else {
            return None;
        };
        let code = self.explainer.program.rules.get(usize::from(from) + k)?;
        let because = match (&rules.get(k)?.0, code.when) {
            (Some(cond), Some(when)) => self.because(cond, when, moment),
            _ => Vec::new(),
        };
        let outline = self.explainer.step(step);
        Some(Decided::Rule {
            written: outline.rules.get(k)?.clone(),
            because,
        })
    }

    fn because(&self, cond: &Cond, code: crate::program::Code, moment: Moment<'_>) -> Vec<Fact> {
        self.parting(moment).decisive(cond, code)
    }

    fn parting<'m>(&'m self, moment: Moment<'m>) -> Parting<'m> {
        let e = self.explainer;
        Parting::new(e.tactic, &e.program, &self.before, moment)
    }
}
