//! Writing several new files into one folder, all or none.

use std::path::{Path, PathBuf};

use crate::error::{FileError, LoadError, Problem};
use crate::text::write_new;

/// Writes new files, (name, text) each, into `folder` and tells their paths. The folder is made if
/// only it is missing. Files that are there already stay as they are: then nothing is written at all.
///
/// # Errors
/// Every file that is there already; a folder that is missing with the one above it; whatever the
/// system refuses. What was written so far is taken away again.
pub fn write_folder(folder: &Path, files: &[(String, String)]) -> Result<Vec<PathBuf>, LoadError> {
    let taken: Vec<FileError> = (files.iter())
        .map(|(name, _)| folder.join(name))
        .filter(|path| path.exists())
        .map(|path| FileError::new(&path, Problem::Exists))
        .collect();
    if !taken.is_empty() {
        return Err(LoadError {
            files: taken,
            ..LoadError::default()
        });
    }
    let made = !folder.is_dir();
    if made {
        std::fs::create_dir(folder).map_err(|e| match e.kind() {
            std::io::ErrorKind::NotFound => FileError::new(folder, Problem::NoFolder),
            _ => FileError::of_system(folder, &e),
        })?;
    }
    let mut written = Vec::new();
    for (name, text) in files {
        let path = folder.join(name);
        if let Err(error) = write_new(&path, text) {
            // They are ours; if one cannot be removed, the first error is the one to tell.
            for path in &written {
                drop(std::fs::remove_file(path));
            }
            if made {
                drop(std::fs::remove_dir(folder));
            }
            return Err(error.into());
        }
        written.push(path);
    }
    Ok(written)
}
