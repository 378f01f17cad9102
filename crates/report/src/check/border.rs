//! The border: what the edge sensors read, and the edge met otherwise than straight on.

use paper::{Level, Threshold};
use serde::Serialize;

use super::Examined;
use super::sections::Section;
use super::stance::bearing_words;
use crate::text::{Sheet, Table};

/// What a sensor reads over something, shares of full scale.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct LevelLine {
    /// Nominal.
    pub reads: f64,
    /// Lower end of what it reads nineteen times of twenty.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// Edge sensors that read alike, and the level above which the program takes them for the border.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct ThresholdLine {
    /// Their names.
    pub sensors: Vec<String>,
    /// Height over the ring in m.
    pub height_m: f64,
    /// The level, share of full scale.
    pub level: f64,
    /// Over the plain ring.
    pub ring: LevelLine,
    /// Over the border.
    pub border: LevelLine,
    /// Past the rim.
    pub off: LevelLine,
    /// Over the border, the nose lifted.
    pub lifted: LevelLine,
    /// Share of readings on the border that miss the level.
    pub misses: f64,
    /// Share of readings on the plain ring that reach it.
    pub alarms: f64,
    /// The same with the nose lifted.
    pub lifted_alarms: f64,
    /// The level half way between ring and border at worst, share of full scale.
    pub best_level: f64,
    /// Share of readings on the border that miss that one.
    pub best_misses: f64,
    /// Share of readings on the plain ring that reach it.
    pub best_alarms: f64,
}

/// The edge met aslant.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct AslantLine {
    /// How far the rim is turned in rad; positive: it comes up on the left.
    pub angle_rad: f64,
    /// What there is to stop in, in m; negative: a wheel is over the rim before any sensor sees it.
    pub room_m: f64,
    /// Highest speed in m/s that stops.
    pub safe_m_s: f64,
}

/// A border of another width.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct BorderWidth {
    /// Its width in m.
    pub width_m: f64,
    /// Highest speed in m/s that stops on it.
    pub safe_m_s: f64,
    /// Highest speed in m/s at which the program surely looks twice while the sensor is over it.
    pub two_looks_m_s: f64,
}

/// From a border under a sensor to the motors, at worst.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct AnswerLine {
    /// The sensors that take as long.
    pub sensors: Vec<String>,
    /// Sensor, look and motors, s.
    pub hardware_s: f64,
    /// What the program adds, s; none: it may not answer at all.
    pub program_s: Option<f64>,
    /// Looks of the program, counted up; none: without end.
    pub looks: Option<u32>,
}

/// A time in which the program does not act on an edge sensor.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct UnwatchedLine {
    /// The sensor.
    pub sensor: String,
    /// Why, in words.
    pub why: String,
    /// The file of the program.
    pub file: String,
    /// The line in it.
    pub line: u32,
    /// Whether it drives forward meanwhile; else backward.
    pub forward: bool,
    /// How long at most, s; none: without end.
    pub time_s: Option<f64>,
    /// Way driven that way in that time, m, the longest in one go; none: without end.
    pub way_m: Option<f64>,
    /// What there is for that and for stopping, m.
    pub has_m: f64,
    /// The longest such time for which there is room, s; none: any.
    pub longest_s: Option<f64>,
}

/// The border.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct BorderSection {
    /// What the edge sensors read.
    pub thresholds: Vec<ThresholdLine>,
    /// Highest speed in m/s that stops, forward and straight on.
    pub safe_m_s: Option<f64>,
    /// The same backward.
    pub safe_backward_m_s: Option<f64>,
    /// The edge met aslant.
    pub aslant: Vec<AslantLine>,
    /// Highest speed in m/s that stops with an opponent of its own mass on the blade.
    pub carrying_m_s: Option<f64>,
    /// The same while such an opponent pushes from behind; 0: nothing stops it.
    pub pushed_m_s: Option<f64>,
    /// Speed in m/s of the outermost edge sensor while it turns on the spot.
    pub swing_m_s: Option<f64>,
    /// Whether the border may pass between two looks while it turns so.
    pub swing_misses: Option<bool>,
    /// Borders of other widths.
    pub widths: Vec<BorderWidth>,
    /// How long it takes from a border under each edge sensor to the motors.
    pub answers: Vec<AnswerLine>,
    /// When the program does not act on an edge sensor.
    pub unwatched: Vec<UnwatchedLine>,
}

