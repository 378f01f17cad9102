//! A robot's whole project for a controller board.

use firmware::{Kind, Project, kind};
use robot::Boards;
use serde::Serialize;

use crate::setting::{Setting, Trouble};
use crate::source::SourceFile;
use crate::text::{Layout, Sheet, Table};

/// A row of the project's wiring table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct ConnectionLine {
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

/// How big a project in C becomes, before it is built.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct ProjectSize {
    /// Program memory in bytes, within a tenth.
    pub flash_bytes: u32,
    /// What the board has of it.
    pub flash_of_bytes: u32,
    /// Memory in bytes, within some bytes.
    pub ram_bytes: u32,
    /// What the board has of it.
    pub ram_of_bytes: u32,
    /// Stack in use at most in bytes; none: not known for that chip.
    pub stack_bytes: Option<u32>,
    /// Cycles that the tactic takes for a look at most; none: not counted for that chip.
    pub look_cycles: Option<u32>,
}

/// A robot's whole project for a controller board.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct ControllerProject {
    /// `ringwright/firmware/1`.
    pub schema: String,
    /// The robot.
    pub robot: String,
    /// The class, which says how it is started.
    pub class: String,
    /// The board.
    pub board: String,
    /// `C99` or `MicroPython`.
    pub language: String,
    /// What to wire to what.
    pub wiring: Vec<ConnectionLine>,
    /// What differs from what one would expect.
    pub remarks: Vec<String>,
    /// How big it becomes; none: it is not in C.
    pub size: Option<ProjectSize>,
    /// The files.
    pub files: Vec<SourceFile>,
}

impl ControllerProject {
    /// The project of the robot of `setting` for `board`; it builds without being edited.
    ///
    /// # Errors
    /// No such board, or none that a project is written for; what the program asks of a sensor or gadget
    /// that the robot does not have; lines for which the board has no fitting pin left.
    pub fn of(setting: &Setting, board: &str) -> Result<Self, Trouble> {
        let boards = setting.parts.boards();
        let Some(sheet) = boards.find(board) else {
            return Err(Trouble::Call(unknown(boards, board)));
        };
        let ports = tactic::Ports::of(&setting.robot);
        let program = tactic::compile(&setting.tactic, &ports).map_err(|issues| {
            let t = &setting.robot.tactic;
            Trouble::Files(store::LoadError {
                issues,
                texts: [(t.file.clone(), t.text.clone())].into(),
                ..store::LoadError::default()
            })
        })?;
        let (robot, class) = (&setting.robot, &setting.class);
        let written = Project::of(robot, class, &setting.tactic, &program, &ports, &sheet)
            .map_err(|e| Trouble::Call(e.0.join(" ")))?;
        Ok(Self {
            schema: "ringwright/firmware/1".into(),
            robot: robot.name.clone(),
            class: class.name.clone(),
            board: written.board,
            language: written.kind.language().into(),
            wiring: (written.wiring.into_iter())
                .map(|c| ConnectionLine {
                    item: c.item,
                    signal: c.signal,
                    pin: c.pin,
                    port: c.port,
                    stated: c.stated,
                    mind: c.mind,
                })
                .collect(),
            remarks: written.remarks,
            size: written.size.map(|s| ProjectSize {
                flash_bytes: s.flash_bytes,
                flash_of_bytes: sheet.flash_bytes,
                ram_bytes: s.ram_bytes,
                ram_of_bytes: sheet.ram_bytes,
                stack_bytes: s.stack_bytes,
                look_cycles: s.look_cycles,
            }),
            files: (written.files.into_iter())
                .map(|f| SourceFile {
                    file: f.path,
                    text: f.text,
                })
                .collect(),
        })
    }

    /// For the terminal: what to wire, what to mind, what to do next; `folder` is where the files are.
    #[must_use]
    pub fn text(&self, layout: Layout, folder: &str) -> String {
        let mut s = Sheet::new(layout);
        s.title(&format!(
            "{} on {}, in {}",
            self.robot, self.board, self.language
        ));
        s.small(&format!("Started as the class {} has it.", self.class));
        s.gap();
        let mut table = Table::new(&["What", "Line", "Pin", "From"]);
        for c in &self.wiring {
            let from = if c.stated { "robot file" } else { "proposal" };
            table.row([c.item.clone(), c.signal.clone(), c.pin.clone(), from.into()]);
        }
        s.table(&table);
        s.gap();
        for remark in &self.remarks {
            s.point("·", remark);
        }
        if let Some(size) = &self.size {
            let kilo = |bytes: f64| format!("{:.1} kB", bytes / 1000.0);
            let cycles = size.look_cycles.map_or_else(String::new, |n| {
                format!("; the tactic takes {n} cycles of a look at most")
            });
            s.paragraph(&format!(
                "Takes about {} of {} of program memory and {} of {} bytes of memory{cycles}.",
                kilo(f64::from(size.flash_bytes)),
                kilo(f64::from(size.flash_of_bytes)),
                size.ram_bytes,
                size.ram_of_bytes
            ));
        }
        s.paragraph(&format!(
            "Read {folder}/README.md first: wheels up, power last, eye protection on."
        ));
        s.finish()
    }
}

fn unknown(boards: &Boards, board: &str) -> String {
    let known: Vec<&str> = boards.iter().map(|b| b.name.as_str()).collect();
    let nearest = boards.nearest(board);
    let meant = nearest.map_or(String::new(), |n| format!(" Did you mean {n}?"));
    format!(
        "There is no board \"{board}\": name one of {}.{meant}",
        known.join(", ")
    )
}

/// A board a project can be written for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct ProjectBoard {
    /// What the command calls it.
    pub board: String,
    /// What it is.
    pub title: String,
    /// The chip.
    pub chip: String,
    /// `C99` or `MicroPython`; none: no project is written for its chip.
    pub language: Option<String>,
}

/// The boards a project can be written for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct ProjectBoards {
    /// `ringwright/firmware-boards/1`.
    pub schema: String,
    /// The boards.
    pub boards: Vec<ProjectBoard>,
}

impl ProjectBoards {
    /// All of `boards`.
    #[must_use]
    pub fn of(boards: &Boards) -> Self {
        Self {
            schema: "ringwright/firmware-boards/1".into(),
            boards: (boards.iter())
                .map(|b| ProjectBoard {
                    board: b.name.clone(),
                    title: b.title.clone(),
                    chip: b.chip.clone(),
                    language: kind(b).map(Kind::language).map(str::to_owned),
                })
                .collect(),
        }
    }

    /// For the terminal.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let mut s = Sheet::new(layout);
        s.title("Boards for which a project is written");
        s.gap();
        let mut table = Table::new(&["Board", "Language", "What it is"]);
        for b in &self.boards {
            let language = b.language.as_deref().unwrap_or("none");
            table.row([b.board.clone(), language.into(), b.title.clone()]);
        }
        s.table(&table);
        s.gap();
        s.paragraph("The project of the demo, or of your robot's file behind the board:");
        if let Some(first) = self.boards.iter().find(|b| b.language.is_some()) {
            s.command(&format!(
                "ringwright firmware {} --out controller",
                first.board
            ));
        }
        s.finish()
    }
}
