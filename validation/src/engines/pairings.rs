//! Eight pairings of blunt robots, open loop and face to face: who is pushed how far.

use std::fmt::Write as _;

use bout::scene::{SCENE, Scene};

use super::Engine;
use super::setup::Setup;

/// Both push for so long, s.
const PUSH_S: f64 = 0.5;
/// Heading of the section in the table.
pub(super) const HEADING: &str = "\n## Eight open-loop pairings\n";

/// What differs, and the two robots with their stall torques.
struct Pairing {
    what: &'static str,
    robots: [(Scene, f64); 2],
}

/// The pairings, from the one that statics says goes farthest. Torque of 50 mN·m spins the wheels, of
/// 10 mN·m does not. Where wheels spin the answer hangs on how much weight the faces, which rub, carry
/// from one robot to the other: up to 2 · 0.3 of the push. The steps between pairings are larger.
fn pairings() -> [Pairing; 8] {
    let (high, low) = (SCENE.stall_torque, SCENE.low_torque);
    let heavy = |mass, torque| (Scene { mass, ..SCENE }, torque);
    let grips = |grip| (Scene { grip, ..SCENE }, high);
    let wheels = |wheel_radius, torque| {
        (
            Scene {
                wheel_radius,
                ..SCENE
            },
            torque,
        )
    };
    let apart = |wheel_x| (Scene { wheel_x, ..SCENE }, low);
    let plain = |torque| (SCENE, torque);
    [
        (
            "mass 1 kg against 0.4 kg, wheels spin",
            heavy(1.0, high),
            heavy(0.4, high),
        ),
        (
            "grip 1.0 against 0.75, wheels spin",
            grips(1.0),
            grips(0.75),
        ),
        ("torque 10 against 6 mN·m", plain(low), plain(0.6 * low)),
        ("torque 10 against 8 mN·m", plain(low), plain(0.8 * low)),
        (
            "wheelbase 60 against 44 mm, torque 10 mN·m",
            apart(0.030),
            apart(0.022),
        ),
        (
            "wheels 15 against 12 mm, torque 10 mN·m",
            plain(low),
            wheels(0.012, low),
        ),
        (
            "mass 0.7 against 0.4 kg, torque 6.5 against 10 mN·m",
            heavy(0.7, 0.65 * low),
            heavy(0.4, low),
        ),
        (
            "grip 0.55 against 1.0, torque 50 against 20 mN·m",
            grips(0.55),
            (SCENE, 2.0 * low),
        ),
    ]
    .map(|(what, one, two)| Pairing {
        what,
        robots: [one, two],
    })
}

/// How far in mm the second robot of each pairing is pushed back; below 0: the first is.
///
/// # Errors
/// What went wrong, in words.
pub(super) fn measure(engine: &dyn Engine) -> Result<[f64; 8], String> {
    let mut pushed = [0.0; 8];
    for (pushed, pairing) in pushed.iter_mut().zip(pairings()) {
        let [one, two] = pairing.robots;
        let setup = Setup::touching([one.0, two.0], [one.1, two.1]);
        let trace = engine.trace(&setup, PUSH_S, PUSH_S)?;
        let middle = |s: &super::Sample| 500.0 * (s.robots[0][0] + s.robots[1][0]);
        let (first, last) = (trace.first(), trace.last());
        *pushed = last.map_or(0.0, middle) - first.map_or(0.0, middle);
    }
    Ok(pushed)
}

/// The pairings from the one in which the second robot is pushed farthest.
fn order(pushed: &[f64; 8]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..pushed.len()).collect();
    order.sort_by(|a, b| pushed[*b].total_cmp(&pushed[*a]));
    order
}

/// How many neighbours in the order of `ours` another engine has the other way round.
pub(super) fn swapped(ours: &[f64; 8], other: &[f64; 8]) -> usize {
    let order = order(ours);
    let pairs = order.windows(2);
    pairs.filter(|p| other[p[0]] <= other[p[1]]).count()
}

/// The section of the table: engines with their settings and what they found; the first is ours.
pub(super) fn section(found: &[([String; 2], [f64; 8])]) -> String {
    let mut out = String::from(HEADING);
    let _ = writeln!(
        out,
        "\nTwo blunt robots of the scene face to face, both at full effort for {PUSH_S} s: how far the \
         second has been pushed back, in mm (below 0: the first has).\n"
    );
    for (letter, pairing) in ('a'..).zip(pairings()) {
        let _ = writeln!(out, "- {letter}: {}", pairing.what);
    }
    let _ = writeln!(
        out,
        "\n| Engine | Settings | a | b | c | d | e | f | g | h | Order |\n|---|---|{}",
        "---|".repeat(9)
    );
    for ([name, settings], pushed) in found {
        let cells = pushed.map(|p| format!("{p:.1}"));
        let same = match swapped(&found[0].1, pushed) {
            0 => "as ours".into(),
            n => format!("{n} neighbours swapped"),
        };
        let _ = writeln!(
            out,
            "| {name} | {settings} | {} | {same} |",
            cells.join(" | ")
        );
    }
    out
}
