//! Edge sensors against the level of `on border`: what they read, and how often that is wrong.

use laws::reflect::{FLOOR_REFLECTANCE, faded, open_share};
use quantity::{Draws, HALF_WIDTH_95, Stream, maths};
use robot::{Finding, Ring, Robot, Sensor, SensorKind, Severity};
use tactic::Tactic;

/// Imagined robots over which a share of wrong readings is taken.
const ROBOTS: u32 = 199;
/// How far the nose is lifted in m where "lifted" is asked: an opponent's blade under it (common practice,
/// no source).
const LIFTED_M: f64 = 0.02;
/// The best level is rounded to this share of full scale.
const STEP: f64 = 0.05;
/// Share of border readings that may be missed without a word: four in a row are then missed hardly ever,
/// and a loop takes a few looks on its way over the border.
const MISSES: f64 = 0.05;
/// Share of readings on the plain ring that may say border without a word. A false edge throws away a
/// push, so it may be rarer.
const ALARMS: f64 = 0.005;

/// What a sensor reads over something, as shares of full scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// Nominal.
    pub reads: f64,
    /// Between these it reads nineteen times of twenty, over what is not known of the sensor, the light of
    /// the hall, dirt and its own noise.
    pub between: [f64; 2],
}

/// An edge sensor and what its program makes of its readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Threshold {
    /// Names of the sensors that read alike: same part, same height.
    pub sensors: Vec<String>,
    /// Reading above which the program takes it for the border, share of full scale.
    pub level: f64,
    /// Height over the ring in m.
    pub height_m: f64,
    /// Over the plain ring.
    pub ring: Level,
    /// Over the border.
    pub border: Level,
    /// Past the rim, over the floor.
    pub off: Level,
    /// Over the border, lifted.
    pub lifted: Level,
    /// Share of readings on the border that do not reach the level.
    pub misses: f64,
    /// Share of readings on the plain ring that reach it.
    pub alarms: f64,
    /// Share of readings over the plain ring, lifted, that reach it.
    pub lifted_alarms: f64,
    /// Share of imagined robots that miss at least half of their readings on the border.
    pub blind: f64,
    /// The level half way between what it reads over ring and border at worst.
    pub best: Best,
}

/// A level and what goes wrong with it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Best {
    /// Share of full scale.
    pub level: f64,
    /// Share of readings on the border that do not reach it.
    pub misses: f64,
    /// Share of readings on the plain ring that reach it.
    pub alarms: f64,
}

/// One imagined sensor in one imagined hall.
#[derive(Debug, Clone, Copy)]
struct Case {
    height_m: f64,
    fading_m: f64,
    /// Light of the hall, share of full scale.
    light: f64,
    /// Share of its brightness that the border has kept.
    kept: f64,
    /// Standard deviation of a reading.
    sigma: f64,
}

impl Case {
    /// Reading over a surface that sends back this share, looked at from `above_m`.
    fn reads(&self, reflectance: f64, above_m: f64) -> f64 {
        let own = faded(above_m, self.fading_m) * reflectance;
        (own + self.light * open_share(above_m)).min(1.0)
    }

    fn ring(&self, ring: &Ring, lift_m: f64) -> f64 {
        self.reads(ring.surface_reflectance, self.height_m + lift_m)
    }

    fn border(&self, ring: &Ring, lift_m: f64) -> f64 {
        self.reads(ring.border_reflectance * self.kept, self.height_m + lift_m)
    }

    fn off(&self, ring: &Ring) -> f64 {
        self.reads(FLOOR_REFLECTANCE, self.height_m + ring.height_m)
    }

    /// Chance that a reading around `reads` is above `level`.
    fn above(&self, reads: f64, level: f64) -> f64 {
        if self.sigma <= 1e-9 {
            return f64::from(u8::from(reads > level));
        }
        let z = (reads - level) / (self.sigma * core::f64::consts::SQRT_2);
        0.5 * (1.0 + maths::erf(z))
    }
}

/// Everything that decides what an edge sensor reads, each as value and spreads.
fn figures(s: &Sensor) -> Option<[[u64; 3]; 3]> {
    let SensorKind::Reflectance {
        noise,
        fading_height,
        ..
    } = &s.kind
    else {
        return None;
    };
    let bits = |[a, b, c]: [f64; 3]| [a, b, c].map(f64::to_bits);
    let z = &s.item.at[2];
    Some([
        bits([noise.si(), noise.unsure(), noise.varies()]),
        bits([
            fading_height.si(),
            fading_height.unsure(),
            fading_height.varies(),
        ]),
        bits([z.si(), z.unsure(), z.varies()]),
    ])
}

