//! The controller boards there are, and what the pins of one can do.

use robot::{BoardSheet, Boards, FeedKind, Pin, Strap};
use serde::Serialize;

use crate::setting::Trouble;
use crate::text::{Layout, Sheet, Table};

/// A board in the list.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct BoardLine {
    /// What a robot file calls it.
    pub board: String,
    /// What it is.
    pub title: String,
    /// The chip.
    pub chip: String,
    /// Voltage of its logic, V.
    pub logic_v: f64,
    /// Clock, Hz.
    pub clock_hz: f64,
    /// Memory for the program, bytes.
    pub flash_bytes: u32,
    /// Memory for variables, bytes.
    pub ram_bytes: u32,
    /// Pins that may be wired.
    pub pins: u32,
    /// How many of them make pulses.
    pub pwm_pins: u32,
    /// How many of them measure a voltage.
    pub adc_pins: u32,
}

/// All boards.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct BoardList {
    /// `ringwright/boards/1`.
    pub schema: String,
    /// The boards.
    pub boards: Vec<BoardLine>,
}

/// A pin through which a board is fed.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct FeedEntry {
    /// What is printed beside it.
    pub pin: String,
    /// `straight`, `linear` or `switching`.
    pub kind: String,
    /// Least voltage, V.
    pub least_v: f64,
    /// Highest voltage, V.
    pub most_v: f64,
    /// What its regulator loses, V.
    pub drop_out_v: f64,
    /// Most current its regulator gives, A.
    pub most_a: Option<f64>,
}

/// A pin.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct PinEntry {
    /// What is printed beside it.
    pub pin: String,
    /// What the chip's papers call it.
    pub port: String,
    /// What it can do: `in`, `out`, `pull-up`, `pwm`, `adc`, `interrupt`, `sda`, `scl`, `rx`, `tx`.
    pub can: Vec<String>,
    /// Channel of the converter.
    pub adc: Option<String>,
    /// What to know where it measures.
    pub adc_note: Option<String>,
    /// Timer and channel.
    pub timer: Option<String>,
    /// Bus of its I2C lines.
    pub bus: Option<String>,
    /// What it does until the program sets it: `floats`, `pulled-down`, `pulled-up` or `pulses`.
    pub at_reset: String,
    /// Level the board wants there while it starts: `low` or `high`.
    pub strap: Option<String>,
    /// Highest voltage it stands, V.
    pub stands_v: f64,
    /// What else on the board hangs on it.
    pub shared: Option<String>,
    /// Why nothing may be wired to it.
    pub reserved: Option<String>,
    /// What else to know.
    pub note: Option<String>,
}

/// One board and its pins.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct BoardPage {
    /// `ringwright/board/1`.
    pub schema: String,
    /// The board in short.
    pub board: BoardLine,
    /// What is particular about it.
    pub about: String,
    /// How far its clock may be off, as a share.
    pub clock_off: f64,
    /// Time to program for a start delay of five seconds so that even a slow judge's watch is kept, s.
    pub five_seconds_s: f64,
    /// Time after which a counter of milliseconds in 16 bits begins anew, s.
    pub short_counter_s: f64,
    /// Bits of a reading.
    pub adc_bits: u32,
    /// Voltage that reads full scale, V.
    pub adc_full_v: f64,
    /// Most current of one pin, A.
    pub pin_a: f64,
    /// Most current of all pins, A.
    pub pins_a: f64,
    /// Lowest voltage that surely reads as high, V.
    pub high_v: f64,
    /// Logic supply down to which it is promised to work, V.
    pub least_v: f64,
    /// Logic supply at which it resets itself, V.
    pub brown_out_v: f64,
    /// Where power goes in.
    pub feeds: Vec<FeedEntry>,
    /// Its pins.
    pub pins: Vec<PinEntry>,
    /// Where the figures are from.
    pub sources: Vec<String>,
}

fn count(sheet: &BoardSheet, what: impl Fn(&Pin) -> bool) -> u32 {
    let free = sheet
        .pins
        .iter()
        .filter(|p| p.reserved.is_none() && what(p));
    u32::try_from(free.count()).unwrap_or(u32::MAX)
}

fn line(s: &BoardSheet) -> BoardLine {
    BoardLine {
        board: s.name.clone(),
        title: s.title.clone(),
        chip: s.chip.clone(),
        logic_v: s.logic_v,
        clock_hz: s.clock_hz,
        flash_bytes: s.flash_bytes,
        ram_bytes: s.ram_bytes,
        pins: count(s, |_| true),
        pwm_pins: count(s, |p| p.can(robot::Can::Pwm)),
        adc_pins: count(s, |p| p.can(robot::Can::Adc)),
    }
}

