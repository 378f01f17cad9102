//! The pin table: what the file wires held against the board's sheet, and a proposal for the rest.

use quantity::{Voltage, show_si};
use robot::{AtReset, BoardSheet, Can, Finding, Pin, Place, Robot, Severity, Strap};

use super::assign::{against, assign};
use super::lines::{Line, Role, lines};

/// One row of the wiring table.
#[derive(Debug, Clone, PartialEq)]
pub struct PinRow {
    /// The line.
    pub line: Line,
    /// Its pin, as the board calls it or the file says; none: none is left.
    pub pin: Option<String>,
    /// What the chip's papers call it, where the board is known.
    pub port: Option<String>,
    /// Whether the file says so; else it is a proposal.
    pub stated: bool,
    /// What to add or to mind.
    pub mind: Option<String>,
}

/// The wiring table.
#[derive(Debug, Clone, PartialEq)]
pub struct Pins {
    /// The board's name; none: not known, and only what the file says is in the table.
    pub board: Option<String>,
    /// Whether the robot file itself names the board.
    pub board_stated: bool,
    /// Rows: driver, gadgets, sensors, extras.
    pub rows: Vec<PinRow>,
    /// How many rows are proposed.
    pub proposed: usize,
    /// How many found no pin.
    pub without: usize,
}

/// Free pins named where one is wrong.
const HANDFUL: usize = 4;
/// Resistor that holds a line low until the program runs. Common practice, no source.
const PULL_DOWN: &str = "10 kΩ to ground, unless the driver holds it low by itself";

impl Pins {
    /// The table of `robot`. Where the file names pins but not its board, nothing is proposed: the guess
    /// would be about another board.
    #[must_use]
    pub fn of(robot: &Robot) -> Self {
        let w = &robot.wiring;
        let lines = lines(robot);
        let sheet = w
            .sheet
            .as_deref()
            .filter(|_| w.sheet_stated || !w.names_pins());
        let pins = sheet.map_or_else(|| vec![None; lines.len()], |s| assign(s, &lines));
        let rows: Vec<PinRow> = (lines.into_iter().zip(pins))
            .map(|(line, k)| {
                let pin = sheet.zip(k).map(|(s, k)| &s.pins[k]);
                let said = line.said.as_ref().map(|s| s.pin.clone());
                PinRow {
                    mind: sheet.zip(pin).and_then(|(s, p)| mind(robot, s, p, &line)),
                    stated: line.said.is_some(),
                    pin: said.or_else(|| pin.map(|p| p.name.clone())),
                    port: pin.map(|p| p.port.clone()),
                    line,
                }
            })
            .collect();
        let proposed = rows.iter().filter(|r| !r.stated && r.pin.is_some()).count();
        Self {
            board: sheet.map(|s| s.name.clone()),
            board_stated: w.sheet_stated,
            without: rows.iter().filter(|r| r.pin.is_none()).count(),
            proposed,
            rows,
        }
    }

    /// What is to be said of the pins the file names, and of lines that found none on the board it names.
    pub(super) fn findings(&self, robot: &Robot) -> Vec<Finding> {
        let w = &robot.wiring;
        let sheet = w.sheet.as_deref().filter(|_| w.sheet_stated);
        let mut found = self.twice(sheet);
        let Some(sheet) = sheet else {
            return found;
        };
        for row in self.rows.iter().filter(|r| r.stated) {
            let pin = row.pin.as_ref().and_then(|p| sheet.pin(p));
            let Some(pin) = pin.map(|k| &sheet.pins[k]) else {
                continue;
            };
            found.extend(self.cannot(sheet, pin, row));
            found.extend(voltage(sheet, pin, &row.line));
            found.extend(decides_start(pin, &row.line));
        }
        found.extend(self.two_buses(sheet));
        found.extend(at_reset(robot, sheet, &self.rows));
        found.extend(self.run_out(sheet, &robot.board.item.place));
        found
    }