/// Sensors that take as long stand in one line.
fn answers(all: &[paper::Answer]) -> Vec<AnswerLine> {
    let mut lines: Vec<AnswerLine> = Vec::new();
    for a in all {
        let same = |l: &&mut AnswerLine| {
            (l.hardware_s.to_bits(), l.program_s.map(f64::to_bits))
                == (a.hardware_s.to_bits(), a.program_s.map(f64::to_bits))
        };
        match lines.iter_mut().find(same) {
            Some(line) => line.sensors.push(a.sensor.clone()),
            None => lines.push(AnswerLine {
                sensors: vec![a.sensor.clone()],
                hardware_s: a.hardware_s,
                program_s: a.program_s,
                looks: a.looks,
            }),
        }
    }
    lines
}

impl From<&paper::Unwatched> for UnwatchedLine {
    fn from(u: &paper::Unwatched) -> Self {
        Self {
            sensor: u.sensor.clone(),
            why: u.why_words(),
            file: u.place.file.to_string(),
            line: u.place.line,
            forward: u.forward,
            time_s: u.time_s,
            way_m: u.way_m,
            has_m: u.has_m,
            longest_s: u.longest_s,
        }
    }
}

impl From<Level> for LevelLine {
    fn from(l: Level) -> Self {
        Self {
            reads: l.reads,
            low: l.between[0],
            high: l.between[1],
        }
    }
}

impl From<&Threshold> for ThresholdLine {
    fn from(t: &Threshold) -> Self {
        Self {
            sensors: t.sensors.clone(),
            height_m: t.height_m,
            level: t.level,
            ring: t.ring.into(),
            border: t.border.into(),
            off: t.off.into(),
            lifted: t.lifted.into(),
            misses: t.misses,
            alarms: t.alarms,
            lifted_alarms: t.lifted_alarms,
            best_level: t.best.level,
            best_misses: t.best.misses,
            best_alarms: t.best.alarms,
        }
    }
}

impl Section for BorderSection {
    const TITLE: &'static str = "The border";

    fn of(e: &Examined<'_>) -> Option<Self> {
        let edge = e.paper.edge.as_ref()?;
        let a = e.paper.approach.as_ref();
        let safe = |w: &Option<paper::Way>| w.as_ref().map(|w| w.safe_m_s);
        let aslant = a.map(|a| a.aslant.as_slice()).unwrap_or_default();
        let widths = a.map(|a| a.borders.as_slice()).unwrap_or_default();
        Some(Self {
            thresholds: e.paper.thresholds.iter().map(ThresholdLine::from).collect(),
            safe_m_s: safe(&edge.forward),
            safe_backward_m_s: safe(&edge.backward),
            aslant: aslant
                .iter()
                .filter(|x| x.room_m.is_finite())
                .map(|x| AslantLine {
                    angle_rad: x.angle_rad,
                    room_m: x.room_m,
                    safe_m_s: x.safe_m_s,
                })
                .collect(),
            carrying_m_s: a.map(|a| a.carrying_m_s),
            pushed_m_s: a.map(|a| a.pushed_m_s),
            swing_m_s: a.map(|a| a.swing_m_s),
            swing_misses: a.map(|a| a.swing_misses),
            widths: widths
                .iter()
                .map(|b| BorderWidth {
                    width_m: b.width_m,
                    safe_m_s: b.safe_m_s,
                    two_looks_m_s: b.two_looks_m_s,
                })
                .collect(),
            answers: answers(&e.paper.answers),
            unwatched: e.paper.unwatched.iter().map(UnwatchedLine::from).collect(),
        })
    }

