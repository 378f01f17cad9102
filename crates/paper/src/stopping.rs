//! Braking at the rim: how fast may it be when a sensor comes over the border?
//!
//! With the motors reversed the driven tyres give what the motors give if they hold that under the
//! load they then have, else what they give sliding; whatever else touches drags. The load shifts
//! forward by the deceleration, and it falls off the wheels as the front leaves the ring: a blade
//! or foot past the rim carries nothing any more, and the body comes to rest on the rim itself,
//! there also driven on by its slope. Deceleration along the way and v²/2 = ∫ a ds give the speed.
//!
//! As the nose sinks past the rim the body turns at ω = v dθ/ds, θ its tilt at rest at each place.
//! When the next foot lands it goes on turning about that; whether it comes back or goes over its
//! nose is in `overturn`. That bounds the speed at each place.

use glam::{DVec2, DVec3};
use quantity::{Draws, maths};
use robot::{Robot, Sensor, SensorKind};

use crate::bearing::{Load, Spring};
use crate::drive::Hold;
use crate::edge::{Braking, Way, stops};
use crate::footing::{Support, SupportKind};
use crate::overturn::{Turning, most_rad_s};
use crate::{Drive, Footing};

/// Places along the way at which the deceleration is worked out.
const PLACES: usize = 32;
/// Most steps of the damped search for a deceleration that agrees with its own load transfer, each
/// halving the error; a place starts from the one before it.
const STEPS: u32 = 10;
/// Deceleration in m/s² to which it agrees: three in ten thousand of a usual one.
const AGREES_M_S2: f64 = 2e-3;
/// A foot that carries less than this share of the weight is not what the body turns about.
const CARRIES: f64 = 0.02;
/// Tilt in rad from place to place below which the nose does not count as sinking: tyres squeezed
/// a little more tilt it by less.
const LEVEL: f64 = 1e-3;

/// What carries load on the way.
#[derive(Clone)]
struct Foot {
    support: Support,
    /// What its tyre holds, if a motor turns it.
    hold: Option<Hold>,
    /// Where it is a face that slides over the rim: how steep that falls toward the nose with all
    /// wheels down, rad.
    on_rim: Option<f64>,
}

impl Foot {
    /// Angle in rad from its normal force to the whole force that brakes it, with the nose sunk by
    /// `tilt`: of friction, less what a falling face drives on.
    fn brakes_at(&self, tilt: f64) -> f64 {
        maths::atan2(self.support.friction, 1.0) - self.on_rim.map_or(0.0, |slope| slope + tilt)
    }
}

/// A piece of the body as it meets the rim.
struct Piece {
    /// From and to which x it reaches, m.
    x_m: [f64; 2],
    half_width_m: f64,
    low_m: f64,
    friction: f64,
}

/// What the robot is made of on the way, as drawn.
struct Drawn {
    /// What can stand on the ring.
    feet: Vec<Foot>,
    pieces: Vec<Piece>,
    blade: Option<BladeFace>,
}

/// The underside of the blade.
struct BladeFace {
    tip_m: [f64; 2],
    /// How far it reaches back, m.
    run_m: f64,
    angle: f64,
    half_width_m: f64,
    friction: f64,
}

/// One place of the way.
#[derive(Debug, Clone, Copy)]
struct Place {
    /// Deceleration, m/s².
    slows_m_s2: f64,
    /// How far the nose has sunk at rest, rad.
    tilt: f64,
    /// How fast it may be turning over its nose there, rad/s.
    most_rad_s: f64,
    /// How fast it may be going there, m/s.
    most_m_s: f64,
    /// How far it has sunk there, as (d, a, b) of d + a·x + b·y in m, once that is known.
    sunk: Option<DVec3>,
}

/// How late the motors turn over, at worst, after something has come under a sensor.
pub(crate) struct Delay {
    /// Time between two runs of the program that can see it, s.
    pub(crate) between_looks_s: f64,
    /// That, and what sensor and driver take, s.
    pub(crate) whole_s: f64,
}

