//! Looking for somebody on a round ring: how long it takes, and when it matters.

use quantity::maths::{self, PI, TAU};

/// Share of the horizon that a beam of this full opening angle in rad covers: what it sees at once
/// when the bearing may be any.
#[must_use]
pub fn seen_at_once(beam_rad: f64) -> f64 {
    (beam_rad / TAU).clamp(0.0, 1.0)
}

/// Mean time in s until a beam of this full opening angle in rad, turning round once in `turn_s`, meets
/// something in reach at any bearing: T(1 − β/2π)²/2. With the chance β/2π it is seen at once, else after a
/// wait that is even over the rest of the turn.
#[must_use]
pub fn mean_wait_s(turn_s: f64, beam_rad: f64) -> f64 {
    let unseen = 1.0 - seen_at_once(beam_rad);
    0.5 * turn_s * unseen * unseen
}

/// Mean distance in m of two even random points of a disc of `radius_m`: 128 R/45π (MIT, *Urban Operations
/// Research*, problem 3.20; constant from memory).
#[must_use]
pub fn mean_distance_m(radius_m: f64) -> f64 {
    128.0 * radius_m / (45.0 * PI)
}

/// Share of pairs of even random points of a disc of `radius_m` that are within `reach_m` of each other:
/// F = 1 + (2/π)(4q² − 1) acos q − (2q/π)(1 + 2q²)√(1 − q²) with q = reach/2R (disc line picking; from
/// memory, confirmed by counting).
#[must_use]
pub fn share_within(reach_m: f64, radius_m: f64) -> f64 {
    let q = reach_m / (2.0 * radius_m);
    if q >= 1.0 {
        return 1.0;
    }
    if q <= 0.0 {
        return 0.0;
    }
    1.0 + 2.0 / PI * (4.0 * q * q - 1.0) * maths::acos(q)
        - 2.0 * q / PI * (1.0 + 2.0 * q * q) * (1.0 - q * q).sqrt()
}

/// Mean length in m of a chord between two even random points of the rim of a circle: 4 R/π.
#[must_use]
pub fn chord_between_points_m(radius_m: f64) -> f64 {
    4.0 * radius_m / PI
}

/// Mean length in m of the chord that a random straight line cuts from a circle, even in direction and in
/// distance: π R/2 (Cauchy; from memory). Not the same as a chord between two random points.
#[must_use]
pub fn chord_of_lines_m(radius_m: f64) -> f64 {
    0.5 * PI * radius_m
}

/// Mean way in m from an even random point of a disc straight on in a random direction to the rim:
/// 8 R/3π.
#[must_use]
pub fn run_to_rim_m(radius_m: f64) -> f64 {
    8.0 * radius_m / (3.0 * PI)
}

/// Time in s to sweep an area once, line beside line without overlap or turning: A/(w v).
#[must_use]
pub fn cover_s(area_m2: f64, width_m: f64, speed_m_s: f64) -> f64 {
    area_m2 / (width_m * speed_m_s)
}

