//! A robot's program as source files for a controller.

use serde::Serialize;

use crate::setting::{Setting, Trouble};

/// Languages a program is written in: what the command line calls them, and what they are.
pub const LANGUAGES: [(&str, &str); 2] = [("c99", "C99"), ("micropython", "MicroPython")];

/// A file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct SourceFile {
    /// Its name.
    pub file: String,
    /// What is in it.
    pub text: String,
}

/// A robot's program as source files for a controller.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct ProgramSource {
    /// `ringwright/source/1`.
    pub schema: String,
    /// The robot.
    pub robot: String,
    /// The file of its program.
    pub tactic: String,
    /// The language: `c99` or `micropython`.
    pub language: String,
    /// The files.
    pub files: Vec<SourceFile>,
}

impl ProgramSource {
    /// The program of the robot of `setting` in `language`. It decides what the program decides in the
    /// bouts here, bit for bit; reading sensors and driving motors is left to who calls it.
    ///
    /// # Errors
    /// When there is no such language; and what the program asks of a sensor or gadget that the robot does
    /// not have.
    pub fn of(setting: &Setting, language: &str) -> Result<Self, Trouble> {
        let ports = tactic::Ports::of(&setting.robot);
        let program = tactic::compile(&setting.tactic, &ports).map_err(|issues| {
            let t = &setting.robot.tactic;
            Trouble::Files(store::LoadError {
                issues,
                texts: [(t.file.clone(), t.text.clone())].into(),
                ..store::LoadError::default()
            })
        })?;
        let files = match language {
            "c99" => firmware::c99(&program, &ports),
            "micropython" => firmware::micropython(&program, &ports),
            other => {
                let known = LANGUAGES.map(|l| l.0);
                return Err(Trouble::Call(format!(
                    "No program is written in \"{other}\": name one of {}.",
                    known.join(", ")
                )));
            }
        };
        Ok(Self {
            schema: "ringwright/source/1".into(),
            robot: setting.robot.name.clone(),
            tactic: setting.robot.tactic.file.clone(),
            language: language.to_owned(),
            files: (files.into_iter())
                .map(|f| SourceFile {
                    file: f.path,
                    text: f.text,
                })
                .collect(),
        })
    }
}
