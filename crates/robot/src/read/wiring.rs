//! Pins, wires and fuse. Read apart from the things themselves, which the bout needs.

use quantity::{Current, Figure, Length, Voltage};

use super::drive::positive;
use crate::parts_box::PartsBox;
use crate::reader::{Node, Section, Value, nearest};
use crate::wiring::{
    Control, DriverLines, Extra, ExtraKind, Gauge, Harness, Interface, Lead, PinWord, WireSize,
    Wiring,
};
use crate::{BoardSheet, Gadget, Sensor};

/// Keys of a sensor's wires.
pub(super) const OF_A_SENSOR: &[&str] =
    &["pin", "pins", "enable-pin", "interface", "supply", "signal"];
/// Keys of a gadget's wires.
pub(super) const OF_A_GADGET: &[&str] = &["pin"];
/// Keys of the driver's lines.
pub(super) const OF_A_DRIVER: &[&str] = &[
    "control",
    "pins-left",
    "pins-right",
    "enable-pin",
    "pull-down",
];
/// Keys of the board's sheet and supply.
pub(super) const OF_A_BOARD: &[&str] = &["board", "fed-at"];
/// Keys of the pack.
pub(super) const OF_A_BATTERY: &[&str] = &["cells"];

/// Most cells in series a pack may say it has.
const MOST_CELLS: u32 = 30;

/// Reads what the file says of the wiring; what is wrong goes into its log. Sensors and gadgets that
/// could not be read have no wires.
pub(super) fn wiring(
    root: &Section<'_>,
    parts: &PartsBox,
    sensors: &[Sensor],
    gadgets: &[Gadget],
) -> Wiring {
    let mut made = Wiring::default();
    board(root, parts, &mut made);
    if let Some(mut section) = root.table("battery") {
        parts.back_up(&mut section, "battery");
        made.cells = section.optional_count("cells", 1, MOST_CELLS);
    }
    // Pins are held against the board the file names, not against a guess.
    let sheet = made.sheet.clone().filter(|_| made.sheet_stated);
    let board = sheet.as_deref();
    for (mut section, sensor) in root.tables("sensor").into_iter().zip(sensors) {
        parts.back_up(&mut section, "sensor");
        made.leads.push(sensor_lead(&section, sensor, board));
    }
    for (section, gadget) in root.tables("gadget").into_iter().zip(gadgets) {
        if gadget.drive.is_some() {
            made.leads.push(Lead {
                item: gadget.item.name.clone(),
                interface: Interface::Pulse,
                pins: pins(&section, "pin", 1, board),
                enable: None,
                supply_v: None,
                signal_v: None,
                signal_stated: false,
            });
        } else if section.own("pin").is_some() {
            let what = "a flap without a motor has no pin";
            section.complain_of("pin", what, "no such line", None);
        }
    }
    made.driver = driver(root, parts, board);
    made.harness = harness(root);
    made.extras = extras(root, board);
    made
}

/// The sheet that the file or its part names, and the pin the pack is wired to.
fn board(root: &Section<'_>, parts: &PartsBox, made: &mut Wiring) {
    let Some(mut section) = root.table("board") else {
        return;
    };
    parts.back_up(&mut section, "board");
    made.sheet_stated = section.own("board").is_some();
    if let Some(name) = section.optional_text("board") {
        made.sheet = parts.boards().find(&name);
        // A parts box that was put together without any boards cannot know them.
        let knows = made.sheet_stated || parts.boards().iter().next().is_some();
        if made.sheet.is_none() && knows {
            let near = parts.boards().nearest(&name);
            section.complain_of(
                "board",
                format!("no board \"{name}\" is known"),
                "one of those that `ringwright boards` lists, or a file in boards/ of your folder",
                near.map(|n| format!("board = \"{n}\"")),
            );
        }
    }
    let Some(feed) = section.optional_text("fed-at") else {
        return;
    };
    match made.sheet.as_deref().map(|s| (s, s.feed(&feed))) {
        Some((_, Some(found))) => made.fed_at = Some(found.name.clone()),
        Some((sheet, None)) => {
            let all: Vec<&str> = sheet.feeds.iter().map(|f| f.name.as_str()).collect();
            section.complain_of(
                "fed-at",
                format!("{} is not fed at \"{feed}\"", sheet.name),
                format!("one of {}", all.join(", ")),
                nearest(&feed, all.iter().copied()).map(|n| format!("fed-at = \"{n}\"")),
            );
        }
        None => made.fed_at = Some(feed),
    }
}

