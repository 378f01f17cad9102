//! Where a robot is put down: its opening, made legal, with the errors of a hand.

use glam::DVec2;
use quantity::{Draws, Stream, maths};
use robot::Robot;
use rules::Facing;

use crate::arena::{Arena, Seat};

/// Standard deviations in the half-width of a central 95 % range of a normal.
const HALF_WIDTH_95: f64 = 1.959_963_984_540_054;

/// Errors are cut at this many standard deviations, like every other draw.
const CUT: f64 = 3.0;

/// Rounds in which place and heading are brought together; each shrinks what is left to a few
/// per cent.
const ROUNDS: usize = 8;

/// Where an opening puts the robot, in the builder's terms.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Spot {
    /// How far behind the own start line its foremost part stands, in m.
    pub(crate) behind_m: f64,
    /// How far aside of the line through both start lines, to the left, in m.
    pub(crate) aside_m: f64,
    /// Where it faces, against pointing at the ring's centre, counter-clockwise in rad.
    pub(crate) facing_rad: f64,
}

/// How far off the hand puts it, in the robot's own axes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct HandError {
    /// Lengthwise in m.
    along_m: f64,
    /// Sideways in m, to the left.
    across_m: f64,
    /// Heading in rad.
    heading_rad: f64,
}

/// A place on the ring: middle of the footprint and heading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Placed {
    /// Middle of the footprint in m.
    pub(crate) at: DVec2,
    /// Heading in rad.
    pub(crate) heading_rad: f64,
}

impl HandError {
    /// The errors of this put-down, from the robot's stated half-widths. `stream` must be new for
    /// every put-down.
    pub(crate) fn drawn(robot: &Robot, stream: Stream) -> Self {
        let error = |name: &str, half_width: f64| {
            stream.named(name).normal().clamp(-CUT, CUT) * half_width.abs() / HALF_WIDTH_95
        };
        Self {
            along_m: error("along", robot.put_down.si()),
            across_m: error("across", robot.put_down.si()),
            heading_rad: error("heading", robot.put_down_heading.si()),
        }
    }

    /// The same errors of a mirrored hand.
    pub(crate) fn mirrored(self) -> Self {
        Self {
            across_m: -self.across_m,
            heading_rad: -self.heading_rad,
            ..self
        }
    }
}

impl Spot {
    /// The opening of a mirrored robot.
    pub(crate) fn mirrored(self) -> Self {
        Self {
            aside_m: -self.aside_m,
            facing_rad: -self.facing_rad,
            ..self
        }
    }
}

/// Every corner of the robot's outline seen from above: hull, wheels, tracks and blade.
pub(crate) fn corners(robot: &Robot, draws: &Draws) -> Vec<DVec2> {
    let mut corners: Vec<DVec2> = robot
        .hull
        .iter()
        .flat_map(|p| &p.outline)
        .map(|c| DVec2::from_array(*c))
        .collect();
    let mut rectangle = |x: [f64; 2], y: [f64; 2]| {
        corners.extend(x.into_iter().flat_map(|x| y.map(|y| DVec2::new(x, y))));
    };
    for w in &robot.wheels {
        let name = &w.item.name;
        let (x, y) = (draws.of(&w.item.at[0], name), draws.of(&w.item.at[1], name));
        let (r, half) = (draws.of(&w.radius, name), draws.of(&w.width, name) / 2.0);
        rectangle([x - r, x + r], [y - half, y + half]);
    }
    for t in &robot.tracks {
        let name = &t.item.name;
        let (x, y) = (draws.of(&t.item.at[0], name), draws.of(&t.item.at[1], name));
        let reach = 0.5 * draws.of(&t.length, name) + draws.of(&t.radius, name);
        let half = draws.of(&t.width, name) / 2.0;
        rectangle([x - reach, x + reach], [y - half, y + half]);
    }
    if let Some(b) = &robot.blade {
        let name = &b.item.name;
        let (x, y) = (draws.of(&b.tip_x, name), draws.of(&b.tip_y, name));
        let back = x - draws.of(&b.length, name) * maths::cos(draws.of(&b.angle, name));
        let half = draws.of(&b.width, name) / 2.0;
        rectangle([back, x], [y - half, y + half]);
    }
    corners
}

