//! How long the program does not act on an edge sensor, and how it drives meanwhile.

use crate::ast::{Action, Ask, Cond, Expr, Name, Reflex, State, Step};
use crate::bend::bend;
use crate::log::Log;
use crate::ports::Rolling;
use crate::tactic::Tactic;
use crate::walk::{cond_names, state_conds, walk};

/// Why a sensor is not acted on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unheeded {
    /// A step ignores it.
    Ignored,
    /// Its reflex asks that it has lasted.
    Lasting,
    /// That reflex stands before its own and starts again and again while its condition holds.
    Behind(String),
    /// That firm reflex lets its own not break in.
    Firm(String),
    /// No reflex asks it, and that state does not either.
    NotIn(String),
}

/// How it drives for a while, in one sense of driving.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Driven {
    /// That way, with so much mean effort of both sides, per mille.
    With(i16),
    /// However the program drives that way anywhere.
    Anyhow,
    /// Not that way.
    Otherwise,
}

/// A stretch of driving.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Leg {
    /// How.
    pub driven: Driven,
    /// For how long, ms; none: without end.
    pub ms: Option<u16>,
}

/// A time in which the program does not act on a sensor.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Blind {
    /// The sensor.
    pub sensor: String,
    /// Why.
    pub why: Unheeded,
    /// Where in the tactic.
    pub place: robot::Place,
    /// How long at most, ms; none: without end.
    pub ms: Option<u16>,
    /// What it does meanwhile, as fast as it may: forward, backward.
    pub legs: [Vec<Leg>; 2],
    /// Whether it may already drive that way when it begins.
    pub on_the_move: [bool; 2],
}

/// A step that lasts at least so long and does not drive a way leaves the robot no longer driving that way,
/// ms. Common practice, no source.
pub const STOPS_MS: u16 = 80;
/// The senses in the order of the answers.
const SENSES: [i16; 2] = [1, -1];
/// Longest time there is, ms.
const LONGEST_MS: u16 = i16::MAX as u16;

/// How long a step lasts: at least, and at most (none: without end).
#[derive(Clone, Copy)]
struct Lasts {
    least: u16,
    most: Option<u16>,
}

/// The steps around a step that ignores a sensor.
struct Body<'t> {
    steps: &'t [Step],
    /// Whether it may be left between any two looks.
    left_early: bool,
    /// Whether its steps begin again when all are done.
    again: bool,
}

impl Tactic {
    /// Every time in which one of `sensors` (those that look for the border) is not acted on: ignored by a
    /// step, asked to last, behind a reflex that comes first or a firm one, or not asked in a state.
    /// `rolling` says how long bends take.
    ///
    /// Reflexes that ask for the border themselves do not count as in the way of each other: they drive
    /// off it. What depends on counters or sensors may be as long and as hard as can be.
    #[must_use]
    pub fn blind(&self, sensors: &[String], rolling: Option<Rolling>) -> Vec<Blind> {
        let case = Case {
            tactic: self,
            sensors,
            rolling,
            log: Log::new(self.file(), self.text()),
        };
        let mut found = Vec::new();
        case.ignored(&mut found);
        for sensor in sensors {
            case.unheard(sensor, &mut found);
        }
        found
    }
}

/// The tactic, what is asked of it, and where its lines begin.
struct Case<'t> {
    tactic: &'t Tactic,
    sensors: &'t [String],
    rolling: Option<Rolling>,
    log: Log,
}

