//! What the rest of a bout may know of the dynamics: loads, slips, touch, who bears whom, who is out.

use glam::{DMat3, DQuat, DVec3};

use super::contact::Contact;
use super::drive;
use super::ground::Rolling;
use super::machine::{Machine, WheelNumbers};
use super::tread::place_tread;
use super::world::World;
use crate::arena::Seat;

/// A driven wheel below this share of its free speed at the effort given counts as stalled.
const STALLED_SHARE: f64 = 0.1;

/// Where a robot is and how it moves.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pose {
    /// Design origin in ring coordinates, m.
    pub(crate) origin: DVec3,
    /// Design axes to ring axes.
    pub(crate) rotation: DMat3,
    /// The same as a quaternion.
    pub(crate) quaternion: DQuat,
    /// Velocity of the design origin, m/s.
    pub(crate) velocity: DVec3,
    /// Angular velocity in ring axes, rad/s.
    pub(crate) spin: DVec3,
}

/// What a wheel is doing.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct WheelState {
    /// Load in N, from ring and opponent together.
    pub(crate) load_n: f64,
    /// Slip along its rolling direction, m/s.
    pub(crate) slip_along_m_s: f64,
    /// Slip across, m/s.
    pub(crate) slip_across_m_s: f64,
    /// Whether the tread slides.
    pub(crate) sliding: bool,
    /// Whether a motor turns it.
    pub(crate) driven: bool,
    /// Turning speed, rad/s.
    pub(crate) speed_rad_s: f64,
}

/// What the opponent does to a robot by touch.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Touch {
    /// Mean contact point in the design frame, m.
    pub(crate) at_body: DVec3,
    /// Total force on the robot in its own axes, N.
    pub(crate) push_body: DVec3,
}

impl World {
    /// Notes what others ask for: loads, slips, touch, who bears whom, who is out.
    pub(super) fn take_stock(&mut self, h: f64) {
        let mut force = [DVec3::ZERO; 2];
        let mut weight = [0.0; 2];
        let mut place = [DVec3::ZERO; 2];
        for c in self.encounter.contacts() {
            if c.impulse[0] <= 0.0 {
                continue;
            }
            let f = c.force(h);
            let size = f.length();
            for (robot, f, anchor) in [(c.a, f, c.anchor_a), (c.b, -f, c.anchor_b)] {
                force[robot] += f;
                weight[robot] += size;
                place[robot] += size * anchor;
            }
        }
        for i in 0..2 {
            let body = &self.bodies[i];
            let machine = &self.machines[i];
            self.borne[i] = force[i].z / (machine.mass * self.gravity.length().max(1e-9));
            self.touch[i] = (weight[i] > 1e-6).then(|| Touch {
                at_body: place[i] / weight[i] + machine.centre,
                push_body: body.r.transpose() * force[i],
            });
            let beyond = body.x.truncate().length() + machine.reach > self.ring.radius;
            let level = 1e-3 - self.ring.height;
            self.on_floor[i] = beyond
                && (self.feet[i]
                    .iter()
                    .any(|c| body.place(c.anchor_a).z < level && c.anchor_b.z < 0.5 * level)
                    || !self.level[i].on
                        && self.treads[i].iter().any(|c| body.x.z + c.arm_a.z < level));
        }
    }

    /// Pose of the design frame.
    pub(crate) fn pose(&self, seat: Seat) -> Pose {
        let b = &self.bodies[seat];
        let arm = b.r * self.machines[seat].centre;
        Pose {
            origin: b.x - arm,
            rotation: b.r,
            quaternion: b.q,
            velocity: b.v - b.w.cross(arm),
            spin: b.w,
        }
    }

    /// Wheels in file order, worked out when asked for.
    pub(crate) fn wheels(&self, seat: Seat) -> impl Iterator<Item = WheelState> {
        let (machine, body) = (&self.machines[seat], &self.bodies[seat]);
        let rolling = Rolling::about(body.axle);
        let treads = self.treads[seat].iter().zip(&machine.wheels).enumerate();
        treads.map(move |(k, (c, wheel))| {
            let speed = wheel.turns * body.wheel_speed(machine, wheel.group);
            let mut state = WheelState {
                load_n: c.impulse[0] / self.substep,
                sliding: c.sliding && c.impulse[0] > 0.0,
                driven: wheel.driven,
                speed_rad_s: speed,
                ..WheelState::default()
            };
            if c.impulse[0] > 0.0 {
                let tread = place_tread(c, wheel, body, &rolling, self.ring);
                let velocity = body.v + body.w.cross(tread.touch.point - body.x);
                state.slip_along_m_s = velocity.dot(tread.along) - tread.radius * speed;
                state.slip_across_m_s = velocity.dot(tread.across);
            }
            let on_blade = |c: &&Contact| c.a == seat && c.tread.is_some_and(|t| t.wheel == k);
            for c in self.encounter.contacts().iter().filter(on_blade) {
                state.load_n += c.impulse[0] / self.substep;
                state.sliding |= c.sliding && c.impulse[0] > 0.0;
            }
            state
        })
    }

