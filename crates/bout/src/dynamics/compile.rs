//! From the design and one set of draws to a [`Machine`].

use glam::{DMat3, DVec2, DVec3};
use laws::battery::Chemistry;
use laws::heat::network_of;
use quantity::Draws;
use robot::{Idle, Robot, Side};

use super::fittings::fittings;
use super::joint::Joint;
use super::machine::{
    Foot, Hot, Machine, MotorNumbers, Pack, Prism, Sheet, SpinGroup, WheelNumbers,
};
use super::magnets::magnets;
use super::spinning::spinning;

impl Machine {
    /// The machine of `robot` under `draws`.
    pub(crate) fn compile(robot: &Robot, draws: &Draws) -> Self {
        let properties = robot.mass_properties(draws);
        let centre = properties.centre_m;
        let mass = properties.mass_kg;
        let (groups, group_of_motor, wheels) = spinning(robot, draws, mass, centre);
        let motors = robot
            .motors
            .iter()
            .zip(&group_of_motor)
            .map(|(m, g)| motor(m, *g, robot, draws))
            .collect();
        let mut inertia = properties.inertia_kg_m2;
        for g in &groups {
            inertia.y_axis.y -= g.own_inertia * g.kappa;
        }
        let hull: Vec<Prism> = robot.hull.iter().map(|p| prism(p, draws, centre)).collect();
        let mut fitted = fittings(robot, draws, centre);
        let mut feet = feet(robot, draws, centre, &hull, &fitted.sheets);
        feet.append(&mut fitted.feet);
        let (magnets, mut faces) = magnets(robot, draws, centre);
        feet.append(&mut faces);
        let mut machine = Self::assemble(
            mass,
            inertia,
            centre,
            wheels,
            groups,
            motors,
            pack(robot, draws),
            feet,
            hull,
            fitted.sheets,
        );
        machine.magnets = magnets;
        machine.join(fitted.joints);
        machine.rebound = rebound(robot, draws);
        machine
    }

    /// Gives it joints, and room for what moves by them.
    pub(crate) fn join(&mut self, joints: Vec<Joint>) {
        self.joints = joints;
        let feet = self.feet.iter().filter_map(|f| Some((f.joint?, f.at)));
        let corners = self
            .sheets
            .iter()
            .filter_map(|s| Some((s.joint?, s.corners)));
        let corners = corners.flat_map(|(j, c)| c.map(|c| (j, c)));
        let points: Vec<(usize, DVec3)> = feet.chain(corners).collect();
        for (j, p) in points {
            let joint = &self.joints[j];
            // Wherever it goes, it stays in this sphere.
            let (middle, radius) = if joint.slides {
                (p, joint.stops[1].max(-joint.stops[0]))
            } else {
                (joint.hinge, (p - joint.hinge).length())
            };
            self.reach = self.reach.max(middle.length() + radius);
            let least = (self.middle - self.half).min(middle - radius);
            let most = (self.middle + self.half).max(middle + radius);
            (self.middle, self.half) = (0.5 * (least + most), 0.5 * (most - least));
        }
    }

    /// Puts the pieces together and derives what follows from them.
    #[allow(
        clippy::too_many_arguments,
        reason = "each is one block of the machine"
    )]
    pub(crate) fn assemble(
        mass: f64,
        inertia: DMat3,
        centre: DVec3,
        wheels: Vec<WheelNumbers>,
        groups: Vec<SpinGroup>,
        motors: Vec<MotorNumbers>,
        pack: Pack,
        feet: Vec<Foot>,
        hull: Vec<Prism>,
        sheets: Vec<Sheet>,
    ) -> Self {
        // Everything that can touch lies in this sphere and in this box.
        let mut reach: f64 = 0.0;
        let (mut least, mut most) = (DVec3::ZERO, DVec3::ZERO);
        let mut hold = |p: DVec3, radius: f64| {
            reach = reach.max(p.length() + radius);
            least = least.min(p - radius);
            most = most.max(p + radius);
        };
        for p in &hull {
            for c in &p.outline {
                hold(c.extend(p.low), 0.0);
                hold(c.extend(p.high), 0.0);
            }
        }
        for w in &wheels {
            hold(w.centre, w.radius);
        }
        for c in sheets.iter().flat_map(|s| s.corners) {
            hold(c, 0.0);
        }
        let inverse_inertia = inertia.inverse();
        Self {
            mass,
            inertia,
            inverse_inertia,
            centre,
            wheels,
            groups,
            motors,
            pack,
            feet,
            hull,
            sheets,
            magnets: Vec::new(),
            joints: Vec::new(),
            rebound: [0.0; 2],
            gathers_dirt: false,
            reach,
            middle: 0.5 * (least + most),
            half: 0.5 * (most - least),
        }
    }
}

