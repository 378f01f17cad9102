//! Contacts where a jointed part touches: what the part's own freedom adds to each row.

use super::body::Body;
use super::contact::{Contact, WORLD};
use super::joint::PartSide;

impl Contact {
    /// Lets the sides of `a` and `b` lie on jointed parts.
    pub(crate) fn on_parts(&mut self, a: Option<PartSide>, b: Option<PartSide>) {
        self.parts = [a, b];
        self.jointed = a.is_some() || b.is_some();
    }

    /// Brings arms and gap up to date where parts may have moved since the contact was found, and
    /// works out what their motion does in the three directions.
    pub(super) fn measure_parts(&mut self, bodies: &[Body; 2]) {
        let directions = [self.normal, self.along, self.across];
        let mut at = [self.anchor_a, self.anchor_b];
        for (side, robot) in [self.a, self.b].into_iter().enumerate() {
            let Some(part) = &mut self.parts[side] else {
                continue;
            };
            let body = &bodies[robot];
            let joint = &body.joints[part.joint];
            let moved = body.theta[part.spin] - part.found_at;
            at[side] += moved * joint.way(at[side]);
            let way = body.r * joint.way(at[side]);
            let sense = if side == 0 { 1.0 } else { -1.0 };
            part.c = directions.map(|d| sense * way.dot(d));
            part.response = joint.response;
        }
        let a = &bodies[self.a];
        self.arm_a = a.r * at[0];
        let on_b = if self.b < WORLD {
            let b = &bodies[self.b];
            self.arm_b = b.r * at[1];
            b.x + self.arm_b
        } else {
            at[1]
        };
        self.gap = self.normal.dot(a.x + self.arm_a - on_b);
    }

    /// What the parts add to the response of the rows: normal, along, across, along to across.
    pub(super) fn parts_response(&self) -> [f64; 4] {
        let mut k = [0.0; 4];
        for p in self.parts.iter().flatten() {
            let [normal, along, across] = p.c;
            k[0] += p.response * normal * normal;
            k[1] += p.response * along * along;
            k[2] += p.response * across * across;
            k[3] += p.response * along * across;
        }
        k
    }

    /// What the parts' own motion adds to the velocity of `a` against `b` in the three directions.
    pub(super) fn parts_speed(&self, bodies: &[Body; 2]) -> [f64; 3] {
        let mut v = [0.0; 3];
        for (p, robot) in self.parts.iter().zip([self.a, self.b]) {
            if let Some(p) = p {
                let s = bodies[robot].s[p.spin];
                for (v, c) in v.iter_mut().zip(p.c) {
                    *v += c * s;
                }
            }
        }
        v
    }

    /// Gives the parts their share of an impulse.
    pub(super) fn push_parts(&self, bodies: &mut [Body; 2], impulse: [f64; 3]) {
        for (p, robot) in self.parts.iter().zip([self.a, self.b]) {
            if let Some(p) = p {
                let felt = p.c[0] * impulse[0] + p.c[1] * impulse[1] + p.c[2] * impulse[2];
                bodies[robot].s[p.spin] += p.response * felt;
            }
        }
    }

    /// Adds what the contact carried to the loads of its joints.
    pub(super) fn load_joints(&self, bodies: &mut [Body; 2]) {
        if !self.jointed {
            return;
        }
        for (p, robot) in self.parts.iter().zip([self.a, self.b]) {
            if let Some(p) = p {
                let i = self.impulse;
                bodies[robot].joints[p.joint].load += p.c[0] * i[0] + p.c[1] * i[1] + p.c[2] * i[2];
            }
        }
    }
}