impl Delay {
    pub(crate) fn of(robot: &Robot, sensor: &Sensor, draws: &Draws) -> Self {
        let (n, board) = (&sensor.item.name, &robot.board);
        let between_looks_s =
            1.0 / draws.of(&sensor.rate, n).max(1e-3) + draws.of(&board.loop_time, "board");
        Self {
            between_looks_s,
            whole_s: between_looks_s
                + draws.of(&sensor.latency, n)
                + draws.of(&board.output_delay, "board"),
        }
    }
}

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
    /// The robot as drawn.
    fn drawn(&self, draws: &Draws) -> Drawn {
        let foot = |s: &Support| Foot {
            support: s.clone(),
            hold: Hold::of(self.robot, self.footing.surface, s, draws),
            on_rim: None,
        };
        let piece = |p: &robot::HullPiece| {
            let xs = || p.outline.iter().map(|c| c[0]);
            Piece {
                x_m: [
                    xs().fold(f64::INFINITY, f64::min),
                    xs().fold(f64::NEG_INFINITY, f64::max),
                ],
                half_width_m: p.outline.iter().map(|c| c[1].abs()).fold(0.0, f64::max),
                low_m: draws.of(&p.from, &p.name),
                friction: draws.of(&p.friction, &p.name),
            }
        };
        let blade = |b: &robot::Blade| {
            let n = &b.item.name;
            let angle = draws.of(&b.angle, n);
            BladeFace {
                tip_m: [draws.of(&b.tip_x, n), draws.of(&b.tip_height, n)],
                run_m: draws.of(&b.length, n) * maths::cos(angle),
                angle,
                half_width_m: 0.5 * draws.of(&b.width, n),
                friction: draws.of(&b.friction, n),
            }
        };
        Drawn {
            feet: self.footing.supports.iter().map(foot).collect(),
            pieces: self.robot.hull.iter().map(piece).collect(),
            blade: self.robot.blade.as_ref().map(blade),
        }
    }

    /// What happens with the rim at `rim_x`; the search begins as it was at the place `before`. It is 0 where
    /// it tips over the rim. The motors count with their push at standstill, which is a little less
    /// than they give while still turning the other way.
    fn place(&self, drawn: &Drawn, sense: f64, rim_x: f64, before: &Place) -> Place {
        let f = self.footing;
        let feet = drawn.feet_at(sense, rim_x);
        let springs: Vec<Spring> = feet.iter().map(|t| t.support.spring()).collect();
        let load = f.load(|at| sense * at.x <= sense * rim_x);
        let mut place = Place {
            slows_m_s2: before.slows_m_s2,
            tilt: 0.0,
            most_rad_s: f64::INFINITY,
            most_m_s: f64::INFINITY,
            sunk: before.sunk,
        };
        for _ in 0..STEPS {
            let a = place.slows_m_s2;
            let shift = sense * f.centre_m.z * a * f.mass_kg / load.whole_n;
            let centre = load.centre + DVec2::new(shift, 0.0);
            let shifted = Load { centre, ..load };
            let near = place.sunk.and_then(|from| shifted.on_from(&springs, from));
            let Some((loads, plane)) = near.or_else(|| shifted.on(&springs)) else {
                // Braking as hard as that would tip it over its nose: less.
                place.slows_m_s2 *= 0.5;
                continue;
            };
            place.sunk = Some(plane);
            place.tilt = sense * plane.y;
            let (mut grip, mut slid, mut drag) = (0.0, 0.0, 0.0);
            for (t, load) in feet.iter().zip(&loads) {
                if let Some(hold) = &t.hold {
                    let [peak, sliding] = hold.under(*load);
                    grip += peak;
                    slid += sliding;
                } else {
                    drag += maths::tan(t.brakes_at(place.tilt)) * load;
                }
            }
            let motors = self.reversing.motors_push_n;
            let tyres = if motors <= grip {
                motors
            } else {
                slid.min(motors)
            };
            let brakes_m_s2 = (tyres + drag) / f.mass_kg;
            place.slows_m_s2 = 0.5 * (a + brakes_m_s2);
            let carries = |t: &(&Foot, &f64)| *t.1 > CARRIES * load.weight_n;
            let foremost = (feet.iter().zip(&loads).filter(carries)).max_by(|p, q| {
                let x = |t: &(&Foot, &f64)| sense * t.0.support.at_m.x;
                x(p).total_cmp(&x(q))
            });
            place.most_rad_s = foremost.map_or(f64::INFINITY, |(t, _)| {
                // A driven tyre brakes with what the motors and grip give: no more than now.
                let brakes = if t.support.kind.is_driven() {
                    maths::atan2(place.slows_m_s2, maths::STANDARD_GRAVITY)
                } else {
                    t.brakes_at(place.tilt)
                };
                most_rad_s(&Turning {
                    behind_m: sense * (t.support.at_m.x - f.centre_m.x),
                    above_m: f.centre_m.z - t.support.at_m.z,
                    gyration_m2: f.inertia_kg_m2.y_axis.y / f.mass_kg,
                    tilt: place.tilt,
                    brakes,
                })
            });
            if (brakes_m_s2 - a).abs() < AGREES_M_S2 {
                break;
            }
        }
        place
    }

    /// The places along `distance_m` up to where the rim is at what must stay on the ring.
    fn places(&self, sense: f64, rim_x: f64, distance_m: f64, draws: &Draws) -> Vec<Place> {
        let mut before = Place {
            slows_m_s2: 0.5 * maths::STANDARD_GRAVITY,
            tilt: 0.0,
            most_rad_s: f64::INFINITY,
            most_m_s: f64::INFINITY,
            sunk: None,
        };
        let drawn = self.drawn(draws);
        let part = distance_m / PLACES as f64;
        let mut places: Vec<Place> = (0..PLACES)
            .map(|k| {
                let gone = part * (k as f64 + 0.5);
                let place = self.place(&drawn, sense, sense * (rim_x - gone), &before);
                before = place;
                place
            })
            .collect();
        for k in 1..places.len() {
            let sinks = places[k].tilt - places[k - 1].tilt;
            if sinks > LEVEL {
                // It lands on the foot of this place or of the next.
                let next = places.get(k + 1).unwrap_or(&places[k]);
                let most = places[k].most_rad_s.min(next.most_rad_s);
                places[k].most_m_s = most * part / sinks;
            }
        }
        places
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
        let Delay {
            between_looks_s,
            whole_s: delay_s,
        } = Delay::of(self.robot, sensor, draws);
        let lead_m = x(sensor) - must_stay;
        let distance_m = (self.border_m + lead_m).max(0.0);
        let rim_x = x(sensor) + self.border_m;
        let places = self.places(sense, rim_x, distance_m, draws);
        let braking: Vec<Braking> = (places.iter())
            .map(|p| Braking {
                slows_m_s2: p.slows_m_s2,
                most_m_s: p.most_m_s,
            })
            .collect();
        let safe_m_s = fastest(&braking, distance_m, delay_s);
        let braking_m = distance_m - safe_m_s * delay_s;
        let unbounded: Vec<Braking> = braking
            .iter()
            .map(|b| Braking {
                most_m_s: f64::INFINITY,
                ..*b
            })
            .collect();
        let room_m_s = fastest(&unbounded, distance_m, delay_s);
        Some(Way {
            over_its_nose: safe_m_s < (1.0 - 1e-6) * room_m_s,
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
            braking,
        })
    }
}

