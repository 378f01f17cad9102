//! How much a tactic may hold: what the indices of its code count and a small controller has room for.
//! It also keeps every question about a tactic quick, whatever its text.

use crate::ast::{Name, Tree};
use crate::log::Log;
use crate::program::MOST;

/// What one byte counts.
const BYTE: usize = u8::MAX as usize;

/// Notes what there is too much of, at the first one too many.
pub(crate) fn limits(tree: &Tree, log: &mut Log) {
    let counters = tree.counters.iter().map(|c| &c.0);
    held("counters", counters.collect(), MOST, log);
    held("timers", tree.timers.iter().collect(), MOST, log);
    let constants = tree.constants.iter().map(|c| &c.name);
    held("constants", constants.collect(), BYTE, log);
    let states = tree.states.iter().map(|s| &s.name);
    held("states", states.collect(), BYTE, log);
    let reflexes = tree.reflexes.iter().map(|r| &r.name);
    held("reflexes", reflexes.collect(), BYTE, log);
    let states = tree.states.iter().map(|s| (&s.name, s.steps.len()));
    let reflexes = tree.reflexes.iter().map(|r| (&r.name, r.steps.len()));
    for (name, steps) in states.chain(reflexes) {
        if steps > BYTE {
            too_many(name, steps, "steps", BYTE, log);
        }
    }
}

fn held(what: &str, names: Vec<&Name>, most: usize, log: &mut Log) {
    if let Some(first) = names.get(most) {
        too_many(first, names.len(), what, most, log);
    }
}

fn too_many(at: &Name, count: usize, what: &str, most: usize, log: &mut Log) {
    let expected = format!("at most {most}, which fits a small controller");
    log.at(at.span.clone(), format!("{count} {what}"), &expected, None);
}
