//! The files that come with the program: parts, classes, boards, robots, tactics.