    fn twice(&self, sheet: Option<&BoardSheet>) -> Vec<Finding> {
        let mut found = Vec::new();
        for (k, row) in self.rows.iter().enumerate() {
            let same = |other: &&PinRow| {
                let both_bus = other.line.role == Role::Bus
                    && row.line.role == Role::Bus
                    && other.line.needs == row.line.needs;
                other.stated && row.stated && other.pin == row.pin && !both_bus
            };
            if let Some(first) = self.rows[..k].iter().find(same) {
                let pin = row.pin.clone().unwrap_or_default();
                found.push(Finding {
                    name: "pin-used-twice",
                    severity: Severity::Fault,
                    what: format!(
                        "Pin {pin} is wired to {} and to {}.",
                        whole(&first.line),
                        whole(&row.line)
                    ),
                    why: "A pin has one voltage at a time: two lines on it drive against each other, or \
                          one is never heard."
                        .into(),
                    mend: match sheet.map(|s| self.free_for(s, &row.line)) {
                        Some(free) if !free.is_empty() => format!(
                            "Move {} to a free pin that can: {}.",
                            whole(&row.line),
                            free.join(", ")
                        ),
                        _ => "Move one of them to a free pin; name the board in the file, and `check` says \
                              which are."
                            .into(),
                    },
                    place: Some(row.line.place.clone()),
                });
            }
        }
        found
    }

    fn cannot(&self, sheet: &BoardSheet, pin: &Pin, row: &PinRow) -> Option<Finding> {
        let line = &row.line;
        let lacks = line.needs.iter().copied().find(|c| !pin.can(*c));
        let (what, why) = match (&pin.reserved, lacks) {
            (Some(reserved), _) => (
                format!("Pin {} is not to be wired: {reserved}.", pin.name),
                format!(
                    "On {} it is taken; {} hangs on it.",
                    sheet.name,
                    whole(line)
                ),
            ),
            (None, Some(lacks)) => {
                let can: Vec<&str> = pin.can.iter().map(|c| c.word()).collect();
                (
                    format!("Pin {} cannot {}.", pin.name, lacks.words()),
                    format!(
                        "{} needs it; by the sheet of {} that pin can: {}.",
                        capital(&whole(line)),
                        sheet.name,
                        can.join(", ")
                    ),
                )
            }
            (None, None) => return None,
        };
        let able = self.free_for(sheet, line);
        let mend = if able.is_empty() {
            "No free pin of this board can: swap it with a line that needs less, or take a board with more \
             such pins."
                .to_owned()
        } else {
            format!("Free pins that can, the best first: {}.", able.join(", "))
        };
        Some(Finding {
            name: "pin-cannot",
            severity: Severity::Fault,
            what,
            why,
            mend,
            place: Some(line.place.clone()),
        })
    }

    /// Pins that are still free and can do what a line needs, the best first, a handful of them.
    fn free_for<'s>(&self, sheet: &'s BoardSheet, line: &Line) -> Vec<&'s str> {
        let used = |p: &Pin| self.rows.iter().any(|r| r.pin.as_ref() == Some(&p.name));
        let mut able: Vec<(i64, &str)> = (sheet.pins.iter().enumerate())
            .filter(|(_, p)| p.reserved.is_none() && line.needs.iter().all(|c| p.can(*c)))
            .filter(|(_, p)| !used(p))
            .map(|(k, p)| (against(sheet, line, k), p.name.as_str()))
            .collect();
        able.sort_unstable();
        able.into_iter()
            .take(HANDFUL)
            .map(|(_, name)| name)
            .collect()
    }

    /// Data and clock of one sensor on different buses.
    fn two_buses(&self, sheet: &BoardSheet) -> Vec<Finding> {
        let mut found = Vec::new();
        for pair in self.rows.windows(2) {
            let [data, clock] = pair else { continue };
            let one = data.line.item == clock.line.item && data.stated && clock.stated;
            if !one || data.line.needs != [Can::Sda] || clock.line.needs != [Can::Scl] {
                continue;
            }
            let of = |row: &PinRow| {
                row.pin
                    .as_ref()
                    .and_then(|p| sheet.pin(p))
                    .map(|k| &sheet.pins[k])
            };
            let (Some(sda), Some(scl)) = (of(data), of(clock)) else {
                continue;
            };
            if sda.can(Can::Sda) && scl.can(Can::Scl) && sda.bus != scl.bus {
                let bus = |p: &Pin| p.bus.clone().unwrap_or_default();
                found.push(Finding {
                    name: "pin-cannot",
                    severity: Severity::Fault,
                    what: format!(
                        "Data and clock of \"{}\" are on different buses.",
                        data.line.item
                    ),
                    why: format!(
                        "By the sheet of {} pin {} is the data line of bus {} and pin {} the clock of bus {}.",
                        sheet.name, sda.name, bus(sda), scl.name, bus(scl)
                    ),
                    mend: format!("Take both of bus {}: {}.", bus(sda), of_bus(sheet, &bus(sda))),
                    place: Some(clock.line.place.clone()),
                });
            }
        }
        found
    }

    fn run_out(&self, sheet: &BoardSheet, place: &Place) -> Option<Finding> {
        if self.without == 0 {
            return None;
        }
        let left: Vec<String> = (self.rows.iter())
            .filter(|r| r.pin.is_none())
            .map(|r| whole(&r.line))
            .collect();
        let measuring = sheet.pins.iter().filter(|p| p.can(Can::Adc)).count();
        Some(Finding {
            name: "pins-run-out",
            severity: Severity::Warning,
            what: format!("{} has no pin left for {}.", sheet.name, left.join(", ")),
            why: format!(
                "The robot has {} lines; the board has {} pins that may be wired, {measuring} of them measure \
                 a voltage.",
                self.rows.len(),
                sheet.pins.iter().filter(|p| p.reserved.is_none()).count()
            ),
            mend:
                "Take a board with more such pins, sensors that answer digitally or on a bus, or a \
                   converter chip on the bus."
                    .into(),
            place: Some(place.clone()),
        })
    }
}

