//! Which single changes are sensible for a robot, given why it loses.

use bout::Cause;
use quantity::{Draws, Figure, Length, Origin, Ratio};
use robot::{Entry, Item, PartsBox, Place, Robot, SensorKind, Shape};
use rules::Class;
use tactic::Tactic;

use super::program;
use crate::spar::Record;

/// A robot with its program, and the opening it plays.
#[derive(Debug, Clone)]
pub struct Design {
    /// The robot.
    pub robot: Robot,
    /// Its program.
    pub tactic: Tactic,
    /// Index of the opening.
    pub opening: usize,
}

/// A single change.
#[derive(Debug, Clone)]
pub struct Change {
    /// Stable name, such as `wheel-34-silicone`.
    pub name: String,
    /// What is done, in words.
    pub what: String,
    /// Share of the record's losses whose cause it speaks to.
    pub speaks_to: f64,
    /// The changed design.
    pub design: Design,
}

/// Mass in kg kept free when ballast is added, for the scale's error.
const SCALE_MARGIN_KG: f64 = 0.002;
/// Distance of an edge sensor from the robot's front or back, m.
const EDGE_INSET_M: f64 = 0.007;

/// The do-nothing check and up to `most` changes, those that speak to most of the losses first.
/// Changes that would make a legal robot illegal are left out.
#[must_use]
pub fn candidates(
    base: &Design,
    class: &Class,
    parts: &PartsBox,
    record: &Record,
    most: usize,
) -> Vec<Change> {
    let mut maker = Maker {
        base,
        class,
        parts,
        record,
        changes: Vec::new(),
    };
    maker.wheels();
    maker.tyres();
    maker.ballast();
    maker.edge_forward();
    maker.edge_behind();
    maker.constants();
    maker.unread_sensors();
    maker.openings();
    maker.blade();
    maker.loop_time();
    maker.pack();
    let mut changes = maker.changes;
    changes.sort_by(|a, b| {
        b.speaks_to
            .total_cmp(&a.speaks_to)
            .then(a.name.cmp(&b.name))
    });
    changes.truncate(most);
    let nothing = Change {
        name: "do-nothing".into(),
        what: "do nothing (a check: must change nothing)".into(),
        speaks_to: 0.0,
        design: base.clone(),
    };
    changes.insert(0, nothing);
    changes
}

struct Maker<'a> {
    base: &'a Design,
    class: &'a Class,
    parts: &'a PartsBox,
    record: &'a Record,
    changes: Vec<Change>,
}

/// Losses over the edge without the opponent's help.
const ALONE: &[Cause] = &[
    Cause::EdgeSeenTooLate,
    Cause::EdgeIgnored,
    Cause::EdgeUnseen,
    Cause::ReversedOut,
];
/// Losses by being pushed from the front.
const PUSHED: &[Cause] = &[
    Cause::PushedTyresSlid,
    Cause::PushedMotorsStalled,
    Cause::Lifted,
    Cause::GaveWay,
];

