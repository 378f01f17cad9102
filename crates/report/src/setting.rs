//! What an answer is about: a robot with its program, a class, a field.

use std::path::{Path, PathBuf};

use robot::{PartsBox, Robot};
use rules::{Class, Classes, UnknownClass};
use store::LoadError;
use tactic::Tactic;

/// Class taken when neither the call nor the robot file names one.
const DEFAULT_CLASS: &str = "mini";

/// One opponent of a field.
#[derive(Debug, Clone)]
pub struct Opponent {
    /// What a command calls it, such as `mini/NAME` or a file.
    pub id: String,
    /// The robot.
    pub robot: Robot,
}

/// Everything an answer needs to know before a bout is fought.
#[derive(Debug)]
pub struct Setting {
    /// What a command calls the robot.
    pub id: String,
    /// The robot.
    pub robot: Robot,
    /// Its program.
    pub tactic: Tactic,
    /// The class.
    pub class: Class,
    /// The parts box.
    pub parts: PartsBox,
    /// The opponents.
    pub field: Vec<Opponent>,
    /// What is to be said about how the field was put together.
    pub field_remark: Option<String>,
    /// The user's folder, if one was named.
    pub home: Option<PathBuf>,
}

/// Why a setting could not be put together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    /// Files missing or wrong.
    Files(LoadError),
    /// No such class.
    Class(UnknownClass),
    /// Whatever else the call got wrong, as sentences.
    Call(String),
}

impl From<LoadError> for Trouble {
    fn from(error: LoadError) -> Self {
        Self::Files(error)
    }
}

impl From<UnknownClass> for Trouble {
    fn from(error: UnknownClass) -> Self {
        Self::Class(error)
    }
}

/// Parts and classes: what comes with the program and what the user's folder adds.
///
/// # Errors
/// Everything wrong in any of their files.
pub fn library(home: Option<&Path>) -> Result<(PartsBox, Classes), Trouble> {
    Ok((store::parts(home)?, store::classes(home)?))
}

/// What a command calls a robot: the name it was loaded by, or its place among the program's own.
pub(crate) fn id_of(robot: &Robot) -> String {
    let own = |f: &str| Some(f.strip_prefix("robots/")?.strip_suffix(".toml")?.to_owned());
    own(&robot.file).unwrap_or_else(|| robot.file.clone())
}

/// Reads the robot's program.
///
/// # Errors
/// Everything wrong in it.
pub(crate) fn tactic_of(robot: &Robot) -> Result<Tactic, LoadError> {
    let t = &robot.tactic;
    let wrong = |issues| LoadError {
        issues,
        texts: [(t.file.clone(), t.text.clone())].into(),
        ..LoadError::default()
    };
    let tactic = tactic::parse(&t.file, &t.text).map_err(wrong)?;
    tactic::compile(&tactic, &tactic::Ports::of(robot)).map_err(wrong)?;
    Ok(tactic)
}

/// The class called `name`, or in the file of that name.
///
/// # Errors
/// When there is no such class, and everything wrong in a class file.
pub(crate) fn class_named(name: &str, classes: &Classes) -> Result<Class, Trouble> {
    if let Ok(class) = classes.find(name) {
        return Ok(class.clone());
    }
    let looks_like_a_file = name.contains(['/', '\\', '.']);
    if looks_like_a_file {
        return Ok(store::load_class(name, classes)?);
    }
    Ok(classes.find(name)?.clone())
}

/// The class a call means: the one it names, else the one the robot file names, else mini.
///
/// # Errors
/// When there is no such class, and everything wrong in a class file.
pub fn class_for(name: Option<&str>, robot: &Robot, classes: &Classes) -> Result<Class, Trouble> {
    match name {
        Some(path_or_name) => class_named(path_or_name, classes),
        None => Ok(classes
            .find(robot.class.as_deref().unwrap_or(DEFAULT_CLASS))?
            .clone()),
    }
}

/// That there are opponents for `class`.
///
/// # Errors
/// A sentence that says what can be done, if there are none.
pub fn must_have_field(class: &Class, home: Option<&Path>) -> Result<(), Trouble> {
    if !store::has_field(&class.field, home)? {
        return Err(Trouble::Call(format!(
            "There is no field of opponents for {}: no robots were built for the class {} yet. \"check\" tells \
             whether a robot is legal and sound; to fight, put opponents into robots/{}/ of your own folder \
             and name it with --home, or take the field of another class ({}) with a class file of your own.",
            class.title,
            class.name,
            class.field,
            store::field_names().join(", ")
        )));
    }
    Ok(())
}

/// The opponents of `class`, without the robot that comes with the program as file `ours`, and what
/// is to be said about how they were put together.
///
/// # Errors
/// Everything wrong in any of their files.
pub(crate) fn field_of(
    class: &Class,
    ours: &str,
    parts: &PartsBox,
    home: Option<&Path>,
) -> Result<(Vec<Opponent>, Option<String>), Trouble> {
    must_have_field(class, home)?;
    let everyone = store::field(&class.field, parts, home)?;
    let everyone: Vec<Robot> = everyone.into_iter().filter(|r| r.file != ours).collect();
    for opponent in &everyone {
        tactic_of(opponent)?;
    }
    let legal: Vec<Robot> = everyone
        .iter()
        .filter(|r| rules::inspect(r, class).legal())
        .cloned()
        .collect();
    let (field, remark) = if legal.is_empty() && !everyone.is_empty() {
        let remark = format!(
            "None of the robots of the field \"{}\" is legal in this class: all of them are \
             taken as they are.",
            class.field
        );
        (everyone, Some(remark))
    } else {
        let out = everyone.len() - legal.len();
        let remark = (out > 0).then(|| {
            format!(
                "{out} of the {} robots of the field \"{}\" are not legal in this class and \
                 are left out.",
                everyone.len(),
                class.field
            )
        });
        (legal, remark)
    };
    let opponents = field.into_iter().map(|robot| Opponent {
        id: id_of(&robot),
        robot,
    });
    Ok((opponents.collect(), remark))
}

