//! The cycles counted beforehand for a look, operation by operation: programs that do hardly anything but one
//! of them, on an emulated chip.

mod common;

use common::invent;
use common::machine::Machine;

/// Blocks of 256 looks.
const BLOCKS: usize = 4;
/// How many times the operation stands in the program: what is around it is little beside that.
const TIMES: usize = 14;
/// The same of `share`, which nests.
const NESTED: usize = 8;
/// So much more than it takes may be counted.
const SLACK: f64 = 4.0;

/// What an operation is joined to in a value; the readings of sensors, so that nothing is worked out before.
fn values() -> [(&'static str, String); 5] {
    let chain = |first: &str, next: &str| format!("set n = {first}{}\n  wait", next.repeat(TIMES));
    [
        ("sums", chain("tilt", " + gyro - tilt")),
        ("products", chain("tilt", " * gyro")),
        ("quotients", chain("tilt", " / gyro")),
        (
            "shares",
            format!(
                "set n = {}tilt{}\n  wait",
                "share(gyro, amps, ".repeat(NESTED),
                ")".repeat(NESTED)
            ),
        ),
        (
            "dice",
            format!(
                "drive 1 1 until {}",
                vec!["chance tilt"; TIMES].join(" or ")
            ),
        ),
    ]
}

#[test]
fn no_operation_takes_more_than_is_counted_and_none_far_less() {
    if !Machine::Avr.is_here() {
        return;
    }
    let ports = invent::ports();
    for (name, step) in values() {
        let text = format!("counter n = 0\nstate a {{\n  {step}\n}}\n");
        let tactic = tactic::parse(name, &text).unwrap_or_else(|e| panic!("{name}: {e:#?}"));
        let program = tactic::compile(&tactic, &ports).unwrap_or_else(|e| panic!("{name}: {e:#?}"));
        let heard = Machine::Avr.hears(&format!("cycles-{name}"), &ports, &program, 11, BLOCKS);
        let (took, counted) = (
            heard.cycles.expect("it counts"),
            firmware::most_cycles(&program),
        );
        println!("{name}: {took} of {counted}");
        assert!(took <= counted, "{name}: {took} of {counted}");
        assert!(
            f64::from(counted) <= SLACK * f64::from(took),
            "{name}: {took} of {counted}"
        );
    }
}
