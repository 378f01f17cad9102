//! Tyres on this ring: what its surface makes of a compound, and the dirt they gather on the way.

use quantity::Draws;
use robot::{Ring, Robot};

use super::body::Body;
use super::machine::{Dirt, Machine};

/// A tyre's grip is worked out afresh when it has travelled this share of its length: an error of less
/// than 0.2 % of what dirt can take.
const WORTH_NOTING: f64 = 2e-3;

impl Machine {
    /// Fits the tyres of `robot` to the surface and the dust of `ring`.
    pub(crate) fn stand_on(&mut self, ring: &Ring, robot: &Robot, draws: &Draws) {
        for (w, (tyre, name)) in self.wheels.iter_mut().zip(robot.treads()) {
            let factor = laws::tyre::factor_on(tyre, ring.surface, draws, name);
            w.grip_peak *= factor;
            w.grip_sliding *= factor;
            let loss = draws.of(&tyre.dirt_loss, name).clamp(0.0, 1.0);
            let travel = draws.of(&tyre.since_cleaned, name).max(0.0);
            if loss > 0.0 && ring.dust > 0.0 {
                let mut dirt = Dirt {
                    loss,
                    length: draws.of(&tyre.dirt_length, name).max(1e-2) / ring.dust,
                    travel,
                    fresh: travel,
                    noted: 0.0,
                    clean: [w.grip_peak, w.grip_sliding, w.adhesion],
                };
                [w.grip_peak, w.grip_sliding, w.adhesion] = dirt.note();
                w.dirt = Some(dirt);
            }
        }
        self.gathers_dirt = self.wheels.iter().any(|w| w.dirt.is_some());
    }

    /// Adds the travel of earlier rounds in m, in file order, to tyres that gather dirt.
    pub(super) fn carry_dirt(&mut self, travel_m: &[f64]) {
        for (w, travel) in self.wheels.iter_mut().zip(travel_m) {
            if let Some(dirt) = &mut w.dirt {
                dirt.travel += travel;
                [w.grip_peak, w.grip_sliding, w.adhesion] = dirt.note();
            }
        }
    }

    /// Travel in m of each tyre that gathers dirt, beyond what the robot file says; 0 for others.
    pub(crate) fn dirt_travel(&self) -> Vec<f64> {
        let beyond = |d: &Dirt| d.travel - d.fresh;
        (self.wheels.iter())
            .map(|w| w.dirt.as_ref().map_or(0.0, beyond))
            .collect()
    }

    /// Tyres gather dirt over `span` s of turning as they do now.
    pub(super) fn gather_dirt(&mut self, body: &Body, span: f64) {
        let turning = body.axle.dot(body.w);
        for w in &mut self.wheels {
            let Some(dirt) = &mut w.dirt else { continue };
            let speed = body.s[w.group] - self.groups[w.group].kappa * turning;
            dirt.travel += speed.abs() * w.turns * w.radius * span;
            if dirt.travel - dirt.noted > WORTH_NOTING * dirt.length {
                [w.grip_peak, w.grip_sliding, w.adhesion] = dirt.note();
            }
        }
    }
}

impl Dirt {
    /// What is left of clean grips and adhesion after the travel so far, which is noted.
    fn note(&mut self) -> [f64; 3] {
        self.noted = self.travel;
        let left = laws::tyre::grip_left(self.loss, self.travel, self.length);
        self.clean.map(|c| c * left)
    }
}
