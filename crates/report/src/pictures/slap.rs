//! What a slap at the front does over time, and the lowest way in which the frame swings.

use paper::frame::Frame;

use super::canvas::Canvas;
use super::chart::{Chart, Series};
use super::frame::{Bent, exaggeration, wheels};
use super::view::{Look, View, scale_of};
use crate::check::Examined;

/// Room around the views, units.
const FREE: f64 = 24.0;

/// The slap over time.
pub(super) fn over_time(e: &Examined<'_>) -> Option<String> {
    let f = e.paper.frame.frame()?;
    let slap = f.slap.as_ref().filter(|s| !s.rings.is_empty())?;
    let mut canvas = Canvas::new(
        &format!("{}: after a slap at the front", e.setting.robot.name),
        &format!(
            "Half a sine wave of {:.0} ms and {:.2} N·s at {}: as if it ran into a wall at 0.3 m/s. How the \
             blade's edge and the sensor that moves most go up and down; damping {:.1} % of critical.",
            1e3 * slap.lasts_s,
            slap.impulse_ns,
            slap.at,
            100.0 * f.sketch.damping
        ),
    );
    let chart = Chart {
        x: "time in ms".to_owned(),
        y: "up and down in mm".to_owned(),
        series: (slap.rings.iter())
            .map(|r| Series {
                label: r.name.clone(),
                points: (r.moves_m.iter().enumerate())
                    .map(|(k, x)| (1e3 * slap.step_s * k as f64, 1e3 * x))
                    .collect(),
            })
            .collect(),
        limits: Vec::new(),
        from_zero: false,
    };
    chart.draw(&mut canvas);
    for r in &slap.rings {
        canvas.paragraph(&format!(
            "{}: up to {:.2} mm, below a tenth of that after {:.0} ms.",
            r.name,
            1e3 * r.peak_m,
            1e3 * r.dies_s
        ));
    }
    made_up(&mut canvas, f);
    Some(canvas.finish())
}

/// Says what the picture of a derived frame rests on.
fn made_up(canvas: &mut Canvas, f: &Frame) {
    if f.sketch.derived {
        canvas.paragraph(
            "The frame was derived: the sizes of the wheels' brackets and shafts are made up, and a robot held \
             at two wheels rocks on them. What its blade's edge finds on the ring is left out.",
        );
    }
}

/// The lowest mode.
pub(super) fn mode(e: &Examined<'_>) -> Option<String> {
    let f = e.paper.frame.frame()?;
    let mode = f.modes.first()?;
    let robot = &e.setting.robot;
    let mut canvas = Canvas::new(
        &format!("{}: how it swings by itself", robot.name),
        &format!(
            "Held at its wheels, the lowest way it swings, {:.0} times a second: between this shape and its \
             opposite. Grey: at rest. Where it moves most a gram counts most.",
            mode.hz
        ),
    );
    let scale = scale_of(robot);
    for look in [Look::Plan, Look::Side] {
        let view = View::below(&mut canvas, robot, look, scale, FREE);
        if look == Look::Side {
            view.ring(&mut canvas);
        }
        wheels(&mut canvas, &view, robot, look);
        let bent = Bent {
            sketch: &f.sketch,
            moves: &mode.shape,
            factor: exaggeration(&mode.shape, robot.footprint().length()),
        };
        bent.draw(&mut canvas, &view, |_| 1.6);
    }
    made_up(&mut canvas, f);
    Some(canvas.finish())
}
