//! Undoing causes: the same bouts with only one thing changed.

use bout::Cause;
use quantity::{Dimension, Figure};
use robot::{Robot, SensorKind};
use study::{Entrant, Pit, Task, Verdict};

/// A change that takes away what a cause names.
pub struct Undo {
    /// What is changed.
    pub what: &'static str,
    /// The causes it should undo.
    pub names: &'static [Cause],
    /// Causes it undoes too, by the same law: neither its own nor among the others.
    pub aside: &'static [Cause],
    /// Changes us and the opponent.
    pub edit: fn(&mut Robot, &mut Robot),
}

/// The causes of a loss on a ring with nothing broken, and what undoes each.
pub const ALL: &[Undo] = &[
    Undo {
        what: "own tyres with twice the grip",
        names: &[Cause::PushedTyresSlid],
        // Tyres brake as well: what is seen too late may be seen in time with more grip.
        aside: &[Cause::EdgeSeenTooLate, Cause::EdgeNotLeft],
        edit: grip,
    },
    Undo {
        what: "own tyres with twice the grip, to back off from the edge",
        names: &[Cause::EdgeNotLeft],
        aside: &[Cause::EdgeSeenTooLate, Cause::PushedTyresSlid],
        edit: grip,
    },
    Undo {
        what: "own motors with three times the torque",
        names: &[Cause::PushedMotorsStalled],
        aside: &[],
        edit: torque,
    },
    Undo {
        what: "opponent's blade too high and thick to get under",
        names: &[Cause::Lifted],
        aside: &[],
        edit: blunt_opponent,
    },
    Undo {
        what: "edge sensors without delay on a board that acts at once",
        names: &[Cause::EdgeSeenTooLate],
        aside: &[],
        edit: perfect_edges,
    },
    Undo {
        what: "opponent seen at once from all round",
        names: &[Cause::NeverSaw, Cause::TakenFromSide],
        aside: &[],
        edit: perfect_sight,
    },
];

/// What undoes a loss laid to a fault.
pub const NO_FAULTS: Undo = Undo {
    what: "nothing breaks",
    names: &[Cause::Fault, Cause::FalseStart],
    aside: &[],
    edit: no_faults,
};

/// Nothing breaks.
pub fn no_faults(us: &mut Robot, _: &mut Robot) {
    us.faults = robot::Faults::default();
}

/// A figure times `factor`; its draws stay what they were, in proportion.
fn scale<D: Dimension>(figure: &mut Figure<D>, factor: f64) {
    *figure = figure
        .clone()
        .with_si(figure.si() * factor)
        .with_spread(figure.unsure() * factor, figure.varies() * factor);
}

/// A figure known exactly.
fn set<D: Dimension>(figure: &mut Figure<D>, si: f64) {
    *figure = figure.clone().with_si(si).with_spread(0.0, 0.0);
}

/// Tyres with twice the grip.
pub fn grip(us: &mut Robot, _: &mut Robot) {
    for w in &mut us.wheels {
        scale(&mut w.tyre.grip_peak, 2.0);
        scale(&mut w.tyre.grip_sliding, 2.0);
    }
}

/// Motors with three times the torque at the same speed, and all the current they want.
pub fn torque(us: &mut Robot, _: &mut Robot) {
    for m in &mut us.motors {
        scale(&mut m.stall_torque, 3.0);
    }
    scale(&mut us.battery.resistance, 0.3);
    scale(&mut us.driver.current_limit, 3.0);
}

/// The opponent's blade so high and thick that it gets under nothing.
pub fn blunt_opponent(_: &mut Robot, them: &mut Robot) {
    if let Some(b) = &mut them.blade {
        set(&mut b.tip_height, 0.012);
        set(&mut b.edge, 0.01);
    }
}

/// Edge sensors without noise and delay on a board that acts at once.
pub fn perfect_edges(us: &mut Robot, _: &mut Robot) {
    for s in &mut us.sensors {
        if let SensorKind::Reflectance { noise, .. } = &mut s.kind {
            set(noise, 0.0);
            set(&mut s.rate, 2000.0);
            set(&mut s.latency, 0.0);
        }
    }
    set(&mut us.board.loop_time, 0.001);
    set(&mut us.board.output_delay, 0.0);
}

/// Distance sensors that see everything round about, at once and without error.
pub fn perfect_sight(us: &mut Robot, _: &mut Robot) {
    let eyes = us
        .sensors
        .iter()
        .filter(|s| matches!(s.kind, SensorKind::Range { .. }))
        .count();
    for s in &mut us.sensors {
        if let SensorKind::Range {
            nearest,
            farthest,
            field_of_view,
            noise,
            misses,
            false_alarms,
        } = &mut s.kind
        {
            set(nearest, nearest.si().min(0.01));
            scale(farthest, 3.0);
            let all_round = std::f64::consts::TAU / eyes as f64;
            set(field_of_view, field_of_view.si().max(all_round));
            set(noise, 0.0);
            set(misses, 0.0);
            set(false_alarms, 0.0);
            set(&mut s.rate, 1000.0);
            set(&mut s.latency, 0.0);
        }
    }
}

/// Losses of one robot against its field.
pub struct Losses {
    pit: Pit,
    /// Bouts lost, with their causes.
    pub lost: Vec<(Task, Cause)>,
}

fn entrant(robot: &Robot) -> Entrant {
    Entrant::with_faults(robot).unwrap_or_else(|e| panic!("{e:#?}"))
}

impl Losses {
    /// Fights `bouts` of `ours` against `field` and keeps the losses. Faults are those of its file.
    #[must_use]
    pub fn of(ours: &Robot, field: &[Robot], seed: u64, bouts: u32) -> Self {
        let mut pit = crate::pit("mini", seed, ours, field);
        pit.ours = vec![entrant(ours)];
        let fought = crate::fight(&pit, bouts);
        let lost = fought
            .into_iter()
            .filter(|(_, f)| f.verdict == Verdict::Loss)
            .map(|(task, f)| (task, f.cause))
            .collect();
        Self { pit, lost }
    }

    /// Fights the same bouts with the change: for each loss whether it is one no more.
    #[must_use]
    pub fn rescued(&self, edit: fn(&mut Robot, &mut Robot)) -> Vec<bool> {
        let mut pit = self.pit.clone();
        let mut ours = pit.ours[0].robot.clone();
        for theirs in &mut pit.field {
            ours = pit.ours[0].robot.clone();
            let mut them = theirs.robot.clone();
            edit(&mut ours, &mut them);
            *theirs = entrant(&them);
        }
        pit.ours = vec![entrant(&ours)];
        let tasks: Vec<Task> = self.lost.iter().map(|l| l.0).collect();
        let fought = crate::fight_tasks(&pit, &tasks);
        fought.iter().map(|f| f.verdict != Verdict::Loss).collect()
    }
}
