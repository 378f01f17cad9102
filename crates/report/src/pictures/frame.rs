//! What holds the robot together, bent by the shove it gives way to farthest: from above and from the
//! side.

use paper::frame::{Frame, Sketch};
use robot::Robot;

use super::canvas::{Canvas, Fill, INK, LETTER, Pen};
use super::view::{Look, View, scale_of};
use super::words::Anchor;
use crate::check::Examined;
use crate::number::percent;

/// Room around the views for arrows and numbers, units.
const FREE: f64 = 40.0;
/// Colour of the frame at rest.
const REST: &str = "#b3afa6";
/// Colour of what is made up: brackets and shafts.
const MADE_UP: &str = "#8a8578";
/// The farthest movement is drawn as this share of the robot's length.
const DRAWN_SHARE: f64 = 0.1;
/// Stress as a share of strength from which a line is drawn in the next weight.
const WEIGHTS: [(f64, f64, &str); 4] = [
    (0.0, 1.3, "below 10 % of its strength"),
    (0.1, 2.6, "10 to 50 %"),
    (0.5, 4.2, "50 to 100 %"),
    (1.0, 6.0, "above its strength"),
];

/// Draws it.
pub(super) fn picture(e: &Examined<'_>) -> Option<String> {
    let f = e.paper.frame.frame()?;
    let robot = &e.setting.robot;
    let shove = &f.shoves[f.softest?];
    let at = &f.sketch.points[shove.point].name;
    let factor = exaggeration(&f.bent, robot.footprint().length());
    let mut canvas = Canvas::new(
        &format!("{}: what holds it together", robot.name),
        &format!(
            "Held at its wheels and pushed with {:.1} N {} at {at}, the frame gives way by {:.2} mm. Drawn \
             {factor:.0} times too large; grey: at rest.",
            f.shove_n,
            shove.way,
            1e3 * shove.gives_m
        ),
    );
    let scale = scale_of(robot);
    for look in [Look::Plan, Look::Side] {
        let view = View::below(&mut canvas, robot, look, scale, FREE);
        if look == Look::Side {
            view.ring(&mut canvas);
        }
        let bent = Bent {
            sketch: &f.sketch,
            moves: &f.bent,
            factor,
        };
        wheels(&mut canvas, &view, robot, look);
        bent.draw(&mut canvas, &view, |k| weight(f, k));
        push(&mut canvas, &view, &bent, f);
        weakest(&mut canvas, &view, &bent, f);
    }
    legend(&mut canvas, f);
    Some(canvas.finish())
}

/// A round number of times by which the farthest of these movements is drawn too large.
pub(super) fn exaggeration(moves: &[[f64; 3]], length: f64) -> f64 {
    let far = (moves.iter())
        .map(|m| m.iter().map(|x| x * x).sum::<f64>().sqrt())
        .fold(0.0, f64::max);
    let wanted = DRAWN_SHARE * length / far.max(1e-9);
    let power = quantity::maths::pow(10.0, quantity::maths::log10(wanted.max(1e-9)).floor());
    let step = [5.0, 2.0, 1.0].into_iter().find(|s| s * power <= wanted);
    step.unwrap_or(1.0) * power
}

/// The weight of the line of beam number `k`.
fn weight(f: &Frame, k: usize) -> f64 {
    let share = f.stress.get(k).copied().unwrap_or(0.0);
    (WEIGHTS.iter().rev())
        .find(|w| share >= w.0)
        .map_or(WEIGHTS[0].1, |w| w.1)
}

/// A sketch with its nodes moved.
pub(super) struct Bent<'a> {
    /// The frame.
    pub(super) sketch: &'a Sketch,
    /// How each node moves.
    pub(super) moves: &'a [[f64; 3]],
    /// How many times too large that is drawn.
    pub(super) factor: f64,
}

impl Bent<'_> {
    /// Where a node is drawn, in m.
    pub(super) fn node(&self, k: usize) -> [f64; 3] {
        let (at, by) = (self.sketch.nodes[k].at, self.moves[k]);
        [0, 1, 2].map(|i: usize| at[i] + self.factor * by[i])
    }

    /// Draws it: at rest in grey, moved in ink, what is held with a triangle.
    pub(super) fn draw(&self, canvas: &mut Canvas, view: &View, weight: impl Fn(usize) -> f64) {
        for b in self.sketch.beams.iter().filter(|b| !b.role.made_up()) {
            let [a, c] = b.nodes.map(|n| view.place(self.sketch.nodes[n].at));
            canvas.line(a, c, Pen::solid(REST, 1.0));
        }
        for (k, b) in self.sketch.beams.iter().enumerate() {
            let [a, c] = b.nodes.map(|n| view.place(self.node(n)));
            let pen = if b.role.made_up() {
                Pen::solid(MADE_UP, 1.2).dashed("2 3")
            } else {
                Pen::solid(INK, weight(k))
            };
            canvas.line(a, c, pen);
        }
        for n in self.sketch.nodes.iter().filter(|n| n.held) {
            let (x, y) = view.place(n.at);
            let corners = [(x, y), (x - 6.0, y + 10.0), (x + 6.0, y + 10.0)];
            canvas.polygon(&corners, Fill::Plain("#ffffff"), Pen::solid(INK, 1.4));
        }
    }
}

