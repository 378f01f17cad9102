//! Times in which the program does not act on an edge sensor: is there room for them?
//!
//! At worst the sensor comes over the border just as it begins to drive that way unwatched. What it drives
//! meanwhile, the delay and the way of stopping must fit between the border's inner line and the place where it
//! is lost; how it brakes on what is left of that is worked out in `stopping`. From standstill it runs up as the
//! law of a straight drive line has it; already driving, it counts as fast as the program drives that way, but
//! no faster than stops at the edge without such a time: what is too fast for that is told by itself.

use laws::run_up::Drive as RunUp;
use quantity::Draws;
use robot::{Finding, Place, Robot, SensorKind, Severity};
use tactic::{Blind, Driven, Leg, STOPS_MS, Unheeded};

use crate::edge::Way;
use crate::stopping::Delay;
use crate::{Drive, Footing};

/// One such time, in the sense of driving in which the sensor leads.
#[derive(Debug, Clone, PartialEq)]
pub struct Unwatched {
    /// The sensor.
    pub sensor: String,
    /// Why it is not acted on.
    pub why: Unheeded,
    /// Where in the tactic.
    pub place: Place,
    /// Whether it drives forward; else backward.
    pub forward: bool,
    /// How long at most, s; none: without end.
    pub time_s: Option<f64>,
    /// Way driven that way in that time, m, the longest in one go; none: without end.
    pub way_m: Option<f64>,
    /// How fast it may be at the end of it, m/s.
    pub speed_m_s: f64,
    /// What there is for that and for stopping, m.
    pub has_m: f64,
    /// The longest such time for which there is room, s; none: any.
    pub longest_s: Option<f64>,
}

/// From a border under a sensor to the motors' turning over, at worst.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The sensor.
    pub sensor: String,
    /// Sensor, look and motors, s.
    pub hardware_s: f64,
    /// What the program adds, s; none: it may not answer at all.
    pub program_s: Option<f64>,
    /// Looks of the program from the border to the order, counted up; none: without end.
    pub looks: Option<u32>,
}

/// What is needed of the robot and its program.
pub(crate) struct Bench<'a> {
    pub(crate) robot: &'a Robot,
    pub(crate) footing: &'a Footing,
    /// Length of a charge in m.
    pub(crate) charge_m: f64,
    /// Fastest it drives with its program: forward, backward, m/s.
    pub(crate) reached_m_s: [f64; 2],
    /// Hardest it drives anywhere: forward, backward, share of full effort.
    pub(crate) hardest: [f64; 2],
}

/// Way in m in one go, and speed in m/s at its end.
#[derive(Clone, Copy)]
struct Went {
    way_m: f64,
    speed_m_s: f64,
}

/// A leg with how it runs up; none: not that way.
struct Stretch {
    runs_up: Option<RunUp>,
    /// None: without end.
    ms: Option<u32>,
}

