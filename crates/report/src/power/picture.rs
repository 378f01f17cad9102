//! The wiring as a picture: the board in the middle, what it reads to the left, what it drives to the
//! right, the thick wires below. Rows are straight lines, so that a finger can follow them. It is drawn in
//! black; dashes and thickness say the rest.

use core::fmt::Write;

use super::blocks::{Block, ROW, tall};
use super::{WireLine, WiringPlan, text::amperes};
use crate::text::{plain, wrap};

/// Width of the picture in its own units; letters are chosen so that a picture 400 px wide can be read.
const WIDTH: f64 = 1000.0;
/// Left and right edges of the three columns.
const LEFT: [f64; 2] = [20.0, 260.0];
const BOARD: [f64; 2] = [410.0, 570.0];
const RIGHT: [f64; 2] = [745.0, 980.0];
/// Middle of the board.
const MIDDLE: f64 = 490.0;
/// Sizes of letters: names, lines, small print.
const NAME: f64 = 22.0;
const LABEL: f64 = 20.0;
/// Width of a letter as a share of its size, on average.
const LETTER: f64 = 0.58;
/// Letters in a line of the notes.
const NOTE_LETTERS: usize = 84;

/// A drawing being made.
struct Page {
    out: String,
}

impl Page {
    fn text(&mut self, x: f64, y: f64, size: f64, anchor: &str, words: &str) {
        let _ = writeln!(
            self.out,
            r#"<text x="{x:.0}" y="{y:.0}" font-size="{size:.0}" text-anchor="{anchor}">{}</text>"#,
            escaped(words)
        );
    }

    fn bold(&mut self, x: f64, y: f64, size: f64, anchor: &str, words: &str) {
        let _ = writeln!(
            self.out,
            r#"<text x="{x:.0}" y="{y:.0}" font-size="{size:.0}" font-weight="bold" text-anchor="{anchor}">{}</text>"#,
            escaped(words)
        );
    }

    fn boxed(&mut self, x: [f64; 2], y: f64, height: f64, fill: &str) {
        let _ = writeln!(
            self.out,
            r##"<rect x="{:.0}" y="{y:.0}" width="{:.0}" height="{height:.0}" rx="8" fill="{fill}" stroke="#222" stroke-width="2.5"/>"##,
            x[0],
            x[1] - x[0]
        );
    }

    /// A thin line: a signal.
    fn signal(&mut self, x0: f64, x1: f64, y: f64, proposed: bool) {
        let dash = if proposed {
            r#" stroke-dasharray="9 6""#
        } else {
            ""
        };
        let _ = writeln!(
            self.out,
            r##"<line x1="{x0:.0}" y1="{y:.0}" x2="{x1:.0}" y2="{y:.0}" stroke="#222" stroke-width="2.5"{dash}/>"##
        );
    }

    /// The head of an arrow at `x`, pointing to the right (1) or to the left (-1).
    fn head(&mut self, x: f64, y: f64, way: f64) {
        let (back, half) = (x - 14.0 * way, 7.0);
        let _ = writeln!(
            self.out,
            r##"<path d="M {x:.0} {y:.0} L {back:.0} {:.0} L {back:.0} {:.0} Z" fill="#222"/>"##,
            y - half,
            y + half
        );
    }

    /// A thick line through points: motor current.
    fn thick(&mut self, points: &[(f64, f64)]) {
        let path: Vec<String> = points
            .iter()
            .map(|(x, y)| format!("{x:.0},{y:.0}"))
            .collect();
        let _ = writeln!(
            self.out,
            r##"<polyline points="{}" fill="none" stroke="#222" stroke-width="7" stroke-linejoin="round"/>"##,
            path.join(" ")
        );
    }
}

fn escaped(words: &str) -> String {
    plain(words)
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

/// `words` cut so that they fit `room` at `size`.
fn fit(words: &str, room: f64, size: f64) -> String {
    let most = letters(room, size);
    if words.chars().count() <= most {
        return words.to_owned();
    }
    let cut: String = words.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", cut.trim_end())
}

/// How many letters of `size` fit `room`.
fn letters(room: f64, size: f64) -> usize {
    let n = (room / (LETTER * size)).floor().clamp(1.0, 1e3);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 1 and 1000 by the clamp above"
    )]
    {
        n as usize
    }
}

