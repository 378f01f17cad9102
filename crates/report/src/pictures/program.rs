//! A program as a picture: its openings, its reflexes as a ladder, its states, and what leads where.

use super::canvas::{Canvas, FAINT, Fill, INK, LETTER, PAPER, Pen};
use super::flow::{Flow, HEAD, INSIDE, Node, Placed, SMALL, Trunk};
use super::words::{Anchor, cut, width};
use crate::program::{KNOWN, ProgramPicture};

const BOXED: Pen = Pen::solid(INK, 1.4);
/// The edge of what nothing breaks into.
const FIRM: Pen = Pen::solid(INK, 3.2);
const RULE: Pen = Pen::solid("#b8b8b8", 0.8);
const RAIL: Pen = Pen::solid(FAINT, 2.4);
/// Width of the arrows' lines.
const ARROW: f64 = 1.6;

/// The picture of a program.
pub(crate) fn picture(program: &ProgramPicture) -> String {
    let title = format!("The program {}", program.file);
    let mut canvas = Canvas::new(
        &title,
        "How it begins, what it is about (left and below), and the reflexes that break in (right).",
    );
    let flow = Flow::of(program, canvas.y + 24.0);
    headings(&mut canvas, program, &flow);
    for trunk in &flow.trunks {
        drawn(&mut canvas, trunk);
    }
    rails(&mut canvas, &flow);
    for placed in &flow.boxes {
        boxed(&mut canvas, program, placed);
    }
    canvas.y = flow.bottom + LETTER;
    legend(&mut canvas, program);
    canvas.finish()
}

/// What the columns begin with.
fn headings(canvas: &mut Canvas, program: &ProgramPicture, flow: &Flow) {
    let y = canvas.y + 15.0;
    let first = |is: fn(&Node) -> bool| flow.boxes.iter().find(|b| is(&b.node)).map(|b| b.rect[0]);
    if let Some(x) = first(|n| matches!(n, Node::Opening(_))) {
        canvas.text(x, y, Anchor::Start, "How it begins");
    }
    if let Some(x) = first(|n| matches!(n, Node::Reflex(_))) {
        let words = if program.reflexes.len() > 1 {
            "Reflexes: the upper first"
        } else {
            "Its reflex"
        };
        canvas.text(x, y, Anchor::Start, words);
    }
}

/// The arrows to one state.
fn drawn(canvas: &mut Canvas, trunk: &Trunk) {
    let series = Pen::of_series(trunk.lane);
    let pen = Pen {
        width: ARROW,
        ..series
    };
    let (top, bottom) = trunk.ends();
    if bottom > top {
        canvas.line((trunk.x, top), (trunk.x, bottom), pen);
    }
    for exit in &trunk.exits {
        canvas.line(exit.at, (trunk.x, exit.at.1), pen);
        canvas.circle(
            (trunk.x, exit.at.1),
            2.2,
            Fill::Plain(pen.colour),
            Pen::solid(pen.colour, 0.5),
        );
    }
    canvas.arrow((trunk.x, trunk.entry.1), trunk.entry, pen);
}

/// The rails of the ladder, between one reflex and the next.
fn rails(canvas: &mut Canvas, flow: &Flow) {
    let reflexes: Vec<&Placed> = (flow.boxes.iter())
        .filter(|b| matches!(b.node, Node::Reflex(_)))
        .collect();
    for pair in reflexes.windows(2) {
        let [upper, lower] = pair else { continue };
        let [x, y, w, h] = upper.rect;
        for x in [x + 0.2 * w, x + 0.8 * w] {
            canvas.line((x, y + h), (x, lower.rect[1]), RAIL);
        }
    }
}

/// A box with its words.
fn boxed(canvas: &mut Canvas, program: &ProgramPicture, placed: &Placed) {
    let [x, y, w, h] = placed.rect;
    let known = KNOWN.to_owned();
    let (name, more, tint, pen) = match placed.node {
        Node::Known => (Some(&known), String::new(), PAPER, BOXED),
        Node::Opening(k) => {
            let o = program.openings.get(k);
            let switch = o.and_then(|o| o.switch);
            let switch = switch.map_or(String::new(), |s| format!("switch {s}"));
            (o.map(|o| &o.name), switch, PAPER, BOXED.dashed("3 2"))
        }
        Node::Reflex(k) => {
            let r = program.reflexes.get(k);
            let firm = r.is_some_and(|r| r.firm);
            let place = format!("{}{}", if firm { "firm, " } else { "" }, k + 1);
            let pen = if firm { FIRM } else { BOXED };
            (r.map(|r| &r.name), place, "#e4e4e4", pen)
        }
        Node::State(k) => {
            let s = program.states.get(k);
            let lost = s.is_some_and(|s| s.depth.is_none());
            let more = if lost { "nothing leads here" } else { "" };
            (s.map(|s| &s.name), more.to_owned(), "#dfe7f0", BOXED)
        }
    };
    canvas.rect([x, y, w, h], Fill::Plain("#ffffff"), pen);
    canvas.rect([x, y, w, HEAD], Fill::Plain(tint), pen);
    let baseline = y + 0.5 * HEAD + 0.36 * LETTER;
    let room = w - 3.0 * INSIDE - width(&more, SMALL);
    let name = cut(name.map_or("", String::as_str), room, LETTER);
    canvas.text_of(x + INSIDE, baseline, LETTER, INK, Anchor::Start, &name);
    canvas.text_of(x + w - INSIDE, baseline, SMALL, INK, Anchor::End, &more);
    for (k, row) in placed.rows.iter().enumerate() {
        let middle = placed.row_y(k);
        if row.ruled {
            let at = middle - 0.5 * super::flow::LINE;
            canvas.line((x + 0.7, at), (x + w - 0.7, at), RULE);
        }
        let words = &row.words;
        let at = (x + INSIDE + row.inward, middle + 0.36 * SMALL);
        canvas.text_of(at.0, at.1, SMALL, INK, Anchor::Start, words);
    }
}

fn legend(canvas: &mut Canvas, program: &ProgramPicture) {
    let blue = Fill::Plain("#dfe7f0");
    canvas.legend_area(
        blue,
        BOXED,
        "a state: its ways out in the order in which they are asked, then its steps",
    );
    if !program.reflexes.is_empty() {
        let grey = Fill::Plain("#e4e4e4");
        canvas.legend_area(
            grey,
            BOXED,
            "a reflex: those above it in the ladder can break into it",
        );
    }
    if program.reflexes.iter().any(|r| r.firm) {
        let grey = Fill::Plain("#e4e4e4");
        canvas.legend_area(grey, FIRM, "a firm reflex: nothing breaks into it");
    }
    canvas.legend_line(
        Pen::of_series(0),
        "from the line that says when, to the state that comes then; lines to the same state run together at \
         the dots",
    );
}
