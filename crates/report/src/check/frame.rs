//! What holds the robot together: how far it gives way, what is used most, what helps.

use paper::frame::{Frame, Held};
use serde::Serialize;

use super::sections::Section;
use super::{Banded, Examined, banded};
use crate::number::percent;
use crate::text::{Sheet, Table};

/// Shoves and changes told in text.
const ROWS: usize = 6;

/// What one shove does.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct ShoveLine {
    /// Where.
    pub at: String,
    /// Which way.
    pub way: String,
    /// How far the frame gives way there in m.
    pub gives_m: f64,
    /// How far the blade's edge rises in m, if the blade is part of the frame.
    pub tip_rises_m: Option<f64>,
    /// The sensor that moves farthest.
    pub sensor: Option<String>,
    /// How far it moves in m.
    pub sensor_moves_m: Option<f64>,
    /// How far it turns in rad.
    pub sensor_turns_rad: Option<f64>,
    /// How far a wheel leans at most in rad.
    pub wheel_leans_rad: f64,
    /// What is stressed most.
    pub stressed: String,
    /// Its stress as a share of its strength.
    pub stress_share: f64,
    /// The joint used most.
    pub joint: Option<String>,
    /// Share of what it bears.
    pub joint_share: Option<f64>,
}

/// How a point moves after the slap.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct EchoLine {
    /// The point.
    pub name: String,
    /// Greatest movement in m.
    pub peak_m: f64,
    /// Time in s after which it stays below a tenth of that.
    pub dies_s: f64,
}

/// What one change would do.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct StiffenLine {
    /// The change.
    pub what: String,
    /// Share by which the softest point gives way less.
    pub gain: f64,
    /// What it weighs more in kg.
    pub mass_kg: f64,
}

/// What holds it together.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct FrameSection {
    /// Whether the frame was derived from the parts list.
    pub derived: bool,
    /// What was taken for granted.
    pub assumed: Vec<String>,
    /// What moves freely, so that nothing else can be said.
    pub loose: Vec<String>,
    /// Force of each shove in N.
    pub shove_n: f64,
    /// How far it gives way at its softest in m.
    pub gives_m: Option<Banded>,
    /// Stiffness of the blade's edge against being lifted in N/m.
    pub tip_stiffness_n_m: Option<f64>,
    /// How far the blade's edge rises at most under a shove that does not lift it, in m.
    pub tip_rises_m: Option<Banded>,
    /// Share of what it bears that is asked of the weakest joint.
    pub weakest_share: Option<Banded>,
    /// Lowest frequency in Hz.
    pub first_hz: Option<Banded>,
    /// The lowest frequencies in Hz.
    pub modes_hz: Vec<f64>,
    /// Every shove, the one it gives way to farthest first.
    pub shoves: Vec<ShoveLine>,
    /// Impulse of the slap in N·s.
    pub slap_ns: Option<f64>,
    /// What rings after it.
    pub rings: Vec<EchoLine>,
    /// What would stiffen it, most for its weight first.
    pub changes: Vec<StiffenLine>,
}

impl FrameSection {
    fn loose(derived: bool, loose: &[String]) -> Self {
        Self {
            derived,
            assumed: Vec::new(),
            loose: loose.to_vec(),
            shove_n: 0.0,
            gives_m: None,
            tip_stiffness_n_m: None,
            tip_rises_m: None,
            weakest_share: None,
            first_hz: None,
            modes_hz: Vec::new(),
            shoves: Vec::new(),
            slap_ns: None,
            rings: Vec::new(),
            changes: Vec::new(),
        }
    }

    fn worked(f: &Frame) -> Self {
        let mut shoves = shove_lines(f);
        shoves.sort_by(|a, b| b.gives_m.total_cmp(&a.gives_m));
        let rise = f.lifts.and_then(|k| f.shoves[k].tip_rises_m);
        Self {
            derived: f.sketch.derived,
            assumed: f.sketch.assumed.clone(),
            loose: Vec::new(),
            shove_n: f.shove_n,
            gives_m: banded(f.softest.map(|k| f.shoves[k].gives_m), f.gives_band_m),
            tip_stiffness_n_m: f.tip_stiffness_n_m(),
            tip_rises_m: banded(rise, f.rise_band_m),
            weakest_share: banded(f.weakest.map(|(_, j)| j.share()), f.weakest_band),
            first_hz: banded(f.modes.first().map(|m| m.hz), f.first_hz_band),
            modes_hz: f.modes.iter().map(|m| m.hz).collect(),
            shoves,
            slap_ns: f.slap.as_ref().map(|s| s.impulse_ns),
            rings: (f.slap.iter().flat_map(|s| &s.rings))
                .map(|r| EchoLine {
                    name: r.name.clone(),
                    peak_m: r.peak_m,
                    dies_s: r.dies_s,
                })
                .collect(),
            changes: (f.changes.iter())
                .map(|c| StiffenLine {
                    what: c.what.clone(),
                    gain: c.gain,
                    mass_kg: c.mass_kg,
                })
                .collect(),
        }
    }
}

