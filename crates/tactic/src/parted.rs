//! Which part of a condition decided.

use crate::ast::{Ask, Cond};
use crate::ports::PortKind;
use crate::program::{Code, Memory, Op, Program};
use crate::tactic::Tactic;
use crate::walk::walk;
use crate::watch::Moment;

/// How a reading stands to what it is held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// Greater than this.
    Above(i16),
    /// Not greater than this.
    AtMost(i16),
    /// Less than this.
    Below(i16),
    /// Not less than this.
    AtLeast(i16),
    /// Something is seen or touched.
    Something,
    /// Nothing is seen or touched.
    Nothing,
}

/// What was known when a condition decided.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fact {
    /// What a sensor read.
    Reads {
        /// The sensor.
        sensor: String,
        /// Its reading.
        reading: i16,
        /// How that stands to what it is held against.
        stands: Stands,
    },
    /// What a timer showed.
    Timer {
        /// The timer.
        timer: String,
        /// What it showed, ms, at most 32767.
        ms: i16,
        /// [`Stands::Above`] or [`Stands::AtMost`] the limit in ms.
        stands: Stands,
    },
    /// How two values compared.
    Compared {
        /// The comparison as written.
        written: String,
        /// The value on the left.
        left: i16,
        /// The value on the right.
        right: i16,
        /// Whether they compare as written.
        holds: bool,
    },
    /// What the dice said.
    Dice {
        /// The chance in a thousand.
        of_thousand: i16,
        /// Whether they said yes.
        holds: bool,
    },
    /// How long something has held.
    Lasted {
        /// The condition with its `for` as written.
        written: String,
        /// For how long it has held, ms; 0: it does not.
        ms: u16,
        /// For how long it must, ms.
        needed_ms: u16,
        /// What it says now.
        because: Vec<Fact>,
    },
}

/// Takes conditions apart at one moment.
pub(crate) struct Parting<'m> {
    tactic: &'m Tactic,
    program: &'m Program,
    /// The memory before the tick, with which the `for` conditions were asked.
    before: Memory,
    readings: &'m [i16],
    now: u16,
    /// The memory of the moment, whose die goes on from part to part.
    memory: Memory,
}

impl<'m> Parting<'m> {
    pub(crate) fn new(
        tactic: &'m Tactic,
        program: &'m Program,
        before: &Memory,
        moment: Moment<'m>,
    ) -> Self {
        let mut memory = moment.memory.clone();
        memory.noise = moment.noise;
        Self {
            tactic,
            program,
            before: before.clone(),
            readings: moment.readings,
            now: moment.now,
            memory,
        }
    }

    /// A value at the moment.
    pub(crate) fn value(&mut self, code: Code) -> i16 {
        (self.program).value_at(code, &mut self.memory, self.readings, self.now)
    }

    /// Which parts made the condition what it is.
    pub(crate) fn decisive(mut self, cond: &Cond, code: Code) -> Vec<Fact> {
        self.asked(cond, code).1
    }

    /// Whether a condition holds, and which parts made it so. Every part is asked once and in order, as
    /// the interpreter does, so that the dice fall the same.
    fn asked(&mut self, cond: &Cond, code: Code) -> (bool, Vec<Fact>) {
        let (from, to) = code;
        match &cond.ask {
            Ask::Not(inner) => {
                let (holds, facts) = self.asked(inner, (from, to - 1));
                (!holds, facts)
            }
            Ask::And(a, b) => self.joined(a, b, code, false),
            Ask::Or(a, b) => self.joined(a, b, code, true),
            Ask::For(inner, _) => self.held(cond, inner, code),
            _ => {
                let holds = self.value(code) != 0;
                let fact = self.single(cond, code, holds);
                (holds, fact.into_iter().collect())
            }
        }
    }

    /// Two conditions of which one (`or`), or else both (`and`), must hold.
    fn joined(&mut self, a: &Cond, b: &Cond, (from, to): Code, one: bool) -> (bool, Vec<Fact>) {
        let between = self.last_begins((from, to - 1));
        let (a_holds, mut facts) = self.asked(a, (from, between));
        let (b_holds, more) = self.asked(b, (between, to - 1));
        // Where they differ, the one that settles it counts: what holds for "or", what fails for "and".
        match (a_holds, b_holds) {
            (true, false) | (false, true) => (one, if a_holds == one { facts } else { more }),
            _ => {
                facts.extend(more);
                (a_holds, facts)
            }
        }
    }