/// Puts a robot with these corners down. Seat 0 stands at negative x; seat 1 is the same turned
/// by half a turn about the ring's centre.
///
/// Where the opening asks for more than the rule allows it gets the nearest that is legal, and so
/// does a hand that errs: the judge has it put back. The rule about the middle line goes before
/// the others.
pub(crate) fn put_down(
    arena: &Arena,
    corners: &[DVec2],
    spot: Spot,
    error: HandError,
    seat: Seat,
) -> Placed {
    let rule = &arena.placing;
    let facing = match rule.facing {
        Facing::Any | Facing::ByRound => spot.facing_rad,
        Facing::Opponent => 0.0,
    };
    let mut placed = Placed {
        at: DVec2::new(-arena.ring.start_line_m - spot.behind_m, spot.aside_m),
        heading_rad: facing,
    };
    for _ in 0..ROUNDS {
        placed.heading_rad = maths::atan2(-placed.at.y, -placed.at.x) + facing;
        let front = foremost(corners, placed.heading_rad);
        let x = -arena.ring.start_line_m - spot.behind_m - front;
        placed.at = legal(
            arena,
            corners,
            DVec2::new(x, spot.aside_m),
            placed.heading_rad,
        );
    }
    let ahead = unit(placed.heading_rad);
    placed.at += ahead * error.along_m + ahead.perp() * error.across_m;
    placed.heading_rad += error.heading_rad;
    placed.at = legal(arena, corners, placed.at, placed.heading_rad);
    if seat == 1 {
        placed.at = -placed.at;
        placed.heading_rad += maths::PI;
    }
    placed.heading_rad = maths::wrap_angle(placed.heading_rad);
    placed
}

/// Where both robots face in the round numbered `round` of a class that says so: the other, a side,
/// the back, and again (`OSHWDem` revision 7, art. 7.3); against pointing at the centre, in rad.
pub(crate) fn facing_of_round(round: u32) -> f64 {
    match round % 3 {
        0 => 0.0,
        1 => 0.5 * maths::PI,
        _ => maths::PI,
    }
}

/// Which of `openings` answers best to an opponent that stands at `first`: the one that leaves the
/// opponent's nose farthest off itself and its own nose nearest to the opponent. With equals the
/// one named first. Common practice, no source: a builder who sees the other stand looks for its
/// side. None without openings.
pub(crate) fn answer(
    arena: &Arena,
    corners: &[DVec2],
    openings: &[Spot],
    first: Placed,
    seat: Seat,
) -> Option<usize> {
    let off = |from: Placed, to: Placed| {
        let way = to.at - from.at;
        maths::wrap_angle(maths::atan2(way.y, way.x) - from.heading_rad).abs()
    };
    let mut best = None;
    for (k, spot) in openings.iter().enumerate() {
        let own = put_down(arena, corners, *spot, HandError::default(), seat);
        let gain = off(first, own) - off(own, first);
        if best.is_none_or(|(_, most)| gain > most + 1e-9) {
            best = Some((k, gain));
        }
    }
    best.map(|b| b.0)
}

/// The legal place nearest to `at` for seat 0.
fn legal(arena: &Arena, corners: &[DVec2], mut at: DVec2, heading: f64) -> DVec2 {
    let rule = &arena.placing;
    let rim = arena.ring.diameter_m / 2.0;
    let front = foremost(corners, heading);
    let turn = unit(heading);
    for _ in 0..ROUNDS {
        let (mut back, mut over_rim) = (DVec2::ZERO, 0.0);
        for c in corners {
            let c = at + turn.rotate(*c);
            let from_centre = c.length();
            if from_centre > rim {
                back += c / from_centre * (from_centre - rim);
                over_rim += 1.0;
            }
        }
        if over_rim > 0.0 {
            at -= back / over_rim;
        }
        at.y = at.y.clamp(-rule.aside_m.abs(), rule.aside_m.abs());
        at.x = at.x.max(-rule.to_middle_m).min(-rule.from_middle_m - front);
    }
    at
}

