//! Projects of robots on boards, and what builds them.

use std::path::{Path, PathBuf};
use std::process::Command;

use firmware::{Kind, Project};
use robot::{BoardSheet, Boards};
use rules::{Class, Classes};

use super::shipped::Shipped;
use super::tool;

/// Every board that comes with the program.
pub(crate) fn boards() -> Vec<BoardSheet> {
    let boards = Boards::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    boards.iter().cloned().collect()
}

/// The board of that name.
pub(crate) fn board(name: &str) -> BoardSheet {
    let found = boards().into_iter().find(|b| b.name == name);
    found.unwrap_or_else(|| panic!("no board {name}"))
}

/// The class of that name.
pub(crate) fn class(name: &str) -> Class {
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let found = classes.find(name);
    found.cloned().unwrap_or_else(|e| panic!("{name}: {e:?}"))
}

/// Every class that comes with the program.
pub(crate) fn classes() -> Vec<Class> {
    let classes = Classes::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    classes.iter().cloned().collect()
}

/// The project of a robot on a board.
pub(crate) fn project(of: &Shipped, class: &Class, board: &BoardSheet) -> Project {
    Project::of(&of.robot, class, &of.tactic, &of.program, &of.ports, board)
        .unwrap_or_else(|e| panic!("{} on {}: {e:#?}", of.name, board.name))
}

/// Writes the project into a folder of its own and builds it as its README says.
pub(crate) fn built(name: &str, project: &Project) -> PathBuf {
    let at = tool::folder(name, &project.files);
    if project.kind == Kind::MicroPython {
        for file in project.files.iter().filter(|f| f.path.ends_with(".py")) {
            let read = format!("compile(open('{}').read(), '{0}', 'exec')", file.path);
            tool::run(
                Command::new("micropython")
                    .args(["-c", &read])
                    .current_dir(&at),
            );
        }
        return at;
    }
    tool::run(Command::new("make").args(["-s", "clean"]).current_dir(&at));
    tool::run(Command::new("make").args(["-s", "-j2"]).current_dir(&at));
    at
}

/// Whether what builds a project of that kind is here; says so if not.
pub(crate) fn can_build(kind: Kind) -> bool {
    let compiler = match kind {
        Kind::Avr => "avr-gcc",
        Kind::Stm32f103 | Kind::Nrf52833 => "arm-none-eabi-gcc",
        Kind::MicroPython => "micropython",
    };
    let there = tool::is_there(compiler);
    there & (kind == Kind::MicroPython || tool::is_there("make"))
}

/// Bytes of program and of memory of a built project, as the compiler's own tool counts them.
pub(crate) fn size(kind: Kind, at: &Path) -> Option<(u32, u32)> {
    let tool = match kind {
        Kind::Avr => "avr-size",
        Kind::Stm32f103 | Kind::Nrf52833 => "arm-none-eabi-size",
        Kind::MicroPython => return None,
    };
    let said = tool::run(Command::new(tool).arg(at.join("robot.elf")));
    let row = said.lines().nth(1).unwrap_or_default();
    let n: Vec<u32> = (row.split_whitespace().take(3))
        .map(|n| n.parse().unwrap_or_else(|e| panic!("{said}: {e}")))
        .collect();
    Some((n[0] + n[1], n[1] + n[2]))
}
