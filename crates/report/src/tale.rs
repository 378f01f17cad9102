//! One bout told as a timeline.

use std::path::Path;

use bout::{Arena, Event, Record, Wanted};
use robot::Robot;
use rules::Class;
use runner::drive::About;
use serde::Serialize;
use study::{Pit, Task};

use crate::driven::{Drive, Driven};
use crate::frames;
use crate::moments::worth_telling;
use crate::picture;
use crate::setting::{Trouble, home_option, id_of, quoted, tactic_of};
use crate::text::{Ink, Layout, Sheet, Table};
use crate::words::{cause_name, cause_words, event_name, event_words, ground_words, measure_words};

/// Something that happened.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Moment {
    /// Time from the first permitted motion in s.
    pub time_s: f64,
    /// Whose.
    pub robot: String,
    /// What, by its stable name.
    pub event: String,
    /// Where the middle of its footprint was in m from the ring's centre: x, y.
    pub at_m: [f64; 2],
}

/// A quantity that decided the bout.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Deciding {
    /// What was measured, by its stable name.
    pub measure: String,
    /// Its value, in the unit.
    pub value: f64,
    /// What it was held against, in the unit: a limit, or what would have been needed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub against: Option<f64>,
    /// The SI unit; empty for shares.
    pub unit: String,
}

/// How it ended.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Ending {
    /// Who won; none if nobody did.
    pub winner: Option<String>,
    /// The cause.
    pub cause: String,
    /// Time of the end in s.
    pub time_s: f64,
    /// Time of the deciding moment in s.
    pub decided_s: f64,
    /// The quantities that decided it, the weightiest first.
    pub grounds: Vec<Deciding>,
}

/// One bout.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Tale {
    /// `ringwright/bout/1`.
    pub schema: String,
    /// Both robots.
    pub robots: [String; 2],
    /// The class.
    pub class: String,
    /// Seed of the draws.
    pub seed: u64,
    /// Number of the bout.
    pub bout: u32,
    /// How it ended.
    pub ending: Ending,
    /// What happened, in order of time.
    pub events: Vec<Moment>,
    /// Who decided for the first robot in place of its program; left out if nobody did.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub driven: Option<Driven>,
    #[serde(skip)]
    #[schemars(skip)]
    told: Told,
}

/// What text and picture need besides.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Told {
    arena: Arena,
    class_title: String,
    /// By seat.
    robots: [Robot; 2],
    pub(crate) names: [String; 2],
    pub(crate) record: Record,
    next: Vec<String>,
}

impl Tale {
    /// Fights bout number `number` of `ours` against `theirs`, the very one of a study with this
    /// `seed`. `home` is the user's folder that the robots or the class came from, for the commands
    /// that are printed.
    ///
    /// # Errors
    /// Everything wrong in either program.
    pub fn tell(
        ours: &Robot,
        theirs: &Robot,
        class: &Class,
        seed: u64,
        number: u32,
        home: Option<&Path>,
    ) -> Result<Self, Trouble> {
        let pit = pit(ours, theirs, class, seed)?;
        let record = pit.record(task(number), WANTED);
        let next = again(ours, theirs, class, seed, number) + &home_option(home);
        Ok(Self::of([ours, theirs], class, number, pit, record, next))
    }

    /// The same with a process deciding for `ours`. If it fails, the bout is broken off and told.
    ///
    /// # Errors
    /// Everything wrong in either program; that the process cannot be started.
    pub fn driven(
        ours: &Robot,
        theirs: &Robot,
        class: &Class,
        seed: u64,
        number: u32,
        home: Option<&Path>,
        drive: &Drive,
    ) -> Result<Self, Trouble> {
        let pit = pit(ours, theirs, class, seed)?;
        let program = &pit.ours[0].program;
        let own = drive.launch(About::of(ours, program, &class.name, seed, number))?;
        let task = task(number);
        let record = pit.driven(task, &own, WANTED);
        let driven = drive.told(own.ended(&record, task.seat()));
        let next = again(ours, theirs, class, seed, number) + &home_option(home);
        let next = next + &drive.options();
        let told = Self::of([ours, theirs], class, number, pit, record, next);
        Ok(Self {
            driven: Some(driven),
            ..told
        })
    }

    /// Whether the process that drove failed.
    #[must_use]
    pub fn failed(&self) -> bool {
        self.driven.as_ref().is_some_and(|d| d.failure.is_some())
    }

    /// Whether the user stopped the bout.
    #[must_use]
    pub fn stopped(&self) -> bool {
        self.driven.as_ref().is_some_and(|d| d.stopped)
    }

    /// A bout that was fought; `next` is the command of the next one.
    fn of(
        [ours, theirs]: [&Robot; 2],
        class: &Class,
        number: u32,
        pit: Pit,
        record: Record,
        next: String,
    ) -> Self {
        let robots = if task(number).seat() == 0 {
            [ours, theirs]
        } else {
            [theirs, ours]
        };
        let names = names(robots);
        let outcome = &record.outcome;
        let next = vec![
            format!("ringwright explain {}", cause_name(outcome.cause)),
            next,
        ];
        Self {
            schema: "ringwright/bout/1".into(),
            robots: [ours.name.clone(), theirs.name.clone()],
            class: class.name.clone(),
            seed: pit.seed,
            bout: number,
            ending: Ending {
                winner: record.winner().map(|w| names[w].clone()),
                cause: cause_name(outcome.cause).to_owned(),
                time_s: outcome.time_s,
                decided_s: outcome.decided_s,
                grounds: outcome.grounds.iter().map(deciding).collect(),
            },
            events: record
                .events
                .iter()
                .map(|e| Moment {
                    time_s: e.time_s,
                    robot: names[e.seat].clone(),
                    event: event_name(e.kind).to_owned(),
                    at_m: e.at,
                })
                .collect(),
            driven: None,
            told: Told {
                arena: pit.arena,
                class_title: class.title.clone(),
                robots: robots.map(Clone::clone),
                names,
                record,
                next,
            },
        }
    }

