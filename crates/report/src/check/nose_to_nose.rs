//! Nose to nose: who gets under, what it does to both, lifters and jacks.

use paper::{Carried, Foe, Jack, Lifter, Meeting};
use serde::Serialize;

use super::sections::Section;
use super::{Banded, Examined, banded};
use crate::number::percent;
use crate::text::{Sheet, Table};

/// Against one kind of opponent.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct MeetingLine {
    /// Whom it meets: `itself`, `fine blade`, `plain blade`, `rough blade` or `no blade`.
    pub opponent: String,
    /// Top of their edge over the ring, or of the body's lower edge without a blade, in m.
    pub their_height_m: f64,
    /// Half-width (19 to 1) of what that may be off by, in m.
    pub their_spread_m: f64,
    /// Odds (0 to 1) that ours gets under.
    pub under: f64,
    /// Odds that theirs gets under us.
    pub over: f64,
}

/// One of two robots like this one with its front on the other's blade.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct CarriedLine {
    /// How far its front is raised in m.
    pub rise_m: f64,
    /// What the lower one carries in N.
    pub carried_n: f64,
    /// Push left to the upper one in N.
    pub upper_push_n: f64,
    /// Push of the lower one in N.
    pub lower_push_n: f64,
}

/// A lifter against the front of a robot like its own.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct LifterLine {
    /// Its name.
    pub name: String,
    /// Torque at the hinge at standstill in N·m, at `volts`.
    pub torque_nm: f64,
    /// Voltage at its motor then, in V.
    pub volts: f64,
    /// Level distance from hinge to edge at the start in m.
    pub lever_m: f64,
    /// Force at the edge at the start in N.
    pub force_n: Option<Banded>,
    /// Load there under the front of a robot like this one in N.
    pub load_n: f64,
    /// Heaviest robot of such a build it lifts in kg.
    pub heaviest_kg: f64,
    /// How far the edge rises in m.
    pub rise_m: f64,
    /// Time of the lift with that load in s; none where it stalls.
    pub loaded_s: Option<f64>,
    /// Time empty in s; none where it cannot carry its own sheet.
    pub empty_s: Option<f64>,
    /// Load on the edge from which its own rear rises in N; none where that cannot be.
    pub tips_self_n: Option<f64>,
}

/// A jack under its own robot.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct JackLine {
    /// Its name.
    pub name: String,
    /// Force of its foot at standstill in N.
    pub force_n: f64,
    /// What raising its end of the robot takes in N.
    pub needed_n: f64,
    /// How far it raises that end in m; below zero it does not reach the ring.
    pub raises_m: f64,
    /// Time until its foot stands on the ring in s.
    pub down_s: f64,
    /// Time until that end is 3 mm up in s; none where it never is.
    pub free_s: Option<f64>,
}

/// Nose to nose.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct NoseToNose {
    /// Top of our edge over the ring in m; none without a blade.
    pub edge_m: Option<f64>,
    /// Half-width (19 to 1) of what that may be off by, in m.
    pub edge_spread_m: Option<f64>,
    /// By kind of opponent.
    pub meetings: Vec<MeetingLine>,
    /// Push of either before they touch, in N.
    pub push_n: f64,
    /// Weight in N.
    pub weight_n: f64,
    /// By how far the upper one's front is raised.
    pub carried: Vec<CarriedLine>,
    /// Push it takes to drive the blade under a robot like this one, in N; none where no push does.
    pub wedge_n: Option<f64>,
    /// Lifters.
    pub lifters: Vec<LifterLine>,
    /// Jacks.
    pub jacks: Vec<JackLine>,
}

/// A kind of opponent in words.
pub(crate) const fn foe_word(foe: Foe) -> &'static str {
    match foe {
        Foe::Itself => "itself",
        Foe::Fine => "fine blade",
        Foe::Plain => "plain blade",
        Foe::Rough => "rough blade",
        Foe::NoBlade => "no blade",
    }
}

/// Odds in words: what spreads decide is never certain, and without a blade it cannot be.
pub(crate) fn odds_words(share: f64) -> String {
    match 100.0 * share {
        p if p <= 0.0 => "cannot".into(),
        p if p < 0.5 => "hardly ever".into(),
        p if p > 99.5 => "nearly always".into(),
        p => format!("{p:.0} %"),
    }
}

impl From<&Meeting> for MeetingLine {
    fn from(m: &Meeting) -> Self {
        Self {
            opponent: foe_word(m.foe).to_owned(),
            their_height_m: m.theirs.mean_m,
            their_spread_m: m.theirs.half_width_m(),
            under: m.under,
            over: m.over,
        }
    }
}

impl From<&Carried> for CarriedLine {
    fn from(c: &Carried) -> Self {
        Self {
            rise_m: c.rise_m,
            carried_n: c.carried_n,
            upper_push_n: c.upper_push_n,
            lower_push_n: c.lower_push_n,
        }
    }
}

fn finite(x: f64) -> Option<f64> {
    x.is_finite().then_some(x)
}

impl LifterLine {
    fn of(l: &Lifter) -> Option<Self> {
        let (first, last) = (l.line.first()?, l.line.last()?);
        Some(Self {
            name: l.name.clone(),
            torque_nm: l.torque_nm,
            volts: l.volts,
            lever_m: first.lever_m,
            force_n: banded(Some(first.force_n), l.force_band_n),
            load_n: first.load_n,
            heaviest_kg: l.heaviest_kg,
            rise_m: last.rise_m,
            loaded_s: finite(l.loaded_s),
            empty_s: finite(l.empty_s),
            tips_self_n: l.tips_self_n.and_then(finite),
        })
    }
}

