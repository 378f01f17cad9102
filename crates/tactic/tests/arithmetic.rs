//! Numbers: 16 bits, worked out in 32 and saturated. A value is made visible by driving it, in
//! pieces that fit the effort of ±1000.

mod common;

use common::{Bench, NOTHING};

/// The value of an expression, read off comparisons by halving.
#[track_caller]
fn value(expr: &str) -> i32 {
    let (mut least, mut most) = (-32768_i32, 32767_i32);
    while least < most {
        let middle = (least + most).div_euclid(2);
        // −32768 cannot be written down; the one smaller than −32767 is reached by subtraction.
        let limit = format!("({} - 1)", middle + 1);
        let mut bench = Bench::new(&format!(
            "state a {{\n go more when {expr} > {limit}\n wait\n}}\nstate more {{\n wait\n}}\n"
        ));
        bench.tick();
        if bench.doing() == "more" {
            least = middle + 1;
        } else {
            most = middle;
        }
    }
    least
}

#[test]
fn multiplication_binds_tighter_than_addition_and_both_go_from_the_left() {
    assert_eq!(value("2 + 3 * 4"), 14);
    assert_eq!(value("(2 + 3) * 4"), 20);
    assert_eq!(value("10 - 3 - 2"), 5);
    assert_eq!(value("100 / 5 / 2"), 10);
    assert_eq!(value("100 / 5 * 2"), 40);
    assert_eq!(value("-(2 + 3)"), -5);
}

#[test]
fn results_stop_at_the_ends_of_16_bits() {
    assert_eq!(value("32767 + 1"), 32767);
    assert_eq!(value("-32767 - 32767"), -32768);
    assert_eq!(value("300 * 300"), 32767);
    assert_eq!(value("300 * -300"), -32768);
    // Each operation stops by itself: what went over does not come back.
    assert_eq!(value("300 * 300 - 32767"), 0);
    assert_eq!(value("(-32767 - 1) / -1"), 32767, "+32768 does not fit");
}

#[test]
fn division_drops_the_fraction_toward_zero_as_in_c() {
    assert_eq!(value("7 / 2"), 3);
    assert_eq!(value("-7 / 2"), -3);
    assert_eq!(value("7 / -2"), -3);
    assert_eq!(value("-7 / -2"), 3);
    assert_eq!(value("1 / 2"), 0);
    assert_eq!(value("-1 / 2"), 0);
}

#[test]
fn anything_divided_by_zero_is_zero() {
    assert_eq!(value("5 / 0"), 0);
    assert_eq!(value("-5 / 0"), 0);
    assert_eq!(value("0 / 0"), 0);
    assert_eq!(value("share(5, 5, 0)"), 0);
}

#[test]
fn share_multiplies_in_32_bits_before_it_divides() {
    assert_eq!(value("share(300, 300, 100)"), 900);
    assert_eq!(
        value("300 * 300 / 100"),
        327,
        "the product alone stops at 32767"
    );
    assert_eq!(value("share(32767, 32767, 32767)"), 32767);
    assert_eq!(value("share(-7, 1, 2)"), -3);
    assert_eq!(value("share(1000, 1000, 1)"), 32767);
}

#[test]
fn units_turn_into_what_the_program_counts_in() {
    assert_eq!(value("90 %"), 900);
    assert_eq!(value("12.5%"), 125);
    assert_eq!(value("0.04 %"), 0, "rounded to the nearest per mille");
    assert_eq!(value("0.05 %"), 1);
    assert_eq!(value("150 mm"), 150);
    assert_eq!(value("15 cm"), 150);
    assert_eq!(value("200 ms"), 200);
    assert_eq!(value("1.5 s"), 1500);
    assert_eq!(value("4.5 deg"), 45);
    assert_eq!(value("-4 °"), -40);
    assert_eq!(value("1_000"), 1000);
}

#[test]
fn a_minus_behind_a_space_belongs_to_what_it_touches() {
    let mut bench = Bench::new(
        "constant cruise = 40 %\nstate a {\n drive -cruise -cruise for 10 ms\n drive cruise -30 % for 10 ms\n drive cruise - 30 % 5 for 10 ms\n drive (cruise) -(cruise - 1) for 10 ms\n}\n",
    );
    assert_eq!(
        bench.drives(4),
        [(-400, -400), (400, -300), (100, 5), (400, -399)]
    );
}

#[test]
fn brackets_may_begin_a_comparison_or_a_condition() {
    assert_eq!(value("(1 + 1) * 2"), 4);
    let mut bench = Bench::new(
        "counter n = 2\nstate a {\n go b when (n + 1) * 2 = 6 and (centre sees or (n > 1))\n wait\n}\nstate b {\n wait\n}\n",
    );
    bench.tick();
    assert_eq!(bench.doing(), "b");
}

#[test]
fn efforts_stop_at_full() {
    let mut bench = Bench::new(
        "state a {\n drive 32767 -32767 for 10 ms\n pivot 2000 left for 10 ms\n pivot -2000 left for 10 ms\n arc -5000 5000 right for 10 ms\n}\n",
    );
    assert_eq!(
        bench.drives(4),
        [(1000, -1000), (-1000, 1000), (1000, -1000), (1000, -1000)]
    );
}

#[test]
fn seeing_nothing_reads_as_the_greatest_number() {
    let mut bench = Bench::new("state a {\n drive centre 1000 - centre\n}\n");
    assert_eq!(bench.tick(), (1000, -1000));
    bench.set("centre", 300);
    assert_eq!(bench.tick(), (300, 700));
    bench.set("centre", NOTHING - 1);
    let sees = "state a {\n go b when centre sees\n wait\n}\nstate b {\n wait\n}\n";
    let mut bench = Bench::new(sees);
    bench.tick();
    assert_eq!(bench.doing(), "a");
    bench.set("centre", NOTHING - 1);
    bench.tick();
    assert_eq!(bench.doing(), "b");
}

#[test]
fn a_missing_reading_counts_as_zero() {
    let mut bench = Bench::new("state a {\n drive centre + 5 7\n}\n");
    let drive = bench.program.tick(&mut bench.memory, &[], 0);
    assert_eq!((drive.left, drive.right), (5, 7));
}
