//! Reading and writing text files, carefully.

use std::fs::{File, OpenOptions};
use std::io::{Read, Write};
use std::path::Path;

use crate::error::{FileError, Problem};

/// Largest file that is read: a hundred times the longest robot file one would write by hand.
pub const MOST_BYTES: u64 = 1024 * 1024;

/// The text of a file, without a byte order mark.
///
/// # Errors
/// When it is missing, no plain file, larger than [`MOST_BYTES`], not UTF-8, or may not be read.
pub fn read_text(path: &Path) -> Result<String, FileError> {
    let wrong = |problem| FileError::new(path, problem);
    let system = |e: std::io::Error| match FileError::of_system(path, &e) {
        FileError {
            problem: Problem::Missing { .. },
            ..
        } => wrong(Problem::Missing { near: near(path) }),
        other => other,
    };
    let kind = std::fs::metadata(path).map_err(system)?;
    if kind.is_dir() {
        return Err(wrong(Problem::Folder));
    }
    if !kind.is_file() {
        return Err(wrong(Problem::NotAFile));
    }
    let mut bytes = Vec::new();
    // One byte more than allowed, so that a file that grows meanwhile is noticed as well.
    File::open(path)
        .and_then(|f| f.take(MOST_BYTES + 1).read_to_end(&mut bytes))
        .map_err(system)?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(wrong(Problem::TooLarge));
    }
    let text = String::from_utf8(bytes).map_err(|e| {
        let good = &e.as_bytes()[..e.utf8_error().valid_up_to()];
        let breaks = good.iter().filter(|b| **b == b'\n').count();
        wrong(Problem::NotText {
            line: u32::try_from(breaks + 1).unwrap_or(u32::MAX),
        })
    })?;
    Ok(text
        .strip_prefix('\u{feff}')
        .map(str::to_owned)
        .unwrap_or(text))
}

/// Writes a new file; one that is there already stays as it is.
///
/// # Errors
/// When there is one already, its folder is missing, or the system refuses. What was written in
/// part is taken away again.
pub fn write_new(path: &Path, text: &str) -> Result<(), FileError> {
    let mut file = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(path)
        .map_err(|e| match FileError::of_system(path, &e) {
            FileError {
                problem: Problem::Missing { .. },
                ..
            } => FileError::new(path, Problem::NoFolder),
            other => other,
        })?;
    file.write_all(text.as_bytes())
        .and_then(|()| file.sync_all())
        .map_err(|e| {
            // The file is ours and incomplete; if it cannot be removed either, the first error is
            // the one to tell.
            drop(std::fs::remove_file(path));
            FileError::of_system(path, &e)
        })
}

/// The name nearest to the last part of `path` among its neighbours.
fn near(path: &Path) -> Option<String> {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty());
    let entries = std::fs::read_dir(folder.unwrap_or(Path::new("."))).ok()?;
    let mut names: Vec<String> = entries
        .filter_map(|e| e.ok()?.file_name().into_string().ok())
        .collect();
    names.sort();
    let wanted = path.file_name()?.to_str()?;
    let best = robot::reader::nearest(wanted, names.iter().map(String::as_str))?;
    Some(path.with_file_name(best).display().to_string())
}

/// Names (path as text) and texts of the `.toml` files right in `folder`, sorted; none if there
/// is no such folder.
///
/// # Errors
/// Every file that cannot be read.
pub(crate) fn toml_files(folder: &Path) -> Result<Vec<(String, String)>, Vec<FileError>> {
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(e) => return Err(vec![FileError::of_system(folder, &e)]),
    };
    let mut paths = Vec::new();
    for entry in entries {
        let path = entry
            .map_err(|e| vec![FileError::of_system(folder, &e)])?
            .path();
        if path.extension().is_some_and(|e| e == "toml") {
            paths.push(path);
        }
    }
    paths.sort();
    let (mut files, mut errors) = (Vec::new(), Vec::new());
    for path in paths {
        match read_text(&path) {
            Ok(text) => files.push((path.display().to_string(), text)),
            Err(e) => errors.push(e),
        }
    }
    if errors.is_empty() {
        Ok(files)
    } else {
        Err(errors)
    }
}