/// The two pins of a bus.
fn of_bus(sheet: &BoardSheet, bus: &str) -> String {
    let of = |what: Can| {
        let mut pins = sheet
            .pins
            .iter()
            .filter(|p| p.bus.as_deref() == Some(bus) && p.can(what));
        pins.next().map_or(String::new(), |p| p.name.clone())
    };
    format!("{} and {}", of(Can::Sda), of(Can::Scl))
}

/// A line in words: `driver, pulses, left`.
pub(crate) fn whole(line: &Line) -> String {
    format!("\"{}\" ({})", line.item, line.signal)
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or(String::new(), |c| c.to_uppercase().chain(letters).collect())
}

/// What to add at a pin, or to mind about it.
fn mind(robot: &Robot, sheet: &BoardSheet, pin: &Pin, line: &Line) -> Option<String> {
    let mut words: Vec<String> = Vec::new();
    let held = robot.wiring.driver.pulled_down == Some(true);
    if line.role == Role::Motor && !held && pin.at_reset != AtReset::PulledDown {
        words.push(PULL_DOWN.into());
    }
    if let Some(v) = line.signal_v.filter(|v| *v > sheet.stands_v(pin)) {
        words.push(divider(v, sheet.stands_v(pin).min(sheet.logic_v)));
    }
    if let Some(shared) = &pin.shared {
        words.push(format!("shared with {shared}"));
    }
    if line.role == Role::Bus && pin.at_reset != AtReset::PulledUp {
        words.push("4.7 kΩ to the logic supply, unless the sensor's board has one".into());
    }
    if line.needs.contains(&Can::Adc) {
        words.extend(pin.adc_note.clone());
    }
    words.extend(pin.note.clone());
    (!words.is_empty()).then(|| words.join("; "))
}

/// Upper resistor of a divider, kΩ: small enough for an input, large enough for an output. Common
/// practice, no source.
const DIVIDER_KOHM: f64 = 10.0;

/// A divider that brings `from_v` down to `to_v`: with R above, R·to/(from - to) below.
fn divider(from_v: f64, to_v: f64) -> String {
    let below = DIVIDER_KOHM * to_v / (from_v - to_v).max(1e-3);
    format!(
        "divider: {DIVIDER_KOHM:.0} kΩ in the line and {below:.0} kΩ to ground ({} to {})",
        show_si::<Voltage>(from_v),
        show_si::<Voltage>(to_v)
    )
}

fn voltage(sheet: &BoardSheet, pin: &Pin, line: &Line) -> Option<Finding> {
    let signal_v = line.signal_v?;
    let stands = sheet.stands_v(pin);
    let place = Some(line.place.clone());
    if signal_v > stands {
        return Some(Finding {
            name: "pin-voltage",
            severity: if line.signal_stated {
                Severity::Fault
            } else {
                Severity::Warning
            },
            what: format!(
                "{} puts {} on pin {}, which stands {}.",
                capital(&whole(line)),
                show_si::<Voltage>(signal_v),
                pin.name,
                show_si::<Voltage>(stands)
            ),
            why: format!(
                "The chip of {} runs from {}; a higher voltage flows through the pin's protection into its \
                 supply and destroys it sooner or later.",
                sheet.name,
                show_si::<Voltage>(sheet.logic_v)
            ),
            mend: format!(
                "Put a {}, or a level shifter, between; or say its true signal = \"…\".",
                divider(signal_v, stands.min(sheet.logic_v))
            ),
            place,
        });
    }
    let read_as_level = line.needs.contains(&Can::In);
    (read_as_level && signal_v < sheet.high_v).then(|| Finding {
        name: "pin-voltage",
        severity: Severity::Warning,
        what: format!(
            "{} reaches only {} at pin {}, which surely reads high from {}.",
            capital(&whole(line)),
            show_si::<Voltage>(signal_v),
            pin.name,
            show_si::<Voltage>(sheet.high_v)
        ),
        why: format!(
            "Between low and high the chip of {} may read either.",
            sheet.name
        ),
        mend: "Put a level shifter between, or read it on a pin that measures.".into(),
        place,
    })
}

