//! Wheels on the ground: their contacts, their grip at this load, and what rolling costs.

use glam::DVec3;
use laws::tyre::{grip_at_load, grip_with_adhesion};
use quantity::maths;

use super::body::Body;
use super::contact::{Contact, Tread, WORLD, tangents};
use super::ground::{self, GroundTouch, Part, RingShape, Rolling};
use super::machine::{Machine, WheelNumbers};

/// One contact per wheel, without history.
pub(super) fn wheel_contacts(robot: usize, machine: &Machine) -> Vec<Contact> {
    machine
        .wheels
        .iter()
        .enumerate()
        .map(|(k, w)| {
            let mut c = Contact::new(0, robot, WORLD, DVec3::Z);
            c.tread = Some(Tread {
                wheel: k,
                group: w.group,
                radius: w.radius,
                lever: w.radius * w.turns,
                part: Part::Top,
            });
            c.stiffness = w.stiffness;
            c.damping = w.damping;
            c
        })
        .collect()
}

/// Load changes by this share before the grip that goes with it is worked out afresh; in between
/// its slope there serves, which is off by less than 0.1 % for every exponent up to 1/3.
const SAME_LOAD: f64 = 0.06;

/// What of a tread holds for the whole search: its radius at this turn, its grip at this load.
pub(super) fn ready_tread(
    contact: &mut Contact,
    wheel: &WheelNumbers,
    body: &Body,
    grip: f64,
    h: f64,
) {
    if wheel.run_out > 0.0
        && let Some(t) = &mut contact.tread
    {
        let turn = wheel.turns * body.theta[wheel.group] + wheel.run_out_phase;
        t.radius = wheel.radius + wheel.run_out * swing(turn);
        t.lever = t.radius * wheel.turns;
    }
    let load = (contact.impulse[0] / h).max(0.02 * wheel.reference_load);
    let change = load / contact.grip_load - 1.0;
    if change.abs() > SAME_LOAD || contact.grip_load <= 0.0 {
        contact.grip_load = load;
        let share = grip_at_load(1.0, load, wheel.reference_load, wheel.load_exponent);
        contact.grip_share = share;
        contact.grip_peak = wheel.grip_peak * grip * share;
        contact.grip_sliding = wheel.grip_sliding * grip * share;
    } else {
        // d(N⁻ⁿ)/dN · N = −n N⁻ⁿ.
        let share = grip * contact.grip_share * (1.0 - wheel.load_exponent * change);
        contact.grip_peak = wheel.grip_peak * share;
        contact.grip_sliding = wheel.grip_sliding * share;
    }
    if wheel.adhesion > 0.0 {
        // Only its size at this load counts: the limit is μN + A. What lies on the ring keeps the tyre
        // from sticking as it keeps it from gripping.
        let hold = grip_with_adhesion(0.0, load, wheel.adhesion * grip);
        contact.grip_peak += hold;
        contact.grip_sliding += hold;
    }
}

/// Cosine of `turn` to 1e-3: a parabola for each half turn, squared into shape. A wheel out of
/// round by a tenth of a millimetre is known no better, and the true one was 1.6 % of a bout.
fn swing(turn: f64) -> f64 {
    let turns = turn * (1.0 / maths::TAU) + 0.25;
    #[allow(clippy::cast_possible_truncation, reason = "some thousand turns")]
    let past = turns - f64::from(turns as i32);
    // Within half a turn of nought.
    let past = if past > 0.5 {
        past - 1.0
    } else if past < -0.5 {
        past + 1.0
    } else {
        past
    };
    let sine = 8.0 * past - 16.0 * past * past.abs();
    sine + 0.225 * (sine * sine.abs() - sine)
}

/// Where a wheel touches the ground.
pub(super) struct Footprint {
    /// Point, normal, gap.
    pub(super) touch: GroundTouch,
    /// Rolling direction, unit.
    pub(super) along: DVec3,
    /// Square to it, unit.
    pub(super) across: DVec3,
    /// Radius of the wheel there, m.
    pub(super) radius: f64,
}

