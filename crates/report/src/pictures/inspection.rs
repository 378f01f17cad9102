//! The robot in the room its class gives it, its mass against the limit, and the odds of passing.

use quantity::maths;
use rules::{Extent, Limit, fitted, unfolded};

use super::bars::{self, Bar};
use super::canvas::{Canvas, FAINT, Fill, INK, LETTER, Pen};
use super::view::{Look, View, scale_of};
use super::words::Anchor;
use crate::check::Examined;

/// Room around the views for the box, at least, units.
const FREE: f64 = 22.0;
/// What reaches this much farther than at the start is drawn unfolded, m.
const UNFOLDED_M: f64 = 0.5e-3;

/// Draws it.
pub(super) fn picture(e: &Examined<'_>) -> Option<String> {
    let (robot, class) = (&e.setting.robot, &e.setting.class);
    let fit = fitted(robot, class);
    let odds = e.inspection.odds();
    let subtitle = format!(
        "The dashed box is the room of the class {}. {}",
        class.title,
        match odds {
            o if o > 0.9995 => "All that is measured passes, if the file is right.".to_owned(),
            o => format!(
                "As the file has it, all that is measured passes {:.0} times of 100.",
                100.0 * o
            ),
        }
    );
    let mut canvas = Canvas::new(&format!("{}: inspection", robot.name), &subtitle);
    let rules = &class.robot;
    let limits = [
        Some(rules.length_m.value),
        Some(rules.width_m.value),
        rules.height_m.value,
    ];
    let scale = scale_of(robot);
    let over = |k: usize| {
        let more = limits[k].map_or(0.0, |l| l.si - fit.sides[k].length_m);
        FREE + scale * more.max(0.0)
    };
    for look in [Look::Plan, Look::Side] {
        let free = over(if look == Look::Plan { 1 } else { 2 });
        let view = View::below(&mut canvas, robot, look, scale, free);
        view.front(&mut canvas);
        view.draw(&mut canvas, robot);
        let room = Room {
            view,
            fit: &fit,
            limits,
        };
        match look {
            Look::Plan => room.plan(&mut canvas, robot),
            Look::Side => room.side(&mut canvas, robot),
        }
    }
    if fit.turned_rad > 0.0 {
        canvas.paragraph(&format!(
            "It fits only turned by {:.0}° in its template.",
            fit.turned_rad.to_degrees()
        ));
    }
    canvas.legend_line(Pen::solid(INK, 1.4).dashed("6 3"), "room of the class");
    if unfolds(robot) {
        let pen = Pen::solid(FAINT, 1.2).dashed("1.5 2.5");
        canvas.legend_line(pen, "what its gadgets reach once they move");
    }
    for row in &e.inspection.rows {
        if let (Some(odds), false) = (row.odds, row.rule.contains("mass")) {
            canvas.paragraph(&format!(
                "{}: {}, {}; passes {}.",
                row.rule,
                row.ours_text,
                row.limit_text,
                times(odds)
            ));
        }
    }
    mass(&mut canvas, e);
    Some(canvas.finish())
}

/// How often, in words.
fn times(odds: f64) -> String {
    match odds {
        o if o > 0.9995 => "all but surely".into(),
        o if o < 0.0005 => "hardly ever".into(),
        o => format!("{:.0} times of 100", 100.0 * o),
    }
}

fn unfolds(robot: &robot::Robot) -> bool {
    let (folded, out) = (rules::extent(robot), unfolded(robot));
    (folded.sides.iter().zip(&out.sides)).any(|(a, b)| b.length_m > a.length_m + UNFOLDED_M)
}

/// The room of the class around a view of the robot.
struct Room<'e> {
    view: View,
    fit: &'e Extent,
    limits: [Option<Limit>; 3],
}

