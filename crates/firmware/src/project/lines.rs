//! Every line of the robot with its pin and its name in the program; what the start, the openings, the
//! lamp and the battery need is proposed where the robot file does not have it.

use std::sync::Arc;

use paper::power::{PinRow, Pins, Role};
use robot::{BoardSheet, Can, Extra, ExtraKind, Interface, Pin, Robot};
use rules::Start;

use super::chip::Kind;
use super::{Source, Unwritten};
use crate::names::named;

/// What a pin is set to before anything else.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Begins {
    /// Driven low.
    OutLow,
    /// Read.
    In,
    /// Read, and pulled up.
    PulledUp,
    /// Read, and pulled down.
    PulledDown,
    /// Measured.
    Measures,
}

impl Begins {
    /// The enumerator in `board.c` of the 32-bit chips, which know all of them.
    pub(super) const fn in_c(self) -> &'static str {
        match self {
            Self::OutLow => "OUT_LOW",
            Self::In => "IN",
            Self::PulledUp => "IN_PULLED_UP",
            Self::PulledDown => "IN_PULLED_DOWN",
            Self::Measures => "MEASURES",
        }
    }
}

/// A line as the program knows it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Wire {
    /// Its name in the program.
    pub(super) name: String,
    /// Its pin.
    pub(super) pin: Pin,
    /// What it is set to first.
    pub(super) begins: Begins,
    /// Whether a timer makes its pulses.
    pub(super) pulses: bool,
}

/// All lines.
#[derive(Debug)]
pub(super) struct Lines {
    /// The board as it was wired for.
    pub(super) sheet: Arc<BoardSheet>,
    /// The wiring table, in the order of the lines.
    pub(super) rows: Vec<PinRow>,
    /// The lines.
    pub(super) wires: Vec<Wire>,
    /// Whether the serial line is free.
    pub(super) serial: bool,
    /// How many switches select the opening.
    pub(super) switches: usize,
    /// Whether there is a lamp.
    pub(super) lamp: bool,
    /// Whether the battery is measured.
    pub(super) battery: bool,
    /// Whether the driver has an enable line.
    pub(super) enable: bool,
    /// How each sensor talks, in the order of the ports.
    pub(super) interfaces: Vec<Interface>,
    /// Names of the sensors in the program, upper case.
    pub(super) sensors: Vec<String>,
    /// Names of the gadgets in the program, upper case.
    pub(super) gadgets: Vec<String>,
}

/// Why a pin of the serial line is not proposed for anything else.
const SERIAL: &str = "the serial line to a computer";

impl Lines {
    pub(super) fn of(
        source: &Source<'_>,
        sheet: &BoardSheet,
        kind: Kind,
        remarks: &mut Vec<String>,
    ) -> Result<Self, Unwritten> {
        let robot = source.robot;
        let gadgets = !source.ports.gadgets.is_empty();
        let mut sheet = sheet.clone();
        for pin in &mut sheet.pins {
            if !kind.pulses(pin, gadgets) {
                pin.can.retain(|c| *c != Can::Pwm);
            }
        }
        let mut wired = on_board(robot, &sheet, remarks);
        let serial = keep_serial(&mut sheet, &wired, kind, remarks);
        let remote = matches!(source.class.bout.start.value, Start::Remote { .. });
        let switches = switches(source);
        // Lamp and battery are worth a pin, but not one that something else needs.
        let mut wishes = [true, true];
        let pins = loop {
            let mut with = wired.clone();
            add_extras(&mut with, remote, switches, wishes);
            with.wiring.sheet = Some(Arc::new(sheet.clone()));
            let pins = Pins::of(&with);
            if pins.without == 0 || wishes == [false, false] {
                wired = with;
                break pins;
            }
            if wishes[1] {
                wishes[1] = false;
            } else {
                wishes[0] = false;
            }
        };
        refuse(&sheet, &pins.rows)?;
        let has = |kind: ExtraKind| wired.wiring.extras.iter().any(|e| e.kind == kind);
        let (lamp, battery) = (has(ExtraKind::Lamp), has(ExtraKind::Divider));
        for (there, what) in [(lamp, "a lamp"), (battery, "the battery divider")] {
            if !there {
                remarks.push(format!("No pin is left for {what}: it is left out."));
            }
        }
        let upper = |names: Vec<String>| -> Vec<String> {
            names.into_iter().map(|n| n.to_uppercase()).collect()
        };
        let inputs = source.ports.inputs.iter().map(|p| p.name.as_str());
        let movers = source.ports.gadgets.iter().map(|g| g.name.as_str());
        let mut lines = Self {
            sheet: Arc::new(sheet),
            wires: Vec::new(),
            serial,
            switches,
            lamp,
            battery,
            enable: robot.wiring.driver.has_enable,
            interfaces: (robot.sensors.iter())
                .map(|s| {
                    let lead = wired.wiring.lead(&s.item.name);
                    lead.map_or(Interface::usual(&s.kind), |l| l.interface)
                })
                .collect(),
            sensors: upper(named("sense", inputs)),
            gadgets: upper(named("gadget", movers)),
            rows: pins.rows,
        };
        lines.wires = lines.named(&wired, kind, remote);
        Ok(lines)
    }

