//! How one tick of a program runs.
//!
//! One tick, always in this order: which side saw the opponent last; every `for` condition; the
//! reflexes; the state's longest stay and ways out; the steps. At most one state change a tick, a
//! bounded number of steps, no loops: a tick cannot hang. Values are i16, worked out in 32 bits
//! and saturated; x/0 is 0; times are wrapping u16 milliseconds compared by difference.

use crate::ast::Turn;
use crate::program::{Act, Code, DEEPEST_STACK, Drive, MOST, Memory, OFF, Op, Program, StepCode};
use crate::watch::{Event, Moment, Over, Watch};

/// Brings a 32-bit result back to 16 bits.
pub(crate) fn saturate(x: i32) -> i16 {
    i16::try_from(x).unwrap_or(if x < 0 { i16::MIN } else { i16::MAX })
}

/// Division as C truncates; by zero: zero.
pub(crate) fn divide(a: i32, b: i32) -> i32 {
    if b == 0 { 0 } else { a.wrapping_div(b) }
}

impl Program {
    /// One tick. `readings` in the order of the ports; missing ones count as 0. `now_ms` wraps.
    pub fn tick(&self, memory: &mut Memory, readings: &[i16], now_ms: u16) -> Drive {
        self.tick_watched(memory, readings, now_ms, &mut ())
    }

    /// The same with somebody who is told of each decision.
    pub(crate) fn tick_watched<W: Watch>(
        &self,
        memory: &mut Memory,
        readings: &[i16],
        now_ms: u16,
        watch: &mut W,
    ) -> Drive {
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
            stack: Stack::default(),
            watch,
        };
        run.unmask();
        run.remember_side();
        run.hold();
        let starts = run.reflexes();
        let changed = run.reflex_steps(starts);
        if run.memory.reflex.is_none() {
            run.state(changed);
        }
        run.memory.drive
    }

    /// What a condition or value comes to at a moment. Of the memory it changes what a die changes.
    pub(crate) fn value_at(
        &self,
        code: Code,
        memory: &mut Memory,
        readings: &[i16],
        now: u16,
    ) -> i16 {
        let mut run = Run {
            program: self,
            memory,
            readings,
            now,
            stack: Stack::default(),
            watch: &mut (),
        };
        run.value(code)
    }
}

/// Places of a stack: a power of two, so that a place is cut to it and never checked.
const PLACES: usize = DEEPEST_STACK.next_power_of_two();

/// A stack of values with its top apart.
#[derive(Default)]
struct Stack {
    top: i16,
    /// How many lie below.
    below: usize,
    values: [i16; PLACES],
}

impl Stack {
    fn clear(&mut self) {
        (self.top, self.below) = (0, 0);
    }

    fn push(&mut self, v: i16) {
        self.values[self.below % PLACES] = self.top;
        self.below += 1;
        self.top = v;
    }

    /// Takes off the one below the top.
    fn pop(&mut self) -> i16 {
        self.below -= 1;
        self.values[self.below % PLACES]
    }

    /// Puts what comes of the one below the top and the top in the place of both.
    fn two(&mut self, of: impl FnOnce(i32, i32) -> i16) {
        let (second, top) = (self.pop(), self.top);
        self.top = of(i32::from(second), i32::from(top));
    }
}

struct Run<'p, W> {
    program: &'p Program,
    memory: &'p mut Memory,
    readings: &'p [i16],
    now: u16,
    stack: Stack,
    watch: &'p mut W,
}

