//! How much room a robot takes up at the start.
//!
//! The outline decides: hull, wheels, feet and blade. A part's own box stands for how its mass is
//! spread about its centre of mass, so that it reaches past the outline is a hint to measure, not
//! a proof.

use quantity::{Dimension, Figure, maths};
use robot::{Item, Robot, Shape};

use crate::{Bound, Class, Limit, unfold};

/// Extent of one thing along x, y and z.
#[derive(Debug, Clone)]
pub(crate) struct Solid<'a> {
    pub(crate) name: &'a str,
    /// Outline seen from above: x, y in m.
    pub(crate) outline: Vec<[f64; 2]>,
    /// Highest point over the ring in m.
    pub(crate) top: f64,
    /// Half-width (19 to 1) in m of where its sides lie: x, y, z.
    pub(crate) spread: [f64; 3],
}

/// Room a robot takes up.
#[derive(Debug, Clone, PartialEq)]
pub struct Extent {
    /// Angle in rad by which the robot is turned in its template.
    pub turned_rad: f64,
    /// Along x, along y, and height over the ring.
    pub sides: [Side; 3],
}

/// One of the three sides of the room.
#[derive(Debug, Clone, PartialEq)]
pub struct Side {
    /// Length in m.
    pub length_m: f64,
    /// From where to where in m, along the turned axis; of the height from the ring.
    pub reach_m: [f64; 2],
    /// Half-width (19 to 1) of it in m.
    pub spread_m: f64,
    /// Name of what reaches farthest back, right or down.
    pub low: String,
    /// Name of what reaches farthest forward, left or up.
    pub high: String,
}

/// Steps in which the robot is turned to find a way into the template: a quarter of a degree.
const TURNS: u32 = 720;

/// Room the robot's outline takes up standing straight in its template, x along the length.
#[must_use]
pub fn extent(robot: &Robot) -> Extent {
    measure(&outline(robot), 0.0)
}

/// Room the robot's outline takes up in the template of `class`, turned if it only fits so.
#[must_use]
pub fn fitted(robot: &Robot, class: &Class) -> Extent {
    let rules = &class.robot;
    best_extent(robot, |l, w| {
        inside(&rules.length_m.value, l).min(inside(&rules.width_m.value, w))
    })
}

/// Margin of an upper limit, with a sign that says whether it is kept: exactly on the limit is
/// outside where the limit says "under".
fn inside(limit: &Limit, ours: f64) -> f64 {
    debug_assert!(limit.bound != Bound::AtLeast);
    let margin = limit.margin_si(ours);
    if limit.allows(ours) {
        margin.max(0.0)
    } else {
        margin.min(-f64::MIN_POSITIVE)
    }
}

/// Room outline and parts' boxes together take up turned by `angle` in rad.
pub(crate) fn extent_with_boxes(robot: &Robot, angle: f64) -> Extent {
    let mut solids = outline(robot);
    solids.extend(boxes(robot));
    measure(&solids, angle)
}

/// Room the robot's outline takes up turned by the angle at which `worst_margin` of (length, width) in m
/// is largest. Standing straight wins unless it does not fit (`worst_margin` negative) and some
/// other angle does: a robot that fights corner first may still fit its square. Angles are
/// tried in quarter degrees over half a turn.
fn best_extent(robot: &Robot, worst_margin: impl Fn(f64, f64) -> f64) -> Extent {
    let solids = outline(robot);
    let straight = measure(&solids, 0.0);
    let of = |e: &Extent| worst_margin(e.sides[0].length_m, e.sides[1].length_m);
    if of(&straight) >= 0.0 {
        return straight;
    }
    let mut best = straight.clone();
    for turn in 1..TURNS {
        let turned = measure(&solids, f64::from(turn) * maths::PI / f64::from(TURNS));
        if of(&turned) > of(&best) {
            best = turned;
        }
    }
    if of(&best) >= 0.0 { best } else { straight }
}

