//! What only the whole tactic can show: names given twice, names of nothing, names of something
//! else, switches that select two openings.

use std::collections::{BTreeMap, BTreeSet};

use crate::ast::{Action, Ask, Name, Tree};
use crate::limits::limits;
use crate::log::Log;
use crate::walk::{all_steps, every_cond, every_expr, expr_names, walk};

/// Most names that are shown as what there is, and most among which the one that was meant is sought:
/// more of them than a controller holds.
const SHOWN: usize = 40;
const SOUGHT: usize = 256;
/// Mistakes after which nobody looks for what was meant any more.
const ENOUGH: usize = 100;

/// Notes everything in `tree` that does not fit together.
pub(crate) fn check(tree: &Tree, log: &mut Log) {
    if tree.states.is_empty() {
        let expected = "at least one: state hunt { … }";
        log.at(0..0, "there is no state", expected, None);
    }
    limits(tree, log);
    twice(tree, log);
    targets(tree, log);
    values(tree, log);
    switches(tree, log);
}

fn twice(tree: &Tree, log: &mut Log) {
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
        let mut before = BTreeSet::new();
        for n in names {
            if !before.insert(n.word.as_str()) {
                let what = format!("a second {kind} called \"{}\"", n.word);
                log.at(n.span.clone(), what, "a name of its own for each", None);
            }
        }
    }
}

/// Every state that is gone to must be there.
fn targets(tree: &Tree, log: &mut Log) {
    let mut targets: Vec<&Name> = Vec::new();
    for s in &tree.states {
        targets.extend(s.ways.iter().map(|w| &w.0));
        targets.extend(s.stay.iter().map(|x| &x.to));
        targets.extend(&s.then);
    }
    targets.extend(tree.reflexes.iter().filter_map(|r| r.then.as_ref()));
    targets.extend(tree.openings.iter().filter_map(|o| o.begin.as_ref()));
    let known = Known::of(tree.states.iter().map(|s| &s.name));
    for t in targets {
        missing(t, &known, "state", log);
    }
}

/// Counters, timers and constants must be declared and used as what they are.
fn values(tree: &Tree, log: &mut Log) {
    let constants = Known::of(tree.constants.iter().map(|c| &c.name));
    let counters = Known::of(tree.counters.iter().map(|c| &c.0));
    let timers = Known::of(&tree.timers);
    for step in all_steps(tree) {
        match &step.action {
            Action::Set(n, _) => missing(n, &counters, "counter", log),
            Action::Restart(n) => missing(n, &timers, "timer", log),
            _ => {}
        }
    }
    every_expr(tree, &mut |e| {
        expr_names(e, &mut |n| {
            if timers.have(&n.word) {
                let what = format!("\"{}\" is a timer, which has no value", n.word);
                let instead = format!("{} over 500 ms", n.word);
                log.at(n.span.clone(), what, "a question to it", Some(instead));
            }
        });
    });
    every_cond(tree, &mut |c| {
        walk(c, &mut |c| match &c.ask {
            Ask::Over(n, _) => missing(n, &timers, "timer", log),
            Ask::Sees(n)
            | Ask::Within(n, _)
            | Ask::Beyond(n, _)
            | Ask::OnBorder(n)
            | Ask::Touched(n)
            | Ask::Above(n, _)
            | Ask::Below(n, _) => {
                let word = n.word.as_str();
                let groups = [("constant", &constants), ("counter", &counters)];
                let (kind, instead) = if timers.have(word) {
                    ("timer", format!("{word} over 500 ms"))
                } else if let Some((kind, _)) = groups.iter().find(|g| g.1.have(word)) {
                    (*kind, format!("{word} > 3"))
                } else {
                    return;
                };
                let what = format!("\"{word}\" is a {kind}, not a sensor");
                log.at(n.span.clone(), what, "the name of a sensor", Some(instead));
            }
            _ => {}
        });
    });
}

/// Positions of the switch: 0 to 255, each selecting one opening.
fn switches(tree: &Tree, log: &mut Log) {
    let position = |k: usize| {
        let written = tree.openings[k].switch.map(usize::try_from);
        written.map_or(Some(k), Result::ok)
    };
    let mut taken: BTreeMap<usize, usize> = BTreeMap::new();
    for (k, o) in tree.openings.iter().enumerate() {
        match position(k) {
            Some(at) if at <= usize::from(u8::MAX) => {
                let first = *taken.entry(at).or_insert(k);
                if first != k {
                    let first = &tree.openings[first].name.word;
                    let what = format!("\"{first}\" is on switch {at} already");
                    let expected = "a position of its own for each opening";
                    log.at(o.name.span.clone(), what, expected, None);
                }
            }
            _ => {
                let what = format!("opening \"{}\" has no such switch", o.name.word);
                let expected = "a position from 0 to 255";
                log.at(o.name.span.clone(), what, expected, None);
            }
        }
    }
}

/// Names there are.
struct Known<'t> {
    /// In file order.
    all: Vec<&'t str>,
    set: BTreeSet<&'t str>,
}

impl<'t> Known<'t> {
    fn of(names: impl IntoIterator<Item = &'t Name>) -> Self {
        let all: Vec<&str> = names.into_iter().map(|n| n.word.as_str()).collect();
        Self {
            set: all.iter().copied().collect(),
            all,
        }
    }

    fn have(&self, word: &str) -> bool {
        self.set.contains(word)
    }

    /// The names as they are shown.
    fn listed(&self) -> String {
        let shown = self.all.get(..SHOWN).unwrap_or(&self.all);
        let more = self.all.len() - shown.len();
        let list = shown.join(", ");
        if more == 0 {
            list
        } else {
            format!("{list} and {more} more")
        }
    }
}

fn missing(name: &Name, known: &Known<'_>, kind: &str, log: &mut Log) {
    if known.have(&name.word) {
        return;
    }
    let sought = known.all.iter().copied().take(SOUGHT);
    let near = |sought| robot::reader::nearest(&name.word, sought).map(str::to_owned);
    let suggestion = (log.len() < ENOUGH).then(|| near(sought)).flatten();
    let expected = if known.all.is_empty() {
        format!("a line \"{kind} {}\" above", name.word)
    } else {
        format!("one of {}", known.listed())
    };
    log.at(
        name.span.clone(),
        format!("there is no {kind} \"{}\"", name.word),
        &expected,
        suggestion,
    );
}
