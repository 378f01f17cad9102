//! Whether what a sensor reads can ever change what the robot does.
//!
//! Decided by trying: the compiled program is run over made-up readings, and run again with the
//! readings of one sensor exchanged and everything else the same. Where the orders differ at any
//! moment, the sensor counts. The tries are keyed by number, so the answer is always the same.

use quantity::Stream;

use crate::ports::{PortKind, Ports};
use crate::program::{Drive, GADGETS, Memory, Op, Program};
use crate::tactic::Tactic;

/// Most tries for a sensor that has not been shown to count.
const TRIES: u32 = 240;
/// Runs of the program in one try.
const TICKS: u64 = 80;
/// Times from one run of the program to the next that are tried, ms: short ones for quick reflexes,
/// long ones so that patience runs out and whole states pass.
const PACES_MS: [u16; 4] = [5, 10, 25, 100];
/// Chances, in a thousand, with which a reading stays as it was from one run to the next.
const STAYS: [u64; 3] = [700, 930, 985];

/// What a sensor can read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    /// Least reading.
    pub least: i16,
    /// Greatest reading.
    pub most: i16,
    /// What it reads while nothing happens.
    pub idle: i16,
}

/// What came of the tries.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Influence {
    /// For each sensor, in the order of the ports, whether its readings changed an order.
    pub sensors: Vec<bool>,
    /// For each gadget, in the order of the ports, whether it was ever sent away from its first end.
    pub gadgets: Vec<bool>,
    /// Tries without effect after which a sensor is said to change nothing.
    pub tries: u32,
}

/// Numbers of one try, by what they are for.
#[derive(Clone, Copy)]
struct Luck(Stream);

impl Luck {
    /// A number below `n`, which is above 0.
    fn below(self, what: &str, at: u64, n: u64) -> u64 {
        self.0.named(what).numbered(at).key() % n
    }

    /// One of a list that is not empty.
    fn one_of<T: Copy>(self, what: &str, at: u64, list: &[T]) -> T {
        let n = u64::try_from(list.len()).unwrap_or(1);
        list[usize::try_from(self.below(what, at, n)).unwrap_or(0)]
    }
}

/// Numbers the program compares with: around them a reading makes a difference.
fn thresholds(program: &Program) -> Vec<i16> {
    let mut pool: Vec<i16> = Vec::new();
    for op in &program.ops {
        if let Op::Push(v) = op {
            pool.extend([v.saturating_sub(1), *v, v.saturating_add(1)]);
        }
    }
    pool.sort_unstable();
    pool.dedup();
    pool
}

/// A new reading of a sensor.
fn reading(luck: Luck, at: u64, span: Span, pool: &[i16]) -> i16 {
    let inside = |v: i16| v == span.idle || (span.least..=span.most).contains(&v);
    let uniform = || {
        let wide = i64::from(span.most) - i64::from(span.least) + 1;
        let wide = u64::try_from(wide).unwrap_or(1);
        let up = i64::try_from(luck.below("uniform", at, wide)).unwrap_or(0);
        i16::try_from(i64::from(span.least) + up).unwrap_or(span.least)
    };
    match luck.below("kind", at, 10) {
        0..4 if !pool.is_empty() => {
            let v = luck.one_of("pool", at, pool);
            if inside(v) { v } else { uniform() }
        }
        4..7 => luck.one_of("end", at, &[span.least, span.most, span.idle]),
        _ => uniform(),
    }
}

/// The readings of one sensor over one try.
fn readings(luck: Luck, span: Span, pool: &[i16], active: bool) -> Vec<i16> {
    let stays = luck.one_of("stays", 0, &STAYS);
    let mut now = span.idle;
    (0..TICKS)
        .map(|at| {
            if active && luck.below("stays", at + 1, 1000) >= stays {
                now = reading(luck, at, span, pool);
            }
            now
        })
        .collect()
}

/// Everything one try is made of.
struct Try<'p> {
    program: &'p Program,
    start: Memory,
    pace_ms: u16,
    readings: Vec<Vec<i16>>,
}

impl Try<'_> {
    /// What the program orders, run by run, with the readings of sensor `k` exchanged.
    fn orders(&self, exchanged: Option<(usize, &[i16])>) -> Vec<(Drive, [i16; GADGETS])> {
        let mut memory = self.start.clone();
        let mut now = vec![0; self.readings.len()];
        let mut orders = Vec::new();
        let mut clock = 0_u16;
        for tick in 0..usize::try_from(TICKS).unwrap_or(0) {
            for (k, (to, from)) in now.iter_mut().zip(&self.readings).enumerate() {
                *to = match exchanged {
                    Some((e, other)) if e == k => other[tick],
                    _ => from[tick],
                };
            }
            let drive = self.program.tick(&mut memory, &now, clock);
            orders.push((drive, memory.gadgets()));
            clock = clock.wrapping_add(self.pace_ms);
        }
        orders
    }
}