impl Drawn {
    /// What can carry load with the rim at `rim_x` in the design frame: supports that are still
    /// over the ring, and the lowest part of the body across the rim.
    fn feet_at(&self, sense: f64, rim_x: f64) -> Vec<Foot> {
        let on_ring = |f: &&Foot| sense * f.support.at_m.x <= sense * rim_x;
        let mut feet: Vec<Foot> = self.feet.iter().filter(on_ring).cloned().collect();
        for p in &self.pieces {
            if (p.x_m[0]..p.x_m[1]).contains(&rim_x) {
                add_pair(&mut feet, [rim_x, p.half_width_m, p.low_m], p.friction, 0.0);
            }
        }
        if let Some(b) = &self.blade {
            let behind = b.tip_m[0] - rim_x;
            if (0.0..b.run_m).contains(&behind) {
                let low = b.tip_m[1] + behind * maths::tan(b.angle);
                let falls = sense * b.angle;
                add_pair(&mut feet, [rim_x, b.half_width_m, low], b.friction, falls);
            }
        }
        feet
    }
}

/// Two feet on the rim at x, ± half the width and height, in m, on a face that falls toward the nose
/// by `falls`.
fn add_pair(feet: &mut Vec<Foot>, [x, half_width, low]: [f64; 3], friction: f64, falls: f64) {
    for y in [half_width, -half_width] {
        let support = Support {
            kind: SupportKind::Body,
            name: String::new(),
            at_m: DVec3::new(x, y, low),
            friction,
            stiffness: 1.0,
            width_m: 0.0,
            load_n: 0.0,
        };
        feet.push(Foot {
            support,
            hold: None,
            on_rim: Some(falls),
        });
    }
}