    /// The picture from above as SVG.
    #[must_use]
    pub fn svg(&self) -> String {
        let t = &self.told;
        picture::svg(&picture::Scene {
            arena: &t.arena,
            robots: [&t.robots[0], &t.robots[1]],
            names: &t.names,
            record: &t.record,
            title: &format!("{} against {}", self.robots[0], self.robots[1]),
            footer: &format!(
                "class {} · seed {} · bout {} · {}",
                self.class,
                self.seed,
                self.bout,
                self.ends()
            ),
        })
    }

    /// Every frame of both robots as a table (RFC 4180), see the columns in its first line.
    #[must_use]
    pub fn csv(&self) -> String {
        frames::csv(&self.told)
    }

    /// The end in one sentence.
    #[must_use]
    pub fn ends(&self) -> String {
        let t = &self.told;
        let outcome = &t.record.outcome;
        match outcome.end {
            bout::End::Out { loser } | bout::End::Ruled { loser } => format!(
                "{} wins after {:.2} s: {} {}.",
                t.names[1 - loser],
                outcome.time_s,
                t.names[loser],
                cause_words(outcome.cause)
            ),
            bout::End::Tie => format!(
                "Nobody wins after {:.1} s: each {}.",
                outcome.time_s,
                cause_words(outcome.cause)
            ),
            bout::End::NotFinite => "The simulation failed: this bout counts for nobody.".into(),
            bout::End::Abandoned { seat } => {
                let name = &t.names[seat];
                let told = self.driven.as_ref().and_then(|d| d.ends(name));
                told.unwrap_or_else(|| format!("{name} {}.", cause_words(outcome.cause)))
            }
        }
    }

    /// As text.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let t = &self.told;
        let mut s = Sheet::new(layout);
        s.title(&format!("{} against {}", self.robots[0], self.robots[1]));
        s.small(&format!(
            "class {} · seed {} · bout {}",
            t.class_title, self.seed, self.bout
        ));
        if let Some(driven) = &self.driven {
            driven.by(&self.robots[0], &mut s);
        }
        s.gap();
        let ink = self.driven.as_ref().map_or(Ink::Strong, Driven::ink);
        s.verdict(ink, &self.ends());
        let outcome = &t.record.outcome;
        let grounds: Vec<String> = outcome.grounds.iter().map(ground_words).collect();
        if !grounds.is_empty() {
            s.paragraph(&format!(
                "Decided at {:.2} s: {}.",
                outcome.decided_s,
                grounds.join("; ")
            ));
        }
        s.gap();
        let mut table = Table::new(&["Time", "Robot", "What happens", "Where"]).right(&[0]);
        for e in worth_telling(&t.record.events) {
            table.row([
                format!("{:.2} s", e.time_s),
                t.names[e.seat].clone(),
                event_words(e.kind).to_owned(),
                where_words(e, t.arena.ring.diameter_m),
            ]);
        }
        s.table(&table);
        s.gap();
        s.aside(
            "Times count from the first permitted motion. Where: distance of the robot's middle \
             from the centre of the ring.",
        );
        if let Some(driven) = &self.driven {
            driven.write(&mut s);
        }
        s.heading("What to do next");
        for command in &t.next {
            s.command(command);
        }
        s.finish()
    }
}

/// What a tale needs of a bout.
const WANTED: Wanted = Wanted {
    frames: true,
    events: true,
};

fn task(number: u32) -> Task {
    Task {
        variant: 0,
        opponent: 0,
        bout: number,
    }
}

fn pit(ours: &Robot, theirs: &Robot, class: &Class, seed: u64) -> Result<Pit, Trouble> {
    let entrant = |r: &Robot| -> Result<study::Entrant, Trouble> {
        let tactic = tactic_of(r)?;
        study::Entrant::new(r, &tactic, 0).map_err(|issues| {
            Trouble::Files(store::LoadError {
                issues,
                ..store::LoadError::default()
            })
        })
    };
    Ok(Pit {
        arena: Arena::of(class),
        seed,
        ours: vec![entrant(ours)?],
        field: vec![entrant(theirs)?],
    })
}

/// The command of the bout behind bout `number`.
fn again(ours: &Robot, theirs: &Robot, class: &Class, seed: u64, number: u32) -> String {
    format!(
        "ringwright bout {} {} --class {} --seed {seed} --bout {}",
        quoted(&id_of(ours)),
        quoted(&id_of(theirs)),
        quoted(&class.name),
        number.saturating_add(1)
    )
}

fn deciding(ground: bout::Ground) -> Deciding {
    let words = measure_words(ground.measure);
    Deciding {
        measure: words.name.to_owned(),
        value: ground.value,
        against: ground.against,
        unit: words.unit.to_owned(),
    }
}

/// Names to tell both apart, also when a robot fights a copy of itself.
fn names(robots: [&Robot; 2]) -> [String; 2] {
    if robots[0].name == robots[1].name {
        [
            format!("{} (left)", robots[0].name),
            format!("{} (right)", robots[1].name),
        ]
    } else {
        robots.map(|r| r.name.clone())
    }
}

fn where_words(e: &Event, diameter_m: f64) -> String {
    let from_middle = quantity::maths::hypot(e.at[0], e.at[1]);
    let rim = 0.5 * diameter_m - from_middle;
    if rim >= 0.0 {
        format!("{:.0} mm, {:.0} to the rim", 1e3 * from_middle, 1e3 * rim)
    } else {
        format!("{:.0} mm, past the rim", 1e3 * from_middle)
    }
}
