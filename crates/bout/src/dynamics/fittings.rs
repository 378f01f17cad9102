//! From the design to sheets and joints: blade, lifters, jacks, flaps and arms.

use glam::{DQuat, DVec3};
use quantity::{Draws, Figure, Length, maths};
use robot::{Gadget, GadgetDrive, GadgetKind, Mount, Moved, Play, Robot, Travel};

use super::joint::{Joint, JointMotor};
use super::machine::{Foot, Sheet};

/// A gadget's motor drives at full effort until this share of the way is left to its goal, and less
/// from there on. Usual 2 to 10 % for model servos; less makes it slam into its stops.
const BAND: f64 = 0.05;
/// Damping ratio of a springy blade with its frame. Bent steel has 0.01 to 0.1; above 1 it creeps.
const FRAME_DAMPING: f64 = 0.1;
/// A springy blade bends no further than this, rad.
const MOST_BEND: f64 = 0.5;
/// No joint is lighter than this, kg·m² or kg: keeps divisions safe.
const LEAST_INERTIA: f64 = 1e-9;

/// Sheets, joints, and the feet of jacks.
#[derive(Debug, Default)]
pub(super) struct Fittings {
    pub(super) sheets: Vec<Sheet>,
    pub(super) joints: Vec<Joint>,
    pub(super) feet: Vec<Foot>,
}

/// A sheet as drawn: middle of the edge, way it looks, size.
struct Drawn {
    tip: DVec3,
    /// Along the edge to its left.
    left: DVec3,
    /// The way it looks, level.
    ahead: DVec3,
    width: f64,
    length: f64,
    angle: f64,
}

impl Drawn {
    fn back(&self) -> DVec3 {
        let (sin, cos) = (maths::sin(self.angle), maths::cos(self.angle));
        self.tip - self.ahead * (self.length * cos) + DVec3::Z * (self.length * sin)
    }

    fn sheet(&self, edge: f64, friction: f64, joint: Option<usize>) -> Sheet {
        let side = self.left * (0.5 * self.width);
        let (tip, back) = (self.tip, self.back());
        let corners = [tip + side, tip - side, back - side, back + side];
        let mut sheet = Sheet::new(corners, edge, friction);
        sheet.joint = joint;
        sheet
    }

    fn middle(&self) -> DVec3 {
        0.5 * (self.tip + self.back())
    }

    /// Inertia of an even sheet of this mass about an axis through `hinge`: across (along its edge)
    /// or upright.
    fn inertia(&self, mass: f64, hinge: DVec3, axis: DVec3) -> f64 {
        let arm = self.middle() - hinge;
        let off = arm - axis * arm.dot(axis);
        let upright = axis.z * axis.z;
        let spread = self.length * self.length + upright * self.width * self.width;
        mass * (off.length_squared() + spread / 12.0)
    }

    /// Level distance from the hinge to the edge.
    fn reach(&self, hinge: DVec3) -> f64 {
        (self.tip - hinge).dot(self.ahead).abs().max(1e-3)
    }
}

