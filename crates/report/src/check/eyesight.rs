//! What it sees of opponents of several kinds, and how long it looks for them.

use paper::{Found, Kind, Look, Pattern, RingSearch, SeenOf};
use serde::Serialize;

use super::Examined;
use super::sections::Section;
use crate::number::percent;
use crate::text::{Sheet, Table};

/// What is seen of a kind of opponent.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct SeenLine {
    /// `light`, `dark`, `slanted` or `low`.
    pub kind: String,
    /// How tall it is in m.
    pub height_m: f64,
    /// Share of bearings at which it is seen half of the ring's radius away.
    pub bearings: f64,
    /// Share of the ring in which it is seen from the middle.
    pub of_ring: f64,
    /// Farthest in m at which it is seen, middle to middle, every 5 degrees from ahead to the left.
    pub contour_m: Vec<f64>,
}

/// A sensor that is read.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct LookLine {
    /// Its name.
    pub sensor: String,
    /// Where it looks in rad, to the left.
    pub facing_rad: f64,
    /// Height over the ring in m.
    pub height_m: f64,
    /// Farthest in m at which it sees a light, a dark, a slanted and a low opponent.
    pub farthest_m: [f64; 4],
    /// Distance in m below which a low opponent passes under its beam.
    pub low_lost_m: f64,
    /// Between which distances in m it may take the white border for something.
    pub border_m: Option<[f64; 2]>,
    /// Whether from the rim it sees people behind the free space.
    pub people: bool,
}

/// A way of searching.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct FoundLine {
    /// Share of opponents it finds.
    pub share: f64,
    /// Time in s within which it has found half of all.
    pub half_s: Option<f64>,
    /// Time in s within which it has found nine in ten.
    pub most_s: Option<f64>,
}

/// Searching a ring.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct RingLine {
    /// Its diameter in m.
    pub diameter_m: f64,
    /// Whether it is that of the class.
    pub ours: bool,
    /// Share of pairs of places within reach of each other.
    pub within_reach: f64,
    /// Standing still.
    pub stand: FoundLine,
    /// One turn on the spot.
    pub turn: FoundLine,
    /// Straight on and away from the border.
    pub straight: FoundLine,
    /// In widening bows.
    pub spiral: FoundLine,
    /// Whether how it searches hardly matters.
    pub hardly_matters: bool,
}

/// What it sees and how it searches.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Eyesight {
    /// By kind of opponent.
    pub kinds: Vec<SeenLine>,
    /// By sensor.
    pub looks: Vec<LookLine>,
    /// Farthest reach in m.
    pub reach_m: f64,
    /// Turning rate in rad/s while it searches.
    pub turns_rad_s: f64,
    /// Whether sensors and loop, not the drive, hold that: faster, it would turn past what it has seen.
    pub held_by_readings: bool,
    /// Speed in m/s while it searches.
    pub speed_m_s: f64,
    /// Rings of every size that fit it.
    pub rings: Vec<RingLine>,
}

/// A kind of opponent in a word.
pub(crate) fn kind_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Light => "light",
        Kind::Dark => "dark",
        Kind::Slanted => "slanted",
        Kind::Low => "low",
    }
}

impl From<&SeenOf> for SeenLine {
    fn from(k: &SeenOf) -> Self {
        Self {
            kind: kind_word(k.kind).to_owned(),
            height_m: k.height_m,
            bearings: k.bearings,
            of_ring: k.of_ring,
            contour_m: k.contour_m.clone(),
        }
    }
}

impl From<&Look> for LookLine {
    fn from(l: &Look) -> Self {
        Self {
            sensor: l.sensor.clone(),
            facing_rad: l.facing_rad,
            height_m: l.height_m,
            farthest_m: l.farthest_m,
            low_lost_m: l.low_lost_m,
            border_m: l.border_m,
            people: l.people,
        }
    }
}

impl RingLine {
    fn of(r: &RingSearch) -> Option<Self> {
        let way = |p| {
            r.way(p).map(|w: &Found| FoundLine {
                share: w.share,
                half_s: w.half_s,
                most_s: w.most_s,
            })
        };
        Some(Self {
            diameter_m: r.diameter_m,
            ours: r.ours,
            within_reach: r.within_reach,
            stand: way(Pattern::Stand)?,
            turn: way(Pattern::Turn)?,
            straight: way(Pattern::Straight)?,
            spiral: way(Pattern::Spiral)?,
            hardly_matters: r.hardly_matters(),
        })
    }
}

impl Section for Eyesight {
    const TITLE: &'static str = "What it sees and how it searches";

    fn of(e: &Examined<'_>) -> Option<Self> {
        let (seen, search) = (&e.paper.seen, &e.paper.search);
        (!seen.looks.is_empty()).then(|| Self {
            kinds: seen.kinds.iter().map(SeenLine::from).collect(),
            looks: seen.looks.iter().map(LookLine::from).collect(),
            reach_m: search.reach_m,
            turns_rad_s: search.turns_rad_s,
            held_by_readings: search.held_by_readings,
            speed_m_s: search.speed_m_s,
            rings: search.rings.iter().filter_map(RingLine::of).collect(),
        })
    }

    fn text(&self, s: &mut Sheet) {
        let mut table =
            Table::new(&["Opponent", "bearings", "of the ring", "farthest"]).right(&[1, 2, 3]);
        for k in &self.kinds {
            let farthest = k.contour_m.iter().copied().fold(0.0, f64::max);
            table.row([
                format!("{}, {:.0} mm high", k.kind, 1e3 * k.height_m),
                percent(k.bearings),
                percent(k.of_ring),
                format!("{:.0} mm", 1e3 * farthest),
            ]);
        }
        s.table(&table);
        s.paragraph(
            "Seen by a sensor that is read: at which share of bearings half a radius away, in which share of \
             the ring from its middle, and from how far, middle to middle.",
        );
        for l in &self.looks {
            if let Some([from, to]) = l.border_m {
                s.point(
                    "–",
                    &format!(
                        "\"{}\" may take the white border for something between {:.0} and {:.0} mm away.",
                        l.sensor,
                        1e3 * from,
                        1e3 * to
                    ),
                );
            }
        }
        s.gap();
        let mut table = Table::new(&[
            "Ring",
            "stands",
            "one turn",
            "straight on",
            "in bows",
            "half found in",
        ])
        .right(&[1, 2, 3, 4, 5]);
        for r in &self.rings {
            let quickest = [r.turn, r.straight, r.spiral]
                .iter()
                .filter_map(|f| f.half_s)
                .reduce(f64::min);
            table.row([
                format!(
                    "{:.0} mm{}",
                    1e3 * r.diameter_m,
                    if r.ours { ", yours" } else { "" }
                ),
                percent(r.stand.share),
                percent(r.turn.share),
                percent(r.straight.share),
                percent(r.spiral.share),
                quickest.map_or("–".into(), |t| format!("{t:.1} s")),
            ]);
        }
        s.table(&table);
        s.paragraph(&format!(
            "Share of opponents that stand anywhere and are found within 6 s, turning at {:.0}°/s{} and driving at \
             {:.2} m/s.",
            self.turns_rad_s.to_degrees(),
            if self.held_by_readings {
                " (faster, it would turn past what it has seen before it acts)"
            } else {
                ""
            },
            self.speed_m_s
        ));
        if self.rings.iter().any(|r| r.ours && r.hardly_matters) {
            s.paragraph("In this ring one turn on the spot shows nearly everybody: how it searches hardly matters.");
        }
    }
}
