//! Tactics at random, all of the grammar in them.

use core::fmt::Write as _;

use tactic::{GadgetPort, Port, PortKind, Ports, Rolling};

/// A robot with every kind of sensor and two gadgets.
pub(crate) fn ports() -> Ports {
    let port = |(name, kind): (&str, PortKind)| Port {
        name: name.into(),
        kind,
    };
    let gadget = |name: &str, ends: [&str; 2]| GadgetPort {
        name: name.into(),
        ends: ends.map(String::from),
    };
    Ports {
        inputs: [
            ("centre", PortKind::Range),
            ("flank", PortKind::Range),
            ("near", PortKind::Proximity),
            ("edge-left", PortKind::Reflectance),
            ("edge-right", PortKind::Reflectance),
            ("bumper", PortKind::Contact),
            ("tilt", PortKind::Tilt),
            ("gyro", PortKind::TurnRate),
            ("wheels-left", PortKind::WheelSpeed),
            ("amps", PortKind::Current),
        ]
        .map(port)
        .to_vec(),
        gadgets: vec![
            gadget("lifter", ["down", "up"]),
            gadget("flap", ["in", "out"]),
        ],
        rolling: Some(Rolling {
            apart_mm: 84,
            full_mm_s: 900,
        }),
    }
}

/// What decides wherever the grammar leaves a choice: chance, or the bytes of a fuzzer.
pub(crate) trait Dice {
    /// A number below `n`, which is above 0.
    fn below(&mut self, n: usize) -> usize;
    /// Any number.
    fn any(&mut self) -> u32;
}

struct Inventor<'d, D> {
    dice: &'d mut D,
    constants: usize,
    counters: usize,
    timers: usize,
    states: usize,
    /// `for` conditions so far: there is room for sixteen.
    holds: usize,
}

const SIDES: [&str; 6] = ["left", "right", "seen", "unseen", "chosen", "unchosen"];

