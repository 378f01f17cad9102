//! Runs the reference scene in Rapier and prints what it did as plain numbers, for
//! `validation engines`.
//!
//! ```text
//! scene-rapier trace SCENE SETTLE STEPS EVERY   full effort after SETTLE steps without; every EVERY
//!                                               steps "x y v" of each robot's centre of mass, then
//!                                               the push on the wall in N
//! scene-rapier scramble SCENE SCRIPT PASSES     processor seconds of each pass over the script
//! ```
//!
//! SCENE is a file with a word and a number on each line.

use std::collections::BTreeMap;
use std::f32::consts::FRAC_PI_2;

use cpu_time::ThreadTime;
use rapier3d::prelude::*;

/// The script has a row for every 10 ms.
const ROW_S: f32 = 0.01;
/// Both robots are put back this often in a pass.
const ROUNDS: usize = 5;

const RING: u32 = 1;
const FLOOR: u32 = 2;
const PLATE: u32 = 4;
const WHEEL: u32 = 8;
const EDGE: u32 = 16;

/// The words of a scene file.
struct Words(BTreeMap<String, f32>);

impl Words {
    fn read(path: &str) -> Self {
        let text = std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{path}: {e}"));
        let line = |l: &str| {
            let (word, number) = l.split_once(' ')?;
            Some((word.to_owned(), number.parse().ok()?))
        };
        Self(text.lines().filter_map(line).collect())
    }

    fn of(&self, word: &str) -> f32 {
        *self.0.get(word).unwrap_or_else(|| panic!("no {word}"))
    }

    fn is_set(&self, word: &str) -> bool {
        self.of(word) > 0.0
    }

    fn count(&self, word: &str) -> usize {
        self.of(word) as usize
    }
}

/// How a robot's wheels hang on it.
enum Axles {
    Impulse([ImpulseJointHandle; 4]),
    Multibody([MultibodyJointHandle; 4]),
}

struct Robot {
    body: RigidBodyHandle,
    axles: Axles,
    torque: f32,
    no_load_speed: f32,
    cg_height: f32,
}

struct Scene {
    world: PhysicsWorld,
    robots: Vec<Robot>,
    wall: Option<ColliderHandle>,
}

/// Every pair has the smaller friction of the two: 1 tyre, 0.3 chassis, 0.15 blade, 0 wall.
fn solid(shape: ColliderBuilder, friction: f32, own: u32, meets: u32) -> ColliderBuilder {
    let [own, meets] = [own, meets].map(Group::from_bits_truncate);
    shape
        .density(0.0)
        .friction(friction)
        .friction_combine_rule(CoefficientCombineRule::Min)
        .collision_groups(InteractionGroups::new(own, meets, InteractionTestMode::And))
}

impl Scene {
    fn build(words: &Words) -> Self {
        let mut world = PhysicsWorld::new();
        world.gravity = Vector::new(0.0, 0.0, -words.of("gravity"));
        let set = &mut world.integration_parameters;
        set.dt = words.of("dt");
        set.length_unit = words.of("length_unit");
        set.num_solver_iterations = words.count("iterations");
        set.num_internal_pgs_iterations = 1;
        set.num_internal_stabilization_iterations = 1;
        set.max_ccd_substeps = 0;
        set.contact_recycling = false;
        set.contact_clustering = false;
        set.warmstart_joints = true;
        set.friction_in_bias_pass = false;
        set.friction_model = FrictionModel::Coulomb;
        set.contact_softness = SpringCoefficients::new(words.of("contact_hz"), 10.0);
        set.static_contact_softness = SpringCoefficients::new(words.of("static_hz"), 10.0);
        let height = words.of("ring_height");
        let all = PLATE | WHEEL | EDGE;
        let ground = || ColliderBuilder::new(SharedShape::halfspace(Vector::Z));
        if words.is_set("plane") {
            let top = ground().translation(Vector::new(0.0, 0.0, height));
            world.insert_collider(solid(top, 1.0, RING, all), None);
        } else {
            world.insert_collider(solid(ground(), 1.0, FLOOR, PLATE | WHEEL), None);
            let top = ColliderBuilder::cylinder(height / 2.0, words.of("ring_diameter") / 2.0)
                .translation(Vector::new(0.0, 0.0, height / 2.0))
                .rotation(Vector::new(FRAC_PI_2, 0.0, 0.0));
            world.insert_collider(solid(top, 1.0, RING, all), None);
        }
        let wall = words.is_set("wall").then(|| {
            let block = ColliderBuilder::cuboid(0.05, 0.2, 0.1).translation(Vector::new(
                0.05,
                0.0,
                height + 0.1,
            ));
            world.insert_collider(solid(block, 0.0, PLATE, PLATE), None)
        });
        let robots = (1..=words.count("robots"))
            .map(|n| robot(words, &mut world, n))
            .collect();
        Self {
            world,
            robots,
            wall,
        }
    }

