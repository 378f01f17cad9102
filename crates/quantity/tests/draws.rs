//! Keyed draws: shared where they must be, separate where they must be, and of the right width.

use quantity::{Draws, Figure, Length, Origin, Stream};

fn figure(path: &str, unsure: f64, varies: f64) -> Figure<Length> {
    Figure::new(0.1, Origin::Stated, path).with_spread(unsure, varies)
}

fn draws(n: u64) -> Draws {
    Draws::keyed(Stream::root(5).numbered(n))
}

#[test]
fn copies_share_what_is_not_known_and_differ_in_what_varies() {
    let unsure = figure("parts/wheel/radius", 0.01, 0.0);
    let varies = figure("parts/wheel/radius", 0.0, 0.01);
    let d = draws(1);
    assert_eq!(
        d.of(&unsure, "left").to_bits(),
        d.of(&unsure, "right").to_bits()
    );
    assert_ne!(
        d.of(&varies, "left").to_bits(),
        d.of(&varies, "right").to_bits()
    );
}

#[test]
fn a_nominal_robot_has_its_nominal_figures() {
    assert_eq!(
        Draws::nominal().of(&figure("x", 0.1, 0.1), "a").to_bits(),
        0.1_f64.to_bits()
    );
}

#[test]
fn the_half_width_holds_95_per_cent_of_the_draws() {
    let f = figure("x", 0.02, 0.0);
    let n = 20_000;
    let inside = (0..n)
        .filter(|i| (draws(*i).of(&f, "a") - 0.1).abs() <= 0.02)
        .count();
    // Standard error of the share is 0.0015; measured 0.9500 ± 0.002.
    assert!((inside as f64 / n as f64 - 0.95).abs() < 0.006, "{inside}");
}

#[test]
fn uniform_numbers_are_level() {
    let n = 20_000;
    let mean = (0..n)
        .map(|i| Stream::root(1).numbered(i).uniform())
        .sum::<f64>()
        / n as f64;
    assert!((mean - 0.5).abs() < 0.01, "{mean}");
}
