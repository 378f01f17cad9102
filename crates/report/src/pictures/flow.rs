//! Where the boxes and arrows of a program go: two columns of boxes and a channel between them.
//!
//! What begins stands on the left, the reflexes on the right, and the states below both, those nearest
//! to a beginning first. Every arrow leaves its box on the side of the channel, at the line that says when
//! it is taken, runs up or down the channel and ends at the head of the state it leads to. So none can
//! run through a box. Arrows to the same state run together in one trunk; trunks have lanes of their own.

use super::canvas::{MARGIN, WIDTH};
use super::words::{cut, fitted, width};
use crate::program::{ProgramPicture, StepLine};

/// Height of the letters in boxes, units.
pub(super) const SMALL: f64 = 11.0;
/// From one line of words in a box to the next.
pub(super) const LINE: f64 = 14.3;
/// Height of the head of a box, with its name.
pub(super) const HEAD: f64 = 18.0;
/// What stays free between the edge of a box and its words.
pub(super) const INSIDE: f64 = 6.0;
/// How far the rules of a `follow` and broken lines stand in.
const STEP_IN: f64 = 9.0;
/// What stays free between two boxes of a column.
const GAP: f64 = 14.0;
/// From the edge of the boxes to the first lane: room for heads of arrows.
const BERTH: f64 = 15.0;
/// From lane to lane.
const PITCH: f64 = 8.0;
/// Least distance of two arrows that run beside each other.
const APART: f64 = 3.5;

/// What a box stands for, by its place in its list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Node {
    /// Constants and what is remembered.
    Known,
    Opening(usize),
    Reflex(usize),
    State(usize),
}

/// A line of words in a box.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Row {
    pub(super) words: String,
    /// How far it stands in.
    pub(super) inward: f64,
    /// The way that leaves here, by its place in the program's list.
    pub(super) way: Option<usize>,
    /// Whether a thin line sets it off from the one above.
    pub(super) ruled: bool,
}

/// A box with its place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Placed {
    pub(super) node: Node,
    /// Left, top, width, height.
    pub(super) rect: [f64; 4],
    pub(super) rows: Vec<Row>,
}

impl Placed {
    fn is_left(&self) -> bool {
        self.rect[0] < 0.5 * WIDTH
    }

    /// Where arrows leave and enter it.
    fn side_x(&self) -> f64 {
        let [x, _, w, _] = self.rect;
        if self.is_left() { x + w } else { x }
    }

    /// Middle of the head.
    fn head_y(&self) -> f64 {
        self.rect[1] + 0.5 * HEAD
    }

    /// Middle of a line of words.
    pub(super) fn row_y(&self, k: usize) -> f64 {
        self.rect[1] + HEAD + LINE * (k as f64 + 0.5) + 2.0
    }
}

/// Where an arrow leaves its box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Exit {
    /// The way, by its place in the program's list.
    pub(super) way: usize,
    /// The box.
    pub(super) from: usize,
    /// The place on its edge.
    pub(super) at: (f64, f64),
}

/// All arrows to one state.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Trunk {
    /// The box of the state.
    pub(super) to: usize,
    /// Where the arrows end.
    pub(super) entry: (f64, f64),
    /// Where they come from.
    pub(super) exits: Vec<Exit>,
    /// Number of its lane, from the left.
    pub(super) lane: usize,
    /// x of its lane.
    pub(super) x: f64,
}

impl Trunk {
    /// Upper and lower end.
    pub(super) fn ends(&self) -> (f64, f64) {
        let ys = self.exits.iter().map(|e| e.at.1).chain([self.entry.1]);
        ys.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), y| {
            (a.min(y), b.max(y))
        })
    }
}

/// The whole arrangement.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Flow {
    pub(super) boxes: Vec<Placed>,
    pub(super) trunks: Vec<Trunk>,
    /// The lower end of it all.
    pub(super) bottom: f64,
}

impl Flow {
    /// Arranges `program` from `top` downward, with the fewest lanes that do.
    pub(super) fn of(program: &ProgramPicture, top: f64) -> Self {
        let most = program.states.len().max(1);
        let mut lanes = 1;
        loop {
            let (flow, needed) = Self::with_lanes(program, top, lanes);
            if needed <= lanes || lanes >= most {
                return flow;
            }
            lanes += 1;
        }
    }

