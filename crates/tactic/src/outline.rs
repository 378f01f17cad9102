//! A tactic in outline: what leads where, in the words it is written in.

use crate::ast::{Name, Step, Written};
use crate::tactic::Tactic;

/// A way from one state to another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WayOutline {
    /// The state it leads to, by its place in [`Outline::states`].
    pub to: usize,
    /// The line as written, such as `go hunt when centre sees`.
    pub written: String,
}

/// A step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepOutline {
    /// The step as written; of a `follow` what stands outside its braces.
    pub written: String,
    /// The rules of a `follow` as written.
    pub rules: Vec<String>,
}

/// An opening.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpeningOutline {
    /// Name.
    pub name: String,
    /// Position of the switch that selects it.
    pub switch: u8,
    /// Distance behind the start line, mm.
    pub behind_mm: i16,
    /// Distance to the left of the middle, mm.
    pub aside_mm: i16,
    /// Turned to the left from pointing at the ring's centre, tenths of a degree.
    pub facing_tenth_deg: i16,
    /// Whether the side it chooses is the left one.
    pub left_first: bool,
    /// Its first state, by its place in [`Outline::states`].
    pub begin: usize,
}

/// A reflex.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReflexOutline {
    /// Name.
    pub name: String,
    /// Whether none may break into it.
    pub firm: bool,
    /// Its condition as written.
    pub when: String,
    /// Its steps.
    pub steps: Vec<StepOutline>,
    /// The state that comes afterwards; none: the one broken into, from its first step.
    pub then: Option<usize>,
}

/// A state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StateOutline {
    /// Name.
    pub name: String,
    /// Its longest stay, which is asked before the ways out.
    pub stay: Option<WayOutline>,
    /// Its ways out in the order in which they are asked.
    pub ways: Vec<WayOutline>,
    /// Its steps.
    pub steps: Vec<StepOutline>,
    /// The state that comes when all steps are done.
    pub then: Option<usize>,
    /// Whether the steps come to an end and begin again.
    pub again: bool,
    /// Whether an opening, a reflex or a way leads to it in the end.
    pub reachable: bool,
}

/// A tactic in outline.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outline {
    /// Its constants, counters and timers, and by what it remembers a side, as written and in the order of the
    /// file.
    pub known: Vec<String>,
    /// How a bout begins. None: on the line, pointing at the centre, with the first state.
    pub openings: Vec<OpeningOutline>,
    /// The reflexes, the first before the others.
    pub reflexes: Vec<ReflexOutline>,
    /// The states in the order of the file.
    pub states: Vec<StateOutline>,
}

impl Tactic {
    /// The tactic in outline, in the words it is written in.
    #[must_use]
    pub fn outline(&self) -> Outline {
        let tree = self.tree();
        let state = |name: &Name| self.index(name);
        let steps = |steps: &[Step]| steps.iter().map(|s| self.step(s)).collect();
        let openings = (tree.openings.iter().enumerate()).map(|(k, o)| OpeningOutline {
            name: o.name.word.clone(),
            switch: o.switch(k),
            behind_mm: o.behind,
            aside_mm: o.aside,
            facing_tenth_deg: o.facing,
            left_first: o.left_first,
            begin: o.begin.as_ref().and_then(state).unwrap_or(0),
        });
        let reflexes = tree.reflexes.iter().map(|r| ReflexOutline {
            name: r.name.word.clone(),
            firm: r.firm,
            when: match &r.until {
                Some(until) => format!(
                    "{} until {}",
                    self.words(&r.when.written),
                    self.words(&until.written)
                ),
                None => self.words(&r.when.written),
            },
            steps: steps(&r.steps),
            then: r.then.as_ref().and_then(state),
        });
        let states = (tree.states.iter().zip(self.reachable())).map(|(s, reachable)| {
            let stay = s.stay.as_ref().and_then(|stay| {
                Some(WayOutline {
                    to: state(&stay.to)?,
                    written: self.words(&stay.written),
                })
            });
            let ways = s.ways.iter().filter_map(|(to, when)| {
                let when = self.words(&when.written);
                Some(WayOutline {
                    to: state(to)?,
                    written: format!("go {} when {when}", to.word),
                })
            });
            StateOutline {
                name: s.name.word.clone(),
                stay,
                ways: ways.collect(),
                steps: steps(&s.steps),
                then: s.then.as_ref().and_then(state),
                again: s.then.is_none() && !s.steps.is_empty() && s.steps.iter().all(ends),
                reachable,
            }
        });
        Outline {
            known: self.known(),
            openings: openings.collect(),
            reflexes: reflexes.collect(),
            states: states.collect(),
        }
    }

