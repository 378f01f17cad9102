//! Loading a class by name or from the user's own file.

use std::path::Path;

use rules::{Class, Classes};

use crate::error::{FileError, LoadError, Problem};
use crate::text::read_text;

/// The class called `path_or_name` in `known`, or else the one in the file of that path, which
/// may inherit any of `known`.
///
/// # Errors
/// When there is neither, with the nearest name; everything wrong in the file, with its text.
pub fn load_class(path_or_name: &str, known: &Classes) -> Result<Class, LoadError> {
    let unknown = match known.find(path_or_name) {
        Ok(class) => return Ok(class.clone()),
        Err(unknown) => unknown,
    };
    let path = Path::new(path_or_name);
    let text = read_text(path).map_err(|e| match e.problem {
        Problem::Missing { near } => FileError::new(
            path,
            Problem::Missing {
                near: unknown.nearest.or(near),
            },
        ),
        problem => FileError::new(path, problem),
    })?;
    Class::read(path_or_name, &text, known)
        .map_err(|issues| LoadError::in_files(issues, &[(path_or_name.to_owned(), text)]))
}
