//! What a tactic reads and how hard it drives.

use std::collections::{BTreeMap, BTreeSet};

use crate::ast::{Action, Ask, Cond, Expr, Name, State, Step, Turn};
use crate::log::Log;
use crate::tactic::{BORDER_LEVEL, Tactic};
use crate::tick::{divide, saturate};
use crate::walk::{
    all_steps, cond_names, each_act, every_cond, every_expr, expr_names, state_conds, step_conds,
    step_exprs, walk,
};

/// Reading above which `on border` holds where no constant says otherwise, per mille.
const DEFAULT_BORDER_LEVEL: i16 = 500;
/// Full effort, per mille.
const FULL: i16 = 1000;

/// What a step asks of a gadget.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GadgetOrder {
    /// Its name.
    pub gadget: String,
    /// The end it is sent to by name, if it is.
    pub end: Option<String>,
    /// How far it is sent, per mille, where that is a fixed number.
    pub share: Option<i16>,
}

/// Where an opening puts the robot down, as its author says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpeningPlace {
    /// Name of the opening.
    pub name: String,
    /// How far behind the start line, mm; negative: in front of it.
    pub behind_mm: i16,
    /// How far to the left of the middle, mm.
    pub aside_mm: i16,
    /// Turned to the left from pointing at the ring's centre, tenths of a degree.
    pub facing_tenth_deg: i16,
    /// Where in the tactic.
    pub place: robot::Place,
}

/// Names found so far.
#[derive(Default)]
struct Found<'t>(BTreeSet<&'t str>);

impl<'t> Found<'t> {
    fn expr(&mut self, e: &'t Expr) {
        expr_names(e, &mut |n| {
            self.0.insert(&n.word);
        });
    }

    fn cond(&mut self, c: &'t Cond) {
        cond_names(c, &mut |n| {
            self.0.insert(&n.word);
        });
    }

    fn steps(&mut self, steps: &'t [Step]) {
        for s in steps {
            step_conds(s, &mut |c| self.cond(c));
            step_exprs(s, &mut |e| self.expr(e));
        }
    }
}

/// What can be reached along `leads`, by index, from where it may begin.
fn reached(begin: Vec<usize>, leads: &[Vec<usize>]) -> Vec<bool> {
    let mut reached = vec![false; leads.len()];
    let mut todo = begin;
    while let Some(k) = todo.pop() {
        if reached.get(k) == Some(&false) {
            reached[k] = true;
            todo.extend(&leads[k]);
        }
    }
    reached
}

impl Tactic {
    /// States that can be reached from an opening or a reflex.
    pub(crate) fn reachable(&self) -> Vec<bool> {
        let tree = self.tree();
        let openings = tree.openings.iter();
        let openings = openings.map(|o| o.begin.as_ref().map_or(Some(0), |n| self.index(n)));
        let mut begin: Vec<usize> = openings.flatten().collect();
        if tree.openings.is_empty() {
            begin.push(0);
        }
        begin.extend(self.after_reflexes());
        reached(begin, &self.leads())
    }

    /// Of each state, whether it can come again once it is left; also by way of a reflex.
    pub(crate) fn comes_again(&self) -> Vec<bool> {
        let leads = self.leads();
        let after: Vec<usize> = self.after_reflexes().collect();
        let again = |k: usize| {
            let begin = leads[k].iter().chain(&after).copied();
            reached(begin.collect(), &leads)[k]
        };
        (0..leads.len()).map(again).collect()
    }

    /// Where each state leads by itself.
    fn leads(&self) -> Vec<Vec<usize>> {
        let states = &self.tree().states;
        let named = states.iter().enumerate();
        let index: BTreeMap<&str, usize> = named.map(|(k, s)| (s.name.word.as_str(), k)).collect();
        let leads = |s: &State| {
            let ways = (s.ways.iter().map(|w| &w.0))
                .chain(s.stay.iter().map(|x| &x.to))
                .chain(&s.then);
            ways.filter_map(|n| index.get(n.word.as_str()).copied())
                .collect()
        };
        states.iter().map(leads).collect()
    }