/// Tries out which sensors and gadgets of `program`, made from `tactic` for `ports`, do anything.
/// `spans` says what each sensor can read, in the order of the ports. A sensor that the program never
/// asks changes nothing without a try.
///
/// Tries begin in every state that can be reached, some with their counters at odd values, so that
/// what comes late in a bout is met as well. What is never met in them may still exist: rare is taken
/// for never only after a few hundred tries.
#[must_use]
pub fn influence(tactic: &Tactic, program: &Program, ports: &Ports, spans: &[Span]) -> Influence {
    let read = tactic.sensors_read();
    let asked: Vec<bool> = ports
        .inputs
        .iter()
        .map(|p| read.contains(&p.name))
        .collect();
    let pool = thresholds(program);
    let reachable: Vec<u8> = (0_u8..)
        .zip(tactic.reachable())
        .filter_map(|(k, reached)| reached.then_some(k))
        .collect();
    let mut found = Influence {
        sensors: vec![false; asked.len()],
        gadgets: vec![false; ports.gadgets.len()],
        tries: TRIES,
    };
    let span = |k: usize| spans.get(k).copied().unwrap_or(WHOLE);
    for number in 0..TRIES {
        let open: Vec<usize> = (0..asked.len())
            .filter(|k| asked[*k] && !found.sensors[*k])
            .collect();
        if open.is_empty() && found.gadgets.iter().all(|g| *g) {
            break;
        }
        let root = Stream::root(0).named("influence").numbered(number.into());
        let luck = Luck(root);
        let sensor = |k: usize, what: &str| {
            let key = root.named(what).numbered(u64::try_from(k).unwrap_or(0));
            Luck(key)
        };
        let this = Try {
            program,
            start: begin(program, luck, number, &reachable, &pool),
            pace_ms: luck.one_of("pace", 0, &PACES_MS),
            // Quiet most of the time, or reflexes would never let a state go on.
            readings: (0..asked.len())
                .map(|k| {
                    let l = sensor(k, "sensor");
                    readings(l, span(k), &pool, l.below("active", 0, 3) == 0)
                })
                .collect(),
        };
        let orders = this.orders(None);
        for (k, moved) in found.gadgets.iter_mut().enumerate() {
            *moved |= k < GADGETS && orders.iter().any(|o| o.1[k] > 0);
        }
        for k in open {
            let other = readings(sensor(k, "other"), span(k), &pool, true);
            found.sensors[k] = this.orders(Some((k, &other))) != orders;
        }
    }
    found
}

/// What a sensor can read of which nothing is known.
const WHOLE: Span = Span {
    least: i16::MIN,
    most: i16::MAX,
    idle: 0,
};

/// Memory at the beginning of a try: an opening, or anywhere it can get to.
fn begin(program: &Program, luck: Luck, number: u32, reachable: &[u8], pool: &[i16]) -> Memory {
    let noise = u16::try_from(luck.below("noise", 0, 65_536)).unwrap_or(1);
    let openings = u64::try_from(program.openings().len()).unwrap_or(1).max(1);
    let opening = usize::try_from(luck.below("opening", 0, openings)).unwrap_or(0);
    let mut memory = program.start(opening, noise);
    if !number.is_multiple_of(3) && !reachable.is_empty() {
        memory.state = luck.one_of("state", 0, reachable);
        memory.seen_left = luck.below("side", 0, 2) == 0;
    }
    if number % 3 == 2 && !pool.is_empty() {
        let used = program.counters.len();
        for (k, counter) in (0_u64..).zip(&mut memory.counters[..used]) {
            *counter = luck.one_of("counter", k, pool);
        }
    }
    memory
}

