//! Changes to the body: ballast, where the edge sensors sit, the blade.

use bout::Cause;
use quantity::{Draws, Figure, Origin};
use robot::{Item, Place, SensorKind, Shape};

use super::changes::{Design, Maker, PUSHED};
use super::program;

/// Mass in kg kept free when ballast is added, for the scale's error.
const SCALE_MARGIN_KG: f64 = 0.002;
/// Distance of an edge sensor from the robot's front or back, m.
const EDGE_INSET_M: f64 = 0.007;

impl Maker<'_> {
    /// Ballast to the class's limit, low between the driven wheels.
    pub(super) fn ballast(&mut self) {
        let robot = &self.base.robot;
        let mass = robot.mass_properties(&Draws::nominal()).mass_kg;
        let free = self.class.robot.mass_kg.value.si - SCALE_MARGIN_KG - mass;
        if free < 0.01 * mass {
            return;
        }
        let wheels = robot.wheels.iter().map(|w| (w.motor, &w.item));
        let tracks = robot.tracks.iter().map(|t| (t.motor, &t.item));
        let driven: Vec<_> = wheels.chain(tracks).filter(|d| d.0.is_some()).collect();
        let x = driven.iter().map(|d| d.1.at[0].si()).sum::<f64>() / driven.len().max(1) as f64;
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
    pub(super) fn edge_forward(&mut self) {
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
    pub(super) fn edge_behind(&mut self) {
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

    /// A finer edge, as far as it still counts as blunt; the blade lower.
    pub(super) fn blade(&mut self) {
        let Some(blade) = &self.base.robot.blade else {
            return;
        };
        let speaks_to = self.share(&[
            Cause::Lifted,
            Cause::PushedTyresSlid,
            Cause::PushedMotorsStalled,
        ]);
        // An edge cut square can be rounded to half its thickness at most; finer than twice the
        // radius the class takes as safe it would count as sharp, and it cuts hands.
        let rule = self.class.robot.edge_radius_m.as_ref();
        let safe = rule.map_or(0.0, |r| 2.0 * r.value.si);
        let edge = blade.edge.si();
        let finer = (0.4 * edge).max(safe);
        if finer < 0.9 * edge {
            let share = finer / edge;
            let mut design = self.base.clone();
            if let Some(b) = &mut design.robot.blade {
                // What is not known shrinks with the edge, nicks less so.
                let (unsure, varies) = (share * b.edge.unsure(), share.sqrt() * b.edge.varies());
                b.edge = b.edge.clone().with_si(finer).with_spread(unsure, varies);
            }
            let what = format!(
                "blade edge {:.2} mm instead of {:.2} mm; keep it covered, it can cut",
                1e3 * finer,
                1e3 * edge
            );
            self.add("finer-blade-edge", what, speaks_to, design);
        }
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
}