fn sensor_lead(section: &Section<'_>, sensor: &Sensor, board: Option<&BoardSheet>) -> Lead {
    let words = Interface::OF_SENSORS.map(|(w, _)| w);
    let said = (section.has("interface"))
        .then(|| section.choice("interface", &words))
        .flatten();
    let interface = said
        .and_then(|said| Interface::OF_SENSORS.iter().find(|(w, _)| *w == said))
        .map_or_else(|| Interface::usual(&sensor.kind), |(_, i)| *i);
    let lines = interface.lines();
    let (one, several) = (section.own("pin"), section.own("pins"));
    let pins = match (one, several) {
        (Some(_), Some(_)) => {
            section.complain_of(
                "pins",
                "\"pin\" and \"pins\" at once",
                "one of the two",
                None,
            );
            Vec::new()
        }
        (Some(_), None) if lines > 1 => {
            let what = format!("this sensor has {lines} lines, not one");
            let expected = format!("pins = [\"…\", \"…\"]: {}", of_lines(interface));
            section.complain_of("pin", what, expected, None);
            Vec::new()
        }
        (Some(_), None) => pins(section, "pin", 1, board),
        _ => pins(section, "pins", lines, board),
    };
    let enable = pins_of(section, "enable-pin", board).into_iter().next();
    if enable.is_some() && interface != Interface::I2c {
        let what = "only a sensor on a bus has a pin that wakes it";
        section.complain_of("enable-pin", what, "no such line", None);
    }
    let volts = |key: &str| {
        let figure = section.optional_figure::<Voltage>(key)?;
        positive(section, key, Some(figure.si()));
        Some(figure.si())
    };
    Lead {
        item: sensor.item.name.clone(),
        interface,
        pins,
        enable,
        supply_v: volts("supply"),
        signal_v: volts("signal"),
        signal_stated: section.own("signal").is_some(),
    }
}

/// What the lines of an interface are, in order.
fn of_lines(interface: Interface) -> &'static str {
    match interface {
        Interface::TriggerEcho => "first the trigger, then the echo",
        Interface::I2c => "first data (SDA), then clock (SCL)",
        Interface::TwoLines => "its two lines, A and B",
        Interface::Analogue | Interface::Digital | Interface::Pulse => "its line",
    }
}

fn driver(root: &Section<'_>, parts: &PartsBox, board: Option<&BoardSheet>) -> DriverLines {
    let mut made = DriverLines::default();
    let Some(mut section) = root.table("driver") else {
        return made;
    };
    parts.back_up(&mut section, "driver");
    if section.has("control") {
        let words = Control::ALL.map(|(w, _)| w);
        let said = section.choice("control", &words);
        let found = said.and_then(|said| Control::ALL.iter().find(|(w, _)| *w == said));
        made.control = found.map_or_else(Control::default, |(_, c)| *c);
    }
    let lines = made.control.lines();
    made.left = pins(&section, "pins-left", lines, board);
    made.right = pins(&section, "pins-right", lines, board);
    made.enable = pins_of(&section, "enable-pin", board).into_iter().next();
    made.has_enable = made.enable.is_some();
    made.pulled_down = section.optional_flag("pull-down");
    made
}

fn extras(root: &Section<'_>, board: Option<&BoardSheet>) -> Vec<Extra> {
    let mut made: Vec<Extra> = Vec::new();
    for section in root.tables("wire") {
        let name = section.text("name");
        let words = ExtraKind::ALL.map(|(w, _)| w);
        let kind = section
            .choice("type", &words)
            .and_then(|said| ExtraKind::ALL.iter().find(|(w, _)| *w == said));
        let pin = pins(&section, "pin", 1, board).into_iter().next();
        let signal = section.optional_figure::<Voltage>("signal");
        if let Some(first) = name
            .as_ref()
            .and_then(|n| made.iter().find(|e| e.name == *n))
        {
            let what = format!("two wires are called \"{}\"", first.name);
            let expected = format!(
                "another name than that of the one in line {}",
                first.place.line
            );
            section.complain_of("name", what, expected, None);
        }
        if let (Some(name), Some((_, kind))) = (name, kind) {
            made.push(Extra {
                name,
                kind: *kind,
                pin,
                signal_v: signal.map(|s| s.si()),
                place: section.place(),
            });
        }
        section.finish();
    }
    made
}

fn harness(root: &Section<'_>) -> Harness {
    let Some(section) = root.table("wiring") else {
        return Harness::default();
    };
    let length = |key: &str| {
        let figure = section.optional_figure::<Length>(key);
        positive(&section, key, figure.as_ref().map(Figure::si));
        figure
    };
    let fuse = section.optional_figure::<Current>("fuse");
    positive(&section, "fuse", fuse.as_ref().map(Figure::si));
    let made = Harness {
        battery_wire: wire_size(&section, "battery-wire"),
        battery_length: length("battery-length"),
        motor_wire: wire_size(&section, "motor-wire"),
        motor_length: length("motor-length"),
        fuse_place: section
            .own("fuse")
            .map(|n| section.document().place(&n.span)),
        fuse,
        fuse_resets: (section.has("fuse-type"))
            .then(|| section.choice("fuse-type", &["blade", "resettable"]))
            .flatten()
            .is_some_and(|t| t == "resettable"),
    };
    section.finish();
    made
}

