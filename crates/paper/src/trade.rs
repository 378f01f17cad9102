//! Every wheel with every motor of the parts box: push against run-up.

use quantity::{Draws, Length};
use robot::{Entry, Robot};

use crate::sweep::{Bench, HEAVIEST, LIGHTEST, SIZES};
use crate::{Drive, Footing};

/// A wheel with a motor.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// The wheel in the parts box.
    pub wheel: String,
    /// The motor in the parts box.
    pub motor: String,
    /// Whether the robot has both.
    pub ours: bool,
    /// What the motors give at standstill, N.
    pub motors_push_n: f64,
    /// What the tyres hold, N.
    pub grip_n: f64,
    /// The push at full effort, N.
    pub push_n: f64,
    /// Time of the charge, s.
    pub charge_s: f64,
    /// Whether no other pair pushes harder and charges quicker at once.
    pub best_trade: bool,
}

impl Pair {
    /// Whether the tyres slide before the motors stall: then a smaller wheel or a slower gear gives no more
    /// push.
    #[must_use]
    pub fn grip_ends_it(&self) -> bool {
        self.motors_push_n > self.grip_n
    }
}

/// Every pair that fits, by the time of the charge; those that never get there are left out.
///
/// Fits: the wheel between half and 1.6 times the diameter of ours, the motor between half and 1.6 times the
/// mass, and the rules are kept. Everything else stays as it is.
pub(crate) fn pairs(bench: &Bench<'_>) -> Vec<Pair> {
    let (robot, parts) = (bench.robot, bench.parts);
    let (Some(wheel), Some(motor)) = (
        robot.wheels.iter().find(|w| w.motor.is_some()),
        robot.motors.first(),
    ) else {
        return Vec::new();
    };
    let diameter_m = 2.0 * wheel.radius.si();
    let has = |item: &robot::Item, e: &Entry| item.part.as_ref() == Some(&e.id);
    let size = |e: &&Entry| {
        let d = parts.section(e).optional_figure::<Length>("diameter");
        has(&wheel.item, e)
            || d.is_some_and(|d| (SIZES[0]..=SIZES[1]).contains(&(d.si() / diameter_m)))
    };
    let mass = |e: &&Entry| {
        has(&motor.item, e)
            || (LIGHTEST..=HEAVIEST).contains(&(e.mass_kg / motor.item.mass.si().max(1e-9)))
    };
    let of = |kind: &'static str| parts.entries().iter().filter(move |e| e.kind == kind);
    let motors: Vec<&Entry> = of("motor").filter(mass).collect();
    let mut pairs = Vec::new();
    for w in of("wheel").filter(size) {
        let Some(on_wheels) = robot.with_driven_wheels(w, parts) else {
            continue;
        };
        for m in &motors {
            let ours = has(&wheel.item, w) && has(&motor.item, m);
            let pair = on_wheels.with_motors(m, parts);
            if let Some(p) = pair.and_then(|r| pair_of(bench, &r, w, m, ours)) {
                pairs.push(p);
            }
        }
    }
    pairs.sort_by(|a, b| {
        a.charge_s
            .total_cmp(&b.charge_s)
            .then(b.push_n.total_cmp(&a.push_n))
    });
    // Quickest first: worth having is what pushes harder than everything quicker.
    let mut most_n = 0.0;
    for p in &mut pairs {
        p.best_trade = p.push_n > most_n;
        most_n = p.push_n.max(most_n);
    }
    pairs
}

fn pair_of(
    bench: &Bench<'_>,
    robot: &Robot,
    wheel: &Entry,
    motor: &Entry,
    ours: bool,
) -> Option<Pair> {
    let draws = Draws::nominal();
    let footing = Footing::of(robot, bench.class.ring().surface, &draws)?;
    let drive = Drive::of(robot, &footing, 1.0, bench.charge_m, &draws);
    let gets_there = drive.charge_s.is_finite() && drive.push_n > 0.0;
    (gets_there && (ours || bench.allows(robot))).then(|| Pair {
        wheel: wheel.id.clone(),
        motor: motor.id.clone(),
        ours,
        motors_push_n: drive.motors_push_n,
        grip_n: drive.grip_n,
        push_n: drive.push_n,
        charge_s: drive.charge_s,
        best_trade: false,
    })
}
