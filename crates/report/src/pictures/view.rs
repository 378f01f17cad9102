//! A robot from above and from its left side, drawn to scale.
//!
//! In both views the nose points to the right, so that what stands above each other in the two views
//! is the same place along the robot.

use quantity::maths;
use robot::{Moved, Robot, SensorKind, Shape};

use super::canvas::{BODY, Canvas, FAINT, Fill, INK, LETTER, MARGIN, Pen, WIDTH};
use super::words::Anchor;

/// Which way it is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Look {
    /// From above, its left side up.
    Plan,
    /// From its right side, the ring below: the nose points to the right as in the plan.
    Side,
}

/// A view on the sheet: from metres of the design to units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct View {
    look: Look,
    /// Units for a metre.
    pub(crate) scale: f64,
    /// Where the middle of the design frame lies on the sheet.
    origin: (f64, f64),
    /// The part of the sheet the robot takes: left, top, right, bottom.
    pub(crate) bounds: [f64; 4],
}

/// Most room for a robot, units.
const MOST: (f64, f64) = (270.0, 220.0);

/// Units for a metre, so that both views of a robot fit.
pub(crate) fn scale_of(robot: &Robot) -> f64 {
    let f = robot.footprint();
    let high = f.width().max(f.top);
    (MOST.0 / f.length().max(1e-3)).min(MOST.1 / high.max(1e-3))
}

impl View {
    /// A view of `robot` below everything on the sheet, in the middle, with its words above it and
    /// `free` units above and below the robot.
    pub(crate) fn below(
        canvas: &mut Canvas,
        robot: &Robot,
        look: Look,
        scale: f64,
        free: f64,
    ) -> Self {
        let f = robot.footprint();
        let words = match look {
            Look::Plan => "from above",
            Look::Side => "from the side",
        };
        canvas.y += 1.3 * LETTER;
        canvas.text_of(MARGIN, canvas.y, LETTER, FAINT, Anchor::Start, words);
        let top = canvas.y + free;
        let middle = 0.5 * (f.x[0] + f.x[1]);
        let x = 0.5 * WIDTH - scale * middle;
        let (y, height) = match look {
            Look::Plan => (top + scale * f.y[1], scale * f.width()),
            Look::Side => (top + scale * f.top, scale * f.top),
        };
        let bounds = [x + scale * f.x[0], top, x + scale * f.x[1], top + height];
        canvas.y = top + height + free;
        Self {
            look,
            scale,
            origin: (x, y),
            bounds,
        }
    }

    /// The place of a point of the design on the sheet.
    pub(crate) fn place(&self, [x, y, z]: [f64; 3]) -> (f64, f64) {
        let across = match self.look {
            Look::Plan => y,
            Look::Side => z,
        };
        (
            self.origin.0 + self.scale * x,
            self.origin.1 - self.scale * across,
        )
    }

    /// Draws the robot: body, blade, gadgets' plates, wheels, tracks, and where its sensors look.
    pub(crate) fn draw(&self, canvas: &mut Canvas, robot: &Robot) {
        if self.look == Look::Side {
            self.ring(canvas);
        }
        for piece in &robot.hull {
            let outline = match self.look {
                Look::Plan => piece
                    .outline
                    .iter()
                    .map(|[x, y]| self.place([*x, *y, 0.0]))
                    .collect(),
                Look::Side => {
                    let xs = || piece.outline.iter().map(|c| c[0]);
                    let (back, front) = (
                        xs().fold(f64::INFINITY, f64::min),
                        xs().fold(f64::NEG_INFINITY, f64::max),
                    );
                    self.upright([back, front], [piece.from.si(), piece.to.si()])
                }
            };
            canvas.polygon(&outline, Fill::Plain(BODY), Pen::solid(INK, 1.4));
        }
        self.rolling(canvas, robot);
        self.plates(canvas, robot);
        for sensor in &robot.sensors {
            self.sensor(canvas, sensor);
        }
    }

    /// The ring's top as a line under the robot.
    pub(crate) fn ring(&self, canvas: &mut Canvas) {
        let y = self.origin.1;
        let (left, right) = (self.bounds[0] - 34.0, self.bounds[2] + 34.0);
        canvas.line((left, y), (right, y), Pen::solid(INK, 1.6));
        canvas.rect(
            [left, y + 0.8, right - left, 6.0],
            Fill::Rising,
            Pen::solid("none", 0.1),
        );
    }

