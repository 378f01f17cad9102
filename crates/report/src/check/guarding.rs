//! What can be reached from outside, and what is in each other's way.

use paper::guard::{BEARINGS, HEIGHTS, Kind, PROBES_M};
use serde::Serialize;

use super::Examined;
use super::sections::Section;
use super::stance::bearing_words;
use crate::number::percent;
use crate::text::{Sheet, Table};

/// How well the outline is guarded at a height.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct GuardLine {
    /// Height over the ring in m.
    pub height_m: f64,
    /// Share of the bearings from which each probe reaches nothing, in the order of the probes.
    pub guarded: Vec<f64>,
}

/// Something that should not be reached.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct ReachLine {
    /// Its name.
    pub name: String,
    /// What it is: `tyre`, `motor`, `battery`, `electronics` or `sensor`.
    pub kind: String,
    /// Whether the file gives its size; else it counts as a point.
    pub sized: bool,
    /// Diameter in m of the largest probe that reaches it; none if none does.
    pub largest_probe_m: Option<f64>,
    /// Share of the bearings from which a probe of that size reaches it.
    pub share: f64,
    /// Where from most easily in rad, to the left of straight ahead.
    pub bearing_rad: Option<f64>,
    /// Lowest and highest height in m.
    pub heights_m: Option<[f64; 2]>,
}

/// Two parts in each other's place.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct OverlapLine {
    /// Their names.
    pub parts: [String; 2],
    /// How deep in m.
    pub depth_m: f64,
    /// Share of the smaller one's box.
    pub share: f64,
}

/// A sensor that looks at its own robot.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct BlockedLine {
    /// The sensor.
    pub sensor: String,
    /// What is in its way; none: the wall of the body.
    pub by: Option<String>,
    /// Way through the body, or to the far side of what is in the way, in m.
    pub way_m: f64,
}

/// What can be reached from outside, and what is in each other's way.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Guarding {
    /// Diameters of the probes in m.
    pub probes_m: Vec<f64>,
    /// By height, from the ring up.
    pub heights: Vec<GuardLine>,
    /// What should not be reached.
    pub things: Vec<ReachLine>,
    /// Parts in each other's place.
    pub overlaps: Vec<OverlapLine>,
    /// Sensors that look at their own robot.
    pub blocked: Vec<BlockedLine>,
}

/// A kind in words.
pub(crate) const fn kind_of_thing(kind: Kind) -> &'static str {
    match kind {
        Kind::Tyre => "tyre",
        Kind::Motor => "motor",
        Kind::Battery => "battery",
        Kind::Electronics => "electronics",
        Kind::Sensor => "sensor",
    }
}

impl Section for Guarding {
    const TITLE: &'static str = "What can be reached";

    fn of(e: &Examined<'_>) -> Option<Self> {
        let (guard, overlaps) = (&e.paper.guard, &e.paper.overlaps);
        Some(Self {
            probes_m: PROBES_M.to_vec(),
            heights: (0..HEIGHTS)
                .map(|h| GuardLine {
                    height_m: guard.heights_m[h],
                    guarded: (0..PROBES_M.len()).map(|p| guard.guarded(p, h)).collect(),
                })
                .collect(),
            things: (guard.things.iter())
                .map(|t| ReachLine {
                    name: t.name.clone(),
                    kind: kind_of_thing(t.kind).to_owned(),
                    sized: t.sized,
                    largest_probe_m: t.largest_m,
                    share: t.share,
                    bearing_rad: t.bearing_rad,
                    heights_m: t.heights_m,
                })
                .collect(),
            overlaps: (overlaps.parts.iter())
                .map(|o| OverlapLine {
                    parts: o.names.clone(),
                    depth_m: o.depth_m,
                    share: o.share,
                })
                .collect(),
            blocked: (overlaps.blocked.iter())
                .map(|b| BlockedLine {
                    sensor: b.sensor.clone(),
                    by: b.by.clone(),
                    way_m: b.way_m,
                })
                .collect(),
        })
    }

    fn text(&self, s: &mut Sheet) {
        let reached: Vec<&ReachLine> = (self.things.iter())
            .filter(|t| t.largest_probe_m.is_some())
            .collect();
        if reached.is_empty() {
            s.paragraph(
                "No probe of 3 mm or more reaches tyres, motors, battery, electronics or sensors.",
            );
        } else {
            let mut table =
                Table::new(&["Reached", "is a", "by up to", "from", "around", "height"])
                    .right(&[2, 3, 5]);
            for t in reached {
                let [low, high] = t.heights_m.unwrap_or([0.0; 2]);
                table.row([
                    t.name.clone(),
                    t.kind.clone(),
                    format!("{:.0} mm", 1e3 * t.largest_probe_m.unwrap_or(0.0)),
                    format!("{} of bearings", percent(t.share)),
                    t.bearing_rad.map_or_else(String::new, bearing_words),
                    format!("{:.0} to {:.0} mm", 1e3 * low, 1e3 * high),
                ]);
            }
            s.table(&table);
        }
        let points = self.things.iter().filter(|t| !t.sized).count();
        s.paragraph(&format!(
            "Balls of {} mm come in level, toward the middle, from {BEARINGS} bearings and at {HEIGHTS} heights. Hull, blade and solid \
             plates stop them; holes in the hull are not known.{}",
            (self.probes_m.iter().map(|p| format!("{:.0}", 1e3 * p)))
                .collect::<Vec<_>>()
                .join(", "),
            match points {
                0 => String::new(),
                1 => " One part has no size in the file and counts as a point.".to_owned(),
                n => format!(" {n} parts have no size in the file and count as points."),
            }
        ));
        for o in &self.overlaps {
            s.paragraph(&format!(
                "In one place: \"{}\" and \"{}\", {:.0} mm deep.",
                o.parts[0],
                o.parts[1],
                1e3 * o.depth_m
            ));
        }
        for b in &self.blocked {
            let by = b.by.as_deref().unwrap_or("the wall of the body");
            s.paragraph(&format!("\"{}\" looks at {by}.", b.sensor));
        }
        s.aside(
            "Caution: what draws things in is guarded by no number. Power off before you reach in; `ringwright \
             explain pinch-points`.",
        );
    }
}
