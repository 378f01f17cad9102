//! Exchanging parts of a robot for others from the parts box.

use quantity::Length;

use crate::read::drive::{half, on_surfaces};
use crate::reader::Section;
use crate::{Entry, Item, PartsBox, Robot, Shape, Tyre, typical};

/// Mass, price, kits and name of a part, its place left as it is.
fn become_part(item: &mut Item, entry: &Entry, parts: &PartsBox) -> Option<()> {
    item.mass = parts.section(entry).optional_figure("mass")?;
    item.price = entry.price;
    item.kits.clone_from(&entry.kits);
    item.part = Some(entry.id.clone());
    Some(())
}

/// What a part's tyre or belt is made of; how long ago it was cleaned stays.
fn become_tyre(tyre: &mut Tyre, section: &Section<'_>, rolling: typical::Typical) -> Option<()> {
    tyre.compound = section.optional_text("compound")?;
    tyre.grip_peak = section.optional_figure("grip")?;
    let peak = tyre.grip_peak.si();
    let sliding = [typical::SLIDING_SHARE, typical::SLIDING_SHARE_UNSURE, 0.0];
    let sliding = sliding.map(|share| share * peak);
    tyre.grip_sliding = section.typical_figure("sliding-grip", sliding);
    tyre.reference_load = section.typical_figure("reference-load", typical::REFERENCE_LOAD);
    tyre.load_exponent = section.typical_figure("load-exponent", typical::LOAD_EXPONENT);
    tyre.rolling = section.typical_figure("rolling", rolling);
    tyre.adhesion = section.typical_figure("adhesion", typical::ADHESION);
    tyre.dirt_loss = section.typical_figure("dirt-loss", typical::DIRT_LOSS);
    tyre.dirt_length = section.typical_figure("dirt-length", typical::DIRT_LENGTH);
    tyre.on = on_surfaces(section);
    Some(())
}

impl Robot {
    /// The robot with the belts of its driven tracks exchanged for those of the track `entry`; their
    /// sizes stay. None if the entry is no whole track.
    #[must_use]
    pub fn with_belts(&self, entry: &Entry, parts: &PartsBox) -> Option<Self> {
        if entry.kind != "track" {
            return None;
        }
        let section = parts.section(entry);
        let mut robot = self.clone();
        for t in robot.tracks.iter_mut().filter(|t| t.motor.is_some()) {
            become_part(&mut t.item, entry, parts)?;
            become_tyre(&mut t.tyre, &section, typical::TRACK_ROLLING)?;
        }
        Some(robot)
    }

    /// The robot with every driven wheel exchanged for the wheel `entry`, axles lowered or raised
    /// so that they still stand on the ring; everything else stays where it is, also the wheels'
    /// outer faces. None if the entry is no whole wheel.
    #[must_use]
    pub fn with_driven_wheels(&self, entry: &Entry, parts: &PartsBox) -> Option<Self> {
        if entry.kind != "wheel" {
            return None;
        }
        let section = parts.section(entry);
        let diameter = section.optional_figure::<Length>("diameter")?;
        let mut robot = self.clone();
        for w in robot.wheels.iter_mut().filter(|w| w.motor.is_some()) {
            become_part(&mut w.item, entry, parts)?;
            let radius = half(&diameter);
            w.item.at[2] = radius.clone();
            let width = section.optional_figure::<Length>("width")?;
            // Its outer face stays where it was: a wider wheel reaches further in, not out.
            let (y, wider) = (w.item.at[1].si(), width.si() - w.width.si());
            let inner = y - 0.5 * wider * y.signum();
            w.item.at[1] = w.item.at[1].clone().with_si(inner);
            w.width = width;
            w.radius = radius;
            w.item.shape = Shape::CylinderAcross {
                radius: w.radius.clone(),
                width: w.width.clone(),
            };
            become_tyre(&mut w.tyre, &section, typical::ROLLING)?;
            w.run_out = section.typical_figure("run-out", typical::RUN_OUT);
        }
        Some(robot)
    }

    /// The robot with every motor exchanged for the motor `entry`, gears and places kept. None if
    /// the entry is no whole motor.
    #[must_use]
    pub fn with_motors(&self, entry: &Entry, parts: &PartsBox) -> Option<Self> {
        if entry.kind != "motor" {
            return None;
        }
        let section = parts.section(entry);
        let mut robot = self.clone();
        for m in &mut robot.motors {
            become_part(&mut m.item, entry, parts)?;
            m.rated_voltage = section.optional_figure("rated-voltage")?;
            m.no_load_speed = section.optional_figure("no-load-speed")?;
            m.stall_torque = section.optional_figure("stall-torque")?;
            m.stall_current = section.optional_figure("stall-current")?;
            let free = typical::FREE_CURRENT_SHARE * m.stall_current.si();
            m.no_load_current = section.typical_figure("no-load-current", [free, 0.5 * free, 0.0]);
            let inertia = m.stall_torque.si() * typical::MOTOR_TIME_S / m.no_load_speed.si();
            m.reflected_inertia =
                section.typical_figure("reflected-inertia", [inertia, 0.6 * inertia, 0.0]);
            m.box_efficiency = section.typical_figure("box-efficiency", typical::BOX_EFFICIENCY);
            m.cooling = crate::read::cooling(&section, Some(&m.item));
        }
        Some(robot)
    }
}

#[cfg(test)]
mod tests {
    use quantity::Draws;

    use super::*;

    fn demo(parts: &PartsBox) -> Robot {
        let text = shelf::file("robots/demo.toml").expect("it is there");
        let tactic = |name: &str| shelf::file(&format!("robots/{name}"));
        crate::read("demo.toml", &text, parts, &tactic).expect("it reads")
    }

    #[test]
    fn exchanged_wheels_are_the_parts_boxs_and_stand_on_the_ring() {
        let parts = PartsBox::built_in().expect("it reads");
        let robot = demo(&parts);
        let entry = parts.find("wheel-34-silicone").expect("it is there");
        let other = robot.with_driven_wheels(entry, &parts).expect("it fits");
        for w in &other.wheels {
            assert!((w.radius.si() - 0.017).abs() < 1e-12);
            assert!((w.item.at[2].si() - w.radius.si()).abs() < 1e-12);
            assert_eq!(w.item.part.as_deref(), Some("wheel-34-silicone"));
        }
        let mass = |r: &Robot| r.mass_properties(&Draws::nominal()).mass_kg;
        let before: f64 = robot.wheels.iter().map(|w| w.item.mass.si()).sum();
        let after: f64 = other.wheels.iter().map(|w| w.item.mass.si()).sum();
        assert!((mass(&other) - mass(&robot) - (after - before)).abs() < 1e-12);
        let motor = parts.find("gearmotor-small-400").expect("it is there");
        assert_eq!(robot.with_driven_wheels(motor, &parts), None);
    }

    #[test]
    fn exchanged_motors_are_the_parts_boxs() {
        let parts = PartsBox::built_in().expect("it reads");
        let robot = demo(&parts);
        let entry = parts.find("gearmotor-small-400").expect("it is there");
        let other = robot.with_motors(entry, &parts).expect("it fits");
        for m in &other.motors {
            assert!((m.stall_torque.si() - 0.095).abs() < 1e-12);
            assert!((m.item.mass.si() - 0.010).abs() < 1e-12);
            assert!(m.reflected_inertia.si() > robot.motors[0].reflected_inertia.si());
        }
    }
}