impl Room<'_> {
    /// From where to where the room lies along a side, the robot in its middle.
    fn along(&self, k: usize) -> Option<[f64; 2]> {
        let [low, high] = self.fit.sides[k].reach_m;
        let half = self.limits[k]?.si / 2.0;
        let middle = f64::midpoint(low, high);
        Some([middle - half, middle + half])
    }

    fn plan(&self, canvas: &mut Canvas, robot: &robot::Robot) {
        if let (Some([x0, x1]), Some([y0, y1])) = (self.along(0), self.along(1)) {
            // The extent is of the robot turned; its template is turned back.
            let (s, c) = (
                maths::sin(-self.fit.turned_rad),
                maths::cos(-self.fit.turned_rad),
            );
            let corners = [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]
                .map(|[x, y]| self.view.place([x * c - y * s, x * s + y * c, 0.0]));
            let pen = Pen::solid(INK, 1.4).dashed("6 3");
            canvas.polygon(&corners, Fill::Empty, pen);
        }
        if unfolds(robot) {
            let out = unfolded(robot);
            let ([x0, x1], [y0, y1]) = (out.sides[0].reach_m, out.sides[1].reach_m);
            let corners =
                [[x0, y0], [x1, y0], [x1, y1], [x0, y1]].map(|[x, y]| self.view.place([x, y, 0.0]));
            canvas.polygon(
                &corners,
                Fill::Empty,
                Pen::solid(FAINT, 1.2).dashed("1.5 2.5"),
            );
        }
    }

    fn side(&self, canvas: &mut Canvas, robot: &robot::Robot) {
        let Some([x0, x1]) = self.along(0) else {
            return;
        };
        let pen = Pen::solid(INK, 1.4).dashed("6 3");
        let upright = |canvas: &mut Canvas, [x0, x1]: [f64; 2], top: f64, pen: Pen| {
            let corners = [[x0, 0.0], [x1, 0.0], [x1, top], [x0, top]]
                .map(|[x, z]| self.view.place([x, 0.0, z]));
            canvas.polygon(&corners, Fill::Empty, pen);
        };
        if self.fit.turned_rad.abs() < 1e-9 {
            if let Some(limit) = self.limits[2] {
                upright(canvas, [x0, x1], limit.si, pen);
            } else {
                // Any height: the sides alone.
                let top = 1.08 * self.fit.sides[2].length_m;
                for x in [x0, x1] {
                    canvas.line(
                        self.view.place([x, 0.0, 0.0]),
                        self.view.place([x, 0.0, top]),
                        pen,
                    );
                }
                let (x, y) = self.view.place([f64::midpoint(x0, x1), 0.0, top]);
                canvas.text_of(x, y, LETTER, FAINT, Anchor::Middle, "any height");
            }
        }
        if unfolds(robot) {
            let out = unfolded(robot);
            upright(
                canvas,
                out.sides[0].reach_m,
                out.sides[2].length_m,
                Pen::solid(FAINT, 1.2).dashed("1.5 2.5"),
            );
        }
    }
}

/// The mass as a bar against its limit.
fn mass(canvas: &mut Canvas, e: &Examined<'_>) {
    let Some(row) = e.inspection.row("mass") else {
        return;
    };
    let (Some(ours), Some(limit)) = (row.ours, row.limit) else {
        return;
    };
    let spread = row.spread.filter(|s| *s > 0.0);
    canvas.y += 0.5 * LETTER;
    let whisker = if spread.is_some() {
        " The whisker is what it may be off by, nineteen times of twenty."
    } else {
        ""
    };
    canvas.paragraph(&format!(
        "mass: {}, {}; passes {}.{whisker}",
        row.ours_text,
        row.limit_text,
        times(row.odds.unwrap_or(1.0))
    ));
    let bar = Bar {
        label: "mass".into(),
        value: 1e3 * ours,
        spread: spread.map(|s| (1e3 * (ours - s), 1e3 * (ours + s))),
        shown: String::new(),
        fill: Fill::Rising,
    };
    bars::draw(canvas, &[bar], Some((1e3 * limit, &row.limit_text)));
}
