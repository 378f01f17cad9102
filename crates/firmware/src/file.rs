//! A project as files.

/// A file of a project.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct File {
    /// Where it belongs in the project's folder, with `/`.
    pub path: String,
    /// What is in it.
    pub text: String,
}

impl File {
    pub(crate) fn new(path: impl Into<String>, text: impl Into<String>) -> Self {
        Self {
            path: path.into(),
            text: text.into(),
        }
    }
}