impl Maker<'_> {
    /// Share of losses and ties whose cause is among `causes`.
    fn share(&self, causes: &[Cause]) -> f64 {
        let counts = || self.record.losses.iter().chain(&self.record.ties);
        let all: u32 = counts().map(|c| c.count).sum();
        let some: u32 = counts()
            .filter(|c| causes.contains(&c.cause))
            .map(|c| c.count)
            .sum();
        if all == 0 {
            0.0
        } else {
            f64::from(some) / f64::from(all)
        }
    }

    fn add(
        &mut self,
        name: impl Into<String>,
        what: impl Into<String>,
        speaks_to: f64,
        design: Design,
    ) {
        let legal = |r: &Robot| rules::inspect(r, self.class).legal();
        if legal(&self.base.robot) && !legal(&design.robot) {
            return;
        }
        if tactic::compile(&design.tactic, &tactic::Ports::of(&design.robot)).is_err() {
            return;
        }
        self.changes.push(Change {
            name: name.into(),
            what: what.into(),
            speaks_to,
            design,
        });
    }

    /// The next smaller and the next larger wheel of the same compound.
    fn wheels(&mut self) {
        let Some(ours) = self.base.robot.wheels.iter().find(|w| w.motor.is_some()) else {
            return;
        };
        let diameter = 2.0 * ours.radius.si();
        let compound = ours.tyre.compound.clone();
        let mut sizes: Vec<(f64, &Entry)> = self
            .parts
            .entries()
            .iter()
            .filter(|e| e.kind == "wheel")
            .filter_map(|e| {
                let section = self.parts.section(e);
                let d = section.optional_figure::<Length>("diameter")?.si();
                (section.optional_text("compound")? == compound && (d - diameter).abs() > 1e-4)
                    .then_some((d, e))
            })
            .collect();
        sizes.sort_by(|a, b| a.0.total_cmp(&b.0));
        let smaller: Vec<_> = sizes
            .iter()
            .filter(|s| s.0 < diameter && s.0 > 0.5 * diameter)
            .collect();
        let larger: Vec<_> = sizes
            .iter()
            .filter(|s| s.0 > diameter && s.0 < 1.6 * diameter)
            .collect();
        let chosen: Vec<_> = smaller
            .iter()
            .rev()
            .take(2)
            .chain(larger.iter().take(1))
            .copied()
            .copied()
            .collect();
        for (d, entry) in chosen {
            let causes = if d < diameter {
                &[Cause::PushedMotorsStalled, Cause::EdgeSeenTooLate][..]
            } else {
                &[Cause::TakenFromSide, Cause::TimedOut][..]
            };
            let speaks_to = self.share(causes);
            if let Some(design) = self.with_wheel(entry) {
                let what = format!("wheels Ø {:.0} mm ({})", 1e3 * d, entry.id);
                self.add(entry.id.clone(), what, speaks_to, design);
            }
        }
    }

    /// The design with every driven wheel replaced by a part.
    fn with_wheel(&self, entry: &Entry) -> Option<Design> {
        let section = self.parts.section(entry);
        let mut design = self.base.clone();
        for w in design.robot.wheels.iter_mut().filter(|w| w.motor.is_some()) {
            let diameter = section.optional_figure::<Length>("diameter")?;
            let radius = diameter.clone().with_si(0.5 * diameter.si());
            w.item.mass = section.optional_figure("mass")?;
            w.item.price = entry.price;
            w.item.kits.clone_from(&entry.kits);
            w.item.part = Some(entry.id.clone());
            w.item.at[2] = radius.clone();
            w.width = section.optional_figure("width")?;
            w.radius = radius;
            w.item.shape = Shape::CylinderAcross {
                radius: w.radius.clone(),
                width: w.width.clone(),
            };
            w.tyre.grip_peak = section.optional_figure("grip")?;
            w.tyre.grip_sliding = section.optional_figure("sliding-grip")?;
            w.tyre.reference_load = section.optional_figure("reference-load")?;
            w.tyre.compound = section.optional_text("compound")?;
        }
        Some(design)
    }

    /// The same wheel with the grippiest compound, and clean tyres.
    fn tyres(&mut self) {
        let Some(ours) = self.base.robot.wheels.iter().find(|w| w.motor.is_some()) else {
            return;
        };
        let (diameter, grip) = (2.0 * ours.radius.si(), ours.tyre.grip_peak.si());
        let mut best: Option<(f64, &Entry)> = None;
        for e in self.parts.entries().iter().filter(|e| e.kind == "wheel") {
            let section = self.parts.section(e);
            let size = section
                .optional_figure::<Length>("diameter")
                .map_or(0.0, |d| d.si());
            let g = section
                .optional_figure::<Ratio>("grip")
                .map_or(0.0, |g| g.si());
            if (size - diameter).abs() < 1e-4 && g > best.map_or(grip, |b| b.0) + 0.01 {
                best = Some((g, e));
            }
        }
        let speaks_to = self.share(&[Cause::PushedTyresSlid, Cause::Lifted, Cause::TakenFromSide]);
        if let Some((_, entry)) = best
            && let Some(design) = self.with_wheel(entry)
        {
            let what = format!("grippier tyres ({})", entry.id);
            self.add(entry.id.clone(), what, speaks_to, design);
        }
        let mut design = self.base.clone();
        for w in &mut design.robot.wheels {
            let grip = &w.tyre.grip_peak;
            let (unsure, varies) = (grip.unsure(), 0.3 * grip.varies());
            let cleaner = grip.si() + 0.5 * grip.varies();
            w.tyre.grip_peak = grip.clone().with_si(cleaner).with_spread(unsure, varies);
        }
        self.add(
            "clean-tyres",
            "clean the tyres before every bout",
            speaks_to,
            design,
        );
    }

    /// Ballast to the class's limit, low between the driven wheels.
    fn ballast(&mut self) {
        let robot = &self.base.robot;
        let mass = robot.mass_properties(&Draws::nominal()).mass_kg;
        let free = self.class.robot.mass_kg.value.si - SCALE_MARGIN_KG - mass;
        if free < 0.01 * mass {
            return;
        }
        let driven: Vec<_> = robot.wheels.iter().filter(|w| w.motor.is_some()).collect();
        let x = driven.iter().map(|w| w.item.at[0].si()).sum::<f64>() / driven.len().max(1) as f64;
        let low = robot.hull.iter().map(|h| h.from.si()).fold(0.005, f64::min) + 0.002;
        let at = [x, 0.0, low].map(|v| Figure::derived(v, "part/ballast to the limit/at"));
        let mut design = self.base.clone();
        design.robot.parts.push(Item {
            name: "ballast to the limit".into(),
            part: Some("ballast-lead-20".into()),
            kits: self
                .class
                .robot
                .kits
                .as_ref()
                .map(|k| k.value.clone())
                .unwrap_or_default(),
            mass: Figure::new(free, Origin::Derived, "part/ballast to the limit/mass"),
            price: None,
            at,
            shape: Shape::Point,
            place: Place::whole(&robot.file),
        });
        let speaks_to = self.share(PUSHED);
        self.add(
            "ballast",
            format!(
                "{:.0} g of ballast over the driven wheels, to the limit",
                1e3 * free
            ),
            speaks_to,
            design,
        );
    }

    /// Edge sensors of the front as far forward as they go.
    fn edge_forward(&mut self) {
        let front = self.base.robot.footprint().x[1] - EDGE_INSET_M;
        let mut design = self.base.clone();
        let mut moved: f64 = 0.0;
        let back = 0.5 * self.base.robot.footprint().x[0];
        for s in &mut design.robot.sensors {
            let x = s.item.at[0].si();
            if matches!(s.kind, SensorKind::Reflectance { .. }) && x > back && x < front {
                moved = moved.max(front - x);
                s.item.at[0] = s.item.at[0].clone().with_si(front);
            }
        }
        if moved < 2e-3 {
            return;
        }
        let what = format!("edge sensors {:.0} mm further forward", 1e3 * moved);
        let speaks_to = self.share(&[Cause::EdgeSeenTooLate, Cause::EdgeUnseen]);
        self.add("edge-sensors-forward", what, speaks_to, design);
    }

    /// Two edge sensors at the back, with the reflex that reads them.
    fn edge_behind(&mut self) {
        let robot = &self.base.robot;
        let f = robot.footprint();
        let edge = |s: &&robot::Sensor| matches!(s.kind, SensorKind::Reflectance { .. });
        let Some(model) = robot.sensors.iter().find(edge).cloned() else {
            return;
        };
        if robot
            .sensors
            .iter()
            .filter(edge)
            .any(|s| s.item.at[0].si() < 0.5 * f.x[0])
        {
            return;
        }
        let names = ["edge-behind-left", "edge-behind-right"];
        let Some(tactic) = program::off_the_border_behind(&self.base.tactic, &names) else {
            return;
        };
        let mut design = Design {
            tactic,
            ..self.base.clone()
        };
        for (name, side) in names.into_iter().zip([f.y[1], f.y[0]]) {
            let mut s = model.clone();
            s.item.name = name.into();
            s.item.at[0] = Figure::derived(f.x[0] + EDGE_INSET_M, &format!("sensor/{name}/at/0"));
            s.item.at[1] = Figure::derived(0.8 * side, &format!("sensor/{name}/at/1"));
            design.robot.sensors.push(s);
        }
        let speaks_to = self.share(&[
            Cause::ReversedOut,
            Cause::EdgeUnseen,
            Cause::TakenFromSide,
            Cause::NeverSaw,
        ]);
        self.add(
            "edge-sensors-behind",
            "edge sensors at the back, read by a reflex",
            speaks_to,
            design,
        );
    }

    /// Constants the tactic offers, half-way to each end of their range.
    fn constants(&mut self) {
        for c in self.base.tactic.constants() {
            for end in [c.least, c.most] {
                let value = c.value + (end - c.value) / 2;
                if (value - c.value).abs() * 20 < c.value.abs() {
                    continue;
                }
                let Some(tactic) = self.base.tactic.with_constant(&c.name, value) else {
                    continue;
                };
                let design = Design {
                    tactic,
                    ..self.base.clone()
                };
                let causes: &[Cause] = if c.name == "cruise" && value < c.value {
                    ALONE
                } else {
                    &[Cause::Stuck, Cause::TimedOut, Cause::Lifted]
                };
                let speaks_to = self.share(causes);
                let what = format!("in the program: {} {value} instead of {}", c.name, c.value);
                self.add(format!("{}-{value}", c.name), what, speaks_to, design);
            }
        }
    }

    /// Distance sensors the program does not read: turn to what they see.
    fn unread_sensors(&mut self) {
        let read = self.base.tactic.sensors_read();
        let range = |s: &&robot::Sensor| matches!(s.kind, SensorKind::Range { .. });
        let sensors = &self.base.robot.sensors;
        let seeing: Vec<String> = sensors
            .iter()
            .filter(range)
            .map(|s| s.item.name.clone())
            .filter(|n| read.contains(n))
            .collect();
        for s in sensors
            .iter()
            .filter(range)
            .filter(|s| !read.contains(&s.item.name))
        {
            let name = &s.item.name;
            let left = s.facing.si() >= 0.0;
            let Some(tactic) = program::turn_to(&self.base.tactic, name, left, &seeing) else {
                continue;
            };
            let design = Design {
                tactic,
                ..self.base.clone()
            };
            let speaks_to = self.share(&[
                Cause::NeverSaw,
                Cause::TakenFromSide,
                Cause::TimedOut,
                Cause::Stuck,
            ]);
            self.add(
                format!("read-{name}"),
                format!("let the program turn to what \"{name}\" sees"),
                speaks_to,
                design,
            );
        }
    }

    /// Other openings of the same tactic, and being put down turned away.
    fn openings(&mut self) {
        let speaks_to = 0.5
            * self.share(&[
                Cause::TakenFromSide,
                Cause::Lifted,
                Cause::PushedTyresSlid,
                Cause::PushedMotorsStalled,
                Cause::NeverSaw,
            ]);
        let names = self.base.tactic.opening_names();
        for (k, name) in names.iter().enumerate() {
            if k != self.base.opening {
                let design = Design {
                    opening: k,
                    ..self.base.clone()
                };
                self.add(
                    format!("opening-{name}"),
                    format!("play the opening \"{name}\""),
                    speaks_to,
                    design,
                );
            }
        }
        if let Some((tactic, opening)) = program::turned_away(&self.base.tactic) {
            let design = Design {
                tactic,
                opening,
                ..self.base.clone()
            };
            self.add(
                "opening-turned-away",
                "put it down turned 90° to the right of the opponent",
                speaks_to,
                design,
            );
        }
    }

    /// A finer edge; the blade lower.
    fn blade(&mut self) {
        let Some(blade) = &self.base.robot.blade else {
            return;
        };
        let speaks_to = self.share(&[
            Cause::Lifted,
            Cause::PushedTyresSlid,
            Cause::PushedMotorsStalled,
        ]);
        let finer = 0.4 * blade.edge.si();
        let mut design = self.base.clone();
        if let Some(b) = &mut design.robot.blade {
            let (unsure, varies) = (0.4 * b.edge.unsure(), 0.6 * b.edge.varies());
            b.edge = b.edge.clone().with_si(finer).with_spread(unsure, varies);
        }
        self.add(
            "finer-blade-edge",
            format!(
                "blade edge {:.2} mm instead of {:.2} mm",
                1e3 * finer,
                1e3 * blade.edge.si()
            ),
            speaks_to,
            design,
        );
        if blade.tip_height.si() > 2e-4 {
            let lower = 0.5 * blade.tip_height.si();
            let mut design = self.base.clone();
            if let Some(b) = &mut design.robot.blade {
                b.tip_height = b.tip_height.clone().with_si(lower);
            }
            self.add(
                "lower-blade",
                format!(
                    "blade {:.2} mm above the ring instead of {:.2} mm",
                    1e3 * lower,
                    1e3 * blade.tip_height.si()
                ),
                speaks_to,
                design,
            );
        }
    }

    /// Twice as quick a loop.
    fn loop_time(&mut self) {
        let time = self.base.robot.board.loop_time.si();
        if time < 0.003 {
            return;
        }
        let mut design = self.base.clone();
        design.robot.board.loop_time = design.robot.board.loop_time.clone().with_si(0.5 * time);
        let speaks_to = self.share(&[Cause::EdgeSeenTooLate, Cause::EdgeIgnored]);
        self.add(
            "faster-loop",
            format!(
                "program loop {:.1} ms instead of {:.1} ms",
                500.0 * time,
                1e3 * time
            ),
            speaks_to,
            design,
        );
    }

    /// A pack of half the resistance.
    fn pack(&mut self) {
        let mut design = self.base.clone();
        let r = &design.robot.battery.resistance;
        let half = 0.5 * r.si();
        let unsure = 0.5 * r.unsure();
        design.robot.battery.resistance = r.clone().with_si(half).with_spread(unsure, 0.0);
        let speaks_to = self.share(&[Cause::PushedMotorsStalled]);
        self.add(
            "stiffer-pack",
            "a battery with half the internal resistance",
            speaks_to,
            design,
        );
    }
}
