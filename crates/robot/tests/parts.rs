//! The parts box that comes with the program.

use robot::PartsBox;

#[test]
fn the_parts_box_reads_without_a_complaint() {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    assert!(parts.entries().len() >= 40, "{}", parts.entries().len());
    for kind in ["part", "motor", "wheel", "skid", "blade", "battery", "driver", "board", "sensor"] {
        assert!(parts.entries().iter().any(|e| e.kind == kind), "no {kind}");
    }
}

#[test]
fn wheels_come_in_four_sizes_and_three_compounds() {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    for size in [22, 34, 42, 60] {
        for compound in ["rubber", "silicone", "urethane"] {
            assert!(parts.find(&format!("wheel-{size}-{compound}")).is_some());
        }
    }
}
