//! A whole project for a controller board: everything from the reset to the motors, that builds without
//! being edited.
//!
//! Most of it is the same for every robot and stands in `c/` and `py/`; what differs (lines and pins,
//! sensors, times, names) is written here as headers and tables. The hardware stands behind one header.

mod c;
mod chip;
mod config;
mod lines;
mod names;
mod python;
mod readme;
mod sensors;
mod sensors_c;
mod size;
mod trace;

use paper::power::PinRow;
use robot::{BoardSheet, Robot};
use rules::Class;
use tactic::{Ports, Program, Tactic};

use crate::File;
pub use chip::{Kind, kind};
use config::Figures;
use lines::Lines;
pub use size::Size;

/// What a project is written from.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Source<'a> {
    pub(crate) robot: &'a Robot,
    pub(crate) class: &'a Class,
    pub(crate) tactic: &'a Tactic,
    pub(crate) program: &'a Program,
    pub(crate) ports: &'a Ports,
}

/// One row of the wiring table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Connection {
    /// What it belongs to.
    pub item: String,
    /// What it is.
    pub signal: String,
    /// The pin, as printed on the board.
    pub pin: String,
    /// What the chip's papers call it.
    pub port: String,
    /// Whether the robot file says so; else it is a proposal.
    pub stated: bool,
    /// What to add or to mind.
    pub mind: Option<String>,
}

/// A whole project.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Project {
    /// The board.
    pub board: String,
    /// In what it is written.
    pub kind: Kind,
    /// Its files.
    pub files: Vec<File>,
    /// What to wire to what.
    pub wiring: Vec<Connection>,
    /// What differs from what one would expect.
    pub remarks: Vec<String>,
    /// How big it becomes; none: it is not in C.
    pub size: Option<Size>,
}

/// Why a project cannot be written: sentences, all of them at once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unwritten(pub Vec<String>);

impl Project {
    /// The project of `robot` with its program on the board of `sheet`, to be started as `class` has it.
    /// Pins the robot file names for another board are proposed anew.
    ///
    /// # Errors
    /// A chip for which none can be written; lines for which the board has no pin left, or that are wired
    /// to a pin that cannot do what they need.
    pub fn of(
        robot: &Robot,
        class: &Class,
        tactic: &Tactic,
        program: &Program,
        ports: &Ports,
        sheet: &BoardSheet,
    ) -> Result<Self, Unwritten> {
        let Some(kind) = kind(sheet) else {
            return Err(Unwritten(vec![format!(
                "No project is written for the chip \"{}\": there is one for {}.",
                sheet.chip,
                chip::NAMES.join(", ")
            )]));
        };
        let source = Source {
            robot,
            class,
            tactic,
            program,
            ports,
        };
        let mut remarks = Vec::new();
        let lines = Lines::of(&source, sheet, kind, &mut remarks)?;
        let figures = Figures::of(&source, &lines, kind);
        let files = match kind {
            Kind::Avr | Kind::Stm32f103 | Kind::Nrf52833 => {
                c::files(&source, &lines, kind, &figures, &mut remarks)
            }
            Kind::MicroPython => python::files(&source, &lines, &figures, &mut remarks),
        };
        let wiring = lines.rows.iter().map(connection).collect();
        let mut project = Self {
            board: sheet.name.clone(),
            kind,
            files,
            wiring,
            remarks,
            size: Size::of(&source, &lines, &figures, kind),
        };
        let readme = readme::text(&source, &lines, &figures, &project);
        project.files.insert(0, File::new("README.md", readme));
        Ok(project)
    }
}

fn connection(row: &PinRow) -> Connection {
    Connection {
        item: row.line.item.clone(),
        signal: row.line.signal.to_owned(),
        pin: row.pin.clone().unwrap_or_default(),
        port: row.port.clone().unwrap_or_default(),
        stated: row.stated,
        mind: row.mind.clone(),
    }
}