/// The imagined cases, the nominal one first.
fn cases(sensor: &Sensor, ring: &Ring) -> Vec<Case> {
    let SensorKind::Reflectance {
        noise,
        fading_height,
        ..
    } = &sensor.kind
    else {
        return Vec::new();
    };
    let name = &sensor.item.name;
    let case = |draws: &Draws, [light, whole, here]: [f64; 3]| Case {
        height_m: draws.of(&sensor.item.at[2], name).max(0.0),
        fading_m: draws.of(fading_height, name).max(1e-4),
        light: (ring.hall.light + light * ring.hall.light_varies / HALF_WIDTH_95).max(0.0),
        // As in a bout: dirt of the whole ring and of this place, each half of a normal.
        kept: (1.0
            - ring.hall.border_dirt * f64::midpoint(whole.abs(), here.abs()) / HALF_WIDTH_95)
            .clamp(0.0, 1.0),
        sigma: draws.of(noise, name).abs() / HALF_WIDTH_95,
    };
    let stream = Stream::root(0).named("threshold");
    let drawn = (0..ROBOTS).map(|k| {
        let key = stream.numbered(u64::from(k));
        let luck = ["light", "whole", "here"].map(|n| key.named(n).normal().clamp(-3.0, 3.0));
        case(&Draws::keyed(key), luck)
    });
    core::iter::once(case(&Draws::nominal(), [0.0; 3]))
        .chain(drawn)
        .collect()
}

fn level(cases: &[Case], reads: impl Fn(&Case) -> f64) -> Level {
    // Noise is spread evenly over the cases: the k-th of n at its own quantile, in mixed order.
    let mut all: Vec<f64> = cases[1..]
        .iter()
        .zip(0_u32..)
        .map(|(c, k)| {
            let turn = f64::from((k * 89) % ROBOTS);
            let u = (turn + 0.5) / f64::from(ROBOTS);
            (reads(c) + c.sigma * quantile(u)).clamp(0.0, 1.0)
        })
        .collect();
    all.sort_by(f64::total_cmp);
    let cut = all.len() / 40;
    Level {
        reads: reads(&cases[0]),
        between: [all[cut], all[all.len() - 1 - cut]],
    }
}

