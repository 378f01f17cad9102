//! Cases with a known answer: run-up, stalled push, head-on. And one without: the sharp head-on.

use bout::scene::{SCENE, crossing, head_on, run_up, run_up_slipping, wall_force};
use quantity::{Stream, maths};

use super::Engine;
use super::setup::{Sample, Setup};

/// Errors against the independent references.
#[derive(Debug, Clone, Copy)]
pub(super) struct Accuracy {
    /// Largest error of the run-up speed without wheel slip, % of top speed.
    pub(super) grip: f64,
    /// The same with wheel slip.
    pub(super) slip: f64,
    /// Error of the mean push on a wall where grip limits it, %.
    pub(super) wall_grip: f64,
    /// The same where torque limits it.
    pub(super) wall_torque: f64,
    /// Error of the time until a robot with 60 % of the torque is pushed to x = 0.25 m, %.
    pub(super) weaker: f64,
    /// Error of the time until equal robots are at x = ∓ 0.10 m on their way to each other, %.
    pub(super) equal: f64,
    /// Drift of equal blunt robots in 5 s, mm.
    pub(super) drift_mm: f64,
    /// Of the sharp head-ons of equal robots: won by the first, by the second, by nobody.
    pub(super) sharp: [u32; 3],
}

/// Sharp head-ons of equal robots.
const ENSEMBLE: u64 = 40;
/// Weaker robot's share of the torque.
const WEAK: f64 = 0.6;
/// Robots are noted this often, s.
const EVERY_S: f64 = 0.001;

/// Time between the samples of a trace of `seconds`: an engine may step longer than asked.
fn every_s(trace: &[Sample], seconds: f64) -> f64 {
    seconds / (trace.len() - 1) as f64
}

/// Speeds against the reference, which is given for every millisecond.
fn run_up_error(engine: &dyn Engine, torque: f64, expected: &[f64]) -> Result<f64, String> {
    let trace = engine.trace(&Setup::running(torque), 1.0, EVERY_S)?;
    let every = (1e3 * every_s(&trace, 1.0)).round() as usize;
    let errors = trace
        .iter()
        .zip(expected.iter().step_by(every))
        .map(|(s, v)| (s.robots[0][2] - v).abs());
    Ok(100.0 * errors.fold(0.0, f64::max) / SCENE.top_speed())
}

/// Mean push over the second second against the closed form.
fn wall_error(engine: &dyn Engine, torque: f64) -> Result<f64, String> {
    let trace = engine.trace(&Setup::pushing(torque), 2.0, EVERY_S)?;
    let late = &trace[trace.len() / 2 + 1..];
    let mean = late.iter().map(|s| s.push).sum::<f64>() / late.len() as f64;
    Ok(100.0 * (mean / wall_force(torque) - 1.0).abs())
}

/// When the second robot goes through `target`, against the planar integration; and the drift
/// at the end in mm.
fn crossing_error(
    engine: &dyn Engine,
    torque: [f64; 2],
    target: f64,
) -> Result<(f64, f64), String> {
    let seconds = 5.0;
    let trace = engine.trace(&Setup::facing(torque, false), seconds, EVERY_S)?;
    let found = crossing(
        trace.iter().map(|s| s.robots[1][0]),
        every_s(&trace, seconds),
        target,
    );
    let expected = crossing(head_on(torque).iter().map(|x| x[1]), 1e-3, target);
    let error = match (found, expected) {
        (Some(found), Some(expected)) => 100.0 * (found / expected - 1.0).abs(),
        _ => f64::INFINITY,
    };
    let last = trace
        .last()
        .map_or(0.0, |s| s.robots[0][0] + s.robots[1][0]);
    Ok((error, 500.0 * last.abs()))
}

/// Who is pushed out first, with the first robot off by up to 2 mm and 1 degree.
fn sharp(engine: &dyn Engine) -> Result<[u32; 3], String> {
    let mut won = [0; 3];
    for k in 0..ENSEMBLE {
        let stream = Stream::root(7).named("sharp").numbered(k);
        let off = |what: &str| 2.0 * stream.named(what).uniform() - 1.0;
        let mut setup = Setup::facing([SCENE.stall_torque; 2], true);
        setup.starts[0][1] = 0.002 * off("aside");
        setup.starts[0][2] = off("turned").to_radians();
        let trace = engine.trace(&setup, 5.0, 0.002)?;
        let out = trace.iter().find_map(|s| {
            let far = s.robots.map(|[x, y, _]| maths::hypot(x, y));
            (far[0].max(far[1]) > 0.5 * SCENE.ring_diameter).then(|| usize::from(far[0] > far[1]))
        });
        won[out.unwrap_or(2)] += 1;
    }
    Ok(won)
}

/// Runs all cases.
///
/// # Errors
/// What went wrong, in words.
pub(super) fn measure(engine: &dyn Engine) -> Result<Accuracy, String> {
    let (high, low) = (SCENE.stall_torque, SCENE.low_torque);
    let smooth: Vec<f64> = (0..=1000)
        .map(|ms| run_up(low, 1e-3 * f64::from(ms)))
        .collect();
    let (weaker, _) = crossing_error(engine, [low, WEAK * low], 0.25)?;
    let (equal, drift_mm) = crossing_error(engine, [low; 2], 0.10)?;
    Ok(Accuracy {
        grip: run_up_error(engine, low, &smooth)?,
        slip: run_up_error(engine, high, &run_up_slipping(high))?,
        wall_grip: wall_error(engine, high)?,
        wall_torque: wall_error(engine, low)?,
        weaker,
        equal,
        drift_mm,
        sharp: sharp(engine)?,
    })
}