impl WiringPlan {
    /// As a picture.
    #[must_use]
    pub fn svg(&self) -> String {
        let p = &self.power;
        let [left, right] = p.blocks();
        let marks = p.marks();
        let mut page = Page { out: String::new() };
        let top = 150.0;
        let inside = tall(&left).max(tall(&right));
        let floor = top + inside;
        page.boxed(BOARD, top - 50.0, inside + 102.0, "#eee");
        let board = p.board.as_deref().unwrap_or("board");
        page.bold(MIDDLE, top - 64.0, NAME, "middle", board);
        let mut y = top;
        for block in &left {
            column(&mut page, block, LEFT, BOARD[0], y, &marks, block.height());
            y += block.pitch();
        }
        // The driver ends where the pack's wire comes in.
        let (lead_y, mut y) = (floor + 120.0, top + (inside - tall(&right)).max(0.0));
        for (k, block) in right.iter().enumerate() {
            let last = k + 1 == right.len() && block.title == "driver";
            let height = if last {
                lead_y + 40.0 - y
            } else {
                block.height()
            };
            column(&mut page, block, RIGHT, BOARD[1], y, &marks, height);
            y += block.pitch();
        }
        let bottom = self.thick_part(&mut page, floor + 52.0, lead_y);
        let bottom = self.notes(&mut page, bottom, &marks);
        self.framed(&page.out, bottom)
    }

    /// The pack, its fuse, the wires to driver, board and motors; gives where that ends.
    fn thick_part(&self, page: &mut Page, board_y: f64, lead_y: f64) -> f64 {
        let p = &self.power;
        page.boxed(LEFT, lead_y - 45.0, 90.0, "#fff");
        let room = LEFT[1] - LEFT[0] - 20.0;
        let kind = format!("pack: {}", self.battery[0]);
        page.bold(
            LEFT[0] + 12.0,
            lead_y - 10.0,
            NAME,
            "start",
            &fit(&kind, room, NAME),
        );
        page.text(
            LEFT[0] + 12.0,
            lead_y + 22.0,
            LABEL,
            "start",
            &fit(&self.battery[1], room, LABEL),
        );
        page.thick(&[(LEFT[1], lead_y), (RIGHT[0], lead_y)]);
        page.thick(&[(MIDDLE, lead_y), (MIDDLE, board_y)]);
        page.boxed([286.0, 378.0], lead_y - 22.0, 44.0, "#fff");
        let rating = p
            .fuse
            .as_ref()
            .map_or("fuse".to_owned(), |f| amperes(f.rating_a));
        page.bold(332.0, lead_y + 8.0, NAME, "middle", &rating);
        page.text(332.0, lead_y + 48.0, LABEL, "middle", "fuse");
        if let Some(feed) = &p.fed_at {
            page.bold(MIDDLE, board_y - 14.0, NAME, "middle", feed);
        } else if p.board.is_some() {
            page.boxed([MIDDLE - 70.0, MIDDLE + 70.0], board_y + 14.0, 38.0, "#fff");
            page.text(MIDDLE, board_y + 40.0, LABEL, "middle", "regulator");
        }
        if let Some(lead) = p.wires.first() {
            page.text(625.0, lead_y - 14.0, LABEL, "middle", &lead.wire);
            page.text(
                616.0,
                lead_y + 32.0,
                LABEL,
                "middle",
                &amperes(lead.stalled_a),
            );
        }
        let is_gadget = |w: &WireLine| p.pins.iter().any(|q| q.item == w.to);
        let motors: Vec<&WireLine> = p.wires.iter().skip(1).filter(|w| !is_gadget(w)).collect();
        if motors.is_empty() {
            return lead_y + 70.0;
        }
        // Motors in a row; each has its own level, so that no wire crosses another.
        let n = motors.len() as f64;
        let room = (960.0 / n).min(250.0);
        let first = RIGHT[1] - room * n;
        let row_y = lead_y + 40.0 + 26.0 + 16.0 * n;
        for (k, motor) in motors.iter().enumerate() {
            let k = k as f64;
            let middle = first + room * (k + 0.5) + 5.0;
            let terminal = RIGHT[0] + (RIGHT[1] - RIGHT[0]) * (k + 0.5) / n;
            let level = lead_y + 40.0 + 16.0 * (k + 1.0);
            page.thick(&[
                (terminal, lead_y + 40.0),
                (terminal, level),
                (middle, level),
                (middle, row_y),
            ]);
            let x = [first + room * k + 10.0, first + room * (k + 1.0)];
            page.boxed(x, row_y, 92.0, "#fff");
            let inside = x[1] - x[0] - 16.0;
            let line = |words: &str| fit(words, inside, LABEL);
            page.bold(middle, row_y + 34.0, LABEL, "middle", &line(&motor.to));
            let wire = format!("{}, {}", motor.wire, amperes(motor.stalled_a));
            page.text(middle, row_y + 70.0, LABEL, "middle", &line(&wire));
        }
        row_y + 92.0
    }

