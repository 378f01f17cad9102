//! Whatever the process does wrong, the bout is over soon, says what, and leaves nobody behind.

use bout::{Cause, End};
use runner::drive::{About, Ended, Failure, NotLaunched, Own, What};

use crate::bench::{about, driven, mock, pit, word};

/// Time for an answer in ms where it is not what is tried: a crowded machine takes its time.
const PLENTY_MS: u64 = 20_000;
/// A limit that is meant to be too short.
const SHORT_MS: u64 = 2_000;

/// Whether a process is still there, a zombie included.
#[cfg(unix)]
fn is_there(pid: &str) -> bool {
    let mut ask = std::process::Command::new("kill");
    let asked = ask.args(["-0", pid]).output().expect("kill is there");
    asked.status.success()
}

#[cfg(not(unix))]
fn is_there(_pid: &str) -> bool {
    false
}

/// A bout whose driver does `how` at look `at`.
#[track_caller]
fn failed(how: &str, at: u32, limit_ms: u64) -> (Failure, Vec<String>) {
    let command = format!("{} {how} {at}", word(mock()));
    let (record, ended) = driven(&pit("demo", "mini/anvil"), 1, &command, limit_ms);
    // The first robot sits in the second seat in odd bouts.
    assert_eq!(record.outcome.end, End::Abandoned { seat: 1 }, "{ended:?}");
    assert_eq!(record.outcome.cause, Cause::ProgramFailed);
    let Ended {
        failure,
        last_words: stderr,
    } = ended;
    for pid in stderr.iter().filter_map(|l| l.strip_prefix("pid ")) {
        assert!(!is_there(pid), "{how}: {pid} is still there");
    }
    (failure.expect("it failed"), stderr)
}

#[test]
fn one_that_dies_says_how_at_which_look_and_its_last_words() {
    let (failure, stderr) = failed("dies-at-start", 0, PLENTY_MS);
    assert_eq!(failure.what, What::Ended("with exit status 3".into()));
    assert_eq!((failure.answered, failure.ms), (None, 0));
    assert!(stderr[0].starts_with("pid "), "{stderr:?}");
    let (failure, _) = failed("dies", 1, PLENTY_MS);
    assert_eq!(failure.what, What::Ended("with exit status 7".into()));
    assert_eq!((failure.answered, failure.ms), (Some(0), 0));
    let (failure, stderr) = failed("dies", 20, PLENTY_MS);
    assert_eq!(failure.what, What::Ended("with exit status 7".into()));
    assert_eq!(failure.answered, Some(19));
    assert!((100..400).contains(&failure.ms), "{failure:?}");
    assert_eq!(stderr.len(), 1);
}

#[test]
fn one_that_is_late_is_not_waited_for() {
    let (failure, _) = failed("sleeps", 20, SHORT_MS);
    assert_eq!(failure.what, What::Late(SHORT_MS));
    assert_eq!(failure.answered, Some(19));
    let (failure, _) = failed("is-never-ready", 0, SHORT_MS);
    assert_eq!(failure.what, What::Late(5000));
    assert_eq!(failure.answered, None);
}

#[test]
fn one_that_writes_no_answers_is_shown_what_it_wrote() {
    let wrong = |how| match failed(how, 3, PLENTY_MS).0 {
        Failure {
            what: What::Wrong { line, complaints },
            answered: Some(2),
            ..
        } => (line, complaints),
        other => panic!("{other:?}"),
    };
    let (line, complaints) = wrong("writes-garbage");
    assert_eq!((line.as_str(), complaints.len()), ("\u{FFFD}[31mhello", 1));
    assert_eq!(wrong("writes-bytes").0, "\u{FFFD}\u{FFFD}");
    let (line, complaints) = wrong("writes-nonsense");
    assert!(
        line.starts_with("{\"left\":2000") && complaints.len() == 4,
        "{complaints:?}"
    );
}

#[test]
fn one_that_writes_without_end_fills_nothing() {
    for how in ["writes-without-end", "writes-a-huge-line"] {
        assert_eq!(failed(how, 2, PLENTY_MS).0.what, What::Endless, "{how}");
    }
    let (failure, _) = failed("writes-lines-without-end", 2, PLENTY_MS);
    let What::Unasked(line) = &failure.what else {
        panic!("{failure:?}")
    };
    assert_eq!(line, "{\"left\":0,\"right\":0}");
}

#[test]
#[cfg(unix)]
fn one_that_closes_its_output_has_said_that_it_is_done() {
    let (failure, _) = failed("closes-its-output", 4, PLENTY_MS);
    assert_eq!((failure.what, failure.answered), (What::Closed, Some(3)));
}

#[test]
#[cfg(unix)]
fn what_it_started_is_ended_with_it() {
    let (failure, stderr) = failed("leaves-somebody-behind", 2, SHORT_MS);
    // Whoever is left holds its output open, so that it is late at first sight.
    assert_eq!(failure.what, What::Ended("with exit status 5".into()));
    let left = stderr.iter().find_map(|l| l.strip_prefix("left "));
    let left = left.unwrap_or_else(|| panic!("{stderr:?}")).to_owned();
    // Once ended it waits to be reaped by whoever takes in orphans.
    for _ in 0..200 {
        if !is_running(&left) {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(25));
    }
    panic!("{left} still runs");
}

/// Whether a process is there and no zombie.
#[cfg(unix)]
fn is_running(pid: &str) -> bool {
    let mut ask = std::process::Command::new("ps");
    let told = ask.args(["-o", "stat=", "-p", pid]).output();
    match told {
        Ok(told) => {
            let state = String::from_utf8_lossy(&told.stdout);
            !state.trim().is_empty() && !state.trim().starts_with('Z')
        }
        Err(_) => is_there(pid),
    }
}

#[test]
fn a_flood_of_errors_blocks_nothing() {
    let command = format!("{} floods-its-errors", word(mock()));
    let (record, ended) = driven(&pit("demo", "mini/anvil"), 0, &command, PLENTY_MS);
    assert_eq!(ended.failure, None);
    assert!(!matches!(record.outcome.end, End::Abandoned { .. }));
    assert!(
        ended.last_words.len() == 10 && ended.last_words[9] == "end",
        "{:?}",
        ended.last_words
    );
}

#[test]
fn one_that_stays_after_the_end_is_ended() {
    let command = format!("{} stays-after-the-end", word(mock()));
    let (record, ended) = driven(&pit("demo", "mini/anvil"), 0, &command, PLENTY_MS);
    assert_eq!(ended.failure, None, "the bout was over");
    assert!(!matches!(record.outcome.end, End::Abandoned { .. }));
    let pid = ended.last_words[0].strip_prefix("pid ").expect("it says");
    assert!(!is_there(pid));
}

#[test]
fn a_command_that_cannot_be_started_is_told_before_the_bout() {
    let pit = pit("demo", "mini/anvil");
    let launch = |command: &str, about: About| {
        let stop = std::sync::Arc::default();
        Own::launch(command, SHORT_MS, about, stop)
    };
    match launch("./no-such-program --fast", about(&pit, 0)) {
        Err(NotLaunched::Refused(program, _)) => assert_eq!(program, "./no-such-program"),
        other => panic!("{other:?}"),
    }
    let unclear = launch("drive 'half", about(&pit, 0));
    assert!(matches!(unclear, Err(NotLaunched::Unclear)));
    assert!(matches!(
        launch(" ", about(&pit, 0)),
        Err(NotLaunched::Empty)
    ));
}