impl Case<'_> {
    /// Steps that ignore a sensor.
    fn ignored(&self, found: &mut Vec<Blind>) {
        let tree = self.tactic.tree();
        let reflexes = tree.reflexes.iter().map(|r| Body {
            steps: &r.steps,
            left_early: r.until.is_some(),
            again: false,
        });
        let states = tree.states.iter().map(|s| Body {
            steps: &s.steps,
            left_early: !s.ways.is_empty() || s.stay.is_some(),
            again: s.then.is_none(),
        });
        for body in reflexes.chain(states) {
            for (k, step) in body.steps.iter().enumerate() {
                if let Action::Ignore(name, time) = &step.action
                    && self.sensors.contains(&name.word)
                {
                    found.extend(self.ignored_here(&body, k, name, time));
                }
            }
        }
    }

    fn ignored_here(&self, body: &Body<'_>, k: usize, name: &Name, time: &Expr) -> Option<Blind> {
        let ms = self.ms(time).most.unwrap_or(LONGEST_MS);
        if ms == 0 {
            return None;
        }
        // Ignored anew before it is looked at again.
        let round = body.again.then(|| self.sum_of(body.steps)).flatten();
        let for_ever = round.is_some_and(|round| round <= ms);
        let legs = SENSES.map(|sense| {
            if for_ever {
                let hardest = self.hardest(body.steps, sense);
                return hardest
                    .map(|leg| Leg { ms: None, ..leg })
                    .into_iter()
                    .collect();
            }
            self.meanwhile(body, k, sense, ms)
        });
        let before = body.steps[..k].iter().rev();
        let last = before.clone().find(|s| !s.action.is_instant());
        let on_the_move = SENSES.map(|sense| {
            for_ever
                || last.is_none_or(|s| self.effort(s, sense) > 0 || self.lasts(s).least < STOPS_MS)
        });
        Some(Blind {
            sensor: name.word.clone(),
            why: Unheeded::Ignored,
            place: self.log.place(name.span.clone()),
            ms: (!for_ever).then_some(ms),
            legs,
            on_the_move,
        })
    }

    /// What is driven in the sense of `sense` in the `ms` behind step `k`.
    fn meanwhile(&self, body: &Body<'_>, k: usize, sense: i16, ms: u16) -> Vec<Leg> {
        let mut legs = Vec::new();
        let mut left = ms;
        let mut go_on = |driven: Driven, ms: u16, left: &mut u16| {
            let ms = ms.min(*left);
            *left -= ms;
            if ms > 0 {
                legs.push(Leg {
                    driven,
                    ms: Some(ms),
                });
            }
        };
        if !body.left_early {
            for step in &body.steps[k + 1..] {
                let (effort, lasts) = (self.effort(step, sense), self.lasts(step));
                if effort == 0 {
                    go_on(Driven::Otherwise, lasts.least, &mut left);
                } else if step.until.is_some() {
                    // It may be over at once, and then whatever comes behind it.
                    break;
                } else {
                    go_on(Driven::With(effort), lasts.most.unwrap_or(left), &mut left);
                }
            }
        }
        let rest = left;
        go_on(Driven::Anyhow, rest, &mut left);
        legs
    }

    /// A sensor that a reflex or a state keeps from being acted on.
    fn unheard(&self, sensor: &str, found: &mut Vec<Blind>) {
        let reflexes = &self.tactic.tree().reflexes;
        let answers: Vec<usize> = (reflexes.iter().enumerate())
            .filter(|(_, r)| asks(&r.when, sensor))
            .map(|(k, _)| k)
            .collect();
        let Some(first) = answers.first() else {
            self.not_asked(sensor, found);
            return;
        };
        let lasting = answers
            .iter()
            .map(|k| self.lasting(&reflexes[*k].when, sensor));
        if let Some(ms @ 1..) = lasting.min() {
            let leg = Leg {
                driven: Driven::Anyhow,
                ms: Some(ms),
            };
            found.push(Blind {
                sensor: sensor.to_owned(),
                why: Unheeded::Lasting,
                place: self.log.place(reflexes[*first].name.span.clone()),
                ms: Some(ms),
                legs: [vec![leg], vec![leg]],
                on_the_move: [true; 2],
            });
        }
        for (k, r) in reflexes.iter().enumerate() {
            if self.is_of_the_border(r, sensor) {
                continue;
            }
            let most = self.sum_of(&r.steps);
            if most == Some(0) {
                continue;
            }
            if k < *first {
                found.push(self.behind(sensor, r));
            } else if r.firm {
                found.push(self.firm(sensor, r, most));
            }
        }
    }

    /// Whether the reflex is about the border itself, or the sensor releases it.
    fn is_of_the_border(&self, r: &Reflex, sensor: &str) -> bool {
        self.sensors.iter().any(|s| asks(&r.when, s))
            || r.until.as_ref().is_some_and(|c| asks(c, sensor))
    }

    fn behind(&self, sensor: &str, r: &Reflex) -> Blind {
        let legs = SENSES.map(|sense| {
            let hardest = self.hardest(&r.steps, sense);
            hardest
                .map(|leg| Leg { ms: None, ..leg })
                .into_iter()
                .collect()
        });
        Blind {
            sensor: sensor.to_owned(),
            why: Unheeded::Behind(r.name.word.clone()),
            place: self.log.place(r.name.span.clone()),
            ms: None,
            legs,
            on_the_move: [true; 2],
        }
    }

    fn firm(&self, sensor: &str, r: &Reflex, most: Option<u16>) -> Blind {
        let legs = SENSES.map(|sense| {
            let leg = |s: &Step| {
                let lasts = self.lasts(s);
                match self.effort(s, sense) {
                    0 => Leg {
                        driven: Driven::Otherwise,
                        ms: Some(lasts.least),
                    },
                    effort => Leg {
                        driven: Driven::With(effort),
                        ms: lasts.most,
                    },
                }
            };
            r.steps.iter().map(leg).collect()
        });
        Blind {
            sensor: sensor.to_owned(),
            why: Unheeded::Firm(r.name.word.clone()),
            place: self.log.place(r.name.span.clone()),
            ms: most,
            legs,
            on_the_move: [true; 2],
        }
    }

    /// A sensor that no reflex asks: states that can be reached and do not ask it either, if another does.
    fn not_asked(&self, sensor: &str, found: &mut Vec<Blind>) {
        let states = &self.tactic.tree().states;
        let reached = self.tactic.reachable();
        let asked = |s: &State| {
            let mut asked = false;
            state_conds(s, &mut |c| asked |= asks(c, sensor));
            asked
        };
        let live: Vec<&State> = (states.iter().zip(reached))
            .filter(|(_, reached)| *reached)
            .map(|(s, _)| s)
            .collect();
        if !live.iter().any(|s| asked(s)) {
            return;
        }
        for s in live.into_iter().filter(|s| !asked(s)) {
            let stay = s.stay.as_ref().and_then(|x| self.ms(&x.time).most);
            let done = s.then.as_ref().and_then(|_| self.sum_of(&s.steps));
            let ms = [stay, done].into_iter().flatten().min();
            if ms == Some(0) {
                continue;
            }
            let legs = SENSES.map(|sense| {
                let hardest = self.hardest(&s.steps, sense);
                hardest.map(|leg| Leg { ms, ..leg }).into_iter().collect()
            });
            found.push(Blind {
                sensor: sensor.to_owned(),
                why: Unheeded::NotIn(s.name.word.clone()),
                place: self.log.place(s.name.span.clone()),
                ms,
                legs,
                on_the_move: [true; 2],
            });
        }
    }

    /// The longest time a condition on the sensor has to have lasted, ms.
    fn lasting(&self, cond: &Cond, sensor: &str) -> u16 {
        let mut longest = 0;
        walk(cond, &mut |c| {
            if let Ask::For(held, time) = &c.ask
                && asks(held, sensor)
            {
                longest = longest.max(self.ms(time).most.unwrap_or(LONGEST_MS));
            }
        });
        longest
    }

    /// The step of the steps that drives hardest in a sense; none: none does.
    fn hardest(&self, steps: &[Step], sense: i16) -> Option<Leg> {
        let most = steps
            .iter()
            .map(|s| self.effort(s, sense))
            .max()
            .unwrap_or(0);
        (most > 0).then_some(Leg {
            driven: Driven::With(most),
            ms: None,
        })
    }

    /// Greatest mean effort of both sides of a step in a sense, per mille; 0: it does not drive that way.
    fn effort(&self, step: &Step, sense: i16) -> i16 {
        self.tactic.hardest_effort(step, sense)
    }

    /// Time of all steps at most, ms; none: without end.
    fn sum_of(&self, steps: &[Step]) -> Option<u16> {
        let mut sum = 0u16;
        for step in steps {
            sum = sum.saturating_add(self.lasts(step).most?);
        }
        Some(sum)
    }

    fn lasts(&self, step: &Step) -> Lasts {
        let time = if step.action.is_instant() {
            Lasts {
                least: 0,
                most: Some(0),
            }
        } else if let Action::Bend(radius, angle, _, effort) = &step.action {
            self.bend_ms(radius, angle, effort)
        } else {
            match &step.lasting {
                Some(time) => self.ms(time),
                None => Lasts {
                    least: LONGEST_MS,
                    most: None,
                },
            }
        };
        if step.until.is_some() {
            Lasts { least: 0, ..time }
        } else {
            time
        }
    }

    fn bend_ms(&self, radius: &Expr, angle: &Expr, effort: &Expr) -> Lasts {
        let fixed = [radius, angle, effort].map(|e| self.tactic.fixed(e));
        let driven = match (self.rolling, fixed) {
            (Some(rolling), [Some(r), Some(a), Some(e)]) => bend(rolling, r, a, e).ok(),
            _ => None,
        };
        match driven.map(|d| u16::try_from(d.ms).unwrap_or(0)) {
            Some(ms) => Lasts {
                least: ms,
                most: Some(ms),
            },
            None => Lasts {
                least: 0,
                most: Some(LONGEST_MS),
            },
        }
    }

    /// A time as written; one that is worked out at run time may be anything.
    fn ms(&self, time: &Expr) -> Lasts {
        match self.tactic.fixed(time) {
            Some(ms) => {
                let ms = u16::try_from(ms).unwrap_or(0);
                Lasts {
                    least: ms,
                    most: Some(ms),
                }
            }
            None => Lasts {
                least: 0,
                most: Some(LONGEST_MS),
            },
        }
    }
}

/// Whether a condition asks the sensor, or works with its reading.
pub(crate) fn asks(cond: &Cond, sensor: &str) -> bool {
    let mut found = false;
    cond_names(cond, &mut |n| found |= n.word == sensor);
    found
}