    /// The arrangement with so many lanes, and how many it needs.
    fn with_lanes(program: &ProgramPicture, top: f64, lanes: usize) -> (Self, usize) {
        let channel = 2.0 * BERTH + PITCH * (lanes as f64 - 1.0);
        let width = 0.5 * (WIDTH - 2.0 * MARGIN - channel);
        let boxed = |node: Node| -> Placed {
            let rows = rows(program, node, width - 2.0 * INSIDE);
            let words = if rows.is_empty() { 0.0 } else { 6.0 };
            Placed {
                node,
                rect: [0.0, 0.0, width, HEAD + LINE * rows.len() as f64 + words],
                rows,
            }
        };
        let left: Vec<Placed> = (0..program.openings.len())
            .map(|k| boxed(Node::Opening(k)))
            .chain((!program.known.is_empty()).then(|| boxed(Node::Known)))
            .collect();
        let right: Vec<Placed> = (0..program.reflexes.len())
            .map(|k| boxed(Node::Reflex(k)))
            .collect();
        let states: Vec<Placed> = (0..program.states.len())
            .map(|k| boxed(Node::State(k)))
            .collect();
        let high = |boxes: &[Placed]| boxes.iter().map(|b| b.rect[3] + GAP).sum::<f64>();
        // The first states on the left, so many that both columns are about as high.
        let split = (0..=states.len()).min_by(|a, b| {
            let higher = |k: usize| {
                let (on_left, on_right) = states.split_at(k);
                (high(&left) + high(on_left)).max(high(&right) + high(on_right))
            };
            higher(*a).total_cmp(&higher(*b)).then(b.cmp(a))
        });
        let (on_left, on_right) = states.split_at(split.unwrap_or(states.len()));
        let columns = [
            (MARGIN, [left, on_left.to_vec()].concat()),
            (WIDTH - MARGIN - width, [right, on_right.to_vec()].concat()),
        ];
        let mut boxes = Vec::new();
        let mut bottom = top;
        for (x, column) in columns {
            let mut y = top;
            for mut placed in column {
                placed.rect[0] = x;
                placed.rect[1] = y;
                bottom = bottom.max(y + placed.rect[3]);
                y += placed.rect[3] + GAP;
                boxes.push(placed);
            }
        }
        let mut flow = Self {
            trunks: trunks(program, &boxes),
            boxes,
            bottom,
        };
        let needed = flow.spread(MARGIN + width + BERTH);
        (flow, needed)
    }

    /// Gives every trunk a lane; how many lanes there are.
    fn spread(&mut self, first_x: f64) -> usize {
        let mut lanes: Vec<Vec<(f64, f64)>> = Vec::new();
        let mut order: Vec<usize> = (0..self.trunks.len()).collect();
        // Short ones first: they stay near the boxes.
        let length = |t: &Trunk| t.ends().1 - t.ends().0;
        order.sort_by(|a, b| length(&self.trunks[*a]).total_cmp(&length(&self.trunks[*b])));
        for k in order {
            let (from, to) = self.trunks[k].ends();
            let clear =
                |lane: &[(f64, f64)]| lane.iter().all(|(a, b)| to + GAP < *a || *b + GAP < from);
            let lane = lanes.iter().position(|l| clear(l)).unwrap_or(lanes.len());
            if lane == lanes.len() {
                lanes.push(Vec::new());
            }
            lanes[lane].push((from, to));
            self.trunks[k].lane = lane;
            self.trunks[k].x = first_x + PITCH * lane as f64;
        }
        lanes.len()
    }
}

/// The arrows, gathered by the state they lead to; lanes are given later.
fn trunks(program: &ProgramPicture, boxes: &[Placed]) -> Vec<Trunk> {
    // Heights taken on each side of the channel, and by the arrows to which state.
    let mut taken: Vec<(bool, f64, usize)> = Vec::new();
    let mut place = |of: &Placed, y: f64, to: usize| -> (f64, f64) {
        let left = of.is_left();
        let free = |y: f64| {
            let near = |t: &&(bool, f64, usize)| t.0 != left && (t.1 - y).abs() < APART;
            taken.iter().filter(near).all(|t| t.2 == to)
        };
        let moved = [0.0, 4.0, -4.0].map(|off| y + off);
        let y = moved.into_iter().find(|y| free(*y)).unwrap_or(y);
        taken.push((left, y, to));
        (of.side_x(), y)
    };
    let mut trunks = Vec::new();
    for (k, state) in program.states.iter().enumerate() {
        let Some(to) = boxes.iter().position(|b| b.node == Node::State(k)) else {
            continue;
        };
        let leads = |way: &usize| program.ways.get(*way).is_some_and(|w| w.to == state.name);
        let mut exits = Vec::new();
        for (from, placed) in boxes.iter().enumerate() {
            for (row, way) in placed.rows.iter().enumerate() {
                if let Some(way) = way.way.filter(leads) {
                    let at = place(placed, placed.row_y(row), to);
                    exits.push(Exit { way, from, at });
                }
            }
        }
        if !exits.is_empty() {
            let entry = place(&boxes[to], boxes[to].head_y(), to);
            trunks.push(Trunk {
                to,
                entry,
                exits,
                lane: 0,
                x: 0.0,
            });
        }
    }
    trunks
}