impl Setting {
    /// Loads robot `robot` (a file or the name of one of the program's own) for the class `class`
    /// with the class's field.
    ///
    /// # Errors
    /// Everything wrong in any file, and an unknown class.
    pub fn load(robot: &str, class: Option<&str>, home: Option<&Path>) -> Result<Self, Trouble> {
        let mut setting = Self::alone(robot, class, home)?;
        let file = &setting.robot.file;
        (setting.field, setting.field_remark) =
            field_of(&setting.class, file, &setting.parts, home)?;
        Ok(setting)
    }

    /// The same without the field, for what needs no opponents.
    ///
    /// # Errors
    /// Everything wrong in the robot's files, parts and classes, and an unknown class.
    pub fn alone(robot: &str, class: Option<&str>, home: Option<&Path>) -> Result<Self, Trouble> {
        let (parts, classes) = library(home)?;
        let robot = store::load_robot(robot, &parts)?;
        let tactic = tactic_of(&robot)?;
        let class = class_for(class, &robot, &classes)?;
        Ok(Self {
            id: id_of(&robot),
            robot,
            tactic,
            class,
            parts,
            field: Vec::new(),
            field_remark: None,
            home: home.map(Path::to_owned),
        })
    }

    /// The options that make a printed command mean this robot, class and folder again.
    pub(crate) fn options(&self) -> String {
        let mut options = String::new();
        let default = self.robot.class.as_deref().unwrap_or(DEFAULT_CLASS);
        if self.class.name != default {
            options = format!(" --class {}", quoted(&self.class.name));
        }
        options + &home_option(self.home.as_deref())
    }

    /// The command `verb` about this robot; the demo is what a command takes by itself.
    pub(crate) fn command(&self, verb: &str) -> String {
        let robot = if self.id == "demo" {
            String::new()
        } else {
            format!(" {}", quoted(&self.id))
        };
        format!("ringwright {verb}{robot}{}", self.options())
    }
}

/// The option that makes a printed command look into the user's folder again.
pub(crate) fn home_option(home: Option<&Path>) -> String {
    home.map_or_else(String::new, |h| {
        format!(" --home {}", quoted(&h.display().to_string()))
    })
}

/// A word as a shell takes it.
#[must_use]
pub fn quoted(word: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || "/._-".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        word.to_owned()
    } else {
        format!("'{}'", word.replace('\'', r"'\''"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_with_spaces_are_quoted_for_a_shell() {
        assert_eq!(quoted("mini/ox.toml"), "mini/ox.toml");
        assert_eq!(quoted("my robot.toml"), "'my robot.toml'");
        assert_eq!(quoted("it's"), r"'it'\''s'");
    }

    #[test]
    fn a_printed_command_looks_into_the_same_folder() {
        assert_eq!(home_option(None), "");
        assert_eq!(
            home_option(Some(Path::new("my things"))),
            " --home 'my things'"
        );
    }

    #[test]
    fn the_demo_is_loaded_with_its_class_and_field() {
        let s = Setting::load("demo", None, None).expect("it loads");
        assert_eq!(s.class.name, "mini");
        let alone = Setting::alone("demo", None, None).expect("it loads");
        assert!(alone.field.is_empty() && alone.class.name == s.class.name);
        assert!(s.field.len() >= 6 && s.field.iter().all(|o| o.id.starts_with("mini/")));
        assert_eq!(s.command("check"), "ringwright check");
        let s = Setting::load("demo", Some("harbour-club"), None).expect("it loads");
        assert_eq!(s.command("spar"), "ringwright spar --class harbour-club");
    }

    #[test]
    fn a_robot_of_the_field_does_not_fight_itself() {
        let one = Setting::load("demo", None, None).expect("it loads").field[0]
            .id
            .clone();
        let s = Setting::load(&one, None, None).expect("it loads");
        assert!(s.field.iter().all(|o| o.id != one) && s.field.len() >= 5);
    }

    #[test]
    fn a_class_of_kit_parts_has_the_opponents_that_keep_to_them_and_says_so() {
        let s = Setting::load("demo", Some("mini-kit"), None).expect("it loads");
        assert!(s.field.len() >= 2);
        let legal = |o: &Opponent| rules::inspect(&o.robot, &s.class).legal();
        assert!(s.field.iter().all(legal));
        assert!(s.field_remark.is_some_and(|r| r.contains("left out")));
    }

    #[test]
    fn an_unknown_class_is_an_error_with_the_nearest_name() {
        match Setting::load("demo", Some("minni"), None) {
            Err(Trouble::Class(e)) => assert_eq!(e.nearest.as_deref(), Some("mini")),
            other => panic!("{other:?}"),
        }
    }
}
