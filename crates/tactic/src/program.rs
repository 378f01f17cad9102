//! The program as flat code, and how one tick of it runs.
//!
//! One tick, always in this order: which side saw the opponent last; every `for` condition; the
//! reflexes; the state's longest stay and ways out; the steps. At most one state change a tick, a
//! bounded number of steps, no loops: a tick cannot hang. Values are i16, worked out in 32 bits
//! and saturated; x/0 is 0; times are wrapping u16 milliseconds compared by difference.

use crate::ast::Turn;

/// A range of operations.
pub(crate) type Code = (u16, u16);

/// Most counters, timers and `for` conditions a tactic may have.
pub(crate) const MOST: usize = 16;
/// Deepest stack a condition may need.
pub(crate) const DEEPEST_STACK: usize = 24;

/// One operation on the stack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Op {
    Push(i16),
    Counter(u8),
    Sensor(u8),
    Timer(u8),
    Held(u8),
    Add,
    Sub,
    Mul,
    Div,
    Share,
    Less,
    More,
    Same,
    Not,
    And,
    Or,
    Chance,
}

/// What a step does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    Drive(Code, Code),
    Pivot(Code, Turn),
    Arc(Code, Code, Turn),
    Wait,
    /// Rules from index to index.
    Follow(u16, u16),
    Set(u8, Code),
    Restart(u8),
}

/// A rule of a `follow`: condition (none: otherwise) and what to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Rule {
    pub(crate) when: Option<Code>,
    pub(crate) act: Act,
}

/// A step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct StepCode {
    pub(crate) act: Act,
    pub(crate) lasting: Option<Code>,
    pub(crate) until: Option<Code>,
}

/// A state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct StateCode {
    pub(crate) name: String,
    pub(crate) ways: Vec<(u8, Code)>,
    pub(crate) steps: Vec<StepCode>,
    pub(crate) stay: Option<(Code, u8)>,
    pub(crate) then: Option<u8>,
}

/// A reflex.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ReflexCode {
    pub(crate) name: String,
    pub(crate) firm: bool,
    pub(crate) when: Code,
    pub(crate) steps: Vec<StepCode>,
    pub(crate) then: Option<u8>,
}

/// How a bout is opened: where the robot is put down and what it does first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opening {
    /// Name.
    pub name: String,
    /// Position of the switch on the robot that selects it.
    pub switch: u8,
    /// Distance behind the start line in mm.
    pub behind_mm: i16,
    /// Distance to the left of the middle in mm.
    pub aside_mm: i16,
    /// Turned to the left from pointing at the ring's centre, in tenths of a degree.
    pub facing_tenth_deg: i16,
    pub(crate) left_first: bool,
    pub(crate) begin: u8,
}

/// What the program asks of the drive, per mille of full effort on each side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Drive {
    /// Left side, −1000 to 1000.
    pub left: i16,
    /// Right side, −1000 to 1000.
    pub right: i16,
}

/// A compiled program, bound to a robot's ports.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Program {
    pub(crate) ops: Vec<Op>,
    pub(crate) rules: Vec<Rule>,
    pub(crate) states: Vec<StateCode>,
    pub(crate) reflexes: Vec<ReflexCode>,
    pub(crate) openings: Vec<Opening>,
    pub(crate) holds: Vec<(Code, Code)>,
    pub(crate) remember: [Option<Code>; 2],
    pub(crate) counters: Vec<i16>,
    pub(crate) inputs: usize,
}

/// Everything the program remembers between ticks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Memory {
    state: u8,
    step: u8,
    reflex: Option<u8>,
    state_since: u16,
    step_since: u16,
    seen_left: bool,
    chosen_left: bool,
    held: u16,
    noise: u16,
    hold_since: [u16; MOST],
    timer_since: [u16; MOST],
    counters: [i16; MOST],
    drive: Drive,
    fresh: bool,
}

/// Brings a 32-bit result back to 16 bits.
pub(crate) fn saturate(x: i32) -> i16 {
    i16::try_from(x).unwrap_or(if x < 0 { i16::MIN } else { i16::MAX })
}

/// Division as C truncates; by zero: zero.
pub(crate) fn divide(a: i32, b: i32) -> i32 {
    if b == 0 { 0 } else { a.wrapping_div(b) }
}

impl Program {
    /// Its openings, at least one.
    #[must_use]
    pub fn openings(&self) -> &[Opening] {
        &self.openings
    }

    /// Memory at the start signal. `noise` seeds its own random generator; an opening that does
    /// not exist plays the first.
    #[must_use]
    pub fn start(&self, opening: usize, noise: u16) -> Memory {
        let opening = self.openings.get(opening).unwrap_or(&self.openings[0]);
        let mut counters = [0; MOST];
        counters[..self.counters.len()].copy_from_slice(&self.counters);
        Memory {
            state: opening.begin,
            step: 0,
            reflex: None,
            state_since: 0,
            step_since: 0,
            seen_left: opening.left_first,
            chosen_left: opening.left_first,
            held: 0,
            // Zero is the one value an xorshift generator never leaves.
            noise: if noise == 0 { 0x5EED } else { noise },
            hold_since: [0; MOST],
            timer_since: [0; MOST],
            counters,
            drive: Drive::default(),
            fresh: true,
        }
    }

