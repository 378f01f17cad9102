//! Wild bouts: random robots, places and efforts, audited every step by what is not the solver.
//!
//! Overlaps are measured between the chassis as boxes, by the geometry library of another engine,
//! from the poses alone: overlaps that the solver counts as given count here. Blades are sheets
//! without thickness; their overlap with the other's chassis is counted apart.

use bout::scene::{Bench, Build, Placement, SCENE, Scene};
use parry3d_f64::math::{Pose, Rotation, Vector};
use parry3d_f64::query;
use parry3d_f64::shape::{Cuboid, Shape, Triangle};
use quantity::{Stream, maths};

use super::table::Mark;

/// Bouts.
const BOUTS: u64 = 2000;
/// Longest bout, ms.
const LONGEST_MS: u32 = 5000;
/// Deeper than this share of the smaller footprint counts as deep.
const DEEP: f64 = 0.01;
/// Deeper than this share counts as passed through.
const THROUGH: f64 = 0.25;
/// Energy created within a step, as a share of both robots' ½ m v_max².
const CREATED: f64 = 0.002;
/// Share of the efforts kept every 10 ms: a quarter second of memory.
const KEPT: f64 = 0.96;

/// What a bout came to.
#[derive(Debug, Clone, Copy, Default)]
struct Audit {
    not_finite: bool,
    /// Deepest overlap of the chassis as a share of the smaller footprint.
    depth: f64,
    /// Deepest overlap of a blade with the other's chassis, likewise.
    blade: f64,
    /// Most energy created in a step, as a share of both robots' ½ m v_max².
    created: f64,
}

/// All bouts together.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Wild {
    bouts: u32,
    not_finite: u32,
    through: u32,
    deep: u32,
    blade_deep: u32,
    created: u32,
    deepest: f64,
    most_created: f64,
}

/// A robot of any size, weight, drive and blade that still stands on its wheels.
fn robot(stream: Stream) -> Build {
    let between = |what: &str, low: f64, high: f64| {
        let share = stream.named(what).uniform();
        low + share * (high - low)
    };
    let box_size = [
        between("length", 0.06, 0.2),
        between("width", 0.06, 0.2),
        between("height", 0.02, 0.1),
    ];
    let mass = between("mass", 0.1, 3.0);
    let axles = 1 + stream.named("axles").uniform().mul_add(3.0, 0.0) as u32;
    let wheel_radius = between("radius", 0.008, 0.03);
    let clearance = between("clearance", 0.001, 0.005);
    let wheels = 2.0 * f64::from(axles);
    let spread = if axles == 1 { -0.3 } else { 0.15 };
    let stall = between("push", 0.3, 3.0) * mass * SCENE.gravity * wheel_radius / wheels;
    let scene = Scene {
        mass,
        cg_height: clearance + between("cg", 0.2, 0.6) * box_size[2],
        wheel_mass: 0.03 * mass / wheels,
        wheel_radius,
        wheel_width: 0.1 * box_size[1],
        axles,
        wheel_x: between("axle", spread, 0.4) * box_size[0],
        wheel_y: 0.45 * box_size[1],
        armature: between("rotor", 2e-6, 3e-5) * mass,
        box_size,
        clearance,
        blade_length: between("blade", 0.2, 0.5) * box_size[0],
        blade_width: between("edge", 0.5, 1.0) * box_size[1],
        blade_angle_rad: between("slope", 15.0, 45.0).to_radians(),
        blade_gap: between("gap", 2e-4, 1e-3),
        grip: between("grip", 0.5, 1.5),
        blade_friction: between("slip", 0.1, 0.3),
        body_friction: between("rub", 0.2, 0.5),
        no_load_speed: between("speed", 0.3, 2.0) / wheel_radius,
        ..SCENE
    };
    Build {
        scene,
        torque: stall,
        blade: stream.named("has a blade").uniform() < 0.7,
    }
}

/// Radius in plan around the origin that holds the whole robot, m.
fn radius(robot: &Build) -> f64 {
    let [x, y, _] = robot.scene.box_size;
    maths::hypot(0.5 * x + robot.scene.blade_length, 0.5 * y)
}

fn pose(at: &Placement, offset: [f64; 3]) -> Pose {
    let [x, y, z, w] = at.quaternion;
    let axes = at.axes;
    let place = [0, 1, 2].map(|k| {
        at.origin[k] + offset[0] * axes[0][k] + offset[1] * axes[1][k] + offset[2] * axes[2][k]
    });
    Pose::from_parts(
        Vector::new(place[0], place[1], place[2]),
        Rotation::from_xyzw(x, y, z, w),
    )
}

fn overlap(a: (&Pose, &dyn Shape), b: (&Pose, &dyn Shape)) -> f64 {
    match query::contact(a.0, a.1, b.0, b.1, 0.0) {
        Ok(Some(contact)) => (-contact.dist).max(0.0),
        _ => 0.0,
    }
}

/// Depth of the chassis in each other, and of the blades in the other's chassis, m.
fn depths(robots: &[Build; 2], at: [Placement; 2]) -> (f64, f64) {
    let boxes = robots.map(|r| {
        let [x, y, z] = r.scene.box_size;
        Cuboid::new(Vector::new(0.5 * x, 0.5 * y, 0.5 * z))
    });
    let middles = [0, 1].map(|i: usize| {
        let s = &robots[i].scene;
        pose(&at[i], [0.0, 0.0, s.clearance + 0.5 * s.box_size[2]])
    });
    let chassis = overlap((&middles[0], &boxes[0]), (&middles[1], &boxes[1]));
    let mut blade: f64 = 0.0;
    for i in 0..2 {
        if !robots[i].blade {
            continue;
        }
        let corner = robots[i].scene.blade_corners().map(Vector::from_array);
        let own = pose(&at[i], [0.0; 3]);
        for half in [[0, 1, 2], [0, 2, 3]] {
            let [a, b, c] = half.map(|k| corner[k]);
            let sheet = Triangle::new(a, b, c);
            blade = blade.max(overlap((&own, &sheet), (&middles[1 - i], &boxes[1 - i])));
        }
    }
    (chassis, blade)
}

