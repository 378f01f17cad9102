//! A tactic running on a bench: sensors set by hand, time moved on by hand.
#![allow(dead_code, reason = "each test file uses its own part of the bench")]

use tactic::{Drive, Memory, Port, PortKind, Ports, Program, Tactic};

pub(crate) const NOTHING: i16 = PortKind::NOTHING;

/// The sensors of the bench, in order.
pub(crate) const SENSORS: [(&str, PortKind); 14] = [
    ("centre", PortKind::Range),
    ("left", PortKind::Range),
    ("right", PortKind::Range),
    ("flank-left", PortKind::Range),
    ("flank-right", PortKind::Range),
    ("edge-front-left", PortKind::Reflectance),
    ("edge-front-right", PortKind::Reflectance),
    ("edge-back-left", PortKind::Reflectance),
    ("tilt", PortKind::Tilt),
    ("bumper", PortKind::Contact),
    ("near", PortKind::Proximity),
    ("gyro", PortKind::TurnRate),
    ("wheels-left", PortKind::WheelSpeed),
    ("amps-left", PortKind::Current),
];

pub(crate) fn ports() -> Ports {
    let port = |(name, kind): (&str, PortKind)| Port {
        name: name.into(),
        kind,
    };
    Ports {
        inputs: SENSORS.into_iter().map(port).collect(),
        gadgets: vec![tactic::GadgetPort {
            name: "lifter".into(),
            ends: ["down".into(), "up".into()],
        }],
        rolling: Some(tactic::Rolling {
            apart_mm: 80,
            full_mm_s: 1000,
        }),
    }
}

/// Ports for a shipped tactic: the bench's and what else the robots have.
pub(crate) fn shipped_ports() -> Ports {
    let mut ports = ports();
    for (name, kind) in [
        ("edge-back-right", PortKind::Reflectance),
        ("edge-left", PortKind::Reflectance),
        ("edge-right", PortKind::Reflectance),
    ] {
        ports.inputs.push(Port {
            name: name.into(),
            kind,
        });
    }
    ports.gadgets.push(tactic::GadgetPort {
        name: "jack".into(),
        ends: ["up", "down"].map(String::from),
    });
    ports
}

#[track_caller]
pub(crate) fn parsed(text: &str) -> Tactic {
    tactic::parse("test.tactic", text).unwrap_or_else(|e| panic!("{e:#?}\n{text}"))
}

/// A program, its memory, its sensors and its clock.
pub(crate) struct Bench {
    pub(crate) program: Program,
    pub(crate) memory: Memory,
    pub(crate) readings: [i16; 14],
    pub(crate) now: u16,
}

impl Bench {
    #[track_caller]
    pub(crate) fn new(text: &str) -> Self {
        Self::with(text, 0, 1, 0)
    }

    #[track_caller]
    pub(crate) fn with(text: &str, opening: usize, noise: u16, now: u16) -> Self {
        let program = tactic::compile(&parsed(text), &ports()).unwrap_or_else(|e| panic!("{e:#?}"));
        let memory = program.start(opening, noise);
        let mut readings = [0; SENSORS.len()];
        readings[..5].fill(NOTHING);
        Self {
            program,
            memory,
            readings,
            now,
        }
    }

    /// Sets what a sensor reads.
    pub(crate) fn set(&mut self, sensor: &str, reading: i16) {
        let k = SENSORS
            .iter()
            .position(|s| s.0 == sensor)
            .expect("a sensor");
        self.readings[k] = reading;
    }

    /// One tick at the clock's time, and then 10 ms later.
    pub(crate) fn tick(&mut self) -> (i16, i16) {
        let Drive { left, right } = self
            .program
            .tick(&mut self.memory, &self.readings, self.now);
        self.now = self.now.wrapping_add(10);
        (left, right)
    }

    pub(crate) fn doing(&self) -> &str {
        self.program.doing(&self.memory)
    }

    /// What it does in each of the next ticks.
    pub(crate) fn doings(&mut self, ticks: usize) -> Vec<String> {
        let mut doings = Vec::new();
        for _ in 0..ticks {
            self.tick();
            doings.push(self.doing().to_owned());
        }
        doings
    }

    /// What it drives in each of the next ticks.
    pub(crate) fn drives(&mut self, ticks: usize) -> Vec<(i16, i16)> {
        (0..ticks).map(|_| self.tick()).collect()
    }
}
