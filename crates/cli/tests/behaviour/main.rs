//! What the program does as those see it who call it: exit statuses, what is printed where, files.

mod answers;
mod calls;
mod driving;
mod files;
mod hostile;
#[cfg(target_os = "linux")]
mod memory;
mod start;
#[cfg(unix)]
mod stopping;
mod tactic;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

/// The program under test.
const PROGRAM: &str = env!("CARGO_BIN_EXE_ringwright");

/// What a call came to.
struct Ran {
    status: Option<i32>,
    stdout: String,
    stderr: String,
}

impl From<Output> for Ran {
    fn from(output: Output) -> Self {
        let text = |bytes| String::from_utf8(bytes).expect("it prints UTF-8");
        Self {
            status: output.status.code(),
            stdout: text(output.stdout),
            stderr: text(output.stderr),
        }
    }
}

impl Ran {
    /// The answer of a call that worked.
    #[track_caller]
    fn json(&self) -> Value {
        assert_eq!(self.status, Some(0), "{}", self.stderr);
        serde_json::from_str(&self.stdout).expect("it is JSON")
    }

    /// Checks that the input or the call was wrong: told on stderr only.
    #[track_caller]
    fn is_refused(&self) {
        assert_eq!(self.status, Some(2), "{}{}", self.stdout, self.stderr);
        assert_eq!(self.stdout, "");
        assert!(!self.stderr.trim().is_empty());
        assert!(!self.stderr.contains("panicked"), "{}", self.stderr);
    }
}

/// Calls the program in `folder`.
fn call_in(folder: &Path, arguments: &[&str]) -> Ran {
    let mut command = Command::new(PROGRAM);
    // As where it is installed: cargo, which runs the tests, is not what calls it.
    command
        .args(arguments)
        .current_dir(folder)
        .env_remove("CARGO");
    command.output().expect("it starts").into()
}

/// Calls the program in a folder where nothing is to be written.
fn call(arguments: &[&str]) -> Ran {
    call_in(Path::new(env!("CARGO_TARGET_TMPDIR")), arguments)
}

/// An empty folder of the test `name`.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    match std::fs::remove_dir_all(&folder) {
        Err(e) if e.kind() != std::io::ErrorKind::NotFound => panic!("{folder:?}: {e}"),
        Ok(()) | Err(_) => {}
    }
    std::fs::create_dir_all(&folder).expect("it can be made");
    folder
}

/// Writes a robot file `newt.toml` with its program into `folder`, edited by `edit`.
fn newt(folder: &Path, edit: impl FnOnce(&str) -> String) {
    let ran = call_in(folder, &["new", "Newt", "--out", "newt.toml"]);
    assert_eq!(ran.status, Some(0), "{}", ran.stderr);
    let file = folder.join("newt.toml");
    let text = read(&file);
    let edited = edit(&text);
    assert_ne!(edited, text, "nothing was edited");
    std::fs::write(file, edited).expect("it can be written");
}

fn read(file: &Path) -> String {
    std::fs::read_to_string(file).unwrap_or_else(|e| panic!("{}: {e}", file.display()))
}

/// Names of all files in `folder`, sorted.
fn files_in(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).expect("it is there");
    let name = |e: std::io::Result<std::fs::DirEntry>| e.map(|e| e.file_name());
    let mut names: Vec<String> = entries
        .map(|e| {
            name(e)
                .expect("it can be read")
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    names.sort();
    names
}
