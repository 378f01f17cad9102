//! Who is out, by the class's rule.

use glam::{DVec2, DVec3};
use quantity::Draws;
use robot::Robot;
use rules::OutWhen;

use crate::arena::Seat;
use crate::dynamics::World;
use crate::placing;

/// The outlines of both robots and the ring, for rules that do not wait for the floor.
#[derive(Debug)]
pub(crate) struct Bounds {
    when: OutWhen,
    radius_m: f64,
    outlines: [Vec<DVec2>; 2],
}

impl Bounds {
    /// The bounds of a ring of `radius_m` for these two robots as drawn.
    pub(crate) fn new(
        when: OutWhen,
        radius_m: f64,
        robots: [&Robot; 2],
        draws: &[Draws; 2],
    ) -> Self {
        let outlines = if when == OutWhen::PastRim {
            [0, 1].map(|i: Seat| placing::corners(robots[i], &draws[i]))
        } else {
            [Vec::new(), Vec::new()]
        };
        Self {
            when,
            radius_m,
            outlines,
        }
    }

    /// Whether a robot is out. Touching the floor outside always is.
    pub(crate) fn is_out(&self, world: &World, seat: Seat) -> bool {
        if world.on_floor(seat) {
            return true;
        }
        match self.when {
            OutWhen::Floor => false,
            OutWhen::TyreOff => self.tyre_off(world, seat),
            OutWhen::PastRim => self.past_rim(world, seat),
        }
    }

    /// Whether the middle of a wheel stands outside the rim: its tyre cannot rest on the ring. A
    /// track is off when its middle is.
    fn tyre_off(&self, world: &World, seat: Seat) -> bool {
        let (pose, machine) = (world.pose(seat), world.machine(seat));
        machine.middles().any(|middle| {
            let at = pose.origin + pose.rotation * (machine.centre + middle);
            at.truncate().length() > self.radius_m
        })
    }

    /// Whether a corner of the outline, seen from above, lies outside the rim.
    fn past_rim(&self, world: &World, seat: Seat) -> bool {
        let pose = world.pose(seat);
        self.outlines[seat].iter().any(|c| {
            let at = pose.origin + pose.rotation * DVec3::new(c.x, c.y, 0.0);
            at.truncate().length() > self.radius_m
        })
    }
}
