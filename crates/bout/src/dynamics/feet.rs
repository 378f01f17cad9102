//! Feet on the ground: skids, blade corners and hull corners on ring top and floor, and lower
//! faces across the rim.

use glam::DVec3;
use quantity::maths;

use super::contact::{Contact, WORLD};
use super::ground::{self, Rolling};
use super::sheet;
use super::world::World;

/// Stiffness of a foot (skid, blade edge, hull corner) on the ground, as the frequency in Hz of a
/// quarter of the robot on it. Lower lets blades sink into the ring, higher needs shorter steps.
const FOOT_HZ: f64 = 120.0;
/// Damping ratio of a foot.
const FOOT_DAMPING: f64 = 1.0;

impl World {
    /// Feet on ring top and floor, and lower faces across the rim, that are nearer than `margin`.
    pub(super) fn find_feet(&mut self, i: usize, margin: f64) {
        let body = &self.bodies[i];
        let machine = &self.machines[i];
        let robot = u32::try_from(i).unwrap_or(0) << 27;
        let quarter = 0.25 * machine.mass;
        let omega = maths::TAU * FOOT_HZ;
        let (stiffness, damping) = (
            quarter * omega * omega,
            2.0 * FOOT_DAMPING * quarter * omega,
        );
        let at_rim = body.x.truncate().length() + machine.reach > self.ring.radius;
        let row = DVec3::new(body.r.x_axis.z, body.r.y_axis.z, body.r.z_axis.z);
        let rolling = Rolling::about(body.axle);
        for (k, foot) in machine.feet.iter().enumerate() {
            let at = match foot.joint {
                None => foot.at,
                joint => body.moved(joint, foot.at),
            };
            if !at_rim && body.x.z + row.dot(at) > margin {
                continue;
            }
            let key = 0x1000_0000 | robot | u32::try_from(k).unwrap_or(0);
            if let Some(mut c) = ground::foot_on_ground(key, i, body, at, self.ring, margin) {
                // As the treads', so that last millisecond's impulses turn with the robot and mean
                // the same wherever they are solved.
                (c.along, c.across) = (rolling.along, rolling.across);
                c.stiffness = stiffness;
                c.damping = damping;
                c.grip_peak = foot.friction;
                c.grip_sliding = foot.friction;
                if let Some(relief) = &self.relief {
                    let wall = 0x3000_0000 | robot | u32::try_from(k).unwrap_or(0);
                    let before = self.feet_before[i].iter().find(|c| c.key == wall);
                    let held = before.is_some_and(|c| c.impulse[0] > 0.0);
                    let way = margin + 1e-3 * body.v.length();
                    let met = relief.lift_foot(&mut c, machine, body, wall, held, way);
                    self.feet[i].extend(met);
                }
                if foot.joint.is_some() {
                    c.on_parts(body.side(foot.joint), None);
                }
                self.feet[i].push(c);
            }
        }
        if !at_rim {
            return;
        }
        let inverse = body.r.transpose();
        let up = body.r.z_axis;
        let feet = &mut self.feet[i];
        let ring = self.ring;
        let mut face_contacts =
            |face: &[DVec3], up: DVec3, piece: u32, friction: f64, joint: Option<usize>| {
                ground::face_on_rim(face, up, ring, margin, |k, p, rim, gap| {
                    let key = 0x2000_0000 | robot | (piece << 8) | u32::try_from(k).unwrap_or(0);
                    let mut c = Contact::new(key, i, WORLD, up);
                    c.anchor_a = inverse * (p - body.x);
                    c.anchor_b = rim;
                    c.gap = gap;
                    c.stiffness = stiffness;
                    c.damping = damping;
                    c.grip_peak = friction;
                    c.grip_sliding = friction;
                    c.on_parts(body.side(joint), None);
                    feet.push(c);
                });
            };
        for (piece, prism) in machine.hull.iter().enumerate() {
            ground::lower_face(body, &prism.outline, prism.low, &mut self.face);
            let piece = u32::try_from(piece).unwrap_or(0);
            face_contacts(&self.face, up, piece, prism.friction, None);
        }
        for (k, sheet) in machine.sheets.iter().enumerate() {
            // Counter-clockwise from above: tip right, tip left, back left, back right.
            let corners = sheet.corners.map(|c| body.moved(sheet.joint, c));
            let face = [1, 0, 3, 2].map(|k: usize| body.place(corners[k]));
            let normal = sheet::upper_normal(&corners);
            let piece = 0xff - u32::try_from(k).unwrap_or(0);
            face_contacts(&face, body.r * normal, piece, sheet.friction, sheet.joint);
        }
    }
}
