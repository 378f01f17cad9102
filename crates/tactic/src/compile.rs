//! From a tree to flat code bound to a robot's ports.

use robot::Issue;

use crate::ast::{Action, Ask, Cond, Expr, Name, Step, Tree, Turn};
use crate::bend::{Driven, bend};
use crate::log::Log;
use crate::names::Names;
use crate::ports::{GadgetPort, PortKind, Ports};
use crate::program::{
    Act, Code, DEEPEST_STACK, MOST, Mask, Op, Opening, Program, ReflexCode, Rule, StateCode,
    StepCode,
};
use crate::tactic::Tactic;
use crate::walk::all_steps;

/// What a condition asks, and of whom.
#[derive(Clone, Copy)]
struct Asked {
    /// Its words.
    question: &'static str,
    /// Kinds of sensor that can answer; none: any.
    of: &'static [PortKind],
    /// What they are called.
    role: &'static str,
}

const SEEING: Asked = Asked {
    question: "sees",
    of: &[PortKind::Range, PortKind::Proximity],
    role: "a distance or proximity sensor",
};
const MEASURING: Asked = Asked {
    question: "sees within",
    of: &[PortKind::Range],
    role: "a distance sensor",
};
const EDGE: Asked = Asked {
    question: "on border",
    of: &[PortKind::Reflectance],
    role: "an edge sensor",
};
const SWITCH: Asked = Asked {
    question: "touched",
    of: &[PortKind::Contact],
    role: "a contact switch",
};
const ANY: Asked = Asked {
    question: "above",
    of: &[],
    role: "any sensor",
};

/// Binds a tactic to a robot's sensors and makes flat code of it.
///
/// # Errors
/// Sensors or gadgets the robot does not have, or of the wrong kind for what is asked of them, ends
/// that a gadget does not have; more counters,
/// timers or `for` conditions than a small controller holds.
pub fn compile(tactic: &Tactic, ports: &Ports) -> Result<Program, Vec<Issue>> {
    let mut log = Log::new(tactic.file(), tactic.text());
    let mut maker = Maker {
        tactic,
        tree: tactic.tree(),
        names: Names::of(tactic.tree()),
        border_level: tactic.border_level(),
        ports,
        log: &mut log,
        program: Program {
            ops: Vec::new(),
            rules: Vec::new(),
            states: Vec::new(),
            reflexes: Vec::new(),
            openings: Vec::new(),
            holds: Vec::new(),
            remember: [None; 2],
            counters: Vec::new(),
            masks: Vec::new(),
        },
        within: 0..0,
    };
    maker.whole();
    let program = maker.program;
    if log.is_empty() {
        Ok(program)
    } else {
        Err(log.into_issues())
    }
}

struct Maker<'t> {
    tactic: &'t Tactic,
    tree: &'t Tree,
    names: Names<'t>,
    border_level: i16,
    ports: &'t Ports,
    log: &'t mut Log,
    program: Program,
    /// The name of the state or reflex at hand.
    within: core::ops::Range<usize>,
}