fn decides_start(pin: &Pin, line: &Line) -> Option<Finding> {
    let strap = pin.strap?;
    // A driver's input rests low, a sensor may be anything, a button to ground is high unless pressed.
    let harmless = matches!(
        (strap, line.role),
        (Strap::Low, Role::Motor | Role::Driven) | (Strap::High, Role::Bus)
    );
    if harmless {
        return None;
    }
    let (must, not) = match strap {
        Strap::Low => ("low", "high"),
        Strap::High => ("high", "low"),
    };
    Some(Finding {
        name: "pin-decides-start",
        severity: Severity::Warning,
        what: format!(
            "Pin {} decides how the board starts; {} may hold it {not} then.",
            pin.name,
            whole(line)
        ),
        why: format!(
            "While it starts, the chip looks at that pin and wants it {must}: else it waits for a program \
             or does not start at all."
        ),
        mend: "Move that line to another pin.".into(),
        place: Some(line.place.clone()),
    })
}

/// Lines of motors on pins that do not rest low until the program runs: one finding for all of them, the
/// gravest.
fn at_reset(robot: &Robot, sheet: &BoardSheet, rows: &[PinRow]) -> Option<Finding> {
    let held = robot.wiring.driver.pulled_down;
    let mut moving: Vec<(&PinRow, &Pin)> = Vec::new();
    let mut floating: Vec<(&PinRow, &Pin)> = Vec::new();
    for row in rows
        .iter()
        .filter(|r| r.stated && r.line.role == Role::Motor)
    {
        let pin = row.pin.as_ref().and_then(|p| sheet.pin(p));
        let Some(pin) = pin.map(|k| &sheet.pins[k]) else {
            continue;
        };
        match pin.at_reset {
            AtReset::Pulses | AtReset::PulledUp => moving.push((row, pin)),
            AtReset::Floats => floating.push((row, pin)),
            AtReset::PulledDown => {}
        }
    }
    let names = |of: &[(&PinRow, &Pin)]| {
        let names: Vec<&str> = of.iter().map(|(_, p)| p.name.as_str()).collect();
        names.join(", ")
    };
    let resistor = "Put 10 kΩ from each of them to ground, at the driver".to_owned();
    if let Some((row, pin)) = moving.first() {
        return Some(Finding {
            name: "pin-floats-at-reset",
            severity: Severity::Warning,
            what: format!(
                "Until the program runs, pin {} of the driver {}: the motors may start by themselves.",
                names(&moving),
                pin.at_reset.words()
            ),
            why: format!(
                "From power-on or a reset to the first line of the program {} holds {} that way; a driver \
                 takes it as an order. In the ring that is a false start, on the bench a pinched finger.",
                sheet.name,
                names(&moving)
            ),
            mend: format!("{resistor} (a pull-up inside the chip is weaker), or take other pins."),
            place: Some(row.line.place.clone()),
        });
    }
    let (row, _) = floating.first()?;
    if held == Some(true) {
        return None;
    }
    let (severity, says) = match held {
        Some(false) => (Severity::Warning, "the driver does not hold it low either"),
        _ => (
            Severity::Note,
            "the file does not say whether the driver holds it low (pull-down = true)",
        ),
    };
    Some(Finding {
        name: "pin-floats-at-reset",
        severity,
        what: format!(
            "Until the program runs, nothing on the board holds the driver's lines on {}.",
            names(&floating)
        ),
        why: format!(
            "Such a pin floats from power-on to the first line of the program, and {says}: a floating line \
             picks up noise, and the motors may twitch or run."
        ),
        mend: format!(
            "{resistor}, or look it up in the driver's sheet and write pull-down = true."
        ),
        place: Some(row.line.place.clone()),
    })
}
