//! Hits between robots: how much of the speed comes back.
//!
//! Contacts are heavily damped, so a hit takes all closing speed within a millisecond. Afterwards
//! Newton's law of restitution gives e times the speed of approach back (e: share that comes back),
//! by impulses along the normals alone. Several contacts of one hit are swept until they agree.

use glam::DVec3;

use super::body::Body;
use super::contact::{Contact, Rows, WORLD};
use super::machine::Machine;

/// Hits slower than this in m/s do not rebound: what presses and slides has to stay quiet. Usual
/// 0.02 to 0.1; lower makes pushing robots chatter, higher makes soft hits dead.
pub(super) const LEAST_APPROACH: f64 = 0.05;
/// Visits of each contact when they spring apart. Four corners of two boxes agree to 1e-6 after 30; only hits
/// pay for them.
const SWEEPS: u32 = 30;

/// Notes how fast contacts close in, in m/s (next to nothing where they press already), and how much of
/// that comes back. Tyres and parts that give way on a joint send nothing back.
pub(super) fn note_approach(contacts: &mut [Contact], machines: &[Machine; 2], bodies: &[Body; 2]) {
    for c in contacts {
        c.rebound = 0.0;
        c.approach = 0.0;
        if c.jointed || c.tread.is_some() || c.b >= WORLD {
            continue;
        }
        let [a, b] = [c.a, c.b].map(|i: usize| &bodies[i]);
        let on_a = a.v + a.w.cross(a.r * c.anchor_a);
        let on_b = b.v + b.w.cross(b.r * c.anchor_b);
        c.approach = c.normal.dot(on_b - on_a);
        if c.approach > LEAST_APPROACH {
            let [p, q] = parts(c.key).map(|(robot, part)| machines[robot].rebound[part]);
            c.rebound = (p * q).sqrt();
        }
    }
}

/// Which parts a contact between robots of this name joins: robot, and 0 for its hull, 1 for its blade.
fn parts(key: u32) -> [(usize, usize); 2] {
    let owner = usize::from(key & 1 << 26 != 0);
    match key >> 28 {
        5 | 6 => [(owner, 1), (1 - owner, 0)],
        8 | 9 => [(0, 1), (1, 1)],
        _ => [(0, 0), (1, 0)],
    }
}

/// Whether anything may be hit in this millisecond that sends speed back.
pub(super) fn may_hit(contacts: &[Contact]) -> bool {
    contacts.iter().any(|c| c.rebound > 0.0)
}

/// Energy of motion of both robots in J.
pub(super) fn motion(machines: &[Machine; 2], bodies: &[Body; 2]) -> f64 {
    let of = |i: usize| bodies[i].energy(&machines[i], DVec3::ZERO);
    of(0) + of(1)
}

/// Lets what was hit in this millisecond spring apart, but never with more energy of motion than
/// `most` J, that from before the hit: contacts that face each other, as on a blade stuck in a gap, can
/// ask for speeds that no finite impulses give.
pub(super) fn spring_apart(
    contacts: &mut [Contact],
    rows: &[Rows],
    machines: &[Machine; 2],
    bodies: &mut [Body; 2],
    most: f64,
) {
    let hit = |c: &Contact| c.approach > LEAST_APPROACH && c.impulse[0] > 0.0 && c.rebound > 0.0;
    if !contacts.iter().any(hit) {
        return;
    }
    let speeds = [0, 1].map(|i: usize| (bodies[i].v, bodies[i].w));
    let at_rest = motion(machines, bodies);
    for _ in 0..SWEEPS {
        for (c, rows) in contacts.iter_mut().zip(rows).filter(|(c, _)| hit(c)) {
            c.spring_apart(rows, bodies, c.rebound * c.approach);
        }
    }
    let share = affordable(machines, bodies, &speeds, at_rest, most);
    if share < 1.0 {
        for (b, (v, w)) in bodies.iter_mut().zip(speeds) {
            b.v = v + share * (b.v - v);
            b.w = w + share * (b.w - w);
        }
    }
    for c in contacts.iter_mut().filter(|c| c.sprang > 0.0) {
        c.sprang *= share;
        c.impulse[0] += c.sprang;
        // Its spring has nothing left to give: all that comes back is in the speeds.
        c.measure(bodies);
        c.offset = c.gap.min(0.0);
    }
}

/// Share of the change from `speeds` to those of `bodies` after which the energy of motion is `most`: the
/// energy is a parabola in that share, `start` at 0.
fn affordable(
    machines: &[Machine; 2],
    bodies: &[Body; 2],
    speeds: &[(DVec3, DVec3); 2],
    start: f64,
    most: f64,
) -> f64 {
    let end = motion(machines, bodies);
    if end <= most {
        return 1.0;
    }
    let mut square = 0.0;
    for ((b, m), (v, w)) in bodies.iter().zip(machines).zip(speeds) {
        let turn = b.r.transpose() * (b.w - *w);
        square += 0.5 * (m.mass * (b.v - *v).length_squared() + turn.dot(m.inertia * turn));
    }
    let slope = end - start - square;
    let room = (most - start).max(0.0);
    let root = (slope * slope + 4.0 * square * room).max(0.0).sqrt();
    ((root - slope) / (2.0 * square.max(1e-300))).clamp(0.0, 1.0)
}
