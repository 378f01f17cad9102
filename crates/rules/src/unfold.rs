//! What a robot takes up once its gadgets have moved.

use quantity::maths;
use robot::{Gadget, GadgetKind, Moved, Robot, Travel};

use crate::extent::{Extent, Solid, measure, outline, whole_spread};

/// Steps of a gadget's way that are looked at: an arm reaches farthest on its way, not at its ends.
const STEPS: u32 = 16;
/// A gadget that reaches less than this over the room at the start, in m, moves within it.
pub(crate) const WITHIN_M: f64 = 0.5e-3;

/// A sheet or foot by its corners: x, y, z in m.
type Corners = Vec<[f64; 3]>;

/// The corners of what `gadget` moves, at its first end.
fn corners(robot: &Robot, gadget: &Gadget) -> Corners {
    let sheet = |tip: [f64; 3], facing: f64, width: f64, length: f64, angle: f64| {
        let (s, c) = (maths::sin(facing), maths::cos(facing));
        let (back, up) = (length * maths::cos(angle), length * maths::sin(angle));
        let mut all = Vec::new();
        for (behind, above) in [(0.0, 0.0), (back, up)] {
            for side in [-width / 2.0, width / 2.0] {
                all.push([
                    tip[0] - behind * c - side * s,
                    tip[1] - behind * s + side * c,
                    tip[2] + above,
                ]);
            }
        }
        all
    };
    match &gadget.moved {
        Moved::Plate(p) => sheet(
            p.tip.each_ref().map(|f| f.si()),
            p.facing.si(),
            p.width.si(),
            p.length.si(),
            p.angle.si(),
        ),
        Moved::Blade => robot.blade.as_ref().map_or_else(Vec::new, |b| {
            let tip = [b.tip_x.si(), b.tip_y.si(), b.tip_height.si()];
            sheet(tip, 0.0, b.width.si(), b.length.si(), b.angle.si())
        }),
        Moved::Foot { at, apart, .. } => {
            let half = apart.as_ref().map_or(0.0, |a| a.si() / 2.0);
            let at = at.each_ref().map(|f| f.si());
            [-half, half].map(|y| [at[0], at[1] + y, at[2]]).to_vec()
        }
    }
}

/// Where `corners` are after `share` of the gadget's way.
fn moved(gadget: &Gadget, corners: &Corners, share: f64) -> Corners {
    let hinge = gadget.hinge.each_ref().map(|f| f.si());
    let turn = match &gadget.travel {
        Travel::Turn(angle) => share * angle.si(),
        Travel::Stroke(way) => {
            let down = share * way.si();
            return corners.iter().map(|p| [p[0], p[1], p[2] - down]).collect();
        }
    };
    let (s, c) = (maths::sin(turn), maths::cos(turn));
    let facing = match &gadget.moved {
        Moved::Plate(p) => p.facing.si(),
        Moved::Blade | Moved::Foot { .. } => 0.0,
    };
    let ahead = [maths::cos(facing), maths::sin(facing)];
    let turned = |p: &[f64; 3]| {
        let [x, y, z] = [p[0] - hinge[0], p[1] - hinge[1], p[2] - hinge[2]];
        if gadget.kind == GadgetKind::Arm {
            return [hinge[0] + x * c - y * s, hinge[1] + x * s + y * c, p[2]];
        }
        // About the level axis across the way it faces: ahead becomes up.
        let level = x * ahead[0] + y * ahead[1];
        let further = level * c - z * s - level;
        [
            p[0] + further * ahead[0],
            p[1] + further * ahead[1],
            hinge[2] + level * s + z * c,
        ]
    };
    corners.iter().map(turned).collect()
}

/// What `gadget` takes up over the first `share` of its way.
fn swept<'r>(robot: &Robot, gadget: &'r Gadget, share: f64) -> Solid<'r> {
    let at_first = corners(robot, gadget);
    let places = (0..=STEPS).map(|k| share * f64::from(k) / f64::from(STEPS));
    let all: Corners = places.flat_map(|k| moved(gadget, &at_first, k)).collect();
    let spread = match &gadget.moved {
        Moved::Plate(p) => p.tip.each_ref().map(whole_spread),
        Moved::Foot { at, .. } => at.each_ref().map(whole_spread),
        Moved::Blade => [0.0; 3],
    };
    Solid {
        name: &gadget.item.name,
        outline: all.iter().map(|p| [p[0], p[1]]).collect(),
        top: all.iter().fold(0.0, |top, p| p[2].max(top)),
        spread,
    }
}

/// The sheets of gadgets as they stand at the start. A foot stands under the body, and the blade is
/// counted as a blade.
pub(crate) fn at_start(robot: &Robot) -> Vec<Solid<'_>> {
    let own_sheet = |g: &&Gadget| matches!(g.moved, Moved::Plate(_));
    let gadgets = robot.gadgets.iter().filter(own_sheet);
    gadgets.map(|g| swept(robot, g, 0.0)).collect()
}

/// Room the robot takes up straight in its template with every gadget anywhere on its way.
///
/// Assumed: the body keeps its place; gadgets that hang by their own weight count with the whole of
/// their play.
#[must_use]
pub fn unfolded(robot: &Robot) -> Extent {
    let mut solids = outline(robot);
    solids.extend(robot.gadgets.iter().map(|g| swept(robot, g, 1.0)));
    measure(&solids, 0.0)
}