impl PortKind {
    /// What such a sensor reads while nothing happens.
    #[must_use]
    pub fn idle(self) -> i16 {
        match self {
            Self::Range => Self::NOTHING,
            _ => 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::ports::{GadgetPort, Port};

    use super::*;

    fn ports() -> Ports {
        let port = |name: &str, kind| Port {
            name: name.into(),
            kind,
        };
        Ports {
            inputs: vec![
                port("ahead", PortKind::Range),
                port("aside", PortKind::Range),
                port("eye", PortKind::Reflectance),
            ],
            gadgets: vec![GadgetPort {
                name: "arm".into(),
                ends: ["in".into(), "out".into()],
            }],
            rolling: None,
        }
    }

    fn tried(text: &str) -> Influence {
        let tactic = crate::parse("t.tactic", text).unwrap_or_else(|e| panic!("{e:#?}"));
        let ports = ports();
        let program = crate::compile(&tactic, &ports).unwrap_or_else(|e| panic!("{e:#?}"));
        let range = Span {
            least: 20,
            most: 400,
            idle: PortKind::NOTHING,
        };
        let eye = Span {
            least: 0,
            most: 1000,
            idle: 0,
        };
        influence(&tactic, &program, &ports, &[range, range, eye])
    }

    #[test]
    fn a_sensor_whose_two_answers_lead_to_the_same_changes_nothing() {
        let text = "reflex back when eye on border {\n  drive -100 % -100 % for 100 ms\n}\n\
                    state go-on {\n  follow {\n    ahead sees: drive 100 % 100 %\n    \
                    aside sees: drive 60 % 60 %\n    otherwise: drive 60 % 60 %\n  }\n}\n";
        assert_eq!(tried(text).sensors, [true, false, true]);
        let turns = text.replace("aside sees: drive 60 % 60 %", "aside sees: drive 0 % 60 %");
        assert_eq!(tried(&turns).sensors, [true, true, true]);
    }

    #[test]
    fn a_question_that_the_sensor_can_never_answer_yes_to_changes_nothing() {
        let text = "state go-on {\n  follow {\n    ahead sees within 10 mm: drive 100 % 100 %\n    \
                    aside sees within 30 mm: drive 30 % 60 %\n    otherwise: drive 60 % 60 %\n  }\n}\n";
        assert_eq!(tried(text).sensors, [false, true, false]);
    }

    #[test]
    fn what_shows_only_after_long_patience_and_in_a_late_state_is_found() {
        let text = "counter hits = 0\nstate first {\n  go second when ahead sees for 1500 ms\n  \
                    drive 50 % 50 %\n}\nstate second {\n  set hits = hits + 1\n  \
                    wait for 400 ms\n  then third\n}\nstate third {\n  \
                    go fourth when aside sees beyond 395 mm and hits > 2\n  drive 50 % 50 % for 200 ms\n  then first\n}\n\
                    state fourth {\n  move arm to out\n  drive -50 % -50 %\n}\n"
            .replace("move arm to out", "arm to out");
        let found = tried(&text);
        assert_eq!(found.sensors, [true, true, false]);
        assert_eq!(found.gadgets, [true]);
    }

    #[test]
    fn a_gadget_that_no_try_moves_is_told() {
        let text = "state go-on {\n  go lift when ahead sees within 10 mm\n  drive 60 % 60 %\n}\n\
                    state lift {\n  arm to out\n  wait\n}\n";
        let found = tried(text);
        // Half of the tries that do not begin in an opening begin in the state that moves it: what
        // can be reached by the words of the program counts as reachable.
        assert_eq!(found.gadgets, [true]);
        let text = "state go-on {\n  go lift when ahead sees within 100 mm\n  drive 60 % 60 %\n}\n\
                    state lift {\n  arm to in\n  wait\n}\n";
        assert_eq!(tried(text).gadgets, [false]);
    }

    #[test]
    fn what_counts_only_by_memory_by_arithmetic_or_as_an_end_of_a_step_is_found() {
        let text = "counter gap = 0\nremember left when aside sees within 60 mm\n\
                    remember right when ahead sees within 60 mm\n\
                    state turn {\n  pivot 60 % seen for 300 ms until eye above 80 %\n  \
                    drive 40 % 40 % for 200 ms\n}\n";
        assert_eq!(tried(text).sensors, [true; 3]);
        let text = "counter gap = 0\nstate weigh {\n  go left-on when gap > 30\n  \
                    set gap = ahead - aside\n  drive 50 % 50 % for 50 ms\n}\n\
                    state left-on {\n  set gap = 0\n  pivot 50 % left for 100 ms\n  then weigh\n}\n";
        assert_eq!(tried(text).sensors, [true, true, false]);
    }

    #[test]
    fn what_counts_only_after_twenty_times_is_found() {
        let text = "counter hits = 0\nreflex spotted when ahead sees within 50 mm {\n  set hits = hits + 1\n  \
                    drive 50 % 50 % for 100 ms\n}\nstate go-on {\n  go last when hits > 20 and eye above 70 %\n  \
                    drive 50 % 50 %\n}\nstate last {\n  drive 50 % 50 % until aside sees\n  \
                    drive -50 % 50 %\n}\n";
        assert_eq!(tried(text).sensors, [true; 3]);
    }
}
