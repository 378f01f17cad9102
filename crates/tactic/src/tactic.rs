//! A parsed tactic: what it names, what it reads, how hard it drives.

use robot::{Finding, Issue, Severity};

use crate::ast::{Action, Cond, Expr, Name, State, Step, Tree};
use crate::grammar;
use crate::log::Log;

/// The constant that sets the threshold of `on border`, in per mille.
pub(crate) const BORDER_LEVEL: &str = "border-level";

/// A tactic that has been read without an error.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tactic {
    file: String,
    text: String,
    tree: Tree,
}

/// A named constant with the range it may be tried in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Constant {
    /// Name.
    pub name: String,
    /// Value.
    pub value: i16,
    /// Smallest value worth trying.
    pub least: i16,
    /// Largest value worth trying.
    pub most: i16,
}

/// Reads a tactic.
///
/// # Errors
/// Everything wrong in it, in order of place.
pub fn parse(file: &str, text: &str) -> Result<Tactic, Vec<Issue>> {
    let mut log = Log::new(file, text);
    let tree = grammar::tree(text, &mut log);
    check_names(&tree, &mut log);
    if log.is_empty() {
        Ok(Tactic {
            file: file.to_owned(),
            text: text.to_owned(),
            tree,
        })
    } else {
        Err(log.into_issues())
    }
}

/// Names given twice, names of nothing, a tactic without a state.
fn check_names(tree: &Tree, log: &mut Log) {
    if tree.states.is_empty() {
        log.at(
            0..0,
            "there is no state",
            "at least one: state hunt { … }",
            None,
        );
    }
    let groups: [(&str, Vec<&Name>); 4] = [
        ("state", tree.states.iter().map(|s| &s.name).collect()),
        ("reflex", tree.reflexes.iter().map(|r| &r.name).collect()),
        ("opening", tree.openings.iter().map(|o| &o.name).collect()),
        (
            "value",
            (tree.constants.iter().map(|c| &c.name))
                .chain(tree.counters.iter().map(|c| &c.0))
                .chain(&tree.timers)
                .collect(),
        ),
    ];
    for (kind, names) in groups {
        for (k, n) in names.iter().enumerate() {
            if names[..k].iter().any(|m| m.word == n.word) {
                let what = format!("a second {kind} called \"{}\"", n.word);
                log.at(n.span.clone(), what, "a name of its own for each", None);
            }
        }
    }
    let mut targets: Vec<&Name> = Vec::new();
    for s in &tree.states {
        targets.extend(s.ways.iter().map(|w| &w.0));
        targets.extend(s.stay.iter().map(|x| &x.1));
        targets.extend(&s.then);
    }
    targets.extend(tree.reflexes.iter().filter_map(|r| r.then.as_ref()));
    targets.extend(tree.openings.iter().filter_map(|o| o.begin.as_ref()));
    let known: Vec<&str> = tree.states.iter().map(|s| s.name.word.as_str()).collect();
    for t in targets {
        missing(t, &known, "state", log);
    }
    let counters: Vec<&str> = tree.counters.iter().map(|c| c.0.word.as_str()).collect();
    let timers: Vec<&str> = tree.timers.iter().map(|t| t.word.as_str()).collect();
    for step in all_steps(tree) {
        match &step.action {
            Action::Set(n, _) => missing(n, &counters, "counter", log),
            Action::Restart(n) => missing(n, &timers, "timer", log),
            _ => {}
        }
    }
    let mut conds = Vec::new();
    every_cond(tree, &mut |c| conds.push(c.clone()));
    for c in &conds {
        walk(c, &mut |c| {
            if let Cond::Over(n, _) = c {
                missing(n, &timers, "timer", log);
            }
        });
    }
}

fn missing(name: &Name, known: &[&str], kind: &str, log: &mut Log) {
    if known.contains(&name.word.as_str()) {
        return;
    }
    let suggestion = robot::reader::nearest(&name.word, known.iter().copied()).map(str::to_owned);
    let expected = if known.is_empty() {
        format!("a {kind} that is declared")
    } else {
        format!("one of {}", known.join(", "))
    };
    log.at(
        name.span.clone(),
        format!("there is no {kind} \"{}\"", name.word),
        &expected,
        suggestion,
    );
}

fn all_steps(tree: &Tree) -> impl Iterator<Item = &Step> {
    let states = tree.states.iter().flat_map(|s| &s.steps);
    states.chain(tree.reflexes.iter().flat_map(|r| &r.steps))
}

fn every_cond<'t>(tree: &'t Tree, see: &mut dyn FnMut(&'t Cond)) {
    tree.remember_left
        .iter()
        .chain(&tree.remember_right)
        .for_each(&mut *see);
    for r in &tree.reflexes {
        see(&r.when);
        r.steps.iter().for_each(|s| step_conds(s, see));
    }
    for s in &tree.states {
        state_conds(s, see);
    }
}

fn state_conds<'t>(s: &'t State, see: &mut dyn FnMut(&'t Cond)) {
    s.ways.iter().for_each(|w| see(&w.1));
    s.steps.iter().for_each(|s| step_conds(s, see));
}