    /// The machine of a seat.
    pub(crate) fn machine(&self, seat: Seat) -> &Machine {
        &self.machines[seat]
    }

    /// Current in A through the motors of each side with the last effort given; forward positive.
    pub(crate) fn motor_currents(&self, seat: Seat) -> [f64; 2] {
        let (machine, body) = (&self.machines[seat], &self.bodies[seat]);
        drive::channel_currents(machine, &self.power[seat], body, self.effort[seat])
    }

    /// Mean rolling speed in m/s of the wheels that each side's motors turn; 0 without any.
    pub(crate) fn wheel_speeds(&self, seat: Seat) -> [f64; 2] {
        let machine = &self.machines[seat];
        [0, 1].map(|channel| {
            let turned = |w: &&WheelNumbers| {
                (machine.motors.iter()).any(|m| m.channel == channel && m.group == w.group)
            };
            let (mut sum, mut count) = (0.0, 0.0);
            for wheel in machine.wheels.iter().filter(turned) {
                sum += self.bodies[seat].wheel_speed(machine, wheel.group) * wheel.radius;
                count += 1.0;
            }
            if count > 0.0 { sum / count } else { 0.0 }
        })
    }

    /// Whether motors given at least half effort hardly turn.
    pub(crate) fn motors_stalled(&self, seat: Seat) -> bool {
        let machine = &self.machines[seat];
        let mut stalled = false;
        for m in &machine.motors {
            let u = self.effort[seat][m.channel];
            if u.abs() < 0.5 || m.torque_per_volt <= 0.0 {
                continue;
            }
            let free = m.torque_per_volt * u * machine.pack.voltage / m.damping.max(1e-12);
            let speed = self.bodies[seat].wheel_speed(machine, m.group);
            if speed / free > STALLED_SHARE {
                return false;
            }
            stalled = true;
        }
        stalled
    }

    /// Voltage of a robot's loaded pack, V.
    pub(crate) fn pack_volts(&self, seat: Seat) -> f64 {
        self.power[seat].volts
    }

    /// What the tyres of a robot can hold at their present loads before they slide, N.
    pub(crate) fn tyres_hold(&self, seat: Seat) -> f64 {
        let treads = self.treads[seat].iter();
        treads
            .map(|c| c.grip_peak * c.impulse[0] / self.substep)
            .sum()
    }

    /// A wheel loses its tyre: `radius` is the rim's as a share of what it was, `grip` the rim's.
    pub(crate) fn lose_tyre(&mut self, seat: Seat, wheel: usize, radius: f64, grip: f64) {
        let Some(w) = self.machines[seat].wheels.get_mut(wheel) else {
            return;
        };
        w.radius *= radius;
        w.run_out *= radius;
        (w.grip_peak, w.grip_sliding) = (w.grip_peak.min(grip), w.grip_sliding.min(grip));
        let contact = &mut self.treads[seat][wheel];
        if let Some(t) = &mut contact.tread {
            t.radius = w.radius;
        }
        // Has its grip worked out afresh.
        contact.grip_load = 0.0;
    }

    /// The motors of a driver channel lose their plug: no current, so they neither drive nor brake.
    pub(crate) fn unplug(&mut self, seat: Seat, channel: usize) {
        let motors = &mut self.machines[seat].motors;
        for m in motors.iter_mut().filter(|m| m.channel == channel) {
            (m.torque_per_volt, m.damping, m.torque_per_ampere) = (0.0, 0.0, 0.0);
            (m.current_per_volt, m.current_per_speed) = (0.0, 0.0);
        }
    }

    /// Share of a robot's weight that the opponent bears (negative: it is pressed down).
    pub(crate) fn borne_by_opponent(&self, seat: Seat) -> f64 {
        self.borne[seat]
    }

    /// What the opponent does to it by touch.
    pub(crate) fn touch(&self, seat: Seat) -> Option<Touch> {
        self.touch[seat]
    }

    /// Whether it touches the floor outside.
    pub(crate) fn on_floor(&self, seat: Seat) -> bool {
        self.on_floor[seat]
    }
}
