//! A program at a glance: what it begins with, what it is about, what leads where.

use std::collections::VecDeque;
use std::path::Path;

use serde::Serialize;
use store::LoadError;
use tactic::{OpeningOutline, Outline, StepOutline, Tactic};

use crate::pictures::program;
use crate::setting::{Trouble, library, tactic_of};
use crate::text::{Layout, Sheet};

/// What stands above the constants and what is remembered.
pub(crate) const KNOWN: &str = "Constants and memory";

/// How a bout is begun.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct OpeningNode {
    /// Its name; `start` where the program has no opening.
    pub name: String,
    /// Position of the switch that selects it; none where there is nothing to select.
    pub switch: Option<u8>,
    /// How the robot is put down.
    pub placed: String,
}

/// A step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct StepLine {
    /// The step as written; of a `follow` what stands outside its braces.
    pub written: String,
    /// The rules of a `follow` as written.
    pub rules: Vec<String>,
}

impl From<&StepOutline> for StepLine {
    fn from(step: &StepOutline) -> Self {
        Self {
            written: step.written.clone(),
            rules: step.rules.clone(),
        }
    }
}

/// A reflex.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct ReflexNode {
    /// Its name.
    pub name: String,
    /// Its place among the reflexes, counted from 1: those before it can break into it.
    pub place: u32,
    /// Whether none may break into it.
    pub firm: bool,
    /// Its condition as written.
    pub when: String,
    /// Its steps.
    pub steps: Vec<StepLine>,
}

/// A state.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct StateNode {
    /// Its name.
    pub name: String,
    /// How many ways lead from a beginning to it, at least; none: nothing leads there.
    pub depth: Option<u32>,
    /// Its steps.
    pub steps: Vec<StepLine>,
    /// Whether the steps come to an end and begin again.
    pub again: bool,
}

/// What leads somewhere.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct WayLine {
    /// Where it begins: `opening`, `reflex` or `state`.
    pub from_kind: String,
    /// The name of that.
    pub from: String,
    /// `begin`, `stay`, `go` or `then`. Of a state the stay is asked first, then each `go` in this order;
    /// `then` comes when the steps are done.
    pub kind: String,
    /// The state it leads to.
    pub to: String,
    /// The line as written.
    pub written: String,
}

/// A program at a glance.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct ProgramPicture {
    /// `ringwright/program/1`.
    pub schema: String,
    /// The file of the program.
    pub file: String,
    /// The constants, counters and timers, and by what a side is remembered, as written.
    pub known: Vec<String>,
    /// The openings.
    pub openings: Vec<OpeningNode>,
    /// The reflexes, the first before the others.
    pub reflexes: Vec<ReflexNode>,
    /// The states, those nearest to a beginning first.
    pub states: Vec<StateNode>,
    /// All that leads from one of these to a state.
    pub ways: Vec<WayLine>,
}

impl ProgramPicture {
    /// The program `name`: a file that ends with `.tactic`, or the program of the robot of that name or file.
    ///
    /// # Errors
    /// When it cannot be read, and everything wrong in it.
    pub fn of(name: &str, home: Option<&Path>) -> Result<Self, Trouble> {
        if !name.ends_with(".tactic") {
            let (parts, _) = library(home)?;
            let robot = store::load_robot(name, &parts)?;
            return Ok(Self::from(&tactic_of(&robot)?));
        }
        let text = store::read_text(Path::new(name)).map_err(LoadError::from)?;
        match tactic::parse(name, &text) {
            Ok(tactic) => Ok(Self::from(&tactic)),
            Err(issues) => Err(Trouble::Files(LoadError::in_files(
                issues,
                &[(name.to_owned(), text)],
            ))),
        }
    }

    /// The program as a picture.
    #[must_use]
    pub fn svg(&self) -> String {
        program::picture(self)
    }