fn step_conds<'t>(s: &'t Step, see: &mut dyn FnMut(&'t Cond)) {
    s.until.iter().for_each(&mut *see);
    if let Action::Follow(rules) = &s.action {
        rules.iter().filter_map(|r| r.0.as_ref()).for_each(see);
    }
}

/// Calls `see` for a condition and all it contains.
fn walk(cond: &Cond, see: &mut dyn FnMut(&Cond)) {
    see(cond);
    match cond {
        Cond::Not(c) | Cond::For(c, _) => walk(c, see),
        Cond::And(a, b) | Cond::Or(a, b) => {
            walk(a, see);
            walk(b, see);
        }
        _ => {}
    }
}

impl Tactic {
    /// File it was read from.
    #[must_use]
    pub fn file(&self) -> &str {
        &self.file
    }

    /// Its text.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    pub(crate) fn tree(&self) -> &Tree {
        &self.tree
    }

    /// Its named constants.
    #[must_use]
    pub fn constants(&self) -> Vec<Constant> {
        let constant = |c: &crate::ast::ConstantText| Constant {
            name: c.name.word.clone(),
            value: c.value,
            least: c.least,
            most: c.most,
        };
        self.tree.constants.iter().map(constant).collect()
    }

    /// The same tactic with a constant changed, if it has it and the value is in its range.
    #[must_use]
    pub fn with_constant(&self, name: &str, value: i16) -> Option<Self> {
        let mut other = self.clone();
        let c = other
            .tree
            .constants
            .iter_mut()
            .find(|c| c.name.word == name)?;
        if !(c.least..=c.most).contains(&value) {
            return None;
        }
        c.value = value;
        Some(other)
    }

    /// The same tactic with its openings in another order of preference: `first` plays first.
    #[must_use]
    pub fn opening_names(&self) -> Vec<String> {
        self.tree
            .openings
            .iter()
            .map(|o| o.name.word.clone())
            .collect()
    }

    /// States that can be reached from an opening or a reflex.
    fn reachable(&self) -> Vec<bool> {
        let states = &self.tree.states;
        let index = |n: &Name| states.iter().position(|s| s.name.word == n.word);
        let mut todo: Vec<usize> = self
            .tree
            .openings
            .iter()
            .map(|o| o.begin.as_ref().map_or(Some(0), index))
            .chain(
                self.tree
                    .reflexes
                    .iter()
                    .filter_map(|r| r.then.as_ref())
                    .map(index),
            )
            .flatten()
            .collect();
        if self.tree.openings.is_empty() {
            todo.push(0);
        }
        let mut reached = vec![false; states.len()];
        while let Some(k) = todo.pop() {
            if k >= states.len() || reached[k] {
                continue;
            }
            reached[k] = true;
            let s = &states[k];
            let ways = s
                .ways
                .iter()
                .map(|w| &w.0)
                .chain(s.stay.iter().map(|x| &x.1))
                .chain(&s.then);
            todo.extend(ways.filter_map(index));
        }
        reached
    }

    /// Names of the sensors that can change what the robot does, in alphabetical order: those
    /// asked about in a reflex, in a state that can be reached, or for a side that is turned to.
    #[must_use]
    pub fn sensors_read(&self) -> Vec<String> {
        let mut names: Vec<String> = Vec::new();
        let values: Vec<&str> = (self.tree.constants.iter().map(|c| c.name.word.as_str()))
            .chain(self.tree.counters.iter().map(|c| c.0.word.as_str()))
            .collect();
        let mut add = |n: &Name| {
            if !values.contains(&n.word.as_str()) && !names.contains(&n.word) {
                names.push(n.word.clone());
            }
        };
        let mut see = |c: &Cond| {
            walk(c, &mut |c| match c {
                Cond::Sees(n) | Cond::OnBorder(n) | Cond::Touched(n) => add(n),
                Cond::Within(n, e) | Cond::Beyond(n, e) | Cond::Above(n, e) | Cond::Below(n, e) => {
                    add(n);
                    expr_names(e, &mut add);
                }
                Cond::Compare(_, a, b) => {
                    expr_names(a, &mut add);
                    expr_names(b, &mut add);
                }
                Cond::Over(_, e) | Cond::Chance(e) | Cond::For(_, e) => expr_names(e, &mut add),
                Cond::Not(_) | Cond::And(..) | Cond::Or(..) => {}
            });
        };
        if self.turns_to_seen() {
            self.tree
                .remember_left
                .iter()
                .chain(&self.tree.remember_right)
                .for_each(&mut see);
        }
        for r in &self.tree.reflexes {
            see(&r.when);
            r.steps.iter().for_each(|s| step_conds(s, &mut see));
        }
        for (s, reached) in self.tree.states.iter().zip(self.reachable()) {
            if reached {
                state_conds(s, &mut see);
            }
        }
        for s in all_steps(&self.tree) {
            action_exprs(&s.action, &mut |e| expr_names(e, &mut add));
            s.lasting.iter().for_each(|e| expr_names(e, &mut add));
        }
        names.sort();
        names
    }

    fn turns_to_seen(&self) -> bool {
        use crate::ast::Turn;
        all_steps(&self.tree).any(|s| {
            let mut found = false;
            each_act(&s.action, &mut |a| {
                found |= matches!(
                    a,
                    Action::Pivot(_, Turn::Seen | Turn::Unseen)
                        | Action::Arc(_, _, Turn::Seen | Turn::Unseen)
                );
            });
            found
        })
    }

    /// Greatest effort driven straight on (mean of both sides), per mille; 0 if it never does.
    #[must_use]
    pub fn most_effort_forward(&self) -> i16 {
        self.mean_efforts().into_iter().max().unwrap_or(0).max(0)
    }

    /// Greatest effort driven backward (mean of both sides), per mille, as a positive number.
    #[must_use]
    pub fn most_effort_backward(&self) -> i16 {
        self.mean_efforts()
            .into_iter()
            .min()
            .unwrap_or(0)
            .min(0)
            .saturating_neg()
    }

    /// Whether the left and the right side are ever driven.
    #[must_use]
    pub fn sides_driven(&self) -> [bool; 2] {
        let mut driven = [false; 2];
        for s in all_steps(&self.tree) {
            each_act(&s.action, &mut |a| match a {
                Action::Drive(l, r) => {
                    driven[0] |= self.bound(l) != 0;
                    driven[1] |= self.bound(r) != 0;
                }
                Action::Pivot(..) | Action::Arc(..) => driven = [true; 2],
                _ => {}
            });
        }
        driven
    }

    fn mean_efforts(&self) -> Vec<i16> {
        let mut means = Vec::new();
        for s in all_steps(&self.tree) {
            each_act(&s.action, &mut |a| {
                if let Action::Drive(a, b) | Action::Arc(a, b, _) = a {
                    let clamp = |e: &Expr| self.bound(e).clamp(-1000, 1000);
                    means.push((clamp(a) + clamp(b)) / 2);
                }
            });
        }
        means
    }

    /// The value of an expression of constants; one with counters or sensors counts as full effort.
    fn bound(&self, e: &Expr) -> i16 {
        match e {
            Expr::Value(v) => *v,
            Expr::Name(n) => {
                let constant = self.tree.constants.iter().find(|c| c.name.word == n.word);
                constant.map_or(1000, |c| c.value)
            }
            Expr::Two('+', a, b) => self.bound(a).saturating_add(self.bound(b)),
            Expr::Two('-', a, b) => self.bound(a).saturating_sub(self.bound(b)),
            Expr::Two(..) | Expr::Share(..) => 1000,
        }
    }

    /// What can be said of the tactic without the robot.
    #[must_use]
    pub fn findings(&self) -> Vec<Finding> {
        let log = Log::new(&self.file, &self.text);
        let mut findings = Vec::new();
        for (s, reached) in self.tree.states.iter().zip(self.reachable()) {
            if !reached {
                findings.push(Finding {
                    name: "state-unreachable",
                    severity: Severity::Warning,
                    what: format!("The tactic never gets into its state \"{}\".", s.name.word),
                    why: "No opening begins there, and no way out, stay or reflex leads to it."
                        .into(),
                    mend: format!(
                        "Add `go {} when …` to a state, or take it out.",
                        s.name.word
                    ),
                    place: Some(log.place(s.name.span.clone())),
                });
            }
        }
        for (k, r) in self.tree.reflexes.iter().enumerate() {
            if let Some(first) = self.tree.reflexes[..k].iter().find(|f| f.when == r.when) {
                findings.push(Finding {
                    name: "reflex-shadowed",
                    severity: Severity::Warning,
                    what: format!("The reflex \"{}\" can never start.", r.name.word),
                    why: format!(
                        "\"{}\" stands before it with the same condition.",
                        first.name.word
                    ),
                    mend: "Change its condition, or take it out.".into(),
                    place: Some(log.place(r.name.span.clone())),
                });
            }
        }
        findings
    }
}

/// Calls `see` for an action and, for a `follow`, what its rules do.
fn each_act<'t>(action: &'t Action, see: &mut dyn FnMut(&'t Action)) {
    see(action);
    if let Action::Follow(rules) = action {
        rules.iter().for_each(|r| each_act(&r.1, see));
    }
}

fn action_exprs<'t>(action: &'t Action, see: &mut dyn FnMut(&'t Expr)) {
    each_act(action, &mut |a| match a {
        Action::Drive(l, r) | Action::Arc(l, r, _) => {
            see(l);
            see(r);
        }
        Action::Pivot(e, _) | Action::Set(_, e) => see(e),
        Action::Wait | Action::Follow(_) | Action::Restart(_) => {}
    });
}

fn expr_names(e: &Expr, see: &mut dyn FnMut(&Name)) {
    match e {
        Expr::Value(_) => {}
        Expr::Name(n) => see(n),
        Expr::Two(_, a, b) => {
            expr_names(a, see);
            expr_names(b, see);
        }
        Expr::Share(a, b, c) => [a, b, c].into_iter().for_each(|e| expr_names(e, see)),
    }
}
