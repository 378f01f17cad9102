//! Text for people: headings, wrapped paragraphs, hanging entries, aligned tables.
//!
//! One layout for every command. Whatever comes from a user's file is stripped of control
//! characters before it gets here, so that a file cannot drive the terminal; colour only repeats
//! what the words say.

use comfy_table::{CellAlignment, ContentArrangement, LineStyle, TableStyle};

/// Columns of text when nobody says how wide the terminal is.
pub const DEFAULT_WIDTH: usize = 100;
/// Narrower than this a table cannot be laid out.
const LEAST_WIDTH: usize = 40;
/// Wider than this nobody reads a line of prose.
const MOST_WIDTH: usize = 120;
/// Indent of what belongs to a heading.
const INDENT: usize = 3;

/// How text is to be laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Layout {
    /// Columns of the terminal.
    pub width: usize,
    /// Whether colours may be used.
    pub colour: bool,
    /// How the program was called, for commands that are to be typed: [`PROGRAM`], or what stands
    /// for it where it is not installed.
    pub program: &'static str,
}

/// Name of the program, with which every command of an answer begins.
pub const PROGRAM: &str = "ringwright";

impl Default for Layout {
    fn default() -> Self {
        Self {
            width: DEFAULT_WIDTH,
            colour: false,
            program: PROGRAM,
        }
    }
}

impl Layout {
    /// Columns used: the terminal's, within what can be read.
    #[must_use]
    pub fn columns(&self) -> usize {
        self.width.clamp(LEAST_WIDTH, MOST_WIDTH)
    }
}

/// How a piece of text stands out. The words must say the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ink {
    Plain,
    Strong,
    Faint,
    Good,
    Care,
    Bad,
}

impl Ink {
    /// Select Graphic Rendition parameters (ECMA-48, 5th edition, 8.3.117).
    fn code(self) -> &'static str {
        match self {
            Self::Plain => "",
            Self::Strong => "1",
            Self::Faint => "2",
            Self::Good => "32",
            Self::Care => "1;33",
            Self::Bad => "1;31",
        }
    }
}

/// A table to be laid out.
#[derive(Debug, Clone, Default)]
pub(crate) struct Table {
    header: Vec<String>,
    /// Columns set flush right.
    right: Vec<usize>,
    rows: Vec<Vec<String>>,
}

impl Table {
    pub(crate) fn new(header: &[&str]) -> Self {
        Self {
            header: header.iter().map(|h| (*h).to_owned()).collect(),
            ..Self::default()
        }
    }

    /// The same with these columns flush right: numbers.
    pub(crate) fn right(mut self, columns: &[usize]) -> Self {
        self.right = columns.to_vec();
        self
    }

    pub(crate) fn row<S: Into<String>>(&mut self, cells: impl IntoIterator<Item = S>) {
        let tame = |cell: S| plain(&cell.into());
        self.rows.push(cells.into_iter().map(tame).collect());
    }

    /// The lines, at most `width` columns wide.
    fn lines(&self, width: usize) -> Vec<String> {
        let mut table = comfy_table::Table::new();
        let rule = LineStyle::none().fill('─').junction('─');
        table
            .load_style(TableStyle::new().header_separator(rule))
            .set_content_arrangement(ContentArrangement::Dynamic)
            .set_width(u16::try_from(width).unwrap_or(u16::MAX))
            .set_header(&self.header);
        for row in &self.rows {
            table.add_row(row);
        }
        for (k, column) in table.column_iter_mut().enumerate() {
            column.set_padding((0, 2));
            if self.right.contains(&k) {
                column.set_cell_alignment(CellAlignment::Right);
            }
        }
        let lines = table.lines();
        lines.map(|l| l.trim_end().to_owned()).collect()
    }
}

/// A text being written.
#[derive(Debug)]
pub(crate) struct Sheet {
    layout: Layout,
    text: String,
}

impl Sheet {
    pub(crate) fn new(layout: Layout) -> Self {
        Self {
            layout,
            text: String::new(),
        }
    }

    pub(crate) fn finish(self) -> String {
        format!("{}\n", self.text.trim_end())
    }

    fn ink(&self, ink: Ink, words: &str) -> String {
        if self.layout.colour && ink != Ink::Plain && !words.is_empty() {
            format!("\u{1b}[{}m{words}\u{1b}[0m", ink.code())
        } else {
            words.to_owned()
        }
    }