/// Where the wheel of `contact` touches the ground at the present pose.
pub(super) fn place_tread(
    contact: &Contact,
    wheel: &WheelNumbers,
    body: &Body,
    rolling: &Rolling,
    ring: RingShape,
) -> Footprint {
    let radius = contact.tread.map_or(wheel.radius, |t| t.radius);
    let touch = ground::tread_on_ground(body.place(wheel.centre), rolling, radius, ring);
    let (mut along, mut across) = (rolling.along, rolling.across);
    if touch.normal.z < 1.0 {
        let rolls = body.axle.cross(touch.normal);
        let length = rolls.length();
        if length > 1e-6 {
            along = rolls * (1.0 / length);
            across = touch.normal.cross(along);
        } else {
            (along, across) = tangents(touch.normal);
        }
    }
    Footprint {
        touch,
        along,
        across,
        radius,
    }
}

impl Contact {
    /// Whether a tyre presses on the rim.
    pub(super) fn is_tread_on_rim(&self) -> bool {
        self.gap < self.offset && self.tread.as_ref().is_some_and(|t| t.part == Part::Rim)
    }

    /// Brings a wheel's ground contact up to date. A wheel that gets onto another part of the ground
    /// starts there as deep as it was, whatever its place says: one that comes in over the rim from
    /// the side is not flung up.
    pub(super) fn touch_down(&mut self, at: &Footprint, body: &Body) {
        if let Some(t) = &mut self.tread
            && t.part != at.touch.part
        {
            t.part = at.touch.part;
            let depth = (self.gap - self.offset).min(0.0);
            self.offset = (at.touch.gap - depth).min(0.0);
        }
        self.gap = at.touch.gap;
        self.normal = at.touch.normal;
        (self.along, self.across) = (at.along, at.across);
        self.arm_a = at.touch.point - body.x;
    }
}

/// Rolling resistance: a torque of c·N·r against each wheel's turning, never more than stops it.
pub(super) fn roll(machine: &Machine, body: &mut Body, treads: &[Contact]) {
    let mut felt = 0.0;
    let pitching = body.pitching();
    for (c, w) in treads.iter().zip(&machine.wheels) {
        if c.impulse[0] <= 0.0 || w.rolling <= 0.0 {
            continue;
        }
        let group = &machine.groups[w.group];
        let speed = body.s[w.group] - group.kappa * pitching;
        let most = group.inertia * speed.abs();
        let impulse = (w.turns * w.rolling * c.impulse[0] * w.radius).min(most);
        let signed = -impulse.copysign(speed);
        body.s[w.group] += signed / group.inertia;
        // The ground turns the wheel in space, not against the chassis: (1 − ρκ) is felt there.
        felt += (1.0 / w.turns - group.kappa) * signed;
    }
    if felt != 0.0 {
        body.w += body.inverse_inertia * (felt * body.axle);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wheel_that_comes_in_from_the_side_is_not_flung_up() {
        let machine = super::super::scene::SCENE.robot(0.0, false);
        let body = Body::new(&machine);
        let mut tread = wheel_contacts(0, &machine).remove(0);
        let mut at = |gap: f64, part: Part| {
            let touch = GroundTouch {
                point: body.x,
                normal: DVec3::Z,
                gap,
                part,
            };
            let footprint = Footprint {
                touch,
                along: DVec3::X,
                across: DVec3::Y,
                radius: 0.015,
            };
            tread.touch_down(&footprint, &body);
            tread.gap - tread.offset
        };
        assert!(at(0.02, Part::Floor) > 0.0);
        // Under the top by 2 mm without having been over it: that is taken as given.
        assert!(at(-2e-3, Part::Top).abs() < 1e-12);
        assert!((at(-2.1e-3, Part::Top) + 1e-4).abs() < 1e-12);
        // As deep on the rim as it was on the top.
        assert!((at(-3e-3, Part::Rim) + 1e-4).abs() < 1e-12);
    }

    #[test]
    fn run_out_swings_as_a_cosine() {
        let mut worst: f64 = 0.0;
        for k in -400..=400 {
            let turn = 0.05 * f64::from(k);
            worst = worst.max((swing(turn) - maths::cos(turn)).abs());
        }
        // Measured 1.1e-3.
        assert!(worst < 1.2e-3, "{worst}");
    }
}