/// The lines of a box, as wide as `room`.
fn rows(program: &ProgramPicture, node: Node, room: f64) -> Vec<Row> {
    let mut lines = Lines {
        program,
        room,
        rows: Vec::new(),
    };
    match node {
        Node::Known => (program.known.iter()).for_each(|line| lines.put(line, 0.0, false)),
        Node::Opening(k) => {
            if let Some(o) = program.openings.get(k) {
                lines.put(&o.placed, 0.0, false);
                lines.ways("opening", &o.name, &["begin"], false);
            }
        }
        Node::Reflex(k) => {
            if let Some(r) = program.reflexes.get(k) {
                lines.put(&format!("when {}", r.when), 0.0, false);
                lines.steps(&r.steps, true);
                if !lines.ways("reflex", &r.name, &["then"], true) {
                    lines.put("then the state goes on", 0.0, true);
                }
            }
        }
        Node::State(k) => {
            if let Some(s) = program.states.get(k) {
                let some = lines.ways("state", &s.name, &["stay", "go"], false);
                lines.steps(&s.steps, some);
                lines.ways("state", &s.name, &["then"], true);
                if s.again {
                    lines.put("then again from the first step", 0.0, true);
                }
            }
        }
    }
    lines.rows
}

/// The lines of a box being written.
struct Lines<'p> {
    program: &'p ProgramPicture,
    room: f64,
    rows: Vec<Row>,
}