/// Rebound of the hull, the mean of its pieces, and of the blade.
fn rebound(robot: &Robot, draws: &Draws) -> [f64; 2] {
    let pieces = robot.hull.iter().map(|p| draws.of(&p.rebound, &p.name));
    let hull: f64 = pieces.map(|r| r.clamp(0.0, 1.0)).sum();
    let blade = robot.blade.as_ref();
    let blade = blade.map_or(0.0, |b| draws.of(&b.rebound, &b.item.name));
    [hull / robot.hull.len().max(1) as f64, blade.clamp(0.0, 1.0)]
}

/// A motor's line at the wheel, with the driver's resistance in series (`laws::motor`), and how it
/// warms up.
fn motor(m: &robot::Motor, group: usize, robot: &Robot, draws: &Draws) -> MotorNumbers {
    let chain = laws::motor::chain_of(m, &robot.driver, draws);
    let network = network_of(m, draws);
    let mut numbers = MotorNumbers {
        group,
        channel: match m.side {
            Side::Left => 0,
            Side::Right => 1,
        },
        torque_per_volt: 0.0,
        damping: 0.0,
        current_per_volt: 0.0,
        current_per_speed: 0.0,
        torque_per_ampere: 0.0,
        drag: 0.0,
        back_share: 0.0,
        locks: false,
        hot: Some(Hot { chain, network }),
    };
    numbers.take_line(&chain.line(1.0, 1.0));
    numbers
}

fn pack(robot: &Robot, draws: &Draws) -> Pack {
    let battery = &robot.battery;
    let capacity = draws.of(&battery.capacity, "battery").max(0.0);
    Pack {
        voltage: draws.of(&battery.voltage, "battery"),
        resistance: draws.of(&battery.resistance, "battery"),
        idle_current: laws::supply::idle_a(robot, draws),
        current_limit: draws.of(&robot.driver.current_limit, "driver"),
        coasts: robot.driver.idle == Idle::Coast,
        chemistry: Chemistry::named(&battery.chemistry),
        capacity,
        used: capacity * (1.0 - draws.of(&battery.charge, "battery").clamp(0.0, 1.0)),
    }
}

pub(super) fn point(
    p: &[quantity::Figure<quantity::Length>; 3],
    draws: &Draws,
    name: &str,
) -> DVec3 {
    DVec3::new(
        draws.of(&p[0], name),
        draws.of(&p[1], name),
        draws.of(&p[2], name),
    )
}

fn prism(p: &robot::HullPiece, draws: &Draws, centre: DVec3) -> Prism {
    let outline = p
        .outline
        .iter()
        .map(|c| DVec2::new(c[0] - centre.x, c[1] - centre.y))
        .collect();
    let low = draws.of(&p.from, &p.name) - centre.z;
    let high = draws.of(&p.to, &p.name) - centre.z;
    let friction = draws.of(&p.friction, &p.name).max(0.0);
    Prism::new(outline, low, high.max(low + 1e-3), friction)
}

impl Sheet {
    /// A sheet, a rectangle, with its axes and its blunt stand-in worked out.
    pub(crate) fn new(corners: [DVec3; 4], edge: f64, friction: f64) -> Self {
        let (across, up) = (corners[0] - corners[1], corners[2] - corners[1]);
        let normal = across.cross(up).normalize();
        let normal = if normal.z < 0.0 { -normal } else { normal };
        let outline = [3, 2, 1, 0].map(|i: usize| corners[i].truncate()).to_vec();
        let blunt = Prism::new(
            outline,
            corners[0].z,
            corners[2].z.max(corners[0].z + 1e-3),
            friction,
        );
        Self {
            corners,
            tip: 0.5 * (corners[0] + corners[1]),
            up_slope: up.normalize(),
            left: across.normalize(),
            normal,
            length: up.length(),
            half_width: 0.5 * across.length(),
            radius: 0.5 * (across + up).length(),
            edge,
            friction,
            blunt,
            joint: None,
        }
    }
}

/// Everything pointed that can rest on the ground.
fn feet(
    robot: &Robot,
    draws: &Draws,
    centre: DVec3,
    hull: &[Prism],
    sheets: &[Sheet],
) -> Vec<Foot> {
    let mut feet = Vec::new();
    for s in &robot.skids {
        let at = point(&s.contact, draws, &s.item.name) - centre;
        feet.push(Foot {
            at,
            friction: s.drag(draws),
            joint: None,
        });
    }
    for s in sheets {
        for c in &s.corners[..2] {
            feet.push(Foot {
                at: *c,
                friction: s.friction,
                joint: s.joint,
            });
        }
    }
    for p in hull {
        for c in &p.outline {
            feet.push(Foot {
                at: c.extend(p.low),
                friction: p.friction,
                joint: None,
            });
        }
    }
    feet
}