    /// The rows under the names they have in the program; the same walk as that of the wiring table:
    /// driver, gadgets, sensors, extras.
    fn named(&self, wired: &Robot, kind: Kind, remote: bool) -> Vec<Wire> {
        let (mut switch, mut spare) = (0, 0);
        let mut taken = [false; 3];
        let extras = &wired.wiring.extras;
        let first_extra = self.rows.len().saturating_sub(extras.len());
        let mut wires = Vec::new();
        for (k, row) in self.rows.iter().enumerate() {
            let extra = k.checked_sub(first_extra).and_then(|k| extras.get(k));
            let name = match extra {
                None => self.robots(wired, row),
                Some(e) => {
                    let mut once = |k: usize, name: &str| {
                        (!core::mem::replace(&mut taken[k], true)).then(|| name.to_owned())
                    };
                    let known = match e.kind {
                        ExtraKind::StartModule if remote => once(0, "LINE_START"),
                        ExtraKind::Button if !remote => once(0, "LINE_START"),
                        ExtraKind::Lamp => once(1, "LINE_LAMP"),
                        ExtraKind::Divider => once(2, "LINE_BATTERY"),
                        ExtraKind::Switch if switch < self.switches => {
                            switch += 1;
                            Some(format!("LINE_SWITCH_{switch}"))
                        }
                        _ => None,
                    };
                    known.unwrap_or_else(|| {
                        spare += 1;
                        format!("LINE_SPARE_{spare}")
                    })
                }
            };
            let module = extra.is_some_and(|e| e.kind == ExtraKind::StartModule);
            let pin = row.pin.as_ref().and_then(|p| self.sheet.pin(p));
            wires.extend(pin.map(|at| Wire {
                name,
                begins: begins(row, module && kind.pulls_down()),
                pulses: row.line.needs.contains(&Can::Pwm),
                pin: self.sheet.pins[at].clone(),
            }));
        }
        wires
    }

    /// Name of a line of the driver, a gadget or a sensor.
    fn robots(&self, wired: &Robot, row: &PinRow) -> String {
        let (item, signal) = (row.line.item.as_str(), row.line.signal);
        let of = |names: &[String], k: Option<usize>| {
            k.and_then(|k| names.get(k).cloned()).unwrap_or_default()
        };
        if row.line.role == Role::Motor {
            let (word, side) = signal.split_once(", ").unwrap_or((signal, ""));
            let word = word.split(' ').next().unwrap_or(word).to_uppercase();
            return if side.is_empty() {
                format!("LINE_{word}")
            } else {
                format!("LINE_{}_{word}", side.to_uppercase())
            };
        }
        if signal == "pulses" {
            let movers = wired.gadgets.iter().filter(|g| g.drive.is_some());
            return of(
                &self.gadgets,
                movers.map(|g| &g.item.name).position(|n| n == item),
            );
        }
        let tail = match signal {
            "line A" => "_a",
            "line B" => "_b",
            "trigger" => "_trigger",
            "echo" => "_echo",
            "data (SDA)" => "_data",
            "clock (SCL)" => "_clock",
            "wake" => "_wake",
            _ => "",
        };
        let sensor = wired.sensors.iter().position(|s| s.item.name == item);
        of(&self.sensors, sensor) + tail
    }

    /// Whether the line is there.
    pub(super) fn has(&self, name: &str) -> bool {
        self.wires.iter().any(|w| w.name == name)
    }
}

fn begins(row: &PinRow, pulled_down: bool) -> Begins {
    let line = &row.line;
    let digital = !line.needs.contains(&Can::Adc);
    match line.role {
        Role::Motor | Role::Driven => Begins::OutLow,
        Role::Bus => Begins::PulledUp,
        Role::Read if !digital => Begins::Measures,
        Role::Read if pulled_down => Begins::PulledDown,
        Role::Read if line.likes == Some(Can::PullUp) => Begins::PulledUp,
        Role::Read => Begins::In,
    }
}

/// The robot on that board; pins for another board are forgotten.
fn on_board(robot: &Robot, sheet: &BoardSheet, remarks: &mut Vec<String>) -> Robot {
    let mut robot = robot.clone();
    let w = &mut robot.wiring;
    let same = w.sheet.as_ref().is_some_and(|s| s.name == sheet.name);
    if w.names_pins() && !(w.sheet_stated && same) {
        let said = w.sheet.as_ref().filter(|_| w.sheet_stated);
        let whose = said.map_or("no board it names".to_owned(), |s| s.name.clone());
        remarks.push(format!(
            "The pins in the robot file are for {whose}: all are proposed anew."
        ));
        for lead in &mut w.leads {
            lead.pins.clear();
            lead.enable = None;
        }
        w.driver.left.clear();
        w.driver.right.clear();
        w.driver.enable = None;
        for extra in &mut w.extras {
            extra.pin = None;
        }
    }
    w.sheet_stated = true;
    robot
}

