//! What the scene does, worked out independently of the solver: closed forms, and a planar
//! integration with its own friction loop where none exists.

use super::scene::SCENE;

/// Speed at time `t` of the run-up without slip: v_max(1 − e^(−t/τ)), τ = m_eff v_max/(4T/r),
/// m_eff = m + 4J/r². `torque`: stall torque of each wheel in N·m.
#[must_use]
pub fn run_up(torque: f64, t: f64) -> f64 {
    let s = SCENE;
    let r = s.wheel_radius;
    let mass = s.mass + 4.0 * s.spin_inertia() / (r * r);
    let tau = mass * s.top_speed() / (4.0 * torque / r);
    s.top_speed() * (1.0 - quantity::maths::exp(-t / tau))
}

/// Push against a wall in N: the smaller of grip and torque.
#[must_use]
pub fn wall_force(torque: f64) -> f64 {
    (SCENE.grip * SCENE.mass * SCENE.gravity).min(4.0 * torque / SCENE.wheel_radius)
}

/// Speeds at every millisecond for one second of a run-up with wheel slip: front and rear axle with
/// load transfer and Coulomb friction, 10 µs steps, friction implicit.
#[must_use]
pub fn run_up_slipping(torque: f64) -> Vec<f64> {
    let s = SCENE;
    let (m, g, r, h, a, mu) = (
        s.mass,
        s.gravity,
        s.wheel_radius,
        s.cg_height,
        s.wheel_x,
        s.grip,
    );
    let (own, j2) = (s.wheel_inertia(), 2.0 * s.spin_inertia());
    let dt = 1e-5;
    let mut v = 0.0;
    let mut w = [0.0; 2];
    let mut f = [0.0_f64; 2];
    let mut out = vec![0.0];
    for k in 0..100_000 {
        let tq = w.map(|w| 2.0 * torque * (1.0 - w / s.no_load_speed));
        for _ in 0..8 {
            let wd = [0, 1].map(|i: usize| (tq[i] - r * f[i]) / j2);
            let dn = (h * (f[0] + f[1]) + 2.0 * own * (wd[0] + wd[1])) / a;
            let load = [((m * g - dn) / 2.0).max(0.0), ((m * g + dn) / 2.0).max(0.0)];
            for i in 0..2 {
                let slip = r * (w[i] + dt * (tq[i] - r * f[i]) / j2) - (v + dt * (f[0] + f[1]) / m);
                let free = f[i] + slip / (dt * (r * r / j2 + 1.0 / m));
                f[i] = free.clamp(-mu * load[i], mu * load[i]);
            }
        }
        for i in 0..2 {
            w[i] += dt * (tq[i] - r * f[i]) / j2;
        }
        v += dt * (f[0] + f[1]) / m;
        if (k + 1) % 100 == 0 {
            out.push(v);
        }
    }
    out
}

/// Places x of two blunt robots that run at each other along a line, at every millisecond for five
/// seconds: equal wheel loads, one-sided inelastic contact, 20 µs steps.
#[must_use]
pub fn head_on(torque: [f64; 2]) -> Vec<[f64; 2]> {
    let s = SCENE;
    let (m, r) = (s.mass, s.wheel_radius);
    let j4 = 4.0 * s.spin_inertia();
    let most = s.grip * m * s.gravity;
    let dt = 2e-5;
    let sign = [1.0, -1.0];
    let mut x = [-s.start_x, s.start_x];
    let (mut v, mut w, mut f, mut c) = ([0.0; 2], [0.0; 2], [0.0_f64; 2], 0.0_f64);
    let mut out = vec![x];
    for k in 0..250_000 {
        let tq = [0, 1].map(|i: usize| 4.0 * torque[i] * (1.0 - w[i] / s.no_load_speed));
        let gap = x[1] - x[0] - s.box_size[0];
        for _ in 0..12 {
            for i in 0..2 {
                let slip = r * (w[i] + dt * (tq[i] - r * f[i]) / j4)
                    - (sign[i] * v[i] + dt * (f[i] - c) / m);
                f[i] = (f[i] + slip / (dt * (r * r / j4 + 1.0 / m))).clamp(-most, most);
            }
            let close = (v[0] + dt * (f[0] - c) / m) - (v[1] - dt * (f[1] - c) / m);
            c = (c + (close - gap.max(0.0) / dt) / (dt * 2.0 / m)).max(0.0);
        }
        for i in 0..2 {
            w[i] += dt * (tq[i] - r * f[i]) / j4;
            v[i] += sign[i] * dt * (f[i] - c) / m;
            x[i] += dt * v[i];
        }
        if (k + 1) % 50 == 0 {
            out.push(x);
        }
    }
    out
}

/// When a path sampled every `every_s` seconds first goes through `target`, between its samples
/// along a straight line; `None` where it never does.
#[must_use]
pub fn crossing(path: impl IntoIterator<Item = f64>, every_s: f64, target: f64) -> Option<f64> {
    let mut before: Option<f64> = None;
    for (k, x) in path.into_iter().enumerate() {
        if let Some(b) = before
            && (b < target) != (x < target)
        {
            return Some(every_s * ((k - 1) as f64 + (target - b) / (x - b)));
        }
        before = Some(x);
    }
    None
}
