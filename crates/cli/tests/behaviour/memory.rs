//! A study's memory does not grow with its bouts, save for the few bytes kept of each.

use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

use crate::PROGRAM;

/// What 180 more bouts may add to the peak of 8 MB. Measured: nothing (and 0.3 MB for 4500 more of a
/// release build: some 60 bytes a bout are kept). The frames of a bout alone are some 0.1 MB, so
/// keeping them would add 18 MB.
const GROWTH_KB: u64 = 4_000;

/// Largest resident memory in kB that was seen while `bouts` were fought.
fn peak_kb(bouts: &str) -> u64 {
    let mut command = Command::new(PROGRAM);
    command.args(["spar", "--threads", "2", "--bouts", bouts]);
    let mut child = command.stdout(Stdio::null()).spawn().expect("it starts");
    let file = format!("/proc/{}/status", child.id());
    let mut peak = 0;
    while child.try_wait().expect("it is ours").is_none() {
        let status = std::fs::read_to_string(&file).unwrap_or_default();
        let line = status.lines().find_map(|l| l.strip_prefix("VmHWM:"));
        let kb = line.and_then(|l| l.trim().strip_suffix("kB")?.trim().parse().ok());
        peak = peak.max(kb.unwrap_or(0));
        sleep(Duration::from_millis(5));
    }
    assert!(child.wait().expect("it has ended").success());
    peak
}

#[test]
fn ten_times_the_bouts_take_no_more_memory() {
    let (few, many) = (peak_kb("20"), peak_kb("200"));
    assert!(few > 1_000, "{few} kB is no program");
    assert!(many < few + GROWTH_KB, "{few} kB, then {many} kB");
}