/// Thinnest and thickest wires taken, AWG: enamelled hair and a starter cable.
const GAUGES: core::ops::RangeInclusive<u32> = 0..=40;
/// The same in mm².
const AREAS_MM2: core::ops::RangeInclusive<f64> = 0.005..=55.0;

/// A wire's size: `22 AWG`, `AWG 22` or `0.35 mm2`.
fn wire_size(section: &Section<'_>, key: &str) -> Option<WireSize> {
    let said = section.optional_text(key)?;
    let place = section
        .own(key)
        .map(|n| section.document().place(&n.span))?;
    let lower = said
        .trim()
        .to_lowercase()
        .replace("mm²", "mm2")
        .replace("mm^2", "mm2");
    let gauge = if let Some(mm2) = lower.strip_suffix("mm2") {
        let mm2 = mm2.trim().parse::<f64>().ok();
        mm2.filter(|a| AREAS_MM2.contains(a))
            .map(|a| Gauge::AreaM2(1e-6 * a))
    } else {
        let number = (lower.strip_suffix("awg")).or_else(|| lower.strip_prefix("awg"));
        let number = number.and_then(|n| n.trim().parse::<u32>().ok());
        number.filter(|n| GAUGES.contains(n)).map(Gauge::Awg)
    };
    if gauge.is_none() {
        let bare = lower.parse::<f64>().is_ok();
        section.complain_of(
            key,
            format!("\"{said}\" is no size of a wire"),
            "a gauge from 0 to 40 such as \"22 AWG\", or a cross-section such as \"0.35 mm2\"",
            bare.then(|| format!("{key} = \"{} AWG\"", said.trim())),
        );
    }
    Some(WireSize {
        gauge: gauge?,
        said,
        place,
    })
}

/// The pins under `key`, a text or a list of texts of that many; a wrong number is told.
fn pins(
    section: &Section<'_>,
    key: &str,
    lines: usize,
    board: Option<&BoardSheet>,
) -> Vec<PinWord> {
    let found = pins_of(section, key, board);
    if !found.is_empty() && found.len() != lines {
        let what = format!("\"{key}\" names {} pins", found.len());
        section.complain_of(
            key,
            what,
            format!("{lines}, in the order of its lines"),
            None,
        );
        return Vec::new();
    }
    found
}

/// The same of any number.
fn pins_of(section: &Section<'_>, key: &str, board: Option<&BoardSheet>) -> Vec<PinWord> {
    let Some(node) = section.own(key) else {
        return Vec::new();
    };
    match &node.value {
        Value::List(items) => items
            .iter()
            .filter_map(|n| pin(section, key, n, board))
            .collect(),
        _ => pin(section, key, node, board).into_iter().collect(),
    }
}

/// One pin, which must be one of the board's where the board is known.
fn pin(
    section: &Section<'_>,
    key: &str,
    node: &Node,
    board: Option<&BoardSheet>,
) -> Option<PinWord> {
    let document = section.document();
    let name = match &node.value {
        Value::Text(t) => t.clone(),
        // A bare number is a pin's name on many boards; quotes keep "A0" and 13 alike.
        Value::Number(n) => {
            let right = document.corrected(&node.span, &format!("\"{n}\""));
            document.log(
                &node.span,
                format!("\"{key}\" is a bare number"),
                "a pin in quotes",
                Some(right),
            );
            return None;
        }
        other => {
            let what = format!("\"{key}\" is {}", other.kind());
            document.log(&node.span, what, "a pin in quotes", None);
            return None;
        }
    };
    let place = document.place(&node.span);
    let Some(board) = board else {
        return Some(PinWord { pin: name, place });
    };
    if let Some(k) = board.pin(&name) {
        let pin = board.pins[k].name.clone();
        return Some(PinWord { pin, place });
    }
    let names = || board.pins.iter().map(|p| p.name.as_str());
    let all: Vec<&str> = names().collect();
    document.log(
        &node.span,
        format!("{} has no pin \"{name}\"", board.name),
        format!("one of {}", all.join(", ")),
        like_pin(&name, board)
            .or_else(|| nearest(&name, names()))
            .map(|n| document.corrected(&node.span, &format!("\"{n}\""))),
    );
    None
}

/// The pin that ends in the same number, such as `IO25` for `D25` and `GP4` for `4`.
fn like_pin<'b>(name: &str, board: &'b BoardSheet) -> Option<&'b str> {
    let digits = |s: &str| -> String {
        let kept: Vec<char> = s.chars().rev().take_while(char::is_ascii_digit).collect();
        kept.into_iter().rev().collect()
    };
    let number = digits(name);
    if number.is_empty() {
        return None;
    }
    if let Some(k) = board.pin(&number) {
        return Some(board.pins[k].name.as_str());
    }
    let mut same = board.pins.iter().filter(|p| digits(&p.name) == number);
    match (same.next(), same.next()) {
        (Some(one), None) => Some(one.name.as_str()),
        _ => None,
    }
}
