//! Power and wiring: pins, currents, wires, fuse, the controller's supply, how long a charge lasts, and
//! what goes with a lithium pack.

mod assign;
mod currents;
mod endurance;
mod lines;
mod lithium;
mod pins;
mod supply;
#[cfg(test)]
mod tests;
mod wires;

use laws::wire::resistance_ohm;
use quantity::Draws;
use robot::{Finding, Robot};
use rules::Class;

use crate::{Day, Drive};

pub use currents::Stalled;
pub use endurance::Endurance;
pub use lines::{Line, Role, Way};
pub use lithium::{EMPTY_V, FULL_V, Lithium, STORE_V};
pub use pins::{PinRow, Pins};
pub use supply::Supply;
pub use wires::{Branch, Fuse, both_ways};

/// Power and wiring of one robot.
#[derive(Debug, Clone, PartialEq)]
pub struct Power {
    /// Currents with everything stalled.
    pub stalled: Stalled,
    /// Share of the motors' stall torque with which it pushes: below 1 the tyres slip first.
    pub push_share: f64,
    /// From the pack while it pushes, A.
    pub pushing_a: f64,
    /// The fuse; none: none is big enough.
    pub fuse: Option<Fuse>,
    /// Wires that carry motor current, the pack's lead first.
    pub branches: Vec<Branch>,
    /// The controller's supply.
    pub supply: Supply,
    /// The pin table.
    pub pins: Pins,
    /// How long a charge lasts.
    pub endurance: Endurance,
    /// The day that is counted with.
    pub day: Day,
    /// Limits of a lithium pack.
    pub lithium: Option<Lithium>,
    /// Start delay of the class and the time to program for it on this board, s; none: the board is not
    /// known, or a remote starts it.
    pub start_wait_s: Option<(f64, f64)>,
}

impl Power {
    /// Power and wiring of `robot` in `class`; `drive` is its drive at full effort, if it stands.
    #[must_use]
    pub fn of(robot: &Robot, class: &Class, drive: Option<&Drive>) -> Self {
        let nominal = Draws::nominal();
        let push_share = drive
            .filter(|d| d.motors_push_n > 0.0)
            .map_or(1.0, |d| (d.grip_n / d.motors_push_n).min(1.0));
        // The lead's size follows from the current, which hardly depends on it: one round is enough.
        let first = Stalled::of(robot, 0.0, &nominal);
        let (_, branches) = wires::plan(robot, &first, push_share);
        let lead = branches.first();
        let lead_ohm = lead.map_or(0.0, |b| {
            b.gauge.map_or(0.0, |g| resistance_ohm(g, 2.0 * b.length_m))
        });
        let stalled = Stalled::of(robot, lead_ohm, &nominal);
        let (fuse, branches) = wires::plan(robot, &stalled, push_share);
        let day = Day::of(class);
        let delay_s = class.start_delay_s();
        let sheet = robot.wiring.sheet.as_deref();
        let wait = |off: f64| (delay_s, laws::clock::safe_wait_s(delay_s, off));
        Self {
            supply: Supply::of(robot, &stalled, lead_ohm),
            pins: Pins::of(robot),
            endurance: Endurance::of(robot, &stalled, push_share, &day),
            day,
            lithium: Lithium::of(robot),
            start_wait_s: sheet.filter(|_| delay_s > 0.0).map(|s| wait(s.clock_off)),
            pushing_a: stalled.pushing_a(push_share),
            push_share,
            fuse,
            branches,
            stalled,
        }
    }

    /// What is to be said about it.
    pub(crate) fn findings(&self, robot: &Robot) -> Vec<Finding> {
        let mut found = self.pins.findings(robot);
        found.extend(self.supply.findings(robot, &self.stalled));
        found.extend(wires::findings(
            robot,
            &self.stalled,
            self.fuse.as_ref(),
            &self.branches,
        ));
        found.extend(self.endurance.findings(robot, self.pushing_a, &self.day));
        if let Some(lithium) = &self.lithium {
            found.extend(lithium.findings(robot, &self.stalled, self.fuse.as_ref()));
        }
        found
    }
}