    /// A force-based motor: torque = stall torque · (effort − speed / no-load speed).
    fn drive(&mut self, robot: usize, effort: [f32; 2]) {
        let r = &self.robots[robot];
        let speed = r.no_load_speed;
        let factor = r.torque / speed;
        for k in 0..4 {
            let target = effort[k % 2] * speed;
            match &r.axles {
                Axles::Impulse(joints) => {
                    let joint = self.world.impulse_joints.get_mut(joints[k], false);
                    let data = &mut joint.expect("it was inserted").data;
                    data.set_motor_velocity(JointAxis::AngX, target, factor);
                }
                Axles::Multibody(joints) => {
                    let found = self.world.multibody_joints.get_mut(joints[k]);
                    let (body, link) = found.expect("it was inserted");
                    let link = body.link_mut(link).expect("it was inserted");
                    link.joint
                        .data
                        .set_motor_velocity(JointAxis::AngX, target, factor);
                }
            }
        }
    }

    fn drive_all(&mut self, effort: f32) {
        for i in 0..self.robots.len() {
            self.drive(i, [effort; 2]);
        }
    }

    fn print(&self) {
        for r in &self.robots {
            let body = &self.world.bodies[r.body];
            let x = body.translation() + *body.rotation() * Vector::new(0.0, 0.0, r.cg_height);
            print!("{} {} {} ", x.x, x.y, body.linvel().x);
        }
        let push: f32 = self.wall.map_or(0.0, |wall| {
            let pairs = self.world.narrow_phase.contact_pairs_with(wall);
            pairs.map(|p| p.total_impulse().x.abs()).sum()
        });
        println!("{}", push / self.world.integration_parameters.dt);
    }
}

