//! States and reflexes as methods.

use tactic::program::{Act, Code, Rule, StepCode};

use super::{Writer, to_left};

impl Writer<'_> {
    /// One line for each `for` condition: whether it has held for long enough.
    pub(super) fn holds(&mut self) {
        let program = self.program;
        self.method("keep_all(self)", |w| {
            for (k, (condition, time)) in program.holds.iter().enumerate() {
                let said = w.said(*condition);
                w.page.lines(&said.before);
                let time = w.time(*time);
                w.page
                    .line(format!("self.keep({k}, {}, {time})", said.value));
            }
            w.page.line("return");
        });
    }

    /// Which side saw the opponent last.
    pub(super) fn remember(&mut self) {
        let program = self.program;
        self.method("remember(self)", |w| {
            for (side, value) in program.remember.iter().zip(["True", "False"]) {
                if let Some(code) = side {
                    w.when(*code, |w| {
                        w.page.line(format!("self.seen_left = {value}"));
                        w.page.line("return");
                    });
                }
            }
            w.page.line("return");
        });
    }

    /// May a reflex start or break in?
    pub(super) fn look_at_reflexes(&mut self) {
        let program = self.program;
        let names = self.reflexes.clone();
        self.page.line("# Whether a reflex starts.");
        self.method("look_at_reflexes(self)", |w| {
            for (reflex, name) in program.reflexes.iter().zip(&names) {
                if reflex.firm {
                    w.block(format!("if self.reflex == {name}:"), |w| {
                        w.page.line("return False");
                    });
                }
            }
            for (reflex, name) in program.reflexes.iter().zip(&names) {
                w.block(format!("if self.reflex == {name}:"), |w| {
                    w.page.line("return False");
                });
                w.when(reflex.when, |w| {
                    w.page.line(format!("self.reflex = {name}"));
                    w.page.line("self.begin_step(0)");
                    w.page.line("return True");
                });
            }
            w.page.line("return False");
        });
        self.page.line("# Whether what runs has been released.");
        let names = self.reflexes.clone();
        self.method("released(self)", |w| {
            for (reflex, name) in program.reflexes.iter().zip(&names) {
                let Some(until) = reflex.until else { continue };
                w.block(format!("if self.reflex == {name}:"), |w| {
                    let said = w.said(until);
                    w.page.lines(&said.before);
                    w.page.line(format!("return {}", said.value));
                });
            }
            w.page.line("return False");
        });
    }

    /// The steps of each reflex and state, and the ways out of each state.
    pub(super) fn blocks(&mut self) {
        let program = self.program;
        for at in 0..program.rules.len() {
            self.follow_at(at);
        }
        for (reflex, name) in program.reflexes.iter().zip(self.reflexes.clone()) {
            self.steps(&format!("{name}_steps(self)"), &reflex.steps, false);
        }
        for (state, name) in program.states.iter().zip(self.states.clone()) {
            self.method(&format!("{name}_leave(self)"), |w| {
                if let Some((time, to)) = state.stay {
                    let time = w.time(time);
                    let line = format!("if self.since(self.state_since) >= {time}:");
                    w.block(line, |w| w.leave(to));
                }
                for (to, condition) in &state.ways {
                    w.when(*condition, |w| w.leave(*to));
                }
                w.page.line("return False");
            });
            self.steps(&format!("{name}_steps(self, end)"), &state.steps, true);
        }
    }

    fn leave(&mut self, to: u8) {
        let to = &self.states[usize::from(to)];
        self.page.line(format!("self.enter({to})"));
        self.page.line("return True");
    }

    /// The method of the rules that begin at `at`, if some `follow` begins there.
    fn follow_at(&mut self, at: usize) {
        let program = self.program;
        if let Some(to) = program.follow_from(at) {
            self.method(&format!("follow_{at}(self)"), |w| {
                for Rule { when, act } in &program.rules[at..to] {
                    match when {
                        Some(condition) => w.when(*condition, |w| {
                            w.act(*act);
                            w.page.line("return");
                        }),
                        None => {
                            w.act(*act);
                            return;
                        }
                    }
                }
            });
        }
    }

    /// Goes on with `steps`; false when they are done. Those of states may be told to stop before the
    /// step at which the tick began.
    fn steps(&mut self, head: &str, steps: &[StepCode], ends: bool) {
        self.method(head, |w| {
            for (k, step) in steps.iter().enumerate() {
                let line = if ends {
                    format!("if self.step == {k} and {k} < end:")
                } else {
                    format!("if self.step == {k}:")
                };
                w.block(line, |w| w.step(k, step));
            }
            w.page.line("return False");
        });
    }

    fn step(&mut self, k: usize, step: &StepCode) {
        let next = format!("self.begin_step({})", k + 1);
        if step.act.is_instant() {
            self.act(step.act);
            self.page.line(next);
            return;
        }
        let lasting = step.lasting.map(|t| self.time(t));
        match (lasting, step.until) {
            (None, None) => {
                self.act(step.act);
                self.page.line("return True");
            }
            (Some(time), None) => {
                self.go_on(&format!("not self.lasted({time})"), step.act);
                self.page.line(next);
            }
            (None, Some(until)) => {
                let over = self.over(until);
                self.go_on(&over, step.act);
                self.page.line(next);
            }
            (Some(time), Some(until)) => {
                self.block(format!("if not self.lasted({time}):"), |w| {
                    let over = w.over(until);
                    w.go_on(&over, step.act);
                });
                self.page.line(next);
            }
        }
    }

    /// The opposite of what ends a step, after the throws of the die in it.
    fn over(&mut self, until: Code) -> String {
        let said = self.said(until);
        self.page.lines(&said.before);
        format!("not ({})", said.value)
    }

    fn go_on(&mut self, condition: &str, act: Act) {
        self.block(format!("if {condition}:"), |w| {
            w.act(act);
            w.page.line("return True");
        });
    }

    fn act(&mut self, act: Act) {
        let line = match act {
            Act::Drive(l, r) => format!("self.drive({}, {})", self.effort(l), self.effort(r)),
            Act::Pivot(e, turn) => format!("self.pivot({}, {})", self.effort(e), to_left(turn)),
            Act::Arc(i, o, turn) => {
                let (i, o) = (self.effort(i), self.effort(o));
                format!("self.arc({i}, {o}, {})", to_left(turn))
            }
            Act::Wait => "self.drive(0, 0)".into(),
            Act::Follow(from, to) if from == to => "pass".into(),
            Act::Follow(from, _) => format!("self.follow_{from}()"),
            Act::Set(counter, value) => {
                format!("self.counter[{counter}] = {}", self.value(value))
            }
            Act::Restart(timer) => format!("self.timer_since[{timer}] = self.now"),
            Act::Move(gadget, to) => {
                let to = self.value(to);
                let name = &self.gadgets[usize::from(gadget)];
                format!("self.gadget[{name}] = min(max({to}, 0), 1000)")
            }
            Act::Release(gadget) => {
                let name = &self.gadgets[usize::from(gadget)];
                format!("self.gadget[{name}] = OFF")
            }
            Act::Ignore(mask, time) => format!("self.ignore({mask}, {})", self.time(time)),
        };
        self.page.line(line);
    }
}
