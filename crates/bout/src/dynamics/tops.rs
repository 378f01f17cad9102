//! Wheels of one robot on hull tops of the other: how a robot climbs onto a low opponent.
//!
//! As on a sheet, a tyre is its middle circle: it touches the top where that circle hangs lowest
//! over it, and ahead of the top's border the border itself, as it does the rim of the ring.

use glam::DVec3;

use super::body::Body;
use super::edge::tyre_on_edge;
use super::hull::PlacedPrism;
use super::machine::Machine;
use super::meet::{Encounter, index};
use super::sheet::{DEEPEST_ENTRY, Rider};

/// A border pushes a tyre up only if its normal looks up by at least this.
const LEAST_UP: f64 = 0.1;

impl Encounter {
    /// Wheels over hull tops, within `margin`.
    pub(super) fn on_tops(
        &mut self,
        machines: &[Machine; 2],
        bodies: &[Body; 2],
        margin: f64,
        grip: f64,
        h: f64,
    ) {
        for rider in 0..2 {
            let other = 1 - rider;
            let body = &bodies[rider];
            for (k, wheel) in machines[rider].wheels.iter().enumerate() {
                let centre = body.place(wheel.centre);
                for j in 0..self.prisms[other].len() {
                    let prism = &self.prisms[other][j];
                    let Some(r) = tread_on_top(prism, centre, body.axle, wheel.radius, margin)
                    else {
                        continue;
                    };
                    let key = 0xA000_0000 | index(rider) << 26 | index(j) << 8 | index(k);
                    self.tread_contact(key, [rider, k], &r, [None; 2], machines, bodies, grip, h);
                }
            }
        }
    }
}

/// A tread with centre `c`, unit axle `a` and radius `r` on the top of a prism or on its border.
fn tread_on_top(prism: &PlacedPrism, c: DVec3, a: DVec3, r: f64, margin: f64) -> Option<Rider> {
    let n = prism.up;
    // Most tops are higher than any wheel's centre.
    let high = |s: usize| prism.low[s] + prism.rise;
    let over = n.dot(c - high(0));
    if over <= 0.0 || over > r + margin {
        return None;
    }
    let up = n - a * n.dot(a);
    let length = up.length();
    if length < 0.2 {
        return None;
    }
    let point = c - up * (r / length);
    let mut inside = true;
    let mut nearest: Option<Rider> = None;
    let sides = prism.normals.len();
    for s in 0..sides {
        let out = prism.normals[s];
        if out.dot(point - prism.low[s]) <= 0.0 {
            continue;
        }
        inside = false;
        let edge = prism.low[(s + 1) % sides] - prism.low[s];
        let slant = a.dot(edge);
        if slant.abs() < 1e-3 * edge.length() {
            continue;
        }
        let t = a.dot(c - high(s)) / slant;
        if !(0.0..=1.0).contains(&t) {
            continue;
        }
        let along = edge.normalize_or_zero();
        let Some(on) = tyre_on_edge(c, a, r, high(s) + edge * t, along) else {
            continue;
        };
        let (gap, normal) = (on.gap, on.normal);
        let touches = gap < margin && gap > -DEEPEST_ENTRY;
        let pushes = normal.dot(n) > LEAST_UP && normal.dot(out) >= 0.0;
        if touches && pushes && nearest.is_none_or(|b| gap < b.gap) {
            nearest = Some(Rider {
                point: on.point,
                normal,
                gap,
            });
        }
    }
    if !inside {
        return nearest;
    }
    let gap = n.dot(point - high(0));
    // Deeper than this it came in from the side, where hull meets hull.
    (gap < margin && gap > -DEEPEST_ENTRY).then_some(Rider {
        point,
        normal: n,
        gap,
    })
}

#[cfg(test)]
mod tests {
    use glam::DVec2;

    use super::super::machine::Prism;
    use super::super::scene::{SCENE, Scene};
    use super::super::world::World;

    /// A robot of 3 kg, 150 mm between the axles, centre of mass 48 mm up and midway, 10 mm wheels.
    const LONG: Scene = Scene {
        mass: 3.0,
        cg_height: 0.048,
        wheel_radius: 0.010,
        wheel_x: 0.075,
        box_size: [0.10, 0.05, 0.05],
        clearance: 0.03,
        ..SCENE
    };

    /// Its tilt in rad with its front wheels raised so far, m.
    fn tilt(rise: f64) -> f64 {
        let sine = rise / 0.15;
        quantity::maths::atan2(sine, (1.0 - sine * sine).sqrt())
    }

    /// Loads in N on front and rear wheels with the front wheels on a block this high, m.
    fn loads(rise: f64) -> [f64; 2] {
        let mut block = SCENE.wall();
        let low = -SCENE.cg_height;
        let outline = [(0.05, -0.2), (0.05, 0.2), (-0.05, 0.2), (-0.05, -0.2)];
        let outline = outline.map(|(x, y)| DVec2::new(x, y)).to_vec();
        block.hull = vec![Prism::new(outline, low, low + rise.max(1e-4), 0.0)];
        let robot = LONG.robot(0.5, false);
        let mut world = World::new(&SCENE.arena(), [robot, block], 1.0);
        world.put_down(1, 0.1, 0.0, 0.0);
        world.put_down(0, 0.0, 0.0, 0.0);
        // Lying back on its rear wheels as it will stand.
        let tilt = tilt(rise);
        let body = &mut world.bodies[0];
        body.q = glam::DQuat::from_rotation_y(-tilt);
        body.x.z += 0.5 * rise + 1e-4;
        let machine = world.machines[0].clone();
        world.bodies[0].turn_matrices(&machine);
        for _ in 0..500 {
            world.advance(1, [[0.0; 2]; 2]);
        }
        let loads: Vec<f64> = world.wheels(0).map(|w| w.load_n).collect();
        [loads[0] + loads[1], loads[2] + loads[3]]
    }

    /// Largest error of a load as a share. Measured below 0.3 %: the tyres squash and the wheels
    /// stand a little farther apart than the slope has it.
    const SHARE: f64 = 0.006;

    #[test]
    fn the_front_carries_the_less_the_higher_it_stands() {
        // N_f = W(a − h tan θ)/L, balance of moments about the rear contact; heights above the
        // wheels' centres, since both contacts lie straight below them (computed).
        let weight = 3.0 * SCENE.gravity;
        for rise_mm in [1.0, 3.0, 10.0, 20.0, 30.0] {
            let sine: f64 = rise_mm / 150.0;
            let tan = sine / (1.0 - sine * sine).sqrt();
            let front = weight * (75.0 - (48.0 - 10.0) * tan) / 150.0;
            let [f, r] = loads(1e-3 * rise_mm);
            println!("{rise_mm} mm: {f:.4} N for {front:.4}, rear {r:.4}");
            assert!(
                (f / front - 1.0).abs() < SHARE,
                "{rise_mm}: {f} for {front}"
            );
            assert!(((f + r) / weight - 1.0).abs() < 1e-3, "{f} + {r}");
        }
    }

    #[test]
    fn who_gets_under_pushes_three_times_as_hard() {
        // 3 kg each, grip 0.8: what the lower one carries of the upper one's front counts for the
        // one and is missing to the other (computed: 11.9 N against 35.2 N for a rise of 3 mm).
        let [front, rear] = loads(3e-3);
        let (upper, lower) = (0.8 * rear, 0.8 * (3.0 * SCENE.gravity + front));
        println!("upper {upper:.2} N, lower {lower:.2} N");
        assert!((upper - 11.92).abs() < 0.1, "{upper}");
        assert!((lower - 35.16).abs() < 0.1, "{lower}");
    }
}