/// Highest speed in m/s that stops within `distance_m` after `delay_s`, by bisection.
fn fastest(braking: &[Braking], distance_m: f64, delay_s: f64) -> f64 {
    let stops = |v: f64| stops(braking, distance_m, v * delay_s, v);
    let (mut low, mut high) = (0.0, 100.0);
    for _ in 0..60 {
        let v: f64 = 0.5 * (low + high);
        if stops(v) {
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
    use crate::edge::Braking;

    fn even(slows_m_s2: f64) -> Braking {
        Braking {
            slows_m_s2,
            most_m_s: f64::INFINITY,
        }
    }

    /// 25 mm of border, 6 ms of delay, 0.8 g: 0.581 m/s; 60 mm: 0.924 m/s (positive root of
    /// d = v t + v²/2a, closed form).
    #[test]
    fn at_an_even_deceleration_it_is_the_closed_form() {
        let a = 0.8 * quantity::maths::STANDARD_GRAVITY;
        for (distance, expected) in [(0.025, 0.581), (0.060, 0.924)] {
            let v = fastest(&[even(a); 16], distance, 0.006);
            assert!((v - expected).abs() < 1e-3, "{v} for {expected}");
            let closed = laws::braking::safe_speed_m_s(distance, 0.006, a);
            assert!((v - closed).abs() < 1e-9, "{v} for {closed}");
        }
    }

    #[test]
    fn a_way_on_which_nothing_brakes_adds_nothing() {
        let half = [[even(5.0); 8], [even(0.0); 8]].concat();
        let (long, short) = (
            fastest(&half, 0.06, 0.01),
            fastest(&[even(5.0); 8], 0.03, 0.01),
        );
        assert!((long - short).abs() < 1e-9);
        assert!(fastest(&[even(0.0); 4], 0.05, 0.01) < 1e-9);
    }

    /// 0.3 m/s allowed from half way, 30 mm of 60 mm at 5 m/s² without delay: √(0.3² + 2·5·0.03) =
    /// 0.624 m/s, where the whole way allows √(2·5·0.06) = 0.775 m/s.
    #[test]
    fn a_place_that_allows_less_speed_bounds_it_from_there_back() {
        let mut places = [even(5.0); 16];
        places[8].most_m_s = 0.3;
        let v = fastest(&places, 0.06, 0.0);
        assert!((v - 0.39_f64.sqrt()).abs() < 1e-9, "{v}");
    }
}