pub(crate) fn measure(solids: &[Solid<'_>], angle: f64) -> Extent {
    let (s, c) = (maths::sin(angle), maths::cos(angle));
    // Rows turn the outline; the spread of a turned side mixes the spreads of x and y.
    let across = |row: [f64; 2]| {
        let mut low = (f64::INFINITY, 0.0, "");
        let mut high = (f64::NEG_INFINITY, 0.0, "");
        for solid in solids {
            let spread = maths::hypot(row[0] * solid.spread[0], row[1] * solid.spread[1]);
            for p in &solid.outline {
                let at = row[0] * p[0] + row[1] * p[1];
                if at < low.0 {
                    low = (at, spread, solid.name);
                }
                if at > high.0 {
                    high = (at, spread, solid.name);
                }
            }
        }
        Side {
            length_m: (high.0 - low.0).max(0.0),
            reach_m: [low.0, high.0],
            // Where one thing sets both ends its place drops out; adding the ends as independent
            // all the same errs on the safe side.
            spread_m: maths::hypot(low.1, high.1),
            low: low.2.into(),
            high: high.2.into(),
        }
    };
    let mut top = (0.0, 0.0, "");
    for solid in solids {
        if solid.top > top.0 {
            top = (solid.top, solid.spread[2], solid.name);
        }
    }
    let up = Side {
        length_m: top.0,
        reach_m: [0.0, top.0],
        spread_m: top.1,
        low: "ring".into(),
        high: top.2.into(),
    };
    Extent {
        turned_rad: angle,
        sides: [across([c, s]), across([-s, c]), up],
    }
}

/// Half-width of both kinds of spread together.
pub(crate) fn whole_spread<D: Dimension>(figure: &Figure<D>) -> f64 {
    maths::hypot(figure.unsure(), figure.varies())
}

fn rectangle(low: [f64; 2], high: [f64; 2]) -> Vec<[f64; 2]> {
    vec![low, [high[0], low[1]], high, [low[0], high[1]]]
}

fn solid(item: &Item) -> Solid<'_> {
    let at = [item.at[0].si(), item.at[1].si(), item.at[2].si()];
    let (half, of_half) = match &item.shape {
        Shape::Point => ([0.0; 3], [0.0; 3]),
        Shape::Box(sides) => (
            [
                sides[0].si() / 2.0,
                sides[1].si() / 2.0,
                sides[2].si() / 2.0,
            ],
            [
                whole_spread(&sides[0]) / 2.0,
                whole_spread(&sides[1]) / 2.0,
                whole_spread(&sides[2]) / 2.0,
            ],
        ),
        Shape::CylinderAcross { radius, width } => {
            let (r, w) = (whole_spread(radius), whole_spread(width) / 2.0);
            ([radius.si(), width.si() / 2.0, radius.si()], [r, w, r])
        }
    };
    around(&item.name, item, at, half, of_half)
}

fn around<'a>(
    name: &'a str,
    item: &Item,
    at: [f64; 3],
    half: [f64; 3],
    of_half: [f64; 3],
) -> Solid<'a> {
    let of = |i: usize| maths::hypot(whole_spread(&item.at[i]), of_half[i]);
    Solid {
        name,
        outline: rectangle(
            [at[0] - half[0], at[1] - half[1]],
            [at[0] + half[0], at[1] + half[1]],
        ),
        top: at[2] + half[2],
        spread: [of(0), of(1), of(2)],
    }
}

/// The boxes of parts, motors, electronics and sensors.
fn boxes(robot: &Robot) -> Vec<Solid<'_>> {
    let parts = robot.parts.iter();
    let motors = robot.motors.iter().map(|m| &m.item);
    let electronics = [&robot.battery.item, &robot.driver.item, &robot.board.item];
    let sensors = robot.sensors.iter().map(|s| &s.item);
    parts
        .chain(motors)
        .chain(electronics)
        .chain(sensors)
        .map(solid)
        .collect()
}

