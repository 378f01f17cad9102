//! Friction of a contact: one patch with one combined limit.
//!
//! In the two directions d (along) and t (across) the impulse that stops all slip is
//! λ* = K⁻¹b with b = Kλ − u. If |λ*| ≤ μλ_n the patch sticks. Else it slides and the impulse is
//! (K + σ)⁻¹b with σ such that |λ| = μλ_n: then the remaining slip is −σλ, straight against the
//! friction, whatever the directions' very different K (along a wheel K is about eight times K
//! across it). σ by Newton on 1/|λ|, started from the last substep's.

use super::contact::Contact;

/// A Newton step on σ below this share of K ends the search.
const SMALL_STEP: f64 = 1e-2;

/// K of a friction patch: change of slip per unit impulse.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Patch {
    along: f64,
    mixed: f64,
    across: f64,
    /// 1/det K.
    share: f64,
}

impl Patch {
    /// From the entries of K.
    pub(super) fn new(along: f64, mixed: f64, across: f64) -> Self {
        Self {
            along,
            mixed,
            across,
            share: 1.0 / (along * across - mixed * mixed),
        }
    }
}

impl Contact {
    /// The friction's new impulses at `slip`; the change.
    #[inline]
    pub(super) fn rub(&mut self, patch: &Patch, slip: [f64; 2]) -> [f64; 2] {
        let old = [self.impulse[1], self.impulse[2]];
        let b = [
            patch.along * old[0] + patch.mixed * old[1] - slip[0],
            patch.mixed * old[0] + patch.across * old[1] - slip[1],
        ];
        let mut new = solve_two(patch.along, patch.mixed, patch.across, b, patch.share);
        let limit = self.impulse[0]
            * if self.sliding {
                self.grip_sliding
            } else {
                self.grip_peak
            };
        self.sliding = new[0] * new[0] + new[1] * new[1] > limit * limit;
        if self.sliding {
            let limit = self.impulse[0] * self.grip_sliding;
            new = self.slide(patch, b, limit);
        }
        self.impulse[1] = new[0];
        self.impulse[2] = new[1];
        [new[0] - old[0], new[1] - old[1]]
    }

    /// Impulse of length `limit` that opposes the slip it leaves over.
    fn slide(&mut self, patch: &Patch, b: [f64; 2], limit: f64) -> [f64; 2] {
        if limit <= 0.0 {
            self.sigma = 0.0;
            return [0.0; 2];
        }
        let mut sigma = self.sigma.max(0.0);
        for _ in 0..3 {
            // All times det(K + σ), which cancels: dividing by it first would wait for a division
            // in what is the longest chain of dependent sums of a bout.
            let (p, r) = (patch.along + sigma, patch.across + sigma);
            let det = p * r - patch.mixed * patch.mixed;
            let new = solve_two(p, patch.mixed, r, b, 1.0);
            let square = new[0] * new[0] + new[1] * new[1];
            let m = solve_two(p, patch.mixed, r, new, 1.0);
            let slope = new[0] * m[0] + new[1] * m[1];
            if slope <= 0.0 {
                break;
            }
            // 1/|λ| is convex and nearly straight in σ, so these steps go monotonically; they
            // converge quadratically, so a step this small leaves an error of its square.
            let step = (square.sqrt() - limit * det) * square / (limit * slope);
            sigma = (sigma + step).max(0.0);
            if step.abs() < SMALL_STEP * p {
                break;
            }
        }
        self.sigma = sigma;
        let (p, r) = (patch.along + sigma, patch.across + sigma);
        // Only the direction counts: the length is set to the limit.
        let new = solve_two(p, patch.mixed, r, b, 1.0);
        let length = (new[0] * new[0] + new[1] * new[1]).sqrt();
        let scale = if length > 0.0 { limit / length } else { 0.0 };
        [new[0] * scale, new[1] * scale]
    }
}

/// Solution of the symmetric system ((p, q), (q, r)) x = b, with `share` 1/(pr − q²).
#[inline]
fn solve_two(p: f64, q: f64, r: f64, b: [f64; 2], share: f64) -> [f64; 2] {
    [(r * b[0] - q * b[1]) * share, (p * b[1] - q * b[0]) * share]
}