impl From<&Jack> for JackLine {
    fn from(j: &Jack) -> Self {
        Self {
            name: j.name.clone(),
            force_n: j.force_n,
            needed_n: j.needed_n,
            raises_m: j.raises_m(),
            down_s: j.down_s,
            free_s: finite(j.free_s),
        }
    }
}

impl Section for NoseToNose {
    const TITLE: &'static str = "Nose to nose: who gets under";

    fn of(e: &Examined<'_>) -> Option<Self> {
        let under = e.paper.under.as_ref()?;
        let lifting = e.paper.lifting.as_ref()?;
        Some(Self {
            edge_m: under.edge.map(|h| h.mean_m),
            edge_spread_m: under.edge.map(|h| h.half_width_m()),
            meetings: under.meetings.iter().map(MeetingLine::from).collect(),
            push_n: under.push_n,
            weight_n: under.weight_n,
            carried: under.carried.iter().map(CarriedLine::from).collect(),
            wedge_n: under.wedge.and_then(|w| finite(w.needed_n)),
            lifters: lifting.lifters.iter().filter_map(LifterLine::of).collect(),
            jacks: lifting.jacks.iter().map(JackLine::from).collect(),
        })
    }

    fn text(&self, s: &mut Sheet) {
        match self.edge_m.zip(self.edge_spread_m) {
            Some((edge, spread)) => s.paragraph(&format!(
                "The top of its edge is {:.2} ± {:.2} mm over the ring, thickness included. The lower of two edges gets \
                 under.",
                1e3 * edge,
                1e3 * spread
            )),
            None => s.paragraph("It has no blade: it gets under nobody."),
        }
        let mut table =
            Table::new(&["Against", "their edge", "ours under", "theirs under"]).right(&[1, 2, 3]);
        for m in &self.meetings {
            table.row([
                m.opponent.clone(),
                format!(
                    "{:.1} ± {:.1} mm",
                    1e3 * m.their_height_m,
                    1e3 * m.their_spread_m
                ),
                odds_words(m.under),
                odds_words(m.over),
            ]);
        }
        s.table(&table);
        s.paragraph("Heights of others: common practice, no source.");
        self.balance(s);
        for l in &self.lifters {
            lifter(s, l);
        }
        for j in &self.jacks {
            jack(s, j);
        }
        s.aside(&format!(
            "Caution: cover the blade's edge whenever you handle it.{}",
            if self.lifters.is_empty() && self.jacks.is_empty() {
                ""
            } else {
                " Lifters and jacks pinch and start without warning: power off before you reach in, and keep clear \
                 when you try them on the bench."
            }
        ));
    }
}

impl NoseToNose {
    fn balance(&self, s: &mut Sheet) {
        if self.carried.is_empty() {
            return;
        }
        s.gap();
        s.paragraph(&format!(
            "Two robots like it, one with its front on the other's blade; before, either pushes {:.2} N:",
            self.push_n
        ));
        let mut table = Table::new(&[
            "Front raised",
            "carried",
            "of weight",
            "upper pushes",
            "lower pushes",
        ])
        .right(&[0, 1, 2, 3, 4]);
        for c in &self.carried {
            table.row([
                format!("{:.0} mm", 1e3 * c.rise_m),
                format!("{:.2} N", c.carried_n),
                percent(c.carried_n / self.weight_n),
                format!("{:.2} N", c.upper_push_n),
                format!("{:.2} N", c.lower_push_n),
            ]);
        }
        s.table(&table);
        s.paragraph(&self.wedge_n.map_or_else(
            || "No push drives its blade under such a robot: it is too steep.".to_owned(),
            |n| format!("To drive its blade under takes {n:.2} N of push."),
        ));
    }
}

fn lifter(s: &mut Sheet, l: &LifterLine) {
    let force = l.force_n.map_or_else(String::new, |f| {
        format!(
            " {:.1} N at the edge ({:.1} to {:.1} N in 19 of 20)",
            f.nominal, f.low, f.high
        )
    });
    let time = l.loaded_s.map_or_else(
        || "it stalls under that load".to_owned(),
        |t| format!("{:.0} mm up in {t:.2} s with that load", 1e3 * l.rise_m),
    );
    let tips = l.tips_self_n.map_or_else(String::new, |n| {
        format!(" From {n:.1} N on its edge its own rear rises.")
    });
    s.paragraph(&format!(
        "\"{}\": {:.3} N·m at {:.1} V on {:.0} mm give{force}; the front of a robot like it weighs {:.2} N there. It \
         lifts robots of such a build up to {:.0} g; {time}.{tips}",
        l.name,
        l.torque_nm,
        l.volts,
        1e3 * l.lever_m,
        l.load_n,
        1e3 * l.heaviest_kg
    ));
}

fn jack(s: &mut Sheet, j: &JackLine) {
    let free = j.free_s.map_or_else(
        || "it never comes 3 mm up".to_owned(),
        |t| format!("3 mm up {t:.2} s after the order"),
    );
    s.paragraph(&format!(
        "\"{}\": {:.1} N of the {:.2} N that its end weighs; raises it by up to {:.1} mm; on the ring after {:.2} s, \
         {free}.",
        j.name,
        j.force_n,
        j.needed_n,
        1e3 * j.raises_m,
        j.down_s
    ));
}
