//! Braking at the rim: how fast may it be when a sensor comes over the border?
//!
//! With the motors reversed the driven tyres give what the motors give if they hold that under the
//! load they then have, else what they give sliding; whatever else touches drags. The load shifts
//! forward by the deceleration, and it falls off the wheels as the front leaves the ring: a blade
//! or foot past the rim carries nothing any more, and the body comes to rest on the rim itself.
//! Deceleration along the way and v²/2 = ∫ a ds give the speed.

use glam::{DVec2, DVec3};
use quantity::{Draws, maths};
use robot::{Robot, Sensor, SensorKind};

use crate::bearing::{Load, Spring};
use crate::drive::grip_n;
use crate::edge::Way;
use crate::footing::{Support, SupportKind};
use crate::{Drive, Footing};

/// Places along the way at which the deceleration is worked out.
const PLACES: usize = 16;
/// Steps of the damped search for a deceleration that agrees with its own load transfer, each
/// halving the error; a place starts from the one before it.
const STEPS: u32 = 10;

/// What else is needed of the robot and its program.
pub(crate) struct Context<'a> {
    pub(crate) robot: &'a Robot,
    pub(crate) footing: &'a Footing,
    /// The drive at the effort with which the program reverses.
    pub(crate) reversing: &'a Drive,
    /// Edge sensors the program reads.
    pub(crate) read: &'a [String],
    pub(crate) border_m: f64,
}

impl Context<'_> {
    /// What can carry load with the rim at `rim_x` in the design frame: supports that are still
    /// over the ring, and the lowest part of the body across the rim.
    fn feet(&self, sense: f64, rim_x: f64, draws: &Draws) -> Vec<Support> {
        let on_ring = |s: &&Support| sense * s.at_m.x <= sense * rim_x;
        let mut feet: Vec<Support> = (self.footing.supports.iter().filter(on_ring))
            .cloned()
            .collect();
        for piece in &self.robot.hull {
            let xs = || piece.outline.iter().map(|c| c[0]);
            let (least, most) = (
                xs().fold(f64::INFINITY, f64::min),
                xs().fold(f64::NEG_INFINITY, f64::max),
            );
            if (least..most).contains(&rim_x) {
                let half = piece.outline.iter().map(|c| c[1].abs()).fold(0.0, f64::max);
                let low = draws.of(&piece.from, &piece.name);
                let friction = draws.of(&piece.friction, &piece.name);
                add_pair(&mut feet, rim_x, half, low, friction);
            }
        }
        if let Some(b) = &self.robot.blade {
            let n = &b.item.name;
            let angle = draws.of(&b.angle, n);
            let run = draws.of(&b.length, n) * maths::cos(angle);
            let behind = draws.of(&b.tip_x, n) - rim_x;
            if (0.0..run).contains(&behind) {
                let low = draws.of(&b.tip_height, n) + behind * maths::tan(angle);
                let half = 0.5 * draws.of(&b.width, n);
                add_pair(&mut feet, rim_x, half, low, draws.of(&b.friction, n));
            }
        }
        feet
    }

    /// Deceleration in m/s² with the rim at `rim_x`, searched from `guess`; 0 where it tips over
    /// the rim. The motors count with their push at standstill, which is a little less than they
    /// give while still turning the other way.
    fn deceleration(&self, sense: f64, rim_x: f64, guess: f64, draws: &Draws) -> f64 {
        let f = self.footing;
        let feet = self.feet(sense, rim_x, draws);
        let springs: Vec<Spring> = feet.iter().map(Support::spring).collect();
        let load = f.load(|at| sense * at.x <= sense * rim_x);
        let mut a = guess;
        for _ in 0..STEPS {
            let shift = sense * f.centre_m.z * a * f.mass_kg / load.whole_n;
            let centre = load.centre + DVec2::new(shift, 0.0);
            let Some((loads, _)) = (Load { centre, ..load }).on(&springs) else {
                // Braking as hard as that would tip it over its nose: less.
                a *= 0.5;
                continue;
            };
            let (mut grip, mut slid, mut drag) = (0.0, 0.0, 0.0);
            for (s, load) in feet.iter().zip(&loads) {
                if s.kind.is_driven() {
                    let [peak, sliding] = grip_n(self.robot, f.surface, s, *load, draws);
                    grip += peak;
                    slid += sliding;
                } else {
                    drag += s.friction * load;
                }
            }
            let motors = self.reversing.motors_push_n;
            let tyres = if motors <= grip {
                motors
            } else {
                slid.min(motors)
            };
            a = 0.5 * (a + (tyres + drag) / f.mass_kg);
        }
        a
    }

    /// The way forward (`sense` 1) or backward (−1).
    pub(crate) fn way(&self, sense: f64, draws: &Draws) -> Option<Way> {
        let axle = sense * self.footing.driven_axle_x_m()?;
        let must_stay = axle.max(sense * self.footing.centre_m.x);
        let x = |s: &Sensor| sense * draws.of(&s.item.at[0], &s.item.name);
        let sensor = self
            .robot
            .sensors
            .iter()
            .filter(|s| matches!(s.kind, SensorKind::Reflectance { .. }))
            .filter(|s| self.read.contains(&s.item.name) && x(s) > axle)
            .max_by(|a, b| x(a).total_cmp(&x(b)))?;
        let n = &sensor.item.name;
        let board = &self.robot.board;
        let between_looks_s =
            1.0 / draws.of(&sensor.rate, n).max(1e-3) + draws.of(&board.loop_time, "board");
        let delay_s =
            between_looks_s + draws.of(&sensor.latency, n) + draws.of(&board.output_delay, "board");
        let lead_m = x(sensor) - must_stay;
        let distance_m = (self.border_m + lead_m).max(0.0);
        let rim_x = x(sensor) + self.border_m;
        let mut guess = 0.5 * maths::STANDARD_GRAVITY;
        let along: Vec<f64> = (0..PLACES)
            .map(|k| {
                let gone = distance_m * (k as f64 + 0.5) / PLACES as f64;
                guess = self.deceleration(sense, sense * (rim_x - gone), guess, draws);
                guess
            })
            .collect();
        let safe_m_s = fastest(&along, distance_m, delay_s);
        let braking_m = distance_m - safe_m_s * delay_s;
        Some(Way {
            sensor: n.clone(),
            lead_over_axle_m: x(sensor) - axle,
            lead_m,
            distance_m,
            delay_s,
            deceleration_m_s2: if braking_m > 0.0 {
                0.5 * safe_m_s * safe_m_s / braking_m
            } else {
                0.0
            },
            safe_m_s,
            between_looks_s,
        })
    }
}

