//! The numbers on the pages of `explain NAME` are those of the laws and statistics in use.

use laws::braking::{safe_speed_m_s, stopping_m};
use laws::motor::{Chain, Sheet};
use quantity::maths;
use study::{paired_difference, wilson, z_of};

/// Standard gravity as the pages round it, m/s².
const G: f64 = 9.81;

/// A page.
struct Page {
    name: &'static str,
    text: String,
}

fn page(name: &'static str) -> Page {
    let text = shelf::file(&format!("docs/explain/{name}.md"));
    Page {
        name,
        text: text.unwrap_or_else(|| panic!("no page {name}")),
    }
}

impl Page {
    /// Asserts that `value`, rounded to `digits` behind the point, stands on the page as a number
    /// of its own.
    #[track_caller]
    fn says(&self, value: f64, digits: usize) -> &Self {
        let number = format!("{value:.digits$}");
        let in_number = |c: char| c.is_ascii_digit() || c == '.';
        let words = self.text.split(|c: char| !in_number(c) && c != '-');
        let found = words
            .map(|w| w.trim_end_matches(['.', '-']))
            .any(|w| w == number || w.trim_start_matches('-') == number);
        assert!(found, "{} does not say {number}", self.name);
        self
    }
}

#[test]
fn intervals_are_those_of_the_record() {
    let w = wilson(165, 384, z_of(0.95));
    page("interval")
        .says(w.estimate, 3)
        .says(0.5 * (w.low + w.high), 3)
        .says(0.5 * (w.high - w.low), 3)
        .says(w.low, 3)
        .says(w.high, 3);
    for n in [100, 384, 1000, 4000] {
        let w = wilson(n / 2, n, z_of(0.95));
        page("interval").says(50.0 * (w.high - w.low), 1);
    }
    page("not-finite")
        .says(17_200.0 / 399.0, 1)
        .says(17_200.0 / 400.0, 1);
}

#[test]
fn differences_are_those_of_the_changes() {
    let same_draws = page("same-draws");
    for tried in [1.0, 8.0] {
        let z = z_of(1.0 - 0.05 / tried);
        let e = paired_difference(46, 8, 384, z);
        same_draws
            .says(z, 2)
            .says(100.0 * e.estimate, 1)
            .says(100.0 * e.low, 1)
            .says(100.0 * e.high, 1);
    }
    let spread = |p: f64| p * (1.0 - p) / 384.0;
    let apart = z_of(0.95) * (spread(203.0 / 384.0) + spread(165.0 / 384.0)).sqrt();
    same_draws.says(100.0 * apart, 1);
}

#[test]
fn stopping_distances_are_those_of_the_brakes() {
    page("edge-too-fast")
        .says(stopping_m(1.0, 0.006, 0.8 * G), 4)
        .says(safe_speed_m_s(0.060, 0.006, 0.8 * G), 2);
    page("edge-too-fast-backward")
        .says(stopping_m(0.8, 0.015, 0.6 * G), 3)
        .says(safe_speed_m_s(0.045, 0.015, 0.6 * G), 2);
    page("edge-seen-too-late").says(stopping_m(0.9, 0.012, 0.7 * G), 3);
    for name in ["reversed-out", "no-edge-sensor-behind"] {
        page(name).says(stopping_m(0.9, 0.12, 0.7 * G), 3);
    }
}

#[test]
fn pushes_are_those_of_motors_and_pack() {
    let small = Sheet {
        rated_v: 6.0,
        free_rad_s: 100.0,
        free_a: 0.1,
        stall_nm: 0.045,
        stall_a: 0.8,
    };
    let line = small.line(0.0, 1.0, 1.0);
    let volts = laws::battery::stalled_v(4.8, 0.15, 0.0, 2.0 * line.a_per_v);
    let push = |radius: f64| 2.0 * line.standing_nm(volts) / radius;
    page("motors-stall-first")
        .says(volts, 3)
        .says(push(0.030), 2)
        .says(push(0.020), 2)
        .says(0.9 * 0.8 * 0.45 * G, 2);
    let geared = Chain {
        sheet: small,
        series_ohm: 0.0,
        ratio: 1.0,
        efficiency: 1.0,
        box_efficiency: 0.75,
    };
    let hold = 2.0 * geared.line(1.0, 1.0).holding_nm(volts) / 0.030;
    let lost = laws::push::pair_acceleration_m_s2([6.5, hold], [0.45, 0.5]);
    page("pushed-motors-stalled")
        .says(push(0.030), 2)
        .says(hold, 2)
        .says(lost, 2);

    let strong = Sheet {
        stall_nm: 0.125,
        stall_a: 1.6,
        ..small
    }
    .line(0.0, 1.0, 1.0);
    let limited = 2.0 * (strong.nm_per_a * 0.5 - strong.drag_nm) / 0.017;
    let tyres = 1.1 * 0.5 * G;
    page("driver-limits-push")
        .says(limited, 1)
        .says(2.0 * strong.standing_nm(6.0) / 0.017, 1)
        .says(tyres, 1)
        .says((0.5 * 0.017 * tyres + strong.drag_nm) / strong.nm_per_a, 2);

    let sag = page("sag");
    for (resistance, digits) in [(0.08, 2), (0.04, 2)] {
        let volts = laws::battery::stalled_v(7.4, resistance, 0.0, 2.0 / 0.6);
        sag.says(100.0 * volts / 7.4, 0);
        if resistance > 0.05 {
            sag.says(volts, digits).says(volts / 0.6, digits);
        }
    }
    page("lithium-pack")
        .says(7.4 * 0.85, 1)
        .says(3.6 * 7.4 * 0.85, 1)
        .says(8.2 / 0.05, 0)
        .says(4.0 * laws::battery::most_power_w(8.2, 0.05), 0);
}

