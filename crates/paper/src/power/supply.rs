//! What the controller gets: where the pack is wired to its board, and whether it starts anew when every
//! motor stalls at once.

use quantity::{Draws, Figure, Voltage, show_si};
use robot::{BoardSheet, Feed, FeedKind, Finding, Place, Robot, Severity};

use super::currents::Stalled;
use crate::Band;

/// Heat in W that the usual small regulator without a cooling plate gets rid of (SOT-223 at 25 °C;
/// from memory).
const REGULATOR_W: f64 = 1.0;

/// The controller's supply.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// Pin of the board the pack is wired to; none: no board is known, or none of its pins stands the
    /// pack.
    pub feed: Option<String>,
    /// Whether the file says so.
    pub feed_stated: bool,
    /// Pack just charged and at rest, upper end of its band, V.
    pub full_v: f64,
    /// Behind the pack's lead with everything stalled, V.
    pub stalled_v: f64,
    /// The same, in nineteen of twenty imagined robots.
    pub stalled_band_v: Option<Band>,
    /// Logic supply then, V; none: no feed.
    pub logic_v: Option<f64>,
    /// Voltage behind the lead below which the controller starts anew, V; none: not known.
    pub resets_below_v: Option<f64>,
    /// Heat of a linear regulator with board and sensors on it and the pack full, W; 0 of any other.
    pub regulator_w: f64,
}

/// Upper end of what the file says of a figure: its value with both half-widths.
fn upper<D: quantity::Dimension>(f: &Figure<D>) -> f64 {
    let (unsure, varies) = (f.unsure(), f.varies());
    f.si() + (unsure * unsure + varies * varies).sqrt()
}

/// Voltage at a feed below which the logic supply falls under what resets the chip, V.
fn resets_below_v(sheet: &BoardSheet, feed: &Feed) -> f64 {
    match feed.kind {
        FeedKind::Straight => sheet.brown_out_v,
        FeedKind::Linear => sheet.brown_out_v + feed.drop_v,
        FeedKind::Switching => feed.least_v,
    }
}

impl Supply {
    /// The supply of `robot` with `lead_ohm` of wire between pack and board.
    pub(super) fn of(robot: &Robot, stalled: &Stalled, lead_ohm: f64) -> Self {
        let sheet = robot.wiring.sheet.as_deref();
        let full_v = upper(&robot.battery.voltage);
        let stated = robot.wiring.fed_at.as_deref();
        let feed = sheet.and_then(|s| match stated {
            Some(name) => s.feed(name),
            None => s.feed_for(stalled.open_v, full_v),
        });
        let of_sheet = sheet.zip(feed).map(|(s, f)| resets_below_v(s, f));
        // What the file says comes before the sheet.
        let resets_below_v = robot.board.brown_out.as_ref().map(Figure::si).or(of_sheet);
        let volts = |draws: &Draws| Some(Stalled::of(robot, lead_ohm, draws).volts.max(0.0));
        let regulator_w = feed.zip(sheet).map_or(0.0, |(f, s)| match f.kind {
            FeedKind::Linear => (stalled.open_v - s.logic_v).max(0.0) * stalled.idle_a,
            FeedKind::Straight | FeedKind::Switching => 0.0,
        });
        Self {
            feed: feed.map(|f| f.name.clone()),
            feed_stated: stated.is_some(),
            full_v,
            stalled_v: stalled.volts,
            stalled_band_v: resets_below_v.and_then(|_| Band::of(volts)),
            logic_v: feed
                .zip(sheet)
                .map(|(f, s)| f.logic_v(stalled.volts, s.logic_v)),
            resets_below_v,
            regulator_w,
        }
    }

    /// What is to be said about it. A sheet that is only a guess accuses nobody.
    pub(super) fn findings(&self, robot: &Robot, stalled: &Stalled) -> Vec<Finding> {
        let mut found = Vec::new();
        let place = Some(robot.board.item.place.clone());
        if let Some(sheet) = robot
            .wiring
            .sheet
            .as_deref()
            .filter(|_| robot.wiring.sheet_stated)
        {
            let feed = self.feed.as_ref().and_then(|name| sheet.feed(name));
            found.extend(self.overfed(sheet, feed, place.clone()));
            found.extend(feed.and_then(|f| self.hot(sheet, f, stalled, place.clone())));
        }
        if robot.wiring.sheet_stated || robot.board.brown_out.is_some() {
            found.extend(self.browns_out(robot, stalled, place));
        }
        found
    }

