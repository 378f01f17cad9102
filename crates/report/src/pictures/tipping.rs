//! Which way it tips how easily, all round.

use super::canvas::{Canvas, Fill, INK, Pen};
use super::polar::Polar;
use crate::check::Examined;

/// Accelerations beyond this many g are not told apart: nothing on a ring shoves like that.
const MOST_G: f64 = 6.0;

/// Draws it.
pub(super) fn picture(e: &Examined<'_>) -> Option<String> {
    let tipping = e.paper.tipping.as_ref()?;
    let footing = e.paper.footing.as_ref()?;
    let weakest = tipping.weakest()?;
    let g = quantity::maths::STANDARD_GRAVITY;
    let title = format!("{}: which way it tips", e.setting.robot.name);
    let subtitle = format!(
        "Shoved toward a bearing at the height of its centre of mass ({:.0} mm), it goes over where the outer line \
         is. Nearer to the middle is easier: {:.1} g {}.",
        1e3 * footing.centre_m.z,
        weakest.over_m_s2 / g,
        crate::check::bearing_words(weakest.bearing_rad)
    );
    let mut canvas = Canvas::new(&title, &subtitle);
    let hardest = tipping.tips.iter().map(|t| t.over_m_s2 / g);
    let field = Polar::new(&mut canvas, hardest.fold(1.0, f64::max).min(MOST_G), "g");
    let most = field.scale.high;
    let ring = |of: &dyn Fn(&paper::Tip) -> f64| -> Vec<(f64, f64)> {
        (tipping.tips.iter())
            .map(|t| (t.bearing_rad, (of(t) / g).min(most)))
            .collect()
    };
    let (over, lifts) = (Pen::of_series(0), Pen::of_series(1));
    field.ring(&mut canvas, &ring(&|t| t.over_m_s2), Fill::Empty, over);
    field.ring(&mut canvas, &ring(&|t| t.lifts_m_s2), Fill::Empty, lifts);
    let mut legend = vec![(over, "goes over"), (lifts, "its far side lifts")];
    if let Some(drive) = &e.paper.drive {
        let slides = drive.grip_n / footing.mass_kg / g;
        let pen = Pen::solid(INK, 1.4).dashed("2 3");
        let round: Vec<(f64, f64)> = (0..72)
            .map(|k| (quantity::maths::TAU * f64::from(k) / 72.0, slides.min(most)))
            .collect();
        field.ring(&mut canvas, &round, Fill::Empty, pen);
        legend.push((
            pen,
            "its tyres slide: where this lies inside, it slides before it tips",
        ));
    }
    for (pen, words) in legend {
        canvas.legend_line(pen, words);
    }
    Some(canvas.finish())
}
