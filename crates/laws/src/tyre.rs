//! Grip of a rubber tyre.

use quantity::maths;

/// Grip at `load_n` of a tyre whose grip at `reference_n` is `grip`: μ = μ₀(N/N₀)^(−n). That rubber
/// grips less under more load is established (Fortunato, Ciaravola, Furno, Scaraggi, Lorenz,
/// Persson 2017, Tire Science and Technology 45(1), 25–54); n = 1/3 (smooth elastic sphere, from
/// memory) is an upper bound, not a property of ring tyres.
#[must_use]
pub fn grip_at_load(grip: f64, load_n: f64, reference_n: f64, exponent: f64) -> f64 {
    grip * maths::pow(load_n / reference_n, -exponent)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// Closed form 2^(1−n); direction from Fortunato et al. 2017.
    #[test]
    fn twice_the_load_does_not_hold_twice_as_much() {
        let force = |load: f64, n: f64| load * grip_at_load(1.0, load, 1.0, n);
        near(force(2.0, 1.0 / 3.0), 1.587, 1e-3);
        near(grip_at_load(1.0, 0.5, 1.0, 1.0 / 3.0), 1.260, 1e-3);
        near(force(2.0, 0.1), 1.866, 1e-3);
    }
}
