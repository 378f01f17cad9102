//! Everything that turns: spin groups, the group of each motor, wheels, and the patches of tracks.

use glam::DVec3;
use quantity::{Draws, maths};
use robot::{Robot, Tyre};

use super::compile::point;
use super::machine::{SpinGroup, WheelNumbers};

/// Radial frequency of a tyre under its share of the robot, in Hz. Usual 40 to 100 for rubber
/// rings of centimetre size; lower squats visibly, higher needs a shorter step.
const TYRE_HZ: f64 = 60.0;
/// Damping ratio of that motion. Below 0.3 the robot hops; above 1 tyres feel like putty.
const TYRE_DAMPING: f64 = 0.7;
/// A track bears as much as this many wheels and is as stiff.
pub(super) const WHEELS_OF_A_TRACK: f64 = 2.0;

/// A group nothing has joined yet.
const EMPTY: SpinGroup = SpinGroup {
    inertia: 0.0,
    own_inertia: 0.0,
    kappa: 0.0,
};

/// Spin groups, the group of each motor, and the wheels. Motors that turn one shaft and their
/// wheels or tracks share a group; a free wheel or track has its own.
pub(super) fn spinning(
    robot: &Robot,
    draws: &Draws,
    mass: f64,
    centre: DVec3,
) -> (Vec<SpinGroup>, Vec<usize>, Vec<WheelNumbers>) {
    let mut groups: Vec<SpinGroup> = Vec::new();
    let mut of_motor = vec![0; robot.motors.len()];
    for (i, _) in robot
        .motors
        .iter()
        .enumerate()
        .filter(|m| m.1.with.is_none())
    {
        of_motor[i] = groups.len();
        groups.push(EMPTY);
    }
    for (i, m) in robot.motors.iter().enumerate() {
        if let Some(other) = m.with {
            of_motor[i] = of_motor[other];
        }
        let ratio = draws.of(&m.gear_ratio, &m.item.name);
        let reflected = draws.of(&m.reflected_inertia, &m.item.name) * ratio * ratio;
        groups[of_motor[i]].inertia += reflected;
    }
    let bearers = robot.wheels.len() as f64 + WHEELS_OF_A_TRACK * robot.tracks.len() as f64;
    let share = mass / bearers.max(1.0);
    let mut wheels = Vec::new();
    for (i, w) in robot.wheels.iter().enumerate() {
        let name = &w.item.name;
        let own = robot.wheel_spin_inertia(i, draws);
        let turns = 1.0 / draws.of(&w.ratio, name).max(1e-6);
        let (group, turns) = join(&mut groups, w.motor.map(|m| of_motor[m]), turns, own);
        wheels.push(WheelNumbers {
            centre: point(&w.item.at, draws, name) - centre,
            radius: draws.of(&w.radius, name),
            run_out: draws.of(&w.run_out, name).abs(),
            run_out_phase: 7.0 * draws.normal(&format!("run-out phase/{name}")),
            half_width: 0.5 * draws.of(&w.width, name).max(0.0),
            turns,
            driven: w.motor.is_some(),
            ..tread(&w.tyre, draws, name, group, share)
        });
    }
    for (i, t) in robot.tracks.iter().enumerate() {
        let name = &t.item.name;
        let own = t.spin_inertia(draws);
        let turns = 1.0 / draws.of(&t.ratio, name).max(1e-6);
        let (group, turns) = join(&mut groups, t.motor.map(|m| of_motor[m]), turns, own);
        let middle = point(&t.item.at, draws, name) - centre;
        let length = draws.of(&t.length, name).max(0.0);
        for patch in t.patches() {
            let bears = WHEELS_OF_A_TRACK * share * patch.share;
            let whole = tread(&t.tyre, draws, name, group, bears);
            wheels.push(WheelNumbers {
                centre: middle + DVec3::new(patch.ahead * length, 0.0, 0.0),
                radius: draws.of(&t.radius, name),
                track: Some(i),
                half_width: 0.5 * draws.of(&t.width, name).max(0.0),
                turns,
                driven: t.motor.is_some(),
                // The file says what holds for the whole track.
                reference_load: (whole.reference_load * patch.share).max(1e-3),
                adhesion: whole.adhesion * patch.share,
                ..whole
            });
        }
    }
    for g in &mut groups {
        // A motor without a wheel has no inertia of its own worth the name: keep the division safe.
        g.inertia = g.inertia.max(1e-9);
        g.kappa = g.own_inertia / g.inertia;
    }
    (groups, of_motor, wheels)
}

/// Adds what turns `turns` times for one of its group, with the spin inertia `own`, to the group of its
/// motor or to one of its own, where it turns as the group does.
fn join(
    groups: &mut Vec<SpinGroup>,
    of_motor: Option<usize>,
    turns: f64,
    own: f64,
) -> (usize, f64) {
    let turns = of_motor.map_or(1.0, |_| turns);
    let group = of_motor.unwrap_or(groups.len());
    if group == groups.len() {
        groups.push(EMPTY);
    }
    groups[group].own_inertia += turns * own;
    groups[group].inertia += turns * turns * own;
    (group, turns)
}

/// What a tyre brings, under its share `bears` of the robot's mass, in kg.
fn tread(tyre: &Tyre, draws: &Draws, name: &str, group: usize, bears: f64) -> WheelNumbers {
    let omega = maths::TAU * TYRE_HZ;
    WheelNumbers {
        centre: DVec3::ZERO,
        radius: 0.0,
        run_out: 0.0,
        run_out_phase: 0.0,
        group,
        track: None,
        half_width: 0.0,
        turns: 1.0,
        driven: false,
        grip_peak: draws.of(&tyre.grip_peak, name).max(0.0),
        grip_sliding: draws.of(&tyre.grip_sliding, name).max(0.0),
        reference_load: draws.of(&tyre.reference_load, name).max(1e-3),
        load_exponent: draws.of(&tyre.load_exponent, name),
        adhesion: draws.of(&tyre.adhesion, name).max(0.0),
        dirt: None,
        rolling: draws.of(&tyre.rolling, name).max(0.0),
        stiffness: bears * omega * omega,
        damping: 2.0 * TYRE_DAMPING * bears * omega,
    }
}