#[test]
fn shoves_are_those_of_statics() {
    let w = 0.5 * G;
    let [upper, lower] = laws::push::push_after_lift_n(w, 0.080, 0.040, 0.025, 0.003, 0.8);
    let carried = laws::transfer::raised_front_load_n(w, 0.080, 0.040, 0.025, 0.003);
    page("getting-under")
        .says(w, 3)
        .says(carried, 2)
        .says(0.8 * w, 2)
        .says(upper, 2)
        .says(lower, 2);
    page("lifted")
        .says(carried, 1)
        .says(0.8 * w, 1)
        .says(upper, 1)
        .says(lower, 1);
    let a = laws::push::pair_acceleration_m_s2([0.8 * w, 0.6 * w], [0.5, 0.5]);
    page("pushed-tyres-slid")
        .says(0.6 * w, 2)
        .says(0.8 * w, 2)
        .says(a, 2)
        .says((2.0 * 0.3 / a).sqrt(), 2);
    let a = laws::push::pair_acceleration_m_s2([0.8 * w, 0.0], [0.5, 0.5]);
    page("gave-way")
        .says(a, 2)
        .says(0.5 * a * 0.04, 3)
        .says(0.2 * a, 2);
    page("weighed-only")
        .says(0.8 * w, 2)
        .says(0.8 * (w + 6.0), 2);
    page("mass-unused")
        .says(0.9 * 0.43 * G, 2)
        .says(0.9 * w, 2)
        .says(100.0 * (1.0 - 0.43 / 0.5), 0);
}

#[test]
fn balances_are_those_of_statics() {
    page("tipped")
        .says(laws::tilt::tips_at_rad(0.040, 0.060).to_degrees(), 1)
        .says(4.9 * 0.040 / 0.030, 1);
    page("tips-backward")
        .says(laws::tilt::tips_at_g(0.012, 0.030), 1)
        .says(laws::tilt::tips_at_g(0.020, 0.022), 2);
    // Base 61 mm; the front of the law is the blade's tip.
    let share =
        |centre_mm: f64| laws::transfer::axle_loads_n(1.0, 61.0, 49.0 - centre_mm, 1.0, 0.0)[1];
    page("light-on-wheels")
        .says(100.0 * share(25.0), 0)
        .says(100.0 * share(5.0), 0);
    let [tip, _] = laws::transfer::axle_loads_n(4.4, 61.0, 67.0, 1.0, 0.0);
    page("does-not-stand").says(-tip, 2);
    assert!(tip < 0.0);
}

#[test]
fn grips_angles_and_turns_are_those_of_the_laws() {
    let grip = page("grip");
    for degrees in [34.0_f64, 35.0, 36.0] {
        grip.says(laws::tilt::grip_from_slip_angle(degrees.to_radians()), 2);
    }
    grip.says(2.0 * laws::tyre::grip_at_load(1.0, 2.0, 1.0, 0.1), 2);
    let seen = 2.0 * laws::view::half_angle_rad(0.050, 0.300).to_degrees();
    page("blind-ahead").says(seen, 0);
    let (v, turn, radius) = laws::push::differential_drive(0.0, 0.8, 0.086);
    page("motor-never-driven")
        .says(v, 1)
        .says(turn, 1)
        .says(turn / maths::TAU, 1)
        .says(radius, 3);
}

#[test]
fn a_folded_reading_is_that_of_the_model() {
    let folded = |d: f64| 30.0 / (0.3 + 0.7 * d / 30.0);
    page("folds-back").says(folded(9.0), 0).says(folded(0.0), 0);
}

#[test]
fn errors_and_chances_add_up() {
    let both = maths::hypot;
    page("unknowns")
        .says(both(0.10, 0.12), 3)
        .says(both(0.03, 0.12), 3);
    // Room at which a figure passes 95 times of 100, for what it and the event's instrument are off by.
    let sure =
        |spread: f64, instrument: f64| 1.645 / quantity::HALF_WIDTH_95 * both(spread, instrument);
    page("length-close")
        .says(both(0.5, 0.5), 2)
        .says(sure(both(0.5, 0.5), 0.2), 2);
    page("width-close").says(sure(both(0.7, 0.7), 0.2), 2);
    page("height-close").says(sure(0.4, 0.1), 2);
    page("least-length-close").says(sure(0.6, 0.3), 2);
    page("least-width-close")
        .says(both(0.5, 0.5), 2)
        .says(sure(both(0.5, 0.5), 0.3), 2);
    page("least-mass-close").says(sure(0.012, 0.003), 4);
    page("mass-close")
        .says(both(3.0, 4.0), 0)
        .says(sure(5.0, 1.0), 1);
    let sigma = both(4.0, 1.0) / quantity::HALF_WIDTH_95;
    page("odds-of-passing")
        .says(sigma, 2)
        .says(quantity::normal_below(2.0 / sigma), 2);
    let looks = (60.0_f64 / 0.87).round();
    page("timed-out")
        .says(looks, 0)
        .says(maths::pow(0.9, looks), 4);
    let rates = [15.0, 30.0, 42.0, 50.0, 62.0, 80.0];
    let changed = [23.0, 41.0, 55.0, 58.0, 70.0, 88.0];
    let mean = |r: [f64; 6]| r.iter().sum::<f64>() / 6.0;
    page("field")
        .says(mean(rates), 1)
        .says(mean(changed), 1)
        .says(mean(rates) - 5.0, 1)
        .says(mean(changed) - 5.0, 1)
        .says(mean(changed) - mean(rates), 1);
}
