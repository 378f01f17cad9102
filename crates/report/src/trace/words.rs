//! A trace in words.

use tactic::{Decided, Fact, PortKind, Ports, Stands};

use super::{DecidedLine, Difference, NamedValue, Trace, TraceTick};
use crate::text::{Ink, Layout, Sheet};

/// A decision in words.
pub(super) fn decided(decided: &Decided, ports: &Ports) -> DecidedLine {
    let line = |kind: &str, what: String, because: &[Fact]| DecidedLine {
        kind: kind.to_owned(),
        what,
        why: because.iter().map(|f| fact(f, ports)).collect(),
    };
    let known = |kind: &str, what: &str, why: String| DecidedLine {
        kind: kind.to_owned(),
        what: what.to_owned(),
        why: vec![why],
    };
    match decided {
        Decided::Side { left, because } => {
            let side = if *left { "left" } else { "right" };
            line("side", format!("seen on the {side} from now on"), because)
        }
        Decided::Reflex {
            name,
            over,
            when,
            because,
        } => {
            let over = over
                .as_ref()
                .map_or(String::new(), |o| format!(", breaking into {o}"));
            line(
                "reflex",
                format!("reflex {name} starts{over}: when {when}"),
                because,
            )
        }
        Decided::Released {
            name,
            until,
            because,
        } => line(
            "released",
            format!("reflex {name} is released: until {until}"),
            because,
        ),
        Decided::ReflexDone { name, then } => {
            let then = match then {
                Some(to) => format!("then {to}"),
                None => "the state goes on with its first step".to_owned(),
            };
            line("reflex-done", format!("reflex {name} is done: {then}"), &[])
        }
        Decided::Stay {
            written,
            stayed_ms,
            longest_ms,
        } => {
            let why = format!("in the state for {stayed_ms} ms, the longest is {longest_ms}");
            known("stay", written, why)
        }
        Decided::Way { written, because } => line("go", written.clone(), because),
        Decided::Then { to } => line("then", format!("all steps are done: then {to}"), &[]),
        Decided::Again => line(
            "again",
            "all steps are done: again from the first".to_owned(),
            &[],
        ),
        Decided::TimeOver {
            written,
            lasted_ms,
            time_ms,
        } => {
            let why = format!("it has lasted {lasted_ms} ms of {time_ms}");
            known("time-over", &format!("over: {written}"), why)
        }
        Decided::Until { written, because } => line("until", format!("over: {written}"), because),
        Decided::Set { written, value } => known("set", written, format!("now {value}")),
        Decided::Restart { written } => line("restart", written.clone(), &[]),
        Decided::Gadget { written, .. } => line("gadget", written.clone(), &[]),
        Decided::Rule { written, because } => line("rule", written.clone(), because),
    }
}

fn fact(fact: &Fact, ports: &Ports) -> String {
    let limit = |stands: Stands| match stands {
        Stands::Above(limit) => format!("above {limit}"),
        Stands::AtMost(limit) => format!("not above {limit}"),
        Stands::Below(limit) => format!("below {limit}"),
        Stands::AtLeast(limit) => format!("not below {limit}"),
        Stands::Something => "something".to_owned(),
        Stands::Nothing => "nothing".to_owned(),
    };
    match fact {
        Fact::Reads {
            sensor,
            reading,
            stands,
        } => {
            let port = ports.inputs.iter().find(|p| p.name == *sensor);
            match (stands, port.map(|p| p.kind)) {
                (Stands::Something, Some(PortKind::Contact)) => format!("{sensor} is pressed"),
                (Stands::Nothing, Some(PortKind::Contact)) => format!("{sensor} is not pressed"),
                (Stands::Something, Some(PortKind::Range)) => {
                    format!("{sensor} sees something at {reading} mm")
                }
                (Stands::Something | Stands::Nothing, _) => {
                    format!("{sensor} sees {}", limit(*stands))
                }
                _ => format!("{sensor} reads {reading}, {}", limit(*stands)),
            }
        }
        Fact::Timer { timer, ms, stands } => format!("{timer} shows {ms} ms, {}", limit(*stands)),
        Fact::Compared {
            written,
            left,
            right,
            holds,
        } => {
            let not = if *holds { "" } else { "not " };
            format!("{not}{written}, with {left} on the left and {right} on the right")
        }
        Fact::Dice { of_thousand, holds } => {
            let say = if *holds { "yes" } else { "no" };
            format!("the dice say {say} at {of_thousand} in 1000")
        }
        Fact::Lasted {
            ms,
            needed_ms,
            because,
            ..
        } => {
            let inner: Vec<String> = because.iter().map(|f| self::fact(f, ports)).collect();
            let lasting = format!("for {ms} ms of {needed_ms}");
            if inner.is_empty() {
                lasting
            } else {
                format!("{}, {lasting}", inner.join(", "))
            }
        }
    }
}

/// Names and numbers in a row.
fn row(values: &[NamedValue]) -> Vec<String> {
    let one = |v: &NamedValue| match v.value {
        Some(value) => format!("{} {value}", v.name),
        None => format!("{} off", v.name),
    };
    values.iter().map(one).collect()
}

impl Trace {
    /// As text.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let mut s = Sheet::new(layout);
        s.title(&format!("What {} decides on {}", self.robot, self.readings));
        s.small(&format!(
            "{} · opening {} · the die starts at {} · {} looks",
            self.tactic, self.opening, self.noise, self.rows
        ));
        s.heading("Look by look");
        for tick in &self.ticks {
            tick.told(&mut s);
        }
        if self.compared > 0 {
            s.heading("Against what the robot did");
            match &self.differs {
                None => {
                    let words = format!("The same in all {} rows that say so.", self.compared);
                    s.verdict(Ink::Good, &words);
                }
                Some(differs) => differs.told(self.compared, &mut s),
            }
        }
        s.finish()
    }
}

impl Difference {
    fn told(&self, compared: u32, s: &mut Sheet) {
        s.verdict(
            Ink::Bad,
            &format!("It differs first in line {}, at {} ms.", self.line, self.ms),
        );
        let or_none = |words: &str| if words.is_empty() { "none" } else { words }.to_owned();
        for u in &self.unequal {
            let (table, program) = (or_none(&u.table), or_none(&u.program));
            let words = format!("the table has {table}, the program decides {program}");
            s.point("-", &format!("{}: {words}", u.column));
        }
        s.paragraph(&format!("{} of {compared} rows differ.", self.rows));
    }
}

impl TraceTick {
    fn told(&self, s: &mut Sheet) {
        let at = match (&self.reflex, &self.step_written) {
            (Some(reflex), Some(step)) => format!("reflex {reflex}: {step}"),
            (Some(reflex), None) => format!("reflex {reflex}"),
            (None, Some(step)) => format!("{}: {step}", self.state),
            (None, None) => self.state.clone(),
        };
        let head = format!("{at} → {} {}", self.left, self.right);
        s.point(&format!("{:>6} ms", self.ms), &head);
        for d in &self.decided {
            let why = if d.why.is_empty() {
                String::new()
            } else {
                format!(" ({})", d.why.join("; "))
            };
            s.entry("", &format!("{}{why}", d.what));
        }
        let timers = self.timers.iter().map(|t| NamedValue {
            name: format!("timer {}", t.name),
            value: t.value,
        });
        let timers: Vec<NamedValue> = timers.collect();
        let all = [row(&self.counters), row(&timers), row(&self.gadgets)].concat();
        if !all.is_empty() {
            s.entry("", &format!("[{}]", all.join(", ")));
        }
    }
}
