//! Changes to what drives the robot: wheels, tyres, pack.

use bout::Cause;
use quantity::{Length, Ratio};
use robot::Entry;

use super::changes::{Design, Maker};

impl Maker<'_> {
    /// The next smaller and the next larger wheel of the same compound.
    pub(super) fn wheels(&mut self) {
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

    /// The design with every driven wheel exchanged for a part.
    fn with_wheel(&self, entry: &Entry) -> Option<Design> {
        Some(Design {
            robot: self.base.robot.with_driven_wheels(entry, self.parts)?,
            ..self.base.clone()
        })
    }

    /// The same wheel with the grippiest compound.
    pub(super) fn tyres(&mut self) {
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
    }

    /// Clean tyres, of wheels and tracks.
    pub(super) fn clean_tyres(&mut self) {
        let speaks_to = self.share(&[Cause::PushedTyresSlid, Cause::Lifted, Cause::TakenFromSide]);
        let mut design = self.base.clone();
        let wheels = design.robot.wheels.iter_mut().map(|w| &mut w.tyre);
        let tracks = design.robot.tracks.iter_mut().map(|t| &mut t.tyre);
        for tyre in wheels.chain(tracks) {
            let grip = &tyre.grip_peak;
            let (unsure, varies) = (grip.unsure(), 0.3 * grip.varies());
            let cleaner = grip.si() + 0.5 * grip.varies();
            tyre.grip_peak = grip.clone().with_si(cleaner).with_spread(unsure, varies);
        }
        self.add(
            "clean-tyres",
            "clean the tyres before every bout",
            speaks_to,
            design,
        );
    }

    /// A pack of half the resistance.
    pub(super) fn pack(&mut self) {
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
