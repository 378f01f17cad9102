//! Changes to tracks: their length, what they are made of.

use bout::Cause;
use quantity::{Length, Ratio};
use robot::Entry;

use super::changes::Maker;

/// How much shorter and longer tracks are tried.
const LENGTHS: [(f64, &str, &str); 2] = [
    (
        0.75,
        "shorter-tracks",
        "tracks a quarter shorter on the ground",
    ),
    (
        1.25,
        "longer-tracks",
        "tracks a quarter longer on the ground",
    ),
];

impl Maker<'_> {
    /// Tracks that turn more easily, and tracks that hold more against being turned.
    pub(super) fn track_length(&mut self) {
        if self.base.robot.tracks.is_empty() {
            return;
        }
        for (times, name, what) in LENGTHS {
            let mut design = self.base.clone();
            for t in &mut design.robot.tracks {
                t.length = t.length.clone().with_si(times * t.length.si());
                let over = t.length.si() + 2.0 * t.radius.si();
                if let robot::Shape::Box([length, ..]) = &mut t.item.shape {
                    *length = length.clone().with_si(over);
                }
            }
            let causes = if times < 1.0 {
                &[Cause::NeverSaw, Cause::TimedOut][..]
            } else {
                &[Cause::TakenFromSide][..]
            };
            let speaks_to = self.share(causes);
            self.add(name, what, speaks_to, design);
        }
    }

    /// The grippiest belt of the same size.
    pub(super) fn belts(&mut self) {
        let Some(ours) = self.base.robot.tracks.iter().find(|t| t.motor.is_some()) else {
            return;
        };
        let size = [2.0 * ours.radius.si(), ours.length.si(), ours.width.si()];
        let mut best: Option<(f64, &Entry)> = None;
        for e in self.parts.entries().iter().filter(|e| e.kind == "track") {
            let section = self.parts.section(e);
            let is = |key: &str, ours: f64| {
                let figure = section.optional_figure::<Length>(key);
                figure.is_some_and(|f| (f.si() - ours).abs() < 1e-4)
            };
            let fits =
                is("diameter", size[0]) && is("ground-length", size[1]) && is("width", size[2]);
            let grip = section
                .optional_figure::<Ratio>("grip")
                .map_or(0.0, |g| g.si());
            if fits && grip > best.map_or(ours.tyre.grip_peak.si(), |b| b.0) + 0.01 {
                best = Some((grip, e));
            }
        }
        let Some((_, entry)) = best else { return };
        let mut design = self.base.clone();
        if let Some(robot) = design.robot.with_belts(entry, self.parts) {
            design.robot = robot;
            let what = format!("grippier tracks ({})", entry.id);
            let speaks_to =
                self.share(&[Cause::PushedTyresSlid, Cause::Lifted, Cause::TakenFromSide]);
            self.add(entry.id.clone(), what, speaks_to, design);
        }
    }
}