fn volts(v: f64) -> String {
    quantity::show_si::<quantity::Voltage>(v)
}

fn amperes(a: f64) -> String {
    quantity::show_si::<quantity::Current>(a)
}

fn memory(bytes: u32) -> String {
    if bytes >= 1 << 20 {
        format!("{} MiB", bytes >> 20)
    } else if bytes >= 10_240 {
        format!("{} KiB", bytes >> 10)
    } else {
        format!("{bytes} B")
    }
}

impl BoardList {
    /// The list.
    #[must_use]
    pub fn of(boards: &Boards) -> Self {
        Self {
            schema: "ringwright/boards/1".into(),
            boards: boards.iter().map(line).collect(),
        }
    }

    /// As text.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let mut s = Sheet::new(layout);
        s.title("Controller boards");
        s.small("Named by their chips. A robot file says board = \"NAME\" under [board].");
        s.gap();
        let header = [
            "Board",
            "What it is",
            "Pins",
            "PWM",
            "ADC",
            "Program",
            "Variables",
        ];
        let mut table = Table::new(&header).right(&[2, 3, 4, 5, 6]);
        for b in &self.boards {
            table.row([
                b.board.clone(),
                b.title.clone(),
                b.pins.to_string(),
                b.pwm_pins.to_string(),
                b.adc_pins.to_string(),
                memory(b.flash_bytes),
                memory(b.ram_bytes),
            ]);
        }
        s.table(&table);
        s.gap();
        s.paragraph("PWM: pins that make pulses, for motors. ADC: pins that measure a voltage.");
        s.paragraph("See what each pin can do:");
        if let Some(first) = self.boards.first() {
            s.command(&format!("ringwright boards {}", first.board));
        }
        s.finish()
    }
}

fn feed_kind(kind: FeedKind) -> &'static str {
    match kind {
        FeedKind::Straight => "straight",
        FeedKind::Linear => "linear",
        FeedKind::Switching => "switching",
    }
}

fn pin_entry(sheet: &BoardSheet, p: &Pin) -> PinEntry {
    let at_reset = robot::AtReset::ALL.iter().find(|(_, r)| *r == p.at_reset);
    PinEntry {
        pin: p.name.clone(),
        port: p.port.clone(),
        can: p.can.iter().map(|c| c.word().to_owned()).collect(),
        adc: p.adc.clone(),
        adc_note: p.adc_note.clone(),
        timer: p.timer.clone(),
        bus: p.bus.clone(),
        at_reset: at_reset.map_or(String::new(), |(word, _)| (*word).to_owned()),
        strap: p.strap.map(|s| match s {
            Strap::Low => "low".into(),
            Strap::High => "high".into(),
        }),
        stands_v: sheet.stands_v(p),
        shared: p.shared.clone(),
        reserved: p.reserved.clone(),
        note: p.note.clone(),
    }
}

/// Start delay most rulebooks ask for, s.
const START_DELAY_S: f64 = 5.0;

impl BoardPage {
    /// The board called `name`.
    ///
    /// # Errors
    /// When there is none of that name, with the nearest one.
    pub fn of(boards: &Boards, name: &str) -> Result<Self, Trouble> {
        let Some(s) = boards.find(name) else {
            let near = boards
                .nearest(name)
                .map_or_else(String::new, |n| format!(" Did you mean \"{n}\"?"));
            return Err(Trouble::Call(format!(
                "There is no board \"{name}\".{near} `ringwright boards` lists them."
            )));
        };
        let feed = |f: &robot::Feed| FeedEntry {
            pin: f.name.clone(),
            kind: feed_kind(f.kind).into(),
            least_v: f.least_v,
            most_v: f.most_v,
            drop_out_v: f.drop_v,
            most_a: f.most_a,
        };
        Ok(Self {
            schema: "ringwright/board/1".into(),
            board: line(&s),
            about: s.about.clone(),
            clock_off: s.clock_off,
            five_seconds_s: laws::clock::safe_wait_s(START_DELAY_S, s.clock_off),
            short_counter_s: laws::clock::wraps_after_s(16, 1e-3),
            adc_bits: s.adc_bits,
            adc_full_v: s.adc_full_v,
            pin_a: s.pin_a,
            pins_a: s.pins_a,
            high_v: s.high_v,
            least_v: s.least_v,
            brown_out_v: s.brown_out_v,
            feeds: s.feeds.iter().map(feed).collect(),
            pins: s.pins.iter().map(|p| pin_entry(&s, p)).collect(),
            sources: s.sources.clone(),
        })
    }