    fn known(&self) -> Vec<String> {
        let tree = self.tree();
        let constants = tree.constants.iter().map(|c| ("constant", &c.name));
        let counters = tree.counters.iter().map(|c| ("counter", &c.0));
        let timers = tree.timers.iter().map(|name| ("timer", name));
        let named = constants.chain(counters).chain(timers).map(|(kind, name)| {
            let at = name.span.start;
            (at, format!("{kind} {}", self.to_line_end(at)))
        });
        let sides = [
            ("left", &tree.remember_left),
            ("right", &tree.remember_right),
        ];
        let remembered = sides.into_iter().filter_map(|(side, when)| {
            let at = when.as_ref()?.written.0.start;
            Some((at, format!("remember {side} when {}", self.to_line_end(at))))
        });
        let mut known: Vec<(usize, String)> = named.chain(remembered).collect();
        known.sort();
        known.into_iter().map(|(_, words)| words).collect()
    }

    /// What stands from a place to the end of its line, evenly spaced and without the remark.
    fn to_line_end(&self, at: usize) -> String {
        let rest = self.text().get(at..).unwrap_or_default();
        let line = rest.lines().next().unwrap_or_default();
        let bare = line.split('#').next().unwrap_or_default();
        crate::format(bare).trim().to_owned()
    }

    /// What is written at a place, evenly spaced.
    pub(crate) fn words(&self, place: &Written) -> String {
        let text = self.text().get(place.0.clone()).unwrap_or_default();
        crate::format(text).trim_end().to_owned()
    }

    pub(crate) fn step(&self, step: &Step) -> StepOutline {
        let words = self.words(&step.written);
        let bare: Vec<&str> = (words.lines())
            .map(|l| l.split('#').next().unwrap_or_default().trim())
            .collect();
        let words = bare.join("\n");
        let Some((head, rest)) = words.split_once('{') else {
            return StepOutline {
                written: words,
                rules: Vec::new(),
            };
        };
        let (rules, tail) = rest.rsplit_once('}').unwrap_or((rest, ""));
        let rules = rules.lines().map(str::trim).filter(|l| !l.is_empty());
        StepOutline {
            written: format!("{} {}", head.trim(), tail.trim()).trim().to_owned(),
            rules: rules.map(str::to_owned).collect(),
        }
    }
}

/// Whether a step comes to an end by itself.
fn ends(step: &Step) -> bool {
    step.action.is_instant() || step.lasting.is_some() || step.until.is_some()
}

#[cfg(test)]
mod tests {
    #[test]
    fn everything_is_told_in_the_words_it_is_written_in() {
        let text = "opening b {\n  switch 3\n  begin b\n}\n\
                    reflex r firm when (edge on border or n>3)and not chance 5% {\n  wait for 20ms\n  then a\n}\n\
                    counter n=0 # so far\nremember right when right sees\n\
                    state a {\n  stay 2 * 300 ms then b\n  go a when (left sees or right sees)for 20 ms # so\n\
                    follow { # what is seen\n    left sees :drive -30% 100%\n\n    otherwise: wait\n  } for 1s until left sees\n\
                    set n = n+1\n  then b\n}\nstate b { wait }\n";
        let t = crate::parse("t.tactic", text).unwrap_or_else(|e| panic!("{e:#?}"));
        let o = t.outline();
        assert_eq!(o.known, ["counter n = 0", "remember right when right sees"]);
        let begin = (o.openings[0].switch, o.openings[0].begin);
        assert_eq!(begin, (3, 1));
        let r = &o.reflexes[0];
        assert_eq!(r.when, "(edge on border or n > 3) and not chance 5 %");
        assert_eq!((r.firm, r.then), (true, Some(0)));
        assert_eq!(r.steps[0].written, "wait for 20 ms");
        let a = &o.states[0];
        let stay = a.stay.as_ref().map(|w| (w.to, w.written.as_str()));
        assert_eq!(stay, Some((1, "stay 2 * 300 ms then b")));
        let way = "go a when (left sees or right sees) for 20 ms";
        assert_eq!((a.ways[0].to, a.ways[0].written.as_str()), (0, way));
        assert_eq!(a.steps[0].written, "follow for 1 s until left sees");
        assert_eq!(
            a.steps[0].rules,
            ["left sees: drive -30 % 100 %", "otherwise: wait"]
        );
        assert_eq!(a.steps[1].written, "set n = n + 1");
        assert_eq!((a.then, o.states[1].then), (Some(1), None));
        assert_eq!((a.again, o.states[1].again), (false, false));
    }
}
