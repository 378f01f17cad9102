//! Which single changes are sensible for a robot, given why it loses.

use bout::Cause;
use robot::{PartsBox, Robot};
use rules::Class;
use tactic::Tactic;

use crate::spar::Record;

/// A robot with its program, and the opening it plays.
#[derive(Debug, Clone)]
pub struct Design {
    /// The robot.
    pub robot: Robot,
    /// Its program.
    pub tactic: Tactic,
    /// Index of the opening.
    pub opening: usize,
}

/// A single change.
#[derive(Debug, Clone)]
pub struct Change {
    /// Stable name, such as `wheel-34-silicone`.
    pub name: String,
    /// What is done, in words.
    pub what: String,
    /// Share of the record's losses whose cause it speaks to.
    pub speaks_to: f64,
    /// The changed design.
    pub design: Design,
}

/// The do-nothing check and up to `most` changes, those that speak to most of the losses first.
/// Changes that would make a legal robot illegal are left out.
#[must_use]
pub fn candidates(
    base: &Design,
    class: &Class,
    parts: &PartsBox,
    record: &Record,
    most: usize,
) -> Vec<Change> {
    let mut maker = Maker {
        base,
        class,
        parts,
        record,
        changes: Vec::new(),
    };
    maker.wheels();
    maker.tyres();
    maker.clean_tyres();
    maker.track_length();
    maker.belts();
    maker.magnets();
    maker.ballast();
    maker.edge_forward();
    maker.edge_behind();
    maker.constants();
    maker.unread_sensors();
    maker.openings();
    maker.blade();
    maker.loop_time();
    maker.pack();
    let mut changes = maker.changes;
    changes.sort_by(|a, b| {
        b.speaks_to
            .total_cmp(&a.speaks_to)
            .then(a.name.cmp(&b.name))
    });
    changes.truncate(most);
    let nothing = Change {
        name: "do-nothing".into(),
        what: "do nothing (a check: must change nothing)".into(),
        speaks_to: 0.0,
        design: base.clone(),
    };
    changes.insert(0, nothing);
    changes
}

/// Collects changes; what it makes of the body, the drive and the play stands in files of their own.
pub(super) struct Maker<'a> {
    pub(super) base: &'a Design,
    pub(super) class: &'a Class,
    pub(super) parts: &'a PartsBox,
    record: &'a Record,
    changes: Vec<Change>,
}

/// Losses over the edge without the opponent's help.
pub(super) const ALONE: &[Cause] = &[
    Cause::EdgeSeenTooLate,
    Cause::EdgeIgnored,
    Cause::EdgeNotLeft,
    Cause::EdgeUnseen,
    Cause::ReversedOut,
];
/// Losses by being pushed from the front.
pub(super) const PUSHED: &[Cause] = &[
    Cause::PushedTyresSlid,
    Cause::PushedMotorsStalled,
    Cause::Lifted,
    Cause::GaveWay,
];

impl Maker<'_> {
    /// Share of losses and ties whose cause is among `causes`.
    pub(super) fn share(&self, causes: &[Cause]) -> f64 {
        let counts = || self.record.losses.iter().chain(&self.record.ties);
        let all: u32 = counts().map(|c| c.count).sum();
        let some: u32 = counts()
            .filter(|c| causes.contains(&c.cause))
            .map(|c| c.count)
            .sum();
        if all == 0 {
            0.0
        } else {
            f64::from(some) / f64::from(all)
        }
    }

    /// Adds a change unless it makes a legal robot illegal or its program does not fit it.
    pub(super) fn add(
        &mut self,
        name: impl Into<String>,
        what: impl Into<String>,
        speaks_to: f64,
        design: Design,
    ) {
        let legal = |r: &Robot| rules::inspect(r, self.class).legal();
        if legal(&self.base.robot) && !legal(&design.robot) {
            return;
        }
        if tactic::compile(&design.tactic, &tactic::Ports::of(&design.robot)).is_err() {
            return;
        }
        self.changes.push(Change {
            name: name.into(),
            what: what.into(),
            speaks_to,
            design,
        });
    }
}