impl<W: Watch> Run<'_, W> {
    /// Tells what is decided, before it is done. `noise` is the die before the condition was asked.
    fn tell(&mut self, event: Event, noise: u16) {
        let moment = Moment {
            memory: self.memory,
            noise,
            readings: self.readings,
            now: self.now,
        };
        self.watch.told(event, moment);
    }

    /// Looks again at every sensor that has been ignored for long enough.
    fn unmask(&mut self) {
        for k in 0..self.program.masks.len() {
            if self.since(self.memory.ignored_since[k]) >= self.memory.ignored_for[k] {
                self.memory.ignored &= !(1_u16 << k);
            }
        }
    }

    fn remember_side(&mut self) {
        let [left, right] = self.program.remember;
        for (side, left) in [(left, true), (right, false)] {
            let noise = self.memory.noise;
            if side.is_some_and(|c| self.holds(c)) {
                self.tell(Event::Seen { left }, noise);
                self.memory.seen_left = left;
                return;
            }
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

    /// Whether one starts.
    fn reflexes(&mut self) -> bool {
        let program = self.program;
        let limit = match self.memory.reflex {
            Some(r) if program.reflexes[usize::from(r)].firm => return false,
            Some(r) => usize::from(r),
            None => program.reflexes.len(),
        };
        for (k, reflex) in program.reflexes[..limit].iter().enumerate() {
            let noise = self.memory.noise;
            if self.holds(reflex.when) {
                self.tell(Event::Reflex(k), noise);
                self.memory.reflex = u8::try_from(k).ok();
                self.memory.step = 0;
                self.memory.step_since = self.now;
                return true;
            }
        }
        false
    }

    /// Steps of the running reflex, which may have started just now; whether its end changed the state.
    fn reflex_steps(&mut self, starts: bool) -> bool {
        let Some(r) = self.memory.reflex else {
            return false;
        };
        let program = self.program;
        let reflex = &program.reflexes[usize::from(r)];
        let noise = self.memory.noise;
        let released = !starts && reflex.until.is_some_and(|c| self.holds(c));
        if released {
            self.tell(Event::Released, noise);
        }
        if !released && self.steps(&reflex.steps) {
            return false;
        }
        self.tell(Event::ReflexDone, self.memory.noise);
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
            if overstayed.is_some() {
                self.tell(Event::Stay, self.memory.noise);
            }
            let way = overstayed.or_else(|| {
                state.ways.iter().enumerate().find_map(|(k, (to, c))| {
                    let noise = self.memory.noise;
                    let holds = self.holds(*c);
                    if holds {
                        self.tell(Event::Way(k), noise);
                    }
                    holds.then_some(*to)
                })
            });
            if let Some(to) = way {
                self.enter(to);
                changed = true;
            }
        }
        let state = &program.states[usize::from(self.memory.state)];
        let began = usize::from(self.memory.step);
        if self.steps(&state.steps) {
            return;
        }
        match state.then {
            // Its turn comes with the next tick: one change a tick.
            Some(_) if changed => {}
            Some(to) => {
                self.tell(Event::Then, self.memory.noise);
                self.enter(to);
                let state = &program.states[usize::from(to)];
                self.steps(&state.steps);
            }
            None => {
                self.tell(Event::Again, self.memory.noise);
                self.memory.step = 0;
                self.memory.step_since = self.now;
                // Round once at most, so that no counter is set twice in a tick.
                let end = match state.steps.get(began) {
                    Some(step) if step.act.is_instant() => began,
                    Some(_) => began + 1,
                    None => state.steps.len(),
                };
                self.steps(&state.steps[..end]);
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
                Act::Move(gadget, to) => {
                    self.memory.gadgets[usize::from(gadget)] = self.value(to).clamp(0, 1000);
                    true
                }
                Act::Release(gadget) => {
                    self.memory.gadgets[usize::from(gadget)] = OFF;
                    true
                }
                Act::Ignore(mask, time) => {
                    self.ignore(usize::from(mask), time);
                    true
                }
                _ => false,
            };
            let late = |run: &mut Self, t: Code| run.since(run.memory.step_since) >= run.time(t);
            let noise = self.memory.noise;
            let over = if instant {
                Some(Over::Instant)
            } else if step.lasting.is_some_and(|t| late(self, t)) {
                Some(Over::Time)
            } else if step.until.is_some_and(|c| self.holds(c)) {
                Some(Over::Until)
            } else {
                None
            };
            let Some(over) = over else {
                self.act(step.act);
                return true;
            };
            self.tell(Event::Passed(over), noise);
            self.memory.step += 1;
            self.memory.step_since = self.now;
        }
        false
    }

    fn ignore(&mut self, mask: usize, time: Code) {
        let time = self.time(time);
        self.memory.ignored_since[mask] = self.now;
        self.memory.ignored_for[mask] = time;
        if time == 0 {
            self.memory.ignored &= !(1_u16 << mask);
        } else {
            self.memory.ignored |= 1_u16 << mask;
        }
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
                let rules = &program.rules[usize::from(from)..usize::from(to)];
                for (k, rule) in rules.iter().enumerate() {
                    let noise = self.memory.noise;
                    if rule.when.is_none_or(|c| self.holds(c)) {
                        self.tell(Event::Rule(k), noise);
                        self.act(rule.act);
                        return;
                    }
                }
            }
            Act::Set(..) | Act::Restart(_) | Act::Move(..) | Act::Release(_) | Act::Ignore(..) => {}
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

    /// What a piece of code comes to.
    fn value(&mut self, code: Code) -> i16 {
        let program = self.program;
        match program.ops[usize::from(code.0)..usize::from(code.1)] {
            // Most efforts and times.
            [Op::Push(v)] => v,
            ref ops => self.run(ops),
        }
    }

    /// Runs operations on a stack whose top is kept apart.
    fn run(&mut self, mut ops: &[Op]) -> i16 {
        self.stack.clear();
        loop {
            ops = match ops {
                // What most conditions are made of, in one go, with how they are joined.
                [
                    Op::Sensor(k),
                    Op::Push(v),
                    compare @ (Op::More | Op::Less),
                    rest @ ..,
                ] => {
                    let reading = self.reading(*k);
                    let holds = if *compare == Op::More {
                        reading > *v
                    } else {
                        reading < *v
                    };
                    match rest {
                        [Op::Or, rest @ ..] => {
                            self.stack.top = i16::from(self.stack.top != 0 || holds);
                            rest
                        }
                        [Op::And, rest @ ..] => {
                            self.stack.top = i16::from(self.stack.top != 0 && holds);
                            rest
                        }
                        _ => {
                            self.stack.push(i16::from(holds));
                            rest
                        }
                    }
                }
                [op, rest @ ..] => {
                    self.one(*op);
                    rest
                }
                [] => return self.stack.top,
            };
        }
    }

    fn one(&mut self, op: Op) {
        match op {
            Op::Push(v) => self.stack.push(v),
            Op::Counter(k) => self.stack.push(self.memory.counters[usize::from(k)]),
            Op::Sensor(k) => {
                let reading = self.reading(k);
                self.stack.push(reading);
            }
            Op::Masked(k) => {
                let reading = self.masked(usize::from(k));
                self.stack.push(reading);
            }
            Op::Timer(k) => {
                let ms = self.since(self.memory.timer_since[usize::from(k)]);
                self.stack.push(i16::try_from(ms).unwrap_or(i16::MAX));
            }
            Op::Held(k) => self.stack.push(i16::from(self.memory.held >> k & 1 == 1)),
            Op::Not => self.stack.top = i16::from(self.stack.top == 0),
            Op::Chance => {
                let falls = i32::from(self.random() % 1000);
                self.stack.top = i16::from(falls < i32::from(self.stack.top));
            }
            Op::Add => self.stack.two(|a, b| saturate(a + b)),
            Op::Sub => self.stack.two(|a, b| saturate(a - b)),
            Op::Mul => self.stack.two(|a, b| saturate(a * b)),
            Op::Div => self.stack.two(|a, b| saturate(divide(a, b))),
            Op::Less => self.stack.two(|a, b| i16::from(a < b)),
            Op::More => self.stack.two(|a, b| i16::from(a > b)),
            Op::Same => self.stack.two(|a, b| i16::from(a == b)),
            Op::And => self.stack.two(|a, b| i16::from(a != 0 && b != 0)),
            Op::Or => self.stack.two(|a, b| i16::from(a != 0 || b != 0)),
            Op::Share => {
                let (by, second) = (i32::from(self.stack.top), i32::from(self.stack.pop()));
                let first = i32::from(self.stack.pop());
                self.stack.top = saturate(divide(first * second, by));
            }
        }
    }

    fn reading(&self, sensor: u8) -> i16 {
        let reading = self.readings.get(usize::from(sensor));
        reading.copied().unwrap_or(0)
    }

    /// The reading of a sensor that may be ignored.
    fn masked(&self, mask: usize) -> i16 {
        let of = self.program.masks[mask];
        if self.memory.ignored >> mask & 1 == 1 {
            return of.blank;
        }
        self.reading(of.sensor)
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
