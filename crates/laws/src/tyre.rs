//! Grip of a rubber tyre.

use quantity::{Draws, maths};
use robot::{Surface, Tyre};

/// Grip at `load_n` of a tyre whose grip at `reference_n` is `grip`: μ = μ₀(N/N₀)^(−n). That rubber
/// grips less under more load is established (Fortunato, Ciaravola, Furno, Scaraggi, Lorenz,
/// Persson 2017, Tire Science and Technology 45(1), 25–54); n = 1/3 (smooth elastic sphere, from
/// memory) is an upper bound, not a property of ring tyres.
#[must_use]
pub fn grip_at_load(grip: f64, load_n: f64, reference_n: f64, exponent: f64) -> f64 {
    grip * maths::pow(load_n / reference_n, -exponent)
}

/// Grip of `compound` (in the builder's words) on `surface` as a multiple of that on clean painted
/// board. Common practice, no source: good to a quarter at best, so what a builder measured comes
/// first. Unknown compounds grip alike everywhere.
#[must_use]
pub fn surface_factor(compound: &str, surface: Surface) -> f64 {
    let words = compound.to_lowercase();
    // Painted board, wood, steel, vinyl, rubber.
    let row = if words.contains("silicone") {
        [1.0, 0.8, 1.05, 1.05, 1.1]
    } else if words.contains("urethane") {
        [1.0, 0.85, 0.95, 1.0, 1.05]
    } else if words.contains("rubber") {
        [1.0, 0.9, 0.85, 0.95, 1.1]
    } else {
        [1.0; 5]
    };
    match surface {
        Surface::PaintedBoard => row[0],
        Surface::Wood => row[1],
        Surface::Steel => row[2],
        Surface::Vinyl => row[3],
        Surface::Rubber => row[4],
    }
}

/// Grip of `tyre` of the thing called `name` on `surface` as a multiple of that on clean painted board:
/// what its builder says, else what is usual for its compound.
#[must_use]
pub fn factor_on(tyre: &Tyre, surface: Surface, draws: &Draws, name: &str) -> f64 {
    let stated = tyre.on.iter().find(|on| on.0 == surface);
    match stated {
        _ if surface == Surface::PaintedBoard => 1.0,
        Some((_, on)) => draws.of(on, name).max(0.0),
        None => surface_factor(&tyre.compound, surface),
    }
}

/// Share of its clean grip that a tyre has left after its tread has travelled `travel_m` since it was
/// cleaned: 1 − loss(1 − e^(−s/λ)). Dirt sticks to free spots only, so what is gathered per metre falls
/// as they fill; λ is `length_m`. First-order law, common practice, no source.
#[must_use]
pub fn grip_left(loss: f64, travel_m: f64, length_m: f64) -> f64 {
    1.0 - loss * (1.0 - maths::exp(-travel_m / length_m))
}

/// Grip as a multiple of the load with adhesion: μ + A/N, so that the limit is μN + A (Derjaguin 1934,
/// two-term law of friction, from memory).
#[must_use]
pub fn grip_with_adhesion(grip: f64, load_n: f64, adhesion_n: f64) -> f64 {
    grip + adhesion_n / load_n
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

    /// Closed form: 1 − 1/e of the loss after one length, all of it in the end.
    #[test]
    fn dirt_takes_grip_until_the_tyre_is_full() {
        near(grip_left(0.3, 0.0, 20.0), 1.0, 1e-12);
        near(grip_left(0.3, 20.0, 20.0), 0.810_364, 1e-6);
        near(grip_left(0.3, 1e4, 20.0), 0.7, 1e-9);
        // Two stages are as good as one of both lengths: ds of dirt depend on the dirt alone.
        let left = |s: f64| (grip_left(0.3, s, 20.0) - 0.7) / 0.3;
        near(left(7.0) * left(5.0), left(12.0), 1e-12);
    }

    #[test]
    fn a_sticky_tyre_holds_without_load() {
        for load in [0.01, 1.0, 10.0] {
            near(
                load * grip_with_adhesion(0.9, load, 0.2),
                0.9 * load + 0.2,
                1e-12,
            );
        }
    }

    #[test]
    fn surfaces_change_what_a_compound_is_worth_and_painted_board_is_the_measure() {
        for compound in ["silicone", "Soft Urethane", "hard rubber", "felt"] {
            near(surface_factor(compound, Surface::PaintedBoard), 1.0, 1e-12);
            near(surface_factor("felt", Surface::Steel), 1.0, 1e-12);
        }
        let on_steel = |c| surface_factor(c, Surface::Steel);
        assert!(on_steel("silicone 20A") > on_steel("hard rubber"));
    }
}
