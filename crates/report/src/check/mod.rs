//! Legal and sound: what can be said without a bout.

mod border;
mod doubts;
mod examined;
mod eyesight;
mod frame;
mod guarding;
mod makeup;
mod nose_to_nose;
mod pushing;
mod sections;
mod stance;
mod text;
mod whole;
mod worth;

use paper::Paper;
use robot::Finding;
use rules::Row;
use serde::Serialize;

pub use self::border::{
    AnswerLine, AslantLine, BorderSection, BorderWidth, LevelLine, ThresholdLine, UnwatchedLine,
};
pub use self::doubts::{DoubtLine, SwayLine};
pub use self::examined::Examined;
pub(crate) use self::eyesight::kind_word;
pub use self::eyesight::{Eyesight, FoundLine, LookLine, RingLine, SeenLine};
pub use self::frame::{EchoLine, FrameSection, ShoveLine, StiffenLine};
pub(crate) use self::guarding::kind_of_thing;
pub use self::guarding::{BlockedLine, GuardLine, Guarding, OverlapLine, ReachLine};
pub use self::makeup::{Makeup, MakeupLine};
pub use self::nose_to_nose::{CarriedLine, JackLine, LifterLine, MeetingLine, NoseToNose};
pub(crate) use self::nose_to_nose::{foe_word, odds_words};
pub use self::pushing::{GroupLine, HeatLine, PairLine, PushLine, Pushing};
pub(crate) use self::sections::Section;
pub use self::sections::Sections;
pub(crate) use self::stance::bearing_words;
pub use self::stance::{Stance, SupportLine, TipLine};
pub(crate) use self::text::finding;
pub use self::worth::WorthLine;
use crate::setting::Setting;
use crate::words::severity_name;

/// One rule and how the robot stands to it. Numbers in SI, the unit beside them.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct InspectionRow {
    /// Name of the rule.
    pub rule: String,
    /// SI unit of the numbers; empty where nothing is measured.
    pub unit: String,
    /// The limit.
    pub limit: Option<f64>,
    /// What the robot has.
    pub ours: Option<f64>,
    /// How far inside the limit; negative outside.
    pub margin: Option<f64>,
    /// Half-width (19 to 1) of what ours may be off by.
    pub spread: Option<f64>,
    /// Half-width (19 to 1) of what the event's scale or template is off by.
    pub instrument: Option<f64>,
    /// Odds of passing, 0 to 1, where something is measured.
    pub odds: Option<f64>,
    /// `pass`, `fail`, `close: measure it` or `ask the judge`.
    pub verdict: String,
    /// The limit in words.
    pub limit_text: String,
    /// Ours in words.
    pub ours_text: String,
    /// What to do by hand, where the file cannot show it.
    pub by_hand: Option<String>,
    /// What the rulebook says, in short.
    pub wording: String,
    /// Who says so.
    pub source: String,
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct FindingLine {
    /// Stable name; `explain NAME` teaches the idea behind it.
    pub name: String,
    /// `fault`, `warning` or `note`.
    pub severity: String,
    /// What, in one sentence.
    pub what: String,
    /// Why, with the numbers.
    pub why: String,
    /// What would mend it.
    pub mend: String,
    /// The user's file, if a place can be named.
    pub file: Option<String>,
    /// The line in it.
    pub line: Option<u32>,
}

/// A number with the range that holds nineteen of twenty imagined robots.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Banded {
    /// The nominal robot's.
    pub nominal: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// What other wheels or motors would give.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct TradeLine {
    /// The part.
    pub part: String,
    /// Whether it is the one on the robot.
    pub ours: bool,
    /// Push at full effort in N.
    pub push_n: f64,
    /// Time of a charge in s; none if it never gets there.
    pub charge_s: Option<f64>,
    /// Whether no other pushes harder and charges quicker at once.
    pub best_trade: bool,
}

/// The robot on paper. SI units by name.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct OnPaper {
    /// Mass in kg.
    pub mass_kg: f64,
    /// Centre of mass in m: forward of the middle, left, above the ring.
    pub centre_m: [f64; 3],
    /// Share of the weight on driven wheels.
    pub driven_share: Option<f64>,
    /// Push at full effort in N.
    pub push_n: Option<Banded>,
    /// What the motors give at standstill in N.
    pub motors_push_n: Option<f64>,
    /// What the tyres hold just before they slide in N.
    pub grip_n: Option<f64>,
    /// What the driven tyres hold once they slide, N.
    pub sliding_n: Option<f64>,
    /// Speed without load in m/s.
    pub free_speed_m_s: Option<f64>,
    /// Length of a charge in m.
    pub charge_m: Option<f64>,
    /// Time of a charge in s.
    pub charge_s: Option<Banded>,
    /// Highest speed in m/s that stops at the edge, driving forward.
    pub safe_speed_m_s: Option<Banded>,
    /// Speed in m/s it reaches with its own program.
    pub reached_speed_m_s: Option<f64>,
    /// Turning rate in place in rad/s.
    pub spin_rad_s: Option<f64>,
    /// Moment in N·m of what scrubs over the ring when it turns in place.
    pub scrub_nm: Option<f64>,
    /// Moment in N·m that motors and tyres give against that.
    pub turning_nm: Option<f64>,
    /// Share of the horizon in which it sees an opponent like itself.
    pub seen_share: f64,
    /// Pack current with both sides stalled, in A.
    pub stalled_a: Option<f64>,
    /// Pack voltage then, in V.
    pub stalled_v: Option<f64>,
    /// Time in s the pack lasts at half that current.
    pub lasts_s: Option<f64>,
    /// Price of the parts that have one.
    pub price: f64,
    /// Wheels of the same compound.
    pub wheels: Vec<TradeLine>,
    /// Motors of about the same mass.
    pub motors: Vec<TradeLine>,
    /// What is not known well, what widens one of the bands most first.
    pub doubts: Vec<DoubtLine>,
    /// What each sensor and gadget is good for.
    pub worth: Vec<WorthLine>,
}

