//! What a controller board can do, as data.

/// A controller board by its data sheet. SI units; nothing here is drawn, for a data sheet's limits are
/// limits.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardSheet {
    /// What a robot file calls it: `board = "NAME"`.
    pub name: String,
    /// What it is, in words.
    pub title: String,
    /// What is particular about it.
    pub about: String,
    /// The controller chip.
    pub chip: String,
    /// Voltage of its logic, V.
    pub logic_v: f64,
    /// Clock of the processor, Hz.
    pub clock_hz: f64,
    /// How far the clock may be off, as a share.
    pub clock_off: f64,
    /// Bits of a natural `int`.
    pub word_bits: u32,
    /// Memory for the program, bytes.
    pub flash_bytes: u32,
    /// Memory for variables, bytes.
    pub ram_bytes: u32,
    /// Bits of a reading of an analogue input.
    pub adc_bits: u32,
    /// Voltage at an analogue input that reads full scale, V.
    pub adc_full_v: f64,
    /// Most current of one pin, A.
    pub pin_a: f64,
    /// Most current of all pins together, A.
    pub pins_a: f64,
    /// Highest voltage an ordinary pin stands, V.
    pub stands_v: f64,
    /// Lowest voltage that surely reads as high, V.
    pub high_v: f64,
    /// Logic supply down to which the chip is promised to work at this clock, V.
    pub least_v: f64,
    /// Logic supply at which it resets itself, V.
    pub brown_out_v: f64,
    /// Where power goes in.
    pub feeds: Vec<Feed>,
    /// Its pins, in the order of the file.
    pub pins: Vec<Pin>,
    /// Ports of the serial line, out and in, over which it talks to a computer; none: by another way.
    pub serial: Option<[String; 2]>,
    /// Where the figures are from.
    pub sources: Vec<String>,
}

/// How a supply pin makes the logic supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FeedKind {
    /// It is the logic supply.
    Straight,
    /// A linear regulator: what it gives, it takes; the rest becomes heat.
    Linear,
    /// A switching regulator.
    Switching,
}

/// A pin through which the board is fed.
#[derive(Debug, Clone, PartialEq)]
pub struct Feed {
    /// What is printed beside it.
    pub name: String,
    /// How the logic supply is made of it.
    pub kind: FeedKind,
    /// Least voltage at which the logic is supplied in full, V.
    pub least_v: f64,
    /// Highest voltage it takes, V.
    pub most_v: f64,
    /// What a regulator loses between this pin and the logic supply, V.
    pub drop_v: f64,
    /// Most current the regulator gives, A; none: whatever feeds it.
    pub most_a: Option<f64>,
}

impl Feed {
    /// Logic supply in V with `volts` at this pin: what the regulator is set to, or as much as its
    /// drop-out leaves.
    #[must_use]
    pub fn logic_v(&self, volts: f64, logic_v: f64) -> f64 {
        match self.kind {
            FeedKind::Straight => volts,
            FeedKind::Linear => (volts - self.drop_v).min(logic_v),
            // Below its least input a switching one stops at once.
            FeedKind::Switching if volts < self.least_v => 0.0,
            FeedKind::Switching => logic_v,
        }
    }
}

/// What a pin can do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Can {
    /// Read high or low.
    In,
    /// Drive high or low.
    Out,
    /// A pull-up inside the chip.
    PullUp,
    /// Pulses of a set width from a timer.
    Pwm,
    /// Measure a voltage.
    Adc,
    /// Call the program when it changes.
    Interrupt,
    /// Data line of an I2C bus.
    Sda,
    /// Clock line of an I2C bus.
    Scl,
    /// Serial line in.
    Rx,
    /// Serial line out.
    Tx,
}

