//! Changes to how it plays: the program's constants, sensors it does not read, openings, its loop.

use bout::Cause;

use super::changes::{ALONE, Design, Maker};
use super::program;

impl Maker<'_> {
    /// Constants the tactic offers, half-way to each end of their range.
    pub(super) fn constants(&mut self) {
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
                let shown = |value| program::shown(&self.base.tactic, &c.name, value);
                let what = format!(
                    "in the program: {} {} instead of {}",
                    c.name,
                    shown(value),
                    shown(c.value)
                );
                self.add(format!("{}-{value}", c.name), what, speaks_to, design);
            }
        }
    }

    /// Distance sensors the program does not read: turn to what they see.
    pub(super) fn unread_sensors(&mut self) {
        let read = self.base.tactic.sensors_read();
        let range = |s: &&robot::Sensor| s.kind.sight().is_some();
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
    pub(super) fn openings(&mut self) {
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

    /// Twice as quick a loop.
    pub(super) fn loop_time(&mut self) {
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
}
