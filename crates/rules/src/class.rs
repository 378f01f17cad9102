//! A rule class as data.

use std::collections::BTreeMap;
use std::sync::Arc;

use robot::{Hall, Ring, Surface};

use crate::{JudgingRules, Limit, Rule, Source};

/// A rule class: everything an inspection, a bout and a match need to know. All figures in SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Class {
    /// Short name, the word on the command line, e.g. `mini`.
    pub name: String,
    /// The file it was read from.
    pub file: String,
    /// Title for people.
    pub title: String,
    /// What is particular about it, in a sentence or two.
    pub about: String,
    /// The class whose figures it takes where it has none of its own.
    pub inherits: Option<String>,
    /// Folder of built-in opponents it fights against, e.g. `mini`.
    pub field: String,
    /// What a robot may be.
    pub robot: RobotRules,
    /// What is not allowed, or expressly is.
    pub bans: Vec<Ban>,
    /// The ring and its surroundings.
    pub ring: RingRules,
    /// How a bout and a match go.
    pub bout: BoutRules,
    /// What the judge says to what happens, and how rounds add up.
    pub judging: JudgingRules,
    /// The sources its figures name, and may name in a class that inherits this one.
    pub sources: BTreeMap<String, Arc<Source>>,
}

/// What a robot may be.
#[derive(Debug, Clone, PartialEq)]
pub struct RobotRules {
    /// Length in m at the start.
    pub length_m: Rule<Limit>,
    /// Width in m at the start.
    pub width_m: Rule<Limit>,
    /// Height in m at the start; none: free.
    pub height_m: Rule<Option<Limit>>,
    /// Mass in kg.
    pub mass_kg: Rule<Limit>,
    /// Smallest length in m, if there is one.
    pub least_length_m: Option<Rule<Limit>>,
    /// Smallest width in m, if there is one.
    pub least_width_m: Option<Rule<Limit>>,
    /// Smallest mass in kg, if there is one.
    pub least_mass_kg: Option<Rule<Limit>>,
    /// Smallest radius in m of an edge others can touch, if there is one.
    pub edge_radius_m: Option<Rule<Limit>>,
    /// Mass in kg of screws and the like that may drop off in a bout.
    pub dropped_kg: Rule<Limit>,
    /// Half-width (19 to 1) in kg of what the event's scale is off by, where the class says so.
    pub scale_error_kg: Option<Rule<f64>>,
    /// Half-width (19 to 1) in m of what the event's template is off by, where the class says so.
    pub template_error_m: Option<Rule<f64>>,
    /// What may unfold after the start.
    pub unfolding: Rule<Unfolding>,
    /// Tags of which every part must carry at least one; none: any part.
    pub kits: Option<Rule<Vec<String>>>,
}

/// What may unfold after the start.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unfolding {
    /// Anything, as long as the robot stays one body.
    Anything,
    /// The body, but not the wheel base.
    BodyOnly,
    /// Nothing.
    Nothing,
}

/// One thing that is not allowed, or expressly is.
#[derive(Debug, Clone, PartialEq)]
pub struct Ban {
    /// Short name, stable, e.g. `magnets`.
    pub name: String,
    /// Whether it is forbidden, and by whom.
    pub forbidden: Rule<bool>,
    /// Words in the name of a part that give it away, in lower case. Without any, the robot file
    /// cannot show it.
    pub watch: Vec<String>,
    /// What to do by hand to find out, if there is a test for it.
    pub by_hand: Option<String>,
}

/// What the tops of a class's rings are made of.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Surfaces {
    /// The usual one, which `check` reckons with.
    pub usual: Surface,
    /// Others that are met as often: each bout draws one.
    pub also: Vec<Surface>,
}

/// The ring and its surroundings.
#[derive(Debug, Clone, PartialEq)]
pub struct RingRules {
    /// Diameter of the top in m, border included.
    pub diameter_m: Rule<f64>,
    /// Height of the top over the floor in m.
    pub height_m: Rule<f64>,
    /// Width of the border line in m.
    pub border_m: Rule<f64>,
    /// Share of light the inner surface sends back.
    pub surface_reflectance: Rule<f64>,
    /// Share of light the border sends back.
    pub border_reflectance: Rule<f64>,
    /// What the top is made of, where the class says so; else painted board.
    pub surface: Option<Rule<Surfaces>>,
    /// How fast tyres gather dirt relative to a ring wiped before the match, where the class says so.
    pub dust: Option<Rule<f64>>,
    /// Grip relative to a clean ring of this surface.
    pub grip: Rule<f64>,
    /// Half-width (19 to 1) of what the ring's dirt takes from or adds to grip.
    pub grip_varies: Rule<f64>,
    /// Most height in m between its highest and its lowest point, where the class says so; else flat.
    pub flatness_m: Option<Rule<f64>>,
    /// Step in m of a seam between two boards, where there is one.
    pub seam_m: Option<Rule<f64>>,
    /// Share by which a real ring's measures may differ.
    pub tolerance: Rule<f64>,
    /// Distance in m of each start line's inner edge from the centre.
    pub start_line_m: Rule<f64>,
    /// Where robots may be put down and facing where.
    pub placing: Rule<Placing>,
    /// Free space in m outside the border.
    pub free_space_m: Rule<f64>,
    /// Light of the surroundings: what a lifted edge sensor reads of it, share of full scale.
    pub light: Rule<f64>,
    /// Half-width (19 to 1) of how that differs from bout to bout.
    pub light_varies: Rule<f64>,
    /// Share of its brightness the border loses to dust and tyre marks (19 to 1).
    pub border_dirt: Rule<f64>,
}

