//! Every robot that comes with the program, with its tactic.

use robot::{PartsBox, Robot};
use tactic::{Ports, Program, Tactic};

/// A robot that comes with the program.
#[derive(Debug, Clone)]
pub(crate) struct Shipped {
    /// Its file.
    pub(crate) name: String,
    pub(crate) robot: Robot,
    pub(crate) tactic: Tactic,
    pub(crate) ports: Ports,
    pub(crate) program: Program,
}

impl Shipped {
    /// A robot as its file says, in the place of `name`.
    pub(crate) fn read(name: &str, text: &str) -> Self {
        let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
        let lookup = |tactic: &str| {
            let beside = name.rsplit_once('/').map_or("robots", |n| n.0);
            (shelf::file(&format!("robots/tactics/{tactic}")))
                .or_else(|| shelf::file(&format!("{beside}/{tactic}")))
                .or_else(|| shelf::file(&format!("robots/{tactic}")))
        };
        let robot =
            robot::read(name, text, &parts, &lookup).unwrap_or_else(|e| panic!("{name}: {e:#?}"));
        let tactic = tactic::parse(&robot.tactic.file, &robot.tactic.text)
            .unwrap_or_else(|e| panic!("{name}: {e:#?}"));
        let ports = Ports::of(&robot);
        let program = tactic::compile(&tactic, &ports).unwrap_or_else(|e| panic!("{name}: {e:#?}"));
        Self {
            name: name.to_owned(),
            robot,
            tactic,
            ports,
            program,
        }
    }
}

/// All of them.
pub(crate) fn robots() -> Vec<Shipped> {
    let files = shelf::files("robots").into_iter();
    files
        .filter(|(name, _)| name.ends_with(".toml"))
        .map(|(name, text)| Shipped::read(&name, &text))
        .collect()
}

/// One of them, with its file edited.
pub(crate) fn robot(name: &str, edit: impl FnOnce(String) -> String) -> Shipped {
    let file = format!("robots/{name}.toml");
    let text = shelf::file(&file).unwrap_or_else(|| panic!("no {file}"));
    Shipped::read(&file, &edit(text))
}
