//! What can go wrong with a file, and what to do about it.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use ::robot::Issue;

use crate::text::MOST_BYTES;

/// Why a file could not be read or written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Problem {
    /// There is no such file.
    Missing {
        /// The nearest file or name there is.
        near: Option<String>,
    },
    /// It is a folder.
    Folder,
    /// It is neither a file nor a folder, such as a device.
    NotAFile,
    /// It is larger than any file of ours.
    TooLarge,
    /// Its bytes are not UTF-8 text.
    NotText {
        /// The first line that is not, counted from 1.
        line: u32,
    },
    /// The system does not allow it.
    Denied,
    /// A new file was to be written where one already is.
    Exists,
    /// The folder to write into is missing.
    NoFolder,
    /// Several files go by this name.
    Several(
        /// Their names in full.
        Vec<String>,
    ),
    /// Anything else, in the system's words.
    Other(String),
}

/// A file that could not be read or written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileError {
    /// The file as the user named it.
    pub path: PathBuf,
    /// What is wrong.
    pub problem: Problem,
}

impl FileError {
    pub(crate) fn new(path: &Path, problem: Problem) -> Self {
        Self {
            path: path.to_owned(),
            problem,
        }
    }

    pub(crate) fn of_system(path: &Path, error: &std::io::Error) -> Self {
        use std::io::ErrorKind;
        let problem = match error.kind() {
            ErrorKind::NotFound => Problem::Missing { near: None },
            ErrorKind::PermissionDenied => Problem::Denied,
            ErrorKind::AlreadyExists => Problem::Exists,
            ErrorKind::IsADirectory => Problem::Folder,
            _ => Problem::Other(error.to_string()),
        };
        Self::new(path, problem)
    }

    /// What to do about it, as a sentence.
    #[must_use]
    pub fn advice(&self) -> String {
        match &self.problem {
            Problem::Missing { near: Some(near) } => format!("Did you mean \"{near}\"?"),
            Problem::Missing { near: None } => {
                "Check the spelling and the folder you are in.".into()
            }
            Problem::Folder => "Name a file in it.".into(),
            Problem::NotAFile => "Name a plain text file.".into(),
            Problem::TooLarge => "Check that it is the right file.".into(),
            Problem::NotText { .. } => {
                "Open it in a text editor and save it as UTF-8 (not UTF-16 or ANSI).".into()
            }
            Problem::Denied => "Check who may read and write there.".into(),
            Problem::Exists => "Choose another name; nothing was changed.".into(),
            Problem::NoFolder => "Make the folder first, or choose another.".into(),
            Problem::Several(names) => format!("Say which: {}.", names.join(", ")),
            Problem::Other(_) => "Try again, or copy the file elsewhere.".into(),
        }
    }
}

impl core::fmt::Display for FileError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let path = self.path.display();
        match &self.problem {
            Problem::Missing { .. } => write!(f, "there is no file or name \"{path}\""),
            Problem::Folder => write!(f, "\"{path}\" is a folder"),
            Problem::NotAFile => write!(f, "\"{path}\" is not a plain file"),
            Problem::TooLarge => {
                write!(
                    f,
                    "\"{path}\" is larger than {} MiB",
                    MOST_BYTES / (1024 * 1024)
                )
            }
            Problem::NotText { line } => write!(f, "\"{path}\" is not UTF-8 text (line {line})"),
            Problem::Denied => write!(f, "\"{path}\" may not be opened"),
            Problem::Exists => write!(f, "\"{path}\" is there already"),
            Problem::NoFolder => write!(f, "the folder of \"{path}\" is missing"),
            Problem::Several(_) => write!(f, "several files are called \"{path}\""),
            Problem::Other(words) => write!(f, "\"{path}\" cannot be used: {words}"),
        }
    }
}

impl core::error::Error for FileError {}

/// Everything that is wrong with what was to be loaded.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LoadError {
    /// Files that could not be read.
    pub files: Vec<FileError>,
    /// What is wrong in files that could.
    pub issues: Vec<Issue>,
    /// Texts of the files the issues lie in, by the name in [`robot::Place::file`].
    pub texts: BTreeMap<String, String>,
}

impl LoadError {
    /// Issues in these files: (name, text) each.
    #[must_use]
    pub fn in_files(issues: Vec<Issue>, files: &[(String, String)]) -> Self {
        let named = |name: &str| issues.iter().any(|i| &*i.place.file == name);
        let texts = files
            .iter()
            .filter(|(name, _)| named(name))
            .cloned()
            .collect();
        Self {
            files: Vec::new(),
            issues,
            texts,
        }
    }

    /// Adds what is wrong elsewhere.
    pub(crate) fn join(&mut self, other: Self) {
        self.files.extend(other.files);
        self.issues.extend(other.issues);
        self.texts.extend(other.texts);
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.files.is_empty() && self.issues.is_empty()
    }
}

impl From<FileError> for LoadError {
    fn from(error: FileError) -> Self {
        Self {
            files: vec![error],
            ..Self::default()
        }
    }
}

/// One line per problem, without excerpts.
impl core::fmt::Display for LoadError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let mut lines: Vec<String> = self
            .files
            .iter()
            .map(|e| format!("{e}. {}", e.advice()))
            .collect();
        lines.extend(self.issues.iter().map(|i| {
            format!(
                "{} line {}: {}; expected {}",
                i.place.file, i.place.line, i.what, i.expected
            )
        }));
        f.write_str(&lines.join("\n"))
    }
}

impl core::error::Error for LoadError {}