    /// The ways that begin at `name` of this kind, in their order.
    pub(crate) fn ways_from<'a>(
        &'a self,
        kind: &'a str,
        name: &'a str,
    ) -> impl Iterator<Item = &'a WayLine> {
        let from = move |w: &&WayLine| w.from_kind == kind && w.from == name;
        self.ways.iter().filter(from)
    }

    /// As text.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let mut s = Sheet::new(layout);
        s.title(&format!("The program {}", self.file));
        if !self.known.is_empty() {
            s.heading(KNOWN);
            for line in &self.known {
                s.point("-", line);
            }
        }
        s.heading("How it begins");
        for o in &self.openings {
            let switch = o.switch.map_or(String::new(), |k| format!("switch {k}, "));
            s.point("-", &format!("{}: {switch}{}", o.name, o.placed));
            self.tell_ways(&mut s, "opening", &o.name);
        }
        s.heading("Reflexes, each before those below it");
        if self.reflexes.is_empty() {
            s.paragraph("None.");
        }
        for r in &self.reflexes {
            let firm = if r.firm {
                " (firm: nothing breaks into it)"
            } else {
                ""
            };
            let head = format!("{}{firm}: when {}", r.name, r.when);
            s.point(&format!("{}.", r.place), &head);
            s.aside(&in_a_row(&r.steps));
            self.tell_ways(&mut s, "reflex", &r.name);
        }
        s.heading("States");
        for state in &self.states {
            let nowhere = if state.depth.is_none() {
                " (nothing leads here)"
            } else {
                ""
            };
            s.point("-", &format!("{}{nowhere}", state.name));
            let again = if state.again { "; and again" } else { "" };
            if !state.steps.is_empty() {
                s.aside(&format!("{}{again}", in_a_row(&state.steps)));
            }
            self.tell_ways(&mut s, "state", &state.name);
        }
        s.finish()
    }

    fn tell_ways(&self, s: &mut Sheet, kind: &str, name: &str) {
        for way in self.ways_from(kind, name) {
            s.aside(&format!("→ {}", way.written));
        }
    }
}

impl From<&Tactic> for ProgramPicture {
    fn from(tactic: &Tactic) -> Self {
        let o = tactic.outline();
        let depths = depths(&o);
        let mut order: Vec<usize> = (0..o.states.len()).collect();
        order.sort_by_key(|k| depths.get(*k).copied().flatten().unwrap_or(u32::MAX));
        let name = |k: usize| o.states.get(k).map_or("", |s| s.name.as_str()).to_owned();
        let way = |from_kind: &str, from: &str, kind: &str, to: usize, written: String| WayLine {
            from_kind: from_kind.to_owned(),
            from: from.to_owned(),
            kind: kind.to_owned(),
            to: name(to),
            written,
        };
        let mut ways = Vec::new();
        let mut openings = Vec::new();
        for opening in &o.openings {
            openings.push(OpeningNode {
                name: opening.name.clone(),
                switch: Some(opening.switch),
                placed: placed(opening),
            });
            let written = format!("begin {}", name(opening.begin));
            let begin = way("opening", &opening.name, "begin", opening.begin, written);
            ways.push(begin);
        }
        if openings.is_empty() {
            openings.push(OpeningNode {
                name: "start".to_owned(),
                switch: None,
                placed: "on the line, at the centre".to_owned(),
            });
            let written = format!("begin {}", name(0));
            ways.push(way("opening", "start", "begin", 0, written));
        }
        for r in &o.reflexes {
            if let Some(to) = r.then {
                let written = format!("then {}", name(to));
                ways.push(way("reflex", &r.name, "then", to, written));
            }
        }
        let mut states = Vec::new();
        for k in order {
            let Some(state) = o.states.get(k) else {
                continue;
            };
            states.push(StateNode {
                name: state.name.clone(),
                depth: depths.get(k).copied().flatten(),
                steps: state.steps.iter().map(StepLine::from).collect(),
                again: state.again,
            });
            if let Some(stay) = &state.stay {
                ways.push(way(
                    "state",
                    &state.name,
                    "stay",
                    stay.to,
                    stay.written.clone(),
                ));
            }
            for go in &state.ways {
                ways.push(way("state", &state.name, "go", go.to, go.written.clone()));
            }
            if let Some(to) = state.then {
                let written = format!("then {}", name(to));
                ways.push(way("state", &state.name, "then", to, written));
            }
        }
        let reflexes = (1..).zip(&o.reflexes).map(|(place, r)| ReflexNode {
            name: r.name.clone(),
            place,
            firm: r.firm,
            when: r.when.clone(),
            steps: r.steps.iter().map(StepLine::from).collect(),
        });
        Self {
            schema: "ringwright/program/1".to_owned(),
            file: tactic.file().to_owned(),
            known: o.known.clone(),
            openings,
            reflexes: reflexes.collect(),
            states,
            ways,
        }
    }
}