    fn after_reflexes(&self) -> impl Iterator<Item = usize> {
        let then = self.tree().reflexes.iter().filter_map(|r| r.then.as_ref());
        then.filter_map(|n| self.index(n))
    }

    /// The place of a state in the file.
    pub(crate) fn index(&self, name: &Name) -> Option<usize> {
        self.tree().states.iter().position(|s| s.name == *name)
    }

    /// Names of the sensors that can change what the robot does, in alphabetical order: those
    /// asked about in a reflex, in a state that can be reached, or for a side that is turned to.
    #[must_use]
    pub fn sensors_read(&self) -> Vec<String> {
        let tree = self.tree();
        let mut found = Found::default();
        if self.turns_to_seen() {
            let sides = tree.remember_left.iter().chain(&tree.remember_right);
            sides.for_each(|c| found.cond(c));
        }
        for r in &tree.reflexes {
            found.cond(&r.when);
            r.until.iter().for_each(|c| found.cond(c));
            found.steps(&r.steps);
        }
        for (s, reached) in tree.states.iter().zip(self.reachable()) {
            if reached {
                state_conds(s, &mut |c| found.cond(c));
                s.stay.iter().for_each(|s| found.expr(&s.time));
                found.steps(&s.steps);
            }
        }
        let value = |w: &str| {
            tree.constants.iter().any(|c| c.name.word == w)
                || tree.counters.iter().any(|c| c.0.word == w)
        };
        let sensors = found.0.into_iter().filter(|w| !value(w));
        sensors.map(str::to_owned).collect()
    }

    /// Whether the tactic asks the sensor `name` anywhere how much it reads, not only whether it sees
    /// something, is on the border or is touched.
    #[must_use]
    pub fn measures_with(&self, name: &str) -> bool {
        let mut found = false;
        every_cond(self.tree(), &mut |c| {
            walk(c, &mut |c| {
                if let Ask::Within(n, _) | Ask::Beyond(n, _) | Ask::Above(n, _) | Ask::Below(n, _) =
                    &c.ask
                {
                    found |= n.word == name;
                }
            });
        });
        every_expr(self.tree(), &mut |e| {
            expr_names(e, &mut |n| found |= n.word == name);
        });
        found
    }

    /// Whether the tactic asks the sensor `name` anywhere whether it is on the border.
    #[must_use]
    pub fn asks_on_border(&self, name: &str) -> bool {
        let mut found = false;
        every_cond(self.tree(), &mut |c| {
            walk(c, &mut |c| {
                if let Ask::OnBorder(n) = &c.ask {
                    found |= n.word == name;
                }
            });
        });
        found
    }

    /// The reading in per mille above which `on border` holds.
    #[must_use]
    pub fn border_level(&self) -> i16 {
        let mut constants = self.tree().constants.iter();
        let level = constants.find(|c| c.name.word == BORDER_LEVEL);
        level.map_or(DEFAULT_BORDER_LEVEL, |c| c.value)
    }

    fn turns_to_seen(&self) -> bool {
        all_steps(self.tree()).any(|s| {
            let mut found = false;
            each_act(&s.action, &mut |a| {
                if let Action::Pivot(_, turn)
                | Action::Arc(_, _, turn)
                | Action::Bend(_, _, turn, _) = a
                {
                    found |= matches!(turn, Turn::Seen | Turn::Unseen);
                }
            });
            found
        })
    }

    /// Every order that sends a gadget somewhere, in file order.
    #[must_use]
    pub fn gadget_orders(&self) -> Vec<GadgetOrder> {
        let order = |s: &Step| {
            let Action::Move(name, to) = &s.action else {
                return None;
            };
            let share = self.fixed(to);
            let end = match to {
                Expr::Name(n) if share.is_none() => Some(n.word.clone()),
                _ => None,
            };
            Some(GadgetOrder {
                gadget: name.word.clone(),
                end,
                share: share.map(|s| s.clamp(0, 1000)),
            })
        };
        all_steps(self.tree()).filter_map(order).collect()
    }

