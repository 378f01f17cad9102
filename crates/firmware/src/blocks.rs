//! States and reflexes as functions, the same in every language.

use tactic::program::{Act, Code, Rule, StepCode};

use crate::writer::{Gives, Writer};

impl Writer<'_> {
    /// One line for each `for` condition: whether it has held for long enough.
    pub(crate) fn holds(&mut self) {
        let program = self.program;
        self.function(Gives::Nothing, "keep_all", None, |w| {
            for (k, (condition, time)) in program.holds.iter().enumerate() {
                let condition = w.asked(*condition);
                let time = w.time(*time);
                w.calls(&format!("keep({k}, {condition}, {time})"));
            }
        });
    }

    /// Which side saw the opponent last.
    pub(crate) fn remember(&mut self) {
        let program = self.program;
        self.function(Gives::Nothing, "remember", None, |w| {
            for (side, left) in program.remember.iter().zip([true, false]) {
                if let Some(code) = side {
                    w.when(*code, |w| {
                        w.sets("seen_left", w.dialect.truth[usize::from(left)]);
                        w.does("return");
                    });
                }
            }
        });
    }

    /// May a reflex start or break in?
    pub(crate) fn reflexes(&mut self) {
        let (program, words) = (self.program, self.words);
        self.remarks("Whether a reflex starts.");
        self.function(Gives::Truth, "look_at_reflexes", None, |w| {
            let firm: Vec<String> = (program.reflexes.iter().zip(&words.reflexes))
                .filter(|(r, _)| r.firm)
                .map(|(_, name)| w.runs(name))
                .collect();
            if !firm.is_empty() {
                w.only_if(&firm.join(w.dialect.or), |w| w.gives(false));
            }
            for (reflex, name) in program.reflexes.iter().zip(&words.reflexes) {
                w.only_if(&w.runs(name), |w| w.gives(false));
                w.when(reflex.when, |w| {
                    w.sets("reflex", name);
                    w.calls("begin_step(0)");
                    w.gives(true);
                });
            }
            w.gives(false);
        });
    }

    /// What releases each reflex.
    pub(crate) fn released(&mut self) {
        let (program, words) = (self.program, self.words);
        self.remarks("Whether what runs has been released.");
        self.function(Gives::Truth, "released", None, |w| {
            for (reflex, name) in program.reflexes.iter().zip(&words.reflexes) {
                let Some(until) = reflex.until else { continue };
                w.only_if(&w.runs(name), |w| {
                    let released = w.asked(until);
                    w.does(&format!("return {released}"));
                });
            }
            w.gives(false);
        });
    }

    /// Whether the reflex of this name runs, as an expression.
    fn runs(&self, name: &str) -> String {
        format!("{} == {name}", self.dialect.memory("reflex"))
    }

    /// The steps of each reflex and state, and the ways out of each state.
    pub(crate) fn blocks(&mut self) {
        let (program, words) = (self.program, self.words);
        for at in 0..program.rules.len() {
            self.follow_at(at);
        }
        for (reflex, name) in program.reflexes.iter().zip(&words.reflexes) {
            self.steps(&format!("{name}_steps"), &reflex.steps, false);
        }
        for (state, name) in program.states.iter().zip(&words.states) {
            self.function(Gives::Truth, &format!("{name}_leave"), None, |w| {
                if let Some((time, to)) = state.stay {
                    let time = w.time(time);
                    let (own, since) = (w.dialect.own, w.dialect.memory("state_since"));
                    w.only_if(&format!("{own}since({since}) >= {time}"), |w| w.leave(to));
                }
                for (to, condition) in &state.ways {
                    w.when(*condition, |w| w.leave(*to));
                }
                w.gives(false);
            });
            let round = state.then.is_none() || self.dialect.goes_round;
            self.steps(&format!("{name}_steps"), &state.steps, round);
        }
    }

    fn leave(&mut self, to: u8) {
        let to = &self.words.states[usize::from(to)];
        self.calls(&format!("enter({to})"));
        self.gives(true);
    }

    /// The function of the rules that begin at `at`, if some `follow` begins there.
    fn follow_at(&mut self, at: usize) {
        let program = self.program;
        let Some(to) = program.follow_from(at) else {
            return;
        };
        self.function(Gives::Nothing, &format!("follow_{at}"), None, |w| {
            for Rule { when, act } in &program.rules[at..to] {
                match when {
                    Some(condition) => w.when(*condition, |w| {
                        w.act(*act);
                        w.does("return");
                    }),
                    None => {
                        w.act(*act);
                        return;
                    }
                }
            }
        });
    }

    /// Goes on with `steps`; false when they are done. Those that go `round` are told to stop before the
    /// step at which the tick began.
    fn steps(&mut self, name: &str, steps: &[StepCode], round: bool) {
        self.function(Gives::Truth, name, round.then_some("end"), |w| {
            if let Some(uses) = w.dialect.uses.filter(|_| round && steps.is_empty()) {
                w.does(&format!("{uses}end"));
            }
            for (k, step) in steps.iter().enumerate() {
                let mut condition = format!("{} == {k}", w.dialect.memory("step"));
                if round {
                    condition.push_str(&format!("{}{k} < end", w.dialect.and));
                }
                w.only_if(&condition, |w| w.step(k, step));
            }
            w.gives(false);
        });
    }

    fn step(&mut self, k: usize, step: &StepCode) {
        let lasting = step.lasting.map(|t| self.time(t));
        let not_yet =
            |w: &Self, time: &str| format!("{}{}lasted({time})", w.dialect.not, w.dialect.own);
        match (lasting, step.until) {
            _ if step.act.is_instant() => self.act(step.act),
            (None, None) => {
                self.act(step.act);
                self.gives(true);
                return;
            }
            (Some(time), None) => self.go_on(&not_yet(self, &time), step.act),
            (None, Some(until)) => {
                let over = self.over(until);
                self.go_on(&over, step.act);
            }
            (Some(time), Some(until)) => self.only_if(&not_yet(self, &time), |w| {
                let over = w.over(until);
                w.go_on(&over, step.act);
            }),
        }
        self.calls(&format!("begin_step({})", k + 1));
    }

    /// The opposite of what ends a step, after the throws of the die in it.
    fn over(&mut self, until: Code) -> String {
        let until = self.asked(until);
        format!("{}({until})", self.dialect.not)
    }

    fn go_on(&mut self, condition: &str, act: Act) {
        self.only_if(condition, |w| {
            w.act(act);
            w.gives(true);
        });
    }

    fn act(&mut self, act: Act) {
        let dialect = self.dialect;
        match act {
            Act::Drive(l, r) => {
                let (l, r) = (self.effort(l), self.effort(r));
                self.calls(&format!("drive({l}, {r})"));
            }
            Act::Pivot(e, turn) => {
                let e = self.effort(e);
                self.calls(&format!("pivot({e}, {})", dialect.turns_left(turn)));
            }
            Act::Arc(i, o, turn) => {
                let (i, o) = (self.effort(i), self.effort(o));
                self.calls(&format!("arc({i}, {o}, {})", dialect.turns_left(turn)));
            }
            Act::Wait => self.calls("drive(0, 0)"),
            Act::Follow(from, to) if from == to => self.page.line(dialect.nothing),
            Act::Follow(from, _) => self.calls(&format!("follow_{from}()")),
            Act::Set(counter, value) => {
                let value = self.value(value);
                self.sets(&format!("counter[{counter}]"), &value);
            }
            Act::Restart(timer) => self.sets(&format!("timer_since[{timer}]"), dialect.now),
            Act::Move(gadget, to) => {
                let to = self.value(to);
                self.send(gadget, &format!("on_its_way({to})"));
            }
            Act::Release(gadget) => self.send(gadget, dialect.off),
            Act::Ignore(mask, time) => {
                let time = self.time(time);
                self.calls(&format!("ignore({mask}, {time})"));
            }
        }
    }

    fn send(&mut self, gadget: u8, to: &str) {
        let [before, behind] = self.dialect.gadget;
        let name = &self.words.gadgets[usize::from(gadget)];
        self.does(&format!("{before}{name}{behind} = {to}"));
    }
}
