//! Why a program did what it did, on readings of a real robot.

mod table;
#[cfg(test)]
mod tests;
mod words;

use std::path::Path;

use robot::reader::nearest;
use serde::Serialize;
use store::LoadError;
use tactic::{Decided, Explained, Explainer, OFF, Ports};

use crate::setting::{Setting, Trouble};
use table::{Row, Table};

/// Where the die starts when nobody says.
const NOISE: u16 = 1;

/// A number with a name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct NamedValue {
    /// The name.
    pub name: String,
    /// The number. Of a gadget where it is sent, in per mille of its way; none: its power is off.
    pub value: Option<i32>,
}

/// Something that was decided.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct DecidedLine {
    /// `side`, `reflex`, `reflex-done`, `stay`, `go`, `then`, `again`, `time-over`, `until`, `set`, `restart`,
    /// `gadget` or `rule`.
    pub kind: String,
    /// What, in the words of the program where it has some.
    pub what: String,
    /// Why: what of the condition held, with readings and limits.
    pub why: Vec<String>,
}

/// One look at the sensors.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct TraceTick {
    /// Line of the table.
    pub line: u32,
    /// The clock, ms.
    pub ms: u32,
    /// The state it is in, or that a reflex broke into.
    pub state: String,
    /// The reflex that runs.
    pub reflex: Option<String>,
    /// The step it is at, counted from 1.
    pub step: Option<u32>,
    /// That step as written.
    pub step_written: Option<String>,
    /// Effort of the left side, per mille.
    pub left: i16,
    /// Effort of the right side, per mille.
    pub right: i16,
    /// The side the opponent was seen on last: `left` or `right`.
    pub seen: String,
    /// The counters.
    pub counters: Vec<NamedValue>,
    /// The timers, ms.
    pub timers: Vec<NamedValue>,
    /// Where the gadgets are sent.
    pub gadgets: Vec<NamedValue>,
    /// What was decided, in order.
    pub decided: Vec<DecidedLine>,
}

/// Something the table has and the program decides otherwise.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Unequal {
    /// The column.
    pub column: String,
    /// What the table has; empty: nothing.
    pub table: String,
    /// What the program decides; empty: nothing.
    pub program: String,
}

/// Where the table and the program part.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Difference {
    /// Line of the first row that differs.
    pub line: u32,
    /// Its clock, ms.
    pub ms: u32,
    /// In what.
    pub unequal: Vec<Unequal>,
    /// How many rows differ in all.
    pub rows: u32,
}

/// Why a program did what it did.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Trace {
    /// `ringwright/trace/1`.
    pub schema: String,
    /// The robot.
    pub robot: String,
    /// The file of its program.
    pub tactic: String,
    /// The file of the readings.
    pub readings: String,
    /// The opening.
    pub opening: String,
    /// Where the die starts.
    pub noise: u16,
    /// Rows of the table.
    pub rows: u32,
    /// Rows in which something was compared with what the real robot did.
    pub compared: u32,
    /// Where that differs; none: nowhere.
    pub differs: Option<Difference>,
    /// The looks at which something changed, or all.
    pub ticks: Vec<TraceTick>,
}

/// What a call can say about a trace.
#[derive(Debug, Clone, Copy, Default)]
pub struct TraceOptions<'c> {
    /// The opening; none: the one the table names, else the first.
    pub opening: Option<&'c str>,
    /// Where the die starts; none: where the table says, else at 1.
    pub noise: Option<u16>,
    /// Every look, not only those at which something changed.
    pub all: bool,
}

impl Trace {
    /// Runs the program of the robot of `setting` on the table of readings in `file`.
    ///
    /// # Errors
    /// When the file cannot be read, everything wrong in it, and an opening that the program does not have.
    pub fn of(setting: &Setting, file: &str, options: TraceOptions<'_>) -> Result<Self, Trouble> {
        let text = store::read_text(Path::new(file)).map_err(LoadError::from)?;
        Self::from_text(setting, file, &text, options)
    }