fn add_pair(feet: &mut Vec<Support>, x: f64, half_width: f64, low: f64, friction: f64) {
    for y in [half_width, -half_width] {
        feet.push(Support {
            kind: SupportKind::Body,
            name: String::new(),
            at_m: DVec3::new(x, y, low),
            friction,
            stiffness: 1.0,
            width_m: 0.0,
            load_n: 0.0,
        });
    }
}

/// Highest speed in m/s that stops within `distance_m` after `delay_s`, with the deceleration
/// `along` the way at evenly spaced places (middles of equal parts): v²/2 = ∫ a ds from v·t to the
/// end, by bisection.
fn fastest(along: &[f64], distance_m: f64, delay_s: f64) -> f64 {
    let part = distance_m / along.len().max(1) as f64;
    let work_from = |start: f64| -> f64 {
        (along.iter().enumerate())
            .map(|(k, a)| {
                let end = part * (k as f64 + 1.0);
                a * (end - start.max(end - part)).max(0.0)
            })
            .sum()
    };
    let (mut low, mut high) = (0.0, 100.0);
    for _ in 0..60 {
        let v: f64 = 0.5 * (low + high);
        if 0.5 * v * v <= work_from(v * delay_s) {
            low = v;
        } else {
            high = v;
        }
    }
    low
}

#[cfg(test)]
mod tests {
    use super::fastest;

    /// 25 mm of border, 6 ms of delay, 0.8 g: 0.581 m/s; 60 mm: 0.924 m/s (positive root of
    /// d = v t + v²/2a, closed form).
    #[test]
    fn at_an_even_deceleration_it_is_the_closed_form() {
        let even = [0.8 * quantity::maths::STANDARD_GRAVITY; 16];
        for (distance, expected) in [(0.025, 0.581), (0.060, 0.924)] {
            let v = fastest(&even, distance, 0.006);
            assert!((v - expected).abs() < 1e-3, "{v} for {expected}");
            let closed = laws::braking::safe_speed_m_s(distance, 0.006, even[0]);
            assert!((v - closed).abs() < 1e-9, "{v} for {closed}");
        }
    }

    #[test]
    fn a_way_on_which_nothing_brakes_adds_nothing() {
        let half: Vec<f64> = [[5.0; 8], [0.0; 8]].concat();
        let (long, short) = (fastest(&half, 0.06, 0.01), fastest(&[5.0; 8], 0.03, 0.01));
        assert!((long - short).abs() < 1e-9);
        assert!(fastest(&[0.0; 4], 0.05, 0.01) < 1e-9);
    }
}
