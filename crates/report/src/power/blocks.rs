//! What stands left and right of the board in the picture, and which lines each has.

use super::text::{amperes, short};
use super::{PinLine, PowerPart};

/// Distance of two rows, and room between two boxes.
pub(crate) const ROW: f64 = 20.0;
const GAP: f64 = 7.0;

/// A line of a box.
pub(crate) struct Row<'a> {
    /// Its pin.
    pub(crate) pin: &'a PinLine,
    /// What stands on the line.
    pub(crate) label: String,
    /// What stands in the box at its end, where the box is of several things.
    pub(crate) name: Option<String>,
}

/// A box with its rows.
pub(crate) struct Block<'a> {
    pub(crate) title: String,
    /// A line under the title.
    pub(crate) under: Option<String>,
    pub(crate) rows: Vec<Row<'a>>,
}

impl Block<'_> {
    /// Its height in units of the picture.
    pub(crate) fn height(&self) -> f64 {
        let lines = 1 + usize::from(self.under.is_some());
        ROW * self.rows.len().max(lines) as f64
    }

    /// The same with the room below it.
    pub(crate) fn pitch(&self) -> f64 {
        self.height() + GAP
    }
}

/// Height of a column of boxes.
pub(crate) fn tall(blocks: &[Block<'_>]) -> f64 {
    blocks.iter().map(Block::pitch).sum()
}

/// The box called `title` at the end of `side`, or a new one there.
fn block<'b, 'a>(side: &'b mut Vec<Block<'a>>, title: &str) -> &'b mut Block<'a> {
    if side.last().is_none_or(|b| b.title != title) {
        side.push(Block {
            title: title.to_owned(),
            under: None,
            rows: Vec::new(),
        });
    }
    let last = side.len() - 1;
    &mut side[last]
}

impl PowerPart {
    /// What stands left of the board and right of it; the driver last, for its thick wires come from
    /// below.
    pub(crate) fn blocks(&self) -> [Vec<Block<'_>>; 2] {
        let (mut left, mut right, mut driver) = (Vec::new(), Vec::new(), Vec::new());
        for p in self.pins.iter().filter(|p| !self.is_on_bus(p)) {
            let row = Row {
                pin: p,
                label: short(&p.signal),
                name: None,
            };
            let reads = self.pins.iter().any(|q| q.item == p.item && q.way == "in");
            let side = match p.item.as_str() {
                "driver" => &mut driver,
                _ if reads => &mut left,
                _ => &mut right,
            };
            let block = block(side, &p.item);
            block.rows.push(row);
            block.under = self.gadget_wire(&p.item);
        }
        left.extend(self.bus_block());
        right.append(&mut driver);
        [left, right]
    }

    /// Whether a line belongs to something on a bus.
    fn is_on_bus(&self, pin: &PinLine) -> bool {
        self.pins
            .iter()
            .any(|q| q.item == pin.item && q.way == "both")
    }

    /// Names of everything on a bus, in the order of the file.
    pub(super) fn on_bus(&self) -> Vec<&str> {
        let mut names: Vec<&str> = Vec::new();
        for p in self.pins.iter().filter(|p| p.way == "both") {
            if !names.contains(&p.item.as_str()) {
                names.push(&p.item);
            }
        }
        names
    }

    /// One box for all on the bus: its two lines once, then a line for each that has to be woken.
    fn bus_block(&self) -> Option<Block<'_>> {
        let (mut shared, mut woken): (Vec<Row<'_>>, Vec<Row<'_>>) = (Vec::new(), Vec::new());
        for p in self.pins.iter().filter(|p| self.is_on_bus(p)) {
            let label = short(&p.signal);
            if p.way != "both" {
                let name = Some(p.item.clone());
                woken.push(Row {
                    pin: p,
                    label,
                    name,
                });
            } else if !shared
                .iter()
                .any(|r| r.label == label && r.pin.pin == p.pin)
            {
                shared.push(Row {
                    pin: p,
                    label,
                    name: None,
                });
            }
        }
        if shared.is_empty() {
            return None;
        }
        let by_name = |n: &&str| !woken.iter().any(|r| r.pin.item == **n);
        let rest: Vec<&str> = self.on_bus().into_iter().filter(by_name).collect();
        shared.append(&mut woken);
        Some(Block {
            title: format!("bus: {}", rest.join(", ")),
            under: None,
            rows: shared,
        })
    }

    /// What a gadget's motor draws from the pack, and through which wire.
    fn gadget_wire(&self, item: &str) -> Option<String> {
        let wire = self.wires.iter().find(|w| w.to == item)?;
        Some(format!("{}, {}", wire.wire, amperes(wire.stalled_a)))
    }

    /// What there is to mind, each once, in the order of the pins.
    pub(crate) fn marks(&self) -> Vec<&str> {
        let mut marks: Vec<&str> = Vec::new();
        for mind in self.pins.iter().filter_map(|p| p.mind.as_deref()) {
            if !marks.contains(&mind) {
                marks.push(mind);
            }
        }
        marks
    }
}