impl Can {
    /// All of them, with the word a board file says.
    pub const ALL: [(&'static str, Self); 10] = [
        ("in", Self::In),
        ("out", Self::Out),
        ("pull-up", Self::PullUp),
        ("pwm", Self::Pwm),
        ("adc", Self::Adc),
        ("interrupt", Self::Interrupt),
        ("sda", Self::Sda),
        ("scl", Self::Scl),
        ("rx", Self::Rx),
        ("tx", Self::Tx),
    ];

    /// In words, after "this pin cannot".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::In => "read high or low",
            Self::Out => "drive a line",
            Self::PullUp => "pull a line up by itself",
            Self::Pwm => "make pulses (PWM)",
            Self::Adc => "measure a voltage (ADC)",
            Self::Interrupt => "call the program at a change (interrupt)",
            Self::Sda => "be the data line of an I2C bus (SDA)",
            Self::Scl => "be the clock line of an I2C bus (SCL)",
            Self::Rx => "receive serial data",
            Self::Tx => "send serial data",
        }
    }

    /// The word a board file says.
    #[must_use]
    pub fn word(self) -> &'static str {
        let found = Self::ALL.iter().find(|(_, c)| *c == self);
        found.map_or("", |(word, _)| word)
    }
}

/// What a pin does from the moment power comes until the program sets it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AtReset {
    /// Nothing holds it.
    Floats,
    /// A weak resistor holds it low.
    PulledDown,
    /// A weak resistor holds it high.
    PulledUp,
    /// It puts out pulses.
    Pulses,
}

impl AtReset {
    /// All of them, with the word a board file says.
    pub const ALL: [(&'static str, Self); 4] = [
        ("floats", Self::Floats),
        ("pulled-down", Self::PulledDown),
        ("pulled-up", Self::PulledUp),
        ("pulses", Self::Pulses),
    ];

    /// In words, after "until the program runs it".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Floats => "floats",
            Self::PulledDown => "is held low by a weak resistor",
            Self::PulledUp => "is held high by a weak resistor",
            Self::Pulses => "puts out pulses",
        }
    }
}

/// A level the board wants at a pin while it starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Strap {
    /// It must not be pulled up.
    Low,
    /// It must not be pulled down.
    High,
}

/// A pin.
#[derive(Debug, Clone, PartialEq)]
pub struct Pin {
    /// What is printed beside it; what a robot file calls it.
    pub name: String,
    /// What the chip's papers and headers call it.
    pub port: String,
    /// What it can do.
    pub can: Vec<Can>,
    /// Channel of the converter.
    pub adc: Option<String>,
    /// What to know where it measures.
    pub adc_note: Option<String>,
    /// Timer and its channel: pins of one timer share one frequency.
    pub timer: Option<String>,
    /// Bus of its I2C lines; `any`: whichever the program says.
    pub bus: Option<String>,
    /// What it does until the program sets it.
    pub at_reset: AtReset,
    /// Level the board wants there while it starts.
    pub strap: Option<Strap>,
    /// Highest voltage it stands, V, where that differs from the others'.
    pub stands_v: Option<f64>,
    /// What else on the board hangs on it.
    pub shared: Option<String>,
    /// Why nothing may be wired to it.
    pub reserved: Option<String>,
    /// What else to know.
    pub note: Option<String>,
}

impl Pin {
    /// Whether it can do `what`.
    #[must_use]
    pub fn can(&self, what: Can) -> bool {
        self.can.contains(&what)
    }
}

impl BoardSheet {
    /// Index of the pin called `name`, by what is printed beside it or by the chip's name of it.
    #[must_use]
    pub fn pin(&self, name: &str) -> Option<usize> {
        let same = |own: &str| own.eq_ignore_ascii_case(name);
        let printed = self.pins.iter().position(|p| same(&p.name));
        printed.or_else(|| self.pins.iter().position(|p| same(&p.port)))
    }

    /// Highest voltage `pin` stands, V.
    #[must_use]
    pub fn stands_v(&self, pin: &Pin) -> f64 {
        pin.stands_v.unwrap_or(self.stands_v)
    }

    /// The feed called `name`.
    #[must_use]
    pub fn feed(&self, name: &str) -> Option<&Feed> {
        self.feeds
            .iter()
            .find(|f| f.name.eq_ignore_ascii_case(name))
    }

    /// The feed for a pack that reads from `low_v` to `high_v`: the first that stands the highest and
    /// is satisfied by the lowest; else the first that stands the highest; none where every one would
    /// be overfed.
    #[must_use]
    pub fn feed_for(&self, low_v: f64, high_v: f64) -> Option<&Feed> {
        let stands = || self.feeds.iter().filter(|f| f.most_v >= high_v);
        stands()
            .find(|f| f.least_v <= low_v)
            .or_else(|| stands().next())
    }
}