fn shove_lines(f: &Frame) -> Vec<ShoveLine> {
    (f.shoves.iter())
        .map(|s| ShoveLine {
            at: f.sketch.points[s.point].name.clone(),
            way: s.way.to_owned(),
            gives_m: s.gives_m,
            tip_rises_m: s.tip_rises_m,
            sensor: s.sensor.map(|(k, ..)| f.sketch.points[k].name.clone()),
            sensor_moves_m: s.sensor.map(|(_, m, _)| m),
            sensor_turns_rad: s.sensor.map(|(.., a)| a),
            wheel_leans_rad: s.wheel_leans,
            stressed: f.sketch.beams[s.stress.0].name.clone(),
            stress_share: s.stress.1,
            joint: s.joint.map(|j| f.sketch.beams[j.beam].name.clone()),
            joint_share: s.joint.map(|j| j.share()),
        })
        .collect()
}

impl Section for FrameSection {
    const TITLE: &'static str = "What holds it together";

    fn of(e: &Examined<'_>) -> Option<Self> {
        match &e.paper.frame {
            Held::Unknown => None,
            Held::Loose(sketch, loose) => Some(Self::loose(sketch.derived, loose)),
            Held::Frame(f) => Some(Self::worked(f)),
        }
    }

    fn text(&self, s: &mut Sheet) {
        if !self.loose.is_empty() {
            s.paragraph(&format!(
                "It does not hold together: {} can move freely.",
                self.loose.join(", ")
            ));
            return;
        }
        if self.derived {
            s.paragraph(&format!(
                "The file describes no frame: this one was derived. Taken for granted: {}. Joints are known \
                 within a factor of five; the ranges hold all of it.",
                self.assumed.join("; ")
            ));
        }
        s.paragraph(&format!(
            "Held at its wheels with the brakes on, pushed with {:.1} N (twice its own push, at least its \
             weight) at one point after the other:",
            self.shove_n
        ));
        let mut table = Table::new(&["On paper", "", "between"]).right(&[1]);
        let mut add = |what: &str, b: Option<Banded>, scale: f64, unit: &str, digits: usize| {
            let Some(b) = b else { return };
            let number = |x: f64| format!("{:.digits$} {unit}", scale * x);
            let between = format!("{} and {}", number(b.low), number(b.high));
            table.row([what.to_owned(), number(b.nominal), between]);
        };
        add("gives way at its softest", self.gives_m, 1e3, "mm", 2);
        add("blade's edge rises", self.tip_rises_m, 1e3, "mm", 2);
        add(
            "weakest joint, of what it bears",
            self.weakest_share,
            1e2,
            "%",
            0,
        );
        if let (None, Some(hz)) = (self.first_hz, self.modes_hz.first()) {
            table.row([
                "lowest frequency".to_owned(),
                format!("{hz:.0} Hz"),
                String::new(),
            ]);
        } else {
            add("lowest frequency", self.first_hz, 1.0, "Hz", 0);
        }
        s.table(&table);
        if let Some(k) = self.tip_stiffness_n_m {
            s.paragraph(&format!(
                "The blade's edge is as stiff as {:.1} N/mm against being lifted: an opponent that presses up \
                 with {:.1} N makes a gap of 0.3 mm.",
                1e-3 * k,
                3e-4 * k
            ));
        }
        let mut table =
            Table::new(&["Pushed at", "Way", "Gives way", "Stress", "Joint"]).right(&[2, 3, 4]);
        for l in self.shoves.iter().take(ROWS) {
            table.row([
                l.at.clone(),
                l.way.clone(),
                format!("{:.2} mm", 1e3 * l.gives_m),
                percent(l.stress_share),
                l.joint_share.map_or(String::new(), percent),
            ]);
        }
        s.table(&table);
        self.rings_text(s);
        if !self.changes.is_empty() {
            s.paragraph("What would stiffen its softest point, most for its weight first:");
            let mut table = Table::new(&["Change", "Gives way less", "Weighs more"]).right(&[1, 2]);
            for c in self.changes.iter().take(ROWS) {
                table.row([
                    c.what.clone(),
                    percent(c.gain),
                    format!("{:.1} g", 1e3 * c.mass_kg),
                ]);
            }
            s.table(&table);
        }
    }
}

impl FrameSection {
    fn rings_text(&self, s: &mut Sheet) {
        let Some(impulse) = self.slap_ns else { return };
        let rings: Vec<String> = (self.rings.iter())
            .map(|r| {
                format!(
                    "{} moves by up to {:.2} mm and is still after {:.2} s",
                    r.name,
                    1e3 * r.peak_m,
                    r.dies_s
                )
            })
            .collect();
        if !rings.is_empty() {
            s.paragraph(&format!(
                "A slap of {impulse:.2} N·s at the front: {}.{}",
                rings.join("; "),
                if self.derived {
                    " How it rocks rests on brackets and shafts whose sizes are made up."
                } else {
                    ""
                }
            ));
        }
    }
}