/// The quantile of a standard normal by bisection.
fn quantile(share: f64) -> f64 {
    let (mut low, mut high) = (-5.0, 5.0);
    for _ in 0..24 {
        let middle = 0.5 * (low + high);
        if 0.5 * (1.0 + maths::erf(middle * core::f64::consts::FRAC_1_SQRT_2)) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

fn share(cases: &[Case], of: impl Fn(&Case) -> f64) -> f64 {
    cases[1..].iter().map(of).sum::<f64>() / f64::from(ROBOTS)
}

impl Threshold {
    /// Every edge sensor that the program asks whether it is on the border; sensors that read alike once.
    ///
    /// Assumed: the robot stands level, the sensor looks straight down, its spot is wholly over what it is
    /// asked about, and full scale is what white right below it sends back.
    #[must_use]
    pub fn of(robot: &Robot, ring: &Ring, tactic: &Tactic) -> Vec<Self> {
        let mut found: Vec<(&Sensor, Self)> = Vec::new();
        let asked = |s: &&Sensor| {
            matches!(s.kind, SensorKind::Reflectance { .. }) && tactic.asks_on_border(&s.item.name)
        };
        for sensor in robot.sensors.iter().filter(asked) {
            let alike =
                |s: &Sensor| s.item.part == sensor.item.part && figures(s) == figures(sensor);
            if let Some((_, t)) = found.iter_mut().find(|(s, _)| alike(s)) {
                t.sensors.push(sensor.item.name.clone());
            } else {
                found.push((sensor, Self::of_one(sensor, ring, tactic)));
            }
        }
        found.into_iter().map(|f| f.1).collect()
    }

    fn of_one(sensor: &Sensor, ring: &Ring, tactic: &Tactic) -> Self {
        let cases = cases(sensor, ring);
        let at = |level: f64| Best {
            level,
            misses: share(&cases, |c| 1.0 - c.above(c.border(ring, 0.0), level)),
            alarms: share(&cases, |c| c.above(c.ring(ring, 0.0), level)),
        };
        let ours = at(f64::from(tactic.border_level()) / 1000.0);
        let (over_ring, over_border) = (
            level(&cases, |c| c.ring(ring, 0.0)),
            level(&cases, |c| c.border(ring, 0.0)),
        );
        let middle = f64::midpoint(over_ring.between[1], over_border.between[0]);
        let best = at(((middle / STEP).round() * STEP).clamp(STEP, 1.0 - STEP));
        Self {
            sensors: vec![sensor.item.name.clone()],
            level: ours.level,
            height_m: sensor.item.at[2].si(),
            ring: over_ring,
            border: over_border,
            off: level(&cases, |c| c.off(ring)),
            lifted: level(&cases, |c| c.border(ring, LIFTED_M)),
            misses: ours.misses,
            alarms: ours.alarms,
            lifted_alarms: share(&cases, |c| c.above(c.ring(ring, LIFTED_M), ours.level)),
            blind: share(&cases, |c| {
                f64::from(u8::from(c.border(ring, 0.0) <= ours.level))
            }),
            best,
        }
    }

    /// What is to be said about it.
    pub(crate) fn findings(&self, robot: &Robot) -> Vec<Finding> {
        let names = self.names();
        let of = |s: &&Sensor| s.item.name == self.sensors[0];
        let place = robot.sensors.iter().find(of).map(|s| s.item.place.clone());
        let percent = |x: f64| format!("{:.0} %", 100.0 * x);
        let blind = self.border.reads <= self.level;
        let always = self.ring.reads > self.level;
        if !blind && !always && self.misses < MISSES && self.alarms < ALARMS {
            return Vec::new();
        }
        let what = if blind || self.misses >= MISSES {
            format!(
                "{names} may not tell the border: of 100 such robots {:.0} read less than the program asks for \
                 over it.",
                100.0 * self.blind.max(self.misses)
            )
        } else {
            format!(
                "{names} may see a border on the plain ring: the odds are {} a reading.",
                odds(self.alarms)
            )
        };
        let better = self.best.misses + self.best.alarms < 0.5 * (self.misses + self.alarms);
        let mend = if better {
            format!(
                "Read it over the ring and over the border, and set the constant `border-level` half way \
                 between. On paper that is {}: the odds of missing the border are then {} a reading, those of \
                 a border that is not there {}.",
                percent(self.best.level),
                odds(self.best.misses),
                odds(self.best.alarms)
            )
        } else {
            "Set the sensor nearer to the ring, or take one for a longer distance: no level tells ring from \
             border well here."
                .into()
        };
        vec![Finding {
            name: "edge-threshold",
            severity: if blind || always {
                Severity::Fault
            } else {
                Severity::Warning
            },
            what,
            why: format!(
                "{:.0} mm above the ring it reads {} of full scale over the border (19 of 20 between {} and \
                 {}) and {} over the ring ({} to {}): brightness ÷ (1 + (height ÷ fading height)²) and stray \
                 light. The program asks for more than {}: all in all the odds that a reading over the \
                 border misses that are {}.",
                1e3 * self.height_m,
                percent(self.border.reads),
                percent(self.border.between[0]),
                percent(self.border.between[1]),
                percent(self.ring.reads),
                percent(self.ring.between[0]),
                percent(self.ring.between[1]),
                percent(self.level),
                odds(self.misses),
            ),
            mend,
            place,
        }]
    }

    /// Its sensors' names for people.
    #[must_use]
    pub fn names(&self) -> String {
        let quoted: Vec<String> = self.sensors.iter().map(|n| format!("\"{n}\"")).collect();
        match quoted.split_last() {
            Some((last, [])) => last.clone(),
            Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
            None => String::new(),
        }
    }
}

/// A share in words that do not claim too much.
fn odds(share: f64) -> String {
    if share < 0.001 {
        "less than 1 in 1000".into()
    } else if share < 0.2 {
        format!("about 1 in {:.0}", 1.0 / share)
    } else {
        format!("{:.0} %", 100.0 * share)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn case(height_m: f64, fading_m: f64, sigma: f64) -> Case {
        Case {
            height_m,
            fading_m,
            light: 0.0,
            kept: 1.0,
            sigma,
        }
    }

    /// A reading of 0.60 ± 0.05 (19 of 20) is above 0.55 in 39 of 40 cases, above 0.60 in half.
    #[test]
    fn noise_gives_the_odds_of_a_normal() {
        let c = case(0.0, 0.005, 0.05 / HALF_WIDTH_95);
        assert!((c.above(0.60, 0.55) - 0.975).abs() < 1e-3);
        assert!((c.above(0.60, 0.60) - 0.5).abs() < 1e-12);
        let still = case(0.0, 0.005, 0.0);
        assert!(still.above(0.6, 0.55) > 0.5 && still.above(0.5, 0.55) < 0.5);
        assert!((quantile(0.975) - HALF_WIDTH_95).abs() < 1e-3);
    }

    /// 3 mm up with a fading height of 5 mm leave 0.735 of a border of 0.85: 0.625; lifted by 20 mm 0.04.
    #[test]
    fn height_takes_most_of_the_border() {
        let c = case(0.003, 0.005, 0.0);
        assert!((c.reads(0.85, 0.003) - 0.625).abs() < 1e-3);
        assert!((c.reads(0.85, 0.023) - 0.0384).abs() < 1e-3);
    }
}
