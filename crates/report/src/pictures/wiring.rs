//! The wiring: the board in the middle, what it reads to the left, what it drives to the right, the thick
//! wires below. Lines are straight, so that a finger can follow them.

use super::canvas::{Canvas, Fill, INK, LETTER, MARGIN, Pen, WIDTH};
use super::words::{Anchor, cut, fitted};
use crate::check::Examined;
use crate::power::{Block, ROW, WireLine, WiringPlan, amperes, tall};

/// Left and right edges of the three columns, units.
const LEFT: [f64; 2] = [MARGIN, 124.0];
const BOARD: [f64; 2] = [198.0, 266.0];
const RIGHT: [f64; 2] = [350.0, WIDTH - MARGIN];
/// Middle of the board.
const MIDDLE: f64 = 0.5 * (BOARD[0] + BOARD[1]);
/// Letters on lines and in boxes, a little smaller than elsewhere: names are long and boxes narrow.
const SMALL: f64 = 11.0;
/// What stays free between a box and its words.
const INSIDE: f64 = 6.0;
/// From the last row down to the pack's wire.
const DOWN: f64 = 66.0;
/// Height of the boxes of pack and motors.
const BOX: f64 = 42.0;

const BOXED: Pen = Pen::solid(INK, 1.4);
const SIGNAL: Pen = Pen::solid(INK, 1.3);
const THICK: Pen = Pen::solid(INK, 3.6);
const WHITE: Fill = Fill::Plain("#ffffff");

/// Draws it.
pub(super) fn picture(e: &Examined<'_>) -> Option<String> {
    Some(drawn(&WiringPlan::from(e)))
}

/// The picture of a wiring.
pub(crate) fn drawn(plan: &WiringPlan) -> String {
    let p = &plan.power;
    let kind = match (&p.board, p.board_stated) {
        (Some(board), true) => format!("On the board {board}. Dashed: a proposal."),
        (Some(board), false) => format!(
            "A proposal for the board {board}, which is a guess: name yours in the robot file."
        ),
        (None, _) => "Which board it is the robot file does not say.".to_owned(),
    };
    let mut canvas = Canvas::new(&format!("Wiring of {}", plan.robot), &kind);
    let [left, right] = p.blocks();
    let marks = p.marks();
    let top = canvas.y + 34.0;
    let inside = tall(&left).max(tall(&right));
    let floor = top + inside;
    let (board_y, lead_y) = (floor + 24.0, floor + DOWN);
    let high = board_y - top + 18.0;
    let grey = Fill::Plain("#e4e4e4");
    canvas.rect(
        [BOARD[0], top - 18.0, BOARD[1] - BOARD[0], high],
        grey,
        BOXED,
    );
    let name = p.board.as_deref().unwrap_or("board");
    canvas.text(MIDDLE, top - 24.0, Anchor::Middle, name);
    let mut y = top;
    for block in &left {
        column(&mut canvas, block, LEFT, y, &marks, block.height());
        y += block.pitch();
    }
    // The driver ends where the pack's wire comes in.
    let mut y = floor - tall(&right);
    for (k, block) in right.iter().enumerate() {
        let last = k + 1 == right.len();
        let height = if last {
            lead_y + 0.5 * BOX - y
        } else {
            block.height()
        };
        column(&mut canvas, block, RIGHT, y, &marks, height);
        y += block.pitch();
    }
    canvas.y = power(&mut canvas, plan, board_y, lead_y) + 0.5 * LETTER;
    for (k, mark) in marks.iter().enumerate() {
        canvas.numbered(k + 1, mark);
    }
    canvas.y += 0.3 * LETTER;
    if p.pins.iter().any(|q| q.stated) {
        canvas.legend_line(SIGNAL, "a signal, as the robot file has it");
    }
    if p.pins.iter().any(|q| !q.stated) {
        canvas.legend_line(SIGNAL.dashed("5 3"), "a signal: a proposal");
    }
    canvas.legend_line(
        THICK,
        "motor current with everything stalled; each line is a pair, there and back",
    );
    canvas.paragraph("Not drawn: each sensor's own supply and ground. All grounds go together.");
    canvas.finish()
}

/// `words` in one line that fits `room`.
fn line(words: &str, room: f64) -> String {
    cut(words, room, SMALL)
}

fn label(canvas: &mut Canvas, x: f64, y: f64, anchor: Anchor, words: &str) {
    canvas.text_of(x, y, SMALL, INK, anchor, words);
}