    /// Where each opening puts the robot down, in file order.
    #[must_use]
    pub fn opening_places(&self) -> Vec<OpeningPlace> {
        let log = Log::new(self.file(), self.text());
        let openings = self.tree().openings.iter().map(|o| OpeningPlace {
            name: o.name.word.clone(),
            behind_mm: o.behind,
            aside_mm: o.aside,
            facing_tenth_deg: o.facing,
            place: log.place(o.name.span.clone()),
        });
        openings.collect()
    }

    /// Greatest effort driven backward (mean of both sides), per mille, as a positive number.
    /// What depends on counters or sensors may be anything up to full effort.
    #[must_use]
    pub fn most_effort_backward(&self) -> i16 {
        let least = self.mean_efforts().map(|m| m[0]).min();
        least.unwrap_or(0).min(0).saturating_neg()
    }

    /// Whether the left and the right side are ever driven.
    #[must_use]
    pub fn sides_driven(&self) -> [bool; 2] {
        let mut driven = [false; 2];
        for s in all_steps(self.tree()) {
            each_act(&s.action, &mut |a| match a {
                Action::Drive(l, r) => {
                    driven[0] |= self.efforts(l) != [0, 0];
                    driven[1] |= self.efforts(r) != [0, 0];
                }
                Action::Pivot(e, _) | Action::Bend(_, _, _, e) => {
                    let turns = self.efforts(e) != [0, 0];
                    driven = driven.map(|d| d | turns);
                }
                // Either side may be the inner one.
                Action::Arc(i, o, _) => {
                    let moves = self.efforts(i) != [0, 0] || self.efforts(o) != [0, 0];
                    driven = driven.map(|d| d | moves);
                }
                _ => {}
            });
        }
        driven
    }

    /// Least and greatest mean effort of every step that drives both sides.
    fn mean_efforts(&self) -> impl Iterator<Item = [i16; 2]> {
        let mut means = Vec::new();
        for s in all_steps(self.tree()) {
            each_act(&s.action, &mut |a| {
                if let Action::Drive(a, b) | Action::Arc(a, b, _) = a {
                    let (a, b) = (self.efforts(a), self.efforts(b));
                    means.push([0, 1].map(|k: usize| (a[k] + b[k]) / 2));
                }
                // Its middle is never quicker than its outer side.
                if let Action::Bend(_, _, _, e) = a {
                    means.push(self.efforts(e));
                }
            });
        }
        means.into_iter()
    }

    /// Least and greatest effort a value can ask for.
    pub(crate) fn efforts(&self, e: &Expr) -> [i16; 2] {
        match self.fixed(e) {
            Some(v) => [v.clamp(-FULL, FULL); 2],
            None => [-FULL, FULL],
        }
    }

    /// The value of an expression of numbers and constants alone, worked out as a tick does.
    pub(crate) fn fixed(&self, e: &Expr) -> Option<i16> {
        let wide = |e| self.fixed(e).map(i32::from);
        match e {
            Expr::Value(v) => Some(*v),
            Expr::Name(n) => {
                let constants = &self.tree().constants;
                constants.iter().find(|c| c.name == *n).map(|c| c.value)
            }
            Expr::Two(sign, a, b) => {
                let (a, b) = (wide(a)?, wide(b)?);
                Some(saturate(match sign {
                    '+' => a + b,
                    '-' => a - b,
                    '*' => a * b,
                    _ => divide(a, b),
                }))
            }
            Expr::Share(a, b, c) => Some(saturate(divide(wide(a)? * wide(b)?, wide(c)?))),
        }
    }
}
