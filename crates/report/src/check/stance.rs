//! How it stands and how it tips.

use paper::Tip;
use serde::Serialize;

use super::Examined;
use super::sections::Section;
use crate::number::percent;
use crate::text::{Sheet, Table};

/// Bearings told in text, in steps of the list from straight ahead to the left: every 45 degrees.
const EVERY: usize = 9;

/// What stands on the ring.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct SupportLine {
    /// Its name.
    pub name: String,
    /// Where it touches, in m: forward of the middle, left.
    pub at_m: [f64; 2],
    /// Its load at rest in N.
    pub load_n: f64,
    /// Whether a motor turns it.
    pub driven: bool,
}

/// How it tips toward one bearing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct TipLine {
    /// Where to in rad, to the left.
    pub bearing_rad: f64,
    /// Acceleration in m/s² from which its far side lifts.
    pub lifts_m_s2: f64,
    /// Acceleration in m/s² from which it goes over.
    pub over_m_s2: f64,
    /// Slope in rad on which it goes over.
    pub slope_rad: f64,
}

/// How it stands and how it tips.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Stance {
    /// What stands on the ring.
    pub supports: Vec<SupportLine>,
    /// The lowest thing that hangs free.
    pub lowest: Option<String>,
    /// Its height over the ring in m.
    pub clearance_m: Option<f64>,
    /// By bearing, from straight ahead to the left.
    pub tips: Vec<TipLine>,
    /// Where it goes over most easily.
    pub weakest: Option<TipLine>,
}

impl From<&Tip> for TipLine {
    fn from(t: &Tip) -> Self {
        Self {
            bearing_rad: t.bearing_rad,
            lifts_m_s2: t.lifts_m_s2,
            over_m_s2: t.over_m_s2,
            slope_rad: t.slope_rad(),
        }
    }
}

/// A bearing in words.
pub(crate) fn bearing_words(rad: f64) -> String {
    let deg = rad.to_degrees();
    match deg.abs() {
        d if d < 0.5 => "ahead".into(),
        d if d > 179.5 => "behind".into(),
        d => format!("{d:.0}° {}", if deg > 0.0 { "left" } else { "right" }),
    }
}

impl Section for Stance {
    const TITLE: &'static str = "How it stands and tips";

    fn of(e: &Examined<'_>) -> Option<Self> {
        let (footing, tipping) = (e.paper.footing.as_ref()?, e.paper.tipping.as_ref()?);
        let standing = footing.supports.iter().filter(|s| s.load_n > 0.0);
        Some(Self {
            supports: standing
                .map(|s| SupportLine {
                    name: s.name.clone(),
                    at_m: [s.at_m.x, s.at_m.y],
                    load_n: s.load_n,
                    driven: s.kind.is_driven(),
                })
                .collect(),
            lowest: tipping.clearance.as_ref().map(|c| c.0.clone()),
            clearance_m: tipping.clearance.as_ref().map(|c| c.1),
            tips: tipping.tips.iter().map(TipLine::from).collect(),
            weakest: tipping.weakest().map(TipLine::from),
        })
    }

    fn text(&self, s: &mut Sheet) {
        let whole: f64 = self.supports.iter().map(|x| x.load_n).sum();
        let mut table =
            Table::new(&["Stands on", "Ahead", "Left", "Load", "Share"]).right(&[1, 2, 3, 4]);
        for x in &self.supports {
            table.row([
                format!("{}{}", x.name, if x.driven { " (driven)" } else { "" }),
                format!("{:.0} mm", 1e3 * x.at_m[0]),
                format!("{:.0} mm", 1e3 * x.at_m[1]),
                format!("{:.2} N", x.load_n),
                percent(x.load_n / whole.max(1e-12)),
            ]);
        }
        s.table(&table);
        if let Some((name, m)) = self.lowest.as_ref().zip(self.clearance_m) {
            s.paragraph(&format!(
                "Lowest of what hangs free: {name}, {:.1} mm over the ring.",
                1e3 * m
            ));
        }
        s.gap();
        let mut table = Table::new(&[
            "Tips toward",
            "lifts from",
            "goes over from",
            "on a slope of",
        ])
        .right(&[1, 2, 3]);
        for t in self.tips.iter().step_by(EVERY) {
            table.row([
                bearing_words(t.bearing_rad),
                format!("{:.1} m/s²", t.lifts_m_s2),
                format!("{:.1} m/s²", t.over_m_s2),
                format!("{:.0}°", t.slope_rad.to_degrees()),
            ]);
        }
        s.table(&table);
    }
}
