//! Ways of searching in rings of every size: how many opponents each finds.

use paper::Pattern;

use super::canvas::{Canvas, LETTER};
use super::chart::{Chart, Series};
use super::words::Anchor;
use crate::check::Examined;

/// Draws it.
pub(super) fn picture(e: &Examined<'_>) -> Option<String> {
    let search = &e.paper.search;
    let ours = search.ours().filter(|_| search.reach_m > 0.0)?;
    if search.rings.len() < 2 {
        return None;
    }
    let turn = ours.way(Pattern::Turn)?.share;
    let title = format!("{}: looking for the opponent", e.setting.robot.name);
    let subtitle = if ours.hardly_matters() {
        format!(
            "In its own ring one turn on the spot shows {:.0} % of opponents: how it searches hardly matters.",
            100.0 * turn
        )
    } else {
        format!(
            "In its own ring of {:.0} mm one turn on the spot shows {:.0} % of opponents: its sensors reach {:.0} mm. \
             To find the others it has to drive.",
            1e3 * ours.diameter_m,
            100.0 * turn,
            1e3 * search.reach_m
        )
    };
    let mut canvas = Canvas::new(&title, &subtitle);
    let series = |pattern, label: &str| Series {
        label: label.to_owned(),
        points: (search.rings.iter())
            .filter_map(|r| Some((1e3 * r.diameter_m, 100.0 * r.way(pattern)?.share)))
            .collect(),
    };
    let chart = Chart {
        x: "diameter of the ring in mm".into(),
        y: "found within 6 s in %".into(),
        series: vec![
            series(Pattern::Straight, "straight on"),
            series(Pattern::Spiral, "in bows"),
            series(Pattern::Turn, "one turn"),
            series(Pattern::Stand, "stands"),
        ],
        limits: Vec::new(),
        from_zero: true,
    };
    let frame = chart.draw(&mut canvas);
    let (x, y) = frame.place((1e3 * ours.diameter_m, 100.0 * turn));
    canvas.text_over(x, y + 1.6 * LETTER, Anchor::Middle, "your ring");
    canvas.paragraph(&format!(
        "Opponents that stand still anywhere; the robot turns at {:.0}°/s and drives at {:.2} m/s. It compares the \
         ways with each other and foretells no bout.",
        search.turns_rad_s.to_degrees(),
        search.speed_m_s
    ));
    Some(canvas.finish())
}