    /// What has to hold for a time. It was asked at the beginning of the tick.
    fn held(&mut self, cond: &Cond, inner: &Cond, (from, _): Code) -> (bool, Vec<Fact>) {
        let Some(&Op::Held(k)) = self.program.ops.get(usize::from(from)) else {
            return (false, Vec::new());
        };
        let (bit, k) = (1_u16 << k, usize::from(k));
        let holds = self.memory.held & bit != 0;
        let Some(&(code, time)) = self.program.holds.get(k) else {
            return (holds, Vec::new());
        };
        let mut then = Self {
            tactic: self.tactic,
            program: self.program,
            before: self.before.clone(),
            readings: self.readings,
            now: self.now,
            memory: self.before.clone(),
        };
        then.memory.held = self.memory.held;
        then.memory.hold_since = self.memory.hold_since;
        then.memory.timer_since = self.before_timers();
        let needed = then.value(time);
        // Dice thrown at the beginning of the tick cannot be thrown again.
        let mut dice = false;
        walk(inner, &mut |c| dice |= matches!(c.ask, Ask::Chance(_)));
        let because = if dice {
            Vec::new()
        } else {
            then.asked(inner, code).1
        };
        let ms = self
            .memory
            .hold_since
            .get(k)
            .map_or(0, |since| self.now.wrapping_sub(*since));
        let fact = Fact::Lasted {
            written: self.tactic.words(&cond.written),
            ms,
            needed_ms: u16::try_from(needed).unwrap_or(0),
            because,
        };
        (holds, vec![fact])
    }

    /// When the timers were started, before the tick; at the first tick they start with it.
    fn before_timers(&self) -> [u16; crate::program::MOST] {
        if self.before.fresh {
            [self.now; crate::program::MOST]
        } else {
            self.before.timer_since
        }
    }

    /// What a single question says, of which it is known whether it holds.
    fn single(&mut self, cond: &Cond, (from, to): Code, holds: bool) -> Option<Fact> {
        let first = self.value((from, from + 1));
        // Behind the sensor stands the limit, and behind that so many operations.
        let limit = |p: &mut Self, behind: u16| p.value((from + 1, to - behind));
        let nothing = first == PortKind::NOTHING;
        let either = |yes: Stands, no: Stands| if holds { yes } else { no };
        let (name, stands) = match &cond.ask {
            Ask::Sees(n) | Ask::Touched(n) => (n, either(Stands::Something, Stands::Nothing)),
            Ask::OnBorder(n) | Ask::Above(n, _) => {
                let limit = limit(self, 1);
                (n, either(Stands::Above(limit), Stands::AtMost(limit)))
            }
            Ask::Below(n, _) => {
                let limit = limit(self, 1);
                (n, either(Stands::Below(limit), Stands::AtLeast(limit)))
            }
            Ask::Within(n, _) | Ask::Beyond(n, _) if nothing && !holds => (n, Stands::Nothing),
            Ask::Within(n, _) => {
                let limit = limit(self, 2);
                (n, either(Stands::AtMost(limit), Stands::Above(limit)))
            }
            Ask::Beyond(n, _) => {
                let limit = limit(self, 5);
                (n, either(Stands::Above(limit), Stands::AtMost(limit)))
            }
            Ask::Over(n, _) => {
                let limit = limit(self, 1);
                return Some(Fact::Timer {
                    timer: n.word.clone(),
                    ms: first,
                    stands: either(Stands::Above(limit), Stands::AtMost(limit)),
                });
            }
            Ask::Compare(..) => {
                let between = self.last_begins((from, to - 1));
                return Some(Fact::Compared {
                    written: self.tactic.words(&cond.written),
                    left: self.value((from, between)),
                    right: self.value((between, to - 1)),
                    holds,
                });
            }
            Ask::Chance(_) => {
                let of_thousand = self.value((from, to - 1));
                return Some(Fact::Dice { of_thousand, holds });
            }
            Ask::Not(_) | Ask::And(..) | Ask::Or(..) | Ask::For(..) => return None,
        };
        Some(Fact::Reads {
            sensor: name.word.clone(),
            reading: first,
            stands,
        })
    }

    /// Where the code of the last value begins that these operations leave on the stack.
    fn last_begins(&self, (from, to): Code) -> u16 {
        let ops = self.program.ops.get(usize::from(from)..usize::from(to));
        let mut wanted = 1_usize;
        for (op, at) in ops.unwrap_or_default().iter().rev().zip((from..to).rev()) {
            let takes = match op {
                Op::Push(_)
                | Op::Counter(_)
                | Op::Sensor(_)
                | Op::Masked(_)
                | Op::Timer(_)
                | Op::Held(_) => 0,
                Op::Not | Op::Chance => 1,
                Op::Share => 3,
                Op::Add
                | Op::Sub
                | Op::Mul
                | Op::Div
                | Op::Less
                | Op::More
                | Op::Same
                | Op::And
                | Op::Or => 2,
            };
            wanted = wanted + takes - 1;
            if wanted == 0 {
                return at;
            }
        }
        from
    }
}