    /// The same of a table that has been read already.
    fn from_text(
        setting: &Setting,
        file: &str,
        text: &str,
        options: TraceOptions<'_>,
    ) -> Result<Self, Trouble> {
        let ports = Ports::of(&setting.robot);
        let t = &setting.robot.tactic;
        let explainer = Explainer::new(&setting.tactic, &ports).map_err(|issues| {
            let files = [(t.file.clone(), t.text.clone())];
            Trouble::Files(LoadError::in_files(issues, &files))
        })?;
        let program = explainer.program();
        let names: Vec<&str> = program.openings().iter().map(|o| o.name.as_str()).collect();
        if let Some(name) = options.opening.filter(|o| !names.contains(o)) {
            let near = nearest(name, names.iter().copied());
            let near = near.map_or(String::new(), |n| format!(" Did you mean \"{n}\"?"));
            return Err(Trouble::Call(format!(
                "The program has no opening \"{name}\".{near} Its openings are {}.",
                names.join(", ")
            )));
        }
        let table = table::read(file, text, &ports, program).map_err(|issues| {
            let files = [(file.to_owned(), text.to_owned())];
            Trouble::Files(LoadError::in_files(issues, &files))
        })?;
        let opening = options.opening.or(table.opening.as_deref());
        let opening = names.iter().position(|n| Some(*n) == opening).unwrap_or(0);
        let noise = options.noise.or(table.noise).unwrap_or(NOISE);
        let mut trace = Self {
            schema: "ringwright/trace/1".to_owned(),
            robot: setting.robot.name.clone(),
            tactic: t.file.clone(),
            readings: file.to_owned(),
            opening: names.get(opening).copied().unwrap_or_default().to_owned(),
            noise,
            rows: u32::try_from(table.rows.len()).unwrap_or(u32::MAX),
            compared: 0,
            differs: None,
            ticks: Vec::new(),
        };
        trace.run(&explainer, &ports, opening, &table, options.all);
        Ok(trace)
    }

    fn run(
        &mut self,
        explainer: &Explainer<'_>,
        ports: &Ports,
        opening: usize,
        table: &Table,
        all: bool,
    ) {
        let mut memory = explainer.program().start(opening, self.noise);
        let mut last: Option<Explained> = None;
        for row in &table.rows {
            // The program's clock has 16 bits and goes round.
            let now = u16::try_from(row.ms % 65_536).unwrap_or(0);
            let told = explainer.tick(&mut memory, &row.readings, now);
            let parted = self.compare(row, &told);
            if all || parted || changed(last.as_ref(), &told) {
                self.ticks.push(tick(row, &told, ports));
            }
            last = Some(told);
        }
    }

    /// Whether this row is the first that differs.
    fn compare(&mut self, row: &Row, told: &Explained) -> bool {
        let number = |n: i16| n.to_string();
        let columns = [
            ("drive-left", row.left.map(number), number(told.drive.left)),
            (
                "drive-right",
                row.right.map(number),
                number(told.drive.right),
            ),
            ("state", row.state.clone(), told.state.clone()),
            (
                "reflex",
                row.reflex.clone(),
                told.reflex.clone().unwrap_or_default(),
            ),
        ];
        self.compared += u32::from(columns.iter().any(|c| c.1.is_some()));
        let unequal = columns.into_iter().filter_map(|(column, table, program)| {
            let table = table.filter(|t| *t != program)?;
            Some(Unequal {
                column: column.to_owned(),
                table,
                program,
            })
        });
        let unequal: Vec<Unequal> = unequal.collect();
        if unequal.is_empty() {
            return false;
        }
        let first = self.differs.is_none();
        let differs = self.differs.get_or_insert(Difference {
            line: row.line,
            ms: row.ms,
            unequal,
            rows: 0,
        });
        differs.rows += 1;
        first
    }
}

/// Whether something happened that did not happen in the tick before as well.
fn changed(last: Option<&Explained>, now: &Explained) -> bool {
    let Some(last) = last else { return true };
    let is_rule = |d: &&Decided| matches!(d, Decided::Rule { .. });
    let rule = |of: &Explained| {
        of.decided.iter().find_map(|d| match d {
            Decided::Rule { written, .. } => Some(written.clone()),
            _ => None,
        })
    };
    let stands = |of: &Explained| {
        let at = (of.state.clone(), of.reflex.clone(), of.step.clone());
        (at, of.drive, of.gadgets.clone(), of.counters.clone())
    };
    !now.decided.iter().all(|d| is_rule(&d))
        || rule(last) != rule(now)
        || stands(last) != stands(now)
}

fn tick(row: &Row, told: &Explained, ports: &Ports) -> TraceTick {
    let (step, written) = told.step.clone().unzip();
    let values = |all: &[(String, i16)]| -> Vec<NamedValue> {
        let value = |(name, value): &(String, i16)| NamedValue {
            name: name.clone(),
            value: Some(i32::from(*value)),
        };
        all.iter().map(value).collect()
    };
    let timers = told.timers.iter().map(|(name, ms)| NamedValue {
        name: name.clone(),
        value: Some(i32::from(*ms)),
    });
    let gadgets = told.gadgets.iter().map(|(name, to)| NamedValue {
        name: name.clone(),
        value: (*to != OFF).then_some(i32::from(*to)),
    });
    TraceTick {
        line: row.line,
        ms: row.ms,
        state: told.state.clone(),
        reflex: told.reflex.clone(),
        step: step.and_then(|s| u32::try_from(s).ok()),
        step_written: written,
        left: told.drive.left,
        right: told.drive.right,
        seen: if told.seen_left { "left" } else { "right" }.to_owned(),
        counters: values(&told.counters),
        timers: timers.collect(),
        gadgets: gadgets.collect(),
        decided: (told.decided.iter())
            .map(|d| words::decided(d, ports))
            .collect(),
    }
}