fn robot(words: &Words, world: &mut PhysicsWorld, n: usize) -> Robot {
    // The ring is common, all else is the robot's own.
    let of = |word: &str| words.of(&format!("{word}{n}"));
    let plate = PLATE | FLOOR | WHEEL;
    let (radius, width, wheel_mass) = (of("wheel_radius"), of("wheel_width"), of("wheel_mass"));
    let (bx, by, bz) = (of("box_x"), of("box_y"), of("box_z"));
    let mass = of("mass") - 4.0 * wheel_mass;
    let middle = (of("mass") * of("cg_height") - 4.0 * wheel_mass * radius) / mass;
    let inertia = Vector::new(by * by + bz * bz, bx * bx + bz * bz, bx * bx + by * by);
    let at = Vector::new(of("x"), of("y"), words.of("ring_height"));
    let pose = Pose::new(at, Vector::new(0.0, 0.0, of("yaw")));
    let properties =
        MassProperties::new(Vector::new(0.0, 0.0, middle), mass, inertia * (mass / 12.0));
    let builder = RigidBodyBuilder::dynamic().pose(pose).can_sleep(false);
    let body = world.insert_body(builder.additional_mass_properties(properties));
    let chassis = ColliderBuilder::cuboid(bx / 2.0, by / 2.0, bz / 2.0).translation(Vector::new(
        0.0,
        0.0,
        of("clearance") + bz / 2.0,
    ));
    world.insert_collider(
        solid(chassis, of("body_friction"), PLATE, plate),
        Some(body),
    );
    if words.is_set("blade") {
        let (half, thick) = (of("blade_length") / 2.0, of("blade_thick") / 2.0);
        let (across, slope) = (of("blade_width") / 2.0, of("blade_angle_rad"));
        let (sin, cos) = slope.sin_cos();
        let (x, z) = (
            bx / 2.0 + half * cos,
            of("blade_gap") + thick * cos + half * sin,
        );
        let friction = of("blade_friction");
        let sheet = ColliderBuilder::cuboid(half, across, thick)
            .translation(Vector::new(x, 0.0, z))
            .rotation(Vector::new(0.0, slope, 0.0));
        world.insert_collider(solid(sheet, friction, PLATE, plate), Some(body));
        // The edge rests on the ring on two balls of the sheet's thickness.
        for side in [-1.0, 1.0] {
            let tip = Vector::new(
                x + half * cos - thick * sin,
                side * (across - thick),
                of("blade_gap") + thick,
            );
            let ball = ColliderBuilder::ball(thick).translation(tip);
            world.insert_collider(solid(ball, friction, EDGE, RING), Some(body));
        }
    }
    let multibody = words.is_set("multibody");
    let cross = wheel_mass / 12.0 * (3.0 * radius * radius + width * width);
    // Joints by impulses know no armature: there the rotor is added to the wheel.
    let rotor = if multibody { 0.0 } else { of("armature") };
    let spin = wheel_mass * radius * radius / 2.0 + rotor;
    let torque = of("torque");
    let (mut by_impulse, mut by_body) = (Vec::new(), Vec::new());
    for (sx, sy) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)] {
        let hub = Vector::new(sx * of("wheel_x"), sy * of("wheel_y"), radius);
        let properties =
            MassProperties::new(Vector::ZERO, wheel_mass, Vector::new(cross, spin, cross));
        let builder = RigidBodyBuilder::dynamic()
            .pose(pose * Pose::from_translation(hub))
            .can_sleep(false);
        let wheel = world.insert_body(builder.additional_mass_properties(properties));
        let tyre = solid(
            ColliderBuilder::ball(radius),
            of("grip"),
            WHEEL,
            RING | FLOOR | PLATE,
        );
        world.insert_collider(tyre, Some(wheel));
        let joint = RevoluteJointBuilder::new(Vector::Y)
            .local_anchor1(hub)
            .local_anchor2(Vector::ZERO)
            .contacts_enabled(false)
            .motor_model(MotorModel::ForceBased)
            .motor_velocity(0.0, torque / of("no_load_speed"));
        if multibody {
            let handle = world.multibody_joints.insert(body, wheel, joint, true);
            by_body.push(handle.expect("a tree"));
        } else {
            by_impulse.push(world.insert_impulse_joint(body, wheel, joint));
        }
    }
    let axles = if let Some(first) = by_body.first() {
        let found = world.multibody_joints.get_mut(*first);
        let whole = found.expect("it was inserted").0;
        whole.damping_mut().fill(0.0);
        // After the six freedoms of the chassis.
        whole.armature_mut().rows_mut(6, 4).fill(of("armature"));
        Axles::Multibody(by_body.try_into().expect("four wheels"))
    } else {
        Axles::Impulse(by_impulse.try_into().expect("four wheels"))
    };
    Robot {
        body,
        axles,
        torque,
        no_load_speed: of("no_load_speed"),
        cg_height: of("cg_height"),
    }
}

fn trace(words: &Words, settle: usize, steps: usize, every: usize) {
    let mut scene = Scene::build(words);
    scene.drive_all(0.0);
    for _ in 0..settle {
        scene.world.step();
    }
    scene.drive_all(1.0);
    for k in 0..=steps {
        if k % every == 0 {
            scene.print();
        }
        scene.world.step();
    }
}

fn scramble(words: &Words, script: &str, passes: usize) {
    let text = std::fs::read_to_string(script).unwrap_or_else(|e| panic!("{script}: {e}"));
    let row = |l: &str| -> Vec<f32> { l.split(',').filter_map(|x| x.parse().ok()).collect() };
    let rows: Vec<Vec<f32>> = text.lines().map(row).collect();
    let steps = (ROW_S / words.of("dt")).round() as usize;
    for _ in 0..passes {
        let mut used = 0.0;
        for round in rows.chunks(rows.len() / ROUNDS) {
            // Building a world is not stepping it.
            let mut scene = Scene::build(words);
            let start = ThreadTime::now();
            for u in round {
                scene.drive(0, [u[0], u[1]]);
                scene.drive(1, [u[2], u[3]]);
                for _ in 0..steps {
                    scene.world.step();
                }
            }
            used += start.elapsed().as_secs_f64();
        }
        println!("{used:.9}");
    }
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let count = |s: &str| s.parse().unwrap_or_else(|_| panic!("{s} is no number"));
    match words[..] {
        ["trace", scene, settle, steps, every] => {
            trace(
                &Words::read(scene),
                count(settle),
                count(steps),
                count(every),
            );
        }
        ["scramble", scene, script, passes] => {
            scramble(&Words::read(scene), script, count(passes));
        }
        _ => panic!("trace SCENE SETTLE STEPS EVERY | scramble SCENE SCRIPT PASSES"),
    }
}
