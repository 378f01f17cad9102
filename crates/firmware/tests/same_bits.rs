//! A tactic written for a controller decides what the interpreter decides, bit for bit.
//!
//! Every tactic of the robots that come with the program, and tactics invented from the grammar, are
//! shown the same adversarial readings, pauses and dice everywhere: numbers at both ends, clocks that
//! stand still and wrap. `RINGWRIGHT_TACTICS` sets how many are invented.

mod common;

use common::machine::{Heard, Machine, same};
use common::{invent, seeded, shipped, tool};
use tactic::Program;

/// Blocks of 256 looks for each tactic: 300 tactics make a million looks.
const BLOCKS: usize = 14;

/// How many tactics are invented, if nobody says otherwise.
const INVENTED: u64 = 12;

/// A fifth of a look of 5 ms at 16 MHz, in cycles.
const MOST_CYCLES: u32 = 16_000;

fn shipped_decide_the_same(machine: Machine) {
    if !machine.is_here() {
        return;
    }
    for one in shipped::robots() {
        let (name, ports, program) = (one.name, one.ports, one.program);
        let name = name.replace(['/', '.'], "-");
        let heard = same(machine, &name, &ports, &program, 20_261_126, BLOCKS);
        // Cycles of an emulator, the same in each run: no clock.
        assert!(
            heard.cycles.is_none_or(|n| n < MOST_CYCLES),
            "{name}: {heard:?}"
        );
        counted(&name, &heard, &program);
    }
}

fn invented_decide_the_same(machine: Machine) {
    if !machine.is_here() {
        return;
    }
    let count = std::env::var("RINGWRIGHT_TACTICS").map_or(INVENTED, |n| {
        n.parse().expect("RINGWRIGHT_TACTICS is a whole number")
    });
    let ports = invent::ports();
    for seed in 0..count {
        let (text, program) = seeded::tactic(seed);
        let name = format!("invented-{seed}");
        let file = firmware_file(&text);
        tool::folder(&format!("{machine:?}-{name}"), &[file]);
        let dice = u32::try_from(seed).expect("not that many") + 1;
        let heard = same(machine, &name, &ports, &program, dice, BLOCKS);
        counted(&name, &heard, &program);
    }
}

/// No look takes more cycles than were counted for it beforehand.
fn counted(name: &str, heard: &Heard, program: &Program) {
    let most = firmware::most_cycles(program);
    assert!(
        heard.cycles.is_none_or(|n| n <= most),
        "{name}: {heard:?} of {most}"
    );
}

/// The text beside the program written from it, for whoever looks into a difference.
fn firmware_file(text: &str) -> firmware::File {
    firmware::File {
        path: "invented.tactic".into(),
        text: text.into(),
    }
}

#[test]
fn shipped_tactics_in_c_on_this_machine() {
    shipped_decide_the_same(Machine::Host);
}

#[test]
fn invented_tactics_in_c_on_this_machine() {
    invented_decide_the_same(Machine::Host);
}

#[test]
fn shipped_tactics_on_an_8_bit_controller() {
    shipped_decide_the_same(Machine::Avr);
}

#[test]
fn invented_tactics_on_an_8_bit_controller() {
    invented_decide_the_same(Machine::Avr);
}

#[test]
fn shipped_tactics_on_a_32_bit_controller() {
    shipped_decide_the_same(Machine::Cortex);
}

#[test]
fn invented_tactics_on_a_32_bit_controller() {
    invented_decide_the_same(Machine::Cortex);
}

#[test]
fn shipped_tactics_in_micropython() {
    shipped_decide_the_same(Machine::MicroPython);
}

#[test]
fn invented_tactics_in_micropython() {
    invented_decide_the_same(Machine::MicroPython);
}