/// All fittings of a robot under `draws`, relative to its centre of mass.
pub(super) fn fittings(robot: &Robot, draws: &Draws, centre: DVec3) -> Fittings {
    let mut all = Fittings::default();
    let blade = robot.blade.as_ref().map(|b| {
        let name = &b.item.name;
        let of = |f: &Figure<Length>| draws.of(f, name);
        Drawn {
            tip: DVec3::new(of(&b.tip_x), of(&b.tip_y), of(&b.tip_height)) - centre,
            left: DVec3::Y,
            ahead: DVec3::X,
            width: of(&b.width),
            length: of(&b.length),
            angle: draws.of(&b.angle, name),
        }
    });
    let mut blade_joint = None;
    if let (Some(drawn), Some(b)) = (&blade, &robot.blade) {
        let mass = draws.of(&b.item.mass, &b.item.name);
        if let Some(joint) = mounted(drawn, &b.mount, mass, draws, &b.item.name, centre) {
            blade_joint = Some(all.joints.len());
            all.joints.push(joint);
        }
    }
    let mut output = 0;
    let mut sheets = Vec::new();
    for g in &robot.gadgets {
        let name = &g.item.name;
        let joint = all.joints.len();
        let mut moving = draws.of(&g.moving_mass, name).max(0.0);
        let own = plate(g, draws, centre);
        let drawn = match &g.moved {
            Moved::Blade => {
                blade_joint = Some(joint);
                let mass = robot.blade.as_ref();
                moving += mass.map_or(0.0, |b| draws.of(&b.item.mass, &b.item.name));
                blade.as_ref()
            }
            _ => own.as_ref(),
        };
        let motor = g.drive.as_ref().map(|_| {
            output += 1;
            output - 1
        });
        all.joints
            .push(moved(g, drawn, moving, motor, draws, centre));
        match (&g.moved, &own) {
            (Moved::Plate(p), Some(d)) => {
                let edge = draws.of(&p.edge, name).max(0.0);
                let friction = draws.of(&p.friction, name).max(0.0);
                sheets.push(d.sheet(edge, friction, Some(joint)));
            }
            (
                Moved::Foot {
                    at,
                    apart,
                    friction,
                },
                _,
            ) => {
                let middle = point(at, draws, name) - centre;
                let half = apart.as_ref().map_or(0.0, |a| 0.5 * draws.of(a, name));
                let sides: &[f64] = if half > 0.0 { &[1.0, -1.0] } else { &[0.0] };
                for side in sides {
                    all.feet.push(Foot {
                        at: middle + DVec3::Y * (side * half),
                        friction: draws.of(friction, name).max(0.0),
                        joint: Some(joint),
                    });
                }
            }
            _ => {}
        }
    }
    if let (Some(drawn), Some(b)) = (&blade, &robot.blade) {
        let name = &b.item.name;
        let edge = draws.of(&b.edge, name).max(0.0);
        let friction = draws.of(&b.friction, name).max(0.0);
        all.sheets.push(drawn.sheet(edge, friction, blade_joint));
    }
    all.sheets.extend(sheets);
    all
}

fn point(p: &[Figure<Length>; 3], draws: &Draws, name: &str) -> DVec3 {
    DVec3::new(
        draws.of(&p[0], name),
        draws.of(&p[1], name),
        draws.of(&p[2], name),
    )
}

fn plate(g: &Gadget, draws: &Draws, centre: DVec3) -> Option<Drawn> {
    let Moved::Plate(p) = &g.moved else {
        return None;
    };
    let name = &g.item.name;
    let turn = DQuat::from_rotation_z(draws.of(&p.facing, name));
    Some(Drawn {
        tip: point(&p.tip, draws, name) - centre,
        left: turn * DVec3::Y,
        ahead: turn * DVec3::X,
        width: draws.of(&p.width, name),
        length: draws.of(&p.length, name),
        angle: draws.of(&p.angle, name),
    })
}

/// The joint of a blade by its mount; none where it is rigid or a lifter has it.
fn mounted(
    drawn: &Drawn,
    mount: &Mount,
    mass: f64,
    draws: &Draws,
    name: &str,
    centre: DVec3,
) -> Option<Joint> {
    let hinge_of = |play: &Play| match &play.hinge {
        Some(at) => point(at, draws, name) - centre,
        None => drawn.back(),
    };
    let hinge = match mount {
        Mount::Fixed {
            tip_stiffness: Some(_),
        } => drawn.back(),
        Mount::Hinged(play) | Mount::Sprung { play, .. } => hinge_of(play),
        Mount::Fixed {
            tip_stiffness: None,
        }
        | Mount::Driven => return None,
    };
    let axis = -drawn.left;
    let reach = drawn.reach(hinge);
    let mut joint = Joint {
        hinge,
        axis,
        slides: false,
        inertia: drawn.inertia(mass, hinge, axis).max(LEAST_INERTIA),
        mass,
        lever: drawn.middle() - hinge,
        way: 0.0,
        stops: [-MOST_BEND, MOST_BEND],
        spring: 0.0,
        slack: 0.0,
        damping: 0.0,
        holds: 0.0,
        motor: None,
    };
    let stops = |play: &Play| {
        let [droop, lift] = [&play.droop, &play.lift].map(|f| draws.of(f, name).max(0.0));
        [-droop / reach, lift / reach]
    };
    let springy = |joint: &mut Joint, per_m: f64| {
        joint.spring = per_m.max(1.0) * reach * reach;
        joint.damping = 2.0 * FRAME_DAMPING * (joint.spring * joint.inertia).sqrt();
    };
    match mount {
        Mount::Fixed {
            tip_stiffness: Some(k),
        } => springy(&mut joint, draws.of(k, name)),
        Mount::Hinged(play) => joint.stops = stops(play),
        Mount::Sprung {
            play,
            preload,
            tip_stiffness,
        } => {
            joint.stops = stops(play);
            springy(&mut joint, draws.of(tip_stiffness, name));
            joint.slack = -draws.of(preload, name) * reach / joint.spring;
        }
        _ => {}
    }
    Some(joint)
}

