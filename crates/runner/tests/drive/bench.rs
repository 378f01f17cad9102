//! Who fights, and the programs that drive.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::AtomicBool;
use std::sync::{Arc, OnceLock};

use bout::{Arena, Record, Wanted};
use robot::PartsBox;
use rules::Classes;
use runner::drive::{About, Ended, Own};
use study::{Entrant, Pit, Task};

/// Seed of all draws.
pub(crate) const SEED: u64 = 5;

/// Everything that a record can hold.
pub(crate) const EVERYTHING: Wanted = Wanted {
    frames: true,
    events: true,
};

/// `ours` against `theirs` in class mini.
pub(crate) fn pit(ours: &str, theirs: &str) -> Pit {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let entrant = |name: &str| {
        let robot = store::load_robot(name, &parts).unwrap_or_else(|e| panic!("{e:#?}"));
        Entrant::of_robot(&robot).unwrap_or_else(|e| panic!("{e:#?}"))
    };
    Pit {
        arena: Arena::of(classes.find("mini").expect("it is there")),
        seed: SEED,
        ours: vec![entrant(ours)],
        field: vec![entrant(theirs)],
    }
}

pub(crate) fn task(bout: u32) -> Task {
    Task {
        variant: 0,
        opponent: 0,
        bout,
    }
}

pub(crate) fn about(pit: &Pit, bout: u32) -> About {
    let us = &pit.ours[0];
    About::of(&us.robot, &us.program, "mini", SEED, bout)
}

/// A bout driven by `command`, with `limit_ms` for each answer.
pub(crate) fn driven(pit: &Pit, bout: u32, command: &str, limit_ms: u64) -> (Record, Ended) {
    let stop = Arc::new(AtomicBool::new(false));
    let own = Own::launch(command, limit_ms, about(pit, bout), stop);
    let own = own.unwrap_or_else(|e| panic!("{command}: {e:?}"));
    let record = pit.driven(task(bout), &own, EVERYTHING);
    let ended = own.ended(&record, task(bout).seat());
    (record, ended)
}

/// A word of a command, whatever is in it.
pub(crate) fn word(path: &Path) -> String {
    format!("'{}'", path.display())
}

/// Where `name` is to be built.
pub(crate) fn folder(name: &str) -> PathBuf {
    let at = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::create_dir_all(&at).unwrap_or_else(|e| panic!("{}: {e}", at.display()));
    at
}

/// Builds a Rust program that needs no crate; rustc is there, since it has built this test.
pub(crate) fn rustc(source: &Path, program: &Path) {
    let rustc = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let mut build = Command::new(rustc);
    build
        .args(["--edition", "2024", "-O", "-o"])
        .arg(program)
        .arg(source);
    let built = build.output().expect("rustc is there");
    let said = String::from_utf8_lossy(&built.stderr);
    assert!(built.status.success(), "{said}");
}

/// The program that drives and then does something wrong.
pub(crate) fn mock() -> &'static Path {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    BUILT.get_or_init(|| {
        let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/drive/mock.rs");
        let program = folder("drive-mock").join(format!("mock{}", std::env::consts::EXE_SUFFIX));
        rustc(&source, &program);
        program
    })
}