impl Bench<'_> {
    /// Every one of `blind` in the senses in which its sensor leads and in which something is driven
    /// meanwhile; `way` gives the way of that sensor forward (true) or backward.
    pub(crate) fn unwatched(
        &self,
        blind: &[Blind],
        way: &dyn Fn(&str, bool) -> Option<Way>,
    ) -> Vec<Unwatched> {
        let mut found = Vec::new();
        for b in blind {
            for (k, forward) in [true, false].into_iter().enumerate() {
                if b.legs[k].iter().all(|l| l.driven == Driven::Otherwise) {
                    continue;
                }
                if let Some(way) = way(&b.sensor, forward) {
                    found.push(self.one(b, k, &way));
                }
            }
        }
        found
    }

    fn one(&self, b: &Blind, k: usize, way: &Way) -> Unwatched {
        let begins_m_s = if b.on_the_move[k] {
            self.reached_m_s[k].min(way.safe_m_s)
        } else {
            0.0
        };
        let stretches: Vec<Stretch> = b.legs[k].iter().map(|l| self.stretch(l, k)).collect();
        let whole: u32 = stretches.iter().filter_map(|s| s.ms).sum();
        let endless = stretches.iter().any(|s| s.ms.is_none());
        // One without end is looked at for as long as anything is counted.
        let most = if endless { u32::from(u16::MAX) } else { whole };
        let fits = |ms: u32| {
            let goes = goes(&stretches, begins_m_s, ms);
            goes.iter().all(|g| way.stops(g.way_m, g.speed_m_s))
        };
        let farthest = (goes(&stretches, begins_m_s, most).into_iter())
            .max_by(|a, b| a.way_m.total_cmp(&b.way_m));
        let longest_s = (!fits(most)).then(|| {
            let (mut low, mut high) = (0, most);
            while high - low > 1 {
                let middle = u32::midpoint(low, high);
                if fits(middle) {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            f64::from(low) / 1e3
        });
        Unwatched {
            sensor: b.sensor.clone(),
            why: b.why.clone(),
            place: b.place.clone(),
            forward: k == 0,
            time_s: b.ms.map(|ms| f64::from(ms) / 1e3),
            way_m: farthest.filter(|_| !endless).map(|g| g.way_m),
            speed_m_s: farthest.map_or(0.0, |g| g.speed_m_s),
            has_m: way.distance_m,
            longest_s,
        }
    }

    fn stretch(&self, leg: &Leg, k: usize) -> Stretch {
        let effort = match leg.driven {
            Driven::With(per_mille) => Some(f64::from(per_mille) / 1e3),
            Driven::Anyhow => Some(self.hardest[k]),
            Driven::Otherwise => None,
        };
        let nominal = Draws::nominal();
        let runs_up = effort.map(|effort| {
            let drive = Drive::of(self.robot, self.footing, effort, self.charge_m, &nominal);
            drive.run_up(self.robot, self.footing, &nominal)
        });
        Stretch {
            runs_up,
            ms: leg.ms.map(u32::from),
        }
    }
}

/// What it drives that way in the first `ms` of the stretches, each time in one go.
fn goes(stretches: &[Stretch], begins_m_s: f64, ms: u32) -> Vec<Went> {
    let mut goes = Vec::new();
    let mut went = Went {
        way_m: 0.0,
        speed_m_s: begins_m_s,
    };
    let mut left = ms;
    for stretch in stretches {
        let ms = stretch.ms.map_or(left, |m| m.min(left));
        left -= ms;
        let time_s = f64::from(ms) / 1e3;
        // Whatever does not gather speed keeps what it has, at worst.
        let kept = Went {
            way_m: went.way_m + went.speed_m_s * time_s,
            ..went
        };
        went = match &stretch.runs_up {
            None if ms >= u32::from(STOPS_MS) => {
                goes.push(went);
                Went {
                    way_m: 0.0,
                    speed_m_s: 0.0,
                }
            }
            None => kept,
            Some(drive) => match drive.at_speed(went.speed_m_s) {
                None => kept,
                Some(from) => {
                    let to = drive.after(from.time_s + time_s);
                    Went {
                        way_m: went.way_m + to.distance_m - from.distance_m,
                        speed_m_s: to.speed_m_s,
                    }
                }
            },
        };
    }
    goes.push(went);
    goes
}

/// For every edge sensor of `read`, how long it takes at worst from the border under it to the motors'
/// turning over.
pub(crate) fn answers(robot: &Robot, read: &[String], blind: &[Blind]) -> Vec<Answer> {
    let loop_s = robot.board.loop_time.si();
    let edge = robot.sensors.iter().filter(|s| {
        matches!(s.kind, SensorKind::Reflectance { .. }) && read.contains(&s.item.name)
    });
    edge.map(|s| {
        let sensor = &s.item.name;
        let hardware_s = Delay::of(robot, s, &Draws::nominal()).whole_s;
        // What a step ignores on purpose is told by itself.
        let mut program = (blind.iter())
            .filter(|b| b.sensor == *sensor && b.why != Unheeded::Ignored)
            .map(|b| b.ms);
        let program_s = program.try_fold(0.0f64, |most, ms| {
            ms.map(|ms| most.max(f64::from(ms) / 1e3))
        });
        let looks = program_s.filter(|_| loop_s > 0.0).map(|p| {
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a minute of looks of a millisecond at most, above zero"
            )]
            let looks = ((hardware_s + p) / loop_s).ceil().clamp(0.0, 1e9) as u32;
            looks
        });
        Answer {
            sensor: sensor.clone(),
            hardware_s,
            program_s,
            looks,
        }
    })
    .collect()
}

