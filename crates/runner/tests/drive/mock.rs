//! A program that drives and then does one thing wrong: built by the tests with rustc alone. Its argument says
//! what, its second at which look.

use std::io::{BufRead, Write};
use std::process::{Command, exit};
use std::thread::sleep;
use std::time::Duration;

const LONG: Duration = Duration::from_secs(600);

fn say(words: &str) {
    let mut out = std::io::stdout();
    // Whoever listens may be gone.
    let _ = writeln!(out, "{words}");
    let _ = out.flush();
}

fn endless(bytes: &[u8]) -> ! {
    loop {
        if std::io::stdout().write_all(bytes).is_err() {
            exit(9);
        }
    }
}

#[cfg(unix)]
fn close_output() {
    use std::os::fd::FromRawFd as _;
    // Nothing of this program uses it again.
    drop(unsafe { std::fs::File::from_raw_fd(1) });
}

#[cfg(not(unix))]
fn close_output() {
    exit(0);
}

fn misbehave(how: &str) {
    match how {
        "dies" => exit(7),
        "sleeps" => sleep(LONG),
        "writes-garbage" => say("\u{1b}[31mhello"),
        "writes-nonsense" => say(r#"{"left":2000,"rihgt":0,"gadgets":{"wings":1}}"#),
        "writes-bytes" => {
            let _ = std::io::stdout().write_all(b"\xff\xfe\n");
        }
        "writes-without-end" => endless(&[b'x'; 8192]),
        "writes-lines-without-end" => endless(b"{\"left\":0,\"right\":0}\n"),
        "writes-a-huge-line" => say(&"[".repeat(100_000)),
        "closes-its-output" => {
            close_output();
            sleep(LONG);
        }
        "leaves-somebody-behind" => {
            let myself = std::env::current_exe().expect("it has a name");
            let left = Command::new(myself).arg("only-sleeps").spawn().expect("it starts");
            eprintln!("left {}", left.id());
            exit(5);
        }
        _ => say(r#"{"left":0,"right":0}"#),
    }
}

fn main() {
    let mut arguments = std::env::args().skip(1);
    let how = arguments.next().unwrap_or_default();
    let at: u32 = arguments.next().map_or(0, |n| n.parse().expect("a number"));
    if how == "only-sleeps" {
        sleep(LONG);
    }
    if how == "floods-its-errors" {
        let line = format!("{}\n", "e".repeat(1023));
        for _ in 0..20_000 {
            let _ = std::io::stderr().write_all(line.as_bytes());
        }
    }
    eprintln!("pid {}", std::process::id());
    if how == "is-never-ready" {
        sleep(LONG);
    }
    if how == "dies-at-start" {
        exit(3);
    }
    let mut looks = 0;
    for line in std::io::stdin().lock().lines() {
        let line = line.expect("it is text");
        if line.contains("\"protocol\"") {
            say(r#"{"ready":true}"#);
        } else if line.contains("\"readings\"") {
            looks += 1;
            misbehave(if looks == at { &how } else { "" });
        } else if line.contains("\"end\"") && how == "stays-after-the-end" {
            sleep(LONG);
        }
    }
    eprintln!("end");
}