    fn line(&mut self, indent: usize, ink: Ink, words: &str) {
        if !words.trim().is_empty() {
            self.text.push_str(&" ".repeat(indent));
            let inked = self.ink(ink, words);
            self.text.push_str(&inked);
        }
        self.text.push('\n');
    }

    /// One empty line, unless there is one already.
    pub(crate) fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// The first line of all.
    pub(crate) fn title(&mut self, words: &str) {
        self.wrapped("", Ink::Strong, "", Ink::Strong, words, 0);
    }

    /// What stands under the title in small print.
    pub(crate) fn small(&mut self, words: &str) {
        self.wrapped("", Ink::Faint, "", Ink::Faint, words, 0);
    }

    /// A heading.
    pub(crate) fn heading(&mut self, words: &str) {
        self.gap();
        self.wrapped("", Ink::Strong, "", Ink::Strong, words, 0);
    }

    /// A paragraph under a heading.
    pub(crate) fn paragraph(&mut self, words: &str) {
        self.wrapped("", Ink::Plain, "", Ink::Plain, words, INDENT);
    }

    /// A paragraph that says how something stands.
    pub(crate) fn verdict(&mut self, ink: Ink, words: &str) {
        self.wrapped("", ink, "", ink, words, INDENT);
    }

    /// A point of a list: `mark` hangs out to the left.
    pub(crate) fn point(&mut self, mark: &str, words: &str) {
        self.wrapped(mark, Ink::Plain, " ", Ink::Plain, words, INDENT);
    }

    /// The head of a finding: a word for how much it matters, then its name.
    pub(crate) fn finding_head(&mut self, ink: Ink, word: &str, name: &str) {
        self.gap();
        self.wrapped(word, ink, " ", Ink::Strong, name, INDENT);
    }

    /// A labelled line under a point; labels of up to `room` letters line up.
    pub(crate) fn entry(&mut self, label: &str, words: &str) {
        let label = format!("{label:<6}");
        self.wrapped(&label, Ink::Faint, " ", Ink::Plain, words, INDENT + 2);
    }

    /// Small print under a point.
    pub(crate) fn aside(&mut self, words: &str) {
        self.wrapped("", Ink::Faint, "", Ink::Faint, words, INDENT + 2);
    }

    /// A command, exactly as it is to be typed: never wrapped.
    pub(crate) fn command(&mut self, command: &str) {
        let command = self.typed(command);
        self.line(INDENT + 2, Ink::Strong, &plain(&command));
    }

    /// A command as it is to be typed here.
    fn typed(&self, command: &str) -> String {
        match command.strip_prefix(PROGRAM) {
            Some(rest) => format!("{}{rest}", self.layout.program),
            None => command.to_owned(),
        }
    }

    /// A labelled command under a point.
    pub(crate) fn entry_command(&mut self, label: &str, command: &str) {
        let command = format!("{label:<6} {}", plain(&self.typed(command)));
        self.line(INDENT + 2, Ink::Plain, &command);
    }

    /// Lines as they are.
    pub(crate) fn verbatim(&mut self, block: &str) {
        for l in block.lines() {
            self.line(INDENT, Ink::Plain, &plain(l));
        }
    }

    /// A table under a heading.
    pub(crate) fn table(&mut self, table: &Table) {
        let width = self.layout.columns() - INDENT;
        for (k, l) in table.lines(width).into_iter().enumerate() {
            let ink = if k == 0 { Ink::Faint } else { Ink::Plain };
            self.line(INDENT, ink, &l);
        }
    }

    /// The last line of an answer.
    pub(crate) fn last(&mut self, ink: Ink, words: &str) {
        self.gap();
        self.wrapped("", ink, "", ink, words, 0);
    }

    /// `mark`, `between` and then `words`, wrapped and hanging.
    fn wrapped(
        &mut self,
        mark: &str,
        mark_ink: Ink,
        between: &str,
        ink: Ink,
        words: &str,
        indent: usize,
    ) {
        let mark = plain(mark);
        let hang = mark.chars().count() + between.chars().count();
        let room = self.layout.columns().saturating_sub(indent + hang).max(20);
        for (k, l) in wrap(words, room).into_iter().enumerate() {
            let (ink_l, words) = (ink, l.as_str());
            self.text.push_str(&" ".repeat(indent));
            if k == 0 {
                let head = self.ink(mark_ink, &mark);
                self.text.push_str(&head);
                self.text.push_str(between);
            } else {
                self.text.push_str(&" ".repeat(hang));
            }
            let tail = self.ink(ink_l, words);
            self.text.push_str(&tail);
            self.text.push('\n');
        }
    }
}