impl<D: Dice> Inventor<'_, D> {
    fn below(&mut self, n: usize) -> usize {
        self.dice.below(n.max(1))
    }

    fn odds(&mut self, of_ten: usize) -> bool {
        self.below(10) < of_ten
    }

    fn pick<'s>(&mut self, from: &[&'s str]) -> &'s str {
        from[self.below(from.len())]
    }

    fn number(&mut self) -> String {
        let x = self.dice.any();
        match self.below(8) {
            0 => "0".into(),
            1 => "1".into(),
            2 => "32767".into(),
            3 => "-32768".into(),
            4 => (i32::try_from(x >> 16).unwrap_or(0) - 32768).to_string(),
            5 => format!("{} %", x % 100),
            _ => (x % 1000).to_string(),
        }
    }

    fn time(&mut self) -> String {
        match self.below(5) {
            0 => format!("({})", self.value(1)),
            1 => "0 ms".into(),
            2 => format!("{} ms", self.below(32768)),
            _ => format!("{} ms", self.below(100)),
        }
    }

    fn value(&mut self, depth: usize) -> String {
        let deeper = depth > 0 && self.odds(6);
        if deeper {
            let (a, b) = (self.value(depth - 1), self.value(depth - 1));
            return match self.below(6) {
                0 => format!("share({a}, {b}, {})", self.value(depth - 1)),
                1 => format!("-({a})"),
                k => format!("({a}) {} ({b})", ["+", "-", "*", "/"][k - 2]),
            };
        }
        match self.below(4) {
            0 if self.constants > 0 => format!("k{}", self.below(self.constants)),
            1 if self.counters > 0 => format!("n{}", self.below(self.counters)),
            2 => self
                .pick(&[
                    "centre",
                    "edge-left",
                    "tilt",
                    "gyro",
                    "wheels-left",
                    "amps",
                    "near",
                ])
                .into(),
            _ => self.number(),
        }
    }

    fn condition(&mut self, depth: usize) -> String {
        if depth > 0 && self.odds(6) {
            let a = self.condition(depth - 1);
            return match self.below(5) {
                0 => format!("not ({a})"),
                1 => format!("({a}) and ({})", self.condition(depth - 1)),
                2 => format!("({a}) or ({})", self.condition(depth - 1)),
                3 if self.holds < 16 => {
                    self.holds += 1;
                    format!("({a}) for {}", self.time())
                }
                _ => format!("{a} or {}", self.condition(depth - 1)),
            };
        }
        match self.below(10) {
            0 => format!("chance {} %", self.below(101)),
            1 => "centre sees".into(),
            2 => "near sees".into(),
            3 => format!("flank sees within ({})", self.value(1)),
            4 => format!("centre sees beyond {}", self.number()),
            5 => format!("{} on border", self.pick(&["edge-left", "edge-right"])),
            6 => "bumper touched".into(),
            7 if self.timers > 0 => format!("t{} over {}", self.below(self.timers), self.time()),
            8 => {
                let sensor = self.pick(&["tilt", "gyro", "amps", "wheels-left", "centre"]);
                let side = self.pick(&["above", "below"]);
                format!("{sensor} {side} ({})", self.value(1))
            }
            _ => {
                let sign = self.pick(&["<", ">", "="]);
                format!("({}) {sign} ({})", self.value(2), self.value(1))
            }
        }
    }

    fn action(&mut self) -> String {
        match self.below(5) {
            4 => {
                let side = self.pick(&SIDES);
                format!("veer ({}) ({}) {side}", self.value(1), self.value(1))
            }
            0 => {
                let side = self.pick(&SIDES);
                format!("pivot ({}) {side}", self.value(1))
            }
            1 => {
                let side = self.pick(&SIDES);
                format!("arc ({}) ({}) {side}", self.value(1), self.value(1))
            }
            2 => "wait".into(),
            _ => format!("drive ({}) ({})", self.value(2), self.value(1)),
        }
    }

    fn instant(&mut self) -> String {
        match self.below(6) {
            5 => {
                let sensors = ["centre", "edge-left", "near", "gyro", "bumper"];
                format!("ignore {} for {}", self.pick(&sensors), self.time())
            }
            0 if self.counters > 0 => {
                let n = self.below(self.counters);
                format!("set n{n} = {}", self.value(2))
            }
            1 if self.timers > 0 => format!("restart t{}", self.below(self.timers)),
            2 => self
                .pick(&[
                    "lifter to up",
                    "lifter to down",
                    "flap to out",
                    "flap to 40 %",
                ])
                .into(),
            3 => format!("lifter to ({})", self.value(1)),
            _ => self.pick(&["lifter off", "flap off"]).into(),
        }
    }

    /// A step; one that must end, if it is a reflex's.
    fn step(&mut self, ends: bool) -> String {
        if self.odds(3) {
            return self.instant();
        }
        if self.odds(1) {
            let side = self.pick(&SIDES);
            let (radius, angle) = (self.below(300), 1 + self.below(3000));
            let bend = format!(
                "bend {radius} mm {angle} {side} at {} %",
                5 + self.below(95)
            );
            return if self.odds(4) {
                format!("{bend} until {}", self.condition(2))
            } else {
                bend
            };
        }
        let mut step = if self.odds(3) {
            let mut rules = String::new();
            for _ in 0..=self.below(3) {
                let _ = writeln!(rules, "{}: {}", self.condition(2), self.action());
            }
            if self.odds(6) {
                let _ = writeln!(rules, "otherwise: {}", self.action());
            }
            format!("follow {{\n{rules}}}")
        } else {
            self.action()
        };
        if ends || self.odds(7) {
            let _ = write!(step, " for {}", self.time());
        }
        if self.odds(4) {
            let _ = write!(step, " until {}", self.condition(2));
        }
        step
    }

    fn state(&mut self) -> String {
        format!("s{}", self.below(self.states))
    }

    fn text(&mut self) -> String {
        let mut text = String::new();
        for k in 0..self.constants {
            let _ = writeln!(text, "constant k{k} = {}", self.number());
        }
        for k in 0..self.counters {
            let _ = writeln!(text, "counter n{k} = {}", self.number());
        }
        for k in 0..self.timers {
            let _ = writeln!(text, "timer t{k}");
        }
        for side in ["left", "right"] {
            if self.odds(6) {
                let _ = writeln!(text, "remember {side} when {}", self.condition(2));
            }
        }
        for k in 0..self.below(4) {
            let (side, begin) = (self.pick(&["left", "right"]), self.state());
            let _ = writeln!(
                text,
                "opening o{k} {{\nswitch {}\nside {side}\nbegin {begin}\n}}",
                2 * k
            );
        }
        for k in 0..self.below(6) {
            let firm = if self.odds(2) { "firm " } else { "" };
            let until = if self.odds(4) {
                format!(" until {}", self.condition(2))
            } else {
                String::new()
            };
            let _ = writeln!(
                text,
                "reflex r{k} {firm}when {}{until} {{",
                self.condition(3)
            );
            for _ in 0..=self.below(3) {
                let _ = writeln!(text, "{}", self.step(true));
            }
            if self.odds(4) {
                let _ = writeln!(text, "then {}", self.state());
            }
            text.push_str("}\n");
        }
        for k in 0..self.states {
            let _ = writeln!(text, "state s{k} {{");
            if self.odds(3) {
                let _ = writeln!(text, "stay {} then {}", self.time(), self.state());
            }
            for _ in 0..self.below(4) {
                let _ = writeln!(text, "go {} when {}", self.state(), self.condition(3));
            }
            for _ in 0..=self.below(5) {
                let _ = writeln!(text, "{}", self.step(false));
            }
            if self.odds(5) {
                let _ = writeln!(text, "then {}", self.state());
            }
            text.push_str("}\n");
        }
        text
    }
}

/// A tactic for a robot with [`ports`]. The reader or the compiler may still refuse it: a state that goes
/// to itself, a condition nested too deep.
pub(crate) fn text(dice: &mut impl Dice) -> String {
    let mut inventor = Inventor {
        constants: dice.below(4),
        counters: dice.below(4),
        timers: dice.below(3),
        states: 1 + dice.below(5),
        holds: 0,
        dice,
    };
    inventor.text()
}