    /// What it is doing: the name of the running reflex, else of the state.
    #[must_use]
    pub fn doing(&self, memory: &Memory) -> &str {
        match memory.reflex {
            Some(r) => &self.reflexes[usize::from(r)].name,
            None => &self.states[usize::from(memory.state)].name,
        }
    }

    /// One tick. `readings` in the order of the ports; missing ones count as 0. `now_ms` wraps.
    pub fn tick(&self, memory: &mut Memory, readings: &[i16], now_ms: u16) -> Drive {
        if memory.fresh {
            memory.fresh = false;
            memory.state_since = now_ms;
            memory.step_since = now_ms;
            memory.hold_since = [now_ms; MOST];
            memory.timer_since = [now_ms; MOST];
        }
        let mut run = Run {
            program: self,
            memory,
            readings,
            now: now_ms,
        };
        run.remember_side();
        run.hold();
        run.reflexes();
        let changed = run.reflex_steps();
        if run.memory.reflex.is_none() {
            run.state(changed);
        }
        run.memory.drive
    }
}

struct Run<'p> {
    program: &'p Program,
    memory: &'p mut Memory,
    readings: &'p [i16],
    now: u16,
}

impl Run<'_> {
    fn remember_side(&mut self) {
        let [left, right] = self.program.remember;
        if left.is_some_and(|c| self.holds(c)) {
            self.memory.seen_left = true;
        } else if right.is_some_and(|c| self.holds(c)) {
            self.memory.seen_left = false;
        }
    }

    /// Brings every `for` condition up to date: once it has held long enough it stays true until
    /// it fails, however long that is.
    fn hold(&mut self) {
        for (k, (cond, time)) in self.program.holds.iter().enumerate() {
            let bit = 1_u16 << k;
            if !self.holds(*cond) {
                self.memory.hold_since[k] = self.now;
                self.memory.held &= !bit;
            } else if self.since(self.memory.hold_since[k]) >= self.time(*time) {
                self.memory.held |= bit;
            }
        }
    }

    fn reflexes(&mut self) {
        let program = self.program;
        let limit = match self.memory.reflex {
            Some(r) if program.reflexes[usize::from(r)].firm => return,
            Some(r) => usize::from(r),
            None => program.reflexes.len(),
        };
        for (k, reflex) in program.reflexes[..limit].iter().enumerate() {
            if self.holds(reflex.when) {
                self.memory.reflex = u8::try_from(k).ok();
                self.memory.step = 0;
                self.memory.step_since = self.now;
                return;
            }
        }
    }

    /// Steps of the running reflex; whether its end changed the state.
    fn reflex_steps(&mut self) -> bool {
        let Some(r) = self.memory.reflex else {
            return false;
        };
        let program = self.program;
        let reflex = &program.reflexes[usize::from(r)];
        if self.steps(&reflex.steps) {
            return false;
        }
        self.memory.reflex = None;
        self.memory.step = 0;
        self.memory.step_since = self.now;
        if let Some(to) = reflex.then {
            self.enter(to);
            return true;
        }
        false
    }

    fn state(&mut self, changed: bool) {
        let program = self.program;
        let mut changed = changed;
        if !changed {
            let state = &program.states[usize::from(self.memory.state)];
            let overstayed = state
                .stay
                .filter(|(time, _)| self.since(self.memory.state_since) >= self.time(*time))
                .map(|(_, to)| to);
            let way = overstayed.or_else(|| {
                state
                    .ways
                    .iter()
                    .find(|(_, c)| self.holds(*c))
                    .map(|(to, _)| *to)
            });
            if let Some(to) = way {
                self.enter(to);
                changed = true;
            }
        }
        let state = &program.states[usize::from(self.memory.state)];
        if self.steps(&state.steps) {
            return;
        }
        match state.then {
            // Its turn comes with the next tick: one change a tick.
            Some(_) if changed => {}
            Some(to) => {
                self.enter(to);
                let state = &program.states[usize::from(to)];
                self.steps(&state.steps);
            }
            None => {
                self.memory.step = 0;
                self.memory.step_since = self.now;
                self.steps(&state.steps);
            }
        }
    }

    fn enter(&mut self, to: u8) {
        self.memory.state = to;
        self.memory.state_since = self.now;
        self.memory.step = 0;
        self.memory.step_since = self.now;
    }

    /// Goes on with `steps`; false when they are done.
    fn steps(&mut self, steps: &[StepCode]) -> bool {
        while let Some(step) = steps.get(usize::from(self.memory.step)) {
            let instant = match step.act {
                Act::Set(counter, value) => {
                    self.memory.counters[usize::from(counter)] = self.value(value);
                    true
                }
                Act::Restart(timer) => {
                    self.memory.timer_since[usize::from(timer)] = self.now;
                    true
                }
                _ => false,
            };
            let over = instant
                || step
                    .lasting
                    .is_some_and(|t| self.since(self.memory.step_since) >= self.time(t))
                || step.until.is_some_and(|c| self.holds(c));
            if !over {
                self.act(step.act);
                return true;
            }
            self.memory.step += 1;
            self.memory.step_since = self.now;
        }
        false
    }

    fn act(&mut self, act: Act) {
        match act {
            Act::Drive(l, r) => {
                self.memory.drive = Drive {
                    left: self.effort(l),
                    right: self.effort(r),
                }
            }
            Act::Pivot(e, turn) => {
                let e = self.effort(e);
                self.memory.drive = if self.left(turn) {
                    Drive { left: -e, right: e }
                } else {
                    Drive { left: e, right: -e }
                };
            }
            Act::Arc(inner, outer, turn) => {
                let (i, o) = (self.effort(inner), self.effort(outer));
                self.memory.drive = if self.left(turn) {
                    Drive { left: i, right: o }
                } else {
                    Drive { left: o, right: i }
                };
            }
            Act::Wait => self.memory.drive = Drive::default(),
            Act::Follow(from, to) => {
                let program = self.program;
                for rule in &program.rules[usize::from(from)..usize::from(to)] {
                    if rule.when.is_none_or(|c| self.holds(c)) {
                        self.act(rule.act);
                        return;
                    }
                }
            }
            Act::Set(..) | Act::Restart(_) => {}
        }
    }

    fn left(&self, turn: Turn) -> bool {
        match turn {
            Turn::Left => true,
            Turn::Right => false,
            Turn::Seen => self.memory.seen_left,
            Turn::Unseen => !self.memory.seen_left,
            Turn::Chosen => self.memory.chosen_left,
            Turn::Unchosen => !self.memory.chosen_left,
        }
    }

    fn since(&self, then: u16) -> u16 {
        self.now.wrapping_sub(then)
    }

    /// A time in ms; negative counts as none.
    fn time(&mut self, code: Code) -> u16 {
        u16::try_from(self.value(code)).unwrap_or(0)
    }

    fn effort(&mut self, code: Code) -> i16 {
        self.value(code).clamp(-1000, 1000)
    }

    fn holds(&mut self, code: Code) -> bool {
        self.value(code) != 0
    }

    /// Runs a piece of code on the stack.
    fn value(&mut self, code: Code) -> i16 {
        let program = self.program;
        let mut stack = [0_i16; DEEPEST_STACK];
        let mut top = 0;
        for op in &program.ops[usize::from(code.0)..usize::from(code.1)] {
            let pushed = match *op {
                Op::Push(v) => Some(v),
                Op::Counter(k) => Some(self.memory.counters[usize::from(k)]),
                Op::Sensor(k) => Some(self.readings.get(usize::from(k)).copied().unwrap_or(0)),
                Op::Timer(k) => {
                    let ms = self.since(self.memory.timer_since[usize::from(k)]);
                    Some(i16::try_from(ms).unwrap_or(i16::MAX))
                }
                Op::Held(k) => Some(i16::from(self.memory.held >> k & 1 == 1)),
                _ => None,
            };
            if let Some(v) = pushed {
                stack[top] = v;
                top += 1;
                continue;
            }
            let last = i32::from(stack[top - 1]);
            if *op == Op::Not {
                stack[top - 1] = i16::from(last == 0);
                continue;
            }
            if *op == Op::Chance {
                stack[top - 1] = i16::from(i32::from(self.random() % 1000) < last);
                continue;
            }
            top -= 1;
            let first = i32::from(stack[top - 1]);
            stack[top - 1] = match *op {
                Op::Add => saturate(first + last),
                Op::Sub => saturate(first - last),
                Op::Mul => saturate(first * last),
                Op::Div => saturate(divide(first, last)),
                Op::Less => i16::from(first < last),
                Op::More => i16::from(first > last),
                Op::Same => i16::from(first == last),
                Op::And => i16::from(first != 0 && last != 0),
                Op::Or => i16::from(first != 0 || last != 0),
                // share(a, b, c) = a·b/c: the third from the top, the second, the top.
                _ => {
                    top -= 1;
                    saturate(divide(i32::from(stack[top - 1]) * first, last))
                }
            };
        }
        stack[0]
    }

    /// 16-bit xorshift with shifts 7, 9, 8 (Marsaglia 2003, Journal of Statistical Software 8(14);
    /// the 16-bit triple from memory): period 65535.
    fn random(&mut self) -> u16 {
        let mut x = self.memory.noise;
        x ^= x << 7;
        x ^= x >> 9;
        x ^= x << 8;
        self.memory.noise = x;
        x
    }
}
