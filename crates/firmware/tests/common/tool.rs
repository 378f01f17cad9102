//! Outside programs: called if they are there, and told as skipped if not.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Whether `program` can be called. If not, the test says that it is skipped; in the checks before a
/// change is taken (`RINGWRIGHT_NO_SKIP`) that is an error.
pub(crate) fn is_there(program: &str) -> bool {
    there(
        program,
        Command::new(program).arg("--version").output().is_ok(),
    )
}

/// Whether something that was `found` or not is there; says so if not.
pub(crate) fn there(what: &str, found: bool) -> bool {
    if !found {
        let forced = std::env::var_os("RINGWRIGHT_NO_SKIP").is_some();
        assert!(!forced, "{what} is not there, and nothing may be skipped");
        #[allow(clippy::print_stderr, reason = "a test that skips itself says so")]
        {
            eprintln!("SKIPPED: {what} is not there");
        }
    }
    found
}

/// A folder of its own under the target folder, with these files.
pub(crate) fn folder(name: &str, files: &[firmware::File]) -> PathBuf {
    let at = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::create_dir_all(&at).unwrap_or_else(|e| panic!("{}: {e}", at.display()));
    for file in files {
        let path = at.join(&file.path);
        let beside = path.parent().expect("it is in the folder");
        std::fs::create_dir_all(beside).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        std::fs::write(&path, &file.text).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    }
    at
}

/// The folder of the bench that is written in C and Python.
pub(crate) fn bench() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bench")
}

/// What the command says; a failure shows all of it.
#[track_caller]
pub(crate) fn run(command: &mut Command) -> String {
    let Output {
        status,
        stdout,
        stderr,
    } = command
        .output()
        .unwrap_or_else(|e| panic!("{command:?}: {e}"));
    let (out, err) = (
        String::from_utf8_lossy(&stdout),
        String::from_utf8_lossy(&stderr),
    );
    assert!(status.success(), "{command:?}: {status}\n{out}\n{err}");
    // Emulators say on either.
    format!("{out}{err}")
}