    /// An arrow at the right that says which way is forward.
    pub(crate) fn front(&self, canvas: &mut Canvas) {
        let y = 0.5 * (self.bounds[1] + self.bounds[3]);
        // Beyond the numbers around the view.
        let x = self.bounds[2] + 44.0;
        canvas.arrow((x, y), (x + 22.0, y), Pen::solid(FAINT, 2.0));
        canvas.text_of(x, y - 7.0, LETTER, FAINT, Anchor::Start, "front");
    }

    fn upright(&self, x: [f64; 2], z: [f64; 2]) -> Vec<(f64, f64)> {
        [(x[0], z[0]), (x[1], z[0]), (x[1], z[1]), (x[0], z[1])]
            .map(|(x, z)| self.place([x, 0.0, z]))
            .to_vec()
    }

    fn rolling(&self, canvas: &mut Canvas, robot: &Robot) {
        let pen = Pen::solid(INK, 1.4);
        for w in &robot.wheels {
            let at = [0, 1, 2].map(|i: usize| w.item.at[i].si());
            let (r, half) = (w.radius.si(), 0.5 * w.width.si());
            match self.look {
                Look::Plan => {
                    let corners = self.flat([at[0] - r, at[0] + r], [at[1] - half, at[1] + half]);
                    canvas.polygon(&corners, Fill::Plain("#8a8f98"), pen);
                }
                Look::Side => {
                    let centre = self.place(at);
                    canvas.circle(centre, self.scale * r, Fill::Empty, Pen::solid(INK, 2.2));
                    canvas.circle(centre, 2.0, Fill::Plain(INK), Pen::solid(INK, 0.5));
                }
            }
        }
        for t in &robot.tracks {
            let at = [0, 1, 2].map(|i: usize| t.item.at[i].si());
            let (r, half) = (t.radius.si(), 0.5 * t.width.si());
            let reach = 0.5 * t.length.si() + r;
            let corners = match self.look {
                Look::Plan => {
                    self.flat([at[0] - reach, at[0] + reach], [at[1] - half, at[1] + half])
                }
                Look::Side => self.upright([at[0] - reach, at[0] + reach], [at[2] - r, at[2] + r]),
            };
            let fill = match self.look {
                Look::Plan => Fill::Plain("#8a8f98"),
                Look::Side => Fill::Empty,
            };
            canvas.polygon(&corners, fill, Pen::solid(INK, 2.0));
        }
        for s in &robot.skids {
            let at = self.place(s.contact.each_ref().map(quantity::Figure::si));
            canvas.circle(at, 4.0, Fill::Plain("#ffffff"), pen);
        }
    }