/// Words without control characters, which could drive a terminal.
#[must_use]
pub fn plain(words: &str) -> String {
    let tame = |c: char| if c.is_control() { '\u{fffd}' } else { c };
    words.chars().map(tame).collect()
}

/// `words` in lines of at most `width` characters. A number keeps its unit beside it; a word
/// longer than a line stands on its own.
pub(crate) fn wrap(words: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut length = 0;
    for word in bound_words(words) {
        let room = word.chars().count();
        if length > 0 && length + 1 + room > width {
            lines.push(std::mem::take(&mut line));
            length = 0;
        }
        if length > 0 {
            line.push(' ');
            length += 1;
        }
        line.push_str(&word);
        length += room;
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// Words between spaces; a number and the unit after it count as one.
fn bound_words(words: &str) -> Vec<String> {
    let mut bound: Vec<String> = Vec::new();
    for word in words.split_whitespace().map(plain) {
        match bound.last_mut() {
            Some(last) if is_unit(&word) && last.ends_with(|c: char| c.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(&word);
            }
            _ => bound.push(word),
        }
    }
    bound
}

fn is_unit(word: &str) -> bool {
    const UNITS: &[&str] = &[
        "mm", "m", "m/s", "g", "kg", "N", "ms", "s", "V", "A", "mA", "Ω", "%", "°", "rpm", "Hz",
        "mAh", "W", "K", "°C", "cm", "mN·m", "m/s²",
    ];
    UNITS.contains(&word.trim_end_matches([',', '.', ';', ':', ')', '?']))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_longer_than_the_width_and_no_word_is_lost() {
        let words = "The edge sensors lead the wheels by only 4 mm: a safe speed is 0.55 m/s, it \
                     reaches 1.29 m/s.";
        for width in 20..70 {
            let lines = wrap(words, width);
            assert!(
                lines.iter().all(|l| l.chars().count() <= width),
                "{lines:?}"
            );
            let joined = lines.join(" ");
            let all: Vec<&str> = joined.split(' ').collect();
            assert_eq!(all, words.split_whitespace().collect::<Vec<_>>());
        }
    }

    #[test]
    fn a_number_keeps_its_unit() {
        assert_eq!(
            wrap("it leads by 4 mm, no more", 15),
            ["it leads by", "4 mm, no more"]
        );
    }

    #[test]
    fn control_characters_of_a_file_never_reach_the_terminal() {
        let mut sheet = Sheet::new(Layout::default());
        sheet.paragraph("name \u{1b}[31mred\u{7}");
        sheet.command("ringwright check \u{1b}]0;x");
        assert!(!sheet.finish().contains('\u{1b}'));
    }

    #[test]
    fn without_colour_there_is_no_escape_and_with_it_the_words_are_the_same() {
        let write = |colour| {
            let mut s = Sheet::new(Layout {
                width: 60,
                colour,
                ..Layout::default()
            });
            s.title("Pebble");
            s.heading("1. Legal?");
            s.verdict(Ink::Good, "Yes.");
            s.finding_head(Ink::Bad, "FAULT", "edge-too-fast");
            s.entry(
                "Why",
                "a long line that has to be wrapped because it goes on and on",
            );
            s.finish()
        };
        let (black, colour) = (write(false), write(true));
        assert!(!black.contains('\u{1b}') && colour.contains('\u{1b}'));
        let mut bare = String::new();
        let mut escape = false;
        for c in colour.chars() {
            match c {
                '\u{1b}' => escape = true,
                'm' if escape => escape = false,
                _ if escape => {}
                _ => bare.push(c),
            }
        }
        assert_eq!(bare, black);
    }

    #[test]
    fn a_table_keeps_to_the_width_and_has_no_trailing_spaces() {
        let mut t = Table::new(&["Rule", "Limit", "Margin"]).right(&[2]);
        t.row(["length", "at most 100 mm", "2 mm"]);
        t.row([
            "what goes on and on in words",
            "under 500 g or thereabouts",
            "12 g",
        ]);
        for width in [40, 60, 100] {
            let lines = t.lines(width);
            assert!(
                lines.iter().all(|l| l.chars().count() <= width),
                "{lines:#?}"
            );
            assert!(lines.iter().all(|l| !l.ends_with(' ')));
        }
    }
}
