//! A program written evenly.

use std::path::Path;

use serde::Serialize;
use store::LoadError;

use crate::setting::Trouble;

/// A program written evenly.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Formatted {
    /// `ringwright/formatted/1`.
    pub schema: String,
    /// The file it was read from.
    pub file: String,
    /// Whether anything is written otherwise than in the file.
    pub changed: bool,
    /// The program, evenly spaced.
    pub text: String,
}

impl Formatted {
    /// The program in `file`, evenly spaced; the file stays as it is.
    ///
    /// # Errors
    /// When it cannot be read, and everything wrong in it.
    pub fn of(file: &str) -> Result<Self, Trouble> {
        let written = store::read_text(Path::new(file)).map_err(LoadError::from)?;
        if let Err(issues) = tactic::parse(file, &written) {
            return Err(Trouble::Files(LoadError {
                issues,
                texts: [(file.to_owned(), written)].into(),
                ..LoadError::default()
            }));
        }
        let text = tactic::format(&written);
        Ok(Self {
            schema: "ringwright/formatted/1".into(),
            file: file.to_owned(),
            changed: text != written,
            text,
        })
    }
}
