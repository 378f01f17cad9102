//! Small physical laws, each with its source.