/// Steps in a row, the rules of a `follow` in brackets.
fn in_a_row(steps: &[StepLine]) -> String {
    let told = steps.iter().map(|s| {
        if s.rules.is_empty() {
            s.written.clone()
        } else {
            format!("{} ({})", s.written, s.rules.join(", "))
        }
    });
    told.collect::<Vec<_>>().join("; ")
}

/// How the robot is put down, in words.
fn placed(o: &OpeningOutline) -> String {
    let mut words = Vec::new();
    let side = |left: bool| if left { "left" } else { "right" };
    if o.behind_mm != 0 {
        words.push(format!("{} mm behind the line", o.behind_mm));
    }
    if o.aside_mm != 0 {
        let aside = side(o.aside_mm > 0);
        words.push(format!(
            "{} mm {aside} of the middle",
            o.aside_mm.unsigned_abs()
        ));
    }
    if o.facing_tenth_deg == 0 {
        words.push("at the centre".to_owned());
    } else {
        let deg = f64::from(o.facing_tenth_deg.unsigned_abs()) / 10.0;
        words.push(format!("turned {deg}° {}", side(o.facing_tenth_deg > 0)));
    }
    words.push(format!("side {}", side(o.left_first)));
    words.join(", ")
}

/// For each state the least number of ways from a beginning to it, breadth first: the openings' first
/// states, then where the reflexes lead.
fn depths(o: &Outline) -> Vec<Option<u32>> {
    let mut depths = vec![None; o.states.len()];
    let mut begins: Vec<(usize, u32)> = o.openings.iter().map(|x| (x.begin, 0)).collect();
    if begins.is_empty() {
        begins.push((0, 0));
    }
    begins.extend(o.reflexes.iter().filter_map(|r| r.then).map(|to| (to, 1)));
    let mut todo: VecDeque<(usize, u32)> = begins.into();
    while let Some((k, depth)) = todo.pop_front() {
        let (Some(slot), Some(state)) = (depths.get_mut(k), o.states.get(k)) else {
            continue;
        };
        if slot.is_some() {
            continue;
        }
        *slot = Some(depth);
        let leaves = state.stay.iter().chain(&state.ways).map(|w| w.to);
        todo.extend(leaves.chain(state.then).map(|to| (to, depth + 1)));
    }
    depths
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn states_are_told_in_the_order_in_which_they_are_reached() {
        let text = "state far {\n wait\n}\nstate near {\n go far when n > 3\n wait for 1 s\n}\n\
                    state lost {\n wait\n}\ncounter n = 0\nopening o {\n begin near\n}\n\
                    state after {\n wait\n then near\n}\n\
                    reflex r when n > 4 {\n then after\n}\n";
        let tactic = tactic::parse("t.tactic", text).unwrap_or_else(|e| panic!("{e:#?}"));
        let p = ProgramPicture::from(&tactic);
        let told: Vec<(&str, Option<u32>)> = (p.states.iter())
            .map(|s| (s.name.as_str(), s.depth))
            .collect();
        let order = [
            ("near", Some(0)),
            ("far", Some(1)),
            ("after", Some(1)),
            ("lost", None),
        ];
        assert_eq!(told, order);
        assert!(p.states[0].again && !p.states[1].again);
        let ways: Vec<(&str, &str, &str)> = (p.ways.iter())
            .map(|w| (w.from.as_str(), w.kind.as_str(), w.to.as_str()))
            .collect();
        let all = [
            ("o", "begin", "near"),
            ("r", "then", "after"),
            ("near", "go", "far"),
            ("after", "then", "near"),
        ];
        assert_eq!(ways, all);
        assert!(
            p.text(Layout::default())
                .contains("lost (nothing leads here)")
        );
    }
}
