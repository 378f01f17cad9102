//! The tactic in C99 on this machine decides what the interpreter decides, bit for bit.

mod common;

use std::process::Command;

use common::{bench, invent, shipped, tool};
use tactic::{Ports, Program};

/// Warnings are errors, but those about conditions that can never hold: a tactic may ask such things.
/// Arithmetic that C leaves open ends the program.
const FLAGS: [&str; 14] = [
    "-std=c99",
    "-O1",
    "-Wall",
    "-Wextra",
    "-Wconversion",
    "-Wshadow",
    "-Wstrict-prototypes",
    "-Wmissing-prototypes",
    "-pedantic",
    "-Werror",
    "-Wno-type-limits",
    "-Wno-tautological-compare",
    "-fsanitize=undefined",
    "-fno-sanitize-recover=all",
];

/// Builds and runs it, and holds what it says against the interpreter.
fn same(name: &str, ports: &Ports, program: &Program, seed: u32, blocks: usize) {
    let at = tool::folder(&format!("host-{name}"), &firmware::c99(program, ports));
    let beside = tool::bench();
    tool::run(
        Command::new("gcc")
            .args(FLAGS)
            .arg("-I")
            .arg(&at)
            .arg("-I")
            .arg(&beside)
            .args([
                at.join("tactic.c"),
                beside.join("bench.c"),
                beside.join("host.c"),
            ])
            .arg("-o")
            .arg(at.join("bench")),
    );
    let said =
        tool::run(Command::new(at.join("bench")).args([seed.to_string(), blocks.to_string()]));
    let ours = bench::says(program, ports, seed, blocks);
    let theirs: Vec<&str> = said.lines().collect();
    let wrong = ours.iter().zip(&theirs).position(|(a, b)| a != b);
    assert_eq!(
        wrong,
        None,
        "{name}: the first block of 256 looks that differs; see {}",
        at.display()
    );
    assert_eq!(ours.len(), theirs.len(), "{name}");
}

#[test]
fn every_shipped_tactic_in_c_decides_the_same() {
    if !tool::is_there("gcc") {
        return;
    }
    for (name, ports, program) in shipped::robots() {
        let name = name.replace(['/', '.'], "-");
        same(&name, &ports, &program, 20_261_126, 40);
    }
}

#[test]
fn tactics_at_random_in_c_decide_the_same() {
    if !tool::is_there("gcc") {
        return;
    }
    let ports = invent::ports();
    for seed in 0..24 {
        let (text, program) = invent::tactic(seed);
        let at = tool::folder(&format!("invented-{seed}"), &[]);
        std::fs::write(at.join("invented.tactic"), text).expect("it can be written");
        let dice = u32::try_from(seed).expect("small") + 1;
        same(&format!("invented-{seed}"), &ports, &program, dice, 40);
    }
}