/// Where robots may be put down and facing where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placing {
    /// Behind which line of the own half.
    pub behind: StartsBehind,
    /// Which way it faces.
    pub facing: Facing,
    /// Whether it may stand aside of its start line, to the left or right.
    pub aside: bool,
    /// Whether one side puts its robot down first and the other may answer; otherwise both do at
    /// the same time.
    pub in_turn: bool,
}

/// Which way a robot faces at the start.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Facing {
    /// Any way its builder likes.
    Any,
    /// The opponent.
    Opponent,
    /// As the round asks of both: towards the opponent, a side, the back, and again from the first.
    ByRound,
}

/// The line no part of a robot may reach over before the start.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StartsBehind {
    /// The own start line, also to its left and right.
    StartLine,
    /// The line through the middle of the ring.
    MiddleLine,
}

/// How a bout starts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Start {
    /// The robots wait by themselves after the signal.
    Delay {
        /// Time in s without moving.
        still_s: f64,
    },
    /// The judge starts both by remote control; they act at once.
    Remote {
        /// Time in s within which a robot must have moved.
        move_within_s: f64,
    },
}

/// How a bout and a match go.
#[derive(Debug, Clone, PartialEq)]
pub struct BoutRules {
    /// How a bout starts.
    pub start: Rule<Start>,
    /// Longest bout in s.
    pub longest_s: Rule<f64>,
    /// Time in s without progress after which the judge puts both back.
    pub no_progress_s: Rule<f64>,
    /// How often the judge puts both back before the bout is a tie.
    pub restarts: Rule<u32>,
    /// Longest pause between bouts in s.
    pub pause_s: Rule<f64>,
    /// Time of a match in s.
    pub match_s: Rule<f64>,
    /// Bouts to win for the match.
    pub points: Rule<u32>,
}

/// Share of a limit by which the event's scale or template is off (19 to 1) where the class does not
/// say: a kitchen scale of 1 g at 500 g, a box of 0.2 mm at 100 mm. Common practice, no source.
const INSTRUMENT: f64 = 0.002;

impl RobotRules {
    /// Half-width (19 to 1) in kg of what the event's scale is off by near `limit_kg`.
    #[must_use]
    pub fn scale_error_kg(&self, limit_kg: f64) -> f64 {
        let stated = self.scale_error_kg.as_ref().map(|e| e.value);
        stated.unwrap_or(INSTRUMENT * limit_kg)
    }

    /// Half-width (19 to 1) in m of what the event's template is off by near `limit_m`.
    #[must_use]
    pub fn template_error_m(&self, limit_m: f64) -> f64 {
        let stated = self.template_error_m.as_ref().map(|e| e.value);
        stated.unwrap_or(INSTRUMENT * limit_m)
    }
}

impl Class {
    /// The ring as the class describes it, without the tolerance.
    #[must_use]
    pub fn ring(&self) -> Ring {
        let r = &self.ring;
        let surfaces = r.surface.as_ref().map(|s| s.value.clone());
        let surfaces = surfaces.unwrap_or_default();
        Ring {
            diameter_m: r.diameter_m.value,
            height_m: r.height_m.value,
            border_m: r.border_m.value,
            surface_reflectance: r.surface_reflectance.value,
            border_reflectance: r.border_reflectance.value,
            surface: surfaces.usual,
            also: surfaces.also,
            dust: r.dust.as_ref().map_or(1.0, |d| d.value),
            grip: r.grip.value,
            grip_varies: r.grip_varies.value,
            flatness_m: r.flatness_m.as_ref().map_or(0.0, |f| f.value),
            seam_m: r.seam_m.as_ref().map_or(0.0, |s| s.value),
            start_line_m: r.start_line_m.value,
            hall: Hall {
                free_space_m: r.free_space_m.value,
                light: r.light.value,
                light_varies: r.light_varies.value,
                border_dirt: r.border_dirt.value,
            },
        }
    }

    /// Smallest and largest diameter in m of a real ring of this class.
    #[must_use]
    pub fn diameter_band_m(&self) -> [f64; 2] {
        let (d, t) = (self.ring.diameter_m.value, self.ring.tolerance.value);
        [d * (1.0 - t), d * (1.0 + t)]
    }

    /// Nearest to the line through the middle of the ring that any part of a robot may stand at
    /// the start, in m.
    #[must_use]
    pub fn placing_from_middle_m(&self) -> f64 {
        match self.ring.placing.value.behind {
            StartsBehind::StartLine => self.ring.start_line_m.value,
            StartsBehind::MiddleLine => 0.0,
        }
    }

    /// Motionless time in s after the signal; 0 where a remote starts both robots.
    #[must_use]
    pub fn start_delay_s(&self) -> f64 {
        match self.bout.start.value {
            Start::Delay { still_s } => still_s,
            Start::Remote { .. } => 0.0,
        }
    }
}
