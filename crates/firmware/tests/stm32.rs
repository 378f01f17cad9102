//! A project on a 32-bit chip in an emulator that keeps a list of everything the program writes to the chip's
//! ports and timers: motors low before all else and never anything else before the start, the watchdog running.
//!
//! The emulator has the smaller sister of the chip (STM32F100, 8 KiB of memory), none of its ports, and inputs
//! that all read low: the button is held down, which is no start.

mod common;

use std::process::{Command, Stdio};
use std::time::Duration;

use common::projects::{board, built, can_build, class, project};
use common::shipped;
use common::tool;
use firmware::{Kind, Project};

/// A write: to what, which register, what.
type Write = (String, u32, u32);

/// `GPIOA: unimplemented device write (size 4, offset 0x010, value 0x01000000)`.
fn write(line: &str) -> Option<Write> {
    let (device, rest) = line.split_once(": unimplemented device write")?;
    let number = |after: &str| {
        let digits = rest.split_once(after)?.1;
        let end = digits.find([',', ')'])?;
        u32::from_str_radix(&digits[..end], 16).ok()
    };
    Some((device.to_owned(), number("offset 0x")?, number("value 0x")?))
}

/// Everything that is written until the watchdog has been fed `feeds` times.
fn writes(at: &std::path::Path, feeds: usize) -> Vec<Write> {
    let list = at.join("writes");
    let mut emulator = Command::new("qemu-system-arm")
        .args([
            "-M",
            "stm32vldiscovery",
            "-display",
            "none",
            "-monitor",
            "none",
        ])
        .args(["-serial", "null", "-d", "unimp", "-D"])
        .arg(&list)
        .arg("-kernel")
        .arg(at.join("robot.elf"))
        .stdin(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("it is here");
    let mut text = String::new();
    // The end is what it has written, not the time; the tries are only against an emulator that hangs.
    for _ in 0..600 {
        std::thread::sleep(Duration::from_millis(200));
        text = std::fs::read_to_string(&list).unwrap_or_default();
        if text.matches("value 0x0000aaaa").count() >= feeds {
            break;
        }
    }
    drop(emulator.kill());
    drop(emulator.wait());
    text.lines().filter_map(write).collect()
}

/// Port and bit of each line of the driver, and whether it makes pulses.
fn motors(project: &Project) -> Vec<(String, u32, bool)> {
    (project.wiring.iter())
        .filter(|c| c.item == "driver")
        .map(|c| {
            let (port, bit) = c.port.split_at(2);
            let port = port.replace('P', "GPIO");
            (
                port,
                bit.parse().expect("a bit"),
                c.signal.contains("pulses"),
            )
        })
        .collect()
}

#[test]
fn motors_are_low_first_and_stay_so_and_the_watchdog_runs() {
    if !(can_build(Kind::Stm32f103) & tool::is_there("qemu-system-arm")) {
        return;
    }
    let robot = shipped::robot("demo", |t| t);
    let mut made = project(&robot, &class("mini"), &board("stm32f103"));
    let script = made
        .files
        .iter_mut()
        .find(|f| f.path == "board.ld")
        .expect("it has one");
    let smaller = script.text.replace("LENGTH = 20480", "LENGTH = 8192");
    assert_ne!(smaller, script.text);
    script.text = smaller;
    let at = built("stm32", &made);
    let writes = writes(&at, 20);
    let motors = motors(&made);
    assert_eq!(motors.len(), 4);
    // Port A to C: low half of the modes at 0, high half at 4, set and reset at 0x10.
    let ports = |w: &Write| w.0.starts_with("GPIO");
    for (port, bit, _) in &motors {
        let own: Vec<&Write> = writes.iter().filter(|w| w.0 == *port).collect();
        let levels: Vec<u32> = own.iter().filter(|w| w.1 == 0x10).map(|w| w.2).collect();
        assert!(
            levels.iter().all(|v| v >> bit & 1 == 0),
            "{port} {bit} is never set"
        );
        let low = own
            .iter()
            .position(|w| w.1 == 0x10 && w.2 >> (bit + 16) & 1 == 1);
        let modes = if *bit < 8 { 0 } else { 4 };
        let mode = |w: &Write| w.2 >> (4 * (bit % 8)) & 0xF;
        // The emulator keeps no modes: each write shows one pin.
        let out = own.iter().position(|w| w.1 == modes && mode(w) == 2);
        assert!(
            low < out && low.is_some(),
            "{port} {bit}: low, and only then an output"
        );
        let timed = own.iter().any(|w| w.1 == modes && mode(w) == 0xA);
        assert!(!timed, "{port} {bit}: no timer drives it");
    }
    let first: Vec<&Write> = writes.iter().filter(|w| ports(w)).take(8).collect();
    assert!(
        first.iter().all(|w| motors.iter().any(|m| m.0 == w.0)),
        "the motors' lines come first: {first:?}"
    );
    for timer in writes
        .iter()
        .filter(|w| w.0.starts_with("timer") && (0x34..0x44).contains(&w.1))
    {
        assert_eq!(timer.2, 0, "no pulse before the start: {timer:?}");
    }
    let watchdog: Vec<u32> = writes
        .iter()
        .filter(|w| w.0 == "IWDG" && w.1 == 0)
        .map(|w| w.2)
        .collect();
    assert!(watchdog.contains(&0xCCCC), "it is started");
    assert!(
        watchdog.iter().filter(|v| **v == 0xAAAA).count() >= 20,
        "it is fed"
    );
}