/// What an opponent, the ring or a template touches.
pub(crate) fn outline(robot: &Robot) -> Vec<Solid<'_>> {
    let mut all: Vec<Solid<'_>> = Vec::new();
    for piece in &robot.hull {
        all.push(Solid {
            name: &piece.name,
            outline: piece.outline.clone(),
            top: piece.to.si(),
            spread: [0.0, 0.0, whole_spread(&piece.to)],
        });
    }
    for wheel in &robot.wheels {
        let item = &wheel.item;
        let at = [item.at[0].si(), item.at[1].si(), item.at[2].si()];
        let (r, w) = (wheel.radius.si(), wheel.width.si() / 2.0);
        let (of_r, of_w) = (
            whole_spread(&wheel.radius),
            whole_spread(&wheel.width) / 2.0,
        );
        all.push(around(&item.name, item, at, [r, w, r], [of_r, of_w, of_r]));
    }
    for track in &robot.tracks {
        let item = &track.item;
        let at = [item.at[0].si(), item.at[1].si(), item.at[2].si()];
        let (r, w) = (track.radius.si(), track.width.si() / 2.0);
        let of = [&track.radius, &track.width].map(whole_spread);
        let along = maths::hypot(of[0], whole_spread(&track.length) / 2.0);
        let half = [r + track.length.si() / 2.0, w, r];
        all.push(around(
            &item.name,
            item,
            at,
            half,
            [along, of[1] / 2.0, of[0]],
        ));
    }
    for skid in &robot.skids {
        let p = &skid.contact;
        all.push(Solid {
            name: &skid.item.name,
            outline: vec![[p[0].si(), p[1].si()]],
            top: p[2].si(),
            spread: [
                whole_spread(&p[0]),
                whole_spread(&p[1]),
                whole_spread(&p[2]),
            ],
        });
    }
    if let Some(blade) = &robot.blade {
        let (s, c) = (maths::sin(blade.angle.si()), maths::cos(blade.angle.si()));
        let (tip, half) = (blade.tip_x.si(), blade.width.si() / 2.0);
        let (y, of_y) = (
            blade.tip_y.si(),
            maths::hypot(whole_spread(&blade.tip_y), whole_spread(&blade.width) / 2.0),
        );
        all.push(Solid {
            name: &blade.item.name,
            outline: rectangle([tip - blade.length.si() * c, y - half], [tip, y + half]),
            top: blade.tip_height.si() + blade.length.si() * s,
            spread: [
                whole_spread(&blade.tip_x),
                of_y,
                maths::hypot(
                    whole_spread(&blade.tip_height),
                    s * whole_spread(&blade.length),
                ),
            ],
        });
    }
    all.extend(unfold::at_start(robot));
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_robot::{Boxy, g, item, mm};

    #[test]
    fn the_outline_sets_the_room() {
        let room = extent(
            &Boxy {
                length_mm: 98.0,
                width_mm: 97.0,
                height_mm: 68.0,
                ..Boxy::default()
            }
            .build(),
        );
        for (side, expected) in room.sides.iter().zip([0.098, 0.097, 0.068]) {
            assert!((side.length_m - expected).abs() < 1e-12, "{side:?}");
        }
    }

    #[test]
    fn what_sticks_out_of_the_outline_is_named_when_boxes_count() {
        let mut robot = Boxy::default().build();
        let mut flag = item("flag pole", g(2.0));
        flag.at = [mm(-60.0), mm(0.0), mm(90.0)];
        flag.shape = robot::Shape::Box([mm(4.0), mm(4.0), mm(60.0)]);
        robot.parts.push(flag);
        assert!((extent(&robot).sides[0].length_m - 0.1).abs() < 1e-12);
        let room = extent_with_boxes(&robot, 0.0);
        assert_eq!(room.sides[0].low, "flag pole");
        assert!(
            (room.sides[0].length_m - 0.112).abs() < 1e-12,
            "62 mm back, 50 mm forward"
        );
        assert_eq!(room.sides[2].high, "flag pole");
        assert!((room.sides[2].length_m - 0.120).abs() < 1e-12);
    }

    #[test]
    fn a_wheel_beside_the_body_widens_it_with_its_spread() {
        let mut robot = Boxy {
            width_mm: 80.0,
            ..Boxy::default()
        }
        .wheels(1, g(14.0))
        .build();
        robot.wheels[0].item.at = [mm(0.0), mm(45.0).with_spread(0.001, 0.0), mm(17.0)];
        robot.wheels[0].width = mm(16.0);
        let width = &extent(&robot).sides[1];
        assert!((width.length_m - 0.093).abs() < 1e-12, "{width:?}");
        assert!((width.spread_m - 0.001).abs() < 1e-12);
        assert_eq!(width.high, "wheel 1");
    }

    #[test]
    fn a_robot_built_corner_first_is_turned_into_its_square() {
        let mut robot = Boxy::default().build();
        let half = 0.095 / 2.0_f64.sqrt(); // a 95 mm square on its corner is 134 mm across
        robot.hull[0].outline = vec![[half, 0.0], [0.0, half], [-half, 0.0], [0.0, -half]];
        let square = |l: f64, w: f64| (0.1 - l).min(0.1 - w);
        let room = best_extent(&robot, square);
        assert!((room.turned_rad - maths::PI / 4.0).abs() < 1e-12);
        assert!((room.sides[0].length_m - 0.095).abs() < 1e-9);
        let tight = |l: f64, w: f64| (0.09 - l).min(0.09 - w);
        assert!(
            best_extent(&robot, tight).turned_rad.abs() < 1e-12,
            "fits at no angle: straight"
        );
    }
}
