//! Names of everything in the written program.

use tactic::Ports;
use tactic::program::Program;

use crate::names::named;

/// Names in the order of their numbers.
pub(crate) struct Words {
    pub(crate) inputs: Vec<String>,
    pub(crate) gadgets: Vec<String>,
    pub(crate) states: Vec<String>,
    pub(crate) reflexes: Vec<String>,
    pub(crate) openings: Vec<String>,
}

impl Words {
    /// Those of `program` on the robot of `ports`.
    pub(crate) fn of(program: &Program, ports: &Ports) -> Self {
        Self {
            inputs: named("in", ports.inputs.iter().map(|p| p.name.as_str())),
            gadgets: named("gadget", ports.gadgets.iter().map(|g| g.name.as_str())),
            states: named("state", program.states.iter().map(|s| s.name.as_str())),
            reflexes: named("reflex", program.reflexes.iter().map(|r| r.name.as_str())),
            openings: named("opening", program.openings.iter().map(|o| o.name.as_str())),
        }
    }
}
