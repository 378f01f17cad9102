//! What the tests of written programs share.
#![allow(dead_code, reason = "each test program uses its own part")]

pub(crate) mod bench;
pub(crate) mod chip;
pub(crate) mod invent;
pub(crate) mod machine;
pub(crate) mod projects;
pub(crate) mod seeded;
pub(crate) mod shipped;
pub(crate) mod tool;
