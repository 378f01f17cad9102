//! The user's files.
