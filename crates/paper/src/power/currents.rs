//! What flows where when every motor stalls at once, and while it pushes.

use laws::supply::{Channel, idle_a, shared_v};
use quantity::Draws;
use robot::{Motor, Robot, Side};

use crate::drive::open_v;

/// Currents with everything stalled at full effort.
#[derive(Debug, Clone, PartialEq)]
pub struct Stalled {
    /// Pack without load, V.
    pub open_v: f64,
    /// Behind pack and lead with everything stalled, V.
    pub volts: f64,
    /// From the pack, A.
    pub pack_a: f64,
    /// Of each motor, A, in file order.
    pub motors_a: Vec<f64>,
    /// Of each gadget's motor, A, in file order; 0 of one without.
    pub gadgets_a: Vec<f64>,
    /// Of board and sensors, A.
    pub idle_a: f64,
}

fn channel_of(motor: &Motor) -> usize {
    match motor.side {
        Side::Left => 0,
        Side::Right => 1,
    }
}

impl Stalled {
    /// All motors and the motors of all gadgets stalled at once at full effort, behind the pack's
    /// resistance and `lead_ohm` of wire, under `draws`. Worse than a bout usually gets: a gadget's motor
    /// stalls only against something.
    #[must_use]
    pub fn of(robot: &Robot, lead_ohm: f64, draws: &Draws) -> Self {
        let limit_a = draws.of(&robot.driver.current_limit, "driver");
        let drives = Channel {
            effort: 1.0,
            limit_a,
            ..Channel::default()
        };
        let mut channels = vec![drives; 2];
        let lines: Vec<f64> = (robot.motors.iter())
            .map(|m| laws::motor::line_of(m, &robot.driver, draws).a_per_v)
            .collect();
        for (m, a_per_v) in robot.motors.iter().zip(&lines) {
            channels[channel_of(m)].a_per_v += a_per_v;
        }
        let gadgets: Vec<f64> = (robot.gadgets.iter())
            .map(|g| {
                g.drive.as_ref().map_or(0.0, |d| {
                    let name = &g.item.name;
                    let rated = draws.of(&d.rated_voltage, name).max(1e-3);
                    draws.of(&d.stall_current, name).max(0.0) / rated
                })
            })
            .collect();
        channels.extend(gadgets.iter().map(|a_per_v| Channel {
            effort: 1.0,
            a_per_v: *a_per_v,
            back_a: 0.0,
            limit_a: f64::INFINITY,
        }));
        let (open_v, idle_a) = (open_v(robot, draws), idle_a(robot, draws));
        let ohm = draws.of(&robot.battery.resistance, "battery") + lead_ohm;
        let volts = shared_v(open_v, ohm, idle_a, &channels);
        let drawn: f64 = channels.iter().map(|c| c.pack_a(volts)).sum();
        let motors = robot.motors.iter().zip(&lines);
        Self {
            open_v,
            volts,
            pack_a: idle_a + drawn,
            motors_a: motors
                .map(|(m, a_per_v)| {
                    let held = channels[channel_of(m)].held_effort(volts);
                    a_per_v * held.unwrap_or(1.0) * volts
                })
                .collect(),
            gadgets_a: gadgets.iter().map(|a_per_v| a_per_v * volts).collect(),
            idle_a,
        }
    }

    /// Current from the pack in A while it pushes with a share of the motors' stall torque: the tyres
    /// slip at `share` of it, or 1 where the motors stall first. Gadgets rest.
    #[must_use]
    pub fn pushing_a(&self, share: f64) -> f64 {
        let gadgets: f64 = self.gadgets_a.iter().sum();
        let driving = self.pack_a - self.idle_a - gadgets;
        self.idle_a + driving * share.clamp(0.0, 1.0)
    }
}