impl Unwatched {
    /// Why the program does not act on the sensor, for people.
    #[must_use]
    pub fn why_words(&self) -> String {
        let sensor = &self.sensor;
        match &self.why {
            Unheeded::Ignored => format!("a step ignores \"{sensor}\""),
            Unheeded::Lasting => format!("the reflex of \"{sensor}\" waits for it to last"),
            Unheeded::Behind(r) => format!("the reflex \"{r}\" comes first, again and again"),
            Unheeded::Firm(r) => format!("the firm reflex \"{r}\" lets nothing break in"),
            Unheeded::NotIn(s) => format!("the state \"{s}\" does not ask it, and no reflex does"),
        }
    }

    /// Whether the same in the program is in the way of both.
    fn is_like(&self, other: &Self) -> bool {
        self.why != Unheeded::Ignored && self.why == other.why && self.forward == other.forward
    }

    /// What is to be said about it, with all `sensors` of which the same is true.
    fn finding(&self, longest_s: f64, sensors: &str) -> Finding {
        let ms = |s: f64| format!("{:.0} ms", 1e3 * s);
        let way = if self.forward { "forward" } else { "backward" };
        let reason = match &self.why {
            Unheeded::Ignored => format!("a step ignores {sensors}"),
            Unheeded::Lasting => format!("what answers {sensors} waits for it to last"),
            Unheeded::Behind(r) => format!(
                "the reflex \"{r}\" stands before what answers {sensors} and starts again while its condition holds"
            ),
            Unheeded::Firm(r) => {
                format!("the firm reflex \"{r}\" lets what answers {sensors} not break in")
            }
            Unheeded::NotIn(s) => {
                format!("the state \"{s}\" does not ask {sensors}, and no reflex does")
            }
        };
        let what = match self.time_s {
            Some(t) => format!(
                "For up to {} {reason}, and it may drive over the edge in that time.",
                ms(t)
            ),
            None => format!("It may drive over the edge because {reason}."),
        };
        let room = if longest_s > 0.0 {
            format!("there is room for {}", ms(longest_s))
        } else {
            "there is no room for any of it".to_owned()
        };
        let has = format!(
            "If the border comes under the sensor as it begins to drive {way} like that, the border and the \
             sensor's lead give {:.0} mm for it and for stopping: {room}.",
            1e3 * self.has_m
        );
        let why = self.way_m.map_or_else(
            || has.clone(),
            |driven| {
                format!(
                    "It goes {:.0} mm in that time and is up to {:.2} m/s fast. {has}",
                    1e3 * driven,
                    self.speed_m_s
                )
            },
        );
        let mend = match &self.why {
            Unheeded::Ignored if longest_s > 0.0 => format!(
                "Ignore it for {} at most, or let it do something else than drive {way} for longer behind that step.",
                ms(longest_s)
            ),
            Unheeded::Ignored => format!("Do not ignore it while it drives {way}."),
            Unheeded::Lasting => "Ask for the border without `for`, or drive slower.".to_owned(),
            Unheeded::Behind(r) => format!("Put the reflexes of the border before \"{r}\"."),
            Unheeded::Firm(r) => format!("Take `firm` from \"{r}\", or make its steps shorter."),
            Unheeded::NotIn(_) => {
                let sensor = &self.sensor;
                format!("Write a reflex: `reflex NAME when {sensor} on border {{ … }}`.")
            }
        };
        Finding {
            name: if self.why == Unheeded::Ignored {
                "ignored-too-long"
            } else {
                "border-waits"
            },
            severity: if self.way_m.is_none() {
                Severity::Fault
            } else {
                Severity::Warning
            },
            what,
            why,
            mend,
            place: Some(self.place.clone()),
        }
    }
}

/// What is to be said about those for which there is no room: once for all sensors that the same is in the
/// way of, with the figures of the one that has the least.
pub(crate) fn findings(all: &[Unwatched]) -> Vec<Finding> {
    let mut told: Vec<&Unwatched> = Vec::new();
    let mut found = Vec::new();
    for u in all.iter().filter(|u| u.longest_s.is_some()) {
        if told.iter().any(|t| t.is_like(u)) {
            continue;
        }
        told.push(u);
        let like = || all.iter().filter(|o| core::ptr::eq(*o, u) || o.is_like(u));
        let worst = like()
            .filter_map(|o| o.longest_s.map(|s| (s, o)))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        let sensors: Vec<String> = (like().filter(|o| o.longest_s.is_some()))
            .map(|o| format!("\"{}\"", o.sensor))
            .collect();
        found.extend(worst.map(|(s, o)| o.finding(s, &sensors.join(" and "))));
    }
    found
}
