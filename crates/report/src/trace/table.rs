//! A table of sensor readings, as a controller prints it over its serial line.

use core::ops::Range;
use std::collections::BTreeMap;

use robot::{Issue, Place, reader::nearest};
use tactic::{PortKind, Ports, Program};

/// The column of the clock, which comes first.
const CLOCK: &str = "ms";
/// Columns that are compared with what the program decides.
const COMPARED: [&str; 4] = ["drive-left", "drive-right", "state", "reflex"];
/// What stands for a distance sensor that sees nothing.
const NOTHING: &str = "none";
/// Cells of one column that are told one by one; a column that is wrong throughout is said once.
const TOLD: usize = 20;
/// Longest time from one row to the next, ms: the program's clock has 16 bits.
const LONGEST_MS: u32 = 65_535;

/// One look.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Row {
    /// Its line in the file.
    pub(super) line: u32,
    /// The clock, ms.
    pub(super) ms: u32,
    /// The readings in the order of the ports.
    pub(super) readings: Vec<i16>,
    /// What the real robot drove, per mille, and the state it was in; none: not told.
    pub(super) left: Option<i16>,
    pub(super) right: Option<i16>,
    pub(super) state: Option<String>,
    /// The reflex that ran; empty: none did; none: not told.
    pub(super) reflex: Option<String>,
}

/// The whole table.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Table {
    pub(super) rows: Vec<Row>,
    /// What the remarks say.
    pub(super) opening: Option<String>,
    pub(super) noise: Option<u16>,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Column {
    Clock,
    /// The port at this place.
    Sensor(usize),
    /// The compared column at this place.
    Compared(usize),
    /// Something that is wrong and said already.
    Unknown,
}

/// Reads a table for a robot with these ports and this program.
///
/// # Errors
/// Everything wrong in it.
pub(super) fn read(
    file: &str,
    text: &str,
    ports: &Ports,
    program: &Program,
) -> Result<Table, Vec<Issue>> {
    let mut reader = Reader {
        file,
        text,
        ports,
        program,
        issues: Vec::new(),
        wrong: BTreeMap::new(),
    };
    let mut table = reader.remarks();
    reader.records(&mut table);
    reader.sum_up();
    let mut issues = reader.issues;
    if issues.is_empty() {
        Ok(table)
    } else {
        issues.sort_by_key(|i| i.place.span.start);
        Err(issues)
    }
}

struct Reader<'t> {
    file: &'t str,
    text: &'t str,
    ports: &'t Ports,
    program: &'t Program,
    issues: Vec<Issue>,
    /// Wrong cells of each column beyond those that are told, and where the first of these stands.
    wrong: BTreeMap<usize, (usize, Option<Range<usize>>)>,
}

/// Line of a byte of a text, counted from 1.
fn line_of(text: &str, at: usize) -> u32 {
    let before = text.as_bytes().get(..at).unwrap_or_default();
    let line = before.iter().filter(|b| **b == b'\n').count() + 1;
    u32::try_from(line).unwrap_or(u32::MAX)
}

/// Where the cells of the record stand that begins at `start`.
fn cells(text: &str, start: usize) -> Vec<Range<usize>> {
    let mut cells = Vec::new();
    let (mut from, mut quoted) = (start, false);
    for (k, b) in text.bytes().enumerate().skip(start) {
        match b {
            b'"' => quoted = !quoted,
            b',' if !quoted => {
                cells.push(from..k);
                from = k + 1;
            }
            b'\n' | b'\r' if !quoted => {
                cells.push(from..k);
                return cells;
            }
            _ => {}
        }
    }
    cells.push(from..text.len());
    cells
}

