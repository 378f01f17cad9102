//! What a slap does: half a sine wave of force at the front, and how the frame rings after it.

use ::frame::{Modes, Point as At, Tap};

use super::sketch::{Point, Sketch, Watch};

/// Speed of running into a wall that gives the slap's impulse, m/s: small robots meet at several times
/// that. Common practice, no source.
const SPEED_M_S: f64 = 0.3;
/// How long the slap lasts, s: hard bodies of a few hundred grams. Common practice, no source.
const LASTS_S: f64 = 5e-3;
/// Share of the greatest movement below which it counts as over.
const OVER: f64 = 0.1;
/// Values of a ring over time.
const VALUES: usize = 240;
/// A ring is told for this many times as long as the longest takes to die away.
const TOLD: f64 = 1.25;

/// A point that was listened to.
#[derive(Debug, Clone, PartialEq)]
pub struct Ring {
    /// What it is called.
    pub name: String,
    /// How it moves up and down over time, m, at even steps of [`Slap::step_s`].
    pub moves_m: Vec<f64>,
    /// Greatest movement either way, m.
    pub peak_m: f64,
    /// Time after which it stays below a tenth of that, s.
    pub dies_s: f64,
}

/// The slap.
#[derive(Debug, Clone, PartialEq)]
pub struct Slap {
    /// Where, in words.
    pub at: String,
    /// Impulse, N·s.
    pub impulse_ns: f64,
    /// How long the force lasts, s.
    pub lasts_s: f64,
    /// From one value of a ring to the next, s.
    pub step_s: f64,
    /// What was listened to: the middle of the front edge if there is one, then the sensor that moves
    /// most.
    pub rings: Vec<Ring>,
}

/// Where a slap hits: the middle of the front, else the bumper point farthest ahead.
fn front(sketch: &Sketch) -> Option<&Point> {
    let ahead = |p: &&Point| p.watch == Watch::Bumper && p.outward[0] > 0.5;
    let body = |p: &&Point| {
        !sketch
            .points
            .iter()
            .any(|o| o.watch == Watch::Tip && o.name == p.name)
    };
    // A blade's edge gives way alone; a hit on the body shakes everything.
    let nearest_middle = |a: &&Point, b: &&Point| a.at[1].abs().total_cmp(&b.at[1].abs());
    (sketch
        .points
        .iter()
        .filter(ahead)
        .filter(body)
        .min_by(nearest_middle))
    .or_else(|| sketch.points.iter().filter(ahead).min_by(nearest_middle))
}

fn towards(sketch: &Sketch, p: &Point, towards: [f64; 3]) -> At {
    let at = sketch.nodes[p.node].at;
    At {
        node: p.node,
        offset_m: [0, 1, 2].map(|k: usize| p.at[k] - at[k]),
        towards,
    }
}

/// The slap straight in at the front of a robot of `mass_kg`.
pub(super) fn slap(sketch: &Sketch, modes: &Modes, mass_kg: f64) -> Option<Slap> {
    let hit = front(sketch)?;
    let tap = Tap {
        on: towards(sketch, hit, hit.outward.map(|x| -x)),
        impulse_n_s: mass_kg * SPEED_M_S,
        lasts_s: LASTS_S,
        damping: sketch.damping,
    };
    let up = [0.0, 0.0, 1.0];
    let tip = (sketch.points.iter()).find(|p| p.watch == Watch::Tip && p.middle);
    let sensors = sketch.points.iter().filter(|p| p.watch == Watch::Sensor);
    let listened: Vec<&Point> = tip.into_iter().chain(sensors).collect();
    let at: Vec<At> = listened.iter().map(|p| towards(sketch, p, up)).collect();
    let heard = modes.tap(&tap, &at, OVER).ok()?;
    let mut all: Vec<_> = listened.iter().zip(heard).collect();
    // The tip stays first; of the sensors the one that moves most follows.
    let tips = usize::from(tip.is_some());
    all[tips..].sort_by(|a, b| b.1.peak_m.total_cmp(&a.1.peak_m));
    all.truncate(tips + 1);
    let longest = (all.iter().filter_map(|(_, h)| h.quiet_s)).fold(LASTS_S, f64::max);
    let until = TOLD * longest;
    Some(Slap {
        at: hit.name.clone(),
        impulse_ns: tap.impulse_n_s,
        lasts_s: LASTS_S,
        step_s: until / (VALUES - 1) as f64,
        rings: (all.into_iter())
            .filter_map(|(p, h)| {
                Some(Ring {
                    name: p.name.clone(),
                    moves_m: h.over(until, VALUES),
                    peak_m: h.peak_m,
                    dies_s: h.quiet_s?,
                })
            })
            .collect(),
    })
}