    /// What to mind and how to read the picture; gives where that ends.
    fn notes(&self, page: &mut Page, above: f64, marks: &[&str]) -> f64 {
        let mut y = above + 46.0;
        for (k, mark) in marks.iter().enumerate() {
            for (i, line) in wrap(mark, NOTE_LETTERS - 4).into_iter().enumerate() {
                if i == 0 {
                    page.bold(20.0, y, LABEL, "start", &format!("({})", k + 1));
                }
                page.text(62.0, y, LABEL, "start", &line);
                y += 28.0;
            }
        }
        let key = "Thin: signals; dashed: a proposal. Thick: motor current, with everything stalled; each is a \
                   pair, there and back. Not drawn: each sensor's own supply and ground; all grounds go together.";
        for line in wrap(key, NOTE_LETTERS) {
            page.text(20.0, y, LABEL, "start", &line);
            y += 28.0;
        }
        y
    }

    fn framed(&self, drawn: &str, height: f64) -> String {
        let title = format!("Wiring of {}", self.robot);
        let mut page = Page { out: String::new() };
        let _ = writeln!(
            page.out,
            r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:.0} {height:.0}" font-family="sans-serif" fill="#222" role="img">"##
        );
        let _ = writeln!(page.out, "<title>{}</title>", escaped(&title));
        let _ = writeln!(
            page.out,
            r##"<rect width="{WIDTH:.0}" height="{height:.0}" fill="#fff"/>"##
        );
        let room = WIDTH - 40.0;
        page.bold(20.0, 42.0, 32.0, "start", &fit(&title, room, 32.0));
        let kind = match (&self.power.board, self.power.board_stated) {
            (Some(_), true) => "pins by the board's sheet",
            (Some(_), false) => "a proposal: the board is a guess",
            (None, _) => "the board is not known",
        };
        page.text(20.0, 76.0, LABEL, "start", kind);
        page.out + drawn + "</svg>\n"
    }
}

/// A box of one of the outer columns at `y`, and its lines to the board's edge.
fn column(
    page: &mut Page,
    block: &Block<'_>,
    x: [f64; 2],
    board_x: f64,
    y: f64,
    marks: &[&str],
    height: f64,
) {
    page.boxed(x, y, height, "#fff");
    let room = x[1] - x[0] - 20.0;
    // Names of rows stand at their end: the title keeps to the rows above them.
    let lines = wrap(&block.title, letters(room, NAME));
    let named = block.rows.iter().position(|r| r.name.is_some());
    let most = named.unwrap_or(block.rows.len()).max(1);
    for (k, line) in lines.iter().take(most).enumerate() {
        let more = k + 1 == most && lines.len() > most;
        let line = if more {
            format!("{line} …")
        } else {
            line.clone()
        };
        let at = y + 28.0 + ROW * k as f64;
        page.bold(x[0] + 10.0, at, NAME, "start", &fit(&line, room, NAME));
    }
    if let Some(under) = &block.under {
        let under = fit(under, room, LABEL);
        page.text(x[0] + 10.0, y + 64.0, LABEL, "start", &under);
    }
    let is_left = x[0] < board_x;
    let (outer, inner) = if is_left {
        (x[1], board_x)
    } else {
        (x[0], board_x)
    };
    for (k, row) in block.rows.iter().enumerate() {
        let pin = row.pin;
        let row_y = y + ROW * (k as f64 + 0.5) + 5.0;
        page.signal(outer, inner, row_y, !pin.stated);
        let to_board = if is_left { 1.0 } else { -1.0 };
        if pin.way != "out" {
            page.head(inner, row_y, to_board);
        }
        if pin.way != "in" {
            page.head(outer, row_y, -to_board);
        }
        let mark = marks.iter().position(|m| pin.mind.as_deref() == Some(*m));
        let label = mark.map_or_else(
            || row.label.clone(),
            |k| format!("{} ({})", row.label, k + 1),
        );
        let words = fit(&label, (inner - outer).abs() - 8.0, LABEL);
        page.text(0.5 * (outer + inner), row_y - 8.0, LABEL, "middle", &words);
        if let Some(name) = &row.name {
            page.text(
                x[1] - 10.0,
                row_y + 7.0,
                LABEL,
                "end",
                &fit(name, room, LABEL),
            );
        }
        let name = pin.pin.as_deref().unwrap_or("none");
        let (at, anchor) = if is_left {
            (board_x + 8.0, "start")
        } else {
            (board_x - 8.0, "end")
        };
        page.bold(at, row_y + 8.0, LABEL, anchor, name);
    }
}