impl Reader<'_> {
    fn wrong(
        &mut self,
        span: Range<usize>,
        what: String,
        expected: &str,
        suggestion: Option<String>,
    ) {
        let place = Place {
            file: self.file.into(),
            line: line_of(self.text, span.start),
            span,
        };
        self.issues.push(Issue {
            place,
            what,
            expected: expected.to_owned(),
            suggestion,
        });
    }

    /// A wrong cell of a column.
    fn wrong_cell(&mut self, column: usize, span: Range<usize>, what: String, expected: &str) {
        self.unknown_cell(column, span, what, expected, None);
    }

    /// The same of a word where another was meant.
    fn unknown_cell(
        &mut self,
        column: usize,
        span: Range<usize>,
        what: String,
        expected: &str,
        near: Option<String>,
    ) {
        let (count, first) = self.wrong.entry(column).or_default();
        *count += 1;
        if *count > TOLD {
            first.get_or_insert(span);
        } else {
            self.wrong(span, what, expected, near);
        }
    }

    /// Says how many wrong cells were not told one by one.
    fn sum_up(&mut self) {
        for (column, (count, first)) in core::mem::take(&mut self.wrong) {
            if let Some(span) = first {
                let more = count - TOLD;
                let what = format!(
                    "{more} more such cells in column {}, from here on",
                    column + 1
                );
                self.wrong(span, what, "the same as above", None);
            }
        }
    }

    /// What the remarks say of opening and die.
    fn remarks(&mut self) -> Table {
        let mut table = Table::default();
        let mut start = 0;
        for line in self.text.split_inclusive('\n') {
            let span = start..start + line.trim_end().len();
            start += line.len();
            let Some(remark) = line.strip_prefix('#') else {
                continue;
            };
            let mut words = remark.split_whitespace();
            match (words.next(), words.next(), words.next()) {
                (Some("opening"), Some(name), None) => {
                    let known = self.program.openings().iter().map(|o| o.name.as_str());
                    let known: Vec<&str> = known.collect();
                    if known.contains(&name) {
                        table.opening = Some(name.to_owned());
                    } else {
                        let near = nearest(name, known.iter().copied()).map(str::to_owned);
                        let expected = format!("one of {}", known.join(", "));
                        let what = format!("the program has no opening \"{name}\"");
                        self.wrong(span, what, &expected, near);
                    }
                }
                (Some("noise"), Some(number), None) => {
                    if let Ok(noise) = number.parse() {
                        table.noise = Some(noise);
                    } else {
                        let what = format!("\"{number}\" is no start of the die");
                        self.wrong(span, what, "a whole number from 0 to 65535", None);
                    }
                }
                _ => {}
            }
        }
        table
    }

    fn records(&mut self, table: &mut Table) {
        let mut csv = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .comment(Some(b'#'))
            .trim(csv::Trim::All)
            .from_reader(self.text.as_bytes());
        let mut columns: Option<Vec<Column>> = None;
        let mut start = 0;
        for record in csv.records() {
            // Reading a text that is in memory and is UTF-8 cannot fail.
            let Ok(record) = record else { return };
            start = self.begin_of_record(start);
            let spans = cells(self.text, start);
            let end = spans.last().map_or(start, |s| s.end);
            if let Some(columns) = &columns {
                self.row(&record, &spans, columns, table);
            } else {
                columns = Some(self.head(&record, &spans));
            }
            start = end;
        }
        if columns.is_none() {
            let what = "there is no table".to_owned();
            self.wrong(
                0..0,
                what,
                "a line with the names of the columns, first ms",
                None,
            );
        } else if table.rows.is_empty() && self.issues.is_empty() {
            let end = self.text.trim_end().len();
            self.wrong(
                end..end,
                "there are no readings".to_owned(),
                "a row for each look",
                None,
            );
        }
    }

    /// Where the next record begins, at or behind `from`: behind line ends and remarks.
    fn begin_of_record(&self, from: usize) -> usize {
        let mut at = from;
        loop {
            let rest = self.text.get(at..).unwrap_or_default();
            at += rest.len() - rest.trim_start_matches(['\n', '\r', '\u{feff}']).len();
            match self.text.get(at..) {
                Some(rest) if rest.starts_with('#') => {
                    at += rest.find('\n').map_or(rest.len(), |k| k + 1);
                }
                _ => return at,
            }
        }
    }

    fn head(&mut self, record: &csv::StringRecord, spans: &[Range<usize>]) -> Vec<Column> {
        let (ports, text) = (self.ports, self.text);
        let names = || ports.inputs.iter().map(|p| p.name.as_str());
        let mut columns: Vec<Column> = Vec::new();
        for (k, name) in record.iter().enumerate() {
            let span = spans.get(k).cloned().unwrap_or(text.len()..text.len());
            let sensor = names().position(|n| n == name);
            let compared = COMPARED.iter().position(|n| *n == name);
            let column = match (name, sensor, compared) {
                (CLOCK, _, _) => Column::Clock,
                // A sensor of the same name comes first.
                (_, Some(sensor), _) => Column::Sensor(sensor),
                (_, None, Some(compared)) => Column::Compared(compared),
                _ => Column::Unknown,
            };
            if column == Column::Unknown {
                let known = names().chain(COMPARED).chain([CLOCK]);
                let near = nearest(name, known).map(str::to_owned);
                let what = format!("the robot has no sensor \"{name}\"");
                let all: Vec<&str> = names().collect();
                let expected = format!("one of {}, or {}", all.join(", "), COMPARED.join(", "));
                self.wrong(span, what, &expected, near);
            } else if columns.contains(&column) {
                let what = format!("a second column \"{name}\"");
                self.wrong(span, what, "one column for each", None);
            } else if (column == Column::Clock) != (k == 0) {
                let what = if k == 0 {
                    format!("\"{name}\" is the first column")
                } else {
                    "the clock is not the first column".to_owned()
                };
                self.wrong(
                    span,
                    what,
                    "the clock \"ms\" first, then the rest in any order",
                    None,
                );
            }
            columns.push(column);
        }
        for (k, name) in names().enumerate() {
            if !columns.contains(&Column::Sensor(k)) {
                let span = spans.first().map_or(0, |s| s.start)..spans.last().map_or(0, |s| s.end);
                let what = format!("there is no column for the sensor \"{name}\"");
                self.wrong(span, what, "a column for each sensor of the robot", None);
            }
        }
        columns
    }

    fn row(
        &mut self,
        record: &csv::StringRecord,
        spans: &[Range<usize>],
        columns: &[Column],
        table: &mut Table,
    ) {
        let whole = spans.first().map_or(0, |s| s.start)..spans.last().map_or(0, |s| s.end);
        if record.len() != columns.len() {
            let what = format!("a row of {} cells", record.len());
            let expected = format!("{}, as many as there are columns", columns.len());
            self.wrong(whole, what, &expected, None);
            return;
        }
        let last = table.rows.last();
        let first = last.is_none();
        let mut row = Row {
            line: line_of(self.text, whole.start),
            readings: last.map_or(vec![0; self.ports.inputs.len()], |r| r.readings.clone()),
            ..Row::default()
        };
        let before = last.map(|r| r.ms);
        for (k, (cell, column)) in record.iter().zip(columns).enumerate() {
            let span = spans.get(k).cloned().unwrap_or(whole.clone());
            match column {
                Column::Clock => row.ms = self.clock(cell, span, before),
                Column::Sensor(s) if cell.is_empty() && first => {
                    let what = format!("\"{}\" has no reading yet", self.sensor(*s));
                    self.wrong_cell(k, span, what, "a reading: this is the first row");
                }
                Column::Sensor(_) if cell.is_empty() => {}
                Column::Sensor(s) => {
                    let reading = self.reading(k, *s, cell, span);
                    if let Some(slot) = row.readings.get_mut(*s) {
                        *slot = reading;
                    }
                }
                Column::Compared(c) => self.compared(k, *c, cell, span, &mut row),
                Column::Unknown => {}
            }
        }
        table.rows.push(row);
    }

    fn sensor(&self, k: usize) -> &str {
        self.ports.inputs.get(k).map_or("", |p| p.name.as_str())
    }

    fn clock(&mut self, cell: &str, span: Range<usize>, before: Option<u32>) -> u32 {
        let Ok(ms) = cell.parse::<u32>() else {
            let what = format!("\"{cell}\" is no time");
            self.wrong_cell(0, span, what, "a whole number of milliseconds");
            // The rows that follow are held against the last time that could be read.
            return before.unwrap_or(0);
        };
        if let Some(before) = before {
            if ms <= before {
                let what = format!("the clock goes from {before} to {ms} ms");
                self.wrong_cell(0, span, what, "a later time than in the row before");
            } else if ms - before > LONGEST_MS {
                let what = format!("{} ms without a look", ms - before);
                let expected = "at most 65535 ms from row to row: the program's clock has 16 bits";
                self.wrong_cell(0, span, what, expected);
            }
        }
        ms
    }

    fn reading(&mut self, column: usize, sensor: usize, cell: &str, span: Range<usize>) -> i16 {
        let range = (self.ports.inputs.get(sensor)).is_some_and(|p| p.kind == PortKind::Range);
        if cell == NOTHING && range {
            return PortKind::NOTHING;
        }
        if let Ok(reading) = cell.parse() {
            return reading;
        }
        let name = self.sensor(sensor);
        let what = format!("\"{cell}\" is no reading of \"{name}\"");
        let expected = if range {
            "a whole number from -32768 to 32767, or none"
        } else {
            "a whole number from -32768 to 32767"
        };
        self.wrong_cell(column, span, what, expected);
        0
    }

    /// What the real robot did. An empty cell says nothing, but that no reflex ran.
    fn compared(&mut self, k: usize, what: usize, cell: &str, span: Range<usize>, row: &mut Row) {
        let side = match what {
            0 => &mut row.left,
            1 => &mut row.right,
            _ => {
                let program = self.program;
                let states = program.states.iter().map(|s| s.name.as_str());
                let reflexes = program.reflexes.iter().map(|r| r.name.as_str());
                let (slot, names): (_, Vec<&str>) = if what == 2 {
                    (&mut row.state, states.collect())
                } else {
                    (&mut row.reflex, reflexes.collect())
                };
                let empty = cell.is_empty();
                if !empty && !names.contains(&cell) {
                    let near = nearest(cell, names.iter().copied());
                    let near = near.map(str::to_owned);
                    let kind = COMPARED.get(what).copied().unwrap_or_default();
                    let expected = format!("one of {}", names.join(", "));
                    let text = format!("the program has no {kind} \"{cell}\"");
                    self.unknown_cell(k, span, text, &expected, near);
                } else if !empty || what == 3 {
                    *slot = Some(cell.to_owned());
                }
                return;
            }
        };
        match cell.parse() {
            Ok(effort) if (-1000..=1000).contains(&effort) => *side = Some(effort),
            _ if cell.is_empty() => {}
            _ => {
                let what = format!("\"{cell}\" is no effort");
                self.wrong_cell(k, span, what, "a whole number from -1000 to 1000");
            }
        }
    }
}