impl Maker<'_> {
    fn whole(&mut self) {
        let tree = self.tree;
        self.program.counters = tree.counters.iter().map(|c| c.1).collect();
        self.masks();
        let left = tree.remember_left.as_ref().map(|c| self.cond(c));
        let right = tree.remember_right.as_ref().map(|c| self.cond(c));
        self.program.remember = [left, right];
        for r in &tree.reflexes {
            self.within = r.name.span.clone();
            let when = self.cond(&r.when);
            let until = r.until.as_ref().map(|c| self.cond(c));
            let steps = self.steps(&r.steps);
            let then = r.then.as_ref().map(|n| self.state(n));
            self.program.reflexes.push(ReflexCode {
                name: r.name.word.clone(),
                firm: r.firm,
                when,
                until,
                steps,
                then,
            });
        }
        for s in &tree.states {
            self.within = s.name.span.clone();
            let ways = s
                .ways
                .iter()
                .map(|(to, c)| (self.state(to), self.cond(c)))
                .collect();
            let steps = self.steps(&s.steps);
            let stay = s
                .stay
                .as_ref()
                .map(|s| (self.expr(&s.time), self.state(&s.to)));
            let then = s.then.as_ref().map(|n| self.state(n));
            self.program.states.push(StateCode {
                name: s.name.word.clone(),
                ways,
                steps,
                stay,
                then,
            });
        }
        for (k, o) in tree.openings.iter().enumerate() {
            let begin = o.begin.as_ref().map_or(0, |n| self.state(n));
            self.program.openings.push(Opening {
                name: o.name.word.clone(),
                switch: o.switch(k),
                behind_mm: o.behind,
                aside_mm: o.aside,
                facing_tenth_deg: o.facing,
                left_first: o.left_first,
                begin,
            });
        }
        if self.program.openings.is_empty() {
            self.program.openings.push(Opening {
                name: "straight".into(),
                switch: 0,
                behind_mm: 0,
                aside_mm: 0,
                facing_tenth_deg: 0,
                left_first: true,
                begin: 0,
            });
        }
        self.limits();
    }

    /// What only the code shows: how much of it there is, and names that the robot gives another meaning.
    fn limits(&mut self) {
        let (byte, word) = (usize::from(u8::MAX), usize::from(u16::MAX));
        let program = &self.program;
        let counts = [
            (program.holds.len(), MOST, "\"for\" conditions"),
            (self.ports.inputs.len(), byte, "sensors"),
            (program.rules.len(), word, "rules"),
            (program.ops.len(), word, "operations"),
        ];
        let whole = self.tree.states.first().map(|s| s.name.span.clone());
        for (n, most, what) in counts {
            if n > most {
                let expected = format!("at most {most}, which fits a small controller");
                let span = whole.clone().unwrap_or(0..0);
                self.log.at(span, format!("{n} {what}"), &expected, None);
            }
        }
        let tree = self.tree;
        // A name that means two things would be read as the one here and as the other there.
        let values = (tree.constants.iter().map(|c| &c.name))
            .chain(tree.counters.iter().map(|c| &c.0))
            .chain(&tree.timers);
        for name in values {
            if self.ports.inputs.iter().any(|p| p.name == name.word) {
                let what = format!("\"{}\" is the name of a sensor too", name.word);
                self.log
                    .at(name.span.clone(), what, "a name of its own", None);
            }
            let is_end = |g: &GadgetPort| g.ends.contains(&name.word);
            if let Some(g) = self.ports.gadgets.iter().find(|g| is_end(g)) {
                let what = format!("\"{}\" is an end of \"{}\" too", name.word, g.name);
                self.log
                    .at(name.span.clone(), what, "a name of its own", None);
            }
        }
    }

    fn state(&self, name: &Name) -> u8 {
        self.names.state(name)
    }

    fn steps(&mut self, steps: &[Step]) -> Vec<StepCode> {
        steps
            .iter()
            .map(|s| {
                let (act, lasting) = match &s.action {
                    Action::Bend(radius, angle, turn, effort) => {
                        self.bend([radius, angle, effort], *turn)
                    }
                    action => {
                        let act = self.act(action);
                        (act, s.lasting.as_ref().map(|e| self.expr(e)))
                    }
                };
                let until = s.until.as_ref().map(|c| self.cond(c));
                StepCode {
                    act,
                    lasting,
                    until,
                }
            })
            .collect()
    }

    fn act(&mut self, action: &Action) -> Act {
        match action {
            Action::Drive(l, r) => Act::Drive(self.expr(l), self.expr(r)),
            Action::Pivot(e, turn) => Act::Pivot(self.expr(e), *turn),
            Action::Arc(i, o, turn) => Act::Arc(self.expr(i), self.expr(o), *turn),
            Action::Wait => Act::Wait,
            // Only a step is one, and `steps` makes it.
            Action::Bend(radius, angle, turn, effort) => {
                self.bend([radius, angle, effort], *turn).0
            }
            Action::Ignore(name, time) => {
                let k = self.sensor(name, ANY);
                let mask = self.program.masks.iter().position(|m| m.sensor == k);
                let mask = mask.and_then(|m| u8::try_from(m).ok()).unwrap_or(0);
                Act::Ignore(mask, self.expr(time))
            }
            Action::Set(name, e) => {
                let k = self.names.counter(name).unwrap_or(0);
                Act::Set(k, self.expr(e))
            }
            Action::Restart(name) => Act::Restart(self.timer(name)),
            Action::Move(name, to) => self.send(name, to),
            Action::Release(name) => Act::Release(self.gadget(name).map_or(0, |g| g.0)),
            Action::Follow(rules) => {
                let rules: Vec<Rule> = rules
                    .iter()
                    .map(|(c, a)| Rule {
                        when: c.as_ref().map(|c| self.cond(c)),
                        act: self.act(a),
                    })
                    .collect();
                let from = self.program.rules.len();
                self.program.rules.extend(rules);
                let index = |k: usize| u16::try_from(k).unwrap_or(u16::MAX);
                Act::Follow(index(from), index(self.program.rules.len()))
            }
        }
    }

    fn timer(&self, name: &Name) -> u8 {
        self.names.timer(name)
    }

    /// Code of a condition or value, placed in one piece: what it contains of `for` conditions is
    /// placed before it.
    fn piece(&mut self, ops: Vec<Op>) -> Code {
        let (mut depth, mut deepest) = (0_usize, 0);
        for op in &ops {
            match op {
                Op::Push(_)
                | Op::Counter(_)
                | Op::Sensor(_)
                | Op::Masked(_)
                | Op::Timer(_)
                | Op::Held(_) => {
                    depth += 1;
                }
                Op::Not | Op::Chance => {}
                Op::Share => depth = depth.saturating_sub(2),
                _ => depth = depth.saturating_sub(1),
            }
            deepest = deepest.max(depth);
        }
        if deepest > DEEPEST_STACK {
            let what = "a condition or value in here is nested too deep";
            let expected = "two shorter ones";
            self.log.at(self.within.clone(), what, expected, None);
        }
        let from = self.program.ops.len();
        self.program.ops.extend(ops);
        let index = |k: usize| u16::try_from(k).unwrap_or(u16::MAX);
        (index(from), index(self.program.ops.len()))
    }

    fn cond(&mut self, cond: &Cond) -> Code {
        let mut ops = Vec::new();
        self.cond_ops(cond, &mut ops);
        self.piece(ops)
    }

    fn expr(&mut self, expr: &Expr) -> Code {
        let mut ops = Vec::new();
        self.expr_ops(expr, &mut ops);
        self.piece(ops)
    }

    fn expr_ops(&mut self, expr: &Expr, ops: &mut Vec<Op>) {
        match expr {
            Expr::Value(v) => ops.push(Op::Push(*v)),
            Expr::Name(n) => {
                let op = match (self.names.constant(n), self.names.counter(n)) {
                    (Some(value), _) => Op::Push(value),
                    (None, Some(k)) => Op::Counter(k),
                    (None, None) => {
                        let k = self.sensor(n, ANY);
                        self.reading(k)
                    }
                };
                ops.push(op);
            }
            Expr::Two(sign, a, b) => {
                self.expr_ops(a, ops);
                self.expr_ops(b, ops);
                ops.push(match sign {
                    '+' => Op::Add,
                    '-' => Op::Sub,
                    '*' => Op::Mul,
                    _ => Op::Div,
                });
            }
            Expr::Share(a, b, c) => {
                for e in [a, b, c] {
                    self.expr_ops(e, ops);
                }
                ops.push(Op::Share);
            }
        }
    }

    fn cond_ops(&mut self, cond: &Cond, ops: &mut Vec<Op>) {
        match &cond.ask {
            Ask::Sees(n) => {
                let k = self.sensor(n, SEEING);
                let kind = self.ports.inputs.get(usize::from(k)).map(|p| p.kind);
                ops.push(self.reading(k));
                ops.extend(if kind == Some(PortKind::Proximity) {
                    [Op::Push(0), Op::More]
                } else {
                    [Op::Push(PortKind::NOTHING), Op::Less]
                });
            }
            Ask::Within(n, e) => {
                let k = self.sensor(n, MEASURING);
                ops.push(self.reading(k));
                self.expr_ops(e, ops);
                ops.extend([Op::More, Op::Not]);
            }
            Ask::Beyond(n, e) => {
                let k = self.sensor(n, MEASURING);
                ops.push(self.reading(k));
                self.expr_ops(e, ops);
                ops.extend([
                    Op::More,
                    self.reading(k),
                    Op::Push(PortKind::NOTHING),
                    Op::Less,
                    Op::And,
                ]);
            }
            Ask::OnBorder(n) => {
                let k = self.sensor(n, EDGE);
                ops.push(self.reading(k));
                ops.extend([Op::Push(self.border_level), Op::More]);
            }
            Ask::Touched(n) => {
                let k = self.sensor(n, SWITCH);
                ops.push(self.reading(k));
                ops.extend([Op::Push(0), Op::More]);
            }
            Ask::Above(n, e) => {
                let k = self.sensor(n, ANY);
                ops.push(self.reading(k));
                self.expr_ops(e, ops);
                ops.push(Op::More);
            }
            Ask::Below(n, e) => {
                let k = self.sensor(n, ANY);
                ops.push(self.reading(k));
                self.expr_ops(e, ops);
                ops.push(Op::Less);
            }
            Ask::Over(n, e) => {
                ops.push(Op::Timer(self.timer(n)));
                self.expr_ops(e, ops);
                ops.push(Op::More);
            }
            Ask::Compare(sign, a, b) => {
                self.expr_ops(a, ops);
                self.expr_ops(b, ops);
                ops.push(match sign {
                    '<' => Op::Less,
                    '>' => Op::More,
                    _ => Op::Same,
                });
            }
            Ask::Chance(e) => {
                self.expr_ops(e, ops);
                ops.push(Op::Chance);
            }
            Ask::Not(c) => {
                self.cond_ops(c, ops);
                ops.push(Op::Not);
            }
            Ask::And(a, b) | Ask::Or(a, b) => {
                self.cond_ops(a, ops);
                self.cond_ops(b, ops);
                ops.push(if matches!(cond.ask, Ask::And(..)) {
                    Op::And
                } else {
                    Op::Or
                });
            }
            Ask::For(c, time) => {
                let (inner, time) = (self.cond(c), self.expr(time));
                let k = self.program.holds.len();
                self.program.holds.push((inner, time));
                ops.push(Op::Held(u8::try_from(k.min(MOST - 1)).unwrap_or(0)));
            }
        }
    }

    /// A bend as an arc and the time it takes; radius, angle and effort must be fixed.
    fn bend(&mut self, values: [&Expr; 3], turn: Turn) -> (Act, Option<Code>) {
        let driven = match values.map(|e| self.tactic.fixed(e)) {
            [Some(radius), Some(angle), Some(effort)] => match self.ports.rolling {
                Some(rolling) => bend(rolling, radius, angle, effort),
                None => Err("a robot with driven wheels or tracks on both sides"),
            },
            _ => Err("numbers and constants: what a bend drives is worked out beforehand"),
        };
        let driven = driven.unwrap_or_else(|expected| {
            let what = "a bend in here cannot be driven";
            self.log.at(self.within.clone(), what, expected, None);
            Driven {
                inner: 0,
                outer: 0,
                ms: 0,
            }
        });
        let mut number = |v: i16| self.piece(vec![Op::Push(v)]);
        let act = Act::Arc(number(driven.inner), number(driven.outer), turn);
        (act, Some(number(driven.ms)))
    }

    /// The reading of a sensor by its index.
    fn reading(&self, k: u8) -> Op {
        let mask = self.program.masks.iter().position(|m| m.sensor == k);
        match mask.and_then(|m| u8::try_from(m).ok()) {
            Some(m) => Op::Masked(m),
            None => Op::Sensor(k),
        }
    }

    /// One mask for each sensor that some step ignores.
    fn masks(&mut self) {
        for step in all_steps(self.tree) {
            let Action::Ignore(name, _) = &step.action else {
                continue;
            };
            let sensor = self.sensor(name, ANY);
            let known = self.program.masks.iter().any(|m| m.sensor == sensor);
            if known {
                continue;
            }
            if self.program.masks.len() == MOST {
                let what = format!("more than {MOST} sensors are ignored");
                let expected = "fewer, which fits a small controller";
                self.log.at(name.span.clone(), what, expected, None);
                return;
            }
            let kind = self.ports.inputs.get(usize::from(sensor)).map(|p| p.kind);
            let far = kind == Some(PortKind::Range);
            self.program.masks.push(Mask {
                sensor,
                blank: if far { PortKind::NOTHING } else { 0 },
            });
        }
    }

    /// A gadget sent to one of its ends, or so far on its way.
    fn send(&mut self, name: &Name, to: &Expr) -> Act {
        let found = self.gadget(name);
        let Some((k, [first, second])) = found else {
            return Act::Release(0);
        };
        let Expr::Name(end) = to else {
            return Act::Move(k, self.expr(to));
        };
        if end.word == first {
            return Act::Move(k, self.piece(vec![Op::Push(0)]));
        }
        if end.word == second {
            return Act::Move(k, self.piece(vec![Op::Push(1000)]));
        }
        if self.names.constant(end).is_some() || self.names.counter(end).is_some() {
            return Act::Move(k, self.expr(to));
        }
        let suggestion = robot::reader::nearest(&end.word, [first.as_str(), second.as_str()]);
        let suggestion = suggestion.map(str::to_owned);
        let what = format!("\"{}\" has no end \"{}\"", name.word, end.word);
        let expected = format!("{first}, {second}, or a share of its way such as 60 %");
        self.log.at(end.span.clone(), what, &expected, suggestion);
        Act::Release(k)
    }

    /// Index and ends of a gadget.
    fn gadget(&mut self, name: &Name) -> Option<(u8, [String; 2])> {
        let gadgets = &self.ports.gadgets;
        if let Some(k) = gadgets.iter().position(|g| g.name == name.word) {
            return Some((u8::try_from(k).ok()?, gadgets[k].ends.clone()));
        }
        let names: Vec<&str> = gadgets.iter().map(|g| g.name.as_str()).collect();
        let suggestion = robot::reader::nearest(&name.word, names.iter().copied());
        let expected = if names.is_empty() {
            "a robot with a [[gadget]] that has a motor".to_owned()
        } else {
            format!("one of the robot's gadgets ({})", names.join(", "))
        };
        let what = format!("the robot has no gadget \"{}\"", name.word);
        let suggestion = suggestion.map(str::to_owned);
        self.log.at(name.span.clone(), what, &expected, suggestion);
        None
    }

    /// Index of a sensor, which must be of a kind that can be asked.
    fn sensor(&mut self, name: &Name, asked: Asked) -> u8 {
        let found = self.ports.inputs.iter().position(|p| p.name == name.word);
        let Some(k) = found else {
            let names = || self.ports.inputs.iter().map(|p| p.name.as_str());
            let suggestion = robot::reader::nearest(&name.word, names()).map(str::to_owned);
            let all: Vec<&str> = names().collect();
            let expected = format!("one of the robot's sensors ({})", all.join(", "));
            let what = format!("the robot has no sensor \"{}\"", name.word);
            self.log.at(name.span.clone(), what, &expected, suggestion);
            return 0;
        };
        let kind = self.ports.inputs[k].kind;
        if !asked.of.is_empty() && !asked.of.contains(&kind) {
            let what = format!("\"{}\" is no sensor for \"{}\"", name.word, asked.question);
            let instead = format!("{} {}", name.word, kind.question());
            self.log
                .at(name.span.clone(), what, asked.role, Some(instead));
        }
        u8::try_from(k).unwrap_or(u8::MAX)
    }
}
