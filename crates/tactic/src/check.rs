//! What only the whole tactic can show: names given twice, names of nothing, names of something
//! else, switches that select two openings.

use crate::ast::{Action, Cond, Name, Tree};
use crate::log::Log;
use crate::walk::{all_steps, every_cond, every_expr, expr_names, walk};

/// Notes everything in `tree` that does not fit together.
pub(crate) fn check(tree: &Tree, log: &mut Log) {
    if tree.states.is_empty() {
        let expected = "at least one: state hunt { … }";
        log.at(0..0, "there is no state", expected, None);
    }
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
        for (k, n) in names.iter().enumerate() {
            if names[..k].contains(n) {
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
        targets.extend(s.stay.iter().map(|x| &x.1));
        targets.extend(&s.then);
    }
    targets.extend(tree.reflexes.iter().filter_map(|r| r.then.as_ref()));
    targets.extend(tree.openings.iter().filter_map(|o| o.begin.as_ref()));
    let known: Vec<&str> = tree.states.iter().map(|s| s.name.word.as_str()).collect();
    for t in targets {
        missing(t, &known, "state", log);
    }
}

/// Counters, timers and constants must be declared and used as what they are.
fn values(tree: &Tree, log: &mut Log) {
    let constants: Vec<&str> = (tree.constants.iter().map(|c| c.name.word.as_str())).collect();
    let counters: Vec<&str> = tree.counters.iter().map(|c| c.0.word.as_str()).collect();
    let timers: Vec<&str> = tree.timers.iter().map(|t| t.word.as_str()).collect();
    for step in all_steps(tree) {
        match &step.action {
            Action::Set(n, _) => missing(n, &counters, "counter", log),
            Action::Restart(n) => missing(n, &timers, "timer", log),
            _ => {}
        }
    }
    every_expr(tree, &mut |e| {
        expr_names(e, &mut |n| {
            if timers.contains(&n.word.as_str()) {
                let what = format!("\"{}\" is a timer, which has no value", n.word);
                let instead = format!("{} over 500 ms", n.word);
                log.at(n.span.clone(), what, "a question to it", Some(instead));
            }
        });
    });
    every_cond(tree, &mut |c| {
        walk(c, &mut |c| match c {
            Cond::Over(n, _) => missing(n, &timers, "timer", log),
            Cond::Sees(n)
            | Cond::Within(n, _)
            | Cond::Beyond(n, _)
            | Cond::OnBorder(n)
            | Cond::Touched(n)
            | Cond::Above(n, _)
            | Cond::Below(n, _) => {
                let word = n.word.as_str();
                let groups = [("constant", &constants), ("counter", &counters)];
                let (kind, instead) = if timers.contains(&word) {
                    ("timer", format!("{word} over 500 ms"))
                } else if let Some((kind, _)) = groups.iter().find(|g| g.1.contains(&word)) {
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
    for (k, o) in tree.openings.iter().enumerate() {
        match position(k) {
            Some(at) if at <= usize::from(u8::MAX) => {
                if let Some(first) = (0..k).find(|j| position(*j) == Some(at)) {
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

fn missing(name: &Name, known: &[&str], kind: &str, log: &mut Log) {
    if known.contains(&name.word.as_str()) {
        return;
    }
    let suggestion = robot::reader::nearest(&name.word, known.iter().copied()).map(str::to_owned);
    let expected = if known.is_empty() {
        format!("a line \"{kind} {}\" above", name.word)
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