/// Keeps the serial line's pins from being proposed; whether they are free.
fn keep_serial(
    sheet: &mut BoardSheet,
    wired: &Robot,
    kind: Kind,
    remarks: &mut Vec<String>,
) -> bool {
    // MicroPython talks over the cable that loads it.
    if kind == Kind::MicroPython {
        return true;
    }
    let Some(ports) = sheet.serial.clone() else {
        remarks.push(
            "The board file names no serial line: the bench and the trace are silent.".into(),
        );
        return false;
    };
    let w = &wired.wiring;
    let said = (w.leads.iter())
        .flat_map(|l| l.pins.iter().chain(&l.enable))
        .chain(
            w.driver
                .left
                .iter()
                .chain(&w.driver.right)
                .chain(&w.driver.enable),
        )
        .chain(w.extras.iter().filter_map(|e| e.pin.as_ref()));
    let taken = said
        .filter_map(|p| sheet.pin(&p.pin))
        .any(|k| ports.contains(&sheet.pins[k].port));
    if taken {
        remarks.push(
            "The robot file takes a pin of the serial line: the bench and the trace are silent."
                .into(),
        );
        return false;
    }
    for pin in sheet.pins.iter_mut().filter(|p| ports.contains(&p.port)) {
        pin.reserved = Some(SERIAL.into());
    }
    true
}

/// Switches that tell the positions of all openings apart.
fn switches(source: &Source<'_>) -> usize {
    let openings = source.program.openings();
    let highest = openings.iter().map(|o| o.switch).max().unwrap_or(0);
    if openings.len() < 2 {
        return 0;
    }
    usize::try_from(u8::BITS - highest.leading_zeros()).unwrap_or(8)
}

/// What the robot file does not have and the project needs: the start, the switches, and, as far as
/// wished, a lamp and the battery's divider.
fn add_extras(robot: &mut Robot, remote: bool, switches: usize, [lamp, battery]: [bool; 2]) {
    let place = robot.board.item.place.clone();
    let extras = &mut robot.wiring.extras;
    let add = |extras: &mut Vec<Extra>, name: String, kind: ExtraKind| {
        let taken = |n: &str| extras.iter().any(|e| e.name == n);
        let name = if taken(&name) {
            format!("{name} of the project")
        } else {
            name
        };
        extras.push(Extra {
            name,
            kind,
            pin: None,
            signal_v: None,
            place: place.clone(),
        });
    };
    let count =
        |extras: &[Extra], kind: ExtraKind| extras.iter().filter(|e| e.kind == kind).count();
    let (start, word) = if remote {
        (ExtraKind::StartModule, "start module")
    } else {
        (ExtraKind::Button, "start button")
    };
    if count(extras, start) == 0 {
        add(extras, word.into(), start);
    }
    for k in count(extras, ExtraKind::Switch)..switches {
        add(
            extras,
            format!("opening switch {}", k + 1),
            ExtraKind::Switch,
        );
    }
    if lamp && count(extras, ExtraKind::Lamp) == 0 {
        add(extras, "lamp".into(), ExtraKind::Lamp);
    }
    if battery && count(extras, ExtraKind::Divider) == 0 {
        add(extras, "battery divider".into(), ExtraKind::Divider);
    }
}

/// Every line without a pin, or on one that cannot do what it needs.
fn refuse(sheet: &BoardSheet, rows: &[PinRow]) -> Result<(), Unwritten> {
    let mut wrong = Vec::new();
    for row in rows {
        let line = &row.line;
        let whose = format!("{} ({})", line.item, line.signal);
        let pin = row.pin.as_ref().and_then(|p| sheet.pin(p));
        let Some(pin) = pin.map(|k| &sheet.pins[k]) else {
            wrong.push(format!("{} has no pin left for {whose}.", sheet.name));
            continue;
        };
        if let Some(lacks) = line.needs.iter().find(|c| !pin.can(**c)) {
            wrong.push(format!(
                "{whose} is wired to pin {}, which cannot {} in this project.",
                pin.name,
                lacks.words()
            ));
        }
        if let Some(reserved) = &pin.reserved {
            wrong.push(format!(
                "{whose} is wired to pin {}, which is taken: {reserved}.",
                pin.name
            ));
        }
    }
    let lacks = |what: Can| (rows.iter()).any(|r| r.pin.is_none() && r.line.needs.contains(&what));
    if lacks(Can::Adc) {
        let measuring = sheet
            .pins
            .iter()
            .filter(|p| p.can(Can::Adc) && p.reserved.is_none());
        wrong.push(format!(
            "{} measures on {} pins: take a board with more, or sensors that talk otherwise \
             (interface = \"digital\" for an edge sensor with a trimmer, \"i2c\" for a distance sensor).",
            sheet.name,
            measuring.count()
        ));
    }
    if wrong.is_empty() {
        Ok(())
    } else {
        Err(Unwritten(wrong))
    }
}
