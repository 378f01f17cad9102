//! Loading a robot with its tactic.

use std::cell::RefCell;
use std::path::{Path, PathBuf};

use ::robot::reader::nearest;
use ::robot::{PartsBox, Robot};

use crate::error::{FileError, LoadError, Problem};
use crate::text::read_text;

/// A robot file that was found.
#[derive(Debug, Clone)]
pub(crate) struct Found {
    /// Its name, as messages show it.
    pub(crate) file: String,
    /// Its text.
    pub(crate) text: String,
    /// The folder on disk it lies in; none: it comes with the program.
    pub(crate) folder: Option<PathBuf>,
}

impl Found {
    /// A file that comes with the program.
    pub(crate) fn on_shelf(file: String, text: String) -> Self {
        Self {
            file,
            text,
            folder: None,
        }
    }
}

/// Loads a robot and the tactic it names.
///
/// `path_or_name` is a file on disk or, if there is none, the name of a robot that comes with the
/// program: `demo`, `mini/NAME`, or `NAME` alone where only one robot is called so. The tactic is
/// looked for beside the robot file and then among those that come with the program.
///
/// # Errors
/// Everything wrong with the file, its text, and the tactic's file, with the texts to show.
pub fn load_robot(path_or_name: &str, parts: &PartsBox) -> Result<Robot, LoadError> {
    read_robot(&find(path_or_name)?, parts)
}

/// Names of the robots that come with the program, such as `mini/NAME`, sorted.
#[must_use]
pub fn robot_names() -> Vec<String> {
    let name = |file: &str| {
        Some(
            file.strip_prefix("robots/")?
                .strip_suffix(".toml")?
                .to_owned(),
        )
    };
    shelf::files("robots")
        .iter()
        .filter_map(|(file, _)| name(file))
        .collect()
}

pub(crate) fn read_robot(found: &Found, parts: &PartsBox) -> Result<Robot, LoadError> {
    let unreadable: RefCell<Vec<FileError>> = RefCell::default();
    let lookup = |named: &str| match tactic(found, named) {
        Ok(text) => Some(text),
        Err(FileError {
            problem: Problem::Missing { .. },
            ..
        }) => None,
        Err(e) => {
            // It is there, so the robot file is right to name it; the error itself is told below.
            unreadable.borrow_mut().push(e);
            Some(String::new())
        }
    };
    let robot = ::robot::read(&found.file, &found.text, parts, &lookup);
    let files = unreadable.into_inner();
    match robot {
        Ok(robot) if files.is_empty() => Ok(robot),
        Ok(_) => Err(LoadError {
            files,
            ..LoadError::default()
        }),
        Err(issues) => {
            let text = [(found.file.clone(), found.text.clone())];
            Err(LoadError {
                files,
                ..LoadError::in_files(issues, &text)
            })
        }
    }
}

/// The text of the tactic file `named` by a robot file: beside it, else from the shelf.
fn tactic(found: &Found, named: &str) -> Result<String, FileError> {
    if let Some(folder) = &found.folder {
        match read_text(&folder.join(named)) {
            Err(FileError {
                problem: Problem::Missing { .. },
                ..
            }) => {}
            read => return read,
        }
    }
    let beside = found
        .file
        .rsplit_once('/')
        .filter(|_| found.folder.is_none());
    beside
        .and_then(|(folder, _)| shelf::file(&format!("{folder}/{named}")))
        .map_or_else(|| on_shelf(named).map(|f| f.text), Ok)
}

fn find(path_or_name: &str) -> Result<Found, FileError> {
    let path = Path::new(path_or_name);
    let missing = match read_text(path) {
        Ok(text) => {
            let folder = path.parent().map(Path::to_owned).unwrap_or_default();
            return Ok(Found {
                file: path_or_name.to_owned(),
                text,
                folder: Some(folder),
            });
        }
        Err(e) if matches!(e.problem, Problem::Missing { .. } | Problem::Folder) => e,
        Err(e) => return Err(e),
    };
    let name = path_or_name.strip_suffix(".toml").unwrap_or(path_or_name);
    match on_shelf(&format!("{name}.toml")) {
        Err(FileError {
            problem: Problem::Missing { .. },
            ..
        }) => {
            let Problem::Missing { near: beside } = missing.problem else {
                return Err(missing);
            };
            let names = robot_names();
            let named = nearest(name, words(&names)).map(str::to_owned);
            // What is written like a path is more likely a slip in one.
            let path_like = name != path_or_name || name.contains(['/', '\\']);
            let near = if path_like {
                beside.or(named)
            } else {
                named.or(beside)
            };
            Err(FileError::new(path, Problem::Missing { near }))
        }
        Err(e) => Err(FileError::new(path, e.problem)),
        Ok(found) => Ok(found),
    }
}

/// Full names and their last parts, for suggestions.
fn words(names: &[String]) -> impl Iterator<Item = &str> {
    names
        .iter()
        .flat_map(|n| [n.as_str(), n.rsplit('/').next().unwrap_or(n)])
}

/// The file of the program's `robots/` folder called `named`.
fn on_shelf(named: &str) -> Result<Found, FileError> {
    among(&shelf::files("robots"), named)
        .map(|(file, text)| Found::on_shelf(file.clone(), text.clone()))
        .map_err(|problem| FileError::new(Path::new(named), problem))
}

/// The file called `named`: by its path in `robots/`, with or without `robots/` before it, or by
/// its last part where only one is called so.
fn among<'f>(files: &'f [(String, String)], named: &str) -> Result<&'f (String, String), Problem> {
    let inside = named.strip_prefix("robots/").unwrap_or(named);
    let exact = format!("robots/{inside}");
    if let Some(found) = files.iter().find(|(file, _)| *file == exact) {
        return Ok(found);
    }
    let end = format!("/{inside}");
    let same: Vec<&(String, String)> = files.iter().filter(|(f, _)| f.ends_with(&end)).collect();
    match same[..] {
        [] => Err(Problem::Missing { near: None }),
        [found] => Ok(found),
        _ => {
            let short = |f: &String| f.strip_prefix("robots/").unwrap_or(f).to_owned();
            Err(Problem::Several(
                same.iter().map(|(f, _)| short(f)).collect(),
            ))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_finds_its_file_by_path_or_by_its_last_part_if_that_is_enough() {
        let files: Vec<(String, String)> = [
            "robots/demo.toml",
            "robots/mega/ram.toml",
            "robots/mini/ox.toml",
            "robots/mini/ram.toml",
        ]
        .map(|f| (f.to_owned(), String::new()))
        .into();
        let found = |named: &str| among(&files, named).map(|f| f.0.as_str());
        assert_eq!(found("demo.toml"), Ok("robots/demo.toml"));
        assert_eq!(found("robots/mini/ram.toml"), Ok("robots/mini/ram.toml"));
        assert_eq!(found("mega/ram.toml"), Ok("robots/mega/ram.toml"));
        assert_eq!(found("ox.toml"), Ok("robots/mini/ox.toml"));
        let both = vec!["mega/ram.toml".to_owned(), "mini/ram.toml".to_owned()];
        assert_eq!(found("ram.toml"), Err(Problem::Several(both)));
        assert_eq!(found("x.toml"), Err(Problem::Missing { near: None }));
        let half = found("emo.toml");
        assert_eq!(
            half,
            Err(Problem::Missing { near: None }),
            "whole names only"
        );
    }
}
