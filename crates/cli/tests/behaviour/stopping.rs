//! Ctrl-C: what is known so far, marked as such.

use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

use crate::{PROGRAM, Ran};

/// How long an interrupted study may take to answer: the bouts under way take milliseconds, a
/// crowded machine takes its time.
const SOON_S: u32 = 20;

fn interrupt(child: &Child) {
    let mut kill = Command::new("kill");
    let done = kill.args(["-INT", &child.id().to_string()]).status();
    assert!(done.expect("kill is there").success());
}

/// Waits until the program listens to Ctrl-C: before, it would just end.
#[cfg(target_os = "linux")]
fn wait_until_it_listens(child: &Child) {
    for _ in 0..600 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", child.id()));
        let caught = status.unwrap_or_default().lines().find_map(|l| {
            let mask = l.strip_prefix("SigCgt:")?.trim();
            u64::from_str_radix(mask, 16).ok()
        });
        // SIGINT is signal 2, and bit k of the mask is signal k + 1.
        if caught.is_some_and(|mask| mask & 0b10 != 0) {
            return;
        }
        sleep(Duration::from_millis(50));
    }
    panic!("it never listens");
}

#[cfg(not(target_os = "linux"))]
fn wait_until_it_listens(_: &Child) {
    sleep(Duration::from_secs(5));
}

/// Starts a study that takes hours, interrupts it after a while and returns what it answers.
fn interrupted_study(arguments: &[&str]) -> Ran {
    let mut command = Command::new(PROGRAM);
    command.args(arguments).args(["--bouts", "1000000"]);
    interrupted(&mut command)
}

/// Starts what takes long, interrupts it after a while and returns what it answers.
pub(crate) fn interrupted(command: &mut Command) -> Ran {
    command.stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().expect("it starts");
    wait_until_it_listens(&child);
    sleep(Duration::from_millis(1500));
    interrupt(&child);
    for _ in 0..SOON_S * 20 {
        if child.try_wait().expect("it is ours").is_some() {
            return child.wait_with_output().expect("it has ended").into();
        }
        sleep(Duration::from_millis(50));
    }
    child.kill().expect("it is ours");
    panic!("no answer within {SOON_S} s of Ctrl-C");
}

#[test]
fn an_interrupted_study_answers_with_what_it_knows_says_so_and_exits_130() {
    let ran = interrupted_study(&["spar"]);
    assert_eq!(ran.status, Some(130), "{}", ran.stderr);
    assert!(ran.stdout.contains("PARTIAL"), "{}", ran.stdout);
    assert_eq!(ran.stderr, "");
}

#[test]
fn an_interrupted_study_is_marked_in_json_and_its_sums_still_hold() {
    let ran = interrupted_study(&["report", "--json"]);
    assert_eq!(ran.status, Some(130), "{}", ran.stderr);
    let answer: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
    assert_eq!(answer["partial"], true);
    let record = &answer["record"];
    let count = |key: &str| record[key].as_u64().unwrap();
    assert!((1..1_000_000).contains(&count("bouts")), "{record:#}");
    assert_eq!(
        count("bouts"),
        count("wins") + count("losses") + count("ties")
    );
}
