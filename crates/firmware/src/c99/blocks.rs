//! States and reflexes as functions.

use tactic::program::{Act, Code, Rule, StepCode};

use super::{Writer, to_left};

impl Writer<'_> {
    /// One line for each `for` condition: whether it has held for long enough.
    pub(super) fn holds(&mut self) {
        let program = self.program;
        self.function("static void keep_all(void)", |w| {
            for (k, (condition, time)) in program.holds.iter().enumerate() {
                let said = w.said(*condition);
                w.page.lines(&said.before);
                let time = w.time(*time);
                w.page.line(format!("keep({k}, {}, {time});", said.value));
            }
        });
    }

    /// Which side saw the opponent last.
    pub(super) fn remember(&mut self) {
        let program = self.program;
        self.function("static void remember(void)", |w| {
            for (side, value) in program.remember.iter().zip(["true", "false"]) {
                if let Some(code) = side {
                    w.when(*code, |w| {
                        w.page.line(format!("m.seen_left = {value};"));
                        w.page.line("return;");
                    });
                }
            }
        });
    }

    /// May a reflex start or break in?
    pub(super) fn reflexes(&mut self) {
        let (program, words) = (self.program, self.words);
        self.page.line("/* Whether one starts. */");
        self.function("static bool look_at_reflexes(void)", |w| {
            let firm: Vec<String> = (program.reflexes.iter().zip(&words.reflexes))
                .filter(|(r, _)| r.firm)
                .map(|(_, name)| format!("m.reflex == {name}"))
                .collect();
            if !firm.is_empty() {
                w.block(format!("if ({}) {{", firm.join(" || ")), "}", |w| {
                    w.page.line("return false;");
                });
            }
            for (reflex, name) in program.reflexes.iter().zip(&words.reflexes) {
                w.block(format!("if (m.reflex == {name}) {{"), "}", |w| {
                    w.page.line("return false;");
                });
                w.when(reflex.when, |w| {
                    w.page.line(format!("m.reflex = {name};"));
                    w.page.line("begin_step(0);");
                    w.page.line("return true;");
                });
            }
            w.page.line("return false;");
        });
        if program.reflexes.iter().any(|r| r.until.is_some()) {
            self.page.line("/* Whether what runs has been released. */");
            self.function("static bool released(void)", |w| {
                for (reflex, name) in program.reflexes.iter().zip(&words.reflexes) {
                    let Some(until) = reflex.until else { continue };
                    w.block(format!("if (m.reflex == {name}) {{"), "}", |w| {
                        let said = w.said(until);
                        w.page.lines(&said.before);
                        w.page.line(format!("return {};", said.value));
                    });
                }
                w.page.line("return false;");
            });
        }
    }

    /// The steps of each reflex and state, and the ways out of each state.
    pub(super) fn blocks(&mut self) {
        let (program, words) = (self.program, self.words);
        for at in 0..program.rules.len() {
            self.follow_at(at);
        }
        for (reflex, name) in program.reflexes.iter().zip(&words.reflexes) {
            self.steps(&format!("{name}_steps"), &reflex.steps, false);
        }
        for (state, name) in program.states.iter().zip(&words.states) {
            self.function(&format!("static bool {name}_leave(void)"), |w| {
                if let Some((time, to)) = state.stay {
                    let time = w.time(time);
                    let line = format!("if (since(m.state_since) >= {time}) {{");
                    w.block(line, "}", |w| w.leave(to));
                }
                for (to, condition) in &state.ways {
                    w.when(*condition, |w| w.leave(*to));
                }
                w.page.line("return false;");
            });
            self.steps(&format!("{name}_steps"), &state.steps, state.then.is_none());
        }
    }

    fn leave(&mut self, to: u8) {
        let to = &self.words.states[usize::from(to)];
        self.page.line(format!("enter({to});"));
        self.page.line("return true;");
    }

    /// The function of the rules that begin at `at`, if some `follow` begins there.
    fn follow_at(&mut self, at: usize) {
        let program = self.program;
        if let Some(to) = program.follow_from(at) {
            self.function(&format!("static void follow_{at}(void)"), |w| {
                for Rule { when, act } in &program.rules[at..to] {
                    match when {
                        Some(condition) => w.when(*condition, |w| {
                            w.act(*act);
                            w.page.line("return;");
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

    /// Goes on with `steps`; false when they are done. Those that begin again by themselves may be
    /// told to stop before the step at which the tick began.
    fn steps(&mut self, name: &str, steps: &[StepCode], again: bool) {
        let handed = if again { "uint8_t end" } else { "void" };
        self.function(&format!("static bool {name}({handed})"), |w| {
            if again && steps.is_empty() {
                w.page.line("(void)end;");
            }
            for (k, step) in steps.iter().enumerate() {
                let line = if again {
                    format!("if (m.step == {k} && {k} < end) {{")
                } else {
                    format!("if (m.step == {k}) {{")
                };
                w.block(line, "}", |w| w.step(k, step));
            }
            w.page.line("return false;");
        });
    }

    fn step(&mut self, k: usize, step: &StepCode) {
        let next = format!("begin_step({});", k + 1);
        if step.act.is_instant() {
            self.act(step.act);
            self.page.line(next);
            return;
        }
        let lasting = step.lasting.map(|t| self.time(t));
        match (lasting, step.until) {
            (None, None) => {
                self.act(step.act);
                self.page.line("return true;");
            }
            (Some(time), None) => {
                self.go_on(&format!("!lasted({time})"), step.act);
                self.page.line(next);
            }
            (None, Some(until)) => {
                let over = self.over(until);
                self.go_on(&over, step.act);
                self.page.line(next);
            }
            (Some(time), Some(until)) => {
                self.block(format!("if (!lasted({time})) {{"), "}", |w| {
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
        format!("!({})", said.value)
    }

    fn go_on(&mut self, condition: &str, act: Act) {
        self.block(format!("if ({condition}) {{"), "}", |w| {
            w.act(act);
            w.page.line("return true;");
        });
    }

    fn act(&mut self, act: Act) {
        let line = match act {
            Act::Drive(l, r) => format!("drive({}, {});", self.effort(l), self.effort(r)),
            Act::Pivot(e, turn) => format!("pivot({}, {});", self.effort(e), to_left(turn)),
            Act::Arc(i, o, turn) => {
                let (i, o) = (self.effort(i), self.effort(o));
                format!("arc({i}, {o}, {});", to_left(turn))
            }
            Act::Wait => "drive(0, 0);".into(),
            Act::Follow(from, to) if from == to => String::new(),
            Act::Follow(from, _) => format!("follow_{from}();"),
            Act::Set(counter, value) => {
                format!("m.counter[{counter}] = {};", self.value(value))
            }
            Act::Restart(timer) => format!("m.timer_since[{timer}] = now;"),
            Act::Move(gadget, to) => {
                let name = &self.words.gadgets[usize::from(gadget)];
                format!("order.gadget[{name}] = on_its_way({});", self.value(to))
            }
            Act::Release(gadget) => {
                let name = &self.words.gadgets[usize::from(gadget)];
                format!("order.gadget[{name}] = TACTIC_OFF;")
            }
            Act::Ignore(mask, time) => format!("ignore({mask}, {});", self.time(time)),
        };
        self.page.line(line);
    }
}