    /// As text.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let b = &self.board;
        let mut s = Sheet::new(layout);
        s.title(&format!("{}: {}", b.board, b.title));
        s.small(&self.about);
        s.heading("Supply");
        for f in &self.feeds {
            let how = match f.kind.as_str() {
                "straight" => "straight to the logic".to_owned(),
                kind => {
                    let most = f.most_a.map(|a| format!(", up to {}", amperes(a)));
                    format!("{kind} regulator{}", most.unwrap_or_default())
                }
            };
            s.point(
                &format!("{}:", f.pin),
                &format!("{} to {}, {how}", volts(f.least_v), volts(f.most_v)),
            );
        }
        s.point(
            "–",
            &format!(
                "logic {}; promised to work down to {}; resets itself below about {}",
                volts(b.logic_v),
                volts(self.least_v),
                volts(self.brown_out_v)
            ),
        );
        s.heading("Pins");
        s.paragraph(&format!(
            "At most {} a pin and {} all together: no motor, no servo, no lamp without its resistor \
             hangs on a pin. High is read from {}; {} bits for 0 to {}.",
            amperes(self.pin_a), amperes(self.pins_a), volts(self.high_v), self.adc_bits,
            volts(self.adc_full_v)
        ));
        s.gap();
        let header = [
            "Pin",
            "Chip",
            "Can",
            "Stands",
            "Until the program runs",
            "Mind",
        ];
        let mut table = Table::new(&header).right(&[3]);
        for p in &self.pins {
            table.row([
                p.pin.clone(),
                p.port.clone(),
                abilities(p),
                volts(p.stands_v),
                p.at_reset.replace('-', " "),
                minded(p),
            ]);
        }
        s.table(&table);
        s.heading("Clock");
        s.paragraph(&format!(
            "{}, off by up to {} %. For a start delay of 5 s program {:.2} s: 5/(1 - {}). A counter of \
             milliseconds in 16 bits begins anew after {:.1} s, which is shorter than a match: use 32 bits \
             or subtract unsigned.",
            quantity::show_si::<quantity::Frequency>(b.clock_hz),
            quantity::show_si::<quantity::Money>(100.0 * self.clock_off),
            self.five_seconds_s,
            quantity::show_si::<quantity::Money>(self.clock_off),
            self.short_counter_s
        ));
        s.heading("Where the figures are from");
        for source in &self.sources {
            s.point("–", source);
        }
        s.gap();
        s.aside("Boards of one chip differ: look at the papers and the print of yours.");
        s.finish()
    }
}

/// What a pin can do, in short.
fn abilities(p: &PinEntry) -> String {
    let can = |what: &str| p.can.iter().any(|c| c == what);
    let mut words = Vec::new();
    words.extend(match (can("in"), can("out")) {
        (true, true) => Some("in/out".to_owned()),
        (true, false) => Some("in only".to_owned()),
        (false, true) => Some("out only".to_owned()),
        (false, false) => None,
    });
    let with = |word: &str, of: &Option<String>| {
        of.as_ref()
            .map_or_else(|| word.to_owned(), |n| format!("{word} {n}"))
    };
    if can("pwm") {
        words.push(with("PWM", &p.timer));
    }
    if can("adc") {
        words.push(with("ADC", &p.adc));
    }
    if can("interrupt") {
        words.push("interrupt".into());
    }
    match (can("sda"), can("scl")) {
        (true, true) => words.push("SDA/SCL".into()),
        (true, false) => words.push("SDA".into()),
        (false, true) => words.push("SCL".into()),
        (false, false) => {}
    }
    words.join(", ")
}

/// What there is to mind about a pin.
fn minded(p: &PinEntry) -> String {
    let reserved = p.reserved.as_ref().map(|r| format!("not to be wired: {r}"));
    let strap = p.strap.as_ref().map(|s| {
        let wrong = if s == "low" { "high" } else { "low" };
        format!("must not be {wrong} while it starts")
    });
    let shared = p.shared.as_ref().map(|s| format!("shared with {s}"));
    let all: Vec<String> = [reserved, strap, shared, p.adc_note.clone(), p.note.clone()]
        .into_iter()
        .flatten()
        .collect();
    all.join("; ")
}