    fn flat(&self, x: [f64; 2], y: [f64; 2]) -> Vec<(f64, f64)> {
        [(x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])]
            .map(|(x, y)| self.place([x, y, 0.0]))
            .to_vec()
    }

    /// The blade and the plates of gadgets: sheets from their edge back and up.
    fn plates(&self, canvas: &mut Canvas, robot: &Robot) {
        if let Some(b) = &robot.blade {
            let tip = [b.tip_x.si(), b.tip_y.si(), b.tip_height.si()];
            self.sheet(
                canvas,
                tip,
                0.0,
                [b.width.si(), b.length.si()],
                b.angle.si(),
            );
        }
        for g in &robot.gadgets {
            if let Moved::Plate(p) = &g.moved {
                let tip = p.tip.each_ref().map(quantity::Figure::si);
                let size = [p.width.si(), p.length.si()];
                self.sheet(canvas, tip, p.facing.si(), size, p.angle.si());
            }
        }
    }

    fn sheet(
        &self,
        canvas: &mut Canvas,
        tip: [f64; 3],
        facing: f64,
        [width, length]: [f64; 2],
        angle: f64,
    ) {
        let (run, rise) = (length * maths::cos(angle), length * maths::sin(angle));
        let (sin, cos) = (maths::sin(facing), maths::cos(facing));
        let corner = |back: f64, side: f64, up: f64| {
            self.place([
                tip[0] - back * cos - side * sin,
                tip[1] - back * sin + side * cos,
                tip[2] + up,
            ])
        };
        let half = 0.5 * width;
        let corners = [
            corner(0.0, half, 0.0),
            corner(0.0, -half, 0.0),
            corner(run, -half, rise),
            corner(run, half, rise),
        ];
        let pen = match self.look {
            Look::Plan => Pen::solid(INK, 1.4),
            Look::Side => Pen::solid(INK, 3.0),
        };
        canvas.polygon(&corners, Fill::Plain("#ffffff"), pen);
    }

    fn sensor(&self, canvas: &mut Canvas, sensor: &robot::Sensor) {
        let at = sensor.item.at.each_ref().map(quantity::Figure::si);
        let (x, y) = self.place(at);
        let pen = Pen::solid(INK, 1.2);
        if let SensorKind::Reflectance { .. } = sensor.kind {
            match self.look {
                Look::Plan => canvas.rect([x - 3.5, y - 3.5, 7.0, 7.0], Fill::Crossed, pen),
                Look::Side => {
                    canvas.polygon(
                        &[(x - 3.5, y - 6.0), (x + 3.5, y - 6.0), (x, y)],
                        Fill::Plain("#ffffff"),
                        pen,
                    );
                }
            }
        } else if sensor.kind.sight().is_some() {
            let facing = sensor.facing.si();
            let (sin, cos) = (maths::sin(facing), maths::cos(facing));
            let reach = 20.0 / self.scale;
            let end = self.place([at[0] + reach * cos, at[1] + reach * sin, at[2]]);
            canvas.circle((x, y), 3.5, Fill::Plain("#ffffff"), pen);
            if quantity::maths::hypot(end.0 - x, end.1 - y) > 6.0 {
                canvas.arrow((x, y), end, pen);
            }
        }
    }

    /// The centre of mass as the trade draws it: a disc in quarters.
    pub(crate) fn centre_of_mass(&self, canvas: &mut Canvas, at: [f64; 3]) {
        let (x, y) = self.place(at);
        let r = 7.0;
        let pen = Pen::solid(INK, 1.4);
        canvas.circle((x, y), r, Fill::Plain("#ffffff"), pen);
        for (sx, sy) in [(1.0, -1.0), (-1.0, 1.0)] {
            // A quarter as a fan of five corners.
            let mut corners = vec![(x, y)];
            for k in 0..5 {
                let a = maths::PI / 8.0 * f64::from(k);
                corners.push((x + sx * r * maths::cos(a), y + sy * r * maths::sin(a)));
            }
            canvas.polygon(&corners, Fill::Plain(INK), Pen::solid(INK, 0.5));
        }
    }

    /// An outline of an item from its shape, for parts inside the body.
    pub(crate) fn item(&self, canvas: &mut Canvas, item: &robot::Item, pen: Pen) {
        let at = item.at.each_ref().map(quantity::Figure::si);
        let half = match &item.shape {
            Shape::Box(sides) => sides.each_ref().map(|s| 0.5 * s.si()),
            Shape::CylinderAcross { radius, width } => [radius.si(), 0.5 * width.si(), radius.si()],
            Shape::Point => return,
        };
        let corners = match self.look {
            Look::Plan => self.flat(
                [at[0] - half[0], at[0] + half[0]],
                [at[1] - half[1], at[1] + half[1]],
            ),
            Look::Side => self.upright(
                [at[0] - half[0], at[0] + half[0]],
                [at[2] - half[2], at[2] + half[2]],
            ),
        };
        canvas.polygon(&corners, Fill::Empty, pen);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::setting::Setting;

    #[test]
    fn the_nose_points_to_the_right_in_both_views() {
        let setting = Setting::load("demo", None, None).expect("it loads");
        let mut canvas = Canvas::new("Title", "");
        let scale = scale_of(&setting.robot);
        for look in [Look::Plan, Look::Side] {
            let view = View::below(&mut canvas, &setting.robot, look, scale, 10.0);
            let (back, front) = (view.place([-0.04, 0.0, 0.0]), view.place([0.04, 0.0, 0.0]));
            assert!(front.0 > back.0, "{look:?}");
            let [left, _, right, _] = view.bounds;
            assert!(left > MARGIN && right < WIDTH - MARGIN, "{left} {right}");
        }
    }
}