/// The joint of a gadget. `drawn`: the sheet it moves.
fn moved(
    g: &Gadget,
    drawn: Option<&Drawn>,
    mass: f64,
    output: Option<usize>,
    draws: &Draws,
    centre: DVec3,
) -> Joint {
    let name = &g.item.name;
    let slides = g.kind == GadgetKind::Jack;
    let hinge = point(&g.hinge, draws, name) - centre;
    let axis = match (g.kind, drawn) {
        (GadgetKind::Jack, _) => DVec3::NEG_Z,
        (GadgetKind::Arm, _) => DVec3::Z,
        (_, Some(d)) => -d.left,
        (_, None) => DVec3::NEG_Y,
    };
    let travel = match &g.travel {
        Travel::Turn(angle) => draws.of(angle, name),
        Travel::Stroke(length) => draws.of(length, name),
    };
    let mut stops = [travel.min(0.0), travel.max(0.0)];
    if let (Some(droop), Some(d)) = (&g.droop, drawn) {
        stops[0] = -draws.of(droop, name).max(0.0) / d.reach(hinge);
    }
    let own = match drawn {
        _ if slides => mass,
        Some(d) => d.inertia(mass, hinge, axis),
        None => 0.0,
    };
    let mut joint = Joint {
        hinge,
        axis,
        slides,
        inertia: own.max(LEAST_INERTIA),
        mass,
        lever: drawn.map_or(DVec3::ZERO, |d| d.middle() - hinge),
        way: travel,
        stops,
        spring: 0.0,
        slack: 0.0,
        damping: 0.0,
        holds: 0.0,
        motor: None,
    };
    if let (Some(drive), Some(output)) = (&g.drive, output) {
        powered(&mut joint, drive, output, travel, draws, name);
    }
    joint
}

/// Gives a joint its motor: its line behind gear and pinion, what the gear holds, and its rotor.
fn powered(
    joint: &mut Joint,
    drive: &GadgetDrive,
    output: usize,
    travel: f64,
    draws: &Draws,
    name: &str,
) {
    let sheet = laws::motor::Sheet {
        rated_v: draws.of(&drive.rated_voltage, name).max(1e-3),
        free_rad_s: draws.of(&drive.no_load_speed, name).max(1e-3),
        free_a: draws.of(&drive.no_load_current, name),
        stall_nm: draws.of(&drive.stall_torque, name),
        stall_a: draws.of(&drive.stall_current, name).max(1e-6),
    };
    let ratio = draws.of(&drive.gear_ratio, name).max(1e-6);
    let efficiency = draws.of(&drive.gear_efficiency, name).clamp(0.0, 1.0);
    let line = sheet.line(0.0, ratio, efficiency);
    // A pinion of radius r makes force of torque and speed of turning.
    let radius = drive.pinion_radius.as_ref();
    let per_metre = radius.map_or(1.0, |r| 1.0 / draws.of(r, name).max(1e-4));
    let reflected = draws.of(&drive.reflected_inertia, name).max(0.0) * ratio * ratio;
    joint.inertia += reflected * per_metre * per_metre;
    let holds = draws.of(&drive.holds, name).max(0.0);
    joint.holds = holds * line.nm_per_v * sheet.rated_v * per_metre;
    joint.motor = Some(JointMotor {
        output,
        torque_per_volt: line.nm_per_v * per_metre,
        damping: line.nm_s * per_metre * per_metre,
        current_per_volt: line.a_per_v,
        current_per_speed: line.a_s * per_metre,
        band: (BAND * travel.abs()).max(1e-6),
    });
}