impl Lines<'_> {
    /// Words in as many lines as they need.
    fn put(&mut self, words: &str, inward: f64, ruled: bool) {
        // A line that does not fit is broken for the room that its second part has.
        let lines = if width(words, SMALL) <= self.room - inward {
            vec![words.to_owned()]
        } else {
            fitted(words, self.room - inward - STEP_IN, SMALL)
        };
        for (k, line) in lines.into_iter().enumerate() {
            let inward = inward + if k == 0 { 0.0 } else { STEP_IN };
            self.rows.push(Row {
                words: cut(&line, self.room - inward, SMALL),
                inward,
                way: None,
                ruled: ruled && k == 0,
            });
        }
    }

    /// The ways of these kinds that leave `from`; whether there are any.
    fn ways(&mut self, from_kind: &str, from: &str, kinds: &[&str], ruled: bool) -> bool {
        let before = self.rows.len();
        for (k, way) in self.program.ways.iter().enumerate() {
            if way.from_kind == from_kind && way.from == from && kinds.contains(&way.kind.as_str())
            {
                let first = self.rows.len();
                self.put(&way.written, 0.0, ruled);
                if let Some(row) = self.rows.get_mut(first) {
                    row.way = Some(k);
                }
            }
        }
        self.rows.len() > before
    }

    fn steps(&mut self, steps: &[StepLine], ruled: bool) {
        for (k, step) in steps.iter().enumerate() {
            self.put(&step.written, 0.0, ruled && k == 0);
            for rule in &step.rules {
                self.put(rule, STEP_IN, false);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Fifteen states that lead to each other all over the place, with long words and a long name.
    fn large() -> ProgramPicture {
        let mut text = String::from(
            "opening a {\n switch 0\n begin s0\n}\nopening b {\n switch 1\n begin s7\n}\ncounter n = 0\n",
        );
        for k in 0..5 {
            let then = if k % 2 == 0 {
                format!(" then s{}\n", 3 * k)
            } else {
                String::new()
            };
            text += &format!(
                "reflex r{k} when a-sensor-with-a-very-long-name-indeed-{k} above 4 deg for 20 ms or n = {k} {{\n \
                 drive -100 % -100 % for 100 ms\n{then}}}\n"
            );
        }
        for k in 0..15 {
            let [a, b, c] = [(k + 1) % 15, (7 * k + 3) % 15, (k * k) % 15];
            text += &format!(
                "state s{k} {{\n go s{a} when n > {k}\n go s{b} when not (centre sees or left sees or right sees \
                 or flank-left sees) for 60 ms\n go s{k} when n = 2\n stay 2 s then s{c}\n \
                 drive 60 % 60 % for 250 ms\n arc 20 % 100 % unseen for 250 ms until centre sees\n}}\n"
            );
        }
        let tactic = tactic::parse("large.tactic", &text).unwrap_or_else(|e| panic!("{e:#?}"));
        ProgramPicture::from(&tactic)
    }

    /// Every program that comes along, and the large one.
    fn programs() -> Vec<ProgramPicture> {
        let shipped = store::robot_names();
        let shipped = shipped.iter().map(|name| ProgramPicture::of(name, None));
        let mut all: Vec<_> = shipped
            .map(|p| p.unwrap_or_else(|e| panic!("{e:#?}")))
            .collect();
        assert!(all.len() > 10);
        all.push(large());
        all
    }

    /// Whether two open intervals have something in common.
    fn share(a: [f64; 2], b: [f64; 2]) -> bool {
        a[0].min(a[1]) < b[0].max(b[1]) - 1e-9 && b[0].min(b[1]) < a[0].max(a[1]) - 1e-9
    }

    #[test]
    fn no_two_boxes_overlap_and_all_words_stay_in_theirs() {
        for p in programs() {
            let flow = Flow::of(&p, 60.0);
            for (k, a) in flow.boxes.iter().enumerate() {
                let [x, y, w, h] = a.rect;
                assert!(x >= MARGIN && x + w <= WIDTH - MARGIN + 1e-9 && y >= 60.0);
                assert!(y + h <= flow.bottom);
                for b in &flow.boxes[..k] {
                    let [x2, y2, w2, h2] = b.rect;
                    let over = share([x, x + w], [x2, x2 + w2]) && share([y, y + h], [y2, y2 + h2]);
                    assert!(!over, "{}: {:?} {:?}", p.file, a.node, b.node);
                }
                for (k, row) in a.rows.iter().enumerate() {
                    let right = INSIDE + row.inward + width(&row.words, SMALL);
                    assert!(right <= w, "{}: {}", p.file, row.words);
                    assert!(
                        a.row_y(k) + 0.5 * LINE <= y + h,
                        "{}: {}",
                        p.file,
                        row.words
                    );
                }
            }
        }
    }

    #[test]
    fn no_arrow_runs_through_a_box_or_along_one_to_another_state() {
        for p in programs() {
            let flow = Flow::of(&p, 60.0);
            // Level lines (y, from x, to x) and upright ones (x, from y, to y) of each trunk.
            let mut level: Vec<(usize, f64, [f64; 2])> = Vec::new();
            let mut upright: Vec<(usize, f64, [f64; 2])> = Vec::new();
            for t in &flow.trunks {
                for (x, y) in t.exits.iter().map(|e| e.at).chain([t.entry]) {
                    level.push((t.to, y, [x, t.x]));
                }
                let (top, bottom) = t.ends();
                upright.push((t.to, t.x, [top, bottom]));
            }
            for b in &flow.boxes {
                let [x, y, w, h] = b.rect;
                let through = |(_, at, reach): &(usize, f64, [f64; 2])| {
                    share([*at - 0.1, *at + 0.1], [y, y + h]) && share(*reach, [x, x + w])
                };
                assert!(!level.iter().any(through), "{}: {:?}", p.file, b.node);
                let through = |(_, at, reach): &(usize, f64, [f64; 2])| {
                    share([*at - 0.1, *at + 0.1], [x, x + w]) && share(*reach, [y, y + h])
                };
                assert!(!upright.iter().any(through), "{}: {:?}", p.file, b.node);
            }
            for lines in [&level, &upright] {
                for (k, a) in lines.iter().enumerate() {
                    for b in &lines[..k] {
                        let along = (a.1 - b.1).abs() < APART && share(a.2, b.2);
                        assert!(a.0 == b.0 || !along, "{}: {a:?} {b:?}", p.file);
                    }
                }
            }
        }
    }

    #[test]
    fn every_opening_reflex_state_and_way_is_there_exactly_once() {
        for p in programs() {
            let flow = Flow::of(&p, 60.0);
            let count = |node: Node| flow.boxes.iter().filter(|b| b.node == node).count();
            let once = |n: usize, node: fn(usize) -> Node| (0..n).all(|k| count(node(k)) == 1);
            assert_eq!(count(Node::Known), usize::from(!p.known.is_empty()));
            assert!(once(p.openings.len(), Node::Opening));
            assert!(once(p.reflexes.len(), Node::Reflex));
            assert!(once(p.states.len(), Node::State));
            let mut ways: Vec<usize> = Vec::new();
            for t in &flow.trunks {
                for e in &t.exits {
                    ways.push(e.way);
                    let way = &p.ways[e.way];
                    let name = |node: Node| match node {
                        Node::Known => unreachable!("nothing leads there"),
                        Node::Opening(k) => ("opening", &p.openings[k].name),
                        Node::Reflex(k) => ("reflex", &p.reflexes[k].name),
                        Node::State(k) => ("state", &p.states[k].name),
                    };
                    let from = name(flow.boxes[e.from].node);
                    assert_eq!(from, (way.from_kind.as_str(), &way.from));
                    assert_eq!(name(flow.boxes[t.to].node), ("state", &way.to));
                }
            }
            ways.sort_unstable();
            let all: Vec<usize> = (0..p.ways.len()).collect();
            assert_eq!(ways, all, "{}", p.file);
        }
    }
}