/// Legal and sound.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Check {
    /// `ringwright/check/1`.
    pub schema: String,
    /// The robot's name.
    pub robot: String,
    /// Its file.
    pub file: String,
    /// The class.
    pub class: String,
    /// Whether no rule is broken, as far as the files can show it.
    pub legal: bool,
    /// Rule by rule.
    pub inspection: Vec<InspectionRow>,
    /// What inspection and analyses found, the most important first: faults before warnings before
    /// notes, and among those what decides earlier whether and how a bout goes.
    pub findings: Vec<FindingLine>,
    /// The robot on paper.
    pub paper: OnPaper,
    /// What there is to say besides, section by section.
    pub sections: Sections,
    #[serde(skip)]
    #[schemars(skip)]
    class_title: String,
    #[serde(skip)]
    #[schemars(skip)]
    command: String,
    #[serde(skip)]
    #[schemars(skip)]
    itself: String,
}

impl From<&Row> for InspectionRow {
    fn from(row: &Row) -> Self {
        Self {
            rule: row.rule.clone(),
            unit: row.unit.to_owned(),
            limit: row.limit,
            ours: row.ours,
            margin: row.margin,
            spread: row.spread,
            instrument: row.instrument,
            odds: row.odds,
            verdict: row.verdict.words().to_owned(),
            limit_text: row.limit_text.clone(),
            ours_text: row.ours_text.clone(),
            by_hand: row.by_hand.clone(),
            wording: row.wording.to_string(),
            source: row.source.to_string(),
        }
    }
}

impl From<&Finding> for FindingLine {
    fn from(f: &Finding) -> Self {
        Self {
            name: f.name.to_owned(),
            severity: severity_name(f.severity).to_owned(),
            what: f.what.clone(),
            why: f.why.clone(),
            mend: f.mend.clone(),
            file: f.place.as_ref().map(|p| p.file.to_string()),
            line: f.place.as_ref().map(|p| p.line),
        }
    }
}

fn banded(nominal: Option<f64>, band: Option<paper::Band>) -> Option<Banded> {
    nominal.zip(band).map(|(nominal, b)| Banded {
        nominal,
        low: b.low,
        high: b.high,
    })
}

fn trade(rows: &[paper::SweepRow]) -> Vec<TradeLine> {
    rows.iter()
        .map(|r| TradeLine {
            part: r.part.clone(),
            ours: r.ours,
            push_n: r.push_n,
            charge_s: r.charge_s.is_finite().then_some(r.charge_s),
            best_trade: r.best_trade,
        })
        .collect()
}

impl OnPaper {
    fn of(setting: &Setting, p: &Paper) -> Self {
        let properties = setting.robot.mass_properties(&quantity::Draws::nominal());
        let (f, d) = (p.footing.as_ref(), p.drive.as_ref());
        let safe = p
            .edge
            .as_ref()
            .and_then(|e| e.forward.as_ref())
            .map(|w| w.safe_m_s);
        let turning = d.and_then(|d| d.turning);
        let finite = |x: f64| x.is_finite().then_some(x);
        Self {
            mass_kg: properties.mass_kg,
            centre_m: properties.centre_m.to_array(),
            driven_share: f.map(|f| f.driven_share),
            push_n: banded(d.map(|d| d.push_n), p.push_band_n),
            motors_push_n: d.map(|d| d.motors_push_n),
            grip_n: d.map(|d| d.grip_n),
            sliding_n: d.map(|d| d.sliding_n),
            free_speed_m_s: d.map(|d| d.free_speed_m_s),
            charge_m: d.map(|d| d.charge_m),
            charge_s: banded(d.and_then(|d| finite(d.charge_s)), p.charge_band_s),
            safe_speed_m_s: banded(safe, p.safe_band_m_s),
            reached_speed_m_s: p.edge.as_ref().map(|e| e.reached_m_s),
            spin_rad_s: d.map(|d| d.spin_rad_s),
            scrub_nm: turning.map(|t| t.scrub_nm),
            turning_nm: turning.map(|t| t.drive_nm),
            seen_share: p.sight.share,
            stalled_a: d.map(|d| d.stalled_a),
            stalled_v: d.map(|d| d.stalled_v),
            lasts_s: finite(p.budget.lasts_s),
            price: p.budget.price,
            wheels: trade(&p.wheels),
            motors: trade(&p.motors),
            doubts: doubts::of(p),
            worth: worth::of(p),
        }
    }
}

impl Check {
    /// Holds the setting's robot against its class and examines it on paper.
    #[must_use]
    pub fn of(setting: &Setting) -> Self {
        Self::from(&Examined::of(setting))
    }
}

impl From<&Examined<'_>> for Check {
    fn from(e: &Examined<'_>) -> Self {
        let setting = e.setting;
        Self {
            schema: "ringwright/check/1".into(),
            robot: setting.robot.name.clone(),
            file: setting.robot.file.clone(),
            class: setting.class.name.clone(),
            legal: e.inspection.legal(),
            inspection: e.inspection.rows.iter().map(InspectionRow::from).collect(),
            findings: e.findings().into_iter().map(FindingLine::from).collect(),
            paper: OnPaper::of(setting, &e.paper),
            sections: Sections::of(e),
            class_title: setting.class.title.clone(),
            command: setting.command("report"),
            itself: setting.command("check"),
        }
    }
}