fn wild(seed: u64) -> Audit {
    let stream = Stream::root(seed).named("wild");
    let robots = [0, 1].map(|i| robot(stream.named("robot").numbered(i)));
    let span = robots.map(|r| radius(&r));
    let mut ring = SCENE;
    if span[0].max(span[1]) > 0.16 {
        ring.ring_diameter *= 2.0;
    }
    let mut bench = Bench::new(&ring, robots);
    bench.keep_account();
    for (seat, side) in [(0, -1.0), (1, 1.0)] {
        let own = stream.named("place").numbered(seat as u64);
        let away = span[seat] + 0.01 + 0.05 * own.named("x").uniform();
        let aside = 0.1 * (own.named("y").uniform() - 0.5);
        let facing = std::f64::consts::TAU * own.named("heading").uniform();
        bench.put_down(seat, side * away, aside, facing);
    }
    bench.settle();
    let footprint = robots.map(|r| r.scene.box_size[0].max(r.scene.box_size[1]));
    let footprint = footprint[0].min(footprint[1]);
    let full = robots.map(|r| 0.5 * r.scene.mass * r.scene.top_speed() * r.scene.top_speed());
    let full = full[0] + full[1];
    let mut audit = Audit::default();
    let mut drive = [0.0_f64; 4];
    let mut before = bench.energy().0;
    let mut now = 0;
    while now < LONGEST_MS {
        for (k, side) in drive.iter_mut().enumerate() {
            let noise = stream
                .named("effort")
                .numbered(u64::from(now) * 4 + k as u64);
            *side = KEPT * *side + (1.0 - KEPT * KEPT).sqrt() * noise.normal();
        }
        let u = drive.map(|v| (0.55 + 0.5 * v).clamp(-1.0, 1.0));
        let mut left = 10;
        while left > 0 {
            left -= bench.step([[u[0], u[1]], [u[2], u[3]]], left);
            if !bench.finite() {
                audit.not_finite = true;
                return audit;
            }
            let (energy, work) = bench.energy();
            audit.created = audit.created.max((energy - before - work) / full);
            before = energy;
            let at = [0, 1].map(|seat| bench.placement(seat));
            let apart = (0..2).map(|k| at[0].origin[k] - at[1].origin[k]);
            let apart = apart.map(|d| d * d).sum::<f64>().sqrt();
            if apart < span[0] + span[1] + 0.2 {
                let (chassis, blade) = depths(&robots, at);
                audit.depth = audit.depth.max(chassis / footprint);
                audit.blade = audit.blade.max(blade / footprint);
            }
        }
        if bench.on_floor(0) || bench.on_floor(1) {
            return audit;
        }
        now += 10;
    }
    audit
}

/// Fights all wild bouts on two threads.
pub(super) fn measure() -> Wild {
    let audits = std::thread::scope(|scope| {
        let halves = [0, 1].map(|half| {
            let seeds = (half..BOUTS).step_by(2);
            scope.spawn(move || seeds.map(wild).collect::<Vec<Audit>>())
        });
        halves.map(|h| h.join().expect("a wild bout does not panic"))
    });
    let mut sum = Wild::default();
    for a in audits.iter().flatten() {
        sum.bouts += 1;
        sum.not_finite += u32::from(a.not_finite);
        sum.through += u32::from(a.depth > THROUGH);
        sum.deep += u32::from(a.depth > DEEP);
        sum.blade_deep += u32::from(a.blade > DEEP);
        sum.created += u32::from(a.created > CREATED);
        sum.deepest = sum.deepest.max(a.depth);
        sum.most_created = sum.most_created.max(a.created);
    }
    sum
}

impl Wild {
    /// Its figures and where they should be.
    pub(super) fn marks(&self) -> [Mark; 4] {
        let count = |n: u32| Some(f64::from(n));
        let deep = 100.0 * f64::from(self.deep) / f64::from(self.bouts);
        [
            Mark::most(
                "Wild bouts, not finite",
                "",
                count(self.not_finite),
                0.0,
                None,
            ),
            Mark::most(
                "Wild bouts, passed through",
                "",
                count(self.through),
                0.0,
                None,
            ),
            Mark::most(
                "Wild bouts, deeper than 1 %",
                "% of bouts",
                Some(deep),
                0.2,
                None,
            ),
            Mark::most(
                "Wild bouts, energy created",
                "",
                count(self.created),
                0.0,
                None,
            ),
        ]
    }

    /// In words.
    pub(super) fn words(&self) -> String {
        format!(
            "{} wild bouts of at most 5 s: {} not finite; chassis boxes deeper in each other than \
             25 % of the smaller footprint (passed through) in {}, than 1 % in {}, at most {:.2} %; \
             a blade, taken as a sheet, deeper in the other's chassis than 1 % in {} (not a target); \
             energy created within a step beyond 0.2 % of both robots' full kinetic energy in {}, at \
             most {:.3} %.",
            self.bouts,
            self.not_finite,
            self.through,
            self.deep,
            100.0 * self.deepest,
            self.blade_deep,
            self.created,
            100.0 * self.most_created
        )
    }
}