    fn text(&self, s: &mut Sheet) {
        let percent = |x: f64| format!("{:.0} %", 100.0 * x);
        let reads = |l: LevelLine| {
            format!(
                "{} ({} to {})",
                percent(l.reads),
                percent(l.low),
                percent(l.high)
            )
        };
        for t in &self.thresholds {
            let mut table = Table::new(&[&t.sensors.join(", "), "reads (19 of 20)"]);
            for (over, level) in [
                ("over the ring", t.ring),
                ("over the border", t.border),
                ("over the border, lifted by 20 mm", t.lifted),
                ("past the rim", t.off),
            ] {
                table.row([over.to_owned(), reads(level)]);
            }
            s.table(&table);
            s.paragraph(&format!(
                "The program asks for more than {}: of 100 readings over the border {:.0} miss that, of 100 over \
                 the ring {:.0} reach it. Half way between would be {}.",
                percent(t.level),
                100.0 * t.misses,
                100.0 * t.alarms,
                percent(t.best_level)
            ));
        }
        self.heeding(s);
        if self.aslant.is_empty() {
            return;
        }
        s.gap();
        let mut table = Table::new(&["Edge comes up", "room to stop", "stops from"]).right(&[1, 2]);
        for a in &self.aslant {
            let room = if a.room_m > 0.0 {
                format!("{:.0} mm", 1e3 * a.room_m)
            } else {
                "none".into()
            };
            table.row([
                bearing_words(a.angle_rad),
                room,
                format!("{:.2} m/s", a.safe_m_s),
            ]);
        }
        s.table(&table);
        if let Some((carrying, pushed)) = self.carrying_m_s.zip(self.pushed_m_s) {
            let pushed = if pushed > 0.0 {
                format!("from {pushed:.2} m/s")
            } else {
                "not at all".into()
            };
            s.paragraph(&format!(
                "With an opponent of its own mass on the blade it stops from {carrying:.2} m/s; while one like \
                 itself pushes from behind, {pushed}."
            ));
        }
        if self.swing_misses == Some(true) {
            s.paragraph("Turning on the spot it may swing an edge sensor over the border between two looks.");
        }
        let mut table =
            Table::new(&["On a border of", "stops from", "looks twice up to"]).right(&[0, 1, 2]);
        for w in &self.widths {
            table.row([
                format!("{:.1} mm", 1e3 * w.width_m),
                format!("{:.2} m/s", w.safe_m_s),
                format!("{:.2} m/s", w.two_looks_m_s),
            ]);
        }
        s.gap();
        s.table(&table);
    }
}

impl BorderSection {
    /// How soon the program acts on a border, and when it does not.
    fn heeding(&self, s: &mut Sheet) {
        let ms = |s: f64| format!("{:.0} ms", 1e3 * s);
        let mm = |m: f64| format!("{:.0} mm", 1e3 * m);
        for a in &self.answers {
            let worst = match (a.program_s, a.looks) {
                (Some(p), Some(looks)) => {
                    let program = if p > 0.0 {
                        format!(", {} of them because the program waits", ms(p))
                    } else {
                        String::new()
                    };
                    format!(
                        "at worst {} pass to the motors, {looks} looks of the program{program}.",
                        ms(a.hardware_s + p)
                    )
                }
                _ => format!(
                    "{} pass to the motors if the program answers, which it does not always.",
                    ms(a.hardware_s)
                ),
            };
            s.paragraph(&format!(
                "From a border under {}, {worst}",
                a.sensors.join(", ")
            ));
        }
        if self.unwatched.is_empty() {
            return;
        }
        s.gap();
        let mut table = Table::new(&["Not acted on", "because", "for", "drives", "of", "room for"])
            .right(&[2, 3, 4, 5]);
        for u in &self.unwatched {
            let sense = if u.forward { "forward" } else { "backward" };
            let end = "without end";
            table.row([
                format!("{}, {sense}", u.sensor),
                format!("{} (line {})", u.why, u.line),
                u.time_s.map_or_else(|| end.to_owned(), ms),
                u.way_m.map_or_else(|| end.to_owned(), mm),
                mm(u.has_m),
                u.longest_s.map_or_else(|| "all of it".to_owned(), ms),
            ]);
        }
        s.table(&table);
    }
}