/// The wheels faintly, so that one sees which way it faces.
pub(super) fn wheels(canvas: &mut Canvas, view: &View, robot: &Robot, look: Look) {
    let pen = Pen::solid(REST, 1.4).dashed("4 3");
    for w in &robot.wheels {
        let at = w.item.at.each_ref().map(quantity::Figure::si);
        let (r, half) = (w.radius.si(), 0.5 * w.width.si());
        if look == Look::Side {
            canvas.circle(view.place(at), view.scale * r, Fill::Empty, pen);
            continue;
        }
        let corners = [(-r, -half), (r, -half), (r, half), (-r, half)]
            .map(|(x, y)| view.place([at[0] + x, at[1] + y, at[2]]));
        canvas.polygon(&corners, Fill::Empty, pen);
    }
}

/// The arrow of the shove; towards or away from who looks: a ring with a dot or a cross.
fn push(canvas: &mut Canvas, view: &View, bent: &Bent<'_>, f: &Frame) {
    let Some(shove) = f.softest.map(|k| &f.shoves[k]) else {
        return;
    };
    let p = &f.sketch.points[shove.point];
    let moved = bent.node(p.node);
    let rest = bent.sketch.nodes[p.node].at;
    let at = [0, 1, 2].map(|i: usize| moved[i] + p.at[i] - rest[i]);
    let end = view.place(at);
    let start = view.place([0, 1, 2].map(|i: usize| at[i] - shove.force_n[i]));
    let (dx, dy) = (end.0 - start.0, end.1 - start.1);
    let length = quantity::maths::hypot(dx, dy);
    let pen = Pen::solid("#c4600c", 3.0);
    let words = format!("{:.1} N", f.shove_n);
    if length < 1e-6 {
        canvas.circle(end, 7.0, Fill::Plain("#ffffff"), Pen::solid("#c4600c", 2.2));
        canvas.circle(end, 2.2, Fill::Plain("#c4600c"), Pen::solid("#c4600c", 0.5));
        canvas.text_over(
            end.0 + 12.0,
            end.1 - 6.0,
            Anchor::Start,
            &format!("{words}, up"),
        );
        return;
    }
    let (ux, uy) = (dx / length, dy / length);
    let from = (end.0 - 34.0 * ux, end.1 - 34.0 * uy);
    canvas.arrow(from, end, pen);
    let (anchor, x) = if ux < -0.5 {
        (Anchor::Start, from.0 - 20.0)
    } else {
        (Anchor::Start, from.0 + 8.0)
    };
    canvas.text_over(
        x,
        from.1 + if uy < -0.5 { 12.0 } else { -7.0 },
        anchor,
        &words,
    );
}

/// A ring around the joint used most.
fn weakest(canvas: &mut Canvas, view: &View, bent: &Bent<'_>, f: &Frame) {
    let Some((_, used)) = f.weakest else { return };
    let at = view.place(bent.node(bent.sketch.beams[used.beam].nodes[used.end]));
    canvas.circle(at, 11.0, Fill::Empty, Pen::solid("#ffffff", 4.5));
    canvas.circle(at, 11.0, Fill::Empty, Pen::solid("#2f6fb2", 2.4));
}

fn legend(canvas: &mut Canvas, f: &Frame) {
    canvas.y += 0.6 * LETTER;
    canvas.paragraph("How thick a line is tells the most stress under all shoves:");
    let used = |least: f64, most: f64| (f.stress.iter()).any(|s| *s >= least && *s < most);
    for (k, (least, width, words)) in WEIGHTS.iter().enumerate() {
        let most = WEIGHTS.get(k + 1).map_or(f64::INFINITY, |w| w.0);
        if used(*least, most) {
            canvas.legend_line(Pen::solid(INK, *width), words);
        }
    }
    canvas.legend_line(Pen::solid(REST, 1.0), "at rest; dashed: wheels");
    if f.sketch.beams.iter().any(|b| b.role.made_up()) {
        canvas.legend_line(
            Pen::solid(MADE_UP, 1.2).dashed("2 3"),
            "bracket or shaft of a wheel, its size made up; a triangle is what is held",
        );
    }
    if let Some((_, used)) = f.weakest {
        canvas.legend_line(
            Pen::solid("#2f6fb2", 2.4),
            &format!(
                "ring: the joint used most, {}: {} of what it bears",
                f.sketch.beams[used.beam].name,
                percent(used.share())
            ),
        );
    }
    if f.sketch.derived {
        canvas.paragraph(
            "The file describes no frame: this one was derived from plates, body and blade.",
        );
    }
}
