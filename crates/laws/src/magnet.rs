//! Pull of a magnet on steel across a gap.

/// Pull in N across `gap_m` of a magnet that pulls `touching_n` when it touches: F₀/(1 + g/g₀)², where
/// `reach_m` is g₀. Shape: the magnetic circuit of a magnet of length l with one gap and no leakage has
/// the flux density B = B_r/(1 + μ_r g/l), so g₀ = l/μ_r, and steel is pulled with B²A/2μ₀ (Fitzgerald,
/// Kingsley, Umans, *Electric Machinery*, chapter 1, from memory). With leakage the same shape holds over
/// gaps of some g₀ with a smaller g₀: fit it to pulls at two gaps. The face touches at gap 0; below that
/// the pull is that of touching.
#[must_use]
pub fn pull_n(touching_n: f64, reach_m: f64, gap_m: f64) -> f64 {
    let share = 1.0 / (1.0 + gap_m.max(0.0) / reach_m);
    touching_n * share * share
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// Closed form: a quarter at g₀, a ninth at twice that.
    #[test]
    fn a_quarter_of_the_pull_is_left_at_the_reach() {
        near(pull_n(40.0, 2e-3, 0.0), 40.0, 1e-12);
        near(pull_n(40.0, 2e-3, 2e-3), 10.0, 1e-12);
        near(pull_n(40.0, 2e-3, 4e-3), 40.0 / 9.0, 1e-12);
        near(pull_n(40.0, 2e-3, -1e-4), 40.0, 1e-12);
    }

    /// Without leakage the pull is that of the field: 1.2 T across a gap of a fifth of a magnet's length
    /// over 1 cm² is (1.2/1.2)²/2μ₀·1e-4 = 39.8 N (μ_r = 1; B²A/2μ₀).
    #[test]
    fn it_is_the_pull_of_a_circuit_without_leakage() {
        let (area, length, field) = (1e-4, 5e-3, 1.2_f64);
        let vacuum = 2.0 * quantity::maths::TAU * 1e-7;
        let touching = field * field * area / (2.0 * vacuum);
        near(pull_n(touching, length, 1e-3), 39.789, 1e-4);
    }
}