    fn overfed(
        &self,
        sheet: &BoardSheet,
        feed: Option<&Feed>,
        place: Option<Place>,
    ) -> Option<Finding> {
        let most = match feed {
            Some(feed) if feed.most_v >= self.full_v => return None,
            Some(feed) => feed.most_v,
            None => sheet.feeds.iter().map(|f| f.most_v).fold(0.0, f64::max),
        };
        let at = feed.map_or_else(|| "any pin".to_owned(), |f| format!("its pin {}", f.name));
        let better = sheet.feeds.iter().find(|f| f.most_v >= self.full_v);
        let mend = better.map_or_else(
            || {
                format!(
                    "Put a small switching regulator (for {}) between pack and board, set before it is \
                     wired.",
                    show_si::<Voltage>(sheet.logic_v)
                )
            },
            |f| format!("Wire the pack to {}, which takes up to {}.", f.name, show_si::<Voltage>(f.most_v)),
        );
        Some(Finding {
            name: "board-overfed",
            severity: Severity::Fault,
            what: format!(
                "The full pack has up to {}; the board takes {} at {at} at most.",
                show_si::<Voltage>(self.full_v),
                show_si::<Voltage>(most)
            ),
            why: format!(
                "By its sheet ({}) more than {} destroys the regulator or the chip, at once or after a \
                 while.",
                sheet.name,
                show_si::<Voltage>(most)
            ),
            mend,
            place,
        })
    }

    fn hot(
        &self,
        sheet: &BoardSheet,
        feed: &Feed,
        stalled: &Stalled,
        place: Option<Place>,
    ) -> Option<Finding> {
        if feed.most_v < self.full_v {
            return None;
        }
        let mend =
            "Feed the sensors from a small switching regulator of their own, or take a pack of \
                    fewer cells."
                .to_owned();
        let (name, severity) = ("regulator-hot", Severity::Warning);
        if self.regulator_w > REGULATOR_W {
            return Some(Finding {
                name,
                severity,
                what: format!(
                    "The board's regulator has to get rid of {:.1} W.",
                    self.regulator_w
                ),
                why: format!(
                    "A linear regulator turns the rest into heat: ({} - {}) × {} = {:.1} W; a small one \
                     without a cooling plate gets rid of about {REGULATOR_W:.0} W.",
                    show_si::<Voltage>(stalled.open_v),
                    show_si::<Voltage>(sheet.logic_v),
                    show_si::<quantity::Current>(stalled.idle_a),
                    self.regulator_w
                ),
                mend,
                place,
            });
        }
        let most_a = feed.most_a.filter(|most| stalled.idle_a > *most)?;
        Some(Finding {
            name,
            severity,
            what: format!(
                "Board and sensors take {}; the board's regulator gives {}.",
                show_si::<quantity::Current>(stalled.idle_a),
                show_si::<quantity::Current>(most_a)
            ),
            why: format!(
                "By the sheet of {} its regulator at {} gives no more; overloaded, its voltage falls or it \
                 switches off. It counts as if all sensors were fed by it.",
                sheet.name, feed.name
            ),
            mend,
            place,
        })
    }

    fn browns_out(
        &self,
        robot: &Robot,
        stalled: &Stalled,
        place: Option<Place>,
    ) -> Option<Finding> {
        let needs = self.resets_below_v?;
        let band = self.stalled_band_v?;
        let severity = if band.high < needs {
            Severity::Fault
        } else if self.stalled_v < needs {
            Severity::Warning
        } else if band.low < needs {
            Severity::Note
        } else {
            return None;
        };
        let sure = match severity {
            Severity::Fault => "starts anew",
            Severity::Warning => "probably starts anew",
            Severity::Note => "may start anew",
        };
        let ohm = (stalled.open_v - stalled.volts) / stalled.pack_a.max(1e-9);
        // What the resistance would have to be for the nominal robot to stay up, at that current.
        let most_ohm = (stalled.open_v - needs) / stalled.pack_a.max(1e-9);
        let resistance = if most_ohm > 0.0 {
            format!(
                ", bring pack and leads below {}",
                show_si::<quantity::Resistance>(most_ohm)
            )
        } else {
            String::new()
        };
        Some(Finding {
            name: "browns-out",
            severity,
            what: format!(
                "When everything stalls at once the controller {sure}: {} are left, and below {} it \
                 resets.",
                show_si::<Voltage>(self.stalled_v),
                show_si::<Voltage>(needs)
            ),
            why: format!(
                "U = U0 - R·I = {} - {} × {} = {}; nineteen of twenty imagined robots have {} to {}.",
                show_si::<Voltage>(stalled.open_v),
                show_si::<quantity::Resistance>(ohm),
                show_si::<quantity::Current>(stalled.pack_a),
                show_si::<Voltage>(stalled.volts),
                show_si::<Voltage>(band.low),
                show_si::<Voltage>(band.high)
            ),
            mend: format!(
                "Lower the driver's current limit{resistance}, or feed the board through a small \
                 converter that works down to 3 V; a capacitor of 470 µF and more bridges milliseconds."
            ),
            place: if robot.board.brown_out.is_some() || robot.wiring.sheet_stated {
                place
            } else {
                None
            },
        })
    }
}
