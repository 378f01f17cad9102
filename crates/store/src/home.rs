//! The user's folder beside the files that come with the program.

use std::path::Path;

use ::robot::{Boards, Materials, PartsBox, Robot};
use rules::Classes;

use crate::error::{FileError, LoadError, Problem};
use crate::robot::{Found, read_robot};
use crate::text::toml_files;

/// The `.toml` files of `home/folder`. The home itself must exist; its subfolders need not.
fn own_files(home: Option<&Path>, folder: &str) -> Result<Vec<(String, String)>, LoadError> {
    let Some(home) = home else {
        return Ok(Vec::new());
    };
    match std::fs::metadata(home) {
        Ok(kind) if kind.is_dir() => {}
        Ok(_) => {
            let words = "it is a file, and a folder is needed".to_owned();
            return Err(FileError::new(home, Problem::Other(words)).into());
        }
        Err(e) => return Err(FileError::of_system(home, &e).into()),
    }
    toml_files(&home.join(folder)).map_err(|files| LoadError {
        files,
        ..LoadError::default()
    })
}

/// All parts: those that come with the program, then those of `home/parts/`, which replace parts
/// of the same name; with them the boards, likewise from `home/boards/`, and
/// the materials from `home/materials/`.
///
/// # Errors
/// Everything wrong in any of the files.
pub fn parts(home: Option<&Path>) -> Result<PartsBox, LoadError> {
    let mut files = shelf::files("parts");
    files.extend(own_files(home, "parts")?);
    let parts = PartsBox::read(&files).map_err(|issues| LoadError::in_files(issues, &files))?;
    Ok(parts
        .with_boards(boards(home)?)
        .with_materials(materials(home)?))
}

/// All materials: those that come with the program, then those of `home/materials/`, which replace
/// materials of the same name.
///
/// # Errors
/// Everything wrong in any of the files.
fn materials(home: Option<&Path>) -> Result<Materials, LoadError> {
    let mut files = shelf::files("materials");
    files.extend(own_files(home, "materials")?);
    Materials::read(&files).map_err(|issues| LoadError::in_files(issues, &files))
}

/// All boards: those that come with the program, then those of `home/boards/`, which replace boards of
/// the same name.
///
/// # Errors
/// Everything wrong in any of the files.
fn boards(home: Option<&Path>) -> Result<Boards, LoadError> {
    let mut files = shelf::files("boards");
    files.extend(own_files(home, "boards")?);
    Boards::read(&files).map_err(|issues| LoadError::in_files(issues, &files))
}

/// All classes: those that come with the program and those of `home/classes/`, which replace
/// classes of the same name.
///
/// # Errors
/// Everything wrong in any of the files.
pub fn classes(home: Option<&Path>) -> Result<Classes, LoadError> {
    let own = own_files(home, "classes")?;
    let built_in = Classes::built_in()
        .map_err(|issues| LoadError::in_files(issues, &shelf::files("classes")))?;
    built_in
        .with(&own)
        .map_err(|issues| LoadError::in_files(issues, &own))
}

/// The field of opponents called `name`: every robot of the program's `robots/NAME/` and of
/// `home/robots/NAME/`, sorted by file name; of two files of the same name the user's counts.
///
/// # Errors
/// When there is no such field, and everything wrong in any robot of it: none is skipped.
pub fn field(name: &str, parts: &PartsBox, home: Option<&Path>) -> Result<Vec<Robot>, LoadError> {
    let own = own_files(home, &format!("robots/{name}"))?;
    let last = |file: &str| file.rsplit(['/', '\\']).next().unwrap_or(file).to_owned();
    let mut found: Vec<(String, Found)> = Vec::new();
    for (file, text) in shelf::files(&format!("robots/{name}")) {
        let replaced = own.iter().any(|(o, _)| last(o) == last(&file));
        if file.ends_with(".toml") && !replaced {
            found.push((last(&file), Found::on_shelf(file, text)));
        }
    }
    for (file, text) in own {
        let folder = Path::new(&file).parent().map(Path::to_owned);
        found.push((last(&file), Found { file, text, folder }));
    }
    if found.is_empty() {
        let names = field_names();
        let near = ::robot::reader::nearest(name, names.iter().map(String::as_str));
        let path = format!("robots/{name}");
        let problem = Problem::Missing {
            near: near.map(|n| format!("robots/{n}")),
        };
        return Err(FileError::new(Path::new(&path), problem).into());
    }
    found.sort_by(|a, b| a.0.cmp(&b.0));
    let mut robots = Vec::with_capacity(found.len());
    let mut wrong = LoadError::default();
    for (_, file) in &found {
        match read_robot(file, parts) {
            Ok(robot) => robots.push(robot),
            Err(e) => wrong.join(e),
        }
    }
    if wrong.is_empty() {
        Ok(robots)
    } else {
        Err(wrong)
    }
}

/// Whether there is a field called `name`, of the program's or the user's own.
///
/// # Errors
/// When the user's folder cannot be read.
pub fn has_field(name: &str, home: Option<&Path>) -> Result<bool, LoadError> {
    let robots = shelf::files(&format!("robots/{name}")).into_iter();
    Ok(robots.map(|r| r.0).any(|file| file.ends_with(".toml"))
        || !own_files(home, &format!("robots/{name}"))?.is_empty())
}

/// Fields that come with the program, sorted.
#[must_use]
pub fn field_names() -> Vec<String> {
    let mut names: Vec<String> = shelf::files("robots")
        .iter()
        .filter_map(|(file, _)| {
            let (folder, robot) = file.strip_prefix("robots/")?.split_once('/')?;
            robot.ends_with(".toml").then(|| folder.to_owned())
        })
        .collect();
    names.sort();
    names.dedup();
    names
}
