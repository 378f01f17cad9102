//! Every robot that comes with the program, with its tactic.

use robot::PartsBox;
use tactic::{Ports, Program};

/// Name, ports and program of each robot that comes with the program.
pub(crate) fn robots() -> Vec<(String, Ports, Program)> {
    let parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let files = shelf::files("robots").into_iter();
    files
        .filter(|(name, _)| name.ends_with(".toml"))
        .map(|(name, text)| {
            let lookup = |tactic: &str| {
                let beside = name.rsplit_once('/').map_or("robots", |n| n.0);
                (shelf::file(&format!("robots/tactics/{tactic}")))
                    .or_else(|| shelf::file(&format!("{beside}/{tactic}")))
                    .or_else(|| shelf::file(&format!("robots/{tactic}")))
            };
            let robot = robot::read(&name, &text, &parts, &lookup)
                .unwrap_or_else(|e| panic!("{name}: {e:#?}"));
            let read = tactic::parse(&robot.tactic.file, &robot.tactic.text)
                .unwrap_or_else(|e| panic!("{name}: {e:#?}"));
            let ports = Ports::of(&robot);
            let program =
                tactic::compile(&read, &ports).unwrap_or_else(|e| panic!("{name}: {e:#?}"));
            (name, ports, program)
        })
        .collect()
}
