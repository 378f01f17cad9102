//! What an edge sensor reads, and the level above which the program takes it for the border.

use super::bars::{self, Bar};
use super::canvas::{Canvas, Fill};
use crate::check::Examined;

/// Draws it: the sensors that miss the border most.
pub(super) fn picture(e: &Examined<'_>) -> Option<String> {
    let all = e.paper.thresholds.iter();
    let t = all.max_by(|a, b| (a.misses + a.alarms).total_cmp(&(b.misses + b.alarms)))?;
    let title = format!(
        "{}: what {} read",
        e.setting.robot.name,
        t.names().replace('"', "")
    );
    let subtitle = format!(
        "{:.0} mm above the ring. Whiskers: nineteen of twenty such sensors, halls and borders. Above the level the \
         program takes it for the border: of 100 readings over the border {:.0} miss it, of 100 over the ring {:.0} \
         reach it.",
        1e3 * t.height_m,
        100.0 * t.misses,
        100.0 * t.alarms
    );
    let mut canvas = Canvas::new(&title, &subtitle);
    let bar = |label: &str, level: paper::Level, fill| Bar {
        label: label.to_owned(),
        value: 100.0 * level.reads,
        spread: Some((100.0 * level.between[0], 100.0 * level.between[1])),
        shown: format!("{:.0} %", 100.0 * level.reads),
        fill,
    };
    let rows = [
        bar("over the border", t.border, Fill::Plain("#ffffff")),
        bar("over the ring", t.ring, Fill::Crossed),
        bar("lifted 20 mm", t.lifted, Fill::Rising),
        bar("past the rim", t.off, Fill::Rising),
    ];
    let level = format!("level: {:.0} %", 100.0 * t.level);
    bars::draw(&mut canvas, &rows, Some((100.0 * t.level, &level)));
    canvas.paragraph(&format!(
        "Half way between border and ring at worst: {:.0} %. Lifted or past the rim it reads dark, like the ring.",
        100.0 * t.best.level
    ));
    Some(canvas.finish())
}