/// Chance that a random search of an area has met what stands still in it after `time_s`:
/// 1 − e^(−w v t/A) (Koopman; as in "A Brief Intro to Search Theory", sarbayes.org).
#[must_use]
pub fn found_by_chance(area_m2: f64, width_m: f64, speed_m_s: f64, time_s: f64) -> f64 {
    1.0 - maths::exp(-time_s / cover_s(area_m2, width_m, speed_m_s))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;
    use crate::view::half_angle_rad;

    /// A turn a second: a thin beam waits half a turn; 30° 0.4201 s, and 8.33 % are seen at once (closed
    /// form; counting agreed).
    #[test]
    fn a_turning_beam_waits_half_a_turn_less_what_it_sees_at_once() {
        near(mean_wait_s(1.0, 0.0), 0.5, 1e-12);
        let beam = 30.0_f64.to_radians();
        near(mean_wait_s(1.0, beam), 0.4201, 1e-3);
        near(seen_at_once(beam), 0.0833, 1e-3);
    }

    /// 50 mm of radius at 350 mm widen a beam of 30° to 46.43°: 0.3794 s (closed form).
    #[test]
    fn an_opponent_of_some_size_is_met_sooner() {
        let wide = 30.0_f64.to_radians() + 2.0 * half_angle_rad(0.05, 0.35);
        near(wide.to_degrees(), 46.43, 1e-3);
        near(mean_wait_s(1.0, wide), 0.3794, 1e-3);
    }

    /// 0.9054 R: 0.3486 m on 77 cm, 0.6972 m on 154 cm (MIT, *Urban Operations Research*, problem 3.20).
    #[test]
    fn two_robots_are_nearly_a_radius_apart() {
        near(mean_distance_m(0.385), 0.3486, 1e-3);
        near(mean_distance_m(0.77), 0.6972, 1e-3);
    }

    /// A reach of 0.8 m holds everybody on 77 cm and 61.67 % on 154 cm; on 77 cm 0.4 m holds 62 % and
    /// 0.15 m 13 % (disc line picking; counting of 400 000 pairs agreed).
    #[test]
    fn the_same_reach_holds_everybody_on_a_small_ring_and_not_on_a_large_one() {
        near(share_within(0.8, 0.385), 1.0, 1e-12);
        near(share_within(0.8, 0.77), 0.6167, 1e-3);
        near(share_within(0.4, 0.385), 0.62, 1e-2);
        near(share_within(0.15, 0.385), 0.13, 5e-2);
        assert!(share_within(0.0, 0.385).abs() < 1e-12);
    }

    /// 4/π, π/2 and 8/3π of a radius (PlanetMath and MathWorld, "Circle Line Picking", for the first; the
    /// others from memory). The second is checked by averaging 2√(R² − d²) over d, the third as the mean
    /// over directions and points of the way to the rim.
    #[test]
    fn the_three_mean_chords_are_not_one() {
        near(chord_between_points_m(1.0), 1.2732, 1e-4);
        near(chord_of_lines_m(10.0), 15.708, 1e-4);
        near(run_to_rim_m(1.0), 0.8488, 1e-4);
        let n = 2000;
        let middle = |k: i32| (f64::from(k) + 0.5) / f64::from(n);
        let lines: f64 = (0..n)
            .map(|k| 2.0 * (1.0 - middle(k) * middle(k)).sqrt())
            .sum();
        near(lines / f64::from(n), chord_of_lines_m(1.0), 1e-3);
        let mut runs = 0.0;
        for k in 0..200 {
            // Even over the area: r = √u.
            let r = ((f64::from(k) + 0.5) / 200.0).sqrt();
            for j in 0..200 {
                let a = TAU * (f64::from(j) + 0.5) / 200.0;
                let across = r * maths::sin(a);
                runs += (1.0 - across * across).sqrt() - r * maths::cos(a);
            }
        }
        near(runs / 40_000.0, run_to_rim_m(1.0), 1e-3);
    }

    /// 154 cm, 0.30 m wide at 0.50 m/s: 12.42 s line by line, 6.21 s on average; a random search has found
    /// 63.2 % by then. 77 cm: 3.10 s (closed form; the random law as in sarbayes.org, "A Brief Intro to
    /// Search Theory").
    #[test]
    fn a_random_search_takes_twice_as_long_as_an_orderly_one() {
        let area = |d: f64| 0.25 * PI * d * d;
        near(area(1.54), 1.8627, 1e-4);
        let cover = cover_s(area(1.54), 0.3, 0.5);
        near(cover, 12.42, 1e-3);
        near(0.5 * cover, 6.21, 1e-3);
        near(found_by_chance(area(1.54), 0.3, 0.5, cover), 0.632, 1e-3);
        near(cover_s(area(0.77), 0.3, 0.5), 3.10, 2e-3);
    }
}