/// How far the corners reach along +x at this heading.
fn foremost(corners: &[DVec2], heading: f64) -> f64 {
    let turn = unit(heading);
    corners
        .iter()
        .map(|c| turn.rotate(*c).x)
        .fold(0.0, f64::max)
}

fn unit(angle: f64) -> DVec2 {
    DVec2::new(maths::cos(angle), maths::sin(angle))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tests::scenery;

    const DEG: f64 = maths::PI / 180.0;

    fn square() -> Vec<DVec2> {
        [[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]]
            .map(DVec2::from_array)
            .to_vec()
    }

    fn placed(spot: Spot, seat: Seat) -> Placed {
        put_down(
            &scenery::arena(),
            &square(),
            spot,
            HandError::default(),
            seat,
        )
    }

    fn assert_at(p: Placed, x: f64, y: f64, heading: f64) {
        assert!((p.at - DVec2::new(x, y)).length() < 1e-9, "{p:?}");
        assert!(
            maths::wrap_angle(p.heading_rad - heading).abs() < 1e-9,
            "{p:?}"
        );
    }

    #[test]
    fn it_stands_with_its_nose_behind_the_start_line_facing_the_centre() {
        // Start line 50 mm from the centre, half a robot 50 mm.
        assert_at(placed(Spot::default(), 0), -0.1, 0.0, 0.0);
        assert_at(placed(Spot::default(), 1), 0.1, 0.0, maths::PI);
        assert_at(
            placed(
                Spot {
                    behind_m: 0.03,
                    ..Spot::default()
                },
                0,
            ),
            -0.13,
            0.0,
            0.0,
        );
    }

    #[test]
    fn turned_on_the_diagonal_its_corner_stays_behind_the_line() {
        let p = placed(
            Spot {
                facing_rad: 45.0 * DEG,
                ..Spot::default()
            },
            0,
        );
        assert_at(p, -0.05 - 0.05 * 2_f64.sqrt(), 0.0, 45.0 * DEG);
    }

    #[test]
    fn facing_counts_from_the_ring_centre_and_both_seats_are_half_a_turn_apart() {
        let spot = Spot {
            behind_m: 0.05,
            aside_m: 0.1,
            facing_rad: 30.0 * DEG,
        };
        let (a, b) = (placed(spot, 0), placed(spot, 1));
        let to_centre = maths::atan2(-a.at.y, -a.at.x);
        assert!(
            (a.heading_rad - to_centre - 30.0 * DEG).abs() < 1e-3,
            "{a:?}"
        );
        assert!((a.at.y - 0.1).abs() < 1e-9);
        assert!((a.at + b.at).length() < 1e-12);
        assert!((maths::wrap_angle(a.heading_rad - b.heading_rad).abs() - maths::PI).abs() < 1e-9);
    }

    #[test]
    fn what_the_rule_forbids_becomes_the_nearest_legal_place() {
        let mut arena = scenery::arena();
        let put = |arena: &Arena, spot| put_down(arena, &square(), spot, HandError::default(), 0);
        // In front of the line.
        assert_at(
            put(
                &arena,
                Spot {
                    behind_m: -0.2,
                    ..Spot::default()
                },
            ),
            -0.1,
            0.0,
            0.0,
        );
        // Off the ring: the far corners touch the rim of 385 mm at √(0.385² − 0.05²) − 0.05.
        let back = put(
            &arena,
            Spot {
                behind_m: 0.5,
                ..Spot::default()
            },
        );
        assert_at(back, -(0.385_f64 * 0.385 - 0.0025).sqrt() + 0.05, 0.0, 0.0);
        arena.placing.aside_m = 0.02;
        assert!(
            (put(
                &arena,
                Spot {
                    aside_m: -0.3,
                    ..Spot::default()
                }
            )
            .at
            .y + 0.02)
                .abs()
                < 1e-12
        );
        arena.placing.to_middle_m = 0.15;
        assert_at(
            put(
                &arena,
                Spot {
                    behind_m: 0.5,
                    ..Spot::default()
                },
            ),
            -0.15,
            0.0,
            0.0,
        );
        arena.placing.facing = Facing::Opponent;
        assert_at(
            put(
                &arena,
                Spot {
                    facing_rad: 1.0,
                    ..Spot::default()
                },
            ),
            -0.1,
            0.0,
            0.0,
        );
    }

    #[test]
    fn who_places_second_answers_with_the_opening_at_the_others_side() {
        let arena = scenery::arena();
        let nose_on = Spot::default();
        let aside = |m: f64| Spot {
            behind_m: 0.02,
            aside_m: m,
            ..Spot::default()
        };
        let openings = [nose_on, aside(0.15), aside(-0.15)];
        // The first stands at negative x and points 40° to its left: to positive y.
        let turned = Spot {
            facing_rad: 40.0 * DEG,
            ..Spot::default()
        };
        let put = |spot| put_down(&arena, &square(), spot, HandError::default(), 0);
        let answer = |first| super::answer(&arena, &square(), &openings, first, 1);
        // Seat 1 looks back at it: its own left is negative y.
        assert_eq!(answer(put(turned)), Some(1));
        assert_eq!(answer(put(turned.mirrored())), Some(2));
        assert_eq!(super::answer(&arena, &square(), &[], put(turned), 1), None);
    }

    #[test]
    fn rounds_face_the_other_a_side_and_the_back_in_turn() {
        let facings = [0, 1, 2, 3].map(|k| (facing_of_round(k) / DEG).round());
        assert!(
            facings
                .iter()
                .zip([0.0, 90.0, 180.0, 0.0])
                .all(|(a, b): (&f64, f64)| (a - b).abs() < 1e-9)
        );
    }

    #[test]
    fn hands_err_by_the_stated_widths_and_never_over_the_line() {
        let mut robot = scenery::pusher("shaky");
        robot.put_down = quantity::Figure::derived(0.02, "put_down");
        robot.put_down_heading = quantity::Figure::derived(10.0 * DEG, "put_down_heading");
        let arena = scenery::arena();
        let spot = Spot {
            behind_m: 0.1,
            ..Spot::default()
        };
        let n = 2000;
        let (mut wide, mut askew) = (0, 0);
        for k in 0..n {
            let error = HandError::drawn(&robot, Stream::root(4).numbered(k));
            let p = put_down(&arena, &square(), spot, error, 0);
            wide += usize::from(p.at.y.abs() > 0.02);
            askew += usize::from(p.heading_rad.abs() > 10.0 * DEG);
            let close = put_down(&arena, &square(), Spot::default(), error, 0);
            let nose = close.at.x + foremost(&square(), close.heading_rad);
            assert!(nose <= -0.05 + 1e-12, "{close:?}");
        }
        // One in twenty; standard error 0.005.
        for count in [wide, askew] {
            let share = f64::from(u32::try_from(count).expect("small")) / n as f64;
            assert!((0.03..0.07).contains(&share), "{share}");
        }
    }

    #[test]
    fn a_mirrored_robot_is_put_down_mirrored() {
        let robot = scenery::pusher("shaky");
        let error = HandError::drawn(&robot, Stream::root(11));
        let spot = Spot {
            behind_m: 0.04,
            aside_m: 0.06,
            facing_rad: 0.7,
        };
        let arena = scenery::arena();
        for seat in 0..2 {
            let a = put_down(&arena, &square(), spot, error, seat);
            let b = put_down(&arena, &square(), spot.mirrored(), error.mirrored(), seat);
            assert!(
                (a.at - DVec2::new(b.at.x, -b.at.y)).length() < 1e-12,
                "{a:?} {b:?}"
            );
            assert!(maths::wrap_angle(a.heading_rad + b.heading_rad).abs() < 1e-12);
        }
    }
}