/// A box of one of the outer columns at `y`, and its lines to the board's edge.
fn column(
    canvas: &mut Canvas,
    block: &Block<'_>,
    x: [f64; 2],
    y: f64,
    marks: &[&str],
    height: f64,
) {
    canvas.rect([x[0], y, x[1] - x[0], height], WHITE, BOXED);
    let room = x[1] - x[0] - 2.0 * INSIDE;
    // Names of rows stand at their end: the title keeps to the rows above them.
    let lines = fitted(&block.title, room, SMALL);
    let named = block.rows.iter().position(|r| r.name.is_some());
    let most = named.unwrap_or(block.rows.len()).max(1);
    for (k, words) in lines.iter().take(most).enumerate() {
        let more = k + 1 == most && lines.len() > most;
        let words = if more {
            format!("{words} …")
        } else {
            words.clone()
        };
        let at = y + 14.0 + ROW * k as f64;
        label(
            canvas,
            x[0] + INSIDE,
            at,
            Anchor::Start,
            &line(&words, room),
        );
    }
    if let Some(under) = &block.under {
        let at = y + 14.0 + ROW;
        label(canvas, x[0] + INSIDE, at, Anchor::Start, &line(under, room));
    }
    let is_left = x[0] < BOARD[0];
    let (outer, inner, pin_x, pin_anchor) = if is_left {
        (x[1], BOARD[0], BOARD[0] + 4.0, Anchor::Start)
    } else {
        (x[0], BOARD[1], BOARD[1] - 4.0, Anchor::End)
    };
    for (k, row) in block.rows.iter().enumerate() {
        let at = y + ROW * (k as f64 + 0.5) + 2.0;
        let pen = if row.pin.stated {
            SIGNAL
        } else {
            SIGNAL.dashed("5 3")
        };
        let (there, here) = ((outer, at), (inner, at));
        match row.pin.way.as_str() {
            "out" => canvas.arrow(here, there, pen),
            "in" => canvas.arrow(there, here, pen),
            _ => {
                let between = (0.5 * (outer + inner), at);
                canvas.arrow(between, there, pen);
                canvas.arrow(between, here, pen);
            }
        }
        let mark = marks
            .iter()
            .position(|m| row.pin.mind.as_deref() == Some(*m));
        let words = mark.map_or_else(
            || row.label.clone(),
            |k| format!("{} ({})", row.label, k + 1),
        );
        let words = line(&words, (inner - outer).abs());
        label(
            canvas,
            0.5 * (outer + inner),
            at - 4.0,
            Anchor::Middle,
            &words,
        );
        if let Some(name) = &row.name {
            label(
                canvas,
                x[1] - INSIDE,
                at + 3.0,
                Anchor::End,
                &line(name, room),
            );
        }
        let pin = row.pin.pin.as_deref().unwrap_or("none");
        label(canvas, pin_x, at + 4.0, pin_anchor, pin);
    }
}

/// The pack, its fuse, the wires to driver, board and motors; gives where that ends.
fn power(canvas: &mut Canvas, plan: &WiringPlan, board_y: f64, lead_y: f64) -> f64 {
    let p = &plan.power;
    canvas.rect(
        [LEFT[0], lead_y - 0.5 * BOX, LEFT[1] - LEFT[0], BOX],
        WHITE,
        BOXED,
    );
    let room = LEFT[1] - LEFT[0] - 2.0 * INSIDE;
    let [kind, figures] = &plan.battery;
    let x = LEFT[0] + INSIDE;
    label(
        canvas,
        x,
        lead_y - 4.0,
        Anchor::Start,
        &line(&format!("pack: {kind}"), room),
    );
    label(
        canvas,
        x,
        lead_y + 11.0,
        Anchor::Start,
        &line(figures, room),
    );
    canvas.polyline(&[(LEFT[1], lead_y), (RIGHT[0], lead_y)], THICK);
    canvas.polyline(&[(MIDDLE, lead_y), (MIDDLE, board_y)], THICK);
    let fuse_x = 0.5 * (LEFT[1] + BOARD[0]) - 4.0;
    canvas.rect([fuse_x - 22.0, lead_y - 10.0, 44.0, 20.0], WHITE, BOXED);
    let rating = p
        .fuse
        .as_ref()
        .map_or("?".to_owned(), |f| amperes(f.rating_a));
    label(canvas, fuse_x, lead_y + 4.0, Anchor::Middle, &rating);
    label(canvas, fuse_x, lead_y - 14.0, Anchor::Middle, "fuse");
    if let Some(feed) = &p.fed_at {
        label(canvas, MIDDLE, board_y - 5.0, Anchor::Middle, feed);
    } else if p.board.is_some() {
        canvas.rect([MIDDLE - 32.0, board_y + 10.0, 64.0, 18.0], WHITE, BOXED);
        label(canvas, MIDDLE, board_y + 23.0, Anchor::Middle, "regulator");
    }
    if let Some(lead) = p.wires.first() {
        let x = 0.5 * (BOARD[1] + RIGHT[0]) + 4.0;
        label(canvas, x, lead_y - 6.0, Anchor::Middle, &lead.wire);
        label(
            canvas,
            x,
            lead_y + 15.0,
            Anchor::Middle,
            &amperes(lead.stalled_a),
        );
    }
    let is_gadget = |w: &WireLine| p.pins.iter().any(|q| q.item == w.to);
    let motors: Vec<&WireLine> = p.wires.iter().skip(1).filter(|w| !is_gadget(w)).collect();
    let under = lead_y + 0.5 * BOX;
    if motors.is_empty() {
        return under;
    }
    // Motors in a row; each wire turns at a level of its own, so that none crosses another.
    let n = motors.len() as f64;
    let room = ((WIDTH - 2.0 * MARGIN) / n).min(118.0);
    let first = RIGHT[1] - room * n;
    let row_y = under + 12.0 + 8.0 * n;
    for (k, motor) in motors.iter().enumerate() {
        let k = k as f64;
        let x = [first + room * k + 4.0, first + room * (k + 1.0)];
        let middle = 0.5 * (x[0] + x[1]);
        let terminal = RIGHT[0] + (RIGHT[1] - RIGHT[0]) * (k + 0.5) / n;
        let level = under + 8.0 * (k + 1.0);
        let way = [
            (terminal, under),
            (terminal, level),
            (middle, level),
            (middle, row_y),
        ];
        canvas.polyline(&way, THICK);
        canvas.rect([x[0], row_y, x[1] - x[0], BOX], WHITE, BOXED);
        let inside = x[1] - x[0] - 2.0 * INSIDE;
        label(
            canvas,
            middle,
            row_y + 16.0,
            Anchor::Middle,
            &line(&motor.to, inside),
        );
        let wire = format!("{}, {}", motor.wire, amperes(motor.stalled_a));
        label(
            canvas,
            middle,
            row_y + 32.0,
            Anchor::Middle,
            &line(&wire, inside),
        );
    }
    row_y + BOX
}
